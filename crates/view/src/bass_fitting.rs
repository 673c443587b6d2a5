//! What it takes to bring signal and mains to a sub, in the job's units and money.

use std::collections::BTreeMap;

use analysis::{Analysis, HoleAt, WayHazard, minutes, work_words};
use bass::{Access, Accesses, Mains, Placed, Signal, Stand, Takes, Tree, Wire};
use model::Space;
use schemars::JsonSchema;
use serde::Serialize;
use units::Dimension;

/// What one sub's place, or a whole arrangement, takes of wire, sockets, time and money.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BassFitting {
    /// New wire, slack and loops included, m.
    pub wire_m: f64,
    /// Holes to drill, at most.
    pub holes: u32,
    /// The crew's time, s.
    pub time_s: f64,
    /// Hours, wire and new sockets, in the job's money; none where the job lacks a price of them.
    pub money: Option<f64>,
    /// Mains sockets that a licensed electrician adds.
    pub sockets: u32,
    /// All of it in a sentence, without its full stop.
    pub says: String,
}

/// Answers for one space, each place worked out once.
pub(crate) struct Fitting<'a> {
    analysis: &'a Analysis,
    accesses: Option<Accesses<'a>>,
    known: BTreeMap<[u64; 3], Access>,
    /// Wires from one sub to another.
    chained: Vec<Wire>,
}

impl<'a> Fitting<'a> {
    pub(crate) fn new(analysis: &'a Analysis, space: &'a Space) -> Self {
        Self {
            analysis,
            accesses: Accesses::new(analysis, space),
            known: BTreeMap::new(),
            chained: Vec::new(),
        }
    }

    /// What a sub needs there; `None` without a sub in the job to go by.
    fn access(&mut self, sub: &Placed) -> Option<Access> {
        let accesses = self.accesses.as_ref()?;
        let key = sub.at.map(f64::to_bits);
        let let_in = let_into(sub);
        let found = self.known.entry(key).or_insert_with(|| {
            accesses.at(sub.at, let_in.map(|(wall, along)| (wall.as_str(), *along)))
        });
        Some(found.clone())
    }

    /// Of one sub.
    pub(crate) fn of_sub(&mut self, sub: &Placed) -> Option<BassFitting> {
        let access = self.access(sub)?;
        let mut sum = Sum::default();
        sum.add(&access, self.analysis.rates().hour);
        let mut parts = vec![self.signal(&access)];
        parts.extend(self.without_wire(&sum));
        parts.extend(self.mains(&access.mains));
        if let Some((name, words)) = &access.unread_end {
            parts.push(format!(
                "the old end {name} ({words}) is in reach: look first whether it carries this signal"
            ));
        }
        Some(self.fitting(&sum, parts.join("; ")))
    }

    /// Of all subs of an arrangement together.
    pub(crate) fn of_all(&mut self, subs: &[Placed]) -> Option<BassFitting> {
        let mut sum = Sum::default();
        let tree = self.tree(subs);
        for (number, sub) in subs.iter().enumerate() {
            let mut access = self.access(sub)?;
            if let Some(tree) = &tree {
                access.signal = tree.signals[number].clone();
            }
            sum.add(&access, self.analysis.rates().hour);
        }
        let mut parts = Vec::new();
        parts.extend(tree.iter().flat_map(chain));
        parts.extend(match sum.shared {
            0 => None,
            1 => Some("one hole is shared and counted once".to_owned()),
            more => Some(format!("{more} holes are shared and counted once")),
        });
        match (sum.wires, sum.unknown) {
            (0, 0) => parts.push("no wire is pulled".to_owned()),
            (0, _) => {}
            _ => parts.push(self.wire(sum.wire_m, sum.holes, sum.wired, sum.is_priced)),
        }
        match sum.unknown {
            0 => {}
            1 => parts.push("one wire's way is not known".to_owned()),
            more => parts.push(format!("the ways of {more} wires are not known")),
        }
        parts.extend(self.without_wire(&sum));
        match sum.sockets {
            0 => {}
            1 => parts.push(format!("1 new mains socket{}", self.electrician(1))),
            more => parts.push(format!(
                "{more} new mains sockets{}",
                self.electrician(more)
            )),
        }
        if sum.unsurveyed > 0 {
            parts.push("no socket of the room is in the survey".to_owned());
        }
        Some(self.fitting(&sum, parts.join("; ")))
    }

