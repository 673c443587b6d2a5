//! Does every part of a chain pass the picture that is sent through it?

use analysis::{Analysis, Known, Source, Uncertain};
use links::timing::timing;
use links::video::{Chroma, FRL_RATES, Format, TMDS_LIMITS};
use model::{Edit, Kit, Signal};
use units::{BitsPerSecond, Dimension};

use crate::chain::{Part, chroma_words, format_of, need, parts, past, rate_fact};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "link-rate",
    area: Area::Signal,
    proves: "Each box, each port and each lead on a signal's way takes the data rate of its picture.",
    matters: "One part too slow, and the whole chain falls back to a coarser picture, or stays black; it shows on the last evening, behind finished walls.",
    formula: "Up to 18 Gbit/s (TMDS): 30 f_p b / 8 (4:4:4), 30 f_p (4:2:2), 30 f_p b / 16 (4:2:0), bit/s. Above (FRL): between 18/16 of the picture's own bits and 18/16 of all bits with blanking. f_p: pixel clock with blanking, Hz; b: bits for each component. Up to the rate fits; when even the least is more it fails; between them it is tight, for the ports decide it. Leads that the job does not list are not judged.",
    source: Source::Published {
        work: "CTA-861 timings as in the Linux kernel's drm_edid.c; bounds derived from 8b/10b and 16b/18b coding",
    },
    when_it_fails: "Swap the slowest part, or send the picture with less colour or fewer bits.",
    limits: &[],
    published: &[
        Published {
            cite: "3840x2160p60 4:4:4 8 bit over TMDS: 17.82 Gbit/s (computed from CTA-861 VIC 97)",
            computed: || need_gbit(97, Chroma::C444, 8, 18.0, 0),
            expected: 17.82,
            tolerance: 5e-5, // Four printed decimals.
            unit: "Gbit/s",
        },
        Published {
            cite: "3840x2160p60 4:2:0 10 bit over TMDS: 11.1375 Gbit/s (computed from CTA-861 VIC 97)",
            computed: || need_gbit(97, Chroma::C420, 10, 18.0, 0),
            expected: 11.1375,
            tolerance: 5e-5, // Four printed decimals.
            unit: "Gbit/s",
        },
        Published {
            cite: "3840x2160p120 4:4:4 10 bit over FRL, upper bound: 40.095 Gbit/s (computed from CTA-861 VIC 118)",
            computed: || need_gbit(118, Chroma::C444, 10, 40.0, 1),
            expected: 40.095,
            tolerance: 5e-5, // Four printed decimals.
            unit: "Gbit/s",
        },
        Published {
            cite: "3840x2160p120 4:4:4 10 bit over FRL, lower bound: 33.5923 Gbit/s (computed from CTA-861 VIC 118)",
            computed: || need_gbit(118, Chroma::C444, 10, 40.0, 0),
            expected: 33.5923,
            tolerance: 5e-5, // Four printed decimals.
            unit: "Gbit/s",
        },
    ],
    run: Run::House(run),
};

/// A bound of the need by a format's code, on a link of this rate.
fn need_gbit(vic: u32, chroma: Chroma, bits: u32, rate_gbit: f64, bound: usize) -> f64 {
    timing(vic)
        .map(|timing| Format {
            timing,
            chroma,
            bits_per_component: bits,
        })
        .and_then(|format| need(&format, BitsPerSecond(rate_gbit * 1e9)))
        .map_or(f64::NAN, |need| need[bound] * 1e-9)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    (analysis.signals().iter())
        .map(|signal| {
            let subject = Subject::new(
                format!("signal.{}", signal.id),
                format!("signal {}", signal.id),
            );
            CHECK.about_house(subject, || decide(analysis, signal))
        })
        .collect()
}

/// A part with its rate and what the picture asks of a link at that rate.
struct Rated<'a> {
    part: Part<'a>,
    rate: Uncertain,
    need: [f64; 2],
}

impl Rated<'_> {
    /// What is left of the rate when the picture asks its most.
    fn left(&self) -> f64 {
        self.rate.value() - self.need[1]
    }
}

fn rated<'a>(analysis: &'a Analysis, part: Part<'a>, format: &Format) -> Known<Rated<'a>> {
    let rate = part.rate(analysis)?;
    let need = need(format, BitsPerSecond(rate.value())).expect("the format was read whole");
    Ok(Rated { part, rate, need })
}

