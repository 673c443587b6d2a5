//! Does a display that its arm pulls down and out meet anything on the way?

use analysis::{
    Analysis, Known, Limit, Means, Missing, Parts, Source, Uncertain, WallRect, item_label,
};
use model::{Edit, FixtureKind, Item, Kit, MountKit, Space};
use optics::display::{ArmTravel, BoxBeforeWall, clearance_on_the_way};
use units::{Dimension, Metres};

use crate::before_wall::{BeforeWall, apart};
use crate::moves::{
    Round, along_together, least_change, raised_together, text_of, to_spare, written_length,
};
use crate::obstacles::{Thing, things};
use crate::seeing::headroom;
use crate::{Area, Caution, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "arm-clear",
    area: Area::Picture,
    proves: "A display on an arm that pulls it down and out, and what else hangs on that arm, stay clear of mantel, wall lights, soffits and furniture.",
    matters: "An arm comes down with the weight of the display behind it: a mantel in its way cracks the panel.",
    formula: "c = the largest of the free distances along the wall, up the wall, out from the wall, and square to the arm's way; negative: they meet. Where the sheet states the length of the arm's links the way is their arc: every point of the display goes round a circle of that length, and comes out farthest halfway; c is then the least of the largest of the first three over the whole way. Without it the way is taken as a straight line from parked (stand-off) to fully down (reach). What else the arm carries moves alike, its back as far out as the display's. What already overlaps the parked display is left to picture-clear.",
    source: Source::CommonPractice,
    when_it_fails: "Hang the display higher, or set the arm's stop so that it comes down less.",
    limits: &[&CLEARANCE_MIN],
    published: &[],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

pub(super) static CLEARANCE_MIN: Limit = Limit {
    name: "arm_clearance_min",
    meaning: "the least free distance between a display on its arm and anything that it passes",
    dimension: Dimension::Length,
    value: 0.025,
    source: Source::CommonPractice,
    regional: &[],
};

/// Things farther off than this are not in the arm's way, m.
const NEAR_M: f64 = 0.5;

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .pictures_in(space)
        .filter(|item| is_display(analysis, item))
        .filter_map(|item| {
            let (_, mount) = analysis.mount_of(item)?;
            // An arm without a stated travel does not pull down.
            let travel = analysis.number(mount.pull_down.as_ref())?;
            (travel.value() > 0.0).then(|| about_display(analysis, space, item, mount, travel))
        })
        .flatten()
        .collect()
}

pub(super) fn is_display(analysis: &Analysis, item: &Item) -> bool {
    matches!(analysis.kit_of(item), Some(Kit::Display(_)))
}

/// The display, and whatever else its arm carries on the same wall.
fn about_display(
    analysis: &Analysis,
    space: &Space,
    display: &Item,
    mount: &MountKit,
    travel: Uncertain,
) -> Vec<Finding> {
    let wall = display.on.as_ref().map(|on| &on.wall);
    let beside = analysis.items_in(space).filter(|other| {
        let its_wall = other.on.as_ref().map(|on| &on.wall);
        other.id != display.id
            && other.mount == display.mount
            && its_wall.is_some()
            && its_wall == wall
    });
    std::iter::once(display)
        .chain(beside)
        .flat_map(|moved| about_moved(analysis, space, display, moved, mount, &travel))
        .collect()
}

/// One thing that comes down with the display.
fn about_moved(
    analysis: &Analysis,
    space: &Space,
    display: &Item,
    moved: &Item,
    mount: &MountKit,
    travel: &Uncertain,
) -> Vec<Finding> {
    let subject = Subject::item(moved);
    let sweep = match Sweep::of(analysis, space, moved, mount, travel) {
        Ok(sweep) => sweep,
        Err(missing) => return vec![CHECK.about(space, subject, || Err(missing))],
    };
    things(analysis, space)
        .filter(|thing| concerns(analysis, display, *thing))
        .filter_map(|thing| {
            let subject = subject.with(&thing.subject(), "past");
            let met = thing
                .body(analysis, space)
                .and_then(|body| BeforeWall::of(analysis, space, sweep.parked.wall, &body));
            match met {
                Ok(thing) if !sweep.passes(&thing, moved.id == display.id) => None,
                Ok(met) => Some(CHECK.about(space, subject, || {
                    Ok(decide(
                        analysis,
                        space,
                        [display, moved],
                        mount,
                        &sweep,
                        &thing.subject(),
                        &met,
                    ))
                })),
                // What stands elsewhere in the room may stay unmeasured.
                Err(_) if thing.wall() != moved.on.as_ref().map(|on| on.wall.as_str()) => None,
                Err(missing) => Some(CHECK.about(space, subject, || Err(missing))),
            }
        })
        .collect()
}

