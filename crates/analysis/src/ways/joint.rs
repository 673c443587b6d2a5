//! What would cables save that took another way for the holes of others?
//!
//! Each cable's printed way is the cheapest for itself. Where several are pulled it may pay that
//! one goes a little farther through holes that another needs anyway: all that may share are
//! planned together ([`routing::together`]) and held against the printed ways with their shared
//! holes drilled once. It is a hint, not a way: the crew decides, and the cable then keeps out of
//! what it went through.

use std::collections::BTreeMap;
use std::rc::Rc;

use model::Cable;
use routing::{Bars, End, Reckoning, Run, together};

use super::plan::Planned;
use super::told::{WaysTogether, minutes};
use crate::Analysis;

/// Less than this is not worth another way, s.
const WORTH_S: f64 = 60.0;

/// Cables of one plan.
struct Group<'a> {
    planned: Rc<Planned>,
    cables: Vec<&'a Cable>,
    ends: Vec<End>,
}

/// What one plan's cables would take together, s, and which would go another way, by what.
struct Joint {
    together_s: f64,
    others: Vec<String>,
}

impl Analysis {
    /// A sentence on what would be saved against the cables' own ways with shared holes drilled
    /// once; none where it is less than a minute. Searched on purpose, never inside a proof.
    pub fn joint_ways(&self, printed: &WaysTogether) -> Option<String> {
        let joints: Vec<Joint> = (self.groups().values())
            .map(|group| self.joint_of(group))
            .collect();
        let together_s: f64 = joints.iter().map(|joint| joint.together_s).sum();
        let others: Vec<String> = joints.into_iter().flat_map(|joint| joint.others).collect();
        let saves_s = printed.together_s - together_s;
        (saves_s > WORTH_S && !others.is_empty()).then(|| {
            format!(
                "Planned together they would take {} less by the shop's weights, with {}, where others are drilled through anyway.",
                minutes(saves_s),
                others.join("; ")
            )
        })
    }

    /// Every cable that is pulled, by the spaces of its plan.
    fn groups(&self) -> BTreeMap<Vec<usize>, Group<'_>> {
        let mut groups: BTreeMap<Vec<usize>, Group<'_>> = BTreeMap::new();
        for cable in self.cables() {
            let is_pulled = cable.existing.is_none() && cable.legs.is_empty();
            let found = self.route(cable).is_ok_and(|route| route.work.is_some());
            let items = self.held_at(&cable.from).zip(self.held_at(&cable.to));
            let Some((from, to)) = items.filter(|_| is_pulled && found) else {
                continue;
            };
            let Ok(ends) = self.ends(cable, [from, to]) else {
                continue;
            };
            let group = groups.entry(ends.planned.spaces.clone());
            let group = group.or_insert_with(|| Group {
                planned: Rc::clone(&ends.planned),
                cables: Vec::new(),
                ends: Vec::new(),
            });
            group.cables.push(cable);
            group.ends.extend(ends.ends);
        }
        groups
    }

    fn joint_of(&self, group: &Group<'_>) -> Joint {
        let (graph, nodes) = group.planned.graph.with_ends(&group.ends);
        let weights = self.weights();
        let bars: Vec<Bars> = (group.cables.iter())
            .map(|cable| self.bars(&group.planned, cable, cable.way))
            .collect();
        let runs: Vec<Run<'_>> = (nodes.chunks(2).zip(&bars))
            .map(|(nodes, bars)| Run {
                ends: [nodes[0], nodes[1]],
                by: Reckoning::new(&weights, bars),
            })
            .collect();
        let found = together(&graph, &runs);
        let ways = group.cables.iter().zip(&runs).zip(&found.routes);
        let others = ways.filter_map(|((cable, run), way)| {
            let way = way.as_ref()?;
            let steps = way.steps.iter().filter_map(|step| run.by.price(&step.by));
            let printed = self.route(cable).ok()?.work.as_ref()?;
            // By itself the printed way is the cheapest: a dearer one is taken for its holes.
            if steps.sum::<f64>() < printed.price_s + 1.0 {
                return None;
            }
            let mut through: Vec<String> = Vec::new();
            for hole in way.each_hole() {
                let words = self.obstacle_words(&group.planned, hole.obstacle);
                if !through.contains(&words) {
                    through.push(words);
                }
            }
            (!through.is_empty()).then(|| format!("{} through {}", cable.id, through.join(", ")))
        });
        Joint {
            together_s: found.price_s,
            others: others.collect(),
        }
    }
}
