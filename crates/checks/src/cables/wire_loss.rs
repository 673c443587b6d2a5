//! Is the loudspeaker wire thick enough for its length?

use analysis::{Analysis, Limit, Parts, Source, item_label};
use model::{Cable, CableKit, CableUse, Edit, Item, Kit, LoudspeakerKit, Space, Units};
use units::{Decibels, Dimension, Ohms};
use wiring::awg::Awg;
use wiring::wire::{self, Lay, SpeakerLine};

use crate::moves::to_spare;
use crate::runs::{self, NewCable, cables_of, shorter_ways};
use crate::speaker_wire::{
    self, Piece, WIRE_LOSS_MAX, line, loss_db, lowest_impedance, speaker_cable, way_to_amplifier,
};
use crate::{Area, Check, Cost, Known, Outcome, Published, Remedy, Run, Uncertain, Verdict};

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
    formula: "loss = 20 log10((Z + R) / Z), R = Σ 2 r L over all cables from the amplifier to the loudspeaker, one after the other where they meet at plates, damping = Z / (Rs + R); Z: lowest impedance of the loudspeaker, Ω (0.8 of the nominal one when not stated); r: resistance of one stranded copper conductor at 20 °C, Ω/m; L: length of a cable with slack and loops, m; Rs: the amplifier's output resistance, Ω (none when not stated). One pair of conductors; valid below 20 kHz.",
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
        .filter_map(|(cable, _)| {
            loudspeaker_of(analysis, cable)?;
            Some(CHECK.about_cable(analysis, space, cable, || {
                let found = loudspeaker_of(analysis, cable);
                let (item, loudspeaker) = found.expect("there was one a moment ago");
                decide(&Wire::of(analysis, cable, item, loudspeaker)?)
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

/// A cable of a loudspeaker's wire.
struct Part<'a> {
    cable: &'a Cable,
    kit: &'a CableKit,
    /// The plate at which it goes on, towards the amplifier.
    over: Option<&'a Item>,
    area: Uncertain,
    length: Uncertain,
}

/// A loudspeaker's wire and what it is judged by.
struct Wire<'a> {
    analysis: &'a Analysis,
    loudspeaker: &'a Item,
    /// From the loudspeaker to the amplifier.
    parts: Vec<Part<'a>>,
    load: Uncertain,
    source_ohm: f64,
}

/// Parts of a wire with another thickness and length each.
type Instead<'a> = &'a [(usize, &'a Uncertain, &'a Uncertain)];

impl<'a> Wire<'a> {
    fn of(
        analysis: &'a Analysis,
        cable: &'a Cable,
        item: &'a Item,
        loudspeaker: &'a LoudspeakerKit,
    ) -> Known<Self> {
        let first = speaker_cable(analysis, cable).expect("it carries a loudspeaker's sound");
        let part = |piece: Piece<'a>| {
            Ok(Part {
                area: piece.area(analysis)?,
                length: analysis.run_length(piece.cable)?,
                cable: piece.cable,
                kit: piece.kit,
                over: piece.over,
            })
        };
        let parts = way_to_amplifier(analysis, item, first)?
            .into_iter()
            .map(part)
            .collect::<Known<Vec<_>>>()?;
        let load = lowest_impedance(analysis, loudspeaker)?;
        let source = (analysis.amplifier_of(item))
            .and_then(|(_, kit)| analysis.number(kit.source_impedance.as_ref()));
        Ok(Self {
            analysis,
            loudspeaker: item,
            parts,
            load,
            source_ohm: source.map_or(0.0, |source| source.value()),
        })
    }

    /// There and back, Ω.
    fn resistance(&self, instead: Instead<'_>) -> Uncertain {
        let of = |(index, part): (usize, &Part<'_>)| {
            let other = instead.iter().find(|(at, ..)| *at == index);
            let (area, length) = other.map_or((&part.area, &part.length), |(_, area, length)| {
                (area, length)
            });
            speaker_wire::resistance(area, length)
        };
        self.parts.iter().enumerate().map(of).sum()
    }

    fn loss(&self, instead: Instead<'_>) -> Uncertain {
        speaker_wire::loss(&self.resistance(instead), &self.load)
    }

    /// Its parts, those that take most first.
    fn worst_first(&self) -> Vec<usize> {
        let takes = |index: &usize| {
            let part = &self.parts[*index];
            speaker_wire::resistance(&part.area, &part.length).value()
        };
        let mut parts: Vec<usize> = (0..self.parts.len()).collect();
        parts.sort_by(|one, other| takes(other).total_cmp(&takes(one)));
        parts
    }

    /// Which parts to put something thicker in place of: each alone, then all together.
    fn choices(&self) -> Vec<Vec<usize>> {
        let mut choices: Vec<Vec<usize>> = (self.worst_first().into_iter())
            .map(|part| vec![part])
            .collect();
        if self.parts.len() > 1 {
            choices.push((0..self.parts.len()).collect());
        }
        choices
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

    fn suffices(&self, instead: Instead<'_>, enough: Enough) -> bool {
        let margin = self.limit_db() - self.loss(instead);
        let comfort = match enough {
            Enough::LossAndDamping => self.comfort_db(),
            Enough::Loss => 0.0,
        };
        to_spare(&margin, comfort) >= 0.0
    }
}

fn decide(wire: &Wire<'_>) -> Known<Outcome> {
    let analysis = wire.analysis;
    let resistance = wire.resistance(&[]);
    let loss = speaker_wire::loss(&resistance, &wire.load);
    let damping = wire.load.value() / (wire.source_ohm + resistance.value());
    let limit = analysis.limit(&WIRE_LOSS_MAX);
    let damping_min = analysis.limit(&DAMPING_FACTOR_MIN).value;
    let sentence = format!(
        "{} to {} {} {} at {}, where {} is allowed, and {} a damping factor of {damping:.1} ({damping_min} or more is good).",
        wire.words(),
        item_label(wire.loudspeaker),
        if wire.parts.len() > 1 {
            "lose"
        } else {
            "loses"
        },
        analysis.beside(&loss, limit.value, Dimension::Level),
        analysis.print(&wire.load, Dimension::Resistance),
        analysis.exact(limit.value, Dimension::Level),
        if wire.parts.len() > 1 {
            "leave"
        } else {
            "leaves"
        },
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

/// The thinnest kind of the catalogue that suffices, one in stock before one to order, in place
/// of as few parts as will do.
fn thicker_kind(wire: &Wire<'_>, enough: Enough) -> Option<Remedy> {
    (wire.choices().iter()).find_map(|parts| thicker_kind_of(wire, parts, enough))
}

fn thicker_kind_of(wire: &Wire<'_>, parts: &[usize], enough: Enough) -> Option<Remedy> {
    let analysis = wire.analysis;
    let lengths = wire.lengths_when_pulled(parts)?;
    let in_stock = |kit: &CableKit| {
        let longest = |left: &Uncertain| lengths.iter().all(|length| left >= length);
        let long_enough = |left: Option<Uncertain>| left.is_none_or(|left| longest(&left));
        runs::spools_of(analysis, &kit.common.id).any(|(_, left)| long_enough(left))
    };
    let kinds = analysis.catalogue().cable.iter().filter_map(|kit| {
        let area = analysis.number(kit.conductor.as_ref())?;
        let instead: Vec<_> = (parts.iter().zip(&lengths))
            .map(|(part, length)| (*part, &area, length))
            .collect();
        let fits = kit.carries == CableUse::Loudspeaker && wire.suffices(&instead, enough);
        fits.then(|| (kit, area.value(), in_stock(kit)))
    });
    let (kit, area_m2, stocked) = kinds.min_by(|a, b| b.2.cmp(&a.2).then(a.1.total_cmp(&b.1)))?;
    let sizes: Vec<String> = (parts.iter())
        .map(|part| wire_size(analysis, wire.parts[*part].area.value()))
        .collect();
    let mut says = format!(
        "Pull {} ({}{}) {} instead of {}.",
        runs::kind_label(kit),
        wire_size(analysis, area_m2),
        if stocked { ", in stock" } else { "" },
        match wire.parts.len() {
            1 => format!("to {}", item_label(wire.loudspeaker)),
            _ => format!("for {}", wire.ids(parts)),
        },
        sizes.join(" and "),
    );
    let mut edits = Vec::new();
    let mut cost = Cost::default();
    for (part, length) in parts.iter().zip(&lengths) {
        let part = &wire.parts[*part];
        let at = format!("cable.{}.kind", part.cable.id);
        edits.push(Edit::set(at, kit.common.id.clone()));
        edits.extend(part.leave_what_it_was_cut_from());
        let (more, takes) = runs::replacing(analysis, kit, part.cable, part.kit, length.value());
        cost = cost.and(more);
        says += &takes;
    }
    Some(Remedy::new(says, edits).costing(cost))
}

/// A kind's own conductor made thick enough, where the catalogue has none that is.
fn thicker_conductor(wire: &Wire<'_>, enough: Enough) -> Option<Remedy> {
    (wire.worst_first().into_iter()).find_map(|part| thicker_conductor_of(wire, part, enough))
}

fn thicker_conductor_of(wire: &Wire<'_>, part: usize, enough: Enough) -> Option<Remedy> {
    let analysis = wire.analysis;
    let kit = wire.parts[part].kit;
    let parts: Vec<usize> = (0..wire.parts.len())
        .filter(|part| wire.parts[*part].kit.common.id == kit.common.id)
        .collect();
    let lengths = wire.lengths_when_pulled(&parts)?;
    let (text, _) = sold_sizes(analysis).into_iter().find(|(_, area_m2)| {
        let area = Uncertain::exact(*area_m2);
        let instead: Vec<_> = (parts.iter().zip(&lengths))
            .map(|(part, length)| (*part, &area, length))
            .collect();
        wire.suffices(&instead, enough)
    })?;
    let mut says = format!(
        "Order cable with conductors of {text} in place of {}, for all that is cut from it.",
        runs::kind_label(kit),
    );
    let at = format!("kit.cable.{}.conductor", kit.common.id);
    let mut edits = vec![Edit::set(at, text)];
    let mut cost = Cost::default();
    for (part, length) in parts.iter().zip(&lengths) {
        let cable = wire.parts[*part].cable;
        // What is pulled anyway costs more by a price that nobody has yet.
        if cable.existing.is_some() {
            edits.extend(runs::abandon_existing(cable));
            let (more, takes) = runs::replacing(analysis, kit, cable, kit, length.value());
            cost = cost.and(more);
            says += &takes;
        }
    }
    Some(Remedy::new(says, edits).costing(cost))
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
    wire.worst_first().into_iter().find_map(|index| {
        let part = &wire.parts[index];
        if !part.cable.is_cut() {
            return None;
        }
        let way = (shorter_ways(analysis, part.cable).into_iter()).find(|way| {
            let instead = [(index, &part.area, &way.length)];
            wire.suffices(&instead, Enough::LossAndDamping)
        })?;
        let says = format!(
            "Run {} {}: {} of cable instead of {}.",
            part.cable.id,
            way.words,
            analysis.length(&way.length),
            analysis.length(&part.length),
        );
        Some(Remedy::new(says, vec![way.edit]))
    })
}

impl Wire<'_> {
    /// "10 m of 2.5 mm²", or each part with the plate at which it ends, from the amplifier on.
    fn words(&self) -> String {
        let part = |part: &Part<'_>| {
            let length = self.analysis.length(&part.length);
            let size = wire_size(self.analysis, part.area.value());
            match part.over {
                Some(plate) => format!("from {} {length} of {size}", item_label(plate)),
                None => format!("{length} of {size}"),
            }
        };
        let parts: Vec<String> = self.parts.iter().rev().map(part).collect();
        parts.join(" and ")
    }

    fn ids(&self, parts: &[usize]) -> String {
        let ids: Vec<&str> = (parts.iter())
            .map(|part| self.parts[*part].cable.id.as_str())
            .collect();
        ids.join(" and ")
    }

    /// Lengths of wires that take the place of these parts: a ready-made one is as long as it is.
    fn lengths_when_pulled(&self, parts: &[usize]) -> Option<Vec<Uncertain>> {
        let length = |index: &usize| {
            let part = &self.parts[*index];
            match part.cable.existing {
                Some(_) => NewCable::of(self.analysis, part.cable).map(|new| new.need),
                None => Some(part.length.clone()),
            }
        };
        parts.iter().map(length).collect()
    }
}

impl Part<'_> {
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
