//! Do the taps of a 70 V or 100 V line leave its amplifier something to spare?

use analysis::{Analysis, Limit, Means, Missing, Source, item_label};
use model::{AmplifierKit, Edit, Item, LoudspeakerKit, Power};
use units::Dimension;

use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain};

pub(super) static TAP_SHARE_MAX: Limit = Limit {
    name: "tap_share_max",
    meaning: "the share of an amplifier's power that the taps on its line may add up to",
    dimension: Dimension::Factor,
    value: 0.8,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "line-taps",
    area: Area::Sound,
    proves: "What all transformers on an amplifier's constant-voltage line are set to adds up to less than the amplifier gives.",
    matters: "Each tap takes its power whether the music needs it or not; an overloaded line distorts, then shuts down in the middle of a party.",
    formula: "share = Σ n P_tap/P; n: number of loudspeakers; P_tap: the tap's power, W; P: what the amplifier gives on all its channels together, W. A tap's impedance is Z = V²/P_tap: 1000 Ω for 5 W at 70.7 V and for 10 W at 100 V; a tap marked for 100 V gives half its power at 70.7 V. Transformers lose 0.5 to 1 dB besides (from memory).",
    source: Source::CommonPractice,
    when_it_fails: "Set taps lower in step, halving loses 3 dB, or take a larger amplifier.",
    limits: &[&TAP_SHARE_MAX],
    published: &[
        Published {
            cite: "70.7 V line, 5 W tap: V²/P (computed)",
            computed: || 70.71_f64.powi(2) / 5.0,
            expected: 1000.0,
            tolerance: 0.5, // 70.7 V is rounded.
            unit: "Ω",
        },
        Published {
            cite: "12 loudspeakers at 5 W on 100 W (by hand)",
            computed: || share(&[(12.0, 5.0)], 100.0),
            expected: 0.6,
            tolerance: 1e-12,
            unit: "1",
        },
    ],
    run: Run::House(run),
};

fn share(taps: &[(f64, f64)], power_w: f64) -> f64 {
    let sum: f64 = taps.iter().map(|(count, tap)| count * tap).sum();
    sum / power_w
}

type Tapped<'a> = (&'a Item, &'a LoudspeakerKit);

fn run(analysis: &Analysis) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut lines: Vec<(&Item, &AmplifierKit, Vec<Tapped<'_>>)> = Vec::new();
    for item in analysis.items_anywhere() {
        let Some(model::Kit::Loudspeaker(kit)) = analysis.kit_of(item) else {
            continue;
        };
        if item.tap.is_none() && kit.taps.is_none() {
            continue;
        }
        match analysis.amplifier_of(item) {
            Some((amplifier, of)) => {
                let known = lines.iter_mut().find(|(one, ..)| one.id == amplifier.id);
                match known {
                    Some((.., tapped)) => tapped.push((item, kit)),
                    None => lines.push((amplifier, of, vec![(item, kit)])),
                }
            }
            None => found.push(CHECK.about_house(Subject::item(item), || {
                let what = format!("the amplifier that drives {}", item_label(item));
                let at = format!("item.{}.driven_by", item.id);
                Err(Missing::new(what, at, Means::Decide))
            })),
        }
    }
    for (amplifier, kit, tapped) in &lines {
        found.push(CHECK.about_house(Subject::item(amplifier), || {
            decide(analysis, amplifier, kit, tapped)
        }));
    }
    found
}

