//! Which thing is joined to which: things in columns from the sources on, and a line for the
//! cables of one kind between two of them.

use std::collections::{BTreeMap, BTreeSet};

use analysis::{Analysis, item_label};
use model::{CableUse, Kit};

use crate::LeadTold;

/// What is drawn as the one-line diagram.
#[derive(Clone, Debug, PartialEq)]
pub struct SignalDiagram {
    /// The things, in the order of their ids.
    pub boxes: Vec<SignalBox>,
    /// Cables of one kind between two boxes are one lead.
    pub leads: Vec<SignalLead>,
}

/// A thing, or the loudspeakers of a zone.
#[derive(Clone, Debug, PartialEq)]
pub struct SignalBox {
    /// The item, or `zone` and the zone's id.
    pub id: String,
    /// What stands in it.
    pub label: String,
    /// How many steps it is from a source.
    pub column: usize,
    /// The items that it stands for.
    pub items: Vec<String>,
}

/// A lead between two boxes, by their places in the list.
#[derive(Clone, Debug, PartialEq)]
pub struct SignalLead {
    /// Its cables, in the order of the job.
    pub cables: Vec<String>,
    /// Where its signal comes from.
    pub from: usize,
    /// Where it goes.
    pub to: usize,
    /// What stands at both ends; of a zone the loudspeakers that these cables end at.
    pub labels: [String; 2],
    /// What it carries, as it is drawn.
    pub carries: Carried,
}

/// What leads carry, as far as a diagram tells them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Carried {
    /// A loudspeaker's signal.
    Loudspeaker,
    /// Video with its sound.
    Video,
    /// Network and control, either way.
    Network,
    /// Line level, digital sound, antenna.
    Line,
}

impl Carried {
    /// The key's words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Loudspeaker => "loudspeaker",
            Self::Video => "video with its sound",
            Self::Line => "line, digital sound, antenna",
            Self::Network => "network and control",
        }
    }
}

impl From<CableUse> for Carried {
    fn from(carries: CableUse) -> Self {
        match carries {
            CableUse::Loudspeaker => Self::Loudspeaker,
            CableUse::Video => Self::Video,
            CableUse::Line | CableUse::Coax => Self::Line,
            CableUse::Network | CableUse::Control => Self::Network,
        }
    }
}

impl SignalLead {
    /// "W02", or "W02 … W07".
    pub fn words(&self) -> String {
        match self.cables.as_slice() {
            [first, .., last] => format!("{first} … {last}"),
            one => one.concat(),
        }
    }
}

/// The diagram of these leads.
pub fn signal_diagram(analysis: &Analysis, leads: &[LeadTold]) -> SignalDiagram {
    let node = |id: &str| zone_box(analysis, id).unwrap_or_else(|| id.to_owned());
    let mut lines: BTreeMap<(String, String, Carried), Vec<&LeadTold>> = BTreeMap::new();
    let mut items: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for lead in leads {
        let ends = (node(&lead.from), node(&lead.to), lead.carries.into());
        lines.entry(ends).or_default().push(lead);
        for id in [&lead.from, &lead.to] {
            let items = items.entry(node(id)).or_default();
            if !items.contains(id) {
                items.push(id.clone());
            }
        }
    }
    let mut depth: BTreeMap<&str, usize> = items.keys().map(|id| (id.as_str(), 0)).collect();
    // As often as there are things: a ring of network cables ends too.
    for _ in 0..depth.len() {
        for (from, to, carries) in lines.keys() {
            let next = depth[from.as_str()] + 1;
            let is_way = *carries != Carried::Network;
            if is_way && depth[to.as_str()] < next && next < depth.len() {
                depth.insert(to, next);
            }
        }
    }
    let names: Vec<&str> = depth.keys().copied().collect();
    let index = |id: &str| names.binary_search(&id).expect("every end has a box");
    SignalDiagram {
        boxes: (names.iter())
            .map(|id| SignalBox {
                id: (*id).to_owned(),
                label: label(analysis, id, items[*id].len()),
                column: depth[id],
                items: items[*id].clone(),
            })
            .collect(),
        leads: (lines.iter())
            .map(|((from, to, carries), told)| {
                let count = |end: fn(&LeadTold) -> &str| {
                    let items: BTreeSet<&str> = told.iter().map(|lead| end(lead)).collect();
                    items.len()
                };
                SignalLead {
                    cables: told.iter().map(|lead| lead.cable.clone()).collect(),
                    from: index(from),
                    to: index(to),
                    labels: [
                        label(analysis, from, count(|lead| &lead.from)),
                        label(analysis, to, count(|lead| &lead.to)),
                    ],
                    carries: *carries,
                }
            })
            .collect(),
    }
}