    /// The cheapest wires for several subs; `None` for one alone.
    fn tree(&mut self, subs: &[Placed]) -> Option<Tree> {
        let accesses = self.accesses.as_ref().filter(|_| subs.len() > 1)?;
        let stands: Vec<Stand> = (subs.iter())
            .map(|sub| Stand {
                at: sub.at,
                on: let_into(sub).cloned(),
                delay_s: sub.setting.delay.0,
            })
            .collect();
        let tree = accesses.tree(&stands);
        for (from, signal) in tree.fed_by.iter().zip(&tree.signals) {
            if let (Some(_), Signal::Wire(wire)) = (from, signal) {
                self.chained.push(wire.clone());
            }
        }
        Some(tree)
    }

    /// What to mind on the ways of the wires that were told.
    pub(crate) fn cautions(&self) -> Vec<String> {
        let mut cautions = Vec::new();
        let wires = || {
            (self.known.values())
                .filter_map(|access| match &access.signal {
                    Signal::Wire(wire) => Some(wire),
                    _ => None,
                })
                .chain(&self.chained)
        };
        if wires().any(|wire| wire.holes > 0) {
            cautions.push(
                "Before drilling or cutting look for cables and pipes with a detector, switch the circuit off, and wear eye and dust protection."
                    .to_owned(),
            );
        }
        let meets = |hazard: WayHazard| wires().any(|wire| wire.hazards.contains(&hazard));
        if meets(WayHazard::FireBlock) {
            cautions.push(
                "A block that stops fire is sealed again with listed sealant after a wire goes through it."
                    .to_owned(),
            );
        }
        if meets(WayHazard::RatedWall) {
            cautions.push(
                "A wall rated against fire is opened and closed by a licensed trade.".to_owned(),
            );
        }
        if (self.known.values())
            .any(|access| matches!(access.mains, Mains::New(..) | Mains::NotSurveyed))
        {
            cautions.push(
                "Mains sockets are added by a licensed electrician under the local code; no extension lead stays behind furniture."
                    .to_owned(),
            );
        }
        cautions
    }

    fn fitting(&self, sum: &Sum, says: String) -> BassFitting {
        let price = self.analysis.rates().mains_socket;
        let sockets = match sum.sockets {
            0 => Some(0.0),
            some => price.map(|price| price * f64::from(some)),
        };
        let wired = sum.wired.money.filter(|_| sum.unknown == 0);
        BassFitting {
            wire_m: sum.wire_m,
            holes: sum.holes,
            time_s: sum.wired.time_s,
            money: wired.zip(sockets).map(|(wire, sockets)| wire + sockets),
            sockets: sum.sockets,
            says,
        }
    }

    fn signal(&self, access: &Access) -> String {
        match &access.signal {
            Signal::There(end) => format!("its wire ends there already ({end}): none is pulled"),
            Signal::Wire(wire) => self.wire(wire.length_m, wire.holes, wire.takes, wire.is_priced),
            Signal::Unknown(missing) => format!("its wire's way is not known: {}", missing.what),
        }
    }

    fn wire(&self, length_m: f64, holes: u32, takes: Takes, is_priced: bool) -> String {
        let length = self.analysis.exact(length_m, Dimension::Length);
        let work = work_words([holes; 2], [takes.time_s; 2]);
        let money = takes.money.and_then(|money| self.money(money));
        let money = match (money, is_priced) {
            (Some(money), true) => format!(", {money}"),
            (Some(money), false) => format!(", {money} without the wire's own price"),
            (None, _) => String::new(),
        };
        format!("{length} of wire, {work}{money}")
    }

