//! Does the sound of each activity arrive as it is sent?

use analysis::{Analysis, Known, Means, Missing, Source, Uncertain, item_label};
use links::sound::{Lpcm, SoundFormat, SoundLink};
use model::{CableUse, Edit, PortKind, SoundKind, SoundReturn};
use units::{Dimension, Hertz};

use crate::hops::{Hop, Lead, socket};
use crate::playing::Playing;
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "sound-link",
    area: Area::Signal,
    proves: "Each lead that the sound of an activity passes carries the format in which the source sends it.",
    matters: "The film plays in plain stereo, or the height loudspeakers never sound, and nobody finds out why.",
    formula: "Forward through a video lead every format passes. Optical and coaxial leads carry 2 linear channels of 48 kHz, or AC-3 and DTS cores; a display's return channel that and E-AC-3; the enhanced return channel, where both ends have it, 8 linear channels of 192 kHz and every lossless format (36.864 Mbit/s). A line lead carries what is decoded already: 2 channels for a pair. The value is the number of steps that carry it.",
    source: Source::FromMemory {
        work: "IEC 60958, IEC 61937; HDMI 1.4 and 2.1 audio return channels",
    },
    when_it_fails: "Let the source send less, give display and receiver the enhanced return channel, or lead the source to the receiver first.",
    limits: &[],
    published: &[
        Published {
            cite: "linear sound, 8 channels of 192 kHz and 24 bit: 36.864 Mbit/s (computed)",
            computed: || {
                linear(8, 192e3)
                    .rate()
                    .map_or(f64::NAN, |rate| rate.0 * 1e-6)
            },
            expected: 36.864,
            tolerance: 1e-9, // Whole numbers multiplied.
            unit: "Mbit/s",
        },
        Published {
            cite: "frame rate of two channels at 48 kHz, IEC 60958: 3.072 Mbit/s (computed)",
            computed: || {
                links::sound::iec_60958_rate(Hertz(48e3)).map_or(f64::NAN, |rate| rate.0 * 1e-6)
            },
            expected: 3.072,
            tolerance: 1e-9, // Whole numbers multiplied.
            unit: "Mbit/s",
        },
    ],
    run: Run::House(run),
};

fn linear(channels: u32, sample_rate_hz: f64) -> Lpcm {
    Lpcm {
        channels,
        sample_rate: Hertz(sample_rate_hz),
        bits: 24,
    }
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    (Playing::all(analysis).into_iter())
        .filter_map(|(activity, playing)| Some((activity, playing.ok()?, activity.format?)))
        .map(|(activity, playing, format)| {
            let subject = Subject::new(format!("activity.{}", activity.id), activity.label());
            CHECK.about_house(subject, || decide(analysis, &playing, format))
        })
        .collect()
}

fn format_of(kind: SoundKind) -> SoundFormat {
    match kind {
        SoundKind::Pcm2 => SoundFormat::Linear(linear(2, 48e3)),
        SoundKind::Pcm6 => SoundFormat::Linear(linear(6, 48e3)),
        SoundKind::Pcm8 => SoundFormat::Linear(linear(8, 48e3)),
        SoundKind::Ac3 => SoundFormat::Ac3,
        SoundKind::Dts => SoundFormat::Dts,
        SoundKind::EAc3 => SoundFormat::EnhancedAc3,
        SoundKind::Lossless => SoundFormat::Lossless,
    }
}

/// What a lead is for sound.
enum Way {
    /// With the picture: every format.
    Whole,
    Digital(SoundLink),
    /// Decoded already: so many channels.
    Line,
    /// Back through a lead whose ends send nothing back.
    Nothing,
}

impl Way {
    fn carries(&self, kind: SoundKind) -> bool {
        match self {
            Self::Whole => true,
            Self::Digital(link) => link.carries(format_of(kind)) == Some(true),
            Self::Line => kind == SoundKind::Pcm2,
            Self::Nothing => false,
        }
    }
}

fn way_of(analysis: &Analysis, lead: &Lead) -> Known<Way> {
    let ends = [lead.out, lead.input];
    let ports = ends.map(|end| socket(analysis, end).map(|socket| socket.port));
    match lead.carries {
        CableUse::Video if !lead.back => Ok(Way::Whole),
        CableUse::Video => {
            for (end, port) in ends.iter().zip(&ports) {
                if port.is_none() {
                    let (item, _) = model::cable_end(end);
                    let kit = analysis.item(item).and_then(|item| analysis.kit_of(item));
                    let (kind, id) = kit.map_or(("device", item), |kit| {
                        (kit.kind(), kit.common().id.as_str())
                    });
                    return Err(Missing::new(
                        format!("which sound the video port of {id} sends back or takes back"),
                        format!("kit.{kind}.{id}.port"),
                        Means::SpecSheet,
                    ));
                }
            }
            let least = ports
                .iter()
                .map(|port| port.and_then(|port| port.returns))
                .min();
            Ok(match least.flatten() {
                Some(SoundReturn::Enhanced) => Way::Digital(SoundLink::EnhancedReturnChannel),
                Some(SoundReturn::Plain) => Way::Digital(SoundLink::ReturnChannel),
                None => Way::Nothing,
            })
        }
        _ if ports
            .iter()
            .flatten()
            .any(|port| port.kind == PortKind::Sound) =>
        {
            Ok(Way::Digital(SoundLink::Digital))
        }
        _ => Ok(Way::Line),
    }
}

