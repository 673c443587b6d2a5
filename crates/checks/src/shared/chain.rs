//! The parts that a signal passes, and the picture that it carries.

use analysis::{Analysis, Known, Means, Missing, Uncertain, item_label};
use links::timing::{Picture, timing_of};
use links::video::{Chroma, Format, TMDS_LIMITS, frl_rate_needed};
use model::{Cable, CableUse, DataRate, Item, Kit, Signal};
use units::{BitsPerSecond, Hertz};

/// The fastest link of the older kind, 18 Gbit/s; above it ports and leads speak the newer.
const TMDS_MOST: BitsPerSecond = BitsPerSecond(18e9);

/// A part that the picture passes.
#[derive(Clone, Copy)]
pub(crate) enum Part<'a> {
    Box(&'a Item, Kit<'a>),
    Lead(&'a Cable),
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
            parts.extend(leads(analysis, &before.id, &item.id).map(Part::Lead));
        }
        parts.push(Part::Box(item, *kit));
    }
    parts
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
        }
    }

    /// Its catalogue entry.
    pub fn kit(self, analysis: &'a Analysis) -> Option<Kit<'a>> {
        match self {
            Self::Box(_, kit) => Some(kit),
            Self::Lead(cable) => analysis.kit(&cable.kind),
        }
    }

    /// The highest rate that it takes.
    pub fn rate(self, analysis: &'a Analysis) -> Known<Uncertain> {
        let kit = self.kit(analysis);
        let stated = kit.and_then(rate_fact);
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
    pub fn rate_name(self) -> &'static str {
        match self {
            Self::Box(..) => "video_rate",
            Self::Lead(_) => "data_rate",
        }
    }

    /// The path at which another catalogue entry is chosen for it.
    pub fn choice(self) -> String {
        match self {
            Self::Box(item, _) => format!("item.{}.is", item.id),
            Self::Lead(cable) => format!("cable.{}.kind", cable.id),
        }
    }
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
