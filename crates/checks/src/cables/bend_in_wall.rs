//! Is there room for each cable's tightest bend behind plates, and where its way turns in a wall?

use analysis::{Analysis, Drilled, Known, LegKind, Parts, Passage, Source, Uncertain, WallPart};
use model::{Cable, CableKit, Framing, Kit, Space};
use routing::Medium;
use units::Dimension;

use super::cavity_depth::depths;
use super::conduit_bend::{BEND_COAX, BEND_FOUR_PAIR, at_rest, outside};
use crate::cut_out::{CutOut, cut_outs};
use crate::framed;
use crate::runs::{cables_of, kind_label, kit_of};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "bend-in-wall",
    area: Area::Cables,
    proves: "Behind each plate, and where its way turns from one part of a wall or ceiling to the next, a cable finds room for its tightest bend.",
    matters: "A cable that is pressed into its box keeps its jacket and loses its pairs' twist or its foam: the link drops at night, behind a wall that is painted.",
    formula: "a ≥ R + d; a: room, m: behind a plate the wall's cavity and board less the depth that the plate needs; out of a wall through its board the cavity; into a joist bay the joists' depth; through a stud half of the bay between studs. R: the tightest bend to its inside, by the cable's sheet, else k d, with k = 4 for cable of four pairs and 10 for coaxial and line cable, m; d: its outside diameter, m. Loudspeaker and control cable, and video cable without electronics or fibre inside, have no rule here.",
    source: Source::FromMemory {
        work: "ANSI/TIA-568",
    },
    when_it_fails: "Take a shallower plate, one whose sockets face down, or a thinner cable; or bring the cable to the plate from behind.",
    limits: &[&BEND_FOUR_PAIR, &BEND_COAX],
    published: &[Published {
        cite: "6.2 mm of four pairs: 4 × 6.2 + 6.2 = 31 mm (ANSI/TIA-568, from memory; computed)",
        computed: || room_m(4.0 * 6.2e-3, 6.2e-3) * 1e3,
        expected: 31.0,
        tolerance: 1e-9, // Exact.
        unit: "mm",
    }],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// From stud to stud where nobody measured it, m, and how far it may be off (common practice, no source).
const SPACING_M: f64 = 0.4;
const SPACING_TOLERANCE_M: f64 = 0.2;
/// A stud's face where nobody measured it, m (1 1/2 in).
const FACE_M: f64 = 0.0381;

fn room_m(radius_m: f64, diameter_m: f64) -> f64 {
    needs(&radius_m.into(), &diameter_m.into()).value()
}

/// A bend from flush with one face to along the other takes its radius and the cable itself.
fn needs(radius: &Uncertain, diameter: &Uncertain) -> Uncertain {
    radius + diameter
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let plates = cut_outs(analysis, space).filter(|one| matches!(one.kit, Kit::Plate(_)));
    let behind = plates.filter_map(|plate| {
        let stiff: Vec<(&Cable, &CableKit)> = (analysis.cables_at(&plate.item.id))
            .filter_map(|cable| Some((cable, kit_of(analysis, cable)?)))
            .filter(|(_, kit)| at_rest(analysis, kit).is_some())
            .collect();
        (!stiff.is_empty()).then(|| {
            CHECK.about(space, Subject::item(plate.item), || {
                behind_plate(analysis, space, &plate, &stiff)
            })
        })
    });
    let mut found: Vec<Finding> = behind.collect();
    found.extend(cables_of(analysis, space).filter_map(|(cable, kit)| {
        let is_new = cable.existing.is_none();
        let radius = at_rest(analysis, kit).filter(|_| is_new)?;
        let turns = turns(analysis, cable);
        (!turns.is_empty()).then(|| {
            CHECK.about(space, Subject::cable(cable), || {
                on_its_way(analysis, (cable, kit), radius, &turns)
            })
        })
    }));
    found
}

/// What a cable's bend takes, and where its radius comes from.
fn bend(
    analysis: &Analysis,
    kit: &CableKit,
    radius: Known<(Uncertain, Source)>,
) -> Known<(Uncertain, Uncertain, Source)> {
    let (radius, source) = radius?;
    let diameter = outside(analysis, kit)?;
    Ok((needs(&radius, &diameter), radius, source))
}

