//! Do the screws of a mount hold when somebody pulls on the arm?

use analysis::{Analysis, Known, Limit, Means, Missing, Parts, Source, Uncertain, item_label};
use model::{Construction, Edit, Framing, Space};
use structure::anchor::{Anchor, AnchorValue, Place, anchors};
use structure::arm::{FixingLoad, Load, PULL_FACTOR, Pivot, WallPlate};
use structure::quantity::pounds_force;
use structure::withdrawal::{Grain, Screw, withdrawal_capacity};
use structure::wood::{Adjustments, SPECIFIC_GRAVITY_UNKNOWN, specific_gravity};
use units::{Dimension, Kilograms, Metres, Newtons};

use super::arm_studs::{EDGE_DIAMETERS, other_spread, to_the_studs};
use crate::cut_out::construction_path;
use crate::mounted::{Mounted, Studs, mounts};
use crate::moves::{Round, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "arm-fixings",
    area: Area::Structure,
    proves: "Each upper screw of a mount holds the pull that the display makes at full reach, with somebody leaning on it.",
    matters: "The upper screws draw out slowly, the plate tips, and the display comes down with its arm.",
    formula: "T = φ Σ m g x / (s n) ≤ C_D W p; m: mass, kg; x: its distance from the wall at full reach (the display: mounting face and half its depth; the arm: half the reach), m; g = 9.80665 m/s²; φ: factor for a person's pull; s: between the rows of screws, m; n: upper screws that sit in studs; W: withdrawal value, lag screws 1800 G^1.5 D^0.75, wood screws 2850 G² D (lbf/in, D in inches, G specific gravity of the wood); p: thread in the wood; C_D = 0.9 for a permanent load. The plate turns about its lower row; what its heel helps is not counted. Masonry: an anchor's tension at its distances, less the part that shear takes up. Valid for side grain of dry wood and for solid brick.",
    source: Source::Published {
        work: "NDS 12.2.1 and table 12.2A (withdrawal of lag screws); the moment by statics",
    },
    when_it_fails: "Bring both columns of screws to studs, or use longer or thicker screws.",
    limits: &[&PULL],
    published: &[
        Published {
            cite: "NDS 12.2-1, 5/16 in lag, G 0.42, 1 1/2 in of thread: 307.167 lbf (computed; W confirmed in NDS table 12.2A)",
            computed: || {
                let screw = [0.3125 * 0.0254, 0.42, 1.5 * 0.0254];
                pounds_force(Newtons(withdrawal_n(screw, 1.0)))
            },
            expected: 307.167,
            tolerance: 1.0, // The table prints whole pounds per inch.
            unit: "lbf",
        },
        Published {
            cite: "display 30 kg at 0.60 m, arm 8 kg at 0.30 m, rows 0.30 m apart: 666.852 N in the top row (computed)",
            computed: || pull_n(ARM, 1, 2, 1.0).map_or(f64::NAN, |load| load.tension.0),
            expected: 666.852,
            tolerance: 0.5, // As the source states.
            unit: "N",
        },
        Published {
            cite: "the same, shear on each of 4 fixings: 93.1632 N (computed)",
            computed: || pull_n(ARM, 2, 4, 1.0).map_or(f64::NAN, |load| load.shear.0),
            expected: 93.1632,
            tolerance: 0.1, // As the source states.
            unit: "N",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// Display and arm, their distances from the wall, and the rows' distance.
const ARM: [f64; 5] = [30.0, 0.60, 8.0, 0.30, 0.30];

static PULL: Limit = Limit {
    name: "arm_pull_factor",
    meaning: "how many times the dead load an arm's fixings hold, for a person who pulls or leans on it",
    dimension: Dimension::Factor,
    value: PULL_FACTOR,
    source: Source::FromMemory {
        work: "the trade's factor 2 on arms; listed mounts hold 4 times their rating in test (UL 2442)",
    },
    regional: &[],
};

/// Load on each upper screw: masses, kg, their distances, and the rows' distance, m.
fn pull_n(
    [display_kg, display_m, arm_kg, arm_m, rows_m]: [f64; 5],
    top_row: u32,
    fixings: u32,
    factor: f64,
) -> Option<FixingLoad> {
    let loads = [(display_kg, display_m), (arm_kg, arm_m)].map(|(mass, reach)| Load {
        mass: Kilograms(mass),
        reach: Metres(reach),
    });
    let plate = WallPlate {
        rows_apart: Metres(rows_m),
        top_row,
        fixings,
        pivot: Pivot::LowerRow,
    };
    plate.fixing_load(&loads, factor)
}

/// Pull that a screw holds: its diameter, m, the wood's specific gravity, thread, m.
fn withdrawal_n([diameter_m, specific_gravity, thread_m]: [f64; 3], adjusted: f64) -> f64 {
    let screw = Screw {
        diameter: Metres(diameter_m),
        specific_gravity,
        grain: Grain::Side,
    };
    // Lag screws start at 1/4 in nominal (6 mm in metric); thinner ones are wood screws.
    let per_length = screw
        .lag_withdrawal()
        .or_else(|| screw.wood_screw_withdrawal());
    per_length
        .and_then(|per_length| withdrawal_capacity(per_length, Metres(thread_m)))
        .map_or(f64::NAN, |pull| pull.0 * adjusted)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    mounts(analysis, space)
        .filter_map(|mounted| {
            let (_, on) = mounted.on()?;
            Some(CHECK.about(space, Subject::item(mounted.item), || {
                decide(&mounted, &on.wall)
            }))
        })
        .collect()
}

/// Masses, distances from the wall and the rows' distance, as `pull_n` takes them.
struct Leverage {
    parts: [Uncertain; 5],
    factor: f64,
}

impl Leverage {
    fn of(mounted: &Mounted) -> Known<Self> {
        let (analysis, kit) = (mounted.analysis, mounted.kit);
        let reach = (analysis.number(kit.reach.as_ref()))
            .or_else(|| analysis.number(kit.standoff.as_ref()))
            .ok_or_else(|| mounted.unsaid("the reach from the wall", "reach"))?;
        let own = (analysis.number(kit.common.mass.as_ref()))
            .ok_or_else(|| mounted.unsaid("the mass", "mass"))?;
        let rows = (analysis.number(kit.row_spacing.as_ref())).ok_or_else(|| {
            mounted.unsaid(
                "the distance between the rows of wall screws",
                "row_spacing",
            )
        })?;
        let (mut mass, mut moment) = (Uncertain::exact(0.0), Uncertain::exact(0.0));
        for item in &mounted.carried {
            let [_, _, depth] = analysis.item_size(item)?;
            let part = mounted.mass_of(item)?;
            moment = moment + &part * (&reach + depth / 2.0);
            mass = mass + part;
        }
        let centre = moment / &mass;
        Ok(Self {
            parts: [mass, centre, own, reach / 2.0, rows],
            factor: analysis.limit(&PULL).value,
        })
    }

    /// Tension or shear on each upper screw when `top_row` of `fixings` share it.
    fn on_each(&self, top_row: u32, fixings: u32, which: fn(FixingLoad) -> Newtons) -> Uncertain {
        let [mass, centre, own, half, rows] = &self.parts;
        uncertainty::through([mass, centre, own, half, rows], |parts| {
            pull_n(parts, top_row, fixings, self.factor).map_or(f64::NAN, |load| which(load).0)
        })
    }
}

fn decide(mounted: &Mounted, wall: &str) -> Known<Outcome> {
    let made_of = mounted.construction(wall)?;
    let outside = |what: &str| {
        let at = construction_path(mounted.space, wall);
        Err(Missing::new(what, at, Means::OutsideModel))
    };
    match made_of.framing {
        Framing::Stud => in_studs(mounted, wall, made_of),
        Framing::Masonry => in_brick(mounted, wall),
        Framing::Concrete => outside("the maker's table of an anchor in this concrete"),
        Framing::SteelStud => outside(
            "the listed value of toggles in steel studs, or a backing board: screws hold too little there",
        ),
        Framing::Joist => outside("studs or masonry behind the mount: joists carry no wall"),
    }
}

/// The sentence's first half: what pulls.
fn pulled(mounted: &Mounted, leverage: &Leverage) -> String {
    let analysis = mounted.analysis;
    format!(
        "{} carries {} of {}, {} from the wall at full reach, and its own {} at {}; with {:.1} times that for a person's pull",
        item_label(mounted.item),
        analysis.print(&leverage.parts[0], Dimension::Mass),
        mounted.burden(),
        analysis.length(&leverage.parts[1]),
        analysis.print(&leverage.parts[2], Dimension::Mass),
        analysis.length(&leverage.parts[3]),
        leverage.factor,
    )
}

fn outcome(load: Uncertain, capacity: &Uncertain, source: Source, sentence: String) -> Outcome {
    let margin = capacity - &load;
    Outcome::with_margin(load, capacity.value(), margin, Dimension::Force, source)
        .because(sentence)
        .caution(Caution::Structure)
        .caution(Caution::Drilling)
        .caution(Caution::Lifting)
        .caution(Caution::Ladder)
}

/// A wood screw or lag and what it goes into: diameter, specific gravity, thread.
struct InWood {
    diameter: Uncertain,
    gravity: f64,
    thread: Uncertain,
    adjusted: f64,
}

impl InWood {
    fn of(mounted: &Mounted, made_of: &Construction, wall: &str) -> Known<Self> {
        let gravity = match made_of.species.as_deref() {
            None => SPECIFIC_GRAVITY_UNKNOWN,
            Some(species) => specific_gravity(species).ok_or_else(|| {
                Missing::new(
                    format!("a species group of the withdrawal table: {species} is none"),
                    format!("{}.species", construction_path(mounted.space, wall)),
                    Means::Look,
                )
            })?,
        };
        let thread = (mounted.analysis.number(mounted.kit.thread_in_wood.as_ref()))
            .ok_or_else(|| mounted.unsaid("the length of thread in the wood", "thread_in_wood"))?;
        Ok(Self {
            diameter: mounted.screw_diameter()?,
            gravity,
            thread,
            adjusted: Adjustments::PERMANENT_DRY
                .product()
                .expect("four factors above zero"),
        })
    }

    fn holds(&self, diameter: &Uncertain, thread: &Uncertain) -> Uncertain {
        uncertainty::through([diameter, thread], |[diameter, thread]| {
            withdrawal_n([diameter, self.gravity, thread], self.adjusted)
        })
    }
}

fn in_studs(mounted: &Mounted, wall: &str, made_of: &Construction) -> Known<Outcome> {
    let analysis = mounted.analysis;
    let leverage = Leverage::of(mounted)?;
    let screw = InWood::of(mounted, made_of, wall)?;
    let studs = Studs::behind(mounted, wall, made_of)?;
    let (middle, offsets) = (mounted.middle()?, mounted.column_offsets()?);
    let least = &screw.diameter * analysis.limit(&EDGE_DIAMETERS).value;
    let holding = (offsets.iter())
        .filter(|offset| studs.cover(&(&middle + *offset)).value() >= least.value())
        .count() as u32;
    // One screw at least is pulled, whether anything holds it or not.
    let pull = leverage.on_each(holding.max(1), 2 * holding.max(1), |load| load.tension);
    let capacity = if holding == 0 {
        Uncertain::exact(0.0)
    } else {
        screw.holds(&screw.diameter, &screw.thread)
    };
    if !(pull.value().is_finite() && capacity.value().is_finite()) {
        return Err(mounted.unsaid(
            "screws of 2 to 32 mm with their thread, and rows apart,",
            "screw_diameter",
        ));
    }
    let force = |force: &Uncertain| analysis.print(force, Dimension::Force);
    let sentence = if holding == 0 {
        format!(
            "{}, its upper screws are pulled with {}, and none of them meets a stud; board alone holds nothing.",
            pulled(mounted, &leverage),
            force(&pull),
        )
    } else {
        format!(
            "{}, each of the {holding} upper screws (of {}) that sit in studs is pulled with {}, and holds {} by {} of thread.",
            pulled(mounted, &leverage),
            offsets.len(),
            force(&pull),
            force(&capacity),
            analysis.length(&screw.thread),
        )
    };
    let source = CHECK.source.clone();
    let found = outcome(pull.clone(), &capacity, source, sentence);
    // A place that brings both outer columns to studs; what lies between meets none.
    let outer = (offsets.len() as u32).min(2);
    let shared = leverage.on_each(outer, 2 * outer, |load| load.tension);
    let by_studs = || {
        let moved = to_the_studs(mounted, &studs, &middle, &offsets, &least)
            .or_else(|| other_spread(mounted, &studs, &middle, &offsets, &least))?;
        let holds = screw.holds(&screw.diameter, &screw.thread);
        if to_spare(&(holds - &shared), 0.0) >= 0.0 {
            return Some(moved);
        }
        let longer = longer(mounted, made_of, &screw, &shared)?;
        Some(Remedy {
            says: format!("{} {}", moved.says, longer.says),
            edits: moved.edits.into_iter().chain(longer.edits).collect(),
            ..moved
        })
    };
    let deep = |remedy: &dyn Fn() -> Option<Remedy>| (holding > 0).then(remedy).flatten();
    Ok(found.mended(mounted.analysis, || {
        [
            (holding < outer).then(by_studs).flatten(),
            deep(&|| longer(mounted, made_of, &screw, &pull)),
            deep(&|| thicker(mounted, &screw, &pull, &studs)),
        ]
    }))
}

/// More thread, as far as the stud's depth lets it.
fn longer(
    mounted: &Mounted,
    made_of: &Construction,
    screw: &InWood,
    pull: &Uncertain,
) -> Option<Remedy> {
    /// Depth of the commonest stud, 3 1/2 in (from memory); a tip shall not come out behind.
    const STUD_DEPTH_M: f64 = 3.5 * 0.0254;
    const TIP_M: f64 = 0.5 * 0.0254;
    let analysis = mounted.analysis;
    let depth =
        (analysis.number(made_of.cavity.as_ref())).map_or(STUD_DEPTH_M, |cavity| cavity.value());
    let step = units::step(analysis.printer().system, Dimension::Length, None);
    let from = (screw.thread.value() / step).ceil() as u32;
    let most = ((depth - TIP_M) / step).floor() as u32;
    let thread = (from..=most)
        .map(|steps| f64::from(steps) * step)
        .find(|thread| {
            let holds = screw.holds(&screw.diameter, &Uncertain::exact(*thread));
            to_spare(&(holds - pull), 0.0) >= 0.0
        })?;
    let text = written_length(analysis, thread, Round::Up);
    let says = format!(
        "Use longer screws: {text} of thread in the wood, without the tip and what plate and board take up.",
    );
    let at = format!("kit.mount.{}.thread_in_wood", mounted.item.is);
    Some(Remedy::new(says, vec![Edit::set(at, text)]).caution(Caution::Drilling))
}

/// The next usual lag screw that holds and still keeps its distance from the stud's edge.
fn thicker(mounted: &Mounted, screw: &InWood, pull: &Uncertain, studs: &Studs) -> Option<Remedy> {
    const USUAL_IN: [f64; 4] = [0.25, 0.3125, 0.375, 0.5];
    let analysis = mounted.analysis;
    let edge = analysis.limit(&EDGE_DIAMETERS).value;
    let (middle, offsets) = (mounted.middle().ok()?, mounted.column_offsets().ok()?);
    let covers: Vec<f64> = (offsets.iter())
        .map(|offset| studs.cover(&(&middle + offset)).value())
        .filter(|cover| *cover >= screw.diameter.value() * edge)
        .collect();
    let diameter = (USUAL_IN.into_iter())
        .map(|inches| inches * 0.0254)
        .filter(|diameter| *diameter > screw.diameter.value() + 1e-6)
        .filter(|diameter| covers.iter().all(|cover| *cover >= diameter * edge))
        .find(|diameter| {
            let holds = screw.holds(&Uncertain::exact(*diameter), &screw.thread);
            to_spare(&(holds - pull), 0.0) >= 0.0
        })?;
    let inches = format!("{} in", diameter / 0.0254);
    let says = format!(
        "Use lag screws of {inches} with the same thread, if the plate's holes take them; drill pilot holes.",
    );
    let at = format!("kit.mount.{}.screw_diameter", mounted.item.is);
    Some(Remedy::new(says, vec![Edit::set(at, inches)]).caution(Caution::Drilling))
}

/// The deepest anchor of the table that the screws' length allows.
fn anchor_for(depth_m: f64) -> Option<&'static Anchor> {
    (anchors().iter())
        .filter(|anchor| anchor.embedment.0 <= depth_m + 1e-6)
        .max_by(|a, b| a.embedment.0.total_cmp(&b.embedment.0))
}

fn in_brick(mounted: &Mounted, wall: &str) -> Known<Outcome> {
    let analysis = mounted.analysis;
    let leverage = Leverage::of(mounted)?;
    let depth = (analysis.number(mounted.kit.thread_in_wood.as_ref()))
        .ok_or_else(|| mounted.unsaid("the depth of its screws in the wall", "thread_in_wood"))?;
    let diameter = mounted.screw_diameter()?;
    let shallow = || {
        mounted.unsaid(
            "anchors of 1/4 in, 1 5/8 in deep or deeper, as the table of anchors in solid brick has them: another screw",
            "thread_in_wood",
        )
    };
    let anchor = anchor_for(depth.value())
        .filter(|anchor| diameter.value() >= anchor.diameter.0 - 2e-4)
        .ok_or_else(shallow)?;
    let offsets = mounted.column_offsets()?;
    let columns = offsets.len() as u32;
    let tension = leverage.on_each(columns, 2 * columns, |load| load.tension);
    let shear = leverage.on_each(columns, 2 * columns, |load| load.shear);
    let edge = edge_distance(mounted, wall, &offsets)?;
    let across = match &offsets[..] {
        [first, second, ..] => (second - first).value(),
        _ => f64::INFINITY,
    };
    let rows = leverage.parts[4].value();
    let neighbour = Some(Metres(across.min(rows)));
    let value = |edge: f64| {
        let place = Place {
            edge: Metres(edge),
            neighbour,
        };
        anchor.value(&place).unwrap_or(AnchorValue {
            tension: Newtons(0.0),
            shear: Newtons(0.0),
        })
    };
    // Straight-line interaction T / T_a + V / V_a ≤ 1, solved for the tension left.
    let capacity = uncertainty::through([&edge, &shear], |[edge, shear]| {
        let AnchorValue {
            tension,
            shear: most,
        } = value(edge);
        if most.0 > 0.0 {
            tension.0 * (1.0 - shear / most.0)
        } else {
            0.0
        }
    });
    let force = |force: &Uncertain| analysis.print(force, Dimension::Force);
    let sentence = format!(
        "{}, each of the {columns} upper anchors is pulled with {}, and {} deep in solid brick, {} from the wall's end, it holds {} beside its shear of {}.",
        pulled(mounted, &leverage),
        force(&tension),
        analysis.length(&Uncertain::exact(anchor.embedment.0)),
        analysis.length(&edge),
        force(&capacity),
        force(&shear),
    );
    let source = Source::Published {
        work: "one maker's table of allowable loads of 1/4 in screw anchors in solid brick",
    };
    let found = outcome(tension.clone(), &capacity, source, sentence);
    Ok(found.mended(analysis, || {
        [deeper(
            mounted,
            anchor,
            value(edge.value()),
            &tension,
            &shear,
        )]
    }))
}

/// From the outermost screw to the nearer end of the wall.
fn edge_distance(mounted: &Mounted, wall: &str, offsets: &[Uncertain]) -> Known<Uncertain> {
    let analysis = mounted.analysis;
    let length = (mounted.space.walls.iter().find(|one| one.id == wall))
        .and_then(|one| analysis.number(one.length.as_ref()))
        .ok_or_else(|| {
            let at = format!("space.{}.walls.{wall}.length", mounted.space.id);
            Missing::new(format!("the length of wall {wall}"), at, Means::Tape)
        })?;
    let middle = mounted.middle()?;
    let (first, last) = (&offsets[0], &offsets[offsets.len() - 1]);
    Ok((&middle + first).min(&(length - (&middle + last))))
}

/// The deeper anchor of the table, if it holds where this one does not.
fn deeper(
    mounted: &Mounted,
    anchor: &Anchor,
    at_place: AnchorValue,
    tension: &Uncertain,
    shear: &Uncertain,
) -> Option<Remedy> {
    let deeper = (anchors().iter()).find(|other| other.embedment > anchor.embedment)?;
    // The distances take the same part from every anchor of the table.
    let part = |least: Newtons, of: Newtons| least.0 / of.0;
    let holds = deeper.tension.0 * part(at_place.tension, anchor.tension);
    let sheared = deeper.shear.0 * part(at_place.shear, anchor.shear);
    if sheared <= 0.0 {
        return None;
    }
    let left = holds * (1.0 - shear / sheared);
    if to_spare(&(left - tension), 0.0) < 0.0 {
        return None;
    }
    let text = written_length(mounted.analysis, deeper.embedment.0, Round::Up);
    let says = format!(
        "Use anchors that go {text} into the brick ({:.0} lbf each at full distances).",
        pounds_force(deeper.tension),
    );
    let at = format!("kit.mount.{}.thread_in_wood", mounted.item.is);
    Some(Remedy::new(says, vec![Edit::set(at, text)]).caution(Caution::Drilling))
}

#[cfg(test)]
mod tests;
