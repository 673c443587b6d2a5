//! Does a cupboard stay cool enough for the kit inside?

use analysis::{Analysis, Known, Means, Missing, Parts, Source, Uncertain, item_label};
use model::{CupboardKit, Edit, Face, Item, Kit, Space};
use power::cabinet::{ClosedCabinet, DISCHARGE_COEFFICIENT, OpenFront, VENTS_UNCERTAINTY, Vents};
use power::cabinet::{GRILLE_FREE_PART, WOOD_PANEL_U_W_PER_M2_K};
use power::heat::{Air, Airflow};
use units::{Celsius, Dimension, Kelvin, Metres, SquareMetres, Watts};

use crate::moves::{Round, to_spare, written, written_length};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "cupboard-heat",
    area: Area::Power,
    proves: "With everything in a cupboard running, the air inside stays below the lowest temperature that its kit is rated for.",
    matters: "Kit in a hot cupboard switches itself off in the second hour of the film, and ages fast; the customer finds the doors propped open.",
    formula: "Closed: ΔT = P / (U A). Two equal vents: P = ρ c ΔT C_d A_v / √2 · √(2 g H ΔT / T). P: heat of all that is inside, W; U: heat through the panels, W/(m² K); A: faces with free air, m²; A_v: free area of each vent, m²; H: height between them, m; C_d = 0.6; T: absolute temperature inside, K. Fan: ΔT = P / (ρ c V), V: air that it moves, m³/s. Steady, mixed air. Where there are vents or a fan, the best of the ways counts, not their sum. The limit is the lowest rating less the temperature around the cupboard.",
    source: Source::Derived {
        from: "the balance of heat in steady state; U and C_d from memory, vents good to ±25 %",
    },
    when_it_fails: "Cut vents low and high, add a quiet fan, or stand the hottest thing outside.",
    limits: &[],
    published: &[
        Published {
            cite: "P/(U A): 80 W in a cupboard 0.6 × 0.5 × 1.2 m, front, sides and top free, U 3.5 W/m²K (computed; U from memory)",
            computed: || closed_rise_k(80.0, 3.5, free_area_m2([0.6, 1.2, 0.5], &USUALLY_FREE)),
            expected: 10.296,
            tolerance: 0.5148, // 5 % as the source states.
            unit: "K",
        },
        Published {
            cite: "two vents of 0.020 m² 1.0 m apart, room 22 °C, C_d 0.6: 107.247 W at 12 K (computed)",
            computed: || vented_rise_k(&Air::SEA_LEVEL, 107.247, [0.020, 1.0, 22.0]),
            expected: 12.0,
            tolerance: 0.24, // 3 % of the heat is 2 % of the rise.
            unit: "K",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

const USUALLY_FREE: [Face; 4] = [Face::Front, Face::Left, Face::Right, Face::Top];

/// Area of the free faces of a box: width, height, depth.
fn free_area_m2([width, height, depth]: [f64; 3], faces: &[Face]) -> f64 {
    let area = |face: &Face| match face {
        Face::Front | Face::Back => width * height,
        Face::Left | Face::Right => depth * height,
        Face::Top | Face::Bottom => width * depth,
    };
    faces.iter().map(area).sum()
}

fn closed_rise_k(heat_w: f64, u_w_per_m2_k: f64, area_m2: f64) -> f64 {
    let cabinet = ClosedCabinet {
        free_faces: SquareMetres(area_m2),
        u_w_per_m2_k,
    };
    cabinet.rise(Watts(heat_w)).map_or(f64::NAN, |rise| rise.0)
}

/// Rise with two equal vents: free area of each, height apart, temperature around.
fn vented_rise_k(air: &Air, heat_w: f64, [area_m2, apart_m, around_c]: [f64; 3]) -> f64 {
    let vents = Vents {
        free_area_each: SquareMetres(area_m2),
        height_apart: Metres(apart_m),
        discharge_coefficient: DISCHARGE_COEFFICIENT,
    };
    // Above 100 K the engine has no answer, and no vents help.
    (vents.rise(air, Celsius(around_c), Watts(heat_w))).map_or(f64::INFINITY, |rise| rise.0)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let cupboards = analysis.cupboards_in(space);
    cupboards
        .filter(|(item, _)| inside(analysis, item).any(|thing| warms(analysis, thing)))
        .map(|(item, kit)| {
            CHECK.about(space, Subject::item(item), || {
                decide(analysis, space, item, kit)
            })
        })
        .collect()
}

fn cupboard_kit<'a>(analysis: &'a Analysis, item: &Item) -> Option<&'a CupboardKit> {
    match analysis.kit_of(item) {
        Some(Kit::Cupboard(kit)) => Some(kit),
        _ => None,
    }
}

