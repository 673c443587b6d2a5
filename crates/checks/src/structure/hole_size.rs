//! May the holes for each cable be drilled through the framing on its way?

use analysis::{Analysis, Known, Limit, Means, Missing, Parts, Source, Uncertain};
use model::{Cable, CableKit, Framing, Space};
use units::{Dimension, Metres};
use wiring::holes::{Bearing, JoistLimits, NAIL_PLATE_EDGE_MIN, StudLimits};

use crate::framed::{self, Load, Through};
use crate::runs::kit_of;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Run, Subject};

macro_rules! hole_limit {
    ($static:ident, $name:literal, $meaning:literal, $dimension:ident, $value:expr, $work:literal) => {
        static $static: Limit = Limit {
            name: $name,
            meaning: $meaning,
            dimension: Dimension::$dimension,
            value: $value,
            source: Source::Published { work: $work },
            regional: &[],
        };
    };
}

hole_limit!(
    STUD_HOLE_BEARING,
    "stud_hole_bearing",
    "largest hole in a stud that carries load, of its depth",
    Ratio,
    StudLimits::IRC.hole_bearing,
    "IRC R602.6"
);
hole_limit!(
    STUD_HOLE_NON_BEARING,
    "stud_hole_non_bearing",
    "largest hole in a stud that carries none, of its depth",
    Ratio,
    StudLimits::IRC.hole_non_bearing,
    "IRC R602.6"
);
hole_limit!(
    STUD_HOLE_EDGE,
    "stud_hole_edge",
    "least wood between a hole and the edge of a stud",
    Length,
    StudLimits::IRC.edge_min.0,
    "IRC R602.6"
);
hole_limit!(
    JOIST_HOLE,
    "joist_hole",
    "largest hole in a sawn joist, of its depth",
    Ratio,
    JoistLimits::IRC.hole,
    "IRC R502.8"
);
hole_limit!(
    JOIST_HOLE_EDGE,
    "joist_hole_edge",
    "least wood between a hole and the top or bottom of a joist",
    Length,
    JoistLimits::IRC.edge_min.0,
    "IRC R502.8"
);
hole_limit!(
    NAIL_PLATE_EDGE,
    "nail_plate_edge",
    "least wood before a hole with a cable where no steel plate covers it",
    Length,
    NAIL_PLATE_EDGE_MIN.0,
    "NEC 300.4(A)(1)"
);

const LIMITS: &[&Limit] = &[
    &STUD_HOLE_BEARING,
    &STUD_HOLE_NON_BEARING,
    &STUD_HOLE_EDGE,
    &JOIST_HOLE,
    &JOIST_HOLE_EDGE,
    &NAIL_PLATE_EDGE,
];

