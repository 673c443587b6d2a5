//! What a loudspeaker's wire takes of its level.

use analysis::{Analysis, Limit, Means, Missing, Source, item_label};
use model::{Cable, CableKit, CableUse, Item, Kit, LoudspeakerKit, cable_end};
use units::{Celsius, Dimension, Metres, Ohms, SquareMetres};
use wiring::wire::{self, Conductor, Lay, Metal, SpeakerLine};

use crate::{Known, Uncertain, runs};

pub(crate) static WIRE_LOSS_MAX: Limit = Limit {
    name: "wire_loss_max",
    meaning: "largest level lost in a loudspeaker's wire",
    dimension: Dimension::Level,
    value: wire::LEVEL_LOSS_MAX.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// Lowest over nominal impedance, and its 95 % interval: from memory, IEC 60268-5 allows no
/// less than 80 % of the rated impedance.
const LOWEST_SHARE: f64 = 0.8;
const LOWEST_SHARE_TOLERANCE: f64 = 0.1;

pub(crate) fn conductor(area_m2: f64, lay: Lay) -> Conductor {
    Conductor {
        area: SquareMetres(area_m2),
        metal: Metal::Copper,
        lay,
        temperature: Celsius(20.0),
    }
}

pub(crate) fn line(
    area_m2: f64,
    lay: Lay,
    length_m: f64,
    load_ohm: f64,
    source_ohm: f64,
) -> SpeakerLine {
    let loop_resistance = conductor(area_m2, lay).loop_resistance(Metres(length_m));
    SpeakerLine {
        load: Ohms(load_ohm),
        source: Ohms(source_ohm),
        loop_resistance: loop_resistance.unwrap_or(Ohms(f64::NAN)),
    }
}

/// The level lost in a pair of conductors, dB.
pub(crate) fn loss_db(area_m2: f64, lay: Lay, length_m: f64, load_ohm: f64) -> f64 {
    let loss = line(area_m2, lay, length_m, load_ohm, 0.0).level_loss();
    loss.map_or(f64::NAN, |loss| loss.0)
}

/// The resistance of a pair of stranded copper conductors, there and back, Ω.
pub(crate) fn resistance(area: &Uncertain, length: &Uncertain) -> Uncertain {
    uncertainty::through([area, length], |[area, length]| {
        let there_and_back = conductor(area, Lay::Stranded).loop_resistance(Metres(length));
        there_and_back.map_or(f64::NAN, |resistance| resistance.0)
    })
}

/// The level lost in a resistance before a load, dB.
pub(crate) fn loss(resistance: &Uncertain, load: &Uncertain) -> Uncertain {
    uncertainty::through([resistance, load], |[resistance, load]| {
        let line = SpeakerLine {
            load: Ohms(load),
            source: Ohms(0.0),
            loop_resistance: Ohms(resistance),
        };
        line.level_loss().map_or(f64::NAN, |loss| loss.0)
    })
}

/// One of the cables between a loudspeaker and its amplifier.
pub(crate) struct Piece<'a> {
    pub cable: &'a Cable,
    pub kit: &'a CableKit,
    /// The plate at which it goes on, towards the amplifier.
    pub over: Option<&'a Item>,
}

impl Piece<'_> {
    /// Of one conductor, m².
    pub fn area(&self, analysis: &Analysis) -> Known<Uncertain> {
        analysis.number(self.kit.conductor.as_ref()).ok_or_else(|| {
            Missing::new(
                format!("the conductors' size of {}", runs::kind_label(self.kit)),
                format!("kit.cable.{}.conductor", self.kit.common.id),
                Means::SpecSheet,
            )
        })
    }

    fn resistance(&self, analysis: &Analysis) -> Known<Uncertain> {
        Ok(resistance(
            &self.area(analysis)?,
            &analysis.run_length(self.cable)?,
        ))
    }
}

/// A loudspeaker's cable if it is one.
pub(crate) fn speaker_cable<'a>(analysis: &'a Analysis, cable: &'a Cable) -> Option<Piece<'a>> {
    let kit = runs::kit_of(analysis, cable)?;
    (kit.carries == CableUse::Loudspeaker).then_some(Piece {
        cable,
        kit,
        over: None,
    })
}

