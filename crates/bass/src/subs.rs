//! The subs that a job plans for a space.

use analysis::{Analysis, item_label};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Space};
use subwoofers::{Polarity, Setting};
use units::{Decibels, Seconds};

/// A sub as planned.
#[derive(Clone, Debug)]
pub struct Sub<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its spec sheet.
    pub kit: &'a LoudspeakerKit,
    /// Its name for people.
    pub label: String,
    /// The middle of its case in the space, m; `None` where that is not decided.
    pub at: Option<[f64; 3]>,
}

/// A case of middling size stands in for one whose size no sheet states, m: width, height,
/// depth (common practice, no source).
const CASE_M: [f64; 3] = [0.4, 0.42, 0.42];

/// Below its lowest note a vented case falls by 24 dB an octave (common practice, no source).
const FALL_DB_PER_OCTAVE: f64 = 24.0;

/// The subs of a space, in the job's order.
pub fn planned_subs<'a>(analysis: &'a Analysis, space: &'a Space) -> Vec<Sub<'a>> {
    analysis
        .loudspeakers_in(space)
        .filter(|(_, kit)| kit.form == Some(LoudspeakerForm::Subwoofer))
        .map(|(item, kit)| Sub {
            item,
            kit,
            label: item_label(item).to_owned(),
            at: analysis
                .loudspeaker(item, kit)
                .ok()
                .map(|place| place.at.value()),
        })
        .collect()
}

/// What a job sets on a sub; as it comes out of its box where nothing is said.
pub(crate) fn setting_of(item: &Item) -> Setting {
    let Some(set) = &item.bass else {
        return Setting::PLAIN;
    };
    let gain = set.gain.as_ref().and_then(|gain| gain.value());
    let delay = set.delay.as_ref().and_then(|delay| delay.value());
    Setting {
        // The loudest sub sets the level, and no processor plays ahead of time.
        gain: Decibels(gain.unwrap_or(0.0).min(0.0)),
        delay: Seconds(delay.unwrap_or(0.0).max(0.0)),
        polarity: match set.inverted {
            true => Polarity::Inverted,
            false => Polarity::Normal,
        },
    }
}

/// The loudspeakers that play with the subs: left and right, else the centre alone, each with
/// its place, m.
pub(crate) fn mains(analysis: &Analysis, space: &Space) -> Vec<(String, [f64; 3])> {
    let placed = |channel: &str| {
        let mut all = analysis.loudspeakers_in(space);
        let (item, kit) = all.find(|(item, _)| item.channel.as_deref() == Some(channel))?;
        let place = analysis.loudspeaker(item, kit).ok()?;
        Some((item_label(item).to_owned(), place.at.value()))
    };
    match (placed("left"), placed("right")) {
        (Some(left), Some(right)) => vec![left, right],
        _ => placed("centre").into_iter().collect(),
    }
}

/// The outside of the first sub, m, and whether its sheet states it.
pub(crate) fn case_m(analysis: &Analysis, subs: &[Sub<'_>]) -> ([f64; 3], bool) {
    let stated = subs
        .first()
        .and_then(|sub| analysis.item_size(sub.item).ok());
    match stated {
        Some(size) => (size.map(|side| side.value()), true),
        None => (CASE_M, false),
    }
}

/// What one sub makes in free field at 1 m, dB by frequency; `None` where its sheet states
/// neither its greatest level nor its lowest note.
pub(crate) fn output_db(
    analysis: &Analysis,
    kit: &LoudspeakerKit,
    frequencies_hz: &[f64],
) -> Option<Vec<f64>> {
    let level = analysis.tone_level_max(kit)?.value();
    let from = kit.plays_from.as_ref()?.value()?;
    let at = |hertz: &f64| level - FALL_DB_PER_OCTAVE * (from / hertz).log2().max(0.0);
    Some(frequencies_hz.iter().map(at).collect())
}
