//! May each amplifier drive the impedance that hangs on its channels?

use analysis::{Analysis, Known, LimitValue, Means, Missing, Source, Uncertain, item_label};
use model::Edit;
use units::Dimension;

use crate::driven::{Driver, Drivers, LOWEST_OF_NOMINAL, Load};
use crate::moves::to_spare;
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "amplifier-load",
    area: Area::Signal,
    proves: "The lowest impedance of any loudspeaker on an amplifier is no lower than its channels may drive.",
    matters: "An amplifier that drives too low a load runs hot and switches itself off when it is loudest.",
    formula: "Z ≥ Z_min; Z: lowest impedance of the loudspeaker, Ω (0.8 of the nominal one when its sheet names no lowest), Z_min: lowest load of the amplifier, Ω. Each loudspeaker is taken on a channel of its own: where there are more of them than channels, the check of the channels says so. What the wire adds is not counted.",
    source: Source::SpecSheet,
    when_it_fails: "Use an amplifier for lower loads, or loudspeakers of higher impedance.",
    limits: &[],
    published: &[Published {
        cite: "IEC 60268-5 (from memory): nominal 4 Ω may fall to 3.2 Ω",
        computed: || 4.0 * LOWEST_OF_NOMINAL,
        expected: 3.2,
        tolerance: 1e-12, // Exact.
        unit: "Ω",
    }],
    run: Run::House(run),
};

fn run(analysis: &Analysis) -> Vec<Finding> {
    let all = Drivers::of(analysis);
    (all.drivers.iter())
        .filter(|driver| !driver.loads.is_empty())
        .map(|driver| CHECK.about_house(Subject::item(driver.item), || decide(analysis, driver)))
        .collect()
}

/// The lowest load on a channel, and the loudspeaker that makes it.
fn lowest<'a>(analysis: &Analysis, driver: &'a Driver) -> Known<(Uncertain, &'a Load<'a>)> {
    let mut rated = Vec::new();
    for load in &driver.loads {
        rated.push((load.lowest(analysis)?, load));
    }
    let lowest = (rated.into_iter()).min_by(|a, b| a.0.value().total_cmp(&b.0.value()));
    Ok(lowest.expect("only amplifiers that drive something are asked about"))
}

fn decide(analysis: &Analysis, driver: &Driver) -> Known<Outcome> {
    let least = (analysis.number(driver.kit.load_min.as_ref())).ok_or_else(|| {
        Missing::new(
            format!("the lowest load that {} may drive", driver.item.is),
            format!("kit.amplifier.{}.load_min", driver.item.is),
            Means::SpecSheet,
        )
    })?;
    let (impedance, load) = lowest(analysis, driver)?;
    let ohms = |number: &Uncertain| analysis.print(number, Dimension::Resistance);
    let sentence = format!(
        "A channel of {} sees {} from {}, and may drive {}.",
        item_label(driver.item),
        ohms(&impedance),
        item_label(load.item),
        ohms(&least),
    );
    let limit = LimitValue {
        value: least.value(),
        source: Source::SpecSheet,
    };
    let margin = &impedance - &least;
    // Exactly the load that the sheet allows is allowed.
    let margin = if margin.value() == 0.0 {
        margin + EXACTLY_OHM
    } else {
        margin
    };
    let outcome = Outcome::with_margin(
        impedance.clone(),
        limit.value,
        margin,
        Dimension::Resistance,
        limit.source,
    );
    Ok((outcome.because(sentence))
        .mended(analysis, || [another_kind(analysis, driver, &impedance)]))
}

/// What sets an allowed load apart from one with nothing to spare, Ω.
const EXACTLY_OHM: f64 = 1e-6;