    /// The same signals without wire, where that is priced and something would be pulled.
    fn without_wire(&self, sum: &Sum) -> Option<String> {
        let takes = sum.wireless.filter(|_| sum.wires + sum.unknown > 0)?;
        let time = minutes(takes.time_s);
        let money = takes.money.and_then(|money| self.money(money));
        let money = money.map_or_else(String::new, |money| format!(" and {money}"));
        Some(format!("or by a wireless link, {time}{money}"))
    }

    fn mains(&self, mains: &Mains) -> Option<String> {
        let length = |length_m: f64| self.analysis.exact(length_m, Dimension::Length);
        match mains {
            Mains::None => None,
            Mains::Reached(name, off_m) => {
                Some(format!("plugs into {name}, {} away", length(*off_m)))
            }
            Mains::New(name, off_m) => Some(format!(
                "needs a mains socket{} (the nearest, {name}, is {} away)",
                self.electrician(1),
                length(*off_m)
            )),
            Mains::NotSurveyed => Some(format!(
                "no socket of the room is in the survey: note those there are, or reckon with a new one{}",
                self.electrician(1)
            )),
        }
    }

    fn electrician(&self, sockets: u32) -> String {
        let price = self.analysis.rates().mains_socket;
        let price = price.and_then(|price| self.money(price * f64::from(sockets)));
        let price = price.map_or_else(String::new, |price| format!(", {price}"));
        format!(" by a licensed electrician{price}")
    }

    /// An amount in the job's money; none where the job names no money.
    fn money(&self, amount: f64) -> Option<String> {
        let currency = self.analysis.job().rates.currency.as_deref()?;
        let read = units::read_money(&format!("{amount:.2}")).ok()?;
        Some(units::print_money(read.amount, currency))
    }
}

/// The wall that a sub is let into, and how far along it, m.
fn let_into(sub: &Placed) -> Option<&(String, f64)> {
    (sub.wall.as_ref()).filter(|_| sub.sort == Some(bass::PlaceSort::InWall))
}

/// Which subs are fed from others.
fn chain(tree: &Tree) -> impl Iterator<Item = String> {
    let fed = tree.fed_by.iter().enumerate();
    fed.filter_map(|(to, from)| {
        Some(format!(
            "sub {} is fed from sub {}'s line output",
            to + 1,
            (*from)? + 1
        ))
    })
}

/// What some subs take together.
struct Sum {
    wires: u32,
    unknown: u32,
    unsurveyed: u32,
    sockets: u32,
    wire_m: f64,
    holes: u32,
    wired: Takes,
    is_priced: bool,
    wireless: Option<Takes>,
    /// Holes that are counted already, and how often a further wire goes through one of them.
    drilled: Vec<HoleAt>,
    shared: u32,
}

impl Default for Sum {
    fn default() -> Self {
        let nothing = Takes {
            time_s: 0.0,
            money: Some(0.0),
        };
        Self {
            wires: 0,
            unknown: 0,
            unsurveyed: 0,
            sockets: 0,
            wire_m: 0.0,
            holes: 0,
            wired: nothing,
            is_priced: true,
            wireless: Some(nothing),
            drilled: Vec::new(),
            shared: 0,
        }
    }
}