/// Whether a thing can be met: not the display itself or what its arm carries, not what
/// belongs to the picture (see `bar-width`), and nothing as flat as a plate.
pub(super) fn concerns(analysis: &Analysis, item: &Item, thing: Thing) -> bool {
    match thing {
        Thing::Soffit(_) => true,
        Thing::Fixture(fixture) => !matches!(
            fixture.kind,
            FixtureKind::Socket
                | FixtureKind::Switch
                | FixtureKind::MainsRun
                | FixtureKind::Plate
                | FixtureKind::ConduitEnd
                | FixtureKind::CableEnd
                | FixtureKind::Thermostat
                | FixtureKind::Walkway
        ),
        Thing::Item(other) => {
            other.id != item.id
                && (other.mount.is_none() || other.mount != item.mount)
                && other.under.as_deref() != Some(&item.id)
                && !matches!(analysis.kit_of(other), Some(Kit::Plate(_)))
        }
    }
}

/// The way of a display, or of what hangs with it, on its arm.
#[derive(Clone)]
struct Sweep {
    parked: WallRect,
    /// From the wall to the thing's back, parked and at full reach.
    standoff: Uncertain,
    reach: Uncertain,
    /// The thing's own depth.
    depth: Uncertain,
    travel: Uncertain,
    /// Length of the arm's two equal links.
    link: Option<Uncertain>,
}

impl Sweep {
    fn of(
        analysis: &Analysis,
        space: &Space,
        item: &Item,
        mount: &MountKit,
        travel: &Uncertain,
    ) -> Known<Self> {
        let id = &mount.common.id;
        let ask = |what: &str, fact: &str| {
            let at = format!("kit.mount.{id}.{fact}");
            Missing::new(format!("{what} of {id}"), at, Means::SpecSheet)
        };
        let standoff = analysis.number(mount.standoff.as_ref());
        let reach = analysis.number(mount.reach.as_ref());
        let link = analysis.number(mount.link.as_ref());
        let [_, _, depth] = analysis.item_size(item)?;
        let sweep = Self {
            parked: match Thing::Item(item).wall_rect(analysis, space) {
                Some(rect) if !is_display(analysis, item) => rect?,
                _ => analysis.picture(item)?.outside,
            },
            standoff: standoff.ok_or_else(|| ask("the parked stand-off", "standoff"))?,
            reach: reach.ok_or_else(|| ask("the full reach", "reach"))?,
            depth,
            travel: travel.clone(),
            link,
        };
        if sweep.arc(0.0).is_some_and(|arc| !arc.is_possible()) {
            let what = "links long enough for the reach and the pull-down";
            return Err(ask(what, "link"));
        }
        Ok(sweep)
    }

    /// The arm's way on its links, with its travel cut short.
    fn arc(&self, cut_m: f64) -> Option<ArmTravel> {
        Some(ArmTravel {
            standoff: Metres(self.standoff.value()),
            reach: Metres(self.reach.value()),
            drop: Metres(self.travel.value() - cut_m),
            link: Some(Metres(self.link.as_ref()?.value())),
        })
    }

    /// Free distance to a thing on the links' arc. A travel cut short ends at the same reach,
    /// as a stop on the wall's side of the links makes it.
    fn clearance_on_arc(
        &self,
        link: &Uncertain,
        thing: &BeforeWall,
        up_m: f64,
        cut_m: f64,
    ) -> Uncertain {
        uncertainty::through(self.inputs(link, thing), |x| on_arc_m(x, up_m, cut_m))
    }