/// What stands directly in a cupboard.
fn inside<'a>(analysis: &'a Analysis, holder: &'a Item) -> impl Iterator<Item = &'a Item> {
    let all = analysis.items_anywhere();
    all.filter(|item: &&Item| item.inside.as_deref() == Some(&holder.id))
}

/// Whether a thing makes heat of its own, or holds something that does.
fn warms(analysis: &Analysis, item: &Item) -> bool {
    let own = match analysis.kit_of(item) {
        Some(Kit::Amplifier(_) | Kit::Device(_) | Kit::Display(_) | Kit::Projector(_)) => true,
        Some(Kit::Loudspeaker(kit)) => kit.channels == Some(0) || kit.common.watts.is_some(),
        Some(kit) => kit.common().watts.is_some() || kit.common().heat.is_some(),
        None => false,
    };
    own || inside(analysis, item).any(|thing| warms(analysis, thing))
}

/// Heat of a thing and of all that is in it.
fn heat_of(analysis: &Analysis, item: &Item) -> Known<Uncertain> {
    let mut heat = Uncertain::exact(0.0);
    let kit = analysis.kit_of(item);
    if let Some(kit) = kit {
        let common = kit.common();
        let stated = (analysis.number(common.heat.as_ref()))
            .or_else(|| analysis.number(common.watts.as_ref()));
        let count = f64::from(item.count.unwrap_or(1));
        match stated {
            Some(own) => heat = own * count,
            None if warms(analysis, item) && !matches!(kit, Kit::Cupboard(_)) => {
                return Err(Missing::new(
                    format!("the heat or mains power of {}", item.is),
                    format!("kit.{}.{}.watts", kit.kind(), item.is),
                    Means::SpecSheet,
                ));
            }
            None => {}
        }
    }
    for thing in inside(analysis, item) {
        heat = heat + heat_of(analysis, thing)?;
    }
    Ok(heat)
}

/// A cupboard's facts, ready for the question.
struct Cupboard<'a> {
    analysis: &'a Analysis,
    item: &'a Item,
    kit: &'a CupboardKit,
    heat: Uncertain,
    /// Temperature of the air around it, °C.
    around: Uncertain,
    /// Free faces, m².
    faces: Uncertain,
    height: Uncertain,
    u: Uncertain,
    air: Air,
}

impl<'a> Cupboard<'a> {
    fn of(
        analysis: &'a Analysis,
        space: &Space,
        item: &'a Item,
        kit: &'a CupboardKit,
    ) -> Known<Self> {
        let [width, height, depth] = analysis.item_size(item)?;
        let free = kit.free_faces.as_deref().unwrap_or(&USUALLY_FREE);
        let faces =
            uncertainty::through([&width, &height, &depth], |size| free_area_m2(size, free));
        let path = format!("kit.cupboard.{}", item.is);
        let [low, high] = WOOD_PANEL_U_W_PER_M2_K;
        let u = kit.transmittance.map_or_else(
            || {
                let what = format!("the heat that passes the panels of {}", item.is);
                let at = format!("{path}.transmittance");
                analysis.assumed(&what, &at, (low + high) / 2.0, (high - low) / 2.0)
            },
            Uncertain::exact,
        );
        let elevation = analysis
            .site()
            .and_then(|site| analysis.number(site.elevation.as_ref()))
            .map_or(0.0, |elevation| elevation.value());
        Ok(Self {
            analysis,
            item,
            kit,
            heat: heat_of(analysis, item)?,
            around: around(analysis, space, item)?,
            faces,
            height,
            u,
            air: Air::at_elevation(Metres(elevation)).unwrap_or(Air::SEA_LEVEL),
        })
    }

    /// Rise over the air around it, as built: what carries most heat away counts.
    fn rise(&self) -> Known<Uncertain> {
        match (self.still_rise(), self.fanned_rise()) {
            (Ok(still), Some(fanned)) if still.value() < fanned.value() => Ok(still),
            (_, Some(fanned)) => Ok(fanned),
            (still, None) => still,
        }
    }

