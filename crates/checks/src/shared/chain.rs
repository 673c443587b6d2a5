//! The parts that a signal passes, and the picture that it carries.

use analysis::{Analysis, Known, Means, Missing, Uncertain, item_label};
use links::timing::{Picture, timing_of};
use links::video::{Chroma, Format, TMDS_LIMITS, frl_rate_needed};
use model::{Cable, CableUse, DataRate, Edit, Item, Kit, PortKind, Signal};
use units::{BitsPerSecond, Hertz};

use crate::hops::{Socket, Use, hops, socket};

/// The fastest link of the older kind, 18 Gbit/s; above it ports and leads speak the newer.
const TMDS_MOST: BitsPerSecond = BitsPerSecond(18e9);

/// A part that the picture passes.
#[derive(Clone, Copy)]
pub(crate) enum Part<'a> {
    Box(&'a Item, Kit<'a>),
    Lead(&'a Cable),
    /// A port at a lead's end that states a rate or a protection of its own.
    Port(Socket<'a>),
}

/// The boxes of a signal in order with the leads between them. A screen only catches light.
pub(crate) fn parts<'a>(analysis: &'a Analysis, signal: &'a Signal) -> Vec<Part<'a>> {
    let boxes: Vec<(&Item, Kit)> = (signal.through.iter())
        .filter_map(|id| analysis.item(id))
        .filter_map(|item| Some((item, analysis.kit_of(item)?)))
        .filter(|(_, kit)| !matches!(kit, Kit::Screen(_)))
        .collect();
    let mut parts = Vec::new();
    for (index, (item, kit)) in boxes.iter().enumerate() {
        if let Some((before, _)) = index.checked_sub(1).and_then(|index| boxes.get(index)) {
            for lead in leads(analysis, &before.id, &item.id) {
                let from_before = lead.from.split('.').next() == Some(before.id.as_str());
                let [out, input] = match from_before {
                    true => [&lead.from, &lead.to],
                    false => [&lead.to, &lead.from],
                };
                parts.extend(port_at(analysis, out));
                parts.push(Part::Lead(lead));
                parts.extend(port_at(analysis, input));
            }
        }
        parts.push(Part::Box(item, *kit));
    }
    parts
}

/// The port at a lead's end, where it states what its thing does not.
fn port_at<'a>(analysis: &'a Analysis, end: &'a str) -> Option<Part<'a>> {
    let socket = socket(analysis, end)?;
    let own = socket.port.rate.is_some() || socket.port.protection.is_some();
    own.then_some(Part::Port(socket))
}

/// Video leads between two items, whichever end was written first.
fn leads<'a>(analysis: &'a Analysis, a: &'a str, b: &'a str) -> impl Iterator<Item = &'a Cable> {
    analysis.cables_at(a).filter(move |cable: &&Cable| {
        let ends = [&cable.from, &cable.to].map(|end| end.split('.').next().unwrap_or_default());
        (ends == [a, b] || ends == [b, a]) && is_video(analysis, cable)
    })
}

/// Whether a lead carries video.
pub(crate) fn is_video(analysis: &Analysis, cable: &Cable) -> bool {
    matches!(
        analysis.kit(&cable.kind),
        Some(Kit::Cable(kit)) if kit.carries == CableUse::Video
    )
}

/// The rate that a catalogue entry states for its video ports or wires.
pub(crate) fn rate_fact<'a>(kit: Kit<'a>) -> Option<&'a DataRate> {
    match kit {
        Kit::Projector(kit) => kit.video_rate.as_ref(),
        Kit::Display(kit) => kit.video_rate.as_ref(),
        Kit::Amplifier(kit) => kit.video_rate.as_ref(),
        Kit::Device(kit) => kit.video_rate.as_ref(),
        Kit::Cable(kit) => kit.data_rate.as_ref(),
        _ => None,
    }
}

