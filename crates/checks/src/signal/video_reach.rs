//! Is each video lead short enough for the rate that it carries?

use analysis::{Analysis, Known, Means, Missing, Parts, Source, Uncertain};
use links::reach::{copper_reach, copper_reaches};
use model::{Cable, CableKit, CableUse, Edit, Kit, Space};
use units::{BitsPerSecond, Dimension};

use crate::chain::{Part, format_of, is_video, parts, running_rate};
use crate::moves::{Round, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run};

pub(crate) static CHECK: Check = Check {
    id: "video-reach",
    area: Area::Signal,
    proves: "Each video lead is no longer than it reaches at the rate that it carries.",
    matters: "A lead that is too long sparkles, drops out for seconds, or works with one source and not the next.",
    formula: "l ≤ l_max(R); l: length of the lead as it is cut or bought, m; R: rate that runs on it: the fastest of the signals that pass it, else the rate that it is certified for, bit/s; l_max: the maker's reach, else for passive copper the length that is usually trusted at that rate, and tight up to the length that some leads manage.",
    source: Source::CommonPractice,
    when_it_fails: "Use an active or optical lead, or an extender, and leave a pipe so that it can be changed.",
    limits: &[],
    published: &[
        Published {
            cite: "passive copper at 18 Gbit/s: usually trusted to 5 m (common practice, no source)",
            computed: || trusted_m(18.0),
            expected: 5.0,
            tolerance: 0.0, // A round figure of the trade.
            unit: "m",
        },
        Published {
            cite: "passive copper at 48 Gbit/s: usually trusted to 3 m (common practice, no source)",
            computed: || trusted_m(48.0),
            expected: 3.0,
            tolerance: 0.0, // A round figure of the trade.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn trusted_m(rate_gbit: f64) -> f64 {
    copper_reach(BitsPerSecond(rate_gbit * 1e9), copper_reaches())
        .map_or(f64::NAN, |reach| reach.sure.0)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    (analysis.cables_in(space))
        .filter(|cable: &&Cable| is_video(analysis, cable))
        .filter_map(|cable| match analysis.kit(&cable.kind) {
            Some(Kit::Cable(kit)) => Some((cable, kit)),
            _ => None,
        })
        .map(|(cable, kit)| {
            CHECK.about_cable(analysis, space, cable, || decide(analysis, cable, kit))
        })
        .collect()
}

/// How far a kind of lead reaches: what is trusted, what some manage, and who says so.
struct Reach {
    sure: Uncertain,
    far: Uncertain,
    source: Source,
}

fn reach_of(analysis: &Analysis, kit: &CableKit, rate: BitsPerSecond) -> Known<Reach> {
    if let Some(reach) = analysis.number(kit.reach.as_ref()) {
        return Ok(Reach {
            sure: reach.clone(),
            far: reach,
            source: Source::SpecSheet,
        });
    }
    let path = format!("kit.cable.{}.reach", kit.common.id);
    if kit.active {
        let what = format!("the reach of {}", kit.common.id);
        return Err(Missing::new(what, path, Means::SpecSheet));
    }
    let copper = copper_reach(rate, copper_reaches()).ok_or_else(|| {
        let what = format!(
            "the maker's reach of {} at {}: no copper is known to carry it",
            kit.common.id,
            analysis.exact(rate.0, Dimension::DataRate)
        );
        Missing::new(what, path, Means::SpecSheet)
    })?;
    Ok(Reach {
        sure: copper.sure.0.into(),
        far: copper.far.0.into(),
        source: Source::CommonPractice,
    })
}

/// The fastest rate that runs on a lead.
fn rate_on(analysis: &Analysis, cable: &Cable, kit: &CableKit) -> Known<BitsPerSecond> {
    let mut fastest: Option<BitsPerSecond> = None;
    for signal in analysis.signals() {
        let passes = parts(analysis, signal)
            .into_iter()
            .any(|part| matches!(part, Part::Lead(lead) if lead.id == cable.id));
        if !passes {
            continue;
        }
        let rate = running_rate(&format_of(signal)?).ok_or_else(|| {
            let what = format!("a picture for signal {} that a lead can carry", signal.id);
            Missing::new(what, format!("signal.{}.format", signal.id), Means::Decide)
        })?;
        if fastest.is_none_or(|fastest| fastest < rate) {
            fastest = Some(rate);
        }
    }
    let certified = || {
        analysis
            .number(kit.data_rate.as_ref())
            .map(|rate| BitsPerSecond(rate.value()))
    };
    fastest.or_else(certified).ok_or_else(|| {
        let what = format!(
            "the signal that passes {}, or the rate of {}",
            cable.id, kit.common.id
        );
        Missing::new(
            what,
            format!("kit.cable.{}.data_rate", kit.common.id),
            Means::SpecSheet,
        )
    })
}

fn decide(analysis: &Analysis, cable: &Cable, kit: &CableKit) -> Known<Outcome> {
    let rate = rate_on(analysis, cable, kit)?;
    let reach = reach_of(analysis, kit, rate)?;
    let length = analysis.run_length(cable)?;
    let comfort = (&reach.far - &reach.sure).value();
    let trust = match &reach.source {
        Source::SpecSheet => format!("its maker says {}", analysis.length(&reach.far)),
        _ if comfort > 0.0 => format!(
            "passive copper is trusted to {}, and some reach {}",
            analysis.length(&reach.sure),
            analysis.length(&reach.far)
        ),
        _ => format!(
            "passive copper is trusted to {}",
            analysis.length(&reach.sure)
        ),
    };
    let sentence = format!(
        "{} is {} long and runs at {}: {trust}.",
        cable.id,
        analysis.length(&length),
        analysis.exact(rate.0, Dimension::DataRate),
    );
    // Up to what is trusted it fits, from there to what some manage it is tight; which of
    // the two lengths it is measured against depends on the side on which it lies.
    let (limit, comfort) = if length.value() <= reach.sure.value() {
        (&reach.sure, 0.0)
    } else {
        (&reach.far, f64::INFINITY)
    };
    let margin = limit - &length;
    let outcome = Outcome::with_margin(
        length.clone(),
        limit.value(),
        margin,
        Dimension::Length,
        reach.source,
    );
    Ok(outcome
        .comfort(comfort)
        .because(sentence)
        .mended(analysis, || {
            [
                other_kind(analysis, cable, &length, rate),
                shorter(analysis, cable, &length, &reach.sure),
            ]
        }))
}

/// The catalogue's lead with the shortest reach that suffices at this rate.
fn other_kind(
    analysis: &Analysis,
    cable: &Cable,
    length: &Uncertain,
    rate: BitsPerSecond,
) -> Option<Remedy> {
    let carries = |kit: &&CableKit| {
        let certified = analysis.number(kit.data_rate.as_ref());
        kit.carries == CableUse::Video
            && kit.common.id != cable.kind
            && certified.is_some_and(|certified| certified.value() >= rate.0)
    };
    let (kit, reach) = (analysis.catalogue().cable.iter())
        .filter(carries)
        .filter_map(|kit| Some((kit, reach_of(analysis, kit, rate).ok()?.sure)))
        .filter(|(_, reach)| to_spare(&(reach - length), 0.0) >= 0.0)
        .reduce(|least, next| {
            if next.1.value() < least.1.value() {
                next
            } else {
                least
            }
        })?;
    let says = format!(
        "Use {} for {}: it reaches {}{}.",
        kit.common.id,
        cable.id,
        analysis.length(&reach),
        if kit.active {
            "; it has a direction, and a pipe lets it be changed later"
        } else {
            ""
        },
    );
    let edit = Edit::set(format!("cable.{}.kind", cable.id), kit.common.id.as_str());
    Some(Remedy::new(says, vec![edit]).caution(Caution::Drilling))
}

/// A ready-made lead that is longer than its way asks for.
fn shorter(
    analysis: &Analysis,
    cable: &Cable,
    length: &Uncertain,
    sure: &Uncertain,
) -> Option<Remedy> {
    cable.length.as_ref()?;
    let way = analysis.cut_length(cable).ok()?;
    let enough = way.value() + analysis::COVERAGE_FACTOR * way.standard_uncertainty();
    let text = written_length(analysis, enough, Round::Up);
    // Half a centimetre covers the rounding to what is written.
    if enough >= length.value() || enough + 0.005 >= sure.value() {
        return None;
    }
    let says = format!(
        "Order {} {text} long: its way with slack and loops needs no more.",
        cable.id
    );
    Some(Remedy::new(
        says,
        vec![Edit::set(format!("cable.{}.length", cable.id), text)],
    ))
}

#[cfg(test)]
mod tests {
    //! A lead from a player to a display, at the rates and lengths of the table.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn lead(length: &str, kind: &str, signal: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "player-d1"
[[kit.display]]
id = "display-t4"
size = ["1.2 m", "700 mm", "40 mm"]
[[kit.cable]]
id = "video-lead"
carries = "video"
{kind}
[[kit.cable]]
id = "video-optical"
carries = "video"
active = true
data_rate = "48 Gbit/s"
reach = "30 m"
[[item]]
id = "player"
is = "player-d1"
at = {{ from = ["west", "300 mm"], and = ["north", "500 mm"] }}
[[item]]
id = "tv"
is = "display-t4"
on = {{ wall = "north", from_left = "2 m", height = "1.2 m" }}
[[cable]]
id = "W01"
kind = "video-lead"
from = "player"
to = "tv"
way = "direct"
length = "{length}"
{signal}
"#
        )
    }

    const FILM: &str =
        "[[signal]]\nid = \"film\"\nthrough = [\"player\", \"tv\"]\nformat = \"3840x2160p60\"\n";

    #[test]
    fn a_trusted_length_fits() {
        // 17.82 Gbit/s: trusted to 5 m, some reach 7.5 m (common practice).
        let found = findings(&CHECK, &lead("4.9 m", "", FILM));
        expect![[r#"
            W01: fits +0.100: W01 is 4.9 m long and runs at 17.82 Gbit/s: passive copper is trusted to 5 m, and some reach 7.5 m.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn each_boundary_of_the_table() {
        let verdict = |length: &str, kind: &str, signal: &str| {
            findings(&CHECK, &lead(length, kind, signal))[0].verdict
        };
        assert_eq!(verdict("5.1 m", "", FILM), Verdict::Tight);
        assert_eq!(verdict("7.4 m", "", FILM), Verdict::Tight);
        assert_eq!(verdict("7.6 m", "", FILM), Verdict::Fails);
        assert_eq!(verdict("4.9 m ± 300 mm", "", FILM), Verdict::Tight);
        // 1080p60 asks 4.455 Gbit/s: 10 m and 15 m.
        let slow = FILM.replace("3840x2160p60", "1920x1080p60");
        assert_eq!(verdict("9.9 m", "", &slow), Verdict::Fits);
        assert_eq!(verdict("15.1 m", "", &slow), Verdict::Fails);
        // Without a signal the rate that it is certified for counts: 48 Gbit/s, 3 m.
        let fast = "data_rate = \"48 Gbit/s\"";
        assert_eq!(verdict("2.9 m", fast, ""), Verdict::Fits);
        assert_eq!(verdict("3.1 m", fast, ""), Verdict::Fails);
        // The maker's own reach comes first.
        assert_eq!(verdict("9.9 m", "reach = \"10 m\"", FILM), Verdict::Fits);
        assert_eq!(verdict("10.1 m", "reach = \"10 m\"", FILM), Verdict::Fails);
    }

    #[test]
    fn an_active_lead_needs_its_makers_word() {
        let found = findings(&CHECK, &lead("10 m", "active = true", FILM));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.cable.video-lead.reach");
    }

    #[test]
    fn each_remedy_mends_it() {
        let text = lead("10 m", "", FILM);
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[0].remedies.len(), 2);
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(
                after[0].verdict,
                Verdict::Fits,
                "{}: {}",
                remedy.says,
                after[0].because
            );
        }
    }
}
