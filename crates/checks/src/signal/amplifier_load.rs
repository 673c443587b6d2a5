//! May each amplifier drive the impedance that hangs on its channels?

use analysis::{Analysis, Known, LimitValue, Means, Missing, Source, Uncertain, item_label};
use model::Edit;
use units::Dimension;

use crate::driven::{Driver, Drivers, LOWEST_OF_NOMINAL, Load, another_amplifier};
use crate::moves::to_spare;
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "amplifier-load",
    area: Area::Signal,
    proves: "The lowest impedance on any channel of an amplifier is no lower than it may drive.",
    matters: "An amplifier that drives too low a load runs hot and switches itself off when it is loudest.",
    formula: "Z ≥ Z_min, 1 / Z = Σ 1 / Z_i over the loudspeakers that share a channel; Z_i: lowest impedance of each, Ω (0.8 of the nominal one when its sheet names no lowest), Z_min: lowest load of the amplifier, Ω. With more loudspeakers than channels, the lowest ones are taken together, as many as share one channel. What the wire adds is not counted.",
    source: Source::SpecSheet,
    when_it_fails: "Use an amplifier for lower loads or with more channels, or loudspeakers of higher impedance.",
    limits: &[],
    published: &[
        Published {
            cite: "two 8 Ω loudspeakers in parallel: 4 Ω (computed by 1/Z = Σ 1/Z_i)",
            computed: || parallel_ohm(&[8.0, 8.0]),
            expected: 4.0,
            tolerance: 1e-12, // Exact.
            unit: "Ω",
        },
        Published {
            cite: "IEC 60268-5 (from memory): nominal 4 Ω may fall to 3.2 Ω",
            computed: || 4.0 * LOWEST_OF_NOMINAL,
            expected: 3.2,
            tolerance: 1e-12, // Exact.
            unit: "Ω",
        },
    ],
    run: Run::House(run),
};

fn parallel_ohm(parts: &[f64]) -> f64 {
    1.0 / parts.iter().map(|part| 1.0 / part).sum::<f64>()
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let all = Drivers::of(analysis);
    (all.drivers.iter())
        .filter(|driver| !driver.loads.is_empty())
        .map(|driver| CHECK.about_house(Subject::item(driver.item), || decide(analysis, driver)))
        .collect()
}

/// The lowest load on a channel, and the loudspeakers that make it.
fn worst<'a>(
    analysis: &Analysis,
    driver: &'a Driver,
    channels: u32,
) -> Known<(Uncertain, Vec<&'a Load<'a>>)> {
    let mut rated = Vec::new();
    for load in &driver.loads {
        rated.push((load, load.lowest(analysis)?));
    }
    rated.sort_by(|a, b| a.1.value().total_cmp(&b.1.value()));
    let mut left = driver.used().div_ceil(channels);
    let mut admittance = Uncertain::exact(0.0);
    let mut loads = Vec::new();
    // A loudspeaker of several channels, or several of a kind, may share one with itself.
    for (load, impedance) in rated {
        let here = load.channels.min(left);
        if here == 0 {
            break;
        }
        admittance = admittance + f64::from(here) / impedance;
        loads.push(load);
        left -= here;
    }
    Ok((1.0 / admittance, loads))
}

fn decide(analysis: &Analysis, driver: &Driver) -> Known<Outcome> {
    let least = (analysis.number(driver.kit.load_min.as_ref())).ok_or_else(|| {
        Missing::new(
            format!("the lowest load that {} may drive", driver.item.is),
            format!("kit.amplifier.{}.load_min", driver.item.is),
            Means::SpecSheet,
        )
    })?;
    let channels = driver.channels()?;
    let (impedance, loads) = worst(analysis, driver, channels)?;
    let ohms = |number: &Uncertain| analysis.print(number, Dimension::Resistance);
    let names: Vec<&str> = loads.iter().map(|load| item_label(load.item)).collect();
    let sentence = format!(
        "A channel of {} sees {} from {}{}, and may drive {}.",
        item_label(driver.item),
        ohms(&impedance),
        names.join(" and "),
        if driver.used() > channels {
            format!(
                ", since {} loudspeaker channels share its {channels}",
                driver.used()
            )
        } else {
            String::new()
        },
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
        impedance,
        limit.value,
        margin,
        Dimension::Resistance,
        limit.source,
    );
    Ok(outcome
        .because(sentence)
        .remedy(another_kind(analysis, driver))
        .remedy(further(analysis, driver, &least)))
}

/// A further amplifier for what has no channel of its own, if the rest is then allowed.
fn further(analysis: &Analysis, driver: &Driver, least: &Uncertain) -> Option<Remedy> {
    let allowed = |load: &Load| {
        let margin = load.lowest(analysis).ok()? - least + EXACTLY_OHM;
        Some(to_spare(&margin, 0.0) >= 0.0)
    };
    let all = driver.loads.iter().all(|load| allowed(load) == Some(true));
    all.then(|| another_amplifier(analysis, driver)).flatten()
}

/// What sets an allowed load apart from one with nothing to spare, Ω.
const EXACTLY_OHM: f64 = 1e-6;

/// The catalogue's amplifier with the fewest channels whose load limit is kept.
fn another_kind(analysis: &Analysis, driver: &Driver) -> Option<Remedy> {
    let kits = analysis.catalogue().amplifier.iter();
    let (kit, impedance) = kits
        .filter(|kit| kit.common.id != driver.item.is)
        .filter_map(|kit| {
            let least = analysis.number(kit.load_min.as_ref())?;
            let channels = kit.channels.filter(|channels| *channels > 0)?;
            let (impedance, _) = worst(analysis, driver, channels).ok()?;
            let enough = channels >= driver.used().min(driver.kit.channels.unwrap_or(0));
            (enough && to_spare(&(&impedance - least + EXACTLY_OHM), 0.0) >= 0.0)
                .then_some((kit, impedance))
        })
        .min_by_key(|(kit, _)| kit.channels)?;
    let says = format!(
        "Use {} in place of {}: it may drive {}, and the lowest load on it is {}.",
        kit.common.id,
        driver.item.is,
        analysis.print(
            &analysis.number(kit.load_min.as_ref())?,
            Dimension::Resistance
        ),
        analysis.print(&impedance, Dimension::Resistance),
    );
    let edit = Edit::set(
        format!("item.{}.is", driver.item.id),
        kit.common.id.as_str(),
    );
    Some(Remedy::new(says, vec![edit]))
}

#[cfg(test)]
mod tests {
    //! Loudspeakers of several impedances, one and two on a channel.

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
    fn two_on_one_channel_halve() {
        // 6.2 / 2 = 3.1 Ω.
        let found = findings(&CHECK, &room("impedance_min = \"6.2 ohm\"", FOUR, 1));
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!((found[0].value.as_ref().expect("decided").value() - 3.1).abs() < 1e-9);
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
    fn a_further_amplifier_takes_what_has_no_channel() {
        let text = room("impedance_min = \"6.2 ohm\"", FOUR, 1);
        let remedies = &findings(&CHECK, &text)[0].remedies;
        assert_eq!(
            remedies[1].says,
            "Add an amplifier amp-a2 (1 channel) for right."
        );
        // A load that is too low for this amplifier on its own is not mended by another.
        let low = room("impedance_min = \"3 ohm\"", FOUR, 1);
        assert_eq!(findings(&CHECK, &low)[0].remedies.len(), 1);
    }

    #[test]
    fn an_amplifier_for_the_load_mends_it() {
        for text in [
            room("impedance = \"4 ohm\"", FOUR, 2),
            room("impedance_min = \"6.2 ohm\"", FOUR, 1),
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