    /// What the clearance on the links' arc rests on.
    fn inputs<'a>(&'a self, link: &'a Uncertain, thing: &'a BeforeWall) -> [&'a Uncertain; 15] {
        let (parked, rect) = (&self.parked, &thing.rect);
        [
            &parked.left,
            &parked.right,
            &parked.bottom,
            &parked.top,
            &self.standoff,
            &self.reach,
            &self.depth,
            &self.travel,
            link,
            &rect.left,
            &rect.right,
            &rect.bottom,
            &rect.top,
            &thing.near,
            &thing.far,
        ]
    }

    /// The clearance by best estimates alone, as the display hangs, m.
    fn clearance_m(&self, thing: &BeforeWall) -> f64 {
        match &self.link {
            Some(link) => {
                let inputs = self.inputs(link, thing);
                on_arc_m(inputs.map(Uncertain::value), 0.0, 0.0)
            }
            None => self.clearance(thing, 0.0, 0.0).value(),
        }
    }

    /// Free distance to a thing with the display hung higher and its travel cut short.
    fn clearance(&self, thing: &BeforeWall, up_m: f64, cut_m: f64) -> Uncertain {
        if let Some(link) = &self.link {
            return self.clearance_on_arc(link, thing, up_m, cut_m);
        }
        let (bottom, top) = (&self.parked.bottom + up_m, &self.parked.top + up_m);
        let (down, out) = (&self.travel - cut_m, &self.reach - &self.standoff);
        let front = &self.standoff + &self.depth;
        let along = apart(
            [&self.parked.left, &self.parked.right],
            [&thing.rect.left, &thing.rect.right],
        );
        let upright = apart(
            [&(&bottom - &down), &top],
            [&thing.rect.bottom, &thing.rect.top],
        );
        let outwards = apart(
            [&self.standoff, &(&self.reach + &self.depth)],
            [&thing.near, &thing.far],
        );
        // Square to the way (out, −down) stands (down, out): along it the moving display
        // takes up no more than the parked one.
        let way = out.hypot(&down);
        let square = |off: &Uncertain, height: &Uncertain| (off * &down + height * &out) / &way;
        let across = apart(
            [&square(&self.standoff, &bottom), &square(&front, &top)],
            [
                &square(&thing.near, &thing.rect.bottom),
                &square(&thing.far, &thing.rect.top),
            ],
        );
        along.max(&upright).max(&outwards).max(&across)
    }

    /// Hung farther to the right.
    fn moved(&self, right_m: f64) -> Self {
        let mut moved = self.clone();
        moved.parked.left = &self.parked.left + right_m;
        moved.parked.right = &self.parked.right + right_m;
        moved
    }

    /// Whether a thing is near the way, and not one that the parked display overlaps, which
    /// `picture-clear` tells; what hangs with the display has no such check.
    fn passes(&self, thing: &BeforeWall, is_display: bool) -> bool {
        let front = &self.standoff + &self.depth;
        let parked = crate::before_wall::rects_apart(&self.parked, &thing.rect)
            .max(&apart([&self.standoff, &front], [&thing.near, &thing.far]));
        (parked.value() >= 0.0 || !is_display) && self.clearance_m(thing) < NEAR_M
    }
}

