//! Does what goes on a wall beside the picture clear everything that is there already?

use std::rc::Rc;

use analysis::{Analysis, Known, Limit, Parts, Reads, Source, Uncertain, item_label};
use geometry::Rect;
use model::{Item, Kit, Space};
use units::Dimension;

use crate::moves::to_spare;
use crate::neighbours::{Hanging, Neighbour, best, neighbours};
use crate::obstacles::{Thing, is_picture};
use crate::plate::reuses;
use crate::shifting::{Shifting, WAYS};
use crate::{Area, Caution, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "on-wall-clear",
    area: Area::Cables,
    proves: "Each loudspeaker, plate and device on or in a wall clears the lamps, sockets, shelves, openings, swinging doors, soffits and other kit there, both ends of the wall, the floor and the ceiling's line.",
    matters: "A loudspeaker over a light switch, or a hole cut where the sconce's box sits, shows when the template is taped up; a door handle finds the grille later.",
    formula: "Outside = case or grille by its sheet, a bar's bracket if wider. Gap = distance between the rectangles on the wall, m, or minus the least move that parts them; the nearest thing, as well as it is known, decides. A thing that stands out of a neighbouring wall or before the wall counts when the depth of what hangs reaches it. Door: distance in plan from the leaf's sector, where heights meet. Ceiling: height left above the upper corners. Plates and conduit ends wholly behind are hidden, and the plate that a thing takes over is its own; what a picture's outside meets is asked about with the picture. Valid for things with upright sides.",
    source: Source::Derived {
        from: "distances between rectangles on the wall",
    },
    when_it_fails: "Move it along the wall to the nearest free stretch and ask for its angles again, or have the fixture moved; mains work is a licensed electrician's.",
    limits: &[&GAP_MIN],
    published: &[],
    run: Run::EachSpaceIn(Parts::FIXTURES.and(Parts::OPENINGS), run),
};

pub(crate) static GAP_MIN: Limit = Limit {
    name: "on_wall_gap_min",
    meaning: "least gap between what is fitted on or in a wall and anything beside it",
    dimension: Dimension::Length,
    value: 0.010,
    source: Source::CommonPractice,
    regional: &[],
};

/// Farther than this along the wall a place is not looked for, m.
const ALONG_MOST_M: f64 = 1.5;
/// Nor farther up or down, m.
const UP_MOST_M: f64 = 0.5;
/// A fixture of unknown size reaches no further than this from its middle, m.
const UNKNOWN_REACH_M: f64 = 0.6;
/// Places above this are reached from a ladder, m.
const OUT_OF_REACH_M: f64 = 2.0;

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let fitted = fitted(analysis, space);
    let items = fitted.iter().filter_map(|id| analysis.item(id));
    items
        .flat_map(|item| {
            if !analysis.is_trial() {
                return about(analysis, space, item);
            }
            // Of those on one wall the others need not be asked when one on another moves.
            let findings = analysis.kept_of_item("clear on its wall", item, || {
                let space = analysis.with_parts(space, CHECK.run.parts());
                Rc::<[Finding]>::from(about(analysis, space, item))
            });
            findings.to_vec()
        })
        .collect()
}

/// The ids of what is still to be fitted on walls of a space.
fn fitted(analysis: &Analysis, space: &Space) -> Rc<[String]> {
    analysis.settled_of_space("fitted on walls", space, |analysis, space| {
        let items = analysis.items_in_where(space, "fitted on a wall", is_fitted);
        items.map(|item| item.id.clone()).collect()
    })
}

/// Items with the plates that they take over.
fn own_plates(analysis: &Analysis, space: &Space) -> Rc<[(String, String)]> {
    analysis.settled_of_space("plates taken over", space, |analysis, space| {
        let space = analysis.with_parts(space, Parts::FIXTURES);
        (reuses(analysis, space).iter())
            .map(|reuse| (reuse.item.id.clone(), reuse.plate.id.clone()))
            .collect()
    })
}

