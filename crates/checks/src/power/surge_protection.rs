//! Is everything behind the protection that the job brings?

use analysis::{Analysis, Known, Source, item_label};
use model::{Item, Kit, SpaceKind, cable_end};

use crate::whole::complete;
use crate::{Area, Caution, Check, Finding, Outcome, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "surge-protection",
    area: Area::Power,
    proves: "Where a job brings protection against surges, every picture, amplifier and source is plugged into it, and no wire from outdoors goes round it.",
    matters: "One wire that is not protected leads the strike past the protection into all the rest.",
    formula: "n = N; N: displays, projectors, amplifiers and devices with mains power, and cables with one end outdoors; n: those plugged into a thing that protects, and cables from outdoors whose inside end is on such a thing. Type 3 protection at the plug (UL 1449, IEC 61643-11); type 2 in the panel is an electrician's work.",
    source: Source::CommonPractice,
    when_it_fails: "Plug it in there too; lead the outdoor wire through a protector where it comes in.",
    limits: &[],
    published: &[],
    run: Run::House(run),
};

fn protects(analysis: &Analysis, item: &Item) -> bool {
    matches!(analysis.kit_of(item), Some(Kit::Device(kit)) if kit.surge == Some(true))
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    if !analysis
        .items_anywhere()
        .any(|item| protects(analysis, item))
    {
        return Vec::new();
    }
    let subject = Subject::new("surge-protection", "protection against surges");
    vec![CHECK.about_house(subject, || decide(analysis))]
}

fn decide(analysis: &Analysis) -> Known<Outcome> {
    let plugged = |item: &Item| {
        let into = item
            .plugged_into
            .as_deref()
            .and_then(|id| analysis.item_anywhere(id));
        into.is_some_and(|into| protects(analysis, into))
    };
    let draws = |item: &&Item| {
        let kind = matches!(
            analysis.kit_of(item),
            Some(Kit::Display(_) | Kit::Projector(_) | Kit::Amplifier(_) | Kit::Device(_))
        );
        let common = analysis.kit_of(item).map(Kit::common);
        let watts = common.and_then(|common| analysis.number(common.watts.as_ref()));
        kind && watts.is_some_and(|watts| watts.value() > 0.0) && !protects(analysis, item)
    };
    let things: Vec<&Item> = analysis.items_anywhere().filter(draws).collect();
    let mut bare: Vec<String> = (things.iter())
        .filter(|item| !plugged(item))
        .map(|item| item_label(item).to_owned())
        .collect();
    let mut wanted = things.len();
    for cable in analysis.cables() {
        let ends = [&cable.from, &cable.to].map(|end| analysis.item_anywhere(cable_end(end).0));
        let outdoors = |item: &Option<&Item>| {
            let space = item.and_then(|item| analysis.space_of(item).ok());
            space.is_some_and(|space| space.kind == Some(SpaceKind::Outdoor))
        };
        if ends.iter().filter(|end| outdoors(end)).count() != 1 {
            continue;
        }
        wanted += 1;
        let inside = ends.iter().find(|end| !outdoors(end)).copied().flatten();
        if !inside.is_some_and(|item| protects(analysis, item)) {
            bare.push(format!("cable {} from outdoors", cable.id));
        }
    }
    let sentence = match bare.as_slice() {
        [] => "Everything with mains power is plugged into protection, and no wire from outdoors goes round it.".to_owned(),
        bare => format!("Not behind the protection: {}.", bare.join(", ")),
    };
    Ok(complete(wanted - bare.len(), wanted, CHECK.source.clone())
        .because(sentence)
        .caution(Caution::Mains))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    fn house(plugged: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "strip-s1"
surge = true
[[kit.device]]
id = "box"
watts = 20
[[item]]
id = "strip"
is = "strip-s1"
[[item]]
id = "player"
is = "box"
{plugged}
"#
        )
    }

    #[test]
    fn what_is_not_plugged_in_is_named() {
        let found = findings(&CHECK, &house("plugged_into = \"strip\""));
        assert_eq!(found[0].verdict, Verdict::Fits);
        expect![[r#"
            protection against surges: fails -1.000: Not behind the protection: player.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &house(""))));
        assert!(findings(&CHECK, &house("").replace("surge = true", "")).is_empty());
    }
}
