//! Does each mains circuit carry what hangs on it, evening after evening?

use analysis::{Analysis, Known, Limit, Means, Missing, Source, Uncertain, item_label};
use model::{Circuit, Edit, Item, Kit, Region};
use serde_json::json;
use units::{Amperes, Dimension, Volts};

use crate::moves::to_spare;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "circuit-load",
    area: Area::Power,
    proves: "Everything on a mains circuit together draws no more than the circuit may carry for hours.",
    matters: "An overloaded circuit warms the breaker until it opens in the middle of the film, and a wire that is warm every evening ages.",
    formula: "Σ n W + W_0 ≤ k I V; W: mains power of each thing at its highest, n: how many, W_0: what is on the circuit already at the worst hour, W; I: breaker, A; V: mains voltage, V; k: the part allowed to a load of three hours or more. All of it counts as continuous. Things in a cupboard hang on the cupboard's circuit unless they name their own.",
    source: Source::Published {
        work: "NFPA 70 (NEC) 2023, 210.20(A)",
    },
    when_it_fails: "Move a thing to a circuit that has room, or ask a licensed electrician for another circuit.",
    limits: &[&CONTINUOUS_PART],
    published: &[
        Published {
            cite: "NEC 2023 210.20(A), 125 %: 15 A 120 V circuit, continuous (clause confirmed, value computed)",
            computed: || continuous_w(15.0, 120.0, power::circuit::CONTINUOUS_PART),
            expected: 1440.0,
            tolerance: 1e-9, // Whole numbers.
            unit: "W",
        },
        Published {
            cite: "NEC 2023 210.20(A), 125 %: 20 A 120 V circuit, continuous (clause confirmed, value computed)",
            computed: || continuous_w(20.0, 120.0, power::circuit::CONTINUOUS_PART),
            expected: 1920.0,
            tolerance: 1e-9, // Whole numbers.
            unit: "W",
        },
        Published {
            cite: "V I: 16 A 230 V circuit, full (computed)",
            computed: || continuous_w(16.0, 230.0, 1.0),
            expected: 3680.0,
            tolerance: 1e-9, // Whole numbers.
            unit: "W",
        },
    ],
    run: Run::House(run),
};

static CONTINUOUS_PART: Limit = Limit {
    name: "circuit_continuous_part",
    meaning: "the part of a breaker's rating that a load of three hours or more may take",
    dimension: Dimension::Ratio,
    value: power::circuit::CONTINUOUS_PART,
    source: Source::Published {
        work: "NFPA 70 (NEC) 2023, 210.20(A)",
    },
    regional: &[(
        Region::Eu,
        power::circuit::CONTINUOUS_PART,
        Source::CommonPractice,
    )],
};

/// Largest load that may last, W.
fn continuous_w(breaker_a: f64, mains_v: f64, part: f64) -> f64 {
    let circuit = power::circuit::Circuit {
        voltage: Volts(mains_v),
        rating: Amperes(breaker_a),
    };
    circuit
        .continuous_capacity(part)
        .map_or(f64::NAN, |watts| watts.0)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let all = with_circuits(analysis);
    let loaded = analysis.circuits().iter().filter_map(|circuit| {
        let items = items_on(analysis, circuit, &all);
        let subject = Subject::new(
            format!("circuit.{}", circuit.id),
            format!("circuit {}", circuit.id),
        );
        (!items.is_empty())
            .then(|| CHECK.about_house(subject, || decide(analysis, circuit, &items)))
    });
    let loose = (all.iter())
        .filter(|(item, circuit)| circuit.is_none() && draws(analysis, item))
        .map(|(item, _)| {
            CHECK.about_house(Subject::item(item), || {
                Err(Missing::new(
                    format!("the circuit that {} hangs on", item_label(item)),
                    format!("item.{}.circuit", item.id),
                    Means::Decide,
                ))
            })
        });
    loaded.chain(loose).collect()
}

/// The circuit that a thing names, else the one of the cupboard that it stands in.
fn circuit_of<'a>(analysis: &'a Analysis, item: &'a Item) -> Option<&'a str> {
    (analysis.holders_anywhere(item)).find_map(|holder| holder.circuit.as_deref())
}