fn behind_plate(
    analysis: &Analysis,
    space: &Space,
    plate: &CutOut<'_>,
    cables: &[(&Cable, &CableKit)],
) -> Known<Outcome> {
    let [there, depth] = depths(analysis, space, plate)?;
    let room = there - depth;
    let mut stiffest: Option<(&Cable, &CableKit, Uncertain, Uncertain, Source)> = None;
    for (cable, kit) in cables {
        let Some(radius) = at_rest(analysis, kit) else {
            continue;
        };
        let (need, radius, source) = bend(analysis, kit, radius)?;
        if (stiffest.as_ref()).is_none_or(|(_, _, most, ..)| need.value() > most.value()) {
            stiffest = Some((cable, kit, need, radius, source));
        }
    }
    let (cable, kit, need, radius, source) =
        stiffest.expect("a plate is asked about for its cables");
    let sentence = format!(
        "Behind {} {} are left, and {} ({}) takes {} to turn along the wall, with a radius of {}.",
        plate.label(),
        analysis.length(&room),
        cable.id,
        kind_label(kit),
        analysis.length(&need),
        analysis.length(&radius),
    );
    Ok(outcome(room, &need, source, sentence))
}

fn outcome(room: Uncertain, need: &Uncertain, source: Source, sentence: String) -> Outcome {
    let margin = &room - need;
    Outcome::with_margin(room, need.value(), margin, Dimension::Length, source)
        .because(sentence)
        .caution(Caution::Drilling)
}

/// Where a way turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Turn<'a> {
    /// From a bay into a hole through its stud.
    ThroughStud(&'a Drilled),
    /// From a bay out through the board.
    ThroughBoard(&'a Drilled),
    /// Through a plate into the bay between joists.
    IntoJoists(&'a Drilled),
}

/// Each turn of a cable's way inside walls and ceilings, once.
fn turns<'a>(analysis: &'a Analysis, cable: &Cable) -> Vec<Turn<'a>> {
    let Ok(route) = analysis.route(cable) else {
        return Vec::new();
    };
    let passages: Vec<&Passage> = (route.legs.iter())
        .filter_map(|leg| match &leg.along {
            LegKind::Through(passage) => Some(passage),
            _ => None,
        })
        .collect();
    let mut turns = Vec::new();
    for pair in passages.windows(2) {
        let [one, other] = [pair[0], pair[1]];
        let between = |a: Medium, b: Medium| {
            [(one, other), (other, one)]
                .into_iter()
                .find(|(x, y)| x.medium == a && y.medium == b)
                .and_then(|(_, drilled)| drilled.drilled.as_ref())
        };
        let joists = [Medium::JoistBay, Medium::Joist]
            .into_iter()
            .find_map(|medium| between(medium, Medium::Plate));
        let turn = (between(Medium::StudBay, Medium::Stud).map(Turn::ThroughStud))
            .or_else(|| between(Medium::StudBay, Medium::Board).map(Turn::ThroughBoard))
            .or_else(|| joists.map(Turn::IntoJoists));
        turns.extend(turn.filter(|turn| !turns.contains(turn)));
    }
    turns
}

fn on_its_way(
    analysis: &Analysis,
    (cable, kit): (&Cable, &CableKit),
    radius: Known<(Uncertain, Source)>,
    turns: &[Turn<'_>],
) -> Known<Outcome> {
    let (need, radius, source) = bend(analysis, kit, radius)?;
    let narrowest = (turns.iter())
        .filter_map(|turn| turn.room(analysis))
        .reduce(|a, b| if b.0.value() < a.0.value() { b } else { a });
    let (room, place) = narrowest.expect("every turn is in a space of this job");
    let sentence = format!(
        "{} ({}) takes {} to turn with a radius of {}, and {place} there are {}.",
        cable.id,
        kind_label(kit),
        analysis.length(&need),
        analysis.length(&radius),
        analysis.length(&room),
    );
    Ok(outcome(room, &need, source, sentence))
}

impl Turn<'_> {
    /// The room that is there, and where, in words.
    fn room(self, analysis: &Analysis) -> Option<(Uncertain, String)> {
        let (Self::ThroughStud(at) | Self::ThroughBoard(at) | Self::IntoJoists(at)) = self;
        let space = analysis.space(&at.space)?;
        let wall = &at.wall;
        let built = space.construction_of(wall);
        Some(match self {
            Self::ThroughStud(_) => {
                let stated = built.and_then(|it| analysis.number(it.spacing.as_ref()));
                let spacing = stated.unwrap_or_else(|| {
                    analysis.assumed(
                        &format!("the spacing of the studs of wall {wall}"),
                        &format!("space.{}.construction", space.id),
                        SPACING_M,
                        SPACING_TOLERANCE_M,
                    )
                });
                let face = built.and_then(|it| analysis.number(it.face.as_ref()));
                let clear = spacing - face.unwrap_or_else(|| FACE_M.into());
                (
                    clear / 2.0,
                    format!("between the studs of wall {wall}, from the middle of a bay,"),
                )
            }
            Self::ThroughBoard(_) => (
                framed::depth(analysis, space, built, Framing::Stud),
                format!("behind the board of wall {wall}"),
            ),
            Self::IntoJoists(it) => {
                let of = match it.part {
                    WallPart::SolePlate => "floor",
                    _ => "ceiling",
                };
                (
                    framed::depth(analysis, space, space.construction_of(of), Framing::Joist),
                    format!("between the boards of the {of} over wall {wall}"),
                )
            }
        })
    }
}

