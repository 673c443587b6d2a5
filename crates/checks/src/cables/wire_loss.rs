//! Is the loudspeaker wire thick enough for its length?

use analysis::{Analysis, Limit, Means, Missing, Parts, Source, item_label};
use model::{Cable, CableKit, CableUse, Edit, Item, Kit, LoudspeakerKit, Space, Units};
use units::{Decibels, Dimension, Ohms};
use wiring::awg::Awg;
use wiring::wire::{self, Lay, SpeakerLine};

use crate::moves::to_spare;
use crate::runs::{self, cables_of, shorter_ways};
use crate::speaker_wire::{self, WIRE_LOSS_MAX, line, loss_db, lowest_impedance};
use crate::{Area, Check, Known, Outcome, Published, Remedy, Run, Uncertain, Verdict};

static DAMPING_FACTOR_MIN: Limit = Limit {
    name: "damping_factor_min",
    meaning: "least damping factor at a loudspeaker; below it a wire that loses little enough is tight",
    dimension: Dimension::Factor,
    value: wire::DAMPING_FACTOR_MIN,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "wire-loss",
    area: Area::Cables,
    proves: "The resistance of each loudspeaker's wire, there and back, takes little level away and leaves the amplifier in control.",
    matters: "A thin long wire makes a loudspeaker quieter, changes its tone where its impedance dips, and loosens the bass.",
    formula: "loss = 20 log10((Z + R) / Z), R = 2 r L, damping = Z / (Rs + R); Z: lowest impedance of the loudspeaker, Ω (0.8 of the nominal one when not stated); r: resistance of one stranded copper conductor at 20 °C, Ω/m; L: length of the cable with slack and loops, m; Rs: the amplifier's output resistance, Ω (none when not stated). One pair of conductors; valid below 20 kHz.",
    source: Source::Derived {
        from: "Ohm's law; resistivity of annealed copper, IEC 60028",
    },
    when_it_fails: "Take thicker wire, or a shorter way.",
    limits: &[
        &WIRE_LOSS_MAX,
        &DAMPING_FACTOR_MIN,
        &analysis::SERVICE_LOOP,
        &analysis::CABLE_SLACK,
    ],
    published: &[
        Published {
            cite: "14 AWG solid, 15 m one way, 8 Ω: 20 log10((Z + 2 r L) / Z) (computed)",
            computed: || loss_db(awg_m2(14), Lay::Solid, 15.0, 8.0),
            expected: 0.265763,
            tolerance: 0.002, // Third decimal of the resistivity that tables print.
            unit: "dB",
        },
        Published {
            cite: "16 AWG solid, 50 ft one way, 4 Ω (computed)",
            computed: || loss_db(awg_m2(16), Lay::Solid, 50.0 * 0.3048, 4.0),
            expected: 0.830911,
            tolerance: 0.002, // As above.
            unit: "dB",
        },
        Published {
            cite: "18 AWG solid, 30 m one way, 8 Ω (computed)",
            computed: || loss_db(awg_m2(18), Lay::Solid, 30.0, 8.0),
            expected: 1.26748,
            tolerance: 0.002, // As above.
            unit: "dB",
        },
        Published {
            cite: "longest run of 16 AWG solid at 4 Ω for 0.5 dB: 9.00 m (computed)",
            computed: || loss_db(awg_m2(16), Lay::Solid, 9.00, 4.0),
            expected: 0.5,
            tolerance: 0.0005, // Half of the last printed centimetre.
            unit: "dB",
        },
        Published {
            cite: "14 AWG solid, 15 m, 8 Ω, amplifier 0.04 Ω: damping factor (computed)",
            computed: || damping(awg_m2(14), Lay::Solid, 15.0, 8.0, 0.04),
            expected: 27.7239,
            tolerance: 0.1, // Third decimal of the resistivity that tables print.
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn awg_m2(number: i32) -> f64 {
    Awg::new(number).map_or(f64::NAN, |gauge| gauge.area().0)
}

fn damping(area_m2: f64, lay: Lay, length_m: f64, load_ohm: f64, source_ohm: f64) -> f64 {
    let damping = line(area_m2, lay, length_m, load_ohm, source_ohm).damping_factor();
    damping.unwrap_or(f64::NAN)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    cables_of(analysis, space)
        .filter(|(_, kit)| kit.carries == CableUse::Loudspeaker)
        .filter_map(|(cable, kit)| {
            loudspeaker_of(analysis, cable)?;
            Some(CHECK.about_cable(analysis, space, cable, || {
                let found = loudspeaker_of(analysis, cable);
                let (item, loudspeaker) = found.expect("there was one a moment ago");
                decide(&Wire::of(analysis, cable, kit, item, loudspeaker)?)
            }))
        })
        .collect()
}

/// The loudspeaker at either end, unless it has its own amplifier.
fn loudspeaker_of<'a>(
    analysis: &'a Analysis,
    cable: &Cable,
) -> Option<(&'a Item, &'a LoudspeakerKit)> {
    [&cable.to, &cable.from].into_iter().find_map(|end| {
        let item = analysis.item_at_end(end)?;
        match analysis.kit_of(item) {
            Some(Kit::Loudspeaker(kit)) if kit.channels != Some(0) => Some((item, kit)),
            _ => None,
        }
    })
}

/// What a thicker wire is to bring.
#[derive(Clone, Copy)]
enum Enough {
    LossAndDamping,
    Loss,
}

/// A loudspeaker's wire and what it is judged by.
struct Wire<'a> {
    analysis: &'a Analysis,
    cable: &'a Cable,
    kit: &'a CableKit,
    loudspeaker: &'a Item,
    area: Uncertain,
    length: Uncertain,
    load: Uncertain,
    source_ohm: f64,
}

impl<'a> Wire<'a> {
    fn of(
        analysis: &'a Analysis,
        cable: &'a Cable,
        kit: &'a CableKit,
        item: &'a Item,
        loudspeaker: &'a LoudspeakerKit,
    ) -> Known<Self> {
        let area = analysis.number(kit.conductor.as_ref()).ok_or_else(|| {
            Missing::new(
                format!("the conductors' size of {}", runs::kind_label(kit)),
                format!("kit.cable.{}.conductor", kit.common.id),
                Means::SpecSheet,
            )
        })?;
        let load = lowest_impedance(analysis, loudspeaker)?;
        let source = (analysis.amplifier_of(item))
            .and_then(|(_, kit)| analysis.number(kit.source_impedance.as_ref()));
        Ok(Self {
            analysis,
            cable,
            kit,
            loudspeaker: item,
            area,
            length: analysis.run_length(cable)?,
            load,
            source_ohm: source.map_or(0.0, |source| source.value()),
        })
    }

    fn loss(&self, area: &Uncertain, length: &Uncertain) -> Uncertain {
        speaker_wire::loss(area, length, &self.load)
    }

    fn limit_db(&self) -> f64 {
        self.analysis.limit(&WIRE_LOSS_MAX).value
    }

    /// How far below the limit the loss must stay for the damping that is asked for. An
    /// amplifier that spoils the damping by itself is no reason for thicker wire.
    fn comfort_db(&self) -> f64 {
        let load = self.load.value();
        let loop_ohm = load / self.analysis.limit(&DAMPING_FACTOR_MIN).value - self.source_ohm;
        let line = SpeakerLine {
            load: Ohms(load),
            source: Ohms(0.0),
            loop_resistance: Ohms(loop_ohm.max(0.0)),
        };
        match line.level_loss() {
            Some(Decibels(loss)) if loss > 0.0 => (self.limit_db() - loss).max(0.0),
            _ => 0.0,
        }
    }

    fn suffices(&self, area: &Uncertain, length: &Uncertain, enough: Enough) -> bool {
        let margin = self.limit_db() - self.loss(area, length);
        let comfort = match enough {
            Enough::LossAndDamping => self.comfort_db(),
            Enough::Loss => 0.0,
        };
        to_spare(&margin, comfort) >= 0.0
    }
}

fn decide(wire: &Wire<'_>) -> Known<Outcome> {
    let analysis = wire.analysis;
    let loss = wire.loss(&wire.area, &wire.length);
    let source_ohm = wire.source_ohm;
    let inputs = [&wire.area, &wire.length, &wire.load];
    let damping = uncertainty::through(inputs, |[area, length, load]| {
        damping(area, Lay::Stranded, length, load, source_ohm)
    });
    let limit = analysis.limit(&WIRE_LOSS_MAX);
    let damping_min = analysis.limit(&DAMPING_FACTOR_MIN).value;
    let sentence = format!(
        "{} of {} to {} loses {} at {}, where {} is allowed, and leaves a damping factor of {:.1} ({damping_min} or more is good).",
        analysis.length(&wire.length),
        wire_size(analysis, wire.area.value()),
        item_label(wire.loudspeaker),
        analysis.print(&loss, Dimension::Level),
        analysis.print(&wire.load, Dimension::Resistance),
        analysis.exact(limit.value, Dimension::Level),
        damping.value(),
    );
    let outcome = Outcome::at_most(loss, &limit, Dimension::Level)
        .because(sentence)
        .comfort(wire.comfort_db());
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    // What is in the catalogue comes before what would have to be found; where nothing in
    // it leaves the damping asked for, what saves the level.
    let fails = outcome.verdict() == Verdict::Fails;
    let only_loss = || fails.then_some(Enough::Loss);
    let thicker = thicker_kind(wire, Enough::LossAndDamping)
        .or_else(|| thicker_kind(wire, only_loss()?))
        .or_else(|| thicker_conductor(wire, Enough::LossAndDamping))
        .or_else(|| thicker_conductor(wire, only_loss()?));
    Ok(outcome.remedy(thicker).remedy(shorter_way(wire)))
}

fn wire_size(analysis: &Analysis, area_m2: f64) -> String {
    analysis.exact(area_m2, Dimension::WireArea)
}

/// The thinnest kind of the catalogue that suffices, one in stock before one to order.
fn thicker_kind(wire: &Wire<'_>, enough: Enough) -> Option<Remedy> {
    let analysis = wire.analysis;
    let length = wire.length_when_pulled()?;
    let in_stock = |kit: &CableKit| {
        let long_enough = |left: Option<Uncertain>| left.is_none_or(|left| left >= length);
        runs::spools_of(analysis, &kit.common.id).any(|(_, left)| long_enough(left))
    };
    let kinds = analysis.catalogue().cable.iter().filter_map(|kit| {
        let area = analysis.number(kit.conductor.as_ref())?;
        let fits = kit.carries == CableUse::Loudspeaker && wire.suffices(&area, &length, enough);
        fits.then(|| (kit, area.value(), in_stock(kit)))
    });
    let (kit, area_m2, stocked) = kinds.min_by(|a, b| b.2.cmp(&a.2).then(a.1.total_cmp(&b.1)))?;
    let says = format!(
        "Pull {} ({}{}) to {} instead of {}.",
        runs::kind_label(kit),
        wire_size(analysis, area_m2),
        if stocked { ", in stock" } else { "" },
        item_label(wire.loudspeaker),
        wire_size(analysis, wire.area.value()),
    );
    let mut edits = vec![Edit::set(
        format!("cable.{}.kind", wire.cable.id),
        kit.common.id.clone(),
    )];
    edits.extend(wire.leave_what_it_was_cut_from());
    Some(Remedy::new(says, edits).costing(runs::pulling(analysis, kit, wire.cable, length.value())))
}

/// The kind's own conductor made thick enough, where the catalogue has none that is.
fn thicker_conductor(wire: &Wire<'_>, enough: Enough) -> Option<Remedy> {
    let analysis = wire.analysis;
    let length = wire.length_when_pulled()?;
    let (text, _) = sold_sizes(analysis)
        .into_iter()
        .find(|(_, area_m2)| wire.suffices(&Uncertain::exact(*area_m2), &length, enough))?;
    let says = format!(
        "Order cable with conductors of {text} in place of {}, for all that is cut from it.",
        runs::kind_label(wire.kit),
    );
    let at = format!("kit.cable.{}.conductor", wire.kit.common.id);
    let mut edits = vec![Edit::set(at, text)];
    edits.extend(
        runs::abandon_existing(wire.cable)
            .into_iter()
            .filter(|_| wire.cable.existing.is_some()),
    );
    Some(Remedy::new(says, edits).costing(runs::pulling(
        analysis,
        wire.kit,
        wire.cable,
        length.value(),
    )))
}

/// Conductor sizes as shops have them, thinnest first: even gauges, or IEC 60228 (from memory).
fn sold_sizes(analysis: &Analysis) -> Vec<(String, f64)> {
    match analysis.units() {
        Units::Imperial => [18, 16, 14, 12, 10, 8]
            .map(|gauge| (format!("{gauge} AWG"), awg_m2(gauge)))
            .to_vec(),
        Units::Metric => [0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0]
            .map(|mm2: f64| (format!("{mm2} mm²"), mm2 * 1e-6))
            .to_vec(),
    }
}

fn shorter_way(wire: &Wire<'_>) -> Option<Remedy> {
    let analysis = wire.analysis;
    if !runs::is_cut(wire.cable) {
        return None;
    }
    let way = shorter_ways(analysis, wire.cable)
        .into_iter()
        .find(|way| wire.suffices(&wire.area, &way.length, Enough::LossAndDamping))?;
    let says = format!(
        "Run {} {}: {} of cable instead of {}.",
        wire.cable.id,
        way.words,
        analysis.length(&way.length),
        analysis.length(&wire.length),
    );
    Some(Remedy::new(says, vec![way.edit]))
}

impl Wire<'_> {
    /// Length of a wire that takes this one's place: a ready-made one is as long as it is.
    fn length_when_pulled(&self) -> Option<Uncertain> {
        match self.cable.existing {
            Some(_) => self.analysis.cut_length(self.cable).ok(),
            None => Some(self.length.clone()),
        }
    }

    fn leave_what_it_was_cut_from(&self) -> Vec<Edit> {
        let mut edits = match self.cable.existing {
            Some(_) => runs::abandon_existing(self.cable),
            None => Vec::new(),
        };
        if self.cable.spool.is_some() {
            edits.push(Edit::remove(format!("cable.{}.spool", self.cable.id)));
        }
        edits
    }
}

#[cfg(test)]
mod tests;