/// The catalogue's amplifier with the fewest channels whose load limit is kept.
fn another_kind(analysis: &Analysis, driver: &Driver, impedance: &Uncertain) -> Option<Remedy> {
    let kits = analysis.catalogue().amplifier.iter();
    let kit = kits
        .filter(|kit| kit.common.id != driver.item.is)
        .filter(|kit| {
            let channels = kit.channels.unwrap_or(0);
            let enough = channels >= driver.used().min(driver.kit.channels.unwrap_or(0));
            let least = analysis.number(kit.load_min.as_ref());
            let allowed = |least| to_spare(&(impedance - least + EXACTLY_OHM), 0.0) >= 0.0;
            channels > 0 && enough && least.is_some_and(allowed)
        })
        .min_by_key(|kit| kit.channels)?;
    let says = format!(
        "Use {} in place of {}: it may drive {}, and the lowest load on it is {}.",
        kit.common.id,
        driver.item.is,
        analysis.print(
            &analysis.number(kit.load_min.as_ref())?,
            Dimension::Resistance
        ),
        analysis.print(impedance, Dimension::Resistance),
    );
    let edit = Edit::set(
        format!("item.{}.is", driver.item.id),
        kit.common.id.as_str(),
    );
    Some(Remedy::new(says, vec![edit]))
}

#[cfg(test)]
mod tests {
    //! Loudspeakers of several impedances, with channels enough and without.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn room(speaker: &str, load_min: &str, channels: u32) -> String {
        format!(
            r#"
[[kit.amplifier]]
id = "amp-a2"
channels = {channels}
{load_min}
[[kit.amplifier]]
id = "amp-a5"
channels = 4
load_min = "2 ohm"
[[kit.loudspeaker]]
id = "speaker-l1"
{speaker}
[[zone]]
id = "film"
space = "den"
amplifiers = ["amp"]
[[item]]
id = "amp"
is = "amp-a2"
[[item]]
id = "left"
is = "speaker-l1"
zone = "film"
[[item]]
id = "right"
is = "speaker-l1"
zone = "film"
"#
        )
    }

    const FOUR: &str = "load_min = \"4 ohm\"";

    #[test]
    fn a_loudspeaker_on_each_channel() {
        let found = findings(&CHECK, &room("impedance_min = \"6.2 ohm\"", FOUR, 2));
        expect![[r#"
            amp: fits +2.200: A channel of amp sees 6.2 Ω from left, and may drive 4 Ω.
        "#]]
        .assert_eq(&told(&found));
        let verdict = |speaker: &str| findings(&CHECK, &room(speaker, FOUR, 2))[0].verdict;
        assert_eq!(verdict("impedance_min = \"4 ohm\""), Verdict::Fits);
        assert_eq!(verdict("impedance_min = \"3.99 ohm\""), Verdict::Fails);
        assert_eq!(
            verdict("impedance_min = \"4.2 ohm ± 0.5 ohm\""),
            Verdict::Tight
        );
        // Nominal 4 Ω may fall to 3.2 Ω, nominal 6 Ω to 4.8 Ω.
        assert_eq!(verdict("impedance = \"4 ohm\""), Verdict::Fails);
        assert_eq!(verdict("impedance = \"6 ohm\""), Verdict::Fits);
    }

    #[test]
    fn too_few_channels_are_another_checks_affair() {
        let found = findings(&CHECK, &room("impedance_min = \"6.2 ohm\"", FOUR, 1));
        assert_eq!(found[0].verdict, Verdict::Fits);
        let low = findings(&CHECK, &room("impedance_min = \"3 ohm\"", FOUR, 1));
        assert_eq!(low[0].verdict, Verdict::Fails);
        assert_eq!(low[0].remedies.len(), 1);
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let found = findings(&CHECK, &room("", FOUR, 2));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(
            found[0].needs[0].at,
            "kit.loudspeaker.speaker-l1.impedance_min"
        );
        let found = findings(&CHECK, &room("impedance = \"8 ohm\"", "", 2));
        assert_eq!(found[0].needs[0].at, "kit.amplifier.amp-a2.load_min");
    }

    #[test]
    fn an_amplifier_for_the_load_mends_it() {
        for text in [
            room("impedance = \"4 ohm\"", FOUR, 2),
            room("impedance_min = \"3.1 ohm\"", FOUR, 1),
        ] {
            let found = findings(&CHECK, &text);
            assert!(found[0].remedies[0].says.starts_with("Use amp-a5"));
            for remedy in &found[0].remedies {
                for after in findings_after(&CHECK, &text, &remedy.edits) {
                    assert_eq!(after.verdict, Verdict::Fits, "{}", remedy.says);
                }
            }
        }
    }
}