fn about(analysis: &Analysis, space: &Space, item: &Item) -> Vec<Finding> {
    let subject = Subject::item(item);
    let (hanging, reads) = analysis.noting(|| hanging(analysis, space, item));
    let hanging = match hanging {
        Ok(hanging) => Hanging { reads, ..hanging },
        Err(missing) => return vec![CHECK.about(space, subject, || Err(missing))],
    };
    let own_plates = own_plates(analysis, space);
    let is_own_plate = |thing: &Thing<'_>| match thing {
        Thing::Fixture(fixture) => {
            (own_plates.iter()).any(|(own, plate)| *own == item.id && *plate == fixture.id)
        }
        _ => false,
    };
    let obstacles = match neighbours(analysis, space, &hanging, is_own_plate) {
        Ok(obstacles) => obstacles,
        Err(missing) => return vec![CHECK.about(space, subject, || Err(missing))],
    };
    // Of two things each is the other's neighbour: the first of the list speaks of both.
    let fitted = fitted(analysis, space);
    let told_elsewhere = |obstacle: &Neighbour<'_>| match obstacle.thing {
        Some(Thing::Item(other)) => {
            let mut before = fitted.iter().take_while(|id| **id != item.id);
            analysis.kit_of(other).is_some_and(is_picture) || before.any(|id| *id == other.id)
        }
        _ => false,
    };
    let mut findings = Vec::new();
    for obstacle in &obstacles {
        if let Err(missing) = &obstacle.gap
            && !told_elsewhere(obstacle)
            && may_be_near(&hanging, obstacle)
        {
            let both = subject.with(&obstacle.subject, "and");
            findings.push(CHECK.about(space, both, || Err(missing.clone())));
        }
    }
    let among = Among {
        shifting: Shifting {
            analysis,
            space,
            hanging: &hanging,
            obstacles: &obstacles,
            least_m: analysis.limit(&GAP_MIN).value,
        },
        judged: (0..obstacles.len())
            .filter(|at| !told_elsewhere(&obstacles[*at]))
            .collect(),
    };
    findings.push(CHECK.about(space, subject, || Ok(among.decide())));
    findings
}

/// What is still to be fitted on a wall and is no picture; an arm goes with what it carries.
fn is_fitted(analysis: &Analysis, item: &Item) -> bool {
    let fits = matches!(
        analysis.kit_of(item),
        Some(
            Kit::Loudspeaker(_)
                | Kit::Plate(_)
                | Kit::Amplifier(_)
                | Kit::Device(_)
                | Kit::Cupboard(_)
        )
    );
    fits && item.on.is_some() && !item.existing
}

fn hanging<'a>(analysis: &Analysis, space: &Space, item: &'a Item) -> Known<Hanging<'a>> {
    let rect = Thing::Item(item).wall_rect(analysis, space);
    let mut outside = rect.expect("what is fitted is on a wall")?;
    if let Some(Kit::Loudspeaker(kit)) = analysis.kit_of(item)
        && let Some(bracket) = analysis.number(kit.bracket_width.as_ref())
    {
        let middle = outside.centre_left();
        let width = outside.width().max(&bracket);
        outside.left = &middle - &width / 2.0;
        outside.right = &middle + &width / 2.0;
    }
    Ok(Hanging {
        item,
        out: outside.out.clone().unwrap_or_default(),
        outside,
        hides_sockets: false,
        reads: Reads::default(),
        asked_by: CHECK.id,
    })
}

/// Whether a thing of unknown size, at a known place or not, may reach what hangs.
fn may_be_near(hanging: &Hanging<'_>, obstacle: &Neighbour<'_>) -> bool {
    let Some(Thing::Fixture(fixture)) = obstacle.thing else {
        return true;
    };
    let place = fixture.on.as_ref().and_then(|on| {
        let [left, up] = [&on.from_left, &on.height].map(|length| length.as_ref()?.value());
        Some((left?, up?))
    });
    place.is_none_or(|(left, up)| {
        let outside = best(&hanging.outside);
        let across = (outside.left_m - left).max(left - outside.right_m).max(0.0);
        let upright = (outside.bottom_m - up).max(up - outside.top_m).max(0.0);
        across.hypot(upright) < UNKNOWN_REACH_M
    })
}

/// A thing on its wall, and which of its neighbours are judged here.
struct Among<'a> {
    shifting: Shifting<'a>,
    judged: Vec<usize>,
}

