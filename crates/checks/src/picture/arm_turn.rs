//! Does a display that turns and tilts on its arm meet the wall or anything beside it?

use analysis::{Analysis, Known, Means, Missing, Parts, Source, Uncertain, WallRect, item_label};
use geometry::{Convex, OrientedBox, Point3};
use model::{Edit, Item, MountKit, Space};
use optics::display::TurnedPanel;
use units::{Dimension, Metres, Radians};

use super::arm_clear::{CLEARANCE_MIN, concerns, is_display};
use crate::before_wall::BeforeWall;
use crate::moves::{Round, text_of, to_spare, written};
use crate::obstacles::things;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "arm-turn",
    area: Area::Picture,
    proves: "A display at its arm's full reach stays clear of its wall and of everything near it, however far it is turned and tilted.",
    matters: "People pull a display round to the kitchen without looking behind it: its edge finds the wall, the shelf or the lamp.",
    formula: "The display turns and tilts about the middle of its back, at full reach; on a mount without one at its stand-off, tilted as the job says. From the wall: reach − w/2 |sin ψ| − h/2 |sin t| cos ψ, m; w, h outside size; ψ turn, up to what the arm turns; t tilt, up to what it tilts. From things: the least distance, in space, of the turned and tilted box from the thing's, over all turns and tilts together (the solid that the panel sweeps). What makes way when somebody pulls (a cushion, a curtain) counts as well. Less far out the same turn meets the wall sooner, on every arm: the sentence says how far to pull it out first.",
    source: Source::Derived {
        from: "a box turned about an upright and tilted about a level axis",
    },
    when_it_fails: "Set the arm's stops so that it turns less, or choose an arm that reaches farther out.",
    limits: &[&CLEARANCE_MIN],
    published: &[
        Published {
            cite: "a panel 1.2 m wide and 0.45 m off its wall meets it at asin(0.45/0.6) = 48.5904° (exact)",
            computed: || {
                EXAMPLE
                    .turn_max(Metres(0.0))
                    .map_or(f64::NAN, Radians::degrees)
            },
            expected: 48.5904,
            tolerance: 5e-5, // Four printed decimals.
            unit: "°",
        },
        Published {
            cite: "the same panel, 0.7 m high, tilted 10°: 0.45 − 0.35 sin 10° = 0.389223 m off (exact)",
            computed: || {
                EXAMPLE
                    .off_wall(Radians(0.0), Radians::from_degrees(10.0))
                    .map_or(f64::NAN, |off| off.0)
            },
            expected: 0.389223,
            tolerance: 5e-7, // Six printed decimals.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

const EXAMPLE: TurnedPanel = TurnedPanel {
    width: Metres(1.2),
    height: Metres(0.7),
    reach: Metres(0.45),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .pictures_in(space)
        .filter(|item| is_display(analysis, item))
        .filter_map(|item| Some((item, analysis.mount_of(item)?.1)))
        .flat_map(|(item, mount)| about_display(analysis, space, item, mount))
        .collect()
}

/// Things farther than this from the ball that the panel turns in are not told of, m.
const NEAR_M: f64 = 0.15;

/// A display at full reach with the turns and tilts that it can be given.
#[derive(Clone)]
struct Turning {
    /// Its outline where it is watched, square to the wall.
    outside: WallRect,
    /// From the wall to its back, m.
    reach: Uncertain,
    depth: Uncertain,
    /// To each side, rad.
    turns: Uncertain,
    /// Downwards, rad.
    tilts: Uncertain,
}

/// A turn and a tilt, rad.
type Set = [f64; 2];

impl Turning {
    /// Nothing for a display that neither turns nor tilts.
    fn of(analysis: &Analysis, item: &Item, mount: &MountKit) -> Option<Known<Self>> {
        let number = |fact: Option<&model::Angle>| analysis.number(fact).unwrap_or_default();
        let turns = number(mount.turns.as_ref()).max(&number(item.turn.as_ref()).abs());
        let planned = number(item.tilt.as_ref()).abs();
        if turns.value() <= 0.0 && planned.value() <= 0.0 {
            return None;
        }
        // On an arm that turns, anybody who pulls it tilts it too.
        let tilts = if turns.value() > 0.0 {
            planned.max(&number(mount.tilt_down.as_ref()))
        } else {
            planned
        };
        let known = || {
            let id = &mount.common.id;
            let ask = |what: &str, fact: &str| {
                let at = format!("kit.mount.{id}.{fact}");
                Missing::new(format!("{what} of {id}"), at, Means::SpecSheet)
            };
            let moves_out = turns.value() > 0.0 || mount.pull_down.is_some();
            let reach = if moves_out {
                let reach = analysis.number(mount.reach.as_ref());
                reach.ok_or_else(|| ask("the full reach", "reach"))?
            } else {
                let standoff = analysis.number(mount.standoff.as_ref());
                standoff.ok_or_else(|| ask("the parked stand-off", "standoff"))?
            };
            let [_, _, depth] = analysis.item_size(item)?;
            let outside = match analysis.picture_pulled_down(item) {
                Some(picture) => picture?.outside,
                None => analysis.picture(item)?.outside,
            };
            Ok(Self {
                outside,
                reach,
                depth,
                turns,
                tilts,
            })
        };
        Some(known())
    }

    /// The turn and tilt nearest to the wall, and how near.
    fn off_wall_least(&self, turns: &Uncertain) -> Uncertain {
        let (width, height) = (self.outside.width(), self.outside.height());
        uncertainty::through(
            [&width, &height, &self.reach, turns, &self.tilts],
            |[w, h, reach, turns, tilts]| {
                let panel = TurnedPanel {
                    width: Metres(w),
                    height: Metres(h),
                    reach: Metres(reach),
                };
                let at = |turn: f64, tilt: f64| {
                    let off = panel.off_wall(Radians(turn), Radians(tilt));
                    off.map_or(f64::NAN, |off| off.0)
                };
                // w/2 sin ψ + h/2 sin t cos ψ rises with t, and over ψ up to its turning point
                // tan ψ = w / (h sin t).
                let tilt = tilts.min(std::f64::consts::FRAC_PI_2);
                let turning = w.atan2(h * tilt.sin());
                at(turns.min(turning), tilt)
            },
        )
    }

    /// The panel at a turn and tilt, in along, off and up the wall.
    fn panel(inputs: [f64; 6], [turn, tilt]: Set) -> Option<Convex> {
        let [left, right, bottom, top, reach, depth] = inputs;
        let yaw = std::f64::consts::FRAC_PI_2 - turn;
        let size = [depth.max(1e-3), right - left, top - bottom].map(Metres);
        let back = Point3::new((left + right) / 2.0, reach, (bottom + top) / 2.0);
        let at = |centre: Point3| OrientedBox::upright(centre, size, Radians(yaw));
        let normal = at(back).ok()?.tilted(Radians(tilt)).ok()?.axes()[0];
        let panel = at(back + normal * (depth / 2.0)).ok()?;
        Some(Convex::from(&panel.tilted(Radians(tilt)).ok()?))
    }

    fn inputs(&self) -> [Uncertain; 6] {
        let rect = self.outside.clone();
        [
            rect.left,
            rect.right,
            rect.bottom,
            rect.top,
            self.reach.clone(),
            self.depth.clone(),
        ]
    }

    /// The turn and tilt nearest to a thing, searched on a grid and then around its least.
    fn nearest(&self, thing: &Convex, turns: f64) -> Option<(Set, f64)> {
        const TURNS: i32 = 6;
        const TILTS: i32 = 2;
        let inputs = self.inputs().map(|input| input.value());
        let tilts = self.tilts.value();
        let distance = |set: Set| {
            Self::panel(inputs, set).map_or(f64::NAN, |panel| panel.clearance(thing).signed.0)
        };
        let mut best: Option<(Set, f64)> = None;
        let mut note = |set: Set| {
            let here = distance(set);
            if here.is_finite() && best.is_none_or(|(_, least)| here < least) {
                best = Some((set, here));
            }
        };
        for turn in -TURNS..=TURNS {
            for tilt in 0..=if tilts > 0.0 { TILTS } else { 0 } {
                note([
                    turns * f64::from(turn) / f64::from(TURNS),
                    tilts * f64::from(tilt) / f64::from(TILTS),
                ]);
            }
        }
        // Halving steps around the best of the grid.
        let mut step = [turns / f64::from(TURNS), tilts / f64::from(TILTS)];
        for _ in 0..8 {
            step = step.map(|step| step / 2.0);
            let (set, _) = best?;
            for [a, b] in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
                let here = distance([
                    (set[0] + a * step[0]).clamp(-turns, turns),
                    (set[1] + b * step[1]).clamp(0.0, tilts),
                ]);
                if here.is_finite() && best.is_none_or(|(_, least)| here < least) {
                    best = Some((
                        [
                            (set[0] + a * step[0]).clamp(-turns, turns),
                            (set[1] + b * step[1]).clamp(0.0, tilts),
                        ],
                        here,
                    ));
                }
            }
        }
        best
    }

    /// Free distance to a thing at its nearest turn and tilt.
    fn clearance(&self, thing: &BeforeWall, turns: f64) -> Option<Uncertain> {
        let rect = &thing.rect;
        let sides = [
            &rect.left,
            &rect.right,
            &rect.bottom,
            &rect.top,
            &thing.near,
            &thing.far,
        ];
        let (set, _) = self.nearest(&body(sides.map(Uncertain::value))?, turns)?;
        let own = self.inputs();
        let all: Vec<&Uncertain> = own.iter().chain(sides).collect();
        let clearance = uncertainty::through_many(&all, |x| {
            let parts = (|| {
                let panel = Self::panel(x[..6].try_into().ok()?, set)?;
                let thing = body(x[6..].try_into().ok()?)?;
                Some(panel.clearance(&thing).signed.0)
            })();
            vec![parts.unwrap_or(f64::NAN)]
        });
        clearance.into_iter().next()
    }

    /// Whether a thing is within the ball that the panel sweeps, and a reserve.
    fn reaches(&self, thing: &BeforeWall, reserve_m: f64) -> bool {
        let (w, h) = (self.outside.width().value(), self.outside.height().value());
        let radius = (w / 2.0).hypot(h / 2.0).hypot(self.depth.value()) + reserve_m;
        let apart = |centre: f64, from: f64, to: f64| (from - centre).max(centre - to).max(0.0);
        let rect = &thing.rect;
        let along = apart(
            self.outside.centre_left().value(),
            rect.left.value(),
            rect.right.value(),
        );
        let up = apart(
            self.outside.centre_height().value(),
            rect.bottom.value(),
            rect.top.value(),
        );
        let off = apart(self.reach.value(), thing.near.value(), thing.far.value());
        along.hypot(up).hypot(off) < radius
    }
}

/// A thing before the wall, in along, off and up.
fn body([left, right, bottom, top, near, far]: [f64; 6]) -> Option<Convex> {
    let size = [right - left, far - near, top - bottom].map(|side| Metres(side.max(1e-3)));
    let centre = Point3::new(
        (left + right) / 2.0,
        (near + far) / 2.0,
        (bottom + top) / 2.0,
    );
    let body = OrientedBox::upright(centre, size, Radians(0.0)).ok()?;
    Some(Convex::from(&body))
}

fn about_display(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    mount: &MountKit,
) -> Vec<Finding> {
    let subject = Subject::item(item);
    let turning = match Turning::of(analysis, item, mount) {
        None => return Vec::new(),
        Some(Err(missing)) => return vec![CHECK.about(space, subject, || Err(missing))],
        Some(Ok(turning)) => turning,
    };
    let told = Told {
        analysis,
        item,
        mount,
        turning: &turning,
    };
    let wall = Subject::new("wall", "its wall");
    let mut findings = vec![CHECK.about(space, subject.with(&wall, "past"), || Ok(told.wall()))];
    let limit_m = analysis.limit(&CLEARANCE_MIN).value;
    for thing in things(analysis, space).filter(|thing| concerns(analysis, item, *thing)) {
        let subject = subject.with(&thing.subject(), "past");
        let met = thing
            .body(analysis, space)
            .and_then(|body| BeforeWall::of(analysis, space, turning.outside.wall, &body));
        // A mount that only tilts is asked about its wall alone. What is not measured is asked
        // for by the checks of the arm's way and of the display's place.
        if let Ok(met) = met
            && turning.turns.value() > 0.0
            && turning.reaches(&met, NEAR_M.max(limit_m))
        {
            let name = thing.subject().label;
            findings.push(CHECK.about(space, subject, || told.thing(&met, &name)));
        }
    }
    findings
}

/// What is told about one display.
struct Told<'a> {
    analysis: &'a Analysis,
    item: &'a Item,
    mount: &'a MountKit,
    turning: &'a Turning,
}

