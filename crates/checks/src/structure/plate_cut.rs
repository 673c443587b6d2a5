//! May the holes for cables be drilled through the top plates of walls?

use std::collections::BTreeMap;

use analysis::{Analysis, Known, Limit, Means, Missing, Source, Uncertain};
use model::{Cable, CableKit, Framing, Space};
use units::{Dimension, Metres};
use wiring::holes::{TOP_PLATE_CUT_MAX, TopPlate, top_plate_margin};

use crate::framed::{self, Load};
use crate::runs::kit_of;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Run, Subject};

static TOP_PLATE_CUT: Limit = Limit {
    name: "top_plate_cut",
    meaning: "largest cut in a top plate that needs no strap, of its width",
    dimension: Dimension::Ratio,
    value: TOP_PLATE_CUT_MAX,
    source: Source::Published {
        work: "IRC R602.6.1",
    },
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "plate-cut",
    area: Area::Structure,
    proves: "The widest hole that cables need through the plate over a wall's studs takes no more of it than may go without a steel strap.",
    matters: "The plate holds the wall together lengthwise; cut through, the wall parts there in a storm or under the roof's push.",
    formula: "h = 1.5 d ≤ s W; d: the thickest cable's diameter, m; W: the plate's width, m, as deep as the studs (a wall's cavity; 89 ± 3 mm where nobody measured it); s = 50 %. Asked of walls that carry load, may, or stand outside. Holes side by side across the plate count together.",
    source: Source::Published {
        work: "IRC R602.6.1",
    },
    when_it_fails: "Drill a hole for each cable, one behind the other along the plate; else nail a steel strap over the cut, 0.054 in thick and 1 1/2 in wide, eight nails each side (10d, from memory). Holes through plates are sealed with fire-block material.",
    limits: &[&TOP_PLATE_CUT],
    published: &[
        Published {
            cite: "a cut of 1.5 in in a plate of 3 1/2 in leaves 0.25 in to the half (IRC R602.6.1, computed)",
            computed: || margin_in(3.5, 1.5),
            expected: 0.25,
            tolerance: 1e-9, // Exact.
            unit: "in",
        },
        Published {
            cite: "a cut of 2 in in a plate of 3 1/2 in is 0.25 in over the half (IRC R602.6.1, computed)",
            computed: || margin_in(3.5, 2.0),
            expected: -0.25,
            tolerance: 1e-9, // Exact.
            unit: "in",
        },
    ],
    run: Run::EachSpace(run),
};

