//! What every seat hears of the bass, as the doors show it.

use analysis::Analysis;
use bass::{
    Arranged, BandDecay, BandLevel, Beside, Judged, Named, PlaceSort, Placed, Polarity, Row, Study,
    Timed, Treated,
};
use model::Space;
use schemars::JsonSchema;
use serde::Serialize;
use units::{Decibels, Dimension, Hertz};

use crate::bass_fitting::{BassFitting, Fitting};
use crate::bass_put::{BassPut, put};

/// A space's bass, from the subs as planned and from the best places there are.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassStudy {
    /// The space's id.
    pub space: String,
    /// Its name for people.
    pub label: String,
    /// Responses hold up to here, Hz.
    pub holds_up_to_hz: f64,
    /// What was assumed and left out, in sentences.
    pub assumed: Vec<String>,
    /// What to mind when it is tried, in sentences.
    pub cautions: Vec<String>,
    /// Seats in the order of all tables.
    pub seats: Vec<BassSeat>,
    /// The frequencies of all tables, Hz.
    pub frequencies_hz: Vec<f64>,
    /// The room's resonances, lowest first.
    pub resonances: Vec<Resonance>,
    /// Where resonances leave a gap or fall on each other, in sentences; empty where they are spread.
    pub spacing: Vec<String>,
    /// How long each third octave rings, with the planned subs, or the best for one.
    pub decays: Vec<BassDecay>,
    /// How the same subs are set against the mains; none without mains in the room.
    pub timed: Option<BassTimed>,
    /// What moving all seats would do to the same subs; empty where it must be compared again.
    pub rows: Vec<BassRow>,
    /// What treatment and open doors would do to the same subs; empty where it must be compared again.
    pub treated: Vec<BassTreated>,
    /// The subs as planned; none without a placed sub.
    pub planned: Option<BassArrangement>,
    /// The best for one sub, two, and so on.
    pub best: Vec<BassBest>,
    /// Every place where a sub may stand, and what one there would come to.
    pub places: Vec<BassPlace>,
}

/// A seat of a bass study.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassSeat {
    /// Its id.
    pub id: String,
    /// Its name for people.
    pub label: String,
}

/// A resonance of the room with what makes it.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Resonance {
    /// Where it resonates, Hz.
    pub hz: f64,
    /// How long it rings, s for 60 dB.
    pub t60_s: f64,
    /// The surfaces that it presses on most, strongest first.
    pub between: Vec<String>,
    /// Seats that sit in its null, by id.
    pub nulls: Vec<String>,
    /// All of it in a sentence.
    pub says: String,
}

/// How long a third octave rings.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassDecay {
    /// The band's name, Hz.
    pub hz: f64,
    /// As it would be measured, s for 60 dB; none without a resonance in the band.
    pub t60_s: Option<f64>,
    /// Its longest resonance, s.
    pub longest_s: Option<f64>,
}

/// The loudest in a third octave.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassLoudest {
    /// The band's name, Hz.
    pub hz: f64,
    /// The mean over the seats at the band's weakest line, dB.
    pub level_db: f64,
}

/// How all subs together are set against the mains.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassTimed {
    /// Where they part, Hz.
    pub crossover_hz: f64,
    /// The mains.
    pub mains: Vec<String>,
    /// Added to every sub, s; negative is added to the mains.
    pub delay_s: f64,
    /// Whether every sub's polarity is turned once more.
    pub inverted: bool,
    /// What is lost at each seat round the crossover, dB; 0 where both are in step.
    pub losses_db: Vec<f64>,
    /// All of it in a sentence.
    pub says: String,
}

/// The seats moved together along their look.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassRow {
    /// Forward, m; negative is back.
    pub forward_m: f64,
    /// How far seats differ there, dB.
    pub spread_db: f64,
    /// How far that may be off, 95 %, dB: absorption is known within a factor of two.
    pub spread_off_db: f64,
    /// Whether it is better than where they are in all the rooms that it may be.
    pub is_better: bool,
    /// What the search makes least, dB².
    pub cost: f64,
    /// All of it in a sentence.
    pub says: String,
}

/// A change of the room, and what it does.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassTreated {
    /// How much less the seats differ, dB; negative is more.
    pub evener_db: f64,
    /// The longest resonance before, s.
    pub longest_before_s: f64,
    /// The longest resonance then, s.
    pub longest_after_s: f64,
    /// All of it in a sentence.
    pub says: String,
}

/// The best arrangements of a number of subs.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassBest {
    /// How many subs.
    pub subs: usize,
    /// Whether the first is proven to be the best of all on the grid of settings.
    pub is_proven: bool,
    /// The best, then runners-up of other kinds.
    pub ranked: Vec<BassArrangement>,
}