/// Every item and its circuit.
pub(crate) fn with_circuits(analysis: &Analysis) -> Vec<(&Item, Option<&str>)> {
    let items = analysis.items_anywhere();
    items
        .map(|item| (item, circuit_of(analysis, item)))
        .collect()
}

/// Of all items those on a circuit.
pub(crate) fn items_on<'a>(
    analysis: &Analysis,
    circuit: &Circuit,
    all: &[(&'a Item, Option<&str>)],
) -> Vec<&'a Item> {
    let on_it = all.iter().filter(|(_, on)| *on == Some(&circuit.id));
    on_it
        .map(|(item, _)| *item)
        .filter(|item| item.circuit.is_some() || draws(analysis, item))
        .filter(|item| !is_empty_holder(analysis, item))
        .collect()
}

/// Whether it draws from the mains: by its spec sheet, else by what it is.
fn draws(analysis: &Analysis, item: &Item) -> bool {
    let Some(kit) = analysis.kit_of(item) else {
        return false;
    };
    let stated = kit.common().watts.as_ref().and_then(model::Measured::value);
    stated.map_or_else(|| has_plug(kit), |watts| watts > 0.0)
}

fn has_plug(kit: Kit<'_>) -> bool {
    match kit {
        Kit::Projector(_) | Kit::Display(_) | Kit::Amplifier(_) | Kit::Device(_) => true,
        Kit::Loudspeaker(kit) => kit.channels == Some(0),
        _ => false,
    }
}

/// A cupboard that draws nothing itself and only passes its circuit on.
fn is_empty_holder(analysis: &Analysis, item: &Item) -> bool {
    matches!(analysis.kit_of(item), Some(Kit::Cupboard(_))) && !draws(analysis, item)
}

/// Power of a thing, as many as there are.
pub(crate) fn watts_of(analysis: &Analysis, item: &Item) -> Known<Uncertain> {
    let kit = analysis.kit_of(item);
    let watts = kit.and_then(|kit| analysis.number(kit.common().watts.as_ref()));
    let watts = watts.ok_or_else(|| {
        let kind = kit.map_or("?", Kit::kind);
        Missing::new(
            format!("the mains power of {}", item.is),
            format!("kit.{kind}.{}.watts", item.is),
            Means::SpecSheet,
        )
    })?;
    Ok(watts * f64::from(item.count.unwrap_or(1)))
}

/// A circuit's facts and what hangs on it.
pub(crate) struct Loaded {
    breaker: Uncertain,
    mains: Uncertain,
    existing: Uncertain,
    added: Uncertain,
    part: f64,
    /// The first fact that the load lacks; what is known of it is a lower bound then.
    lacks: Option<Missing>,
}

impl Loaded {
    pub(crate) fn of(analysis: &Analysis, circuit: &Circuit, items: &[&Item]) -> Known<Self> {
        let known = Self::at_least(analysis, circuit, items)?;
        match known.lacks {
            Some(missing) => Err(missing),
            None => Ok(known),
        }
    }

    /// With what is not known of the load left out.
    pub(crate) fn at_least(analysis: &Analysis, circuit: &Circuit, items: &[&Item]) -> Known<Self> {
        let ask = |what: &str, field: &str| {
            Missing::new(
                format!("{what} circuit {}", circuit.id),
                format!("circuit.{}.{field}", circuit.id),
                Means::Look,
            )
        };
        let breaker = (analysis.number(circuit.breaker.as_ref()))
            .ok_or_else(|| ask("the breaker of", "breaker"))?;
        let existing = (analysis.number(circuit.existing.as_ref()))
            .ok_or_else(|| ask("what is already on", "existing"));
        let site = analysis.site();
        let mains = site
            .and_then(|site| site.mains.as_ref())
            .and_then(|mains| analysis.number(Some(&mains.voltage)));
        let Some(mains) = mains else {
            // Asked for in the order in which somebody at the board reads them.
            existing?;
            return Err(Missing::new(
                "the mains voltage",
                "site.mains.voltage",
                Means::Look,
            ));
        };
        let mut lacks = None;
        let mut told = |power: Known<Uncertain>| {
            power.unwrap_or_else(|missing| {
                lacks.get_or_insert(missing);
                Uncertain::exact(0.0)
            })
        };
        let existing = told(existing);
        let mut added = Uncertain::exact(0.0);
        for item in items {
            added = added + told(watts_of(analysis, item));
        }
        let part = analysis.limit(&CONTINUOUS_PART).value;
        Ok(Self {
            breaker,
            mains,
            existing,
            added,
            part,
            lacks,
        })
    }