impl Told<'_> {
    /// "Display, turned up to 45° and tilted up to 10°,"
    fn how(&self) -> String {
        let (turning, analysis) = (self.turning, self.analysis);
        let parts = [(&turning.turns, "turned"), (&turning.tilts, "tilted")];
        let parts: Vec<String> = (parts.into_iter())
            .filter(|(angle, _)| angle.value() > 0.0)
            .map(|(angle, word)| format!("{word} up to {}", analysis.angle(angle)))
            .collect();
        format!("{}, {},", item_label(self.item), parts.join(" and "))
    }

    fn outcome(&self, clearance: Uncertain, from: &str, more: &str) -> Outcome {
        let limit = self.analysis.limit(&CLEARANCE_MIN);
        let sentence = format!(
            "{} {} {from}; {} clear is the least{more}.",
            self.how(),
            if clearance.value() < 0.0 {
                format!("runs {} into", self.analysis.length(&-&clearance))
            } else {
                format!(
                    "stays {} clear of",
                    (self.analysis).beside(&clearance, limit.value, Dimension::Length)
                )
            },
            self.analysis.exact(limit.value, Dimension::Length),
        );
        Outcome::at_least(clearance, &limit, Dimension::Length)
            .because(sentence)
            .caution(Caution::Lifting)
    }

    fn wall(&self) -> Outcome {
        let clearance = self.turning.off_wall_least(&self.turning.turns);
        let limit = self.analysis.limit(&CLEARANCE_MIN).value;
        let outcome = self.outcome(clearance.clone(), "its wall", &self.pulled_out(&clearance));
        if !outcome.asks_for_remedies(self.analysis) {
            return outcome;
        }
        outcome
            .remedy(self.turn_less(|turns| {
                to_spare(&(self.turning.off_wall_least(&turns.into()) - limit), 0.0)
            }))
            .remedy(self.tilt_less(limit))
    }

    /// How far out it must be before it is turned all the way: as far as it reaches, less what
    /// it has to spare there.
    fn pulled_out(&self, clearance: &Uncertain) -> String {
        let limit = self.analysis.limit(&CLEARANCE_MIN).value;
        let least = &self.turning.reach - clearance + limit;
        let turns = self.turning.turns.value() > 0.0;
        if !turns || self.analysis.is_trial() || clearance.value() < limit {
            return String::new();
        }
        let least = self.analysis.length(&least);
        format!(", and it is pulled {least} out before it is turned so far")
    }

    fn thing(&self, thing: &BeforeWall, name: &str) -> Known<Outcome> {
        let most = self.turning.turns.value();
        let not_a_body = || {
            let at = format!("item.{}.on", self.item.id);
            Missing::new(format!("the shape of {name}"), at, Means::OutsideModel)
        };
        let clearance = self.turning.clearance(thing, most).ok_or_else(not_a_body)?;
        let limit = self.analysis.limit(&CLEARANCE_MIN).value;
        let outcome = self.outcome(clearance, name, "");
        if !outcome.asks_for_remedies(self.analysis) {
            return Ok(outcome);
        }
        Ok(outcome.remedy(self.turn_less(|turns| {
            let clearance = self.turning.clearance(thing, turns);
            clearance.map_or(-1.0, |clearance| to_spare(&(clearance - limit), 0.0))
        })))
    }

    /// The arm's stops set to the greatest turn that serves.
    fn turn_less(&self, spare: impl Fn(f64) -> f64) -> Option<Remedy> {
        /// What stops are set to, rad.
        const STEP: f64 = std::f64::consts::PI / 180.0;
        let planned = self.analysis.number(self.item.turn.as_ref());
        let least = planned.map_or(0.0, |turn| turn.value().abs());
        let most = (self.turning.turns.value() / STEP).floor() as u32;
        let turns = (1..=most)
            .rev()
            .map(|count| f64::from(count) * STEP)
            .find(|turns| spare(*turns) >= 0.0)
            .filter(|turns| *turns >= least)?;
        let text = written(self.analysis, turns, Dimension::Angle, STEP, Round::Down);
        let id = &self.mount.common.id;
        let edit = Edit::set(format!("kit.mount.{id}.turns"), text);
        let says = format!(
            "Set the stops of {id} so that it turns {} to each side at the most.",
            text_of(&edit)
        );
        Some(Remedy::new(says, vec![edit]))
    }

    /// A mount that only tilts, tilted less.
    fn tilt_less(&self, limit_m: f64) -> Option<Remedy> {
        const STEP: f64 = 0.5 * std::f64::consts::PI / 180.0;
        if self.turning.turns.value() > 0.0 {
            return None;
        }
        let most = (self.turning.tilts.value() / STEP).floor() as u32;
        let tilt = (0..=most)
            .rev()
            .map(|count| f64::from(count) * STEP)
            .find(|tilt| {
                let mut turning = self.turning.clone();
                turning.tilts = Uncertain::exact(*tilt);
                to_spare(&(turning.off_wall_least(&turning.turns) - limit_m), 0.0) >= 0.0
            })?;
        let text = written(self.analysis, tilt, Dimension::Angle, STEP, Round::Down);
        let says = format!(
            "Tilt {} {text} at the most, or choose a mount that stands farther off the wall.",
            item_label(self.item)
        );
        let edit = Edit::set(format!("item.{}.tilt", self.item.id), text);
        Some(Remedy::new(says, vec![edit]))
    }
}

#[cfg(test)]
mod tests;