/// Subs with what is set on them, and what they come to.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassArrangement {
    /// The subs.
    pub subs: Vec<BassSub>,
    /// How far seats differ: root of the mean spatial variance, dB.
    pub spread_db: f64,
    /// How far that may be off, 95 %, dB: absorption is known within a factor of two.
    pub spread_off_db: f64,
    /// How far the mean over seats strays from flat, dB.
    pub flatness_db: f64,
    /// How far above the wanted level the weakest note can be played, dB; negative is short;
    /// none without the sub's output.
    pub reserve_db: Option<f64>,
    /// What the search makes least, dB².
    pub cost: f64,
    /// Whether it is as good as the best of so many subs, as far as the room is known.
    pub equals_best: bool,
    /// The loudest by third octave; empty without the sub's output.
    pub plays: Vec<BassLoudest>,
    /// Level at each seat over one sub's at 1 m in the open, dB: `levels_db[seat][frequency]`.
    pub levels_db: Vec<Vec<f64>>,
    /// How the job's subs are put there; none where that is done by hand, or they are there.
    pub put: Option<BassPut>,
    /// What wire, sockets, time and money all subs take; none without a sub in the job to go by.
    pub fitting: Option<BassFitting>,
    /// All of it in a sentence.
    pub says: String,
}

/// A sub of an arrangement.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassSub {
    /// Where it is.
    pub words: String,
    /// What places like it are called.
    pub kind: String,
    /// The middle of its case, m.
    pub at: [f64; 3],
    /// Gain against the loudest, dB.
    pub gain_db: f64,
    /// Delay, s.
    pub delay_s: f64,
    /// Whether its polarity is turned.
    pub inverted: bool,
    /// What is set on it, in words.
    pub set: String,
    /// What wire, socket, time and money it takes there.
    pub fitting: Option<BassFitting>,
}

/// A place where a sub may stand.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct BassPlace {
    /// The middle of the case, m.
    pub at: [f64; 3],
    /// What places like it are called.
    pub kind: String,
    /// Where it is.
    pub words: String,
    /// What sort of place it is.
    pub sort: String,
    /// How far seats differ with one sub there, dB.
    pub spread_db: f64,
    /// From 0, the best place for one sub, to 1, the worst.
    pub rank: f64,
    /// All of it in a sentence.
    pub says: String,
}

/// What to mind: the work can hurt.
const CAUTIONS: [&str; 2] = [
    "Loud sweeps harm hearing and loudspeakers: begin quietly, leave the room or wear protection, and keep children and pets out.",
    "Subwoofers are heavy: lift and carry them by two, and keep fingers from under the edges.",
];

/// A study in the job's units.
pub fn bass_study(analysis: &Analysis, space: &Space, study: &Study) -> BassStudy {
    let mut fitting = Fitting::new(analysis, space);
    let planned = study.planned.as_ref();
    let planned = planned.map(|judged| fitted(&mut fitting, judged, None));
    let best = study.best.iter();
    let best: Vec<BassBest> = best
        .map(|best| best_of(analysis, space, &mut fitting, best))
        .collect();
    let costs = |place: &Judged| place.score.cost;
    let least = study.places.iter().map(costs).fold(f64::INFINITY, f64::min);
    let most = study
        .places
        .iter()
        .map(costs)
        .fold(f64::NEG_INFINITY, f64::max);
    let places: Vec<BassPlace> = (study.places.iter())
        .map(|place| placed(&mut fitting, place, least, most))
        .collect();
    let mut cautions = CAUTIONS.map(str::to_owned).to_vec();
    cautions.extend(fitting.cautions());
    BassStudy {
        space: space.id.clone(),
        label: space.label().to_owned(),
        holds_up_to_hz: study.holds_up_to.0,
        assumed: {
            let mut assumed = study.assumed.clone();
            if analysis.rates().wireless_link.is_some() {
                assumed.push("a wireless link is taken to add some 20 ms (from memory): measure it, and delay everything else as much".into());
            }
            assumed
        },
        cautions,
        seats: study
            .seats
            .iter()
            .map(|id| BassSeat {
                id: id.clone(),
                label: id.replace('-', " "),
            })
            .collect(),
        frequencies_hz: study
            .frequencies
            .iter()
            .map(|frequency| frequency.0)
            .collect(),
        resonances: study.modes.iter().map(resonance).collect(),
        spacing: study.spacing.clone(),
        decays: study.decays.iter().map(decay).collect(),
        timed: study.timed.as_ref().map(|timed| told(study, timed)),
        rows: study.rows.iter().map(|row| moved(analysis, row)).collect(),
        treated: (study.treated.iter())
            .map(|one| treated(analysis, one))
            .collect(),
        planned,
        best,
        places,
    }
}

