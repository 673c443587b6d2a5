//! May the mount carry what hangs on it?

use analysis::{
    Analysis, COVERAGE_FACTOR, Known, LimitValue, Parts, Source, Uncertain, item_label,
};
use model::{Edit, Item, Space};
use units::{Dimension, System};

use crate::mounted::{Mounted, mounts};
use crate::moves::{Round, to_spare, written};
use crate::{Area, Caution, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "mount-capacity",
    area: Area::Structure,
    proves: "What hangs on a mount has no more mass than the mount may carry.",
    matters: "An overloaded arm sags at once, and its joints give way later, over people's heads.",
    formula: "Σ m ≤ m_max; m: mass of each thing on the mount, kg; m_max: what the mount's spec sheet allows, kg. A bar or a box hung on the same mount counts.",
    source: Source::SpecSheet,
    when_it_fails: "Choose a mount that carries more.",
    limits: &[],
    published: &[],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    mounts(analysis, space)
        .map(|mounted| CHECK.about(space, Subject::item(mounted.item), || decide(&mounted)))
        .collect()
}

fn decide(mounted: &Mounted) -> Known<Outcome> {
    let analysis = mounted.analysis;
    let carries = (analysis.number(mounted.kit.carries.as_ref()))
        .ok_or_else(|| mounted.unsaid("the heaviest thing on it", "carries"))?;
    let mass = mounted.burden_mass()?;
    let print = |mass: &Uncertain| analysis.print(mass, Dimension::Mass);
    let sentence = format!(
        "{} carries {} of {}, and may carry {}.",
        item_label(mounted.item),
        print(&mass),
        mounted.burden(),
        print(&carries),
    );
    let limit = LimitValue {
        value: carries.value(),
        source: Source::SpecSheet,
    };
    let margin = &carries - &mass;
    Ok(Outcome::with_margin(
        mass.clone(),
        limit.value,
        margin,
        Dimension::Mass,
        limit.source,
    )
    .because(sentence)
    .caution(Caution::Lifting)
    .mended(mounted.analysis, || {
        [stronger(mounted, &mass), lighter(mounted, &mass, &carries)]
    }))
}

/// The mount of the catalogue that carries enough with the least to spare; where it has
/// none, one to look for.
fn stronger(mounted: &Mounted, mass: &Uncertain) -> Option<Remedy> {
    let analysis = mounted.analysis;
    let suits = (analysis.catalogue().mount.iter())
        .filter_map(|kit| Some((kit, analysis.number(kit.carries.as_ref())?)))
        .filter(|(_, carries)| to_spare(&(carries - mass), 0.0) >= 0.0)
        .reduce(|least, next| {
            if next.1.value() < least.1.value() {
                next
            } else {
                least
            }
        });
    let Some((kit, carries)) = suits else {
        /// A pound or a kilogram.
        const WHOLE_LB_KG: f64 = 0.453_592_37;
        let whole = match analysis.printer().system {
            System::Imperial => WHOLE_LB_KG,
            System::Metric => 1.0,
        };
        let least = mass.value() + COVERAGE_FACTOR * mass.standard_uncertainty() + whole / 100.0;
        let text = written(analysis, least, Dimension::Mass, whole, Round::Up);
        let says = format!(
            "Look for a mount like {} that carries at least {text}; its reach and screws may differ.",
            mounted.item.is,
        );
        let at = format!("kit.mount.{}.carries", mounted.item.is);
        return Some(Remedy::new(says, vec![Edit::set(at, text)]).caution(Caution::Lifting));
    };
    let says = format!(
        "Use {} in place of {}: it carries {}. Its reach and its screws are its own.",
        kit.common.id,
        mounted.item.is,
        analysis.print(&carries, Dimension::Mass),
    );
    let edit = Edit::set(
        format!("item.{}.is", mounted.item.id),
        kit.common.id.as_str(),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Lifting))
}