pub(crate) static CHECK: Check = Check {
    id: "hole-size",
    area: Area::Structure,
    proves: "The hole that each cable needs may be drilled through the studs and joists of the spaces that it runs in.",
    matters: "A stud with half its wood gone bends; a screw through a cable near the edge is found by the first picture that is hung.",
    formula: "h = 1.5 d ≤ min(s D, D − 2 e); d: the cable's diameter, D: depth of the stud or joist, m (a wall's cavity; 89 ± 3 mm and 235 ± 45 mm where nobody measured it); s: 40 % where a stud stands in an outside wall, carries load or may, 60 % where it carries none, 1/3 in a joist; e: 5/8 in in a stud, 2 in in a joist. Holes in the middle of the depth. With less than 1 1/4 in of wood before it the hole wants a steel plate of 1/16 in: then it is tight. Sawn timber only; engineered joists and trusses take what their maker's sheet says.",
    source: Source::Published {
        work: "IRC R602.6, R502.8; NEC 300.4(A)(1)",
    },
    when_it_fails: "Run it along the bay and through the plates, or in two smaller holes; ask the building's engineer. Holes through plates are sealed with fire-block material.",
    limits: LIMITS,
    published: &[
        Published {
            cite: "largest hole in a 3 1/2 in stud that carries load: 1.4 in (IRC R602.6; text in WAC 296-150C-1000)",
            computed: || stud_in(3.5, Bearing::Bearing),
            expected: 1.4,
            tolerance: 0.001, // As the source prints it.
            unit: "in",
        },
        Published {
            cite: "largest hole in a 3 1/2 in stud that carries none: 2.1 in (IRC R602.6)",
            computed: || stud_in(3.5, Bearing::NonBearing),
            expected: 2.1,
            tolerance: 0.001, // As the source prints it.
            unit: "in",
        },
        Published {
            cite: "largest hole in a 9 1/4 in joist: 3.08333 in (IRC R502.8)",
            computed: || {
                JoistLimits::IRC
                    .hole_max(Metres(9.25 * 0.0254))
                    .map_or(f64::NAN, |hole| hole.0 / 0.0254)
            },
            expected: 3.08333,
            tolerance: 0.001, // As the source prints it.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn stud_in(depth_in: f64, bearing: Bearing) -> f64 {
    StudLimits::IRC
        .hole_max(Metres(depth_in * 0.0254), bearing)
        .map_or(f64::NAN, |hole| hole.0 / 0.0254)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let drilled: Vec<(&Cable, &CableKit, Vec<Through>)> = (analysis.cables_in(space))
        .filter(|cable| cable.existing.is_none())
        .filter_map(|cable| Some((cable, kit_of(analysis, cable)?)))
        .map(|(cable, kit)| (cable, kit, framed::drilled(analysis, space, cable)))
        .filter(|(.., through)| !through.is_empty())
        .collect();
    if drilled.is_empty() {
        return Vec::new();
    }
    // One question for all holes of a space where the local code is not known.
    if let Some(missing) =
        (LIMITS.iter()).find_map(|limit| analysis.code_limit(limit, framed::TIMBER_ASK).err())
    {
        let subject = Subject::new(format!("{}.holes", space.id), "holes for cables");
        return vec![CHECK.about(space, subject, || Err(missing))];
    }
    (drilled.into_iter())
        .map(|(cable, kit, through)| {
            CHECK.about_cable(analysis, space, cable, || {
                decide(analysis, space, cable, kit, &through)
            })
        })
        .collect()
}

/// A hole with what may be drilled there.
struct Hole {
    /// "a stud of wall north, which carries load,".
    of: String,
    is_joist: bool,
    depth: Uncertain,
    /// The largest hole.
    most: Uncertain,
    source: Source,
}

fn hole(analysis: &Analysis, space: &Space, through: Through) -> Hole {
    let is_joist = through.framing == Framing::Joist;
    let construction = match through.wall {
        Some(wall) => space.construction_of(wall),
        None => framed::shallowest(space, through.framing),
    };
    let depth = framed::depth(analysis, space, construction, through.framing);
    let load = Load::of(analysis, construction);
    let (share, edge) = match (is_joist, load.bearing()) {
        (true, _) => (&JOIST_HOLE, &JOIST_HOLE_EDGE),
        (_, Bearing::Bearing) => (&STUD_HOLE_BEARING, &STUD_HOLE_EDGE),
        (_, Bearing::NonBearing) => (&STUD_HOLE_NON_BEARING, &STUD_HOLE_EDGE),
    };
    let (share, edge) = (analysis.limit(share), analysis.limit(edge));
    let by_share = &depth * share.value;
    let by_edge = &depth - 2.0 * edge.value;
    Hole {
        of: match through.wall {
            _ if is_joist => "a joist".to_owned(),
            Some(wall) => format!("a stud of wall {wall}{},", load.words()),
            None => "a stud that may carry load".to_owned(),
        },
        is_joist,
        most: if by_share.value() < by_edge.value() {
            by_share
        } else {
            by_edge
        },
        depth,
        source: share.source,
    }
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    cable: &Cable,
    kit: &CableKit,
    through: &[Through],
) -> Known<Outcome> {
    let diameter = analysis.number(kit.diameter.as_ref()).ok_or_else(|| {
        Missing::new(
            format!("the outside diameter of {}", kit.common.id),
            format!("kit.cable.{}.diameter", kit.common.id),
            Means::SpecSheet,
        )
    })?;
    let needed = diameter * framed::HOLE_ROOM;
    // Where the least may be drilled decides.
    let worst = (through.iter())
        .map(|through| hole(analysis, space, *through))
        .min_by(|a, b| a.most.value().total_cmp(&b.most.value()));
    let Hole {
        of,
        is_joist,
        depth,
        most,
        source,
    } = worst.expect("only cables that are drilled for are asked about");
    let wood = (&depth - &needed) / 2.0;
    let plate = analysis.limit(&NAIL_PLATE_EDGE);
    let wants_plate = !is_joist && wood.value() < plate.value;
    let length = |length: &Uncertain| analysis.length(length);
    let sentence = format!(
        "{} needs a hole of {}, and {of} of {} takes {}{}.",
        cable.id,
        length(&needed),
        length(&depth),
        length(&most),
        match wants_plate {
            true => format!(
                "; {} of wood is left before it, so that it wants a steel plate",
                length(&wood)
            ),
            false => String::new(),
        },
    );
    let margin = &most - &needed;
    let comfort = if wants_plate { f64::MAX } else { 0.0 };
    let outcome = Outcome::with_margin(needed, most.value(), margin, Dimension::Length, source);
    Ok(outcome
        .comfort(comfort)
        .because(sentence)
        .caution(Caution::Drilling)
        .caution(Caution::Structure))
}

#[cfg(test)]
mod tests {
    //! A cable on the way through the studs of the north wall.

    use super::{CHECK, decide};
    use crate::Verdict;
    use crate::framed::Through;
    use crate::testing::{ROOM, findings, job};
    use analysis::Analysis;
    use model::{Framing, Kit};

    fn verdict(diameter: &str, construction: &str, through: Framing) -> Verdict {
        let text = format!(
            r#"{ROOM}
[[space.construction]]
of = "north"
{construction}
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire-w1"
carries = "line"
{diameter}
[[item]]
id = "here"
is = "box"
at = {{ from = ["north", "1 m"], and = ["west", "1 m"] }}
[[item]]
id = "there"
is = "box"
at = {{ from = ["north", "1 m"], and = ["west", "3 m"] }}
[[cable]]
id = "W1"
kind = "wire-w1"
from = "here"
to = "there"
"#
        );
        let analysis = Analysis::new(job(&text));
        let space = analysis.space("den").expect("the room");
        let Some(Kit::Cable(kit)) = analysis.kit("wire-w1") else {
            panic!("the cable is there")
        };
        let cable = analysis.cables().next().expect("the cable");
        let wall = (through == Framing::Stud).then_some("north");
        let through = Through {
            framing: through,
            wall,
        };
        let decided = decide(&analysis, space, cable, kit, &[through]);
        decided.map_or(Verdict::Unknown, |outcome| outcome.verdict())
    }

    #[test]
    fn forty_per_cent_where_it_carries_load_and_sixty_where_it_does_not() {
        // A stud of 200 mm: 80 mm and 120 mm; the hole is 1.5 times the cable.
        let stud = |bearing: bool| {
            format!("framing = \"stud\"\ncavity = \"200 mm ± 0 mm\"\nbearing = {bearing}")
        };
        for (diameter, bearing, expected) in [
            ("53 mm", true, Verdict::Fits),
            ("54 mm", true, Verdict::Fails),
            ("54 mm", false, Verdict::Fits),
            ("81 mm", false, Verdict::Fails),
        ] {
            let found = verdict(
                &format!("diameter = \"{diameter}\""),
                &stud(bearing),
                Framing::Stud,
            );
            assert_eq!(found, expected, "{diameter}");
        }
    }

    #[test]
    fn an_outside_wall_counts_as_one_that_carries_load() {
        let stud = |more: &str| {
            format!("framing = \"stud\"\ncavity = \"200 mm ± 0 mm\"\nbearing = false\n{more}")
        };
        let of = |more: &str| verdict("diameter = \"54 mm\"", &stud(more), Framing::Stud);
        assert_eq!(of(""), Verdict::Fits);
        assert_eq!(of("beyond = \"outside\""), Verdict::Fails);
    }

    /// Two boxes on the north wall, both in it, with the way along through its studs.
    fn along_studs(rules: &str) -> String {
        format!(
            r#"
[[space.construction]]
of = "north"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
cavity = "89 mm"
bearing = true
fire_block_at = []
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire-w1"
carries = "line"
diameter = "6 mm"
[[item]]
id = "here"
is = "box"
on = {{ wall = "north", from_left = "1 m", height = "0.4 m" }}
[[item]]
id = "there"
is = "box"
on = {{ wall = "north", from_left = "1.5 m", height = "0.4 m" }}
[[cable]]
id = "W1"
kind = "wire-w1"
from = "here"
to = "there"
keeps_out_of = ["baseboard", "surface", "rug"]
{rules}
"#
        )
    }

    #[test]
    fn the_wall_is_named_and_a_local_code_that_nobody_read_is_asked_for() {
        let found = findings(&CHECK, &along_studs(""));
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0]
                .because
                .contains("a stud of wall north, which carries load,"),
            "{}",
            found[0].because
        );
        let eu = |text: &str| {
            let text = format!("{ROOM}{text}")
                .replace("units = \"metric\"", "units = \"metric\"\nrules = \"eu\"");
            crate::testing::findings_of(&CHECK, &text)
        };
        let asked = eu(&along_studs(""));
        assert_eq!(asked.len(), 1);
        assert_eq!(asked[0].verdict, Verdict::Unknown);
        assert_eq!(asked[0].needs[0].at, "rules.stud_hole_bearing");
        let own = "[rules]\nstud_hole_bearing = \"25 %\"\nstud_hole_non_bearing = \"25 %\"\nstud_hole_edge = \"15 mm\"\njoist_hole = \"25 %\"\njoist_hole_edge = \"50 mm\"\nnail_plate_edge = \"30 mm\"\n";
        assert_eq!(eu(&along_studs(own))[0].verdict, Verdict::Fits);
    }

    #[test]
    fn near_the_edge_it_wants_a_steel_plate() {
        // 3 1/2 in: 1.25 in of wood are left beside a hole of 1 in, which is a cable of 0.667 in.
        let stud = "framing = \"stud\"\ncavity = \"3.5 in ± 0 mm\"\nbearing = true";
        let of =
            |diameter: &str| verdict(&format!("diameter = \"{diameter}\""), stud, Framing::Stud);
        assert_eq!(of("0.66 in"), Verdict::Fits);
        assert_eq!(of("0.68 in"), Verdict::Tight);
        assert_eq!(of("0.94 in"), Verdict::Fails);
    }

    #[test]
    fn a_joist_takes_a_third() {
        let joist = "framing = \"joist\"\ncavity = \"9.25 in ± 0 mm\"";
        let of =
            |diameter: &str| verdict(&format!("diameter = \"{diameter}\""), joist, Framing::Joist);
        // 3.0833 in over 1.5 is 2.056 in.
        assert_eq!(of("2.05 in"), Verdict::Fits);
        assert_eq!(of("2.06 in"), Verdict::Fails);
    }

    #[test]
    fn a_diameter_that_is_not_known_is_asked() {
        let unknown = verdict("", "framing = \"stud\"", Framing::Stud);
        assert_eq!(unknown, Verdict::Unknown);
    }
}