fn resonance(mode: &Named) -> Resonance {
    let hz = mode.frequency.0;
    let between = match mode.between.as_slice() {
        [] => "all over the room".to_owned(),
        [one] => format!("strongest at {one}"),
        [one, other] => format!("between {one} and {other}"),
        [first, rest @ ..] => format!("between {first}, {}", rest.join(", ")),
    };
    let nulls: Vec<String> = mode.nulls.iter().map(|id| id.replace('-', " ")).collect();
    let missed = match nulls.as_slice() {
        [] => String::new(),
        nulls => format!("; missing at {}", nulls.join(", ")),
    };
    Resonance {
        hz,
        t60_s: mode.t60_s,
        between: mode.between.clone(),
        nulls: mode.nulls.clone(),
        says: format!(
            "{hz:.1} Hz {between}, rings for {:.2} s{missed}",
            mode.t60_s
        ),
    }
}

fn decay(band: &BandDecay) -> BassDecay {
    BassDecay {
        hz: band.centre.0,
        t60_s: band.t60_s,
        longest_s: band.longest_s,
    }
}

fn told(study: &Study, timed: &Timed) -> BassTimed {
    let inverted = timed.polarity == Polarity::Inverted;
    let late = timed.delay.0 * 1000.0;
    let delayed = match late {
        late if late > 0.0 => format!("delay every sub by {late:.1} ms more"),
        late if late < 0.0 => format!("delay the mains by {:.1} ms", -late),
        _ => "add no delay".to_owned(),
    };
    let turned = match inverted {
        true => "turn every sub's polarity",
        false => "leave the polarity",
    };
    let each = (timed.losses.iter().zip(&study.seats))
        .map(|(loss, seat)| format!("{} {}", seat.replace('-', " "), signed(*loss)));
    let each: Vec<String> = each.collect();
    BassTimed {
        crossover_hz: timed.crossover.0,
        mains: timed.mains.clone(),
        delay_s: timed.delay.0,
        inverted,
        losses_db: timed.losses.iter().map(|loss| loss.0).collect(),
        says: format!(
            "To fall in with {} at {:.0} Hz, {delayed} and {turned}: both then sum to {} of being in step (mean of the seats; {}), against {} with nothing set",
            timed.mains.join(" and "),
            timed.crossover.0,
            signed(timed.loss),
            each.join(", "),
            signed(timed.loss_unset),
        ),
    }
}

fn moved(analysis: &Analysis, row: &Row) -> BassRow {
    let forward = row.forward.0;
    let by = analysis.exact(forward.abs(), Dimension::Length);
    let place = match forward {
        forward if forward.abs() < 1e-9 => "Seats where they are".to_owned(),
        forward if forward > 0.0 => format!("Seats {by} further forward"),
        _ => format!("Seats {by} further back"),
    };
    let beside = match row.beside {
        Beside::Here => "",
        Beside::Better => " (better)",
        Beside::Equal => " (as good, as far as the room is known)",
        Beside::Worse => " (worse)",
    };
    BassRow {
        forward_m: forward,
        spread_db: row.score.spread.0,
        spread_off_db: row.spread_off.0,
        is_better: row.beside == Beside::Better,
        cost: row.score.cost,
        says: format!(
            "{place}: they differ by {:.1} dB ± {:.1} dB, the mean strays {:.1} dB{beside}",
            row.score.spread.0, row.spread_off.0, row.score.flatness.0
        ),
    }
}

fn treated(analysis: &Analysis, treated: &Treated) -> BassTreated {
    let [(_, before), (hz, after)] = treated.longest;
    let Decibels(evener) = treated.evener;
    let change = match evener {
        evener if evener >= 0.05 => format!("seats differ {evener:.1} dB less"),
        evener if evener <= -0.05 => format!("seats differ {:.1} dB more", -evener),
        _ => "seats differ as much".to_owned(),
    };
    let Hertz(hz) = hz;
    let on = treated.on.map_or_else(String::new, |on| {
        let length = |length_m: f64| analysis.exact(length_m, Dimension::Length);
        format!(
            ", {} wide and {} high, {} from its left end and {} up",
            length(on.width_m),
            length(on.height_m),
            length(on.from_left_m),
            length(on.up_m)
        )
    });
    let [was, is] = [before, after].map(|ring_s| format!("{ring_s:.2} s"));
    let than = match was == is {
        true => ", as long as before".to_owned(),
        false => format!(" instead of {was}"),
    };
    BassTreated {
        evener_db: evener,
        longest_before_s: before,
        longest_after_s: after,
        says: format!(
            "With {}{on}: {change}; the longest resonance, {hz:.0} Hz, rings for {is}{than}",
            treated.words,
        ),
    }
}