/// The box of the zone that a loudspeaker plays in; none for another thing.
fn zone_box(analysis: &Analysis, id: &str) -> Option<String> {
    let item = analysis.item(id)?;
    match analysis.kit_of(item)? {
        Kit::Loudspeaker(_) => Some(format!("zone {}", item.zone.as_deref()?)),
        _ => None,
    }
}

/// What stands in a box; of a zone so many loudspeakers as cables end at.
fn label(analysis: &Analysis, id: &str, count: usize) -> String {
    let Some(zone_id) = id.strip_prefix("zone ") else {
        return (analysis.item(id))
            .map_or_else(|| id.to_owned(), |item| item_label(item).to_owned());
    };
    let zone = analysis.zone(zone_id);
    let name = zone.map_or(id, |zone| zone.name.as_deref().unwrap_or(&zone.id));
    match count {
        1 => format!("{name}: one loudspeaker"),
        count => format!("{name}: {count} loudspeakers"),
    }
}

#[cfg(test)]
mod tests {
    use analysis::Analysis;

    use super::*;
    use crate::testing::{ROOM, job};

    fn lead(cable: &str, from: &str, to: &str, carries: CableUse) -> LeadTold {
        LeadTold {
            cable: cable.to_owned(),
            from: from.to_owned(),
            to: to.to_owned(),
            carries,
        }
    }

    #[test]
    fn columns_follow_the_signal_and_a_ring_of_network_cables_ends() {
        let analysis = Analysis::new(job(ROOM));
        let leads = [
            lead("W1", "player", "receiver", CableUse::Video),
            lead("W2", "receiver", "screen", CableUse::Video),
            lead("W3", "receiver", "screen", CableUse::Video),
            lead("W4", "screen", "player", CableUse::Network),
            lead("W5", "player", "screen", CableUse::Network),
        ];
        let diagram = signal_diagram(&analysis, &leads);
        let columns: Vec<_> = (diagram.boxes.iter())
            .map(|one| (one.id.as_str(), one.column))
            .collect();
        assert_eq!(columns, [("player", 0), ("receiver", 1), ("screen", 2)]);
        let words: Vec<String> = diagram.leads.iter().map(SignalLead::words).collect();
        assert_eq!(words, ["W1", "W5", "W2 … W3", "W4"]);
    }

    /// A zone of two loudspeakers and a sub.
    const ZONE: &str = r#"
[[kit.loudspeaker]]
id = "box"
[[zone]]
id = "film"
space = "den"
[[item]]
id = "left"
is = "box"
zone = "film"
[[item]]
id = "right"
is = "box"
zone = "film"
[[item]]
id = "sub"
is = "box"
zone = "film"
"#;

    #[test]
    fn a_zone_counts_the_loudspeakers_that_cables_end_at() {
        let analysis = Analysis::new(job(&format!("{ROOM}{ZONE}")));
        let mut leads = vec![
            lead("W1", "amp", "left", CableUse::Loudspeaker),
            lead("W2", "amp", "right", CableUse::Loudspeaker),
            // Both ways of one loudspeaker.
            lead("W3", "amp", "right", CableUse::Loudspeaker),
        ];
        let told = |leads: &[LeadTold]| {
            let diagram = signal_diagram(&analysis, leads);
            let zone = diagram.boxes.iter().find(|one| one.id == "zone film");
            let ends = diagram.leads.iter().map(|lead| lead.labels[1].clone());
            (
                zone.expect("it has a box").label.clone(),
                ends.collect::<Vec<String>>(),
            )
        };
        let two = "film: 2 loudspeakers".to_owned();
        assert_eq!(told(&leads), (two.clone(), vec![two.clone()]));
        // The sub's cable is of another kind: a line of its own to the same box.
        leads.push(lead("W4", "amp", "sub", CableUse::Line));
        let one = "film: one loudspeaker".to_owned();
        assert_eq!(
            told(&leads),
            ("film: 3 loudspeakers".to_owned(), vec![two, one])
        );
    }

    #[test]
    fn a_ring_of_signal_ends_too() {
        let analysis = Analysis::new(job(ROOM));
        let ring = [
            lead("W1", "a", "b", CableUse::Line),
            lead("W2", "b", "a", CableUse::Line),
        ];
        assert_eq!(signal_diagram(&analysis, &ring).leads.len(), 2);
    }
}