/// The cables that follow each other from a loudspeaker over plates: by a plate's port where the
/// ends name one. Of several that may follow the one with the most resistance.
pub(crate) fn way_to_amplifier<'a>(
    analysis: &'a Analysis,
    loudspeaker: &Item,
    first: Piece<'a>,
) -> Known<Vec<Piece<'a>>> {
    let mut end = other_end(first.cable, &loudspeaker.id);
    let mut pieces = vec![first];
    while let Some(plate) = plate_at(analysis, end) {
        let port = cable_end(end).1;
        let onward: Vec<Piece<'a>> = (analysis.cables_at(&plate.id))
            .filter(|cable| pieces.iter().all(|piece| piece.cable.id != cable.id))
            .filter(|cable| !ends_at_loudspeaker(analysis, other_end(cable, &plate.id)))
            .filter_map(|cable| speaker_cable(analysis, cable))
            .collect();
        let is_same = |piece: &Piece<'_>| cable_end(this_end(piece.cable, &plate.id)).1 == port;
        let (same, others): (Vec<_>, Vec<_>) = onward.into_iter().partition(is_same);
        let may_follow = match (same.is_empty(), others.len()) {
            (true, 0 | 1) => others,
            _ => same,
        };
        let most = |piece: &Piece<'a>| match piece.resistance(analysis) {
            Ok(resistance) => resistance.value(),
            Err(_) => f64::INFINITY,
        };
        let next = may_follow
            .into_iter()
            .max_by(|one, other| most(one).total_cmp(&most(other)));
        let next = next.ok_or_else(|| {
            let what = format!(
                "the loudspeaker cable that goes on from {end} towards the amplifier of {}",
                item_label(loudspeaker)
            );
            Missing::new(what, format!("item.{}", plate.id), Means::Decide)
        })?;
        end = other_end(next.cable, &plate.id);
        if let Some(last) = pieces.last_mut() {
            last.over = Some(plate);
        }
        pieces.push(next);
    }
    Ok(pieces)
}

fn this_end<'a>(cable: &'a Cable, item: &str) -> &'a str {
    match cable_end(&cable.to).0 == item {
        true => &cable.to,
        false => &cable.from,
    }
}

fn other_end<'a>(cable: &'a Cable, item: &str) -> &'a str {
    match cable_end(&cable.to).0 == item {
        true => &cable.from,
        false => &cable.to,
    }
}

fn plate_at<'a>(analysis: &'a Analysis, end: &str) -> Option<&'a Item> {
    let item = analysis.item_at_end(end)?;
    matches!(analysis.kit_of(item), Some(Kit::Plate(_))).then_some(item)
}

fn ends_at_loudspeaker(analysis: &Analysis, end: &str) -> bool {
    let item = analysis.item_at_end(end);
    item.is_some_and(|item| matches!(analysis.kit_of(item), Some(Kit::Loudspeaker(_))))
}

/// The lowest impedance in a loudspeaker's band; where no sheet has it, a share of the nominal.
pub(crate) fn lowest_impedance(analysis: &Analysis, kit: &LoudspeakerKit) -> Known<Uncertain> {
    if let Some(lowest) = analysis.number(kit.impedance_min.as_ref()) {
        return Ok(lowest);
    }
    let at = format!("kit.loudspeaker.{}.impedance_min", kit.common.id);
    let what = format!("the lowest impedance of {}", kit.common.id);
    let nominal = (analysis.number(kit.impedance.as_ref()))
        .ok_or_else(|| Missing::new(what.clone(), at.clone(), Means::SpecSheet))?;
    let words = format!("{what}, taken as 0.8 of the nominal one");
    let share = analysis.assumed(&words, &at, LOWEST_SHARE, LOWEST_SHARE_TOLERANCE);
    Ok(nominal * share)
}

/// What the wire from its amplifier to a loudspeaker takes, dB, over plates and all, the most of
/// several; nothing where the job has none. Where a thickness or a way is not known yet it takes
/// what is allowed at most, or nothing.
pub(crate) fn lost_on_the_way(
    analysis: &Analysis,
    item: &Item,
    kit: &LoudspeakerKit,
) -> Option<Uncertain> {
    let of = |first: Piece<'_>| -> Uncertain {
        let known = || -> Known<Uncertain> {
            let mut sum = Uncertain::exact(0.0);
            for piece in way_to_amplifier(analysis, item, first)? {
                sum = sum + piece.resistance(analysis)?;
            }
            Ok(loss(&sum, &lowest_impedance(analysis, kit)?))
        };
        known().unwrap_or_else(|missing| {
            let half = analysis.limit(&WIRE_LOSS_MAX).value / 2.0;
            let words = format!("what the wire to {} takes", item_label(item));
            analysis.assumed(&words, &missing.at, half, half)
        })
    };
    (analysis.cables_at(&item.id))
        .filter_map(|cable| speaker_cable(analysis, cable))
        .map(of)
        .max_by(|one, other| one.value().total_cmp(&other.value()))
}