fn decide(analysis: &Analysis, signal: &Signal) -> Known<Outcome> {
    let format = format_of(signal)?;
    let mut known = Vec::new();
    let mut missing = None;
    for part in parts(analysis, signal) {
        match rated(analysis, part, &format) {
            Ok(rated) => known.push(rated),
            Err(ask) => missing = missing.or(Some(ask)),
        }
    }
    let slowest = (known.iter()).min_by(|a, b| a.left().total_cmp(&b.left()));
    // A part that is too slow decides, whatever the others are.
    let (slowest, missing) = match (slowest, missing) {
        (Some(slowest), missing) if slowest.rate.value() < slowest.need[0] => (slowest, missing),
        (_, Some(missing)) => return Err(missing),
        (Some(slowest), None) => (slowest, None),
        (None, None) => {
            let what = format!("the boxes that signal {} passes", signal.id);
            let at = format!("signal.{}.through", signal.id);
            return Err(analysis::Missing::new(what, at, analysis::Means::Decide));
        }
    };
    let gbit = |rate: f64| analysis.exact(rate, Dimension::DataRate);
    let [least, most] = slowest.need;
    let asks = if most > least {
        format!("between {} and {}", gbit(least), gbit(most))
    } else {
        gbit(least)
    };
    let sentence = format!(
        "{} in {} with {} bits asks {}, and the slowest part on its way, {}, takes {}{}.",
        signal.format,
        chroma_words(format.chroma),
        format.bits_per_component,
        asks,
        slowest.part.label(),
        analysis.print(&slowest.rate, Dimension::DataRate),
        if missing.is_some() {
            "; other parts are not known"
        } else {
            ""
        },
    );
    let margin = &slowest.rate - least;
    let outcome = Outcome::with_margin(
        Uncertain::exact(least),
        slowest.rate.value(),
        margin,
        Dimension::DataRate,
        CHECK.source.clone(),
    );
    Ok(outcome
        .comfort(most - least)
        .because(sentence)
        .mended(analysis, || {
            [
                swap(analysis, &known),
                apart(analysis, signal, &known),
                lower_format(signal, &format, &known),
            ]
        }))
}

/// The picture past the one box that is too slow, where all others take it.
fn apart(analysis: &Analysis, signal: &Signal, known: &[Rated]) -> Option<Remedy> {
    let mut slow = known.iter().filter(|rated| rated.left() <= 0.0);
    let first = slow.next()?;
    let weak = first.part.item()?;
    if slow.any(|other| other.part.item().map(|item| &item.id) != Some(&weak.id)) {
        return None;
    }
    let (says, edits) = past(analysis, signal, weak, first.need[1])?;
    Some(Remedy::new(says, edits))
}

/// Another one for each part that may be too slow.
fn swap(analysis: &Analysis, known: &[Rated]) -> Option<Remedy> {
    let slow = known.iter().filter(|rated| rated.left() <= 0.0);
    let swaps: Option<Vec<(String, Edit)>> = slow.map(|slow| swap_one(analysis, slow)).collect();
    let (says, edits): (Vec<String>, Vec<Edit>) = swaps?.into_iter().unzip();
    let says = format!("Replace {}.", says.join(", "));
    (!edits.is_empty()).then(|| Remedy::new(says, edits))
}

/// The catalogue's slowest of its kind that suffices. Devices are of many kinds: a faster
/// one of the same sort is to be found, and so is whatever the catalogue lacks.
fn swap_one(analysis: &Analysis, slow: &Rated) -> Option<(String, Edit)> {
    let mine = slow.part.kit(analysis)?;
    let kits = (analysis.catalogue().all())
        .filter(|kit| kit.kind() == mine.kind() && !matches!(kit, Kit::Device(_)))
        .filter(|kit| is_same_use(*kit, mine));
    let faster = kits
        .filter_map(|kit| Some((kit, analysis.number(rate_fact(kit))?.value())))
        .filter(|(_, rate)| *rate > slow.rate.value() && *rate > slow.need[1])
        .reduce(|least, next| if next.1 < least.1 { next } else { least });
    let gbit = |rate: f64| analysis.exact(rate, Dimension::DataRate);
    let label = slow.part.label();
    if let Some((other, rate)) = faster {
        let id = other.common().id.as_str();
        let says = format!("{label} by {id} ({})", gbit(rate));
        return Some((says, Edit::set(slow.part.choice(), id)));
    }
    let tmds = TMDS_LIMITS.map(|limit| BitsPerSecond(limit.0 * 30.0));
    let rate = (tmds.into_iter().chain(FRL_RATES))
        .map(|rate| rate.0)
        .filter(|rate| *rate > slow.rate.value() && *rate > slow.need[1])
        .reduce(f64::min)?;
    let says = format!("{label} by one of its sort that takes {}", gbit(rate));
    let id = &mine.common().id;
    let at = format!("kit.{}.{id}.{}", mine.kind(), slow.part.rate_name());
    Some((says, Edit::set(at, gbit(rate))))
}