fn decide(
    analysis: &Analysis,
    amplifier: &Item,
    kit: &AmplifierKit,
    tapped: &[Tapped<'_>],
) -> Known<Outcome> {
    let power = analysis.number(kit.power.as_ref()).ok_or_else(|| {
        let what = format!("the power of {}", amplifier.is);
        let at = format!("kit.amplifier.{}.power", amplifier.is);
        Missing::new(what, at, Means::SpecSheet)
    })?;
    let all = power * f64::from(kit.channels.unwrap_or(1).max(1));
    let mut sum = Uncertain::exact(0.0);
    let mut count = 0;
    for (item, of) in tapped {
        let tap = analysis.number(item.tap.as_ref()).ok_or_else(|| {
            let what = format!("the tap that {} is set to", item_label(item));
            Missing::new(what, format!("item.{}.tap", item.id), Means::Decide)
        })?;
        if let Some(taps) = &of.taps
            && !listed(taps)
                .iter()
                .any(|listed| (listed - tap.value()).abs() < 0.05 * listed)
        {
            let what = format!(
                "a tap of {} for {}: it has no {}",
                item.is,
                item_label(item),
                analysis.exact(tap.value(), Dimension::Power)
            );
            return Err(Missing::new(
                what,
                format!("item.{}.tap", item.id),
                Means::Decide,
            ));
        }
        let number = item.count.unwrap_or(1);
        count += number;
        sum = sum + tap * f64::from(number);
    }
    let limit = analysis.limit(&TAP_SHARE_MAX);
    let outcome = Outcome::at_most(&sum / &all, &limit, Dimension::Factor);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let outcome = outcome.because(format!(
        "{count} loudspeakers on {} are set to {} together, {:.0} % of the {} that it gives; at most {:.0} % is asked for.",
        item_label(amplifier),
        analysis.exact(sum.value(), Dimension::Power),
        100.0 * sum.value() / all.value(),
        analysis.exact(all.value(), Dimension::Power),
        100.0 * limit.value,
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let wanted = limit.value * all.value() / sum.value() * 0.999;
    Ok(outcome.remedy(lower(analysis, tapped, wanted, limit.value * all.value())))
}

fn listed(taps: &[Power]) -> Vec<f64> {
    let mut taps: Vec<f64> = taps.iter().filter_map(|tap| tap.value()).collect();
    taps.sort_by(f64::total_cmp);
    taps
}

/// Each at its largest tap that is no more than its share.
fn lower(analysis: &Analysis, tapped: &[Tapped<'_>], share: f64, most_w: f64) -> Option<Remedy> {
    let mut edits = Vec::new();
    let mut sum = 0.0;
    let mut words = Vec::new();
    for (item, kit) in tapped {
        let now = item.tap.as_ref()?.value()?;
        let taps = listed(kit.taps.as_ref()?);
        let tap = taps.into_iter().rfind(|tap| *tap <= now * share)?;
        sum += tap * f64::from(item.count.unwrap_or(1));
        let text = analysis
            .exact(tap, Dimension::Power)
            .replace('\u{202f}', " ");
        words.push(format!("{} to {text}", item_label(item)));
        edits.push(Edit::set(format!("item.{}.tap", item.id), text));
    }
    let says = format!("Set the taps lower: {}.", words.join(", "));
    (sum < most_w).then(|| Remedy::new(says, edits))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn line(taps: &[&str]) -> String {
        let mut text = "[[kit.amplifier]]\nid = \"line-l1\"\nchannels = 1\npower = \"60 W\"\n[[kit.loudspeaker]]\nid = \"in-ceiling-c9\"\nform = \"in-ceiling\"\ntaps = [\"5 W\", \"10 W\", \"20 W\"]\n[[item]]\nid = \"amp\"\nis = \"line-l1\"\nspace = \"den\"\n".to_owned();
        for (index, tap) in taps.iter().enumerate() {
            text += &format!(
                "[[item]]\nid = \"c{index}\"\nis = \"in-ceiling-c9\"\nspace = \"den\"\ndriven_by = \"amp\"\n{tap}\n"
            );
        }
        text
    }

    #[test]
    fn taps_add_up() {
        let tap = "tap = \"10 W\"";
        let found = findings(&CHECK, &line(&[tap, tap, "tap = \"20 W\""]));
        let share = found[0].value.as_ref().unwrap().value();
        assert!((share - 40.0 / 60.0).abs() < 1e-12, "{}", told(&found));
        assert_eq!(found[0].verdict, Verdict::Fits);
    }

    #[test]
    fn lower_taps_mend_an_overloaded_line() {
        let text = line(&["tap = \"20 W\""; 3]);
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        let [remedy] = &found[0].remedies[..] else {
            panic!("{}", told(&found))
        };
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
    }

    #[test]
    fn a_missing_tap_and_one_that_it_has_not_are_asked_for() {
        for tap in ["", "tap = \"7 W\""] {
            let found = findings(&CHECK, &line(&[tap]));
            assert_eq!(found[0].verdict, Verdict::Unknown);
            assert_eq!(found[0].needs[0].at, "item.c0.tap");
        }
    }
}