fn decide(analysis: &Analysis, playing: &Playing, sent: SoundKind) -> Known<Outcome> {
    let hops: Vec<Hop> = playing.sound_hops(analysis);
    let mut steps = Vec::new();
    for hop in &hops {
        // A step without a lead is another check's finding.
        if let Some(lead) = &hop.lead {
            steps.push((hop, way_of(analysis, lead)?));
        }
    }
    let short: Vec<&Hop> = (steps.iter())
        .filter(|(_, way)| !way.carries(sent))
        .map(|(hop, _)| *hop)
        .collect();
    let arrives: Vec<SoundKind> = (SoundKind::ALL.into_iter())
        .filter(|kind| steps.iter().all(|(_, way)| way.carries(*kind)))
        .collect();
    let words: Vec<&str> = arrives.iter().map(|kind| kind.words()).collect();
    let label = playing.activity.label();
    let sentence = match short.first() {
        None => format!(
            "{label} sends {}, and every lead on its way carries it.",
            sent.words()
        ),
        Some(hop) => format!(
            "{label} sends {}, and the lead from {} to {} does not carry it; {} arrives.",
            sent.words(),
            item_label(hop.from),
            item_label(hop.to),
            match words.as_slice() {
                [] => "nothing".to_owned(),
                words => words.join(", "),
            },
        ),
    };
    let there = (steps.len() - short.len()) as f64;
    let margin = match short.len() {
        0 => 0.5,
        missing => -(missing as f64),
    };
    let outcome = Outcome::with_margin(
        Uncertain::exact(there),
        steps.len() as f64,
        Uncertain::exact(margin),
        Dimension::Factor,
        CHECK.source.clone(),
    );
    Ok(outcome
        .because(sentence)
        .remedy(enhance(analysis, &short))
        .remedy(send_less(playing, arrives.last().copied())))
}

/// The enhanced return channel at both ends of the one step that is short.
fn enhance(analysis: &Analysis, short: &[&Hop]) -> Option<Remedy> {
    let [hop] = short else { return None };
    let lead = hop.lead.filter(|lead| lead.back)?;
    let mut says = Vec::new();
    let mut edits = Vec::new();
    for end in [lead.out, lead.input] {
        let socket = socket(analysis, end)?;
        if socket.port.returns != Some(SoundReturn::Enhanced) {
            says.push(item_label(socket.item).to_owned());
            let at = format!(
                "kit.{}.{}.port.{}.returns",
                socket.kit.kind(),
                socket.kit.common().id,
                socket.port.id
            );
            edits.push(Edit::set(at, "enhanced"));
        }
    }
    let says = format!(
        "Replace {} by one of its sort with the enhanced return channel.",
        says.join(" and ")
    );
    Some(Remedy::new(says, edits))
}

fn send_less(playing: &Playing, most: Option<SoundKind>) -> Option<Remedy> {
    let most = most?;
    let word = serde_json::to_value(most).ok()?;
    let source = item_label(playing.source()?);
    let says = format!("Set {source} to send {}.", most.words());
    let at = format!("activity.{}.format", playing.activity.id);
    Some(Remedy::new(says, vec![Edit::set(at, word)]))
}

#[cfg(test)]
mod tests {
    //! A display with its own tuner sends its sound back to the receiver.

    use expect_test::expect;

    use super::super::activity_path::{TO_TV, house};
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn tuner(format: &str) -> String {
        house(&format!(
            "{TO_TV}[[activity]]\nid = \"tv\"\nzones = [\"film\"]\nsound = [\"tv\", \"receiver\"]\nformat = \"{format}\"\n"
        ))
    }

    #[test]
    fn a_plain_return_channel_carries_what_an_optical_link_does() {
        for (format, verdict) in [
            ("pcm-2", Verdict::Fits),
            ("ac-3", Verdict::Fits),
            ("e-ac-3", Verdict::Fits),
            ("pcm-6", Verdict::Fails),
            ("lossless", Verdict::Fails),
        ] {
            let found = findings(&CHECK, &tuner(format));
            assert_eq!(found[0].verdict, verdict, "{format}");
        }
    }

    #[test]
    fn the_step_that_is_short_is_named_and_each_remedy_mends_it() {
        let text = tuner("lossless");
        let found = findings(&CHECK, &text);
        expect![[r#"
            tv: fails -1.000: tv sends lossless sound, and the lead from tv to receiver does not carry it; two linear channels, AC-3, DTS core, E-AC-3 arrives.
        "#]]
        .assert_eq(&told(&found));
        let says: Vec<&str> = found[0]
            .remedies
            .iter()
            .map(|one| one.says.as_str())
            .collect();
        assert_eq!(
            says,
            [
                "Replace receiver by one of its sort with the enhanced return channel.",
                "Set tv to send E-AC-3."
            ]
        );
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
        }
    }

    #[test]
    fn with_the_picture_every_format_passes() {
        let text = house(TO_TV).replace(
            "picture = \"movie\"",
            "picture = \"movie\"\nformat = \"lossless\"",
        );
        assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Fits);
    }

    #[test]
    fn ports_that_are_not_known_are_asked_for() {
        let text = tuner("pcm-2").replace("to = \"tv.in-1\"", "to = \"tv\"");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].needs[0].at, "kit.display.display-t4.port");
    }
}