    pub(crate) fn capacity(&self) -> Uncertain {
        uncertainty::through([&self.breaker, &self.mains], |[breaker, mains]| {
            continuous_w(breaker, mains, self.part)
        })
    }

    fn load(&self) -> Uncertain {
        &self.existing + &self.added
    }

    fn margin(&self) -> Uncertain {
        self.capacity() - self.load()
    }

    fn is_overloaded(&self) -> bool {
        self.margin().value() < 0.0
    }
}

fn decide(analysis: &Analysis, circuit: &Circuit, items: &[&Item]) -> Known<Outcome> {
    let loaded = Loaded::at_least(analysis, circuit, items)?;
    // What is known may be too much already; else what is not known decides.
    if let Some(missing) = loaded.lacks.clone().filter(|_| !loaded.is_overloaded()) {
        return Err(missing);
    }
    let (capacity, load) = (loaded.capacity(), loaded.load());
    if !capacity.value().is_finite() {
        let what = format!(
            "a breaker and a mains voltage above zero for circuit {}",
            circuit.id
        );
        let at = format!("circuit.{}.breaker", circuit.id);
        return Err(Missing::new(what, at, Means::Look));
    }
    let power = |watts: &Uncertain| analysis.print(watts, Dimension::Power);
    let names: Vec<&str> = items.iter().map(|item| item_label(item)).collect();
    let there = match analysis.number(circuit.existing.as_ref()) {
        Some(existing) => format!("has {} on it and ", power(&existing)),
        None => String::new(),
    };
    let more = loaded.lacks.as_ref().map_or_else(String::new, |missing| {
        format!(" Not counted, for nobody knows it yet: {}.", missing.what)
    });
    let sentence = format!(
        "Circuit {} {}gets {} from {}: {} together, and for hours it may carry {} ({} of {} at {}).{more}",
        circuit.id,
        there,
        power(&loaded.added),
        names.join(", "),
        power(&load),
        power(&capacity),
        analysis.exact(loaded.part, Dimension::Ratio),
        analysis.print(&loaded.breaker, Dimension::Current),
        analysis.print(&loaded.mains, Dimension::Voltage),
    );
    let source = analysis.limit(&CONTINUOUS_PART).source;
    let limit = capacity.value();
    let margin = loaded.margin();
    let outcome = Outcome::with_margin(load, limit, margin, Dimension::Power, source)
        .because(sentence)
        .caution(Caution::Mains);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let crowded = Crowded {
        analysis,
        circuit,
        movable: movable(analysis, items),
        spare: to_spare(outcome.margin(), 0.0),
    };
    Ok(outcome
        .remedy(crowded.to_another_circuit())
        .remedy(crowded.to_a_circuit_of_its_own(&loaded)))
}

/// Things with their power, smallest first; cupboards carry others along and stay.
fn movable<'a>(analysis: &Analysis, items: &[&'a Item]) -> Vec<(&'a Item, f64)> {
    let is_holder = |item: &Item| matches!(analysis.kit_of(item), Some(Kit::Cupboard(_)));
    let mut movable: Vec<(&Item, f64)> = items
        .iter()
        .filter(|item| !is_holder(item))
        .filter_map(|item| Some((*item, watts_of(analysis, item).ok()?.value())))
        .collect();
    movable.sort_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.id.cmp(&b.0.id)));
    movable
}

/// A circuit with too much on it.
struct Crowded<'a> {
    analysis: &'a Analysis,
    circuit: &'a Circuit,
    movable: Vec<(&'a Item, f64)>,
    /// What it has left, W; negative here.
    spare: f64,
}