impl<'a> Part<'a> {
    /// Words for it.
    pub fn label(self) -> &'a str {
        match self {
            Self::Box(item, _) => item_label(item),
            Self::Lead(cable) => &cable.id,
            Self::Port(socket) => socket.end,
        }
    }

    /// Its catalogue entry.
    pub fn kit(self, analysis: &'a Analysis) -> Option<Kit<'a>> {
        match self {
            Self::Box(_, kit) => Some(kit),
            Self::Lead(cable) => analysis.kit(&cable.kind),
            Self::Port(socket) => Some(socket.kit),
        }
    }

    /// The highest rate that it takes.
    pub fn rate(self, analysis: &'a Analysis) -> Known<Uncertain> {
        let kit = self.kit(analysis);
        let stated = match self {
            // What it does not say itself, its thing does.
            Self::Port(socket) => socket.port.rate.as_ref().or(rate_fact(socket.kit)),
            _ => kit.and_then(rate_fact),
        };
        analysis.number(stated).ok_or_else(|| {
            let (kind, id) = kit.map_or(("?", self.label()), |kit| {
                (kit.kind(), kit.common().id.as_str())
            });
            Missing::new(
                format!("the highest video data rate of {id}"),
                format!("kit.{kind}.{id}.{}", self.rate_name()),
                Means::SpecSheet,
            )
        })
    }

    /// The fact of its catalogue entry that states that rate.
    pub fn rate_name(self) -> String {
        match self {
            Self::Port(socket) if socket.port.rate.is_some() => {
                format!("port.{}.rate", socket.port.id)
            }
            Self::Box(..) | Self::Port(_) => "video_rate".to_owned(),
            Self::Lead(_) => "data_rate".to_owned(),
        }
    }

    /// The path at which another catalogue entry is chosen for it.
    pub fn choice(self) -> String {
        match self {
            Self::Box(item, _) => format!("item.{}.is", item.id),
            Self::Lead(cable) => format!("cable.{}.kind", cable.id),
            Self::Port(socket) => format!("item.{}.is", socket.item.id),
        }
    }

    /// The box that it is, or that it is a port of.
    pub fn item(self) -> Option<&'a Item> {
        match self {
            Self::Box(item, _) => Some(item),
            Self::Port(socket) => Some(socket.item),
            Self::Lead(_) => None,
        }
    }
}

/// The picture past one of its boxes, which then gets the sound alone: a lead from the box
/// before it straight to the one behind it. Words, and the edits; none for the first and the
/// last box, nor where no cable of the catalogue is trusted with the rate.
pub(crate) fn past(
    analysis: &Analysis,
    signal: &Signal,
    weak: &Item,
    rate: f64,
) -> Option<(String, Vec<Edit>)> {
    let at = signal.through.iter().position(|id| *id == weak.id)?;
    let before = analysis.item(signal.through.get(at.checked_sub(1)?)?)?;
    let behind = analysis.item(signal.through.get(at + 1)?)?;
    if matches!(analysis.kit_of(behind), Some(Kit::Screen(_))) {
        return None;
    }
    let suits = |kit: &model::CableKit| {
        (analysis.number(kit.data_rate.as_ref())).is_some_and(|most| most.value() >= rate)
    };
    let through: Vec<&str> = (signal.through.iter())
        .filter(|id| **id != weak.id)
        .map(String::as_str)
        .collect();
    let mut edits = vec![Edit::set(
        format!("signal.{}.through", signal.id),
        through.clone(),
    )];
    let there = hops(analysis, &[before, behind], Use::Picture)[0].lead;
    let by = match there {
        Some(lead) => format!("by {}", lead.cable.id),
        None => {
            let (says, edit) = crate::hops::further_lead(
                analysis,
                [before, behind],
                CableUse::Video,
                PortKind::Video,
                suits,
            )?;
            edits.push(edit);
            format!("by a {says}")
        }
    };
    // Sound that went along with the picture still takes the old way.
    for activity in analysis.activities() {
        if activity.picture.as_deref() == Some(&signal.id) && activity.sound.is_empty() {
            let sound: Vec<&str> = (signal.through[..=at].iter()).map(String::as_str).collect();
            edits.push(Edit::set(format!("activity.{}.sound", activity.id), sound));
        }
    }
    let says = format!(
        "Lead the picture past {}, {by}, and only the sound to it.",
        item_label(weak)
    );
    Some((says, edits))
}