    /// With the fan running that the cupboard has.
    fn fanned_rise(&self) -> Option<Uncertain> {
        let moved = self.kit.fan_m3_per_h.filter(|moved| *moved > 0.0)?;
        let flow = Airflow(moved / 3600.0);
        let rise = uncertainty::through([&self.heat], |[heat]| {
            (self.air.rise(Watts(heat), flow)).map_or(f64::NAN, |rise| rise.0)
        });
        rise.value().is_finite().then_some(rise)
    }

    /// Without any fan.
    fn still_rise(&self) -> Known<Uncertain> {
        let closed = self.closed_rise();
        match self.analysis.number(self.kit.vent_area.as_ref()) {
            Some(area) if area.value() > 0.0 => {
                let apart = self.vents_apart()?;
                let vented = self.vented_rise(&area, &apart);
                Ok(match closed {
                    Some(closed) if closed.value() <= vented.value() => closed,
                    _ => vented,
                })
            }
            _ => closed.ok_or_else(|| {
                Missing::new(
                    format!("a face of {} that touches free air", item_label(self.item)),
                    format!("kit.cupboard.{}.free_faces", self.item.is),
                    Means::Look,
                )
            }),
        }
    }

    fn closed_rise(&self) -> Option<Uncertain> {
        let rise = uncertainty::through([&self.heat, &self.u, &self.faces], |[heat, u, faces]| {
            closed_rise_k(heat, u, faces)
        });
        rise.value().is_finite().then_some(rise)
    }

    /// With its doors open: all its front, free or not while they are shut.
    fn open_rise(&self) -> Option<Uncertain> {
        let [width, height, _] = self.analysis.item_size(self.item).ok()?;
        let draught = self.draught(
            &format!("how well the open front of {} draws", item_label(self.item)),
            "open_front",
        );
        let counted = &self.heat / &draught;
        let rise = uncertainty::through(
            [&counted, &width, &height, &self.around],
            |[heat, width, height, around]| {
                let front = OpenFront {
                    area: SquareMetres(width * height),
                    height: Metres(height),
                    discharge_coefficient: DISCHARGE_COEFFICIENT,
                };
                let rise = front.rise(&self.air, Celsius(around), Watts(heat));
                rise.map_or(f64::INFINITY, |rise| rise.0)
            },
        );
        rise.value().is_finite().then_some(rise)
    }

    /// Openings draw as the formula says, give or take a quarter.
    fn draught(&self, what: &str, name: &str) -> Uncertain {
        self.analysis.assumed(
            what,
            &format!("item.{}.{name}", self.item.id),
            1.0,
            VENTS_UNCERTAINTY,
        )
    }

    fn vents_apart(&self) -> Known<Uncertain> {
        (self.analysis.number(self.kit.vent_rise.as_ref())).ok_or_else(|| {
            Missing::new(
                format!("the height between the vents of {}", self.item.is),
                format!("kit.cupboard.{}.vent_rise", self.item.is),
                Means::Tape,
            )
        })
    }

    fn vented_rise(&self, area: &Uncertain, apart: &Uncertain) -> Uncertain {
        let draught = self.draught(
            &format!("how well the vents of {} draw", item_label(self.item)),
            "draught",
        );
        // Vents that draw worse by a part carry less heat by that part.
        let counted = &self.heat / &draught;
        uncertainty::through(
            [&counted, area, apart, &self.around],
            |[heat, area, apart, around]| vented_rise_k(&self.air, heat, [area, apart, around]),
        )
    }
}

/// How warm a cupboard gets in one state of its doors and its air.
#[derive(Clone, Debug)]
pub struct CupboardState {
    /// The state in words.
    pub words: &'static str,
    /// Air inside, °C.
    pub inside: Uncertain,
    /// What is rated lowest inside, and that rating, °C; none where no rating is known.
    pub lowest: Option<(String, Uncertain)>,
}

