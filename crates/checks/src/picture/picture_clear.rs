//! Does a screen or display, with its frame and case, fit between everything on its wall?

use analysis::{Analysis, Limit, Parts, Picture, Reads, Source, Uncertain, item_label};
use geometry::Rect;
use model::{Anchor, Edit, Item, Kit, Space, SpaceKind};
use units::Dimension;

use crate::behind::behind;
use crate::moves::{Round, from_left, height, least_change, picture_width, to_spare};
use crate::neighbours::{Hanging, Neighbour, best, neighbours};
use crate::obstacles::Thing;
use crate::seeing::picture_with;
use crate::shifting::{Shifting, WAYS};
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "picture-clear",
    area: Area::Picture,
    proves: "The outside of each screen and display clears every fixture, opening, swinging door, soffit, shelf, loudspeaker and plate on its wall, both ends of the wall, the floor and the ceiling's line.",
    matters: "The frame is wider than the picture that was sold: a sconce, a mantel or a door handle behind it shows when the crate is open and the holes are drilled.",
    formula: "Outside = picture + frame on each side, or the maker's outside size; of a drop-down screen with its cloth down: the wider of case and cloth, and as high as case, black drop, picture and tail together, as far out as its case. Gap = distance between the rectangles on the wall, m, or minus the least move that parts them; a thing that stands out of a neighbouring wall or before the wall counts when the picture's own depth reaches it. Door: distance in plan from the leaf's sector to the picture's depth, where their heights meet. Ceiling: height left above the upper corners. Sockets, plates and conduit ends wholly behind the picture are hidden, and a picture wholly before a chimney breast hangs on it: both are not judged. Loudspeakers behind the picture of a screen are asked about by behind-screen. A picture wider than its wall or higher than its room is told as that and nothing else. Gaps over 300 mm are told only when they are the nearest. Valid for things with upright sides.",
    source: Source::Derived {
        from: "distances between rectangles on the wall",
    },
    when_it_fails: "Move the picture, order a smaller one, or have the fixture moved; mains work is a licensed electrician's.",
    limits: &[&GAP_MIN],
    published: NONE,
    run: Run::EachSpaceIn(Parts::FIXTURES.and(Parts::OPENINGS), run),
};

/// Distances between rectangles need no source; the tests work them out by hand.
const NONE: &[Published] = &[];

pub(crate) static GAP_MIN: Limit = Limit {
    name: "picture_gap_min",
    meaning: "least gap between a picture's outside and anything beside it",
    dimension: Dimension::Length,
    value: 0.010,
    source: Source::CommonPractice,
    regional: &[],
};

/// Wider gaps are only told of the nearest thing, m.
const REPORTED_M: f64 = 0.30;
/// Pictures are not moved further than this, m: farther, and the wall is planned anew.
const MOVE_MOST_M: f64 = 0.5;
/// The smallest part of its width that a picture is cut down to.
const WIDTH_SHARE_MIN: f64 = 0.4;

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .pictures_in(space)
        .flat_map(|item| match analysis.noting(|| analysis.picture(item)) {
            (Ok(picture), reads) => around(analysis, space, (item, &picture), reads),
            (Err(missing), _) => vec![CHECK.about(space, Subject::item(item), || Err(missing))],
        })
        .collect()
}