/// The picture that a signal carries, as it is written.
pub(crate) fn format_of(signal: &Signal) -> Known<Format> {
    let ask = |what: String, field: &str| {
        let at = format!("signal.{}.{field}", signal.id);
        Missing::new(what, at, Means::Decide)
    };
    let picture = read_picture(&signal.format).ok_or_else(|| {
        let what = format!(
            "the picture of signal {} as 3840x2160p60, not {}",
            signal.id, signal.format
        );
        ask(what, "format")
    })?;
    let timing = timing_of(picture).ok_or_else(|| {
        let what = format!(
            "a format of the table of timings: {} is none",
            signal.format
        );
        ask(what, "format")
    })?;
    let chroma = match signal.chroma.as_deref() {
        None | Some("4:4:4") => Chroma::C444,
        Some("4:2:2") => Chroma::C422,
        Some("4:2:0") => Chroma::C420,
        Some(other) => {
            let what = format!("chroma sampling 4:4:4, 4:2:2 or 4:2:0, not {other}");
            return Err(ask(what, "chroma"));
        }
    };
    let format = Format {
        timing,
        chroma,
        bits_per_component: signal.bits.unwrap_or(8),
    };
    match format.bits_per_pixel() {
        Some(_) => Ok(format),
        None => {
            let what = format!(
                "8, 10 or 12 bits for each component of signal {}, not {}",
                signal.id, format.bits_per_component
            );
            Err(ask(what, "bits"))
        }
    }
}

/// `3840x2160p60`.
fn read_picture(text: &str) -> Option<Picture> {
    let (width, rest) = text.trim().split_once(['x', '×'])?;
    let (height, refresh) = rest.split_once('p')?;
    Some(Picture {
        width_px: width.trim().parse().ok()?,
        height_px: height.trim().parse().ok()?,
        refresh: Hertz(refresh.trim().parse().ok()?),
    })
}

/// The spelling of a chroma sampling.
pub(crate) fn chroma_words(chroma: Chroma) -> &'static str {
    match chroma {
        Chroma::C444 => "4:4:4",
        Chroma::C422 => "4:2:2",
        Chroma::C420 => "4:2:0",
    }
}

/// The least and the most that a picture asks of a link whose parts take this rate, bit/s.
///
/// Up to 18 Gbit/s the older link (TMDS) sends every pixel and blank, so both are one.
pub(crate) fn need(format: &Format, rate: BitsPerSecond) -> Option<[f64; 2]> {
    let tmds = format.tmds_link_rate()?;
    // A newer port speaks the older link too, where the picture fits it.
    if rate <= TMDS_MOST || tmds <= TMDS_MOST {
        return Some([tmds.0, tmds.0]);
    }
    Some([format.frl_lower()?.0, format.frl_upper()?.0])
}

/// The rate at which a lead runs to carry a picture: the older link's own, or the step of
/// the newer that is sure to; `None` above the last step.
pub(crate) fn running_rate(format: &Format) -> Option<BitsPerSecond> {
    if format.tmds_limit_met(&TMDS_LIMITS).is_some() {
        return format.tmds_link_rate();
    }
    frl_rate_needed(format.frl_upper()?)
}

#[cfg(test)]
mod tests {
    //! Formats as they are written.

    use super::*;

    #[test]
    fn a_format_is_read_whole_or_not_at_all() {
        let picture = read_picture("3840x2160p59.94").expect("well formed");
        assert_eq!((picture.width_px, picture.height_px), (3840, 2160));
        assert_eq!(picture.refresh, Hertz(59.94));
        for wrong in ["4K60", "3840x2160", "3840x2160i60", "x2160p60", ""] {
            assert!(read_picture(wrong).is_none(), "{wrong}");
        }
    }
}
