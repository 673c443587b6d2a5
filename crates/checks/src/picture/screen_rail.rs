//! Do the holes of a screen's rail meet the studs?

use analysis::{Analysis, Known, Means, Missing, Parts, Source, Uncertain, item_label};
use model::{Framing, Item, Kit, Rail, ScreenKit, Space};
use structure::wood::{EdgeDistance, Spacing, edge_margin};
use units::{Dimension, Metres, step};

use crate::mounted::Studs;
use crate::moves::{Round, along_together, text_of, to_spare, written_length};
use crate::structure::EDGE_DIAMETERS;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "screen-rail",
    area: Area::Picture,
    proves: "Holes of the rail that a screen hangs on meet two studs, at least half the rail's length apart, far enough from the studs' edges.",
    matters: "A rail screwed to the board alone lets go months later, over the heads of the front row; one hole pitch beside the stud is found with the screen in two people's hands.",
    formula: "cover = f/2 − |x − c|; f: width of a stud's face, m (38 mm where nobody measured it); x: the hole of the rail nearest to the stud, m; c: the stud's middle, m; a slot has a hole everywhere. Of the pairs of studs that are half the rail's length apart or more, the one whose worse cover is best counts. The least cover is k D; D: the screw's diameter, m; k: diameters from screw to edge. The rail lies in the middle of the screen's width. For wood studs.",
    source: Source::FromMemory {
        work: "NDS 12.5, edge distance of fasteners",
    },
    when_it_fails: "Move the screen sideways by less than a hole's pitch, use a rail with a slot, or have a carpenter fix a backing board.",
    limits: &[&EDGE_DIAMETERS],
    published: &[
        Published {
            cite: "NDS 12.5 (from memory): 1/4 in screw in the middle of a 1 1/2 in face, 0.75 − 1.5 × 0.25 in to spare (computed)",
            computed: || spare_in(0.75, 0.25),
            expected: 0.375,
            tolerance: 1e-12, // Exact decimals.
            unit: "in",
        },
        Published {
            cite: "NDS 12.5 (from memory): the same screw 3/8 in off the middle, 0.375 − 0.375 in (computed)",
            computed: || spare_in(0.375, 0.25),
            expected: 0.0,
            tolerance: 1e-12, // Exact decimals.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// Screws nearer together than this share of the rail let its ends tip: common practice.
const SPREAD_SHARE: f64 = 0.5;

fn spare_in(edge_in: f64, diameter_in: f64) -> f64 {
    let screw = EdgeDistance {
        distance: Metres::from_inches(edge_in),
        diameter: Metres::from_inches(diameter_in),
    };
    edge_margin(screw, &Spacing::NDS).map_or(f64::NAN, Metres::inches)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .pictures_in(space)
        .filter_map(|item| {
            let Some(Kit::Screen(kit)) = analysis.kit_of(item) else {
                return None;
            };
            // A screen on a mount of its own is asked about with that.
            if item.mount.is_some() {
                return None;
            }
            let wall = &item.on.as_ref()?.wall;
            let made_of = space.construction_of(wall).map(|made_of| made_of.framing);
            matches!(made_of, None | Some(Framing::Stud)).then(|| {
                CHECK.about(space, Subject::item(item), || {
                    decide(analysis, space, item, kit, wall)
                })
            })
        })
        .collect()
}

/// A rail before the studs of its wall.
struct Before {
    studs: Studs,
    /// Its left end from the wall's left corner, m.
    left: Uncertain,
    length: Uncertain,
    /// To the first hole, and from hole to hole; `None` for a slot.
    holes: Option<[Uncertain; 2]>,
}

impl Before {
    /// Covers of the pair of studs that is best, with the rail moved to the right.
    fn best(&self, right_m: f64) -> Option<[Uncertain; 2]> {
        let left = &self.left + right_m;
        let covers: Vec<(f64, Uncertain)> = (self.studs.centres.iter())
            .filter(|stud| **stud >= left && stud.value() <= left.value() + self.length.value())
            .map(|stud| (stud.value(), self.cover(stud, &left)))
            .collect();
        let least_m = SPREAD_SHARE * self.length.value();
        let mut best: Option<[&Uncertain; 2]> = None;
        for (index, (place, cover)) in covers.iter().enumerate() {
            for (other, next) in covers[index + 1..].iter() {
                let worse = |pair: [&Uncertain; 2]| pair[0].value().min(pair[1].value());
                if other - place >= least_m
                    && best.is_none_or(|best| worse([cover, next]) > worse(best))
                {
                    best = Some([cover, next]);
                }
            }
        }
        best.map(|pair| pair.map(Clone::clone))
    }

    fn cover(&self, stud: &Uncertain, left: &Uncertain) -> Uncertain {
        let half = &self.studs.face / 2.0;
        let Some([first, pitch]) = &self.holes else {
            return half;
        };
        let along = (stud - left - first).value();
        let last = ((self.length.value() - first.value()) / pitch.value()).floor();
        let nearest = (along / pitch.value()).round().clamp(0.0, last.max(0.0));
        half - (left + first + pitch * nearest - stud).abs()
    }

    /// The worse cover of that pair.
    fn worse(&self, right_m: f64) -> Option<Uncertain> {
        let [a, b] = self.best(right_m)?;
        Some(a.min(&b))
    }
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    kit: &ScreenKit,
    wall: &str,
) -> Known<Outcome> {
    let ask = |what: &str, fact: &str| {
        Missing::new(
            format!("{what} of {}", item.is),
            format!("kit.screen.{}.{fact}", item.is),
            Means::SpecSheet,
        )
    };
    let rail: &Rail = (kit.rail.as_ref()).ok_or_else(|| ask("the holes of the rail", "rail"))?;
    let made_of = space.construction_of(wall).ok_or_else(|| {
        Missing::new(
            format!("what wall {wall} of {} is made of", space.label()),
            format!("space.{}.construction", space.id),
            Means::StudFinder,
        )
    })?;
    let number = |length: Option<&model::Length>, what: &str, fact: &str| {
        analysis.number(length).ok_or_else(|| ask(what, fact))
    };
    let length = number(Some(&rail.length), "the length of the rail", "rail.length")?;
    let screw = number(
        rail.screw.as_ref(),
        "the diameter of the rail's screws",
        "rail.screw",
    )?;
    let holes = match &rail.pitch {
        None => None,
        Some(pitch) => Some([
            number(rail.first.as_ref(), "the rail's first hole", "rail.first")?,
            number(Some(pitch), "the pitch of the rail's holes", "rail.pitch")?,
        ]),
    };
    let outside = analysis.picture(item)?.outside;
    let before = Before {
        studs: Studs::of(analysis, space, wall, made_of)?,
        left: outside.centre_left() - &length / 2.0,
        length,
        holes,
    };
    let least = screw * analysis.limit(&EDGE_DIAMETERS).value;
    let cover = before.worse(0.0).ok_or_else(|| {
        let what = format!(
            "two studs of wall {wall} behind the rail of {}, half its length apart: a backing board for a carpenter to plan",
            item_label(item)
        );
        Missing::new(what, format!("space.{}.construction.{wall}.spacing", space.id), Means::StudFinder)
    })?;
    let height = analysis.number(rail.from_top.as_ref()).map(|down| {
        format!(
            ", {} above the floor,",
            analysis.length(&(&outside.top - down))
        )
    });
    let sentence = format!(
        "The best two studs behind the rail of {}{} have its holes {} {} of their faces; {} inside is the least.",
        item_label(item),
        height.as_deref().unwrap_or_default(),
        analysis.length(&cover.abs()),
        if cover.value() < 0.0 {
            "outside the edge"
        } else {
            "inside the edge"
        },
        analysis.length(&least),
    );
    let margin = &cover - &least;
    let limit = analysis.limit(&EDGE_DIAMETERS);
    let outcome = Outcome::with_margin(
        cover,
        least.value(),
        margin,
        Dimension::Length,
        limit.source,
    )
    .because(sentence)
    .caution(Caution::Structure)
    .caution(Caution::Drilling)
    .caution(Caution::Ladder);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome.remedy(aside(analysis, item, &before, &least)))
}

/// The least move of the screen after which holes meet two studs for certain.
fn aside(analysis: &Analysis, item: &Item, before: &Before, least: &Uncertain) -> Option<Remedy> {
    let ruler_m = step(analysis.printer().system, Dimension::Length, None);
    let [_, pitch] = before.holes.as_ref()?;
    let spare = |by: f64| {
        // Written down to a ruler's step it still has to serve.
        [by - ruler_m, by + ruler_m]
            .into_iter()
            .map(|by| {
                let cover = before.worse(by);
                cover.map_or(-1.0, |cover| to_spare(&(cover - least), 0.0))
            })
            .fold(f64::INFINITY, f64::min)
    };
    const STEP_M: f64 = 0.001;
    let by_m = (1..=(pitch.value() / STEP_M).ceil() as u32)
        .map(|count| f64::from(count) * STEP_M)
        .flat_map(|by| [by, -by])
        .find(|by| spare(*by) >= 0.0)?;
    let edits = along_together(analysis, item, by_m)?;
    let says = format!(
        "Move {} {} to the {}, to {} from the wall's left corner, so that its rail's holes meet two studs; find their edges there before drilling.",
        item_label(item),
        written_length(analysis, by_m.abs(), Round::Nearest),
        if by_m > 0.0 { "right" } else { "left" },
        text_of(edits.first()?),
    );
    Some(
        Remedy::new(says, edits)
            .caution(Caution::Structure)
            .caution(Caution::Drilling)
            .caution(Caution::Ladder),
    )
}

#[cfg(test)]
mod tests {
    //! A rail of 2 m before studs every 0.6 m.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// Rail from 2 m to 4 m with the screen's middle at 3 m; studs at 2.1, 2.7, 3.3, 3.9 m.
    fn room(from_left: &str, rail: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
[[space.construction]]
of = "north"
framing = "stud"
spacing = "600 mm"
first_from_left = "300 mm"
face = "40 mm"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
{rail}
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "north", from_left = "{from_left}", height = "1.3 m" }}
"#
        )
    }

    const HOLES: &str = r#"rail = { length = "2 m", first = "50 mm", pitch = "100 mm", from_top = "30 mm", screw = "6 mm" }"#;

    #[test]
    fn holes_on_the_studs_fit() {
        // Holes at 2.05 + 0.1 k; studs at 2.1 + 0.6 k: 50 mm beside each. At 2.95 m the holes
        // are at 2.0 + 0.1 k, on the studs; 20 mm of face inside, 1.5 × 6 = 9 mm asked. The
        // hole line: 1.3 + 1.285/2 − 0.03 m.
        expect![[r#"
            screen: fits +0.011: The best two studs behind the rail of screen, 1.912 m above the floor, have its holes 20 mm inside the edge of their faces; 9 mm inside is the least.
        "#]].assert_eq(&told(&findings(&CHECK, &room("2.95 m", HOLES))));
        let found = findings(&CHECK, &room("3 m", HOLES));
        assert_eq!(found[0].verdict, Verdict::Fails);
        let value = found[0].value.as_ref().expect("decided").value();
        assert!((value + 0.03).abs() < 1e-9, "{}", told(&found));
    }

    #[test]
    fn the_edge_holds_from_both_sides() {
        // 9 mm inside is 11 mm off the middle; a laser and the studs' layout know some 8 mm.
        let verdict = |from_left: &str| findings(&CHECK, &room(from_left, HOLES))[0].verdict;
        assert_eq!(verdict("2.951 m"), Verdict::Fits);
        assert_eq!(verdict("2.960 m"), Verdict::Tight);
        assert_eq!(verdict("2.962 m"), Verdict::Fails);
    }

    #[test]
    fn a_slot_meets_any_stud() {
        let rail = r#"rail = { length = "2 m", screw = "6 mm" }"#;
        assert_eq!(
            findings(&CHECK, &room("3 m", rail))[0].verdict,
            Verdict::Fits
        );
    }

    #[test]
    fn a_rail_or_wall_that_nobody_described_is_asked_for() {
        let asked = |text: &str| {
            let found = findings(&CHECK, text);
            assert_eq!(found[0].verdict, Verdict::Unknown);
            found[0].needs[0].at.clone()
        };
        assert_eq!(asked(&room("3 m", "")), "kit.screen.screen-s1.rail");
        let bare = room("3 m", HOLES).replace("of = \"north\"", "of = \"south\"");
        assert_eq!(asked(&bare), "space.den.construction");
        let bricks = room("3 m", HOLES).replace("framing = \"stud\"", "framing = \"masonry\"");
        assert!(findings(&CHECK, &bricks).is_empty());
        // A rail shorter than two studs' spacing meets one alone.
        let short = HOLES.replace("length = \"2 m\"", "length = \"0.5 m\"");
        let found = findings(&CHECK, &room("3 m", &short));
        assert!(
            found[0].because.contains("backing board"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn moving_it_mends_it() {
        for from_left in ["3 m", "2.97 m"] {
            let text = room(from_left, HOLES);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 1, "{}", told(&found));
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
        }
    }
}