#[cfg(test)]
mod tests {
    //! A cable from a plate in the north wall, up its bay, over the ceiling, down to another plate.

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::findings;

    fn house(kit: &str, depth: &str, cavity: &str) -> String {
        format!(
            r#"
[[space.construction]]
of = "north"
framing = "stud"
spacing = "400 mm"
first_from_left = "200 mm"
fire_block_at = []
board = "12 mm ± 0 mm"
cavity = "{cavity} ± 0 mm"
[[space.construction]]
of = "ceiling"
framing = "joist"
spacing = "400 mm"
along = "north"
first_from_left = "200 mm"
cavity = "200 mm ± 0 mm"
[[kit.plate]]
id = "plate-1g"
size = ["70 mm", "115 mm", "5 mm"]
cutout = ["57 mm", "95 mm"]
{depth}
[[kit.cable]]
id = "cable-c1"
{kit}
[[item]]
id = "here"
is = "plate-1g"
on = {{ wall = "north", from_left = "1 m", height = "0.4 m" }}
[[item]]
id = "there"
is = "plate-1g"
on = {{ wall = "north", from_left = "4.6 m", height = "0.4 m" }}
[[cable]]
id = "N1"
kind = "cable-c1"
from = "here"
to = "there"
way = "overhead"
"#
        )
    }

    const DEPTH: &str = "depth_behind = \"62 mm ± 0 mm\"";

    fn of(text: &str, subject: &str) -> crate::Finding {
        let found = findings(&CHECK, text);
        let one = found.iter().find(|one| one.subject.id == subject);
        one.unwrap_or_else(|| panic!("{subject} in {found:?}"))
            .clone()
    }

    #[test]
    fn four_diameters_and_the_cable_itself_behind_a_plate() {
        // 88 + 12 − 62 = 38 mm; 4 d + d of 7.6 mm.
        let network = |diameter: &str| {
            let kit = format!("carries = \"network\"\ndiameter = \"{diameter} ± 0 mm\"");
            of(&house(&kit, DEPTH, "88 mm"), "here").verdict
        };
        assert_eq!(network("7.59 mm"), Verdict::Fits);
        assert_eq!(network("7.61 mm"), Verdict::Fails);
    }

    #[test]
    fn a_sheets_own_radius_comes_first_and_what_has_no_rule_is_left_alone() {
        let own = |radius: &str| {
            let kit = format!(
                "carries = \"video\"\ndiameter = \"8 mm ± 0 mm\"\nbend_radius = \"{radius} ± 0 mm\""
            );
            of(&house(&kit, DEPTH, "88 mm"), "here").verdict
        };
        assert_eq!(own("29.9 mm"), Verdict::Fits);
        assert_eq!(own("30.1 mm"), Verdict::Fails);
        let plain = house(
            "carries = \"loudspeaker\"\ndiameter = \"8 mm\"",
            DEPTH,
            "88 mm",
        );
        assert!(findings(&CHECK, &plain).is_empty());
    }

    #[test]
    fn a_turn_into_the_joists_has_their_depth() {
        // A coaxial cable of 18 mm: 180 + 18 = 198 mm of 200.
        let coax = |diameter: &str| {
            let kit = format!("carries = \"coax\"\ndiameter = \"{diameter} ± 0 mm\"");
            of(&house(&kit, DEPTH, "88 mm"), "N1")
        };
        let fits = coax("18.1 mm");
        assert_eq!(fits.verdict, Verdict::Fits, "{}", fits.because);
        assert!(
            fits.because.contains("between the boards of the ceiling"),
            "{}",
            fits.because
        );
        assert_eq!(coax("18.3 mm").verdict, Verdict::Fails);
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let asked =
            |kit: &str, depth: &str| of(&house(kit, depth, "88 mm"), "here").needs[0].at.clone();
        assert_eq!(
            asked("carries = \"network\"", DEPTH),
            "kit.cable.cable-c1.diameter"
        );
        assert_eq!(
            asked("carries = \"network\"\ndiameter = \"6 mm\"", ""),
            "kit.plate.plate-1g.depth_behind"
        );
        assert_eq!(
            asked(
                "carries = \"video\"\nactive = true\ndiameter = \"6 mm\"",
                DEPTH
            ),
            "kit.cable.cable-c1.bend_radius"
        );
    }
}
