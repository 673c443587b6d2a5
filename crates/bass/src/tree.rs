//! Which wires do several subs take together?
//!
//! The cheapest tree: each sub is fed from its source, or from another sub that has a line output and
//! plays with the same delay (gain and polarity are set on each). Four subs have 125 trees at most, so
//! all are looked at.

use model::{Edit, PortDirection, PortKind};
use serde_json::{Value, json};

use analysis::Missing;

use crate::access::{Accesses, Signal, Takes, Wire};

/// A sub that stands somewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Stand {
    /// The middle of its case, m.
    pub at: [f64; 3],
    /// The wall that it is let into, and how far from that wall's left end, m.
    pub on: Option<(String, f64)>,
    /// Its delay, s: subs whose delays differ do not play the same signal.
    pub delay_s: f64,
}

/// The wires of several subs.
#[derive(Clone, Debug, PartialEq)]
pub struct Tree {
    /// By sub: the sub that feeds it, by number; `None` where its source does or nothing is pulled.
    pub fed_by: Vec<Option<usize>>,
    /// By sub: how its signal gets to it by that way.
    pub signals: Vec<Signal>,
    /// Holes that two wires or more go through, counted once too often in `signals`.
    pub shared_holes: u32,
    /// What that saves.
    pub saved: Takes,
}

/// The sub and the cable that are tried beside the job's own.
const TRIED_SUB: &str = "further-sub-as-tried";
const TRIED_CABLE: &str = "further-wire-as-tried";

impl Accesses<'_> {
    /// The cheapest wires for several subs: by money, else by time.
    pub fn tree(&self, subs: &[Stand]) -> Tree {
        let from_source: Vec<Signal> = subs
            .iter()
            .map(|sub| {
                let on = sub.on.as_ref().map(|(wall, along)| (wall.as_str(), *along));
                self.at(sub.at, on).signal
            })
            .collect();
        let feeds = self.is_powered() && self.has_line_output();
        let between: Vec<Vec<Option<Wire>>> = (0..subs.len())
            .map(|from| {
                let wire = |to: usize| {
                    let same = (subs[from].delay_s - subs[to].delay_s).abs() < 1e-9;
                    let wire = || self.between(&subs[from], &subs[to]).ok();
                    (feeds && same).then(wire).flatten()
                };
                // A wire is as long either way.
                (0..from).map(wire).collect()
            })
            .collect();
        let between = |from: usize, to: usize| -> Option<&Wire> {
            let (low, high) = (from.min(to), from.max(to));
            between.get(high)?.get(low)?.as_ref()
        };
        let root: Vec<Option<f64>> = from_source.iter().map(price).collect();
        let fed_by = cheapest(&root, &|from, to| between(from, to).map(cost));
        let signals = (fed_by.iter().zip(from_source).enumerate())
            .map(|(to, (from, direct))| {
                let chained = from.and_then(|from| between(from, to).cloned());
                chained.map_or(direct, Signal::Wire)
            })
            .collect();
        let mut tree = Tree {
            fed_by,
            signals,
            shared_holes: 0,
            saved: Takes {
                time_s: 0.0,
                money: Some(0.0),
            },
        };
        if let Ok(holes) = self.shared_holes(subs, &tree) {
            let time_s = f64::from(holes) * self.analysis.way_times().hole.0;
            tree.shared_holes = holes;
            tree.saved = Takes {
                time_s,
                money: self.money(time_s),
            };
        }
        tree
    }

    fn has_line_output(&self) -> bool {
        let mut ports = self.kit.common.port.iter();
        ports.any(|port| port.kind == PortKind::Line && port.direction == Some(PortDirection::Out))
    }

    /// A wire from one sub to another.
    fn between(&self, from: &Stand, to: &Stand) -> Result<Wire, Missing> {
        let stands = [(self.item.id.as_str(), from), (TRIED_SUB, to)];
        let mut edits = Vec::new();
        for (id, stand) in stands {
            edits.extend(self.put(id, stand)?);
        }
        edits.push(self.tried_cable(TRIED_CABLE, &self.item.id, TRIED_SUB));
        let tried = self
            .analysis
            .tried(&edits)
            .map_err(|error| self.refused(&error))?;
        self.told(&tried, TRIED_CABLE)
    }

    /// Holes that the wires of a tree share.
    fn shared_holes(&self, subs: &[Stand], tree: &Tree) -> Result<u32, Missing> {
        let is_pulled = |sub: &usize| matches!(tree.signals[*sub], Signal::Wire(_));
        let pulled: Vec<usize> = (0..subs.len()).filter(is_pulled).collect();
        if pulled.len() < 2 {
            return Ok(0);
        }
        let id = |sub: usize| format!("{TRIED_SUB}-{sub}");
        let source = self.source()?;
        let mut edits = Vec::new();
        for (number, stand) in subs.iter().enumerate() {
            edits.extend(self.put(&id(number), stand)?);
        }
        for &sub in &pulled {
            let from = tree.fed_by[sub].map_or_else(|| source.clone(), id);
            edits.push(self.tried_cable(&format!("{TRIED_CABLE}-{sub}"), &from, &id(sub)));
        }
        let tried = self
            .analysis
            .tried(&edits)
            .map_err(|error| self.refused(&error))?;
        let told = tried.ways_together_of(|cable| cable.id.starts_with(TRIED_CABLE));
        let twice = (told.shared.iter())
            .map(|shared| shared.holes * (shared.cables.len() as u32).saturating_sub(1));
        Ok(twice.sum())
    }

    /// Edits that make a sub stand there: the planned one, or one more of its kind.
    fn put(&self, id: &str, stand: &Stand) -> Result<Vec<Edit>, Missing> {
        let on = stand
            .on
            .as_ref()
            .map(|(wall, along)| (wall.as_str(), *along));
        if id == self.item.id {
            return self.stands(stand.at, on);
        }
        let (fact, place) = self.placed(stand.at, on)?;
        let mut item = json!({ "id": id, "is": self.item.is, "space": self.space.id });
        item[fact] = place;
        Ok(vec![Edit::set(format!("item.{id}"), item)])
    }

    fn tried_cable(&self, id: &str, from: &str, to: &str) -> Edit {
        let mut cable = json!({ "id": id, "kind": self.cable_kind(), "from": from, "to": to });
        let way = self
            .cable
            .and_then(|cable| serde_json::to_value(cable).ok());
        if let Some(way) = way.and_then(|mut cable| cable.get_mut("way").map(Value::take)) {
            cable["way"] = way;
        }
        Edit::set(format!("cable.{id}"), cable)
    }
}