impl Crowded<'_> {
    /// The smallest thing that suffices, to the circuit that then has most room.
    fn to_another_circuit(&self) -> Option<Remedy> {
        let analysis = self.analysis;
        let all = with_circuits(analysis);
        let rooms: Vec<(&Circuit, f64)> = (analysis.circuits().iter())
            .filter(|other| other.id != self.circuit.id)
            .filter_map(|other| {
                let loaded = Loaded::of(analysis, other, &items_on(analysis, other, &all)).ok()?;
                Some((other, to_spare(&loaded.margin(), 0.0)))
            })
            .collect();
        let (circuit, room) = rooms
            .into_iter()
            .reduce(|most, next| if next.1 > most.1 { next } else { most })?;
        let (item, watts) =
            (self.movable.iter()).find(|(_, watts)| self.spare + watts >= 0.0 && *watts <= room)?;
        let says = format!(
            "Plug {} ({}) into circuit {}, which has {} to spare.",
            item_label(item),
            analysis.exact(*watts, Dimension::Power),
            circuit.id,
            analysis.exact(room, Dimension::Power),
        );
        let edit = Edit::set(format!("item.{}.circuit", item.id), circuit.id.as_str());
        Some(Remedy::new(says, vec![edit]).caution(Caution::Mains))
    }

    /// A further circuit of the same rating for the smallest thing that suffices, or for the
    /// largest ones until what is left suffices.
    fn to_a_circuit_of_its_own(&self, loaded: &Loaded) -> Option<Remedy> {
        let single = self
            .movable
            .iter()
            .find(|(_, watts)| self.spare + watts >= 0.0);
        let mut moved: Vec<(&Item, f64)> = single.into_iter().copied().collect();
        let mut freed: f64 = moved.iter().map(|(_, watts)| watts).sum();
        if moved.is_empty() {
            for (item, watts) in self.movable.iter().rev() {
                if self.spare + freed >= 0.0 {
                    break;
                }
                moved.push((item, *watts));
                freed += watts;
            }
        }
        if moved.is_empty() || self.spare + freed < 0.0 || freed >= loaded.capacity().value() {
            return None;
        }
        let analysis = self.analysis;
        let id = (2..)
            .map(|number| format!("{}-{number}", self.circuit.id))
            .find(|id| !analysis.circuits().iter().any(|known| known.id == *id))
            .expect("a number that no circuit has");
        let breaker = analysis.exact(loaded.breaker.value(), Dimension::Current);
        let names: Vec<&str> = moved.iter().map(|(item, _)| item_label(item)).collect();
        let says = format!(
            "Have a licensed electrician add a circuit of {breaker}, and put {} ({}) on it.",
            names.join(", "),
            analysis.exact(freed, Dimension::Power),
        );
        let table = json!({ "id": id, "breaker": breaker, "existing": "0 W" });
        let mut edits = vec![Edit::set(format!("circuit.{id}"), table)];
        edits.extend(
            (moved.iter())
                .map(|(item, _)| Edit::set(format!("item.{}.circuit", item.id), id.as_str())),
        );
        Some(Remedy::new(says, edits).caution(Caution::Mains))
    }
}

