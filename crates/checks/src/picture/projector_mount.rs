//! Does the projector's mount reach down to where it hangs, and level the ceiling there?

use analysis::{Analysis, LimitValue, Means, Missing, Parts, ProjectorPlace, Source, item_label};
use model::{Item, MountKit, Space};
use units::Dimension;

use crate::hanging::Mount;
use crate::moves::{Placed, text_of, to_spare};
use crate::{
    Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

pub(crate) static CHECK: Check = Check {
    id: "projector-mount",
    area: Area::Picture,
    proves: "A projector's ceiling mount has the drop at which it hangs, and levels the slope of the ceiling there.",
    matters: "A pole that is too short or too long, or a plate without its slope adaptor, is found out with the projector in hand.",
    formula: "drop: from the ceiling above the case's middle to the case's top, m, within the mount's shortest and longest; slope: angle of the ceiling's plane to the level, at most what mount and adaptor level out. Valid for one mount above the middle of the case.",
    source: Source::SpecSheet,
    when_it_fails: "Hang it within the mount's reach, or fit another pole or a slope adaptor.",
    limits: &[],
    published: &[Published {
        cite: "a ceiling that rises 0.8 m over 2 m: atan(0.4) = 21.8014° (computed)",
        computed: || {
            pitch(&Uncertain::exact(0.4), &Uncertain::exact(0.0))
                .value()
                .to_degrees()
        },
        expected: 21.8014,
        tolerance: 5e-5, // Four printed decimals.
        unit: "°",
    }],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// A ceiling flatter than this is level to a mount, rad.
const LEVEL: f64 = 0.5 * std::f64::consts::PI / 180.0;
/// Two places this far apart have one plane above them, m.
const APART_M: f64 = 1e-3;

/// Slope from its rises along x and y.
fn pitch(along_x: &Uncertain, along_y: &Uncertain) -> Uncertain {
    uncertainty::through([along_x, along_y], |[x, y]| x.hypot(y).atan())
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (item, kit) in analysis.projectors_in(space) {
        let Some((_, mount)) = analysis.mount_of(item).filter(|_| item.hung.is_some()) else {
            continue;
        };
        findings.push(CHECK.about(space, Subject::item(item), || {
            let projector = analysis.projector(item, kit)?;
            reached(analysis, &projector, mount)
        }));
        // What keeps the slope from being known is told by the first finding.
        let slope = analysis
            .projector(item, kit)
            .and_then(|projector| slope(analysis, space, &projector));
        if let Ok(slope) = slope
            && slope.value() > LEVEL
        {
            let base = Subject::item(item);
            let subject = Subject::new(
                format!("{}.slope", base.id),
                format!("{} below its slope", base.label),
            );
            findings.push(CHECK.about(space, subject, || levelled(analysis, item, mount, slope)));
        }
    }
    findings
}

/// What the mount of an item reaches and levels.
pub(crate) fn mount(analysis: &Analysis, item: &Item) -> Mount {
    let Some((_, kit)) = analysis.mount_of(item) else {
        return Mount::default();
    };
    Mount {
        drop_m: drops(analysis, kit).map(|ends| ends.map(|end| end.value())),
        slope_rad: analysis
            .number(kit.slope_max.as_ref())
            .map(|most| most.value()),
    }
}

fn drops(analysis: &Analysis, kit: &MountKit) -> Option<[Uncertain; 2]> {
    let drop = kit.drop.as_ref()?;
    let end = |index: usize| analysis.number(Some(&drop[index]));
    let (a, b) = (end(0)?, end(1)?);
    Some(if a.value() <= b.value() {
        [a, b]
    } else {
        [b, a]
    })
}

fn slope(analysis: &Analysis, space: &Space, projector: &ProjectorPlace<'_>) -> Known<Uncertain> {
    let shape = analysis.shape(space);
    let middle = projector.case.centre.in_plan();
    let here = shape.ceiling_at(&middle)?;
    let mut aside = [middle.clone(), middle];
    aside[0].x = &aside[0].x + APART_M;
    aside[1].y = &aside[1].y + APART_M;
    let [x, y] = aside.map(|place| shape.ceiling_at(&place));
    Ok(pitch(&((x? - &here) / APART_M), &((y? - &here) / APART_M)))
}

fn ask(kit: &MountKit, what: &str, fact: &str) -> Missing {
    let name = kit.common.name.as_deref().unwrap_or(&kit.common.id);
    Missing::new(
        format!("{what} of {name}"),
        format!("kit.mount.{}.{fact}", kit.common.id),
        Means::SpecSheet,
    )
}

fn reached(analysis: &Analysis, projector: &ProjectorPlace<'_>, kit: &MountKit) -> Known<Outcome> {
    let [short, long] =
        drops(analysis, kit).ok_or_else(|| ask(kit, "the shortest and longest drop", "drop"))?;
    let item = projector.item;
    let hung = item.hung.as_ref().and_then(|hung| hung.drop.as_ref());
    let drop = analysis.number(hung).unwrap_or_default();
    let limit = |end: &Uncertain| LimitValue {
        value: end.value(),
        source: Source::SpecSheet,
    };
    let outcome = Outcome::between(
        drop.clone(),
        &limit(&short),
        &limit(&long),
        Dimension::Length,
    );
    let sentence = format!(
        "{} hangs {} below the ceiling, and its mount has drops from {} to {}.",
        item_label(item),
        analysis.length(&drop),
        analysis.length(&short),
        analysis.length(&long),
    );
    let lacking = -to_spare(outcome.margin(), 0.0);
    let is_long = long.value() - drop.value() < drop.value() - short.value();
    let outcome = outcome.because(sentence).caution(Caution::Ladder);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let up_m = if is_long { lacking } else { -lacking };
    let edit = Placed::item(analysis, item).and_then(|place| place.raised(analysis, up_m));
    Ok(outcome.remedy(edit.map(|edit| {
        let says = format!(
            "Hang {} with a drop of {}; look at shift and beam again.",
            item_label(item),
            text_of(&edit)
        );
        Remedy::new(says, vec![edit]).caution(Caution::Ladder)
    })))
}

fn levelled(analysis: &Analysis, item: &Item, kit: &MountKit, slope: Uncertain) -> Known<Outcome> {
    let most = analysis
        .number(kit.slope_max.as_ref())
        .ok_or_else(|| ask(kit, "the steepest ceiling that it levels,", "slope_max"))?;
    let limit = LimitValue {
        value: most.value(),
        source: Source::SpecSheet,
    };
    let sentence = format!(
        "The ceiling above {} slopes by {}, and its mount levels {}.",
        item_label(item),
        analysis.angle(&slope),
        analysis.angle(&most),
    );
    Ok(Outcome::at_most(slope, &limit, Dimension::Angle).because(sentence))
}

#[cfg(test)]
mod tests {
    //! Drops on both sides, slopes, blanks, and the remedy.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{ROOM, findings, findings_after, findings_of, mounted, told};

    fn cinema(drop: &str, mount: &str) -> String {
        mounted("1 m", drop, mount)
    }

    const MOUNT: &str = "drop = [\"150 mm\", \"300 mm\"]\nslope_max = \"20 deg\"";

    #[test]
    fn a_drop_within_the_mounts_reach_fits() {
        let found = findings(&CHECK, &cinema("200 mm", MOUNT));
        expect![[r#"
            projector: fits +0.050: projector hangs 200 mm below the ceiling, and its mount has drops from 150 mm to 300 mm.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn both_ends_are_limits_and_the_remedy_mends_them() {
        for (drop, verdict) in [
            ("140 mm", Verdict::Fails),
            ("160 mm", Verdict::Fits),
            ("290 mm", Verdict::Fits),
            ("320 mm", Verdict::Fails),
        ] {
            let text = cinema(drop, MOUNT);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].verdict, verdict, "{drop}");
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_ne!(after[0].verdict, Verdict::Fails, "{}", remedy.says);
            }
            assert_eq!(
                found[0].remedies.len(),
                usize::from(verdict == Verdict::Fails)
            );
        }
    }

    #[test]
    fn a_slope_is_held_against_the_adaptor() {
        // 0.8 m up over the 2 m to the ridge: 21.8°.
        let gable = ROOM.replace(
            r#"{ shape = "flat", height = "2.4 m" }"#,
            r#"{ shape = "gable", ridge = ["west", "east"], eaves = "1.9 m", top = "2.7 m" }"#,
        );
        let of = |mount: &str| findings_of(&CHECK, &format!("{gable}{}", cinema("200 mm", mount)));
        let found = of(MOUNT);
        assert_eq!(found.len(), 2);
        assert_eq!(found[1].verdict, Verdict::Fails);
        let slope = found[1].value.as_ref().expect("decided").value();
        assert!((slope.to_degrees() - 21.8014).abs() < 1e-3);
        assert_eq!(
            of(&MOUNT.replace("20 deg", "30 deg"))[1].verdict,
            Verdict::Fits
        );
        let found = of(r#"drop = ["150 mm", "300 mm"]"#);
        assert_eq!(found[1].needs[0].at, "kit.mount.mount-m1.slope_max");
    }

    #[test]
    fn without_the_mounts_reach_nothing_is_claimed() {
        let found = findings(&CHECK, &cinema("200 mm", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.mount.mount-m1.drop");
    }
}
