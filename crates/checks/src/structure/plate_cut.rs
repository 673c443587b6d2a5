//! May the holes for cables be drilled through the top plates of walls?

use std::collections::BTreeMap;

use analysis::{Analysis, Known, Limit, Means, Missing, Parts, Source, Uncertain};
use model::{Cable, CableKit, Construction, Framing, Length, Space};
use units::{Dimension, Metres};
use wiring::holes::{TOP_PLATE_CUT_MAX, TopPlate, shared_hole, top_plate_margin};

use crate::framed::{self, Load};
use crate::passing::{passing, top_plates};
use crate::runs::cable_with_kit;
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
    proves: "The hole that the cables of a bay share through the plate over a wall's studs takes no more of it than may go without a steel strap.",
    matters: "The plate holds the wall together lengthwise; cut through, the wall parts there in a storm or under the roof's push.",
    formula: "h = 1.5 √(Σ d²) ≤ s W; d: diameter of each cable that goes up or down the same bay, m; W: the plate's width, m, as deep as the studs (a wall's cavity; 89 ± 3 mm where nobody measured it); s = 50 %. Where one hole for all is too wide, several holes one behind the other along the plate do, each s W wide at most and as far from the next as it is wide (common practice), if the bay has room for them: then it is tight. Asked of walls that carry load, may, or stand outside.",
    source: Source::Published {
        work: "IRC R602.6.1",
    },
    when_it_fails: "Drill several holes one behind the other along the plate, none wider than half of it, or take a cable round by another bay; else nail a steel strap over the cut, 0.054 in thick and 1 1/2 in wide, eight nails each side (10d, from memory). Holes through plates are sealed with fire-block material.",
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
        Published {
            cite: "one hole for four cables of 0.5 in, 1.5 in wide: 0.25 in to the half of 3 1/2 in (IRC R602.6.1, computed)",
            computed: || margin_in(3.5, shared_in(&[0.5; 4])),
            expected: 0.25,
            tolerance: 1e-9, // Exact.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// From stud to stud where nobody measured it, m (common practice, no source).
const SPACING_M: f64 = 0.4;
/// A stud's face where nobody measured it, m (1 1/2 in).
const FACE_M: f64 = 0.0381;

fn margin_in(width_in: f64, cut_in: f64) -> f64 {
    let plate = TopPlate {
        width: Metres(width_in * 0.0254),
        cut: Metres(cut_in * 0.0254),
    };
    top_plate_margin(plate, TOP_PLATE_CUT_MAX).map_or(f64::NAN, |margin| margin.0 / 0.0254)
}

fn shared_in(diameters_in: &[f64]) -> f64 {
    let diameters: Vec<Metres> = (diameters_in.iter())
        .map(|diameter| Metres(diameter * 0.0254))
        .collect();
    shared_hole(&diameters, framed::HOLE_ROOM).map_or(f64::NAN, |hole| hole.0 / 0.0254)
}

/// A cable through a plate.
type Through<'a> = (&'a Cable, &'a CableKit);

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if !(space.construction.iter()).any(|one| one.framing == Framing::Stud) {
        return Vec::new();
    }
    let mut walls: BTreeMap<String, BTreeMap<Option<i32>, Vec<Through<'_>>>> = BTreeMap::new();
    for (at, id) in passing(analysis, space).iter() {
        let plates = top_plates(analysis, space, analysis.unread_cable(*at));
        if plates.is_empty() {
            continue;
        }
        let Some((cable, kit)) = cable_with_kit(analysis, id) else {
            continue;
        };
        for (wall, bay) in plates.iter() {
            let bays = walls.entry(wall.clone()).or_default();
            bays.entry(*bay).or_default().push((cable, kit));
        }
    }
    (walls.iter())
        .filter(|(wall, _)| Load::of(analysis, space.construction_of(wall)) != Load::BearsNone)
        .map(|(wall, bays)| {
            let subject = Subject::new(
                format!("{}.{wall}.plate", space.id),
                format!("top plate of wall {wall}"),
            );
            CHECK.about(space, subject, || decide(analysis, space, wall, bays))
        })
        .collect()
}

/// The cables of one bay and the hole that they share.
struct Bay<'a> {
    cables: Vec<&'a Cable>,
    /// Diameters, thickest first.
    diameters: Vec<Uncertain>,
}