#[cfg(test)]
mod tests {
    //! Both sides of 1440 W on a 15 A circuit, the European circuit, what is missing, and
    //! both ways to relieve it.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn rack(existing: &str, more: &str) -> String {
        format!(
            r#"
[site]
mains = {{ voltage = 120, frequency = 60 }}
[[circuit]]
id = "den"
breaker = "15 A"
{existing}
{more}
[[kit.amplifier]]
id = "amp-a7"
watts = 600
[[kit.device]]
id = "player-d1"
watts = 40
[[kit.cupboard]]
id = "cupboard-c1"
[[item]]
id = "rack"
is = "cupboard-c1"
at = {{ from = ["west", "300 mm"], and = ["north", "500 mm"] }}
circuit = "den"
[[item]]
id = "amp"
is = "amp-a7"
in = "rack"
[[item]]
id = "player"
is = "player-d1"
in = "rack"
count = 2
"#
        )
    }

    const HALL: &str = "[[circuit]]\nid = \"hall\"\nbreaker = \"15 A\"\nexisting = 300\n";

    #[test]
    fn a_circuit_with_room_fits() {
        // 500 + 600 + 2 × 40 = 1180 W of 0.8 × 15 × 120 = 1440 W.
        let found = findings(&CHECK, &rack("existing = 500", ""));
        expect![[r#"
            circuit den: fits +260.000: Circuit den has 500 W on it and gets 680 W from amp, player: 1180 W together, and for hours it may carry 1440 W (80 % of 15 A at 120 V).
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn one_watt_decides() {
        // 1440 − 680 = 760 W may be there already.
        let verdict = |existing: &str| findings(&CHECK, &rack(existing, ""))[0].verdict;
        assert_eq!(verdict("existing = 759"), Verdict::Fits);
        assert_eq!(verdict("existing = 761"), Verdict::Fails);
        assert_eq!(verdict("existing = \"700 W ± 100 W\""), Verdict::Tight);
    }

    #[test]
    fn a_house_may_set_its_own_part() {
        let text = rack("existing = 500", "").replace(
            "[site]",
            "[rules]\ncircuit_continuous_part = \"50 %\"\n[site]",
        );
        // 1180 W of 0.5 × 1800 W.
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!((found[0].margin.as_ref().expect("decided").value() + 280.0).abs() < 1e-9);
    }

    #[test]
    fn what_nobody_knows_is_asked() {
        let found = findings(&CHECK, &rack("", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "circuit.den.existing");
        let loose = rack("existing = 500", "").replace("circuit = \"den\"", "");
        let found = findings(&CHECK, &loose);
        let at: Vec<&str> = found
            .iter()
            .map(|finding| finding.needs[0].at.as_str())
            .collect();
        assert_eq!(at, ["item.amp.circuit", "item.player.circuit"]);
    }

    #[test]
    fn what_is_known_to_be_too_much_does_not_wait_for_the_rest() {
        // 2 × 600 + 2 × 40 = 1280 W of 1440 W leave it open, 3 × 600 + 80 = 1880 W do not.
        let amps = |count: u32| {
            let amps = format!("in = \"rack\"\ncount = {count}\n[[item]]\nid = \"player\"");
            rack("", "").replace("in = \"rack\"\n[[item]]\nid = \"player\"", &amps)
        };
        assert_eq!(findings(&CHECK, &amps(2))[0].verdict, Verdict::Unknown);
        let found = findings(&CHECK, &amps(3));
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", found[0].because);
        assert!((found[0].margin.as_ref().expect("decided").value() + 440.0).abs() < 1e-9);
        assert!(
            found[0]
                .because
                .ends_with("nobody knows it yet: what is already on circuit den."),
            "{}",
            found[0].because
        );
    }

    #[test]
    fn each_remedy_mends_it() {
        // 81 W too much: of the players (80 W) and the amplifier (600 W) only that suffices.
        let text = rack("existing = 841", HALL);
        let found = findings(&CHECK, &text);
        expect![[r#"
            Plug amp (600 W) into circuit hall, which has 1140 W to spare.
            Have a licensed electrician add a circuit of 15 A, and put amp (600 W) on it.
        "#]]
        .assert_eq(&said(&found[0]));
        for remedy in &found[0].remedies {
            for after in findings_after(&CHECK, &text, &remedy.edits) {
                assert_eq!(
                    after.verdict,
                    Verdict::Fits,
                    "{}: {}",
                    remedy.says,
                    after.because
                );
            }
        }
    }

    #[test]
    fn the_smallest_thing_that_suffices_moves() {
        let found = findings(&CHECK, &rack("existing = 800", HALL));
        assert!(found[0].remedies[0].says.starts_with("Plug player (80"));
    }

    fn said(finding: &crate::Finding) -> String {
        (finding.remedies.iter())
            .map(|remedy| format!("{}\n", remedy.says))
            .collect::<String>()
            .replace('\u{202f}', " ")
    }
}