fn margin_in(width_in: f64, cut_in: f64) -> f64 {
    let plate = TopPlate {
        width: Metres(width_in * 0.0254),
        cut: Metres(cut_in * 0.0254),
    };
    top_plate_margin(plate, TOP_PLATE_CUT_MAX).map_or(f64::NAN, |margin| margin.0 / 0.0254)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if !(space.construction.iter()).any(|one| one.framing == Framing::Stud) {
        return Vec::new();
    }
    let mut walls: BTreeMap<&str, Vec<(&Cable, &CableKit)>> = BTreeMap::new();
    for cable in analysis.cables().filter(|cable| cable.existing.is_none()) {
        let Some(kit) = kit_of(analysis, cable) else {
            continue;
        };
        for wall in framed::top_plates(analysis, space, cable) {
            walls.entry(wall).or_default().push((cable, kit));
        }
    }
    (walls.into_iter())
        .filter(|(wall, _)| Load::of(analysis, space.construction_of(wall)) != Load::BearsNone)
        .map(|(wall, cables)| {
            let subject = Subject::new(
                format!("{}.{wall}.plate", space.id),
                format!("top plate of wall {wall}"),
            );
            CHECK.about(space, subject, || decide(analysis, space, wall, &cables))
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    wall: &str,
    cables: &[(&Cable, &CableKit)],
) -> Known<Outcome> {
    let limit = analysis.code_limit(&TOP_PLATE_CUT, framed::TIMBER_ASK)?;
    let mut thickest: Option<(&Cable, Uncertain)> = None;
    for (cable, kit) in cables {
        let diameter = analysis.number(kit.diameter.as_ref()).ok_or_else(|| {
            Missing::new(
                format!("the outside diameter of {}", kit.common.id),
                format!("kit.cable.{}.diameter", kit.common.id),
                Means::SpecSheet,
            )
        })?;
        if (thickest.as_ref()).is_none_or(|(_, most)| diameter.value() > most.value()) {
            thickest = Some((cable, diameter));
        }
    }
    let (cable, diameter) = thickest.expect("a wall is asked about for its cables");
    let hole = diameter * framed::HOLE_ROOM;
    let construction = space.construction_of(wall);
    let width = framed::depth(analysis, space, construction, Framing::Stud);
    let most = &width * limit.value;
    let sentence = format!(
        "{} needs a hole of {} through the top plate of wall {wall}{}; the plate is {} wide and takes {} without a strap.",
        cable.id,
        analysis.length(&hole),
        Load::of(analysis, construction).words(),
        analysis.length(&width),
        analysis.length(&most),
    );
    let margin = &most - &hole;
    let outcome = Outcome::with_margin(hole, most.value(), margin, Dimension::Length, limit.source);
    Ok(outcome
        .because(sentence)
        .caution(Caution::Drilling)
        .caution(Caution::Structure))
}

#[cfg(test)]
mod tests {
    //! A cable that goes up one bay of the north wall, over the ceiling and down another.

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{ROOM, findings, findings_of};

    fn house(diameter: &str, facts: &str) -> String {
        format!(
            r#"
[[space.construction]]
of = "north"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
fire_block_at = []
{facts}
[[space.construction]]
of = "ceiling"
framing = "joist"
spacing = "400 mm"
along = "north"
first_from_left = "200 mm"
beyond = "attic"
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire-w1"
carries = "line"
{diameter}
[[item]]
id = "here"
is = "box"
on = {{ wall = "north", from_left = "1 m", height = "2 m" }}
[[item]]
id = "there"
is = "box"
on = {{ wall = "north", from_left = "4.5 m", height = "2 m" }}
[[cable]]
id = "W1"
kind = "wire-w1"
from = "here"
to = "there"
way = "overhead"
"#
        )
    }

    const STUD: &str = "cavity = \"90 mm ± 0 mm\"\nbearing = true";

    #[test]
    fn half_of_the_plate_may_go() {
        // 45 mm over 1.5 is a cable of 30 mm.
        let of = |diameter: &str| {
            let found = findings(&CHECK, &house(&format!("diameter = \"{diameter}\""), STUD));
            assert_eq!(found.len(), 1, "{found:?}");
            found[0].verdict
        };
        assert_eq!(of("29.9 mm"), Verdict::Fits);
        assert_eq!(of("30.1 mm"), Verdict::Fails);
    }

    #[test]
    fn what_carries_nothing_is_not_asked_about_but_an_outside_wall_is() {
        let of = |facts: &str| findings(&CHECK, &house("diameter = \"8 mm\"", facts));
        assert!(of("bearing = false").is_empty());
        let outside = of("bearing = false\nbeyond = \"outside\"");
        assert!(
            outside[0].because.contains("wall north, an outside wall"),
            "{}",
            outside[0].because
        );
        // Nobody measured the plate: 89 mm give or take.
        assert_eq!(of("")[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_diameter_and_a_local_code_are_asked_for() {
        let found = findings(&CHECK, &house("", STUD));
        assert_eq!(found[0].needs[0].at, "kit.cable.wire-w1.diameter");
        let text = format!("{ROOM}{}", house("diameter = \"8 mm\"", STUD));
        let eu = text.replace("units = \"metric\"", "units = \"metric\"\nrules = \"eu\"");
        let found = findings_of(&CHECK, &eu);
        assert_eq!(found[0].needs[0].at, "rules.top_plate_cut");
        let own = eu + "[rules]\ntop_plate_cut = \"40 %\"\n";
        assert_eq!(findings_of(&CHECK, &own)[0].verdict, Verdict::Fits);
    }
}