/// What a signal from the source costs; `None` where nobody can tell.
fn price(signal: &Signal) -> Option<f64> {
    match signal {
        Signal::There(_) => Some(0.0),
        Signal::Wire(wire) => Some(cost(wire)),
        Signal::Unknown(_) => None,
    }
}

/// Money, else time: one job prices all its wires or none.
fn cost(wire: &Wire) -> f64 {
    wire.takes.money.unwrap_or(wire.takes.time_s)
}

/// The cheapest tree over some nodes: for each the node that feeds it, `None` for the root. `root` is
/// the price from the root, `price` from one node to another; without one there is no such edge, but
/// a node that nothing reaches hangs on the root.
fn cheapest(
    root: &[Option<f64>],
    price: &dyn Fn(usize, usize) -> Option<f64>,
) -> Vec<Option<usize>> {
    let count = root.len();
    let mut best = (f64::INFINITY, usize::MAX, vec![None; count]);
    let choices = count + 1;
    for number in 0..choices.pow(count as u32) {
        // The feeder of each as a digit, `count` for the root; all from the root comes first.
        let feeder = |node: usize| count - number / choices.pow(node as u32) % choices;
        let mut sum = 0.0;
        let mut unknown = 0;
        let mut is_tree = true;
        for (node, from_root) in root.iter().enumerate() {
            let edge = match feeder(node) {
                from if from == count => *from_root,
                from => {
                    let edge = price(from, node);
                    is_tree &= edge.is_some();
                    edge
                }
            };
            match edge {
                Some(edge) => sum += edge,
                None => unknown += 1,
            }
            let mut at = node;
            let mut steps = 0;
            while feeder(at) != count && steps <= count {
                at = feeder(at);
                steps += 1;
            }
            is_tree &= steps <= count;
        }
        // Known wires before unknown ones, then cheap ones.
        let is_better = unknown < best.1 || unknown == best.1 && sum < best.0 - 1e-9;
        if is_tree && is_better {
            let feeders = (0..count).map(|node| Some(feeder(node)).filter(|from| *from != count));
            best = (sum, unknown, feeders.collect());
        }
    }
    best.2
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(root: &[f64], between: &[&[f64]]) -> Vec<Option<usize>> {
        let root: Vec<Option<f64>> = root.iter().map(|price| Some(*price)).collect();
        cheapest(&root, &|from, to| {
            Some(between[from][to]).filter(|price| price.is_finite())
        })
    }

    #[test]
    fn a_sub_near_another_is_fed_from_it() {
        // Source to either 10 and 11; 3 from one to the other: 13 by a chain, 21 without.
        let found = tree(&[10.0, 11.0], &[&[0.0, 3.0], &[3.0, 0.0]]);
        assert_eq!(found, [None, Some(0)]);
    }

    #[test]
    fn a_chain_does_not_close_on_itself() {
        // Each pair is nearly free; one of four must still come from the source, the cheapest.
        let near: &[f64] = &[0.1; 4];
        let found = tree(&[9.0, 8.0, 7.0, 9.0], &[near; 4]);
        assert_eq!(found.iter().filter(|from| from.is_none()).count(), 1);
        assert_eq!(found[2], None);
    }

    #[test]
    fn no_output_means_a_wire_for_each() {
        let none: &[f64] = &[f64::INFINITY; 3];
        assert_eq!(tree(&[1.0, 2.0, 3.0], &[none; 3]), [None; 3]);
    }

    #[test]
    fn a_wire_that_is_known_is_taken_before_one_that_is_not() {
        let root = [Some(5.0), None];
        let found = cheapest(&root, &|from, to| (from == 0 && to == 1).then_some(50.0));
        assert_eq!(found, [None, Some(0)]);
    }
}