impl<'a> Bay<'a> {
    fn of(analysis: &Analysis, through: &[Through<'a>]) -> Known<Self> {
        let mut bay = Self {
            cables: through.iter().map(|(cable, _)| *cable).collect(),
            diameters: Vec::new(),
        };
        for (_, kit) in through {
            let diameter = analysis.number(kit.diameter.as_ref()).ok_or_else(|| {
                Missing::new(
                    format!("the outside diameter of {}", kit.common.id),
                    format!("kit.cable.{}.diameter", kit.common.id),
                    Means::SpecSheet,
                )
            })?;
            bay.diameters.push(diameter);
        }
        bay.diameters
            .sort_by(|a, b| b.value().total_cmp(&a.value()));
        Ok(bay)
    }

    /// One hole for all.
    fn hole(&self) -> Uncertain {
        hole(&self.diameters)
    }

    /// The fewest holes of which none is wider than this, each with its cables' diameters; none
    /// where a single cable needs a wider one.
    fn holes_up_to(&self, most_m: f64) -> Option<Vec<Vec<Uncertain>>> {
        let mut holes: Vec<Vec<Uncertain>> = Vec::new();
        for diameter in &self.diameters {
            let takes = |cables: &&mut Vec<Uncertain>| {
                let with: Vec<Uncertain> = cables.iter().chain([diameter]).cloned().collect();
                hole(&with).value() <= most_m
            };
            match holes.iter_mut().find(takes) {
                Some(cables) => cables.push(diameter.clone()),
                None if framed::HOLE_ROOM * diameter.value() <= most_m => {
                    holes.push(vec![diameter.clone()]);
                }
                None => return None,
            }
        }
        Some(holes)
    }

    fn names(&self) -> String {
        let names: Vec<&str> = self.cables.iter().map(|cable| cable.id.as_str()).collect();
        names.join(", ")
    }
}

fn hole(diameters: &[Uncertain]) -> Uncertain {
    match diameters {
        [one] => one * framed::HOLE_ROOM,
        many => {
            let squares: Uncertain = many.iter().map(|diameter| diameter.powi(2)).sum();
            squares.sqrt() * framed::HOLE_ROOM
        }
    }
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    wall: &str,
    bays: &BTreeMap<Option<i32>, Vec<Through<'_>>>,
) -> Known<Outcome> {
    let limit = analysis.code_limit(&TOP_PLATE_CUT, framed::TIMBER_ASK)?;
    let mut fullest: Option<Bay> = None;
    for through in bays.values() {
        let bay = Bay::of(analysis, through)?;
        if (fullest.as_ref()).is_none_or(|most| bay.hole().value() > most.hole().value()) {
            fullest = Some(bay);
        }
    }
    let bay = fullest.expect("a wall is asked about for its cables");
    let shared = bay.hole();
    let construction = space.construction_of(wall);
    let width = framed::depth(analysis, space, construction, Framing::Stud);
    let most = &width * limit.value;
    let (count, needs) = match bay.cables.len() {
        1 => (String::new(), "needs"),
        count => (format!(", {count} cables in one bay,"), "share"),
    };
    let through = format!(
        "{}{count} {needs} a hole of {} through the top plate of wall {wall}{}; the plate is {} wide and takes {} without a strap",
        bay.names(),
        analysis.length(&shared),
        Load::of(analysis, construction).words(),
        analysis.length(&width),
        analysis.length(&most),
    );
    let margin = &most - &shared;
    let split = (margin.value() < 0.0)
        .then(|| bay.holes_up_to(most.value()))
        .flatten()
        .filter(|holes| have_room(construction, holes));
    let outcome = |value: Uncertain, because: String| {
        let margin = &most - &value;
        let source = limit.source.clone();
        Outcome::with_margin(value, most.value(), margin, Dimension::Length, source)
            .because(because)
            .caution(Caution::Drilling)
            .caution(Caution::Structure)
    };
    let Some(holes) = split else {
        return Ok(outcome(shared, format!("{through}.")));
    };
    let widest = (holes.iter().map(|cables| hole(cables)))
        .reduce(|a, b| if b.value() > a.value() { b } else { a })
        .expect("a bay has a cable");
    let because = format!(
        "{through}: drill {} holes one behind the other along it, {} wide at most.",
        holes.len(),
        analysis.length(&widest),
    );
    // The crew has to know, whatever is to spare.
    Ok(outcome(widest, because).comfort(most.value()))
}

/// Whether holes one behind the other find room in a bay, each as far from the next one and from
/// the studs as the widest of them.
fn have_room(construction: Option<&Construction>, holes: &[Vec<Uncertain>]) -> bool {
    let fact = |fact: fn(&Construction) -> Option<&Length>, usual_m: f64| {
        let stated = construction.and_then(fact).and_then(Length::value);
        stated.unwrap_or(usual_m)
    };
    let clear_m =
        fact(|one| one.spacing.as_ref(), SPACING_M) - fact(|one| one.face.as_ref(), FACE_M);
    let wide: Vec<f64> = holes.iter().map(|cables| hole(cables).value()).collect();
    let widest_m = wide.iter().copied().fold(0.0, f64::max);
    wide.iter().sum::<f64>() + widest_m * (wide.len() + 1) as f64 <= clear_m
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

    /// As many cables more beside the first, of the same kind and from thing to thing.
    fn beside(text: &str, more: usize) -> String {
        let cable = &text[text.find("[[cable]]").expect("there is one")..];
        let further = (0..more).map(|at| cable.replace("W1", &format!("X{at}")));
        format!("{text}{}", further.collect::<String>())
    }

    #[test]
    fn cables_of_one_bay_share_a_hole() {
        // Four of 15 mm: 1.5 × √(4 × 15²) = 45 mm, half of 90 mm.
        let of = |diameter: &str, facts: &str| {
            let one = house(&format!("diameter = \"{diameter}\""), facts);
            let found = findings(&CHECK, &beside(&one, 3));
            assert_eq!(found.len(), 1, "{found:?}");
            (found[0].verdict, found[0].because.clone())
        };
        let (verdict, because) = of("14.99 mm", STUD);
        assert_eq!(verdict, Verdict::Fits, "{because}");
        assert!(
            because.starts_with("W1, X0, X1, X2, 4 cables in one bay, share a hole of 45"),
            "{because}"
        );
        let (verdict, because) = of("15.01 mm", STUD);
        assert_eq!(verdict, Verdict::Tight, "{because}");
        assert!(
            because.contains("drill 2 holes one behind the other"),
            "{because}"
        );
        // Four of 29 mm want a hole each, 43.5 mm: 4 × 43.5 + 5 × 43.5 = 391.5 mm; the bay is clear for 361.9 mm.
        assert_eq!(of("29 mm", STUD).0, Verdict::Fails);
        // Studs every 600 mm leave 561.9 mm.
        let wide = house("diameter = \"29 mm\"", STUD).replacen("400 mm", "600 mm", 1);
        let found = findings(&CHECK, &beside(&wide, 3));
        assert_eq!(found[0].verdict, Verdict::Tight, "{}", found[0].because);
        assert!(
            found[0].because.contains("drill 4 holes"),
            "{}",
            found[0].because
        );
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