/// Each state of a cupboard that its facts describe, with what is rated lowest inside: doors
/// shut, doors open, by its vents, by its fan. Each is reckoned alone.
pub fn cupboard_states(analysis: &Analysis, item: &Item) -> Vec<CupboardState> {
    let Some(kit) = cupboard_kit(analysis, item) else {
        return Vec::new();
    };
    let Ok(space) = analysis.space_of(item) else {
        return Vec::new();
    };
    let Ok(cupboard) = Cupboard::of(analysis, space, item, kit) else {
        return Vec::new();
    };
    let lowest = weakest(analysis, item).ok().flatten();
    let lowest = lowest.map(|(thing, rated)| (item_label(thing).to_owned(), rated));
    let area = analysis.number(kit.vent_area.as_ref());
    let vented = area
        .filter(|area| area.value() > 0.0)
        .and_then(|area| Some(cupboard.vented_rise(&area, &cupboard.vents_apart().ok()?)));
    let states = [
        ("doors shut, no air through it", cupboard.closed_rise()),
        ("doors open", cupboard.open_rise()),
        ("doors shut, by its vents", vented),
        ("doors shut, by its fan", cupboard.fanned_rise()),
    ];
    (states.into_iter())
        .filter_map(|(words, rise)| {
            let inside = &cupboard.around + &rise?;
            let is_known = inside.value().is_finite();
            is_known.then(|| CupboardState {
                words,
                inside,
                lowest: lowest.clone(),
            })
        })
        .collect()
}

/// The air around a thing: the room's, or that inside the cupboard that holds it.
fn around(analysis: &Analysis, space: &Space, item: &Item) -> Known<Uncertain> {
    let holder = item.inside.as_deref().and_then(|id| analysis.item(id));
    if let Some(holder) = holder
        && let Some(kit) = cupboard_kit(analysis, holder)
    {
        let outer = Cupboard::of(analysis, space, holder, kit)?;
        return Ok(&outer.around + outer.rise()?);
    }
    analysis.number(space.temperature.as_ref()).ok_or_else(|| {
        Missing::new(
            format!("the usual air temperature of {}", space.label()),
            format!("space.{}.temperature", space.id),
            Means::Thermometer,
        )
    })
}

/// The thing inside that is rated lowest, and that rating.
fn weakest<'a>(analysis: &'a Analysis, cupboard: &'a Item) -> Known<Option<(&'a Item, Uncertain)>> {
    let mut weakest: Option<(&Item, Uncertain)> = None;
    for thing in inside(analysis, cupboard).filter(|thing| warms(analysis, thing)) {
        let Some(kit) = analysis.kit_of(thing) else {
            continue;
        };
        if matches!(kit, Kit::Cupboard(_)) {
            continue;
        }
        let rated = analysis
            .number(kit.common().rated_to.as_ref())
            .ok_or_else(|| {
                Missing::new(
                    format!(
                        "the highest temperature around it that {} is rated for",
                        thing.is
                    ),
                    format!("kit.{}.{}.rated_to", kit.kind(), thing.is),
                    Means::SpecSheet,
                )
            })?;
        if weakest
            .as_ref()
            .is_none_or(|(_, lowest)| rated.value() < lowest.value())
        {
            weakest = Some((thing, rated));
        }
    }
    Ok(weakest)
}

fn decide(analysis: &Analysis, space: &Space, item: &Item, kit: &CupboardKit) -> Known<Outcome> {
    let cupboard = Cupboard::of(analysis, space, item, kit)?;
    let Some((thing, rated)) = weakest(analysis, item)? else {
        // All that warms it stands in an inner cupboard, which has its own finding.
        let what = format!("what stands in {} itself", item_label(item));
        return Err(Missing::new(
            what,
            format!("item.{}", item.id),
            Means::OutsideModel,
        ));
    };
    let rise = cupboard.rise()?;
    let allowed = &rated - &cupboard.around;
    let hot = &cupboard.around + &rise;
    let celsius = |number: &Uncertain| analysis.print(number, Dimension::Temperature);
    let vents = analysis
        .number(kit.vent_area.as_ref())
        .filter(|area| area.value() > 0.0);
    let sentence = format!(
        "{} gives {} of heat inside {}, {}: the air there gets {} warmer than the {} around it, to {}, and {} is rated to {}.",
        if inside(analysis, item).count() == 1 {
            "One thing"
        } else {
            "Everything together"
        },
        analysis.print(&cupboard.heat, Dimension::Power),
        item_label(item),
        vents.map_or("shut".to_owned(), |area| format!(
            "with two vents of {} each",
            analysis.print(&area, Dimension::Area)
        )),
        analysis.print(&rise, Dimension::TemperatureDifference),
        celsius(&cupboard.around),
        celsius(&hot),
        item_label(thing),
        celsius(&rated),
    );
    let margin = &allowed - &rise;
    let outcome = Outcome::with_margin(
        rise,
        allowed.value(),
        margin,
        Dimension::TemperatureDifference,
        Source::SpecSheet,
    );
    // What propping the doors open would do is told where it is too hot.
    let open = match outcome.verdict() {
        crate::Verdict::Fits => None,
        _ => cupboard.open_rise(),
    };
    let sentence = match open {
        Some(open) => format!(
            "{sentence} With its doors open it would be {}.",
            celsius(&(&cupboard.around + &open))
        ),
        None => sentence,
    };
    let outcome = outcome.because(sentence).caution(Caution::Heat);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome
        .remedy(cut_vents(&cupboard, &allowed))
        .remedy(move_out(&cupboard, space, &rated)))
}