/// `reads`: what the picture's place rests on.
fn around(
    analysis: &Analysis,
    space: &Space,
    (item, picture): (&Item, &Picture),
    reads: Reads,
) -> Vec<Finding> {
    let hanging = Hanging {
        item,
        outside: picture.outside.clone(),
        out: picture.face.off.clone(),
        hides_sockets: true,
        reads,
        asked_by: CHECK.id,
    };
    // A bar or centre loudspeaker is asked about together with its picture elsewhere.
    let goes_with = |thing: &Thing<'_>| match thing {
        Thing::Item(other) => match analysis.kit_of(other) {
            Some(Kit::Loudspeaker(kit)) => {
                let with = picture_with(analysis, space, other, kit);
                with.is_some_and(|with| with.id == item.id)
                    || behind(analysis, space, item, picture, other).is_some()
            }
            _ => false,
        },
        Thing::Fixture(_) | Thing::Soffit(_) => false,
    };
    let obstacles = match neighbours(analysis, space, &hanging, goes_with) {
        Ok(obstacles) => obstacles,
        Err(missing) => return vec![CHECK.about(space, Subject::item(item), || Err(missing))],
    };
    let told = Told {
        analysis,
        item,
        picture,
        shifting: Shifting {
            analysis,
            space,
            hanging: &hanging,
            obstacles: &obstacles,
            least_m: analysis.limit(&GAP_MIN).value,
        },
    };
    let base = Subject::item(item);
    if let Some(finding) = too_large(analysis, space, item, picture) {
        return vec![finding];
    }
    let is_near = |obstacle: &&Neighbour<'_>| {
        obstacle
            .gap
            .as_ref()
            .map_or(true, |gap| gap.value() < REPORTED_M)
    };
    let mut findings: Vec<Finding> = obstacles
        .iter()
        .filter(is_near)
        .map(|obstacle| {
            let subject = base.with(&obstacle.subject, "and");
            CHECK.about(space, subject, || told.decide(obstacle))
        })
        .collect();
    if findings.iter().all(|finding| finding.value.is_none()) {
        let nearest = obstacles
            .iter()
            .filter_map(|obstacle| Some((obstacle.gap.as_ref().ok()?.value(), obstacle)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        findings.extend(
            nearest.map(|(_, obstacle)| CHECK.about(space, base, || told.decide(obstacle))),
        );
    }
    findings
}

/// A picture that no place on its wall can hold: wider than the wall, or higher than the room
/// there.
fn too_large(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    picture: &Picture,
) -> Option<Finding> {
    let shape = analysis.shape(space);
    let outside = &picture.outside;
    let along = shape.wall_length(outside.wall).ok().map(|room| Exceeded {
        size: outside.width(),
        across: "wide",
        of: format!("wall {}", space.walls[outside.wall].id),
        long: "long",
        width_share: 1.0,
        room,
    });
    let ceiling = shape.ceiling_at(&picture.centre.in_plan()).ok();
    let up = ceiling
        .filter(|_| space.kind != Some(SpaceKind::Outdoor))
        .map(|room| Exceeded {
            size: outside.height(),
            across: "high",
            of: "the room there".to_owned(),
            long: "high",
            width_share: picture.aspect,
            room,
        });
    let exceeded: Vec<Exceeded> = (along.into_iter().chain(up))
        .filter(|one| one.size.value() > one.room.value())
        .collect();
    let first = exceeded.first()?;
    let name = item_label(item);
    let subject = Subject::item(item).with(&Subject::new("wall", "its wall"), "and");
    Some(CHECK.about(space, subject, || {
        let limit = analysis.limit(&GAP_MIN);
        let gap = first.gap();
        let overlap = analysis.length(&-&gap);
        // A hair too large may round to nothing.
        let leaves = match overlap.contains(|digit| matches!(digit, '1'..='9')) {
            true => format!("it overlaps by {overlap}"),
            false => "it leaves no gap".to_owned(),
        };
        let sentence = format!(
            "The outside of {name} is {} {} and {} is {} {}: {leaves} wherever it hangs.",
            analysis.length(&first.size),
            first.across,
            first.of,
            analysis.length(&first.room),
            first.long,
        );
        let outcome = Outcome::at_least(gap, &limit, Dimension::Length).because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        // Room for the gap at both ends, and for what the tape does not know.
        let less = exceeded
            .iter()
            .map(|one| (2.0 * limit.value - to_spare(&one.gap(), 0.0)) * one.width_share)
            .fold(0.0, f64::max);
        let width = picture.width().value() - less;
        let smaller = || {
            let (words, mut edits) = (width > 0.0)
                .then(|| picture_width(analysis, item, picture, width, Round::Down))??;
            edits.extend(centred(analysis, space, item, picture));
            let says = format!("Order {name} smaller, with {words}, and hang it in the middle.");
            Some(Remedy::new(says, edits))
        };
        Ok(outcome.remedy(smaller()))
    }))
}

/// A side of a picture's outside that is longer than the room for it.
struct Exceeded {
    size: Uncertain,
    room: Uncertain,
    across: &'static str,
    of: String,
    long: &'static str,
    /// How much narrower the picture gets for each length that this side gets shorter.
    width_share: f64,
}

impl Exceeded {
    fn gap(&self) -> Uncertain {
        &self.room - &self.size
    }
}

/// The middle of wall and room, for a picture that just fits.
fn centred(analysis: &Analysis, space: &Space, item: &Item, picture: &Picture) -> Vec<Edit> {
    let shape = analysis.shape(space);
    let mut edits = vec![Edit::set(format!("item.{}.on.to", item.id), "centre")];
    if let Ok(length) = shape.wall_length(picture.outside.wall) {
        edits.push(from_left(
            analysis,
            item,
            length.value() / 2.0,
            Round::Nearest,
        ));
    }
    if let Ok(ceiling) = shape.ceiling_at(&picture.centre.in_plan())
        && space.kind != Some(SpaceKind::Outdoor)
    {
        edits.push(height(
            analysis,
            item,
            ceiling.value() / 2.0,
            Round::Nearest,
        ));
    }
    edits
}

/// An edge's name and how an outline gives way there.
type Edge = (&'static str, fn(&mut Rect));

/// What is told about one picture.
struct Told<'a> {
    analysis: &'a Analysis,
    item: &'a Item,
    picture: &'a Picture,
    shifting: Shifting<'a>,
}

impl Told<'_> {
    fn decide(&self, obstacle: &Neighbour<'_>) -> Known<Outcome> {
        let analysis = self.analysis;
        let gap = obstacle.gap.clone()?;
        let limit = analysis.limit(&GAP_MIN);
        let outcome = Outcome::at_least(gap.clone(), &limit, Dimension::Length);
        if analysis.is_trial() {
            return Ok(outcome);
        }
        let name = item_label(self.item);
        let other = &obstacle.subject.label;
        let asked = analysis.exact(limit.value, Dimension::Length);
        let edge = self.edge(obstacle);
        let sentence = if gap.value() < 0.0 {
            format!(
                "The outside of {name} overlaps {other} by {} at its {edge}; {asked} clear of it are asked for.",
                analysis.length(&-&gap)
            )
        } else {
            format!(
                "The outside of {name} is {} from {other}, at its {edge}; {asked} are asked for.",
                analysis.beside(&gap, limit.value, Dimension::Length)
            )
        };
        let target = self.shifting.target(&gap);
        let mut outcome = outcome.because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        let is_clear =
            |there: Rect| (obstacle.gap_of)(there) >= target && !self.shifting.spoils(there);
        for way in WAYS {
            let moved = self.shifting.moved(way, MOVE_MOST_M, is_clear);
            outcome = outcome.remedy(moved.map(|(_, remedy)| remedy.caution(Caution::Lifting)));
        }
        Ok(outcome
            .remedy(self.smaller(obstacle, target))
            .remedy(self.shifting.move_fixture(obstacle, target)))
    }

    /// The edge of the outside that faces the neighbour: the one whose move away from it widens
    /// the gap most.
    fn edge(&self, obstacle: &Neighbour<'_>) -> &'static str {
        const STEP_M: f64 = 1e-4;
        let now = best(&self.picture.outside);
        let edges: [Edge; 4] = [
            ("left edge", |rect| rect.left_m += STEP_M),
            ("right edge", |rect| rect.right_m -= STEP_M),
            ("lower edge", |rect| rect.bottom_m += STEP_M),
            ("upper edge", |rect| rect.top_m -= STEP_M),
        ];
        let widened = |shrink: fn(&mut Rect)| {
            let mut rect = now;
            shrink(&mut rect);
            (obstacle.gap_of)(rect) - (obstacle.gap_of)(now)
        };
        let widest = edges
            .into_iter()
            .map(|(name, shrink)| (name, widened(shrink)))
            .filter(|(_, by)| *by > STEP_M * 1e-3)
            .max_by(|a, b| a.1.total_cmp(&b.1));
        widest.map_or("front", |(name, _)| name)
    }

    /// The largest picture that leaves the gap where its place is measured to.
    fn smaller(&self, obstacle: &Neighbour<'_>, target: f64) -> Option<Remedy> {
        let analysis = self.analysis;
        let width = self.picture.width().value();
        let less = least_change(width * (1.0 - WIDTH_SHARE_MIN), |less| {
            (obstacle.gap_of)(self.narrower(less)) - target
        })?;
        let (words, edits) =
            picture_width(analysis, self.item, self.picture, width - less, Round::Down)?;
        let says = format!("Order {} smaller, with {words}.", item_label(self.item));
        Some(Remedy::new(says, edits))
    }

    /// The outside when the picture is narrower by `less` m, and less high in its aspect.
    fn narrower(&self, less: f64) -> Rect {
        let now = best(&self.picture.outside);
        let to = self.item.on.as_ref().and_then(|on| on.to);
        let [x, y] = to.unwrap_or(Anchor::Centre).offset();
        let lower = less / self.picture.aspect;
        Rect {
            left_m: now.left_m + less * (1.0 + x) / 2.0,
            right_m: now.right_m - less * (1.0 - x) / 2.0,
            bottom_m: now.bottom_m + lower * (1.0 + y) / 2.0,
            top_m: now.top_m - lower * (1.0 - y) / 2.0,
        }
    }
}

#[cfg(test)]
mod tests;