/// A cable is only ever swapped for one that carries the same.
fn is_same_use(one: Kit, other: Kit) -> bool {
    match (one, other) {
        (Kit::Cable(one), Kit::Cable(other)) => one.carries == other.carries,
        _ => true,
    }
}

/// The same picture with less colour or fewer bits, the best that every part passes.
fn lower_format(signal: &Signal, format: &Format, known: &[Rated]) -> Option<Remedy> {
    let bits = format.bits_per_component;
    let timing = format.timing;
    // 4:2:0 is defined for 2160 lines at 50 frames a second and more (from memory).
    let halved = timing.height_px >= 2160 && timing.refresh.0 > 49.0;
    let candidates = [
        (Chroma::C422, bits.min(12)),
        (Chroma::C420, bits),
        (Chroma::C444, 8),
        (Chroma::C420, 8),
    ];
    let (chroma, bits) = candidates.into_iter().find(|(chroma, fewer)| {
        let lower = Format {
            timing,
            chroma: *chroma,
            bits_per_component: *fewer,
        };
        let passes = |rated: &Rated| {
            let rate = rated.rate.value();
            need(&lower, BitsPerSecond(rate)).is_some_and(|need| need[1] < rate)
        };
        (*chroma != Chroma::C420 || halved)
            && (*chroma, *fewer) != (format.chroma, bits)
            && known.iter().all(passes)
    })?;
    let says = format!(
        "Send {} in {} with {bits} bits.",
        signal.format,
        chroma_words(chroma),
    );
    let path = format!("signal.{}", signal.id);
    let edits = vec![
        Edit::set(format!("{path}.chroma"), chroma_words(chroma)),
        Edit::set(format!("{path}.bits"), bits),
    ];
    Some(Remedy::new(says, edits))
}