/// Two vents, in steps of 10 cm² up to what a door can spare; or a fan through them.
fn cut_vents(cupboard: &Cupboard, allowed: &Uncertain) -> Option<Remedy> {
    const STEP_M2: f64 = 0.001;
    const MOST_STEPS: u32 = 100;
    /// Part of the height that lies between a low and a high vent, common practice.
    const PART_OF_HEIGHT: f64 = 0.8;
    let analysis = cupboard.analysis;
    let stated = analysis.number(cupboard.kit.vent_rise.as_ref());
    let apart = stated.clone().unwrap_or_else(|| {
        let mm = (cupboard.height.value() * PART_OF_HEIGHT * 1e3).floor();
        Uncertain::exact(mm / 1e3)
    });
    let area = (1..=MOST_STEPS)
        .map(|steps| f64::from(steps) * STEP_M2)
        .find(|area| {
            let rise = cupboard.vented_rise(&Uncertain::exact(*area), &apart);
            rise.value().is_finite() && to_spare(&(allowed - rise), 0.0) >= 0.0
        })?;
    let step = units::step(analysis.printer().system, Dimension::Area, None);
    let text = written(analysis, area, Dimension::Area, step, Round::Up);
    let height = written_length(analysis, apart.value(), Round::Down);
    let flow = (cupboard.air).airflow(Watts(cupboard.heat.value()), Kelvin(allowed.value()))?;
    let [low, high] = GRILLE_FREE_PART;
    let says = format!(
        "Cut two vents into {} of {text} free area each, one low and one high, {height} apart (of a grille's face only {} to {} is free), or draw {:.0} m³/h ({:.0} ft³/min) through smaller ones with a fan.",
        item_label(cupboard.item),
        analysis.exact(low, Dimension::Ratio),
        analysis.exact(high, Dimension::Ratio),
        flow.cubic_metres_per_hour().ceil(),
        flow.cubic_feet_per_minute().ceil(),
    );
    let path = format!("kit.cupboard.{}", cupboard.item.is);
    let mut edits = vec![Edit::set(format!("{path}.vent_area"), text)];
    if stated.is_none() {
        edits.push(Edit::set(format!("{path}.vent_rise"), height));
    }
    Some(Remedy::new(says, edits).caution(Caution::Heat))
}

/// Stands the thing that gives most heat outside, if what is left is cool enough.
fn move_out(cupboard: &Cupboard, space: &Space, rated: &Uncertain) -> Option<Remedy> {
    let analysis = cupboard.analysis;
    let (hottest, heat) = inside(analysis, cupboard.item)
        .filter_map(|thing| Some((thing, heat_of(analysis, thing).ok()?)))
        .reduce(|most, next| {
            if next.1.value() > most.1.value() {
                next
            } else {
                most
            }
        })?;
    let edits = vec![
        Edit::remove(format!("item.{}.in", hottest.id)),
        Edit::set(format!("item.{}.space", hottest.id), space.id.as_str()),
    ];
    let edited = analysis.edited(&edits).ok()?;
    let item = edited.item(&cupboard.item.id)?;
    let kit = cupboard_kit(&edited, item)?;
    let after = Cupboard::of(&edited, space, item, kit).ok()?;
    // The one left inside that is rated lowest may be another.
    let rated = match weakest(&edited, item).ok()? {
        Some((_, rated)) => rated,
        None => rated.clone(),
    };
    let margin = rated - &after.around - after.rise().ok()?;
    if to_spare(&margin, 0.0) < 0.0 {
        return None;
    }
    let says = format!(
        "Stand {} ({}) outside {}.",
        item_label(hottest),
        analysis.print(&heat, Dimension::Power),
        item_label(cupboard.item),
    );
    Some(Remedy::new(says, edits).caution(Caution::Heat))
}

#[cfg(test)]
mod tests;
