//! May each cable run where it runs?

use analysis::{Analysis, Known, LegKind, Means, Missing, Parts, Source};
use model::{Beyond, Cable, CableKit, Region, Space, SpaceKind, cable_end};
use routing::Medium;
use wiring::cable::{Space as Place, space_of_mark};

use crate::runs::kit_of;
use crate::whole::complete;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run};

pub(crate) static CHECK: Check = Check {
    id: "cable-class",
    area: Area::Cables,
    proves: "Each new cable in walls, ceilings, floors or outdoors carries the mark that its place asks for.",
    matters: "An inspector has it torn out, an insurer does not pay, and in a fire it carries the flame along.",
    formula: "In walls and between floors of a dwelling: CL2, CL3, CM or better, or listed for walls by its maker. In a ceiling or floor that moves the building's air: CL2P, CL3P, CMP. Outdoors: marked for sunlight and wet places, -OUT. Plenum replaces riser replaces general. Where the job goes by European rules no class is asked for: this table holds none that was read.",
    source: Source::FromMemory {
        work: "NEC 725.154, 800.154; marks for outdoors: common practice",
    },
    when_it_fails: "Buy the cable with the mark, or take another way. Local code comes first.",
    limits: &[],
    published: &[
        Published {
            cite: "a plenum jacket serves in shafts between floors (NEC 725.154, from memory): 1",
            computed: || f64::from(u8::from(serves("CL3P", Place::Riser) == Some(true))),
            expected: 1.0,
            tolerance: 0.0, // Yes.
            unit: "1",
        },
        Published {
            cite: "a general jacket does not serve where air is moved (NEC 725.154, from memory): 0",
            computed: || f64::from(u8::from(serves("CL2", Place::Plenum) == Some(true))),
            expected: 0.0,
            tolerance: 0.0, // No.
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn serves(mark: &str, place: Place) -> Option<bool> {
    let bare = mark.trim().trim_end_matches("-OUT");
    space_of_mark(bare).map(|of| of >= place)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if analysis.region() != Region::Us {
        return Vec::new();
    }
    (analysis.cables_in(space))
        // What lies in the walls already is not asked for its class: nobody can read it.
        .filter(|cable| cable.existing.is_none())
        .filter_map(|cable| Some((cable, kit_of(analysis, cable)?)))
        .filter_map(|(cable, kit)| {
            let asked = analysis.settled_of_cable("what its place asks for", cable, asked)?;
            Some((cable, kit, asked))
        })
        .map(|(cable, kit, asked)| {
            CHECK.about_cable(analysis, space, cable, || decide(cable, kit, asked))
        })
        .collect()
}

/// What a cable's place asks for.
#[derive(Clone, Copy, PartialEq)]
enum Asked {
    Walls,
    Air,
    Outdoors,
}

/// Nothing for what lies open in a room or inside a cupboard.
fn asked(analysis: &Analysis, cable: &Cable) -> Option<Asked> {
    let ends = [&cable.from, &cable.to].map(|end| {
        let item = analysis.item(cable_end(end).0)?;
        analysis.space_of(item).ok()
    });
    let outdoors = (ends.iter().flatten()).any(|space| space.kind == Some(SpaceKind::Outdoor));
    if outdoors {
        return Some(Asked::Outdoors);
    }
    let route = analysis.route(cable).ok()?;
    let hidden = |along: &LegKind| match along {
        LegKind::Through(passage) => !matches!(
            passage.medium,
            Medium::Lead
                | Medium::Baseboard
                | Medium::Doorway
                | Medium::Rug
                | Medium::Surface
                | Medium::Closet
                | Medium::Conduit
        ),
        LegKind::Rise | LegKind::Drop | LegKind::Level | LegKind::Stated(_) => true,
        _ => false,
    };
    if !route.legs.iter().any(|leg| hidden(&leg.along)) {
        return None;
    }
    let moves_air = (ends.iter().flatten()).any(|space| {
        (space.construction.iter())
            .any(|one| one.moves_air == Some(true) && one.beyond != Some(Beyond::Ground))
    });
    Some(if moves_air { Asked::Air } else { Asked::Walls })
}

fn decide(cable: &Cable, kit: &CableKit, asked: Asked) -> Known<Outcome> {
    let unknown = || {
        Missing::new(
            format!("the class on the jacket of {}", kit.common.id),
            format!("kit.cable.{}.class", kit.common.id),
            Means::SpecSheet,
        )
    };
    let (place, wanted) = match asked {
        Asked::Walls => ("inside walls", "CL2"),
        Asked::Air => ("where the building's air is moved", "CL2P"),
        Asked::Outdoors => ("outdoors", "CL3-OUT"),
    };
    let (fits, mark) = match (asked, kit.class.as_deref(), kit.in_wall) {
        (Asked::Outdoors, Some(mark), _) => (mark.ends_with("-OUT"), mark.to_owned()),
        (Asked::Walls, Some(mark), _) => (
            serves(mark, Place::General).ok_or_else(unknown)?,
            mark.to_owned(),
        ),
        (Asked::Air, Some(mark), _) => (
            serves(mark, Place::Plenum).ok_or_else(unknown)?,
            mark.to_owned(),
        ),
        (Asked::Walls, None, Some(true)) => (true, "listed for walls".to_owned()),
        (_, None, Some(false)) => (false, "not listed for walls".to_owned()),
        (_, None, _) => return Err(unknown()),
    };
    let verb = if fits { "may" } else { "may not" };
    let sentence = format!(
        "{} runs {place}, and {} ({mark}) {verb}; {wanted} or better is asked for.",
        cable.id, kit.common.id
    );
    let remedy = (!fits).then(|| {
        let says = format!("Buy {} marked {wanted}.", kit.common.id);
        let at = format!("kit.cable.{}.class", kit.common.id);
        Remedy::new(says, vec![model::Edit::set(at, wanted)])
    });
    Ok(complete(usize::from(fits), 1, CHECK.source.clone())
        .because(sentence)
        .caution(Caution::Structure)
        .remedy(remedy))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after};

    fn run(facts: &str, way: &str, more: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire-w1"
carries = "line"
{facts}
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
way = "{way}"
{more}
"#
        )
    }

    fn verdict(text: &str) -> Option<Verdict> {
        findings(&CHECK, text).first().map(|one| one.verdict)
    }

    #[test]
    fn in_walls_a_listed_cable_may_run() {
        for (facts, expected) in [
            ("in_wall = true", Verdict::Fits),
            ("class = \"CMR\"", Verdict::Fits),
            ("in_wall = false", Verdict::Fails),
            ("class = \"CMX\"", Verdict::Unknown),
            ("", Verdict::Unknown),
        ] {
            assert_eq!(
                verdict(&run(facts, "overhead", "")),
                Some(expected),
                "{facts}"
            );
        }
        assert_eq!(verdict(&run("in_wall = false", "direct", "")), None);
    }

    #[test]
    fn where_air_is_moved_plenum_is_asked_for() {
        let air =
            "[[space.construction]]\nof = \"ceiling\"\nframing = \"joist\"\nmoves_air = true\n";
        let with = |facts: &str| {
            run(facts, "overhead", "").replacen(
                "[[kit.device]]",
                &format!("{air}[[kit.device]]"),
                1,
            )
        };
        let text = with("class = \"CL3R\"");
        assert_eq!(verdict(&text), Some(Verdict::Fails));
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
        assert_eq!(verdict(&with("class = \"CL3P\"")), Some(Verdict::Fits));
    }
}