impl Sum {
    /// Adds what a sub takes; `hour` is what an hour of the crew costs.
    fn add(&mut self, access: &Access, hour: Option<f64>) {
        let both = |one: Takes, other: Takes| Takes {
            time_s: one.time_s + other.time_s,
            money: one.money.zip(other.money).map(|(one, other)| one + other),
        };
        match &access.signal {
            Signal::There(_) => {}
            Signal::Wire(wire) => {
                self.wires += 1;
                self.wire_m += wire.length_m;
                self.holes += wire.holes;
                self.wired = both(self.wired, wire.takes);
                for hole in &wire.each {
                    // A further wire through the same plate or stud goes through the same hole.
                    if self.drilled.iter().any(|drilled| drilled.is_same(hole)) {
                        self.shared += 1;
                        self.holes = self.holes.saturating_sub(1);
                        self.wired.time_s -= hole.time_s;
                        let spared = hour.map(|hour| hour * hole.time_s / 3600.0);
                        self.wired.money = self
                            .wired
                            .money
                            .zip(spared)
                            .map(|(money, spared)| money - spared);
                    } else {
                        self.drilled.push(hole.clone());
                    }
                }
                self.is_priced &= wire.is_priced;
            }
            Signal::Unknown(_) => self.unknown += 1,
        }
        match access.mains {
            Mains::None | Mains::Reached(..) => {}
            Mains::New(..) => self.sockets += 1,
            Mains::NotSurveyed => self.unsurveyed += 1,
        }
        // A place at an old end needs no link either.
        if !matches!(access.signal, Signal::There(_)) {
            self.wireless = self
                .wireless
                .zip(access.wireless)
                .map(|(one, other)| both(one, other));
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use bass::Wire;
    use model::{FramingPart, GoesRound};

    use super::*;

    const DEMO: &str = include_str!("../../../jobs/harbour-lane-settled.toml");

    #[test]
    fn an_arrangement_takes_what_its_subs_take() {
        let job = model::read(DEMO, &checks::limit_names()).expect("the demo reads");
        let analysis = Analysis::new(Arc::new(job));
        let space = analysis.space("loft").expect("the demo's loft");
        let (planned, _) = bass::planned(&analysis, space);
        let here = planned[0].clone();
        let beside = Placed {
            at: [here.at[0] + 1.5, here.at[1], here.at[2]],
            ..here.clone()
        };
        // Of another delay, so that it plays another signal.
        let mut there = beside.clone();
        there.setting.delay = units::Seconds(0.004);
        let mut fitting = Fitting::new(&analysis, space);
        let one = fitting.of_sub(&here).expect("a sub is planned");
        let other = fitting.of_sub(&there).expect("a sub is planned");
        let all = fitting
            .of_all(&[here.clone(), there])
            .expect("a sub is planned");
        assert!(one.says.contains("of wire") && one.says.contains("plugs into socket front"));
        assert!(
            one.says
                .contains("or by a wireless link, 15 min and 156.25")
        );
        // 1.5 m further from the only socket near: 185 for a new one.
        assert_eq!((one.sockets, other.sockets, all.sockets), (0, 1, 1));
        assert!(other.says.contains("by a licensed electrician, 185.00"));
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{a} {b}");
        near(one.wire_m + other.wire_m, all.wire_m);
        near(one.time_s + other.time_s, all.time_s);
        let money = |fitting: &BassFitting| fitting.money.expect("all is priced");
        near(money(&one) + money(&other), money(&all));
        let chained = fitting.of_all(&[here, beside]).expect("a sub is planned");
        assert!(chained.says.contains("is fed from sub"), "{}", chained.says);
        assert!(chained.wire_m < all.wire_m && money(&chained) < money(&all));
        let cautions = fitting.cautions().join(" ");
        assert!(cautions.contains("licensed electrician"), "{cautions}");
    }

    #[test]
    fn wires_through_the_same_plate_share_its_holes() {
        let hole = |at| HoleAt {
            part: GoesRound {
                space: "loft".to_owned(),
                of: "west-eave".to_owned(),
                part: FramingPart::TopPlate,
                row: None,
            },
            at,
            lane: 0,
            time_s: 600.0,
            sure: 1.0,
        };
        let access = |bays: [i32; 2]| Access {
            signal: Signal::Wire(Wire {
                length_m: 10.0,
                holes: 2,
                each: bays.map(hole).to_vec(),
                takes: Takes {
                    time_s: 3000.0,
                    money: Some(100.0),
                },
                is_priced: true,
                hazards: Vec::new(),
            }),
            mains: Mains::None,
            wireless: None,
            unread_end: None,
        };
        let mut sum = Sum::default();
        sum.add(&access([1, 2]), Some(60.0));
        sum.add(&access([2, 5]), Some(60.0));
        // The hole in bay 2 is there by then: 10 min less, at 60 an hour 10.00 less.
        assert_eq!((sum.holes, sum.shared, sum.wire_m), (3, 1, 20.0));
        assert_eq!((sum.wired.time_s, sum.wired.money), (5400.0, Some(190.0)));
    }
}