impl Among<'_> {
    fn decide(&self) -> Outcome {
        let Shifting {
            analysis,
            space,
            hanging,
            obstacles,
            least_m,
        } = self.shifting;
        let limit = analysis.limit(&GAP_MIN);
        let near: Vec<(&Neighbour<'_>, &Uncertain)> = (self.judged.iter())
            .filter_map(|at| Some((&obstacles[*at], obstacles[*at].gap.as_ref().ok()?)))
            .collect();
        let spare = |gap: &Uncertain| to_spare(&(gap - least_m), 0.0);
        let (nearest, gap) = (near.iter())
            .min_by(|a, b| spare(a.1).total_cmp(&spare(b.1)))
            .expect("a wall has two ends and a floor");
        if analysis.is_trial() {
            return Outcome::at_least((*gap).clone(), &limit, Dimension::Length);
        }
        let name = item_label(hanging.item);
        let wall = &space.walls[hanging.outside.wall].id;
        let asked = analysis.exact(limit.value, Dimension::Length);
        let other = &nearest.subject.label;
        let mut sentence = if gap.value() < 0.0 {
            let by = analysis.length(&-*gap);
            format!("{name} overlaps {other} by {by}; {asked} clear of it are asked for")
        } else {
            let by = analysis.beside(gap, limit.value, Dimension::Length);
            format!(
                "{name} on wall {wall} is {by} from {other}, and nothing is nearer; {asked} are asked for"
            )
        };
        let too_near: Vec<&str> = (near.iter())
            .filter(|(one, gap)| gap.value() < least_m && one.subject.id != nearest.subject.id)
            .map(|(one, _)| one.subject.label.as_str())
            .collect();
        if !too_near.is_empty() {
            sentence += &format!("; {} are too near as well", too_near.join(" and "));
        }
        let outcome = Outcome::at_least((*gap).clone(), &limit, Dimension::Length)
            .because(sentence + ".")
            .caution(Caution::Drilling);
        if !outcome.asks_for_remedies(analysis) {
            return outcome;
        }
        let alone = too_near.is_empty();
        let target = self.shifting.target(gap);
        let fixture = alone.then(|| self.shifting.move_fixture(nearest, target));
        let outcome = (self.free_stretches().into_iter())
            .fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy)));
        outcome.remedy(fixture.flatten())
    }

    /// The nearest free stretches of the wall, nearest first.
    fn free_stretches(&self) -> Vec<Remedy> {
        let hanging = self.shifting.hanging;
        let now = best(&hanging.outside);
        let wanted: Vec<f64> = (self.shifting.obstacles.iter().enumerate())
            .map(|(at, obstacle)| match &obstacle.gap {
                Ok(gap) if self.judged.contains(&at) => self.shifting.target(gap),
                // What is judged elsewhere only must not get worse.
                Ok(gap) => self.shifting.target(gap).min((obstacle.gap_of)(now)),
                Err(_) => f64::NEG_INFINITY,
            })
            .collect();
        let is_clear = |there: Rect| {
            (self.shifting.obstacles.iter().zip(&wanted))
                .all(|(obstacle, wanted)| (obstacle.gap_of)(there) >= *wanted)
        };
        let mut found: Vec<(f64, Remedy)> = WAYS
            .into_iter()
            .filter_map(|way| {
                let most = if way.is_along() {
                    ALONG_MOST_M
                } else {
                    UP_MOST_M
                };
                self.shifting.moved(way, most, is_clear)
            })
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        let high = now.top_m > OUT_OF_REACH_M;
        (found.into_iter().take(3))
            .map(|(_, remedy)| {
                let remedy = remedy.caution(Caution::Drilling);
                if high {
                    remedy.caution(Caution::Ladder)
                } else {
                    remedy
                }
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    //! Every kind of neighbour by hand, both sides of the limit, and every remedy.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{ROOM, findings, findings_after, findings_of, told};
    use crate::{Finding, Verdict};

    /// A case of 200 × 300 × 100 mm on the 6 m north wall.
    fn speaker(from_left: &str, height: &str, extra: &str) -> String {
        format!(
            r#"
{extra}
[[kit.loudspeaker]]
id = "onwall-w1"
form = "on-wall"
size = ["200 mm", "300 mm", "100 mm"]
[[item]]
id = "left"
is = "onwall-w1"
on = {{ wall = "north", from_left = "{from_left}", height = "{height}" }}
"#
        )
    }

    /// 80 × 80 mm, standing out 10 mm.
    fn fixture(kind: &str, from_left: &str, height: &str) -> String {
        format!(
            r#"
[[space.fixture]]
id = "thing"
kind = "{kind}"
on = {{ wall = "north", from_left = "{from_left}", height = "{height}" }}
size = ["80 mm", "80 mm", "10 mm"]
"#
        )
    }

    fn only(text: &str) -> Finding {
        let mut found = findings(&CHECK, text);
        assert_eq!(found.len(), 1, "{}", told(&found));
        found.remove(0)
    }

    #[test]
    fn a_lonely_loudspeaker_tells_of_its_nearest_neighbour() {
        // Ceiling: 2.4 − (1.3 + 0.15) = 0.95 m; floor 1.15 m; ends 2.9 m.
        expect![[r#"
            left: fits +0.940: left on wall north is 950 mm from the ceiling, and nothing is nearer; 10 mm are asked for.
        "#]]
        .assert_eq(&told(&[only(&speaker("3 m", "1.3 m", ""))]));
    }

    #[test]
    fn either_side_of_the_gap_to_a_socket() {
        // Right edge at 3.1 m; the socket's left edge 40 mm left of its middle: 10 mm gap
        // at 3.15 m, known to a tape's ± 3 mm or so.
        let with = |place: &str| only(&speaker("3 m", "1.3 m", &fixture("socket", place, "1.3 m")));
        for (place, verdict) in [
            ("3.13 m", Verdict::Fails),
            ("3.149 m", Verdict::Fails),
            ("3.151 m", Verdict::Tight),
            ("3.18 m", Verdict::Fits),
            ("3.18 m paced", Verdict::Tight),
        ] {
            assert_eq!(with(place).verdict, verdict, "{place}");
        }
    }

    #[test]
    fn a_plate_may_hide_behind_it_and_a_socket_may_not() {
        let with = |kind: &str| only(&speaker("3 m", "1.3 m", &fixture(kind, "3 m", "1.3 m")));
        assert_eq!(with("plate").verdict, Verdict::Fits);
        assert_eq!(with("conduit-end").verdict, Verdict::Fits);
        let socket = with("socket");
        // The shortest way to part them: 100 + 40 mm sideways.
        assert_eq!(socket.verdict, Verdict::Fails);
        assert!((socket.margin.clone().expect("decided").value() + 0.15).abs() < 1e-6);
    }

    #[test]
    fn the_plate_that_it_takes_over_is_its_own() {
        let plate = fixture("plate", "3.1 m", "1.3 m");
        assert_eq!(
            only(&speaker("3 m", "1.3 m", &plate)).verdict,
            Verdict::Fails
        );
        let own = speaker("3 m", "1.3 m", &plate) + "reuses = \"thing\"\n";
        assert_eq!(only(&own).verdict, Verdict::Fits);
    }

    #[test]
    fn a_fixture_of_unknown_size_is_asked_for_where_it_is_near() {
        let sized = |place: &str| {
            fixture("wall-light", place, "1.3 m").replace("size =", "note = \"old\" #")
        };
        let found = findings(&CHECK, &speaker("3 m", "1.3 m", &sized("3.4 m")));
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.fixture.thing.size");
        assert_eq!(
            findings(&CHECK, &speaker("3 m", "1.3 m", &sized("4 m"))).len(),
            1
        );
    }

    #[test]
    fn a_case_without_size_or_place_is_unknown() {
        let text = speaker("3 m", "1.3 m", "");
        let unsized_case = text.replace("size =", "name = \"W1\" #");
        assert_eq!(
            only(&unsized_case).needs[0].at,
            "kit.loudspeaker.onwall-w1.size"
        );
        let unplaced = text.replace(", height = \"1.3 m\"", "");
        assert_eq!(only(&unplaced).needs[0].at, "item.left.on.height");
    }

    #[test]
    fn a_door_that_opens_against_the_wall_reaches_what_hangs_there() {
        // Hinged at 1 m, 0.8 m wide. At 170° its leaf is 0.4 m · tan 10° = 71 mm off the
        // wall above the case's right edge at 0.6 m, inside the case's 100 mm.
        let door = |opens: &str| {
            format!(
                r#"
[[space.opening]]
id = "door"
kind = "door"
on = {{ wall = "north", from_left = "1 m", height = "0 m" }}
size = ["800 mm", "2 m"]
swing = {{ hinge = "left", into = "room", opens = "{opens}" }}
"#
            )
        };
        let wide = only(&speaker("0.5 m", "1.3 m", &door("170 deg")));
        assert_eq!(wide.verdict, Verdict::Fails, "{}", wide.because);
        assert!(
            wide.because.contains("the swinging leaf of door"),
            "{}",
            wide.because
        );
        assert_eq!(
            only(&speaker("0.5 m", "1.3 m", &door("90 deg"))).verdict,
            Verdict::Fits
        );
        // Above the door's head it passes below.
        assert_eq!(
            only(&speaker("0.5 m", "2.2 m", &door("170 deg"))).verdict,
            Verdict::Fits
        );
    }

    #[test]
    fn under_a_slope_the_upper_corner_decides() {
        // Along the north wall the ceiling rises from 1.8 m by 0.1 a metre: 1.89 m above
        // the left corner of a case at 1 m, whose top is 150 mm above its middle.
        let room = ROOM.replace(
            "{ shape = \"flat\", height = \"2.4 m\" }",
            "{ shape = \"shed\", low = \"west\", eaves = \"1.8 m\", top = \"2.4 m\" }",
        );
        let margin = |height: &str| {
            let found = findings_of(&CHECK, &format!("{room}{}", speaker("1 m", height, "")));
            assert_eq!(found.len(), 1);
            found[0].margin.as_ref().expect("decided").value()
        };
        assert!((margin("1.7 m") - 0.03).abs() < 1e-3, "{}", margin("1.7 m"));
        assert!(
            (margin("1.75 m") + 0.02).abs() < 1e-3,
            "{}",
            margin("1.75 m")
        );
    }

    #[test]
    fn two_loudspeakers_are_told_of_once() {
        let other = r#"
[[item]]
id = "right"
is = "onwall-w1"
on = { wall = "north", from_left = "3.15 m", height = "1.3 m" }
"#;
        let found = findings(&CHECK, &(speaker("3 m", "1.3 m", "") + other));
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[1].verdict, Verdict::Fits);
    }

    #[test]
    fn what_is_there_already_is_not_judged() {
        let there = speaker("3 m", "1.3 m", &fixture("socket", "3 m", "1.3 m"));
        assert!(findings(&CHECK, &(there + "existing = true\n")).is_empty());
    }

    #[test]
    fn every_remedy_mends_it() {
        // A lamp over its corner can be moved; between two sockets, 320 mm apart, the case
        // of 200 mm has its place too.
        let second = fixture("socket", "2.72 m", "1.3 m").replace("thing", "second");
        for (extra, count) in [
            (fixture("wall-light", "3.05 m", "1.4 m"), 4),
            (fixture("socket", "3.12 m", "1.3 m") + &second, 3),
        ] {
            let text = speaker("3 m", "1.3 m", &extra);
            let found = only(&text);
            assert_eq!(found.verdict, Verdict::Fails);
            assert_eq!(found.remedies.len(), count, "{:?}", found.remedies);
            for remedy in &found.remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_eq!(
                    after[0].verdict,
                    Verdict::Fits,
                    "{} {}",
                    remedy.says,
                    after[0].because
                );
            }
        }
    }

    #[test]
    fn a_shelf_and_a_lamp_are_named_together() {
        let lamp = fixture("wall-light", "3.1 m", "1.4 m");
        let shelf = fixture("other", "2.9 m", "1.2 m").replace("thing", "shelf");
        let found = only(&speaker("3 m", "1.3 m", &(lamp + &shelf)));
        assert!(
            found.because.ends_with("are too near as well."),
            "{}",
            found.because
        );
    }
}