/// The lightest thing that suffices, on brackets of its own.
fn lighter(mounted: &Mounted, mass: &Uncertain, carries: &Uncertain) -> Option<Remedy> {
    let own = |item: &&&Item| item.on.is_some() && mounted.carried.len() > 1;
    let (item, part) = (mounted.carried.iter().filter(own))
        .filter_map(|item| Some((*item, mounted.mass_of(item).ok()?)))
        .filter(|(_, part)| to_spare(&(carries - (mass - part)), 0.0) >= 0.0)
        .min_by(|a, b| a.1.value().total_cmp(&b.1.value()))?;
    let says = format!(
        "Fix {} ({}) to the wall by itself, not to {}.",
        item_label(item),
        mounted.analysis.print(&part, Dimension::Mass),
        item_label(mounted.item),
    );
    let edit = Edit::remove(format!("item.{}.mount", item.id));
    Some(Remedy::new(says, vec![edit]).caution(Caution::Drilling))
}

#[cfg(test)]
mod tests {
    //! A display of 30 kg on mounts of several ratings.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn arm(carries: &str, mass: &str) -> String {
        format!(
            r#"
[[kit.mount]]
id = "arm-m2"
{carries}
[[kit.mount]]
id = "arm-m5"
carries = "60 kg"
[[kit.mount]]
id = "arm-m4"
carries = "45 kg"
[[kit.display]]
id = "display-t4"
{mass}
[[item]]
id = "arm"
is = "arm-m2"
on = {{ wall = "north", from_left = "2 m", height = "1.2 m" }}
[[item]]
id = "tv"
is = "display-t4"
mount = "arm"
on = {{ wall = "north", from_left = "2 m", height = "1.3 m" }}
"#
        )
    }

    #[test]
    fn mass_against_rating() {
        let found = findings(&CHECK, &arm("carries = \"35 kg\"", "mass = \"30 kg\""));
        expect![[r#"
            arm: fits +5.000: arm carries 30 kg of tv, and may carry 35 kg.
        "#]]
        .assert_eq(&told(&found));
        let verdict = |mass: &str| findings(&CHECK, &arm("carries = \"35 kg\"", mass))[0].verdict;
        assert_eq!(verdict("mass = \"34.9 kg\""), Verdict::Fits);
        assert_eq!(verdict("mass = \"35.1 kg\""), Verdict::Fails);
        assert_eq!(verdict("mass = \"34 kg ± 2 kg\""), Verdict::Tight);
    }

    #[test]
    fn either_fact_may_be_missing() {
        let found = findings(&CHECK, &arm("", "mass = \"30 kg\""));
        assert_eq!(found[0].needs[0].at, "kit.mount.arm-m2.carries");
        let found = findings(&CHECK, &arm("carries = \"35 kg\"", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.display.display-t4.mass");
    }

    #[test]
    fn the_weakest_mount_that_carries_it_mends_it() {
        let text = arm("carries = \"25 kg\"", "mass = \"30 kg\"");
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        assert!(remedy.says.starts_with("Use arm-m4"));
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_bar_on_the_same_mount_counts_and_may_leave_it() {
        let bar = "[[kit.loudspeaker]]\nid = \"bar-b3\"\nmass = \"40 kg\"\n[[item]]\nid = \"bar\"\nis = \"bar-b3\"\nmount = \"arm\"\non = { wall = \"north\", from_left = \"2 m\", height = \"900 mm\" }\n";
        let text = arm("carries = \"45 kg\"", "mass = \"30 kg\"") + bar;
        let found = findings(&CHECK, &text);
        // 30 + 40 kg; the catalogue carries 60 kg at most. The lighter of both may leave: 40 kg stay.
        let says: Vec<String> = (found[0].remedies.iter())
            .map(|remedy| remedy.says.replace('\u{202f}', " "))
            .collect();
        assert_eq!(
            says,
            [
                "Look for a mount like arm-m2 that carries at least 71 kg; its reach and screws may differ.",
                "Fix tv (30 kg) to the wall by itself, not to arm.",
            ]
        );
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
        }
    }
}
