//! Do the screws of a mount meet the studs?

use analysis::{Analysis, Known, Limit, Parts, Source, Uncertain, item_label};
use model::{Edit, Framing, Space};
use structure::wood::{EdgeDistance, Spacing, edge_margin};
use units::{Dimension, Metres};

use crate::mounted::{Mounted, Studs, mounts};
use crate::moves::{Round, written_length};
use crate::{Area, Caution, Check, Finding, LimitValue, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "arm-studs",
    area: Area::Structure,
    proves: "Both outer columns of a mount's screws sit in studs, far enough from the studs' edges.",
    matters: "A screw in board alone holds nothing, and one too near the edge splits the stud: the display hangs on one side, until somebody pulls the arm.",
    formula: "f/2 − |x − c| ≥ k D; f: width of the stud's face, m (38 mm where nobody measured it); x: the screw's place along the wall, m; c: middle of the nearest stud, m; D: the screw's diameter, m; k: diameters from screw to edge. For wood studs.",
    source: Source::FromMemory {
        work: "NDS 12.5, edge distance of fasteners",
    },
    when_it_fails: "Move the mount with its display sideways to the studs, use a plate whose screws are a stud spacing apart, or have a carpenter fix a backing board.",
    limits: &[&EDGE_DIAMETERS],
    published: &[
        Published {
            cite: "NDS 12.5 (from memory): 3/8 in lag in the middle of a 1 1/2 in face, 0.75 − 1.5 × 0.375 in to spare (computed)",
            computed: || spare_in(0.75, 0.375),
            expected: 0.1875,
            tolerance: 1e-12, // Exact decimals.
            unit: "in",
        },
        Published {
            cite: "the trade's ± 1/4 in about the middle of a 1 1/2 in face, 5/16 in lag (common practice; NDS 12.5 leaves 0.281 in)",
            computed: || spare_in(0.75, 0.3125),
            expected: 0.25,
            tolerance: 0.0625, // The practice is rounded to the nearest 1/8 in.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

pub(crate) static EDGE_DIAMETERS: Limit = Limit {
    name: "screw_edge_diameters",
    meaning: "the least distance from the middle of a screw to the stud's edge, in diameters of the screw",
    dimension: Dimension::Factor,
    value: Spacing::NDS.edge,
    source: Source::FromMemory { work: "NDS 12.5" },
    regional: &[],
};

fn spare_in(edge_in: f64, diameter_in: f64) -> f64 {
    let screw = EdgeDistance {
        distance: Metres::from_inches(edge_in),
        diameter: Metres::from_inches(diameter_in),
    };
    edge_margin(screw, &Spacing::NDS).map_or(f64::NAN, Metres::inches)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    mounts(analysis, space)
        .filter_map(|mounted| {
            let (_, on) = mounted.on()?;
            let made_of = space
                .construction_of(&on.wall)
                .map(|made_of| made_of.framing);
            // Only wood studs are asked for; a wall that nobody looked into may have them.
            matches!(made_of, None | Some(Framing::Stud)).then(|| {
                CHECK.about(space, Subject::item(mounted.item), || {
                    decide(&mounted, &on.wall)
                })
            })
        })
        .collect()
}

fn decide(mounted: &Mounted, wall: &str) -> Known<Outcome> {
    let analysis = mounted.analysis;
    let studs = Studs::behind(mounted, wall, mounted.construction(wall)?)?;
    let middle = mounted.middle()?;
    let offsets = mounted.column_offsets()?;
    let diameter = mounted.screw_diameter()?;
    let LimitValue { value: k, source } = analysis.limit(&EDGE_DIAMETERS);
    let least = &diameter * k;
    let covers: Vec<Uncertain> = (offsets.iter())
        .map(|offset| studs.cover(&(&middle + offset)))
        .collect();
    let outer = [&covers[0], &covers[covers.len() - 1]];
    let cover = if outer[1].value() < outer[0].value() {
        outer[1]
    } else {
        outer[0]
    };
    let caught = covers
        .iter()
        .filter(|cover| cover.value() >= least.value())
        .count();
    let sentence = format!(
        "{} of the {} columns of screws of {} {} well within a stud; the worst outer one is {} {} of the nearest stud's face, and {} inside is the least.",
        caught,
        offsets.len(),
        item_label(mounted.item),
        if caught == 1 { "sits" } else { "sit" },
        analysis.length(&cover.abs()),
        if cover.value() < 0.0 {
            "outside the edge"
        } else {
            "inside the edge"
        },
        analysis.length(&least),
    );
    let margin = cover - &least;
    let outcome = Outcome::with_margin(
        cover.clone(),
        least.value(),
        margin,
        Dimension::Length,
        source,
    )
    .because(sentence)
    .caution(Caution::Structure)
    .caution(Caution::Drilling)
    .caution(Caution::Lifting);
    Ok(outcome.mended(mounted.analysis, || {
        [
            to_the_studs(mounted, &studs, &middle, &offsets, &least),
            other_spread(mounted, &studs, &middle, &offsets, &least),
        ]
    }))
}

/// The smallest move of mount and display after which both outer columns sit in studs.
pub(super) fn to_the_studs(
    mounted: &Mounted,
    studs: &Studs,
    middle: &Uncertain,
    offsets: &[Uncertain],
    least: &Uncertain,
) -> Option<Remedy> {
    let by = studs.shift(middle, offsets, least.value(), ruler(mounted))?;
    // Where it hangs is as good as any place a ruler can name.
    if by.abs() < ruler(mounted) / 2.0 {
        return None;
    }
    let (says, edits) = mounted.shifted(by)?;
    let says = format!(
        "{says}, so that its screws meet the studs; find their edges there before drilling."
    );
    Some(cautioned(Remedy::new(says, edits)))
}

/// Screws as far apart as the studs are: another plate, or a board across the studs.
pub(super) fn other_spread(
    mounted: &Mounted,
    studs: &Studs,
    middle: &Uncertain,
    offsets: &[Uncertain],
    least: &Uncertain,
) -> Option<Remedy> {
    let spacing = match &studs.centres[..] {
        [first, second, ..] if offsets.len() == 2 => (second - first).value(),
        _ => return None,
    };
    let analysis = mounted.analysis;
    let spread = written_length(analysis, spacing, Round::Nearest);
    let halves = [-0.5, 0.5].map(|half| Uncertain::exact(half * spacing));
    let by = studs.shift(middle, &halves, least.value(), 2.0 * ruler(mounted))?;
    let has_it = (offsets[1].value() - offsets[0].value() - spacing).abs() < ruler(mounted) / 2.0;
    if has_it && by.abs() < ruler(mounted) / 2.0 {
        return None;
    }
    let (moves, mut edits) = mounted.shifted(by)?;
    edits.push(Edit::set(
        format!("kit.mount.{}.screw_spread", mounted.item.is),
        spread.as_str(),
    ));
    let says = format!(
        "{moves}, on a plate with its screws {spread} apart, or on a backing board that a carpenter fixes to both studs.",
    );
    Some(cautioned(Remedy::new(says, edits)))
}

/// The step to which places on a wall are written.
fn ruler(mounted: &Mounted) -> f64 {
    units::step(mounted.analysis.printer().system, Dimension::Length, None)
}

fn cautioned(remedy: Remedy) -> Remedy {
    remedy
        .caution(Caution::Structure)
        .caution(Caution::Drilling)
        .caution(Caution::Lifting)
        .caution(Caution::Ladder)
}

#[cfg(test)]
mod tests {
    //! Studs 406.4 mm apart from 368 mm, a plate with its screws as far apart, and 1/4 in lags.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn arm(from_left: &str, spread: &str, wall: &str) -> String {
        format!(
            r#"
{wall}
[[kit.mount]]
id = "arm-m2"
size = ["500 mm", "300 mm", "60 mm"]
screws = 4
screw_diameter = "6.35 mm"
screw_spread = "{spread}"
[[kit.display]]
id = "display-t4"
size = ["1.45 m", "830 mm", "40 mm"]
[[item]]
id = "arm"
is = "arm-m2"
on = {{ wall = "north", from_left = "{from_left}", height = "1.2 m" }}
[[item]]
id = "tv"
is = "display-t4"
mount = "arm"
on = {{ wall = "north", from_left = "{from_left}", height = "1.3 m" }}
"#
        )
    }

    const STUDS: &str = r#"[[space.construction]]
of = "north"
framing = "stud"
spacing = "406 mm"
first_from_left = "368 mm"
"#;

    #[test]
    fn screws_in_two_studs_fit() {
        // Studs at 368 + 406.4 k: 1180.8 and 1587.2 mm, middle 1384 mm. Cover 19.05 mm and
        // 1.5 × 6.35 = 9.525 mm least: 9.525 mm left, of which ± 6 (tape) and ± 3 (layout) mm.
        let found = findings(&CHECK, &arm("1.384 m", "406.4 mm", STUDS));
        expect![[r#"
            arm: fits +0.010: 2 of the 2 columns of screws of arm sit well within a stud; the worst outer one is 19 mm inside the edge of the nearest stud's face, and 10 mm inside is the least.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn both_sides_of_the_edge_distance() {
        let verdict =
            |from_left: &str| findings(&CHECK, &arm(from_left, "406.4 mm", STUDS))[0].verdict;
        // 9.525 mm of room to each side of 1384 mm.
        assert_eq!(verdict("1.3745 m"), Verdict::Tight);
        assert_eq!(verdict("1.3744 m"), Verdict::Fails);
        assert_eq!(verdict("1.3935 m"), Verdict::Tight);
        assert_eq!(verdict("1.3936 m"), Verdict::Fails);
        // Of that, √(6² + 3²) = 6.71 mm are not certain.
        assert_eq!(verdict("1.3867 m"), Verdict::Fits);
        assert_eq!(verdict("1.3869 m"), Verdict::Tight);
    }

    #[test]
    fn one_screw_in_a_stud_fails() {
        let found = findings(&CHECK, &arm("1.384 m", "300 mm", STUDS));
        assert_eq!(found[0].verdict, Verdict::Fails);
        let on_one = findings(&CHECK, &arm("1.3308 m", "300 mm", STUDS));
        assert!(on_one[0].because.starts_with("1 of the 2 columns"));
    }

    #[test]
    fn studs_that_nobody_found_are_asked_for() {
        let found = findings(&CHECK, &arm("1.384 m", "406.4 mm", ""));
        assert_eq!(found[0].needs[0].at, "space.den.construction");
        let spacing_only = STUDS.replace("first_from_left = \"368 mm\"\n", "");
        let found = findings(&CHECK, &arm("1.384 m", "406.4 mm", &spacing_only));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(
            found[0].needs[0].at,
            "space.den.construction.0.first_from_left"
        );
    }

    #[test]
    fn masonry_has_no_studs() {
        let brick = "[[space.construction]]\nof = \"north\"\nframing = \"masonry\"\n";
        assert!(findings(&CHECK, &arm("1.384 m", "406.4 mm", brick)).is_empty());
    }

    #[test]
    fn an_arm_in_the_middle_of_its_studs_is_not_moved_by_nothing() {
        // Middle 1384 mm; a coarse tape leaves it tight, and no place serves better.
        let coarse = STUDS.replace("368 mm", "368 mm ± 12 mm");
        let found = findings(&CHECK, &arm("1.384 m", "406.4 mm", &coarse));
        assert_eq!(found[0].verdict, Verdict::Tight);
        assert!(found[0].remedies.is_empty(), "{:?}", found[0].remedies);
    }

    #[test]
    fn studs_known_by_a_pace_still_give_a_place_to_start() {
        let paced = STUDS.replace("368 mm", "368 mm ± 20 mm");
        let text = arm("1.3 m", "406.4 mm", &paced);
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        assert!(
            remedy.says.contains("84\u{202f}mm to the right"),
            "{}",
            remedy.says
        );
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Tight);
    }

    #[test]
    fn each_remedy_mends_it() {
        for (from_left, spread, remedies) in [
            ("1.3 m", "406.4 mm", 2),
            ("2.5 m", "812 mm", 2),
            ("1.384 m", "300 mm", 1),
        ] {
            let text = arm(from_left, spread, STUDS);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), remedies, "{from_left} {spread}");
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_eq!(
                    after[0].verdict,
                    Verdict::Fits,
                    "{}: {}",
                    remedy.says,
                    after[0].because
                );
            }
        }
    }
}
