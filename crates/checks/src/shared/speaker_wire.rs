//! What a loudspeaker's wire takes of its level.

use analysis::{Analysis, Limit, Means, Missing, Source, item_label};
use model::{CableUse, Item, Kit, LoudspeakerKit};
use units::{Celsius, Dimension, Metres, Ohms, SquareMetres};
use wiring::wire::{self, Conductor, Lay, Metal, SpeakerLine};

use crate::{Known, Uncertain};

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

/// As [`loss_db`], of stranded copper.
pub(crate) fn loss(area: &Uncertain, length: &Uncertain, load: &Uncertain) -> Uncertain {
    uncertainty::through([area, length, load], |[area, length, load]| {
        loss_db(area, Lay::Stranded, length, load)
    })
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

/// What the loudspeaker cable that ends at an item takes, dB, the thinnest of several; nothing
/// where the job has no such cable. One whose thickness or way is not known yet takes what is
/// allowed at most, or nothing.
pub(crate) fn lost_on_the_way(
    analysis: &Analysis,
    item: &Item,
    kit: &LoudspeakerKit,
) -> Option<Uncertain> {
    let of = |cable: &model::Cable| -> Option<Uncertain> {
        let Some(Kit::Cable(cable_kit)) = analysis.kit(&cable.kind) else {
            return None;
        };
        if cable_kit.carries != CableUse::Loudspeaker {
            return None;
        }
        let known = || -> Known<Uncertain> {
            let at = format!("kit.cable.{}.conductor", cable_kit.common.id);
            let area = analysis.number(cable_kit.conductor.as_ref());
            let area = area.ok_or_else(|| {
                Missing::new("the conductors' size", at.clone(), Means::SpecSheet)
            })?;
            let length = analysis.run_length(cable)?;
            Ok(loss(&area, &length, &lowest_impedance(analysis, kit)?))
        };
        Some(known().unwrap_or_else(|missing| {
            let half = analysis.limit(&WIRE_LOSS_MAX).value / 2.0;
            let words = format!("what the wire to {} takes", item_label(item));
            analysis.assumed(&words, &missing.at, half, half)
        }))
    };
    (analysis.cables_at(&item.id).filter_map(of))
        .max_by(|one, other| one.value().total_cmp(&other.value()))
}