#[cfg(test)]
mod tests {
    //! A player, a receiver and a display with their leads, at several rates.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn chain(format: &str, receiver: &str, lead: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "player-d1"
video_rate = "48 Gbit/s"
[[kit.amplifier]]
id = "receiver-a7"
{receiver}
[[kit.amplifier]]
id = "receiver-a9"
video_rate = "48 Gbit/s"
[[kit.display]]
id = "display-t4"
video_rate = "48 Gbit/s"
[[kit.cable]]
id = "video-18"
carries = "video"
{lead}
[[kit.cable]]
id = "video-48"
carries = "video"
data_rate = "48 Gbit/s"
[[kit.cable]]
id = "network-6a"
carries = "network"
data_rate = "48 Gbit/s"
[[item]]
id = "player"
is = "player-d1"
[[item]]
id = "receiver"
is = "receiver-a7"
[[item]]
id = "tv"
is = "display-t4"
[[cable]]
id = "W01"
kind = "video-48"
from = "player.out"
to = "receiver.in"
[[cable]]
id = "W02"
kind = "video-18"
from = "tv"
to = "receiver.out"
[[signal]]
id = "film"
through = ["player", "receiver", "tv"]
{format}
"#
        )
    }

    const LEAD_18: &str = "data_rate = \"18 Gbit/s\"";
    const RATE_40: &str = "video_rate = \"40 Gbit/s\"";

    #[test]
    fn the_slowest_part_is_named() {
        let format = "format = \"3840x2160p60\"";
        let found = findings(&CHECK, &chain(format, RATE_40, LEAD_18));
        expect![[r#"
            signal film: fits +180000000.000: 3840x2160p60 in 4:4:4 with 8 bits asks 17.82 Gbit/s, and the slowest part on its way, W02, takes 18 Gbit/s.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn both_sides_of_the_older_link() {
        let verdict = |format: &str| findings(&CHECK, &chain(format, RATE_40, LEAD_18))[0].verdict;
        // Computed: 10 bits 4:4:4 ask 22.275 Gbit/s, in 4:2:2 17.82, in 4:2:0 11.1375.
        let with = |more: &str| format!("format = \"3840x2160p60\"\nbits = 10\n{more}");
        assert_eq!(verdict(&with("")), Verdict::Fails);
        assert_eq!(verdict(&with("chroma = \"4:2:2\"")), Verdict::Fits);
        assert_eq!(verdict(&with("chroma = \"4:2:0\"")), Verdict::Fits);
    }

    #[test]
    fn between_the_bounds_the_ports_decide() {
        // 3840x2160p120 in 10 bits asks 33.5923 to 40.095 Gbit/s.
        let format = "format = \"3840x2160p120\"\nbits = 10";
        let verdict = |rate: &str| {
            let receiver = format!("video_rate = \"{rate}\"");
            findings(
                &CHECK,
                &chain(format, &receiver, "data_rate = \"48 Gbit/s\""),
            )[0]
            .verdict
        };
        assert_eq!(verdict("48 Gbit/s"), Verdict::Fits);
        assert_eq!(verdict("40.1 Gbit/s"), Verdict::Fits);
        assert_eq!(verdict("40 Gbit/s"), Verdict::Tight);
        assert_eq!(verdict("33.6 Gbit/s"), Verdict::Tight);
        assert_eq!(verdict("33.5 Gbit/s"), Verdict::Fails);
    }

    #[test]
    fn an_unknown_rate_is_asked_for_unless_another_fails_already() {
        let format = "format = \"3840x2160p60\"";
        let found = findings(&CHECK, &chain(format, "", LEAD_18));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.amplifier.receiver-a7.video_rate");
        let slow = findings(&CHECK, &chain(format, "", "data_rate = \"10.2 Gbit/s\""));
        assert_eq!(slow[0].verdict, Verdict::Fails);
        let odd = findings(&CHECK, &chain("format = \"4K60\"", RATE_40, LEAD_18));
        assert_eq!(odd[0].needs[0].at, "signal.film.format");
    }

    #[test]
    fn a_device_is_replaced_by_one_of_its_sort() {
        let format = "format = \"3840x2160p60\"";
        let text = chain(format, RATE_40, LEAD_18).replace(
            "id = \"player-d1\"\nvideo_rate = \"48 Gbit/s\"",
            "id = \"player-d1\"\nvideo_rate = \"10.2 Gbit/s\"\n[[kit.device]]\nid = \"hub-h1\"\nvideo_rate = \"48 Gbit/s\"",
        );
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        assert_eq!(
            remedy.says.replace('\u{202f}', " "),
            "Replace player by one of its sort that takes 18 Gbit/s."
        );
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_slow_box_is_replaced_or_the_picture_led_past_it() {
        let fast = "format = \"3840x2160p120\"\nbits = 10";
        let text = chain(
            fast,
            "video_rate = \"18 Gbit/s\"",
            "data_rate = \"48 Gbit/s\"",
        );
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        let past = (found[0].remedies.iter())
            .find(|remedy| {
                remedy
                    .says
                    .starts_with("Lead the picture past receiver, by a ")
            })
            .expect("the box is in the middle");
        assert!(found[0].remedies.len() >= 2, "replaced as well");
        let after = findings_after(&CHECK, &text, &past.edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", after[0].because);
    }

    #[test]
    fn a_port_slower_than_its_box_decides() {
        let fast = "format = \"3840x2160p120\"\nbits = 10";
        let ports = "port = [{ id = \"in\", kind = \"video\", direction = \"in\", rate = \"18 Gbit/s\" }, { id = \"out\", kind = \"video\", direction = \"out\" }]";
        let of_48 = "video_rate = \"48 Gbit/s\"";
        let text = chain(
            fast,
            &format!("{of_48}\n{ports}"),
            "data_rate = \"48 Gbit/s\"",
        );
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(
            found[0].because.contains("receiver.in"),
            "{}",
            found[0].because
        );
        let text = text.replace("rate = \"18 Gbit/s\" }", "rate = \"48 Gbit/s\" }");
        assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Fits);
    }

    #[test]
    fn each_remedy_mends_it() {
        let format = "format = \"3840x2160p60\"\nbits = 10";
        let slow = chain(format, "video_rate = \"18 Gbit/s\"", LEAD_18);
        let found = findings(&CHECK, &slow);
        let says: Vec<&str> = (found[0].remedies.iter())
            .map(|remedy| remedy.says.as_str())
            .collect();
        assert_eq!(says.len(), 2);
        assert!(
            says[0].starts_with("Replace receiver by receiver-a9"),
            "{}",
            says[0]
        );
        assert!(says[0].contains("W02 by video-48"), "{}", says[0]);
        assert_eq!(says[1], "Send 3840x2160p60 in 4:2:2 with 10 bits.");
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &slow, &remedy.edits);
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