/// Free distance on the links' arc, m, by the numbers of [`Sweep::inputs`], with the display
/// hung higher and its travel cut short.
fn on_arc_m(
    [l, r, b, t, s, out, d, down, link, tl, tr, tb, tt, near, far]: [f64; 15],
    up_m: f64,
    cut_m: f64,
) -> f64 {
    let way = ArmTravel {
        standoff: Metres(s),
        reach: Metres(out),
        drop: Metres(down - cut_m),
        link: Some(Metres(link)),
    };
    let panel = BoxBeforeWall {
        along: [l, r],
        up: [b + up_m, t + up_m],
        off: [s, s + d],
    };
    let thing = BoxBeforeWall {
        along: [tl, tr],
        up: [tb, tt],
        off: [near, far],
    };
    clearance_on_the_way(way, panel, thing).map_or(f64::NAN, |clear| clear.0)
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    [display, moved]: [&Item; 2],
    mount: &MountKit,
    sweep: &Sweep,
    thing: &Subject,
    met: &BeforeWall,
) -> Outcome {
    let limit = analysis.limit(&CLEARANCE_MIN);
    let clearance = sweep.clearance(met, 0.0, 0.0);
    let outcome =
        Outcome::at_least(clearance.clone(), &limit, Dimension::Length).caution(Caution::Lifting);
    if analysis.is_trial() {
        return outcome;
    }
    let name = item_label(moved);
    let how = format!(
        "{name}, on its way to {} out from the wall and {} down,",
        analysis.length(&sweep.reach),
        analysis.length(&sweep.travel),
    );
    let needed = analysis.exact(limit.value, Dimension::Length);
    let sentence = if clearance.value() < 0.0 {
        let by = analysis.length(&-&clearance);
        format!(
            "{how} runs {by} into {}; it must pass {needed} clear.",
            thing.label
        )
    } else {
        let by = analysis.beside(&clearance, limit.value, Dimension::Length);
        format!(
            "{how} passes {by} clear of {}; {needed} is the least.",
            thing.label
        )
    };
    let spare = |clearance: Uncertain| to_spare(&(clearance - limit.value), 0.0);
    let outcome = outcome.because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return outcome;
    }
    outcome
        .remedy(hang_higher(analysis, space, display, |up| {
            spare(sweep.clearance(met, up, 0.0))
        }))
        .remedy(hang_aside(analysis, space, display, sweep, met, |right| {
            spare(sweep.moved(right).clearance(met, 0.0, 0.0))
        }))
        .remedy(stop_earlier(analysis, mount, sweep, |cut| {
            spare(sweep.clearance(met, 0.0, cut))
        }))
}

fn hang_higher(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    spare: impl Fn(f64) -> f64,
) -> Option<Remedy> {
    let room_m = headroom(analysis, space, &analysis.picture(item).ok()?);
    let by_m = least_change(room_m, spare)?;
    let edits = raised_together(analysis, item, by_m, None)?;
    let says = format!(
        "Hang {} {} higher, at {}.",
        item_label(item),
        written_length(analysis, by_m, Round::Up),
        text_of(&edits[0]),
    );
    Some(
        Remedy::new(says, edits)
            .caution(Caution::Lifting)
            .caution(Caution::Drilling),
    )
}

/// Along the wall, away from the thing.
fn hang_aside(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    sweep: &Sweep,
    thing: &BeforeWall,
    spare: impl Fn(f64) -> f64,
) -> Option<Remedy> {
    /// Farther, and the display no longer hangs where it was wanted: common practice.
    const MOST_M: f64 = 0.3;
    let wall = analysis.shape(space).wall_length(sweep.parked.wall).ok()?;
    let is_left = sweep.parked.centre_left() < thing.rect.centre_left();
    let (sign, room_m, word) = if is_left {
        (-1.0, sweep.parked.left.value(), "left")
    } else {
        (1.0, (wall - &sweep.parked.right).value(), "right")
    };
    let by_m = least_change(room_m.clamp(0.0, MOST_M), |by| spare(sign * by))?;
    let edits = along_together(analysis, item, sign * by_m)?;
    let says = format!(
        "Hang {} {} to the {word}, at {} from the left corner.",
        item_label(item),
        written_length(analysis, by_m, Round::Up),
        text_of(&edits[0]),
    );
    Some(
        Remedy::new(says, edits)
            .caution(Caution::Lifting)
            .caution(Caution::Drilling),
    )
}

fn stop_earlier(
    analysis: &Analysis,
    mount: &MountKit,
    sweep: &Sweep,
    spare: impl Fn(f64) -> f64,
) -> Option<Remedy> {
    let travel_m = sweep.travel.value();
    let by_m = least_change(travel_m * 0.95, spare)?;
    let text = written_length(analysis, travel_m - by_m, Round::Down);
    let id = &mount.common.id;
    let says = format!("Set the stop of {id} so that it pulls down {text} at the most.");
    let edit = Edit::set(format!("kit.mount.{id}.pull_down"), text);
    Some(Remedy::new(says, vec![edit]))
}

#[cfg(test)]
mod tests;