fn loudest(band: &BandLevel) -> BassLoudest {
    BassLoudest {
        hz: band.centre.0,
        level_db: band.level.0,
    }
}

/// A level difference with its sign.
fn signed(level: Decibels) -> String {
    // What rounds to nothing has no sign.
    match (level.0 * 10.0).round() / 10.0 {
        0.0 => "0.0 dB".to_owned(),
        level if level < 0.0 => format!("−{:.1} dB", -level),
        level => format!("+{level:.1} dB"),
    }
}

fn best_of(
    analysis: &Analysis,
    space: &Space,
    fitting: &mut Fitting<'_>,
    best: &Arranged,
) -> BassBest {
    BassBest {
        subs: best.ranked.first().map_or(0, |first| first.subs.len()),
        is_proven: best.is_proven,
        ranked: best
            .ranked
            .iter()
            .map(|judged| fitted(fitting, judged, put(analysis, space, &judged.subs)))
            .collect(),
    }
}

/// An arrangement with what each sub's wire and socket take, and how it is put there.
fn fitted(fitting: &mut Fitting<'_>, judged: &Judged, put: Option<BassPut>) -> BassArrangement {
    let mut shown = arrangement(judged);
    for (shown, sub) in shown.subs.iter_mut().zip(&judged.subs) {
        shown.fitting = fitting.of_sub(sub);
    }
    shown.fitting = fitting.of_all(&judged.subs);
    shown.put = put;
    shown
}

pub(crate) fn arrangement(judged: &Judged) -> BassArrangement {
    let score = &judged.score;
    let level = |db: f64| format!("{db:.1} dB");
    let reserve = score.reserve.map(|reserve| match reserve.0 < 0.0 {
        true => format!(
            "; its weakest note is {} short of the wanted level",
            level(-reserve.0)
        ),
        false => format!("; its weakest note has {} in reserve", level(reserve.0)),
    });
    BassArrangement {
        subs: judged.subs.iter().map(sub).collect(),
        spread_db: score.spread.0,
        spread_off_db: judged.spread_off.0,
        flatness_db: score.flatness.0,
        reserve_db: score.reserve.map(|reserve| reserve.0),
        cost: score.cost,
        equals_best: judged.equals_best,
        plays: judged.plays.iter().map(loudest).collect(),
        levels_db: judged
            .levels
            .iter()
            .map(|seat| seat.iter().map(|level| rounded(level.0)).collect())
            .collect(),
        put: None,
        fitting: None,
        says: format!(
            "seats differ by {:.1} dB ± {:.1} dB, the mean strays {:.1} dB from flat{}",
            score.spread.0,
            judged.spread_off.0,
            score.flatness.0,
            reserve.unwrap_or_default()
        ),
    }
}

/// What a curve can be read to: a hundredth of a decibel.
pub(crate) fn rounded(level_db: f64) -> f64 {
    (level_db * 100.0).round() / 100.0
}

fn sub(placed: &Placed) -> BassSub {
    let setting = placed.setting;
    let inverted = setting.polarity == Polarity::Inverted;
    let turned = if inverted { ", polarity turned" } else { "" };
    BassSub {
        words: placed.words.clone(),
        kind: placed.kind.clone(),
        at: placed.at,
        gain_db: setting.gain.0,
        delay_s: setting.delay.0,
        inverted,
        set: format!(
            "{:.0} dB, {:.0} ms{turned}",
            setting.gain.0,
            setting.delay.0 * 1000.0
        ),
        fitting: None,
    }
}

fn placed(fitting: &mut Fitting<'_>, place: &Judged, least: f64, most: f64) -> BassPlace {
    let only = &place.subs[0];
    let spread = place.score.spread.0;
    let sort = only.sort.map_or("", PlaceSort::words);
    let takes = fitting.of_sub(only);
    let takes = takes.map_or_else(String::new, |takes| format!("; {}", takes.says));
    BassPlace {
        at: only.at,
        kind: only.kind.clone(),
        words: only.words.clone(),
        sort: sort.to_owned(),
        spread_db: spread,
        rank: if most > least {
            (place.score.cost - least) / (most - least)
        } else {
            0.0
        },
        says: format!(
            "{} ({sort}): seats differ by {spread:.1} dB with one sub here{takes}",
            only.words
        ),
    }
}
