//! Does every cable end in a port that is there, free and made for it, and does no signal come
//! back to where it started?

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::names::Names;
use super::{Pointer, Sense};
use crate::read::shown;
use crate::{Cable, CableKit, Common, Kit, Network, Port, PortDirection, PortKind, cable_end};

/// Ports alike that a thing may have.
const ALIKE_MAX: u32 = 256;

impl<'a> Sense<'a> {
    /// Ports of the catalogue: named once, and some of them.
    pub(super) fn ports(&mut self) {
        for kit in self.job.kit.all() {
            let path = format!("kit.{}.{}.port", kit.kind(), kit.common().id);
            let mut seen = HashSet::new();
            for (index, port) in kit.common().port.iter().enumerate() {
                if !port
                    .count
                    .is_none_or(|count| (1..=ALIKE_MAX).contains(&count))
                {
                    self.found.report(
                        format!("{path}.{index}.count"),
                        format!("there can't be {} ports", port.count.unwrap_or_default()),
                        format!("a number from 1 to {ALIKE_MAX}, or none for a single port"),
                    );
                    continue;
                }
                for name in port.names() {
                    if !seen.insert(name.clone()) {
                        self.found.report(
                            format!("{path}.{index}.id"),
                            format!("a port `{}` is there already", shown(&name)),
                            "a name of its own for each port of a thing",
                        );
                        break;
                    }
                }
            }
        }
    }

    /// Each end of each cable in its port.
    pub(super) fn cable_ports(&mut self) {
        let job = self.job;
        // A thing of the catalogue by its id: long lists of cables ask for few.
        let kits: HashMap<&str, Kit<'a>> = (job.kit.all())
            .map(|kit| (kit.common().id.as_str(), kit))
            .collect();
        let cable_kits: HashMap<&str, &CableKit> = (job.kit.cable.iter())
            .map(|kit| (kit.common.id.as_str(), kit))
            .collect();
        let mut taken: HashMap<&str, &str> = HashMap::new();
        for cable in &job.cable {
            let cable: &'a Cable = cable;
            let carries = (cable_kits.get(cable.kind.as_str())).map(|kit| kit.carries);
            let mut directions = [None; 2];
            for (which, (field, end)) in [("from", &cable.from), ("to", &cable.to)]
                .into_iter()
                .enumerate()
            {
                let (item, Some(name)) = cable_end(end) else {
                    continue;
                };
                let common = (self.known.items.get(item))
                    .and_then(|item| kits.get(item.is.as_str()))
                    .map(|kit| kit.common());
                let Some(common) = common.filter(|common| !common.port.is_empty()) else {
                    continue;
                };
                let at = format!("cable.{}.{field}", cable.id);
                let Some(port) = common.port.iter().find(|port| port.is_named(name)) else {
                    self.no_such_port(at, item, name, common);
                    continue;
                };
                directions[which] = port.direction;
                if let Some(carries) = carries
                    && !port.kind.takes(carries)
                {
                    self.found.report(
                        at,
                        format!(
                            "`{}` is a {} port, which this kind of cable does not fit",
                            shown(end),
                            port.kind.words()
                        ),
                        "a port for what the cable carries",
                    );
                    continue;
                }
                // Two loudspeakers may be wired to one pair of terminals.
                let first = taken.entry(end).or_insert(&cable.id);
                if *first != cable.id && port.kind != PortKind::Loudspeaker {
                    let message = format!("`{}` is taken by cable `{}`", shown(end), shown(first));
                    self.found
                        .report(at, message, free_ports(common, port, item, &taken));
                }
            }
            if let [Some(from), Some(to)] = directions
                && from == to
            {
                let word = match from {
                    PortDirection::In => "inputs",
                    PortDirection::Out => "outputs",
                };
                self.found.report(
                    format!("cable.{}.to", cable.id),
                    format!("both ends of `{}` are {word}", shown(&cable.id)),
                    "one output and one input",
                );
            }
        }
    }

    fn no_such_port(&mut self, at: String, item: &str, name: &str, common: &Common) {
        let names: Vec<String> = common.port.iter().flat_map(Port::names).collect();
        let names: Names = names.iter().map(String::as_str).collect();
        let what = format!("port of `{item}` called");
        // The pointer replaces the whole text, which begins with the item.
        if !names.contains(name) {
            let accepted: Vec<String> = (names.list().iter())
                .map(|name| format!("`{item}.{name}`"))
                .collect();
            self.found.report(
                at,
                format!("there is no {what} `{}`", shown(name)),
                accepted.join(", "),
            );
        }
    }

    /// No picture is sent round in a ring.
    pub(super) fn signal_loops(&mut self) {
        let job = self.job;
        for signal in job.signal.iter() {
            let mut seen = HashSet::new();
            for (index, id) in signal.through.iter().enumerate() {
                if !seen.insert(id) {
                    self.found.report(
                        format!("signal.{}.through.{index}", signal.id),
                        format!("the signal comes back to `{}`: a loop", shown(id)),
                        "each item once, from the source to the picture",
                    );
                }
            }
        }
        for activity in job.activity.iter() {
            let mut seen = HashSet::new();
            for (index, id) in activity.sound.iter().enumerate() {
                if !seen.insert(id) {
                    self.found.report(
                        format!("activity.{}.sound.{index}", activity.id),
                        format!("the sound comes back to `{}`: a loop", shown(id)),
                        "each item once, from the source to what drives the loudspeakers",
                    );
                }
            }
        }
        // Video leads whose ports say which way the picture goes.
        let mut next: BTreeMap<&str, BTreeSet<(&str, &str)>> = BTreeMap::new();
        for cable in &job.cable {
            let ends = [&cable.from, &cable.to].map(|end| cable_end(end));
            let ways = ends.map(|(item, port)| {
                let item = self.known.items.get(item)?;
                let kit = job.kit_of(item)?;
                let name = port?;
                let port = (kit.common().port.iter()).find(|one| one.is_named(name))?;
                (port.kind == PortKind::Video).then_some(port.direction?)
            });
            let [from, to] = ends.map(|(item, _)| item);
            let (from, to) = match ways {
                [Some(PortDirection::Out), Some(PortDirection::In)] => (from, to),
                [Some(PortDirection::In), Some(PortDirection::Out)] => (to, from),
                _ => continue,
            };
            next.entry(from).or_default().insert((to, &cable.id));
        }
        if let Some((cable, ring)) = ring(&next) {
            self.found.report(
                format!("cable.{cable}.to"),
                format!(
                    "the picture comes back to where it started: {}",
                    ring.join(", ")
                ),
                "leads that go from sources to pictures, and never back",
            );
        }
    }

    pub(super) fn activities(&mut self) {
        let job = self.job;
        let signals: Names = job.signal.iter().map(|signal| signal.id.as_str()).collect();
        let activities: Names = (job.activity.iter())
            .map(|activity| activity.id.as_str())
            .collect();
        for activity in job.activity.iter() {
            let path = format!("activity.{}", activity.id);
            for (index, zone) in activity.zones.iter().enumerate() {
                let pointer = Pointer::new(format!("{path}.zones.{index}"), "zone", zone);
                self.found.unless_known(pointer, &self.known.zone);
            }
            if let Some(signal) = &activity.picture {
                let pointer = Pointer::new(format!("{path}.picture"), "signal", signal);
                self.found.unless_known(pointer, &signals);
            }
            for (index, item) in activity.sound.iter().enumerate() {
                let pointer = Pointer::new(format!("{path}.sound.{index}"), "item", item);
                self.found.unless_known(pointer, &self.known.item);
            }
            for (index, other) in activity.together.iter().enumerate() {
                let at = format!("{path}.together.{index}");
                self.found
                    .unless_known(Pointer::new(at, "activity", other), &activities);
            }
        }
        if let Some(network) = job.site.as_ref().and_then(|site| site.network.as_ref()) {
            let mut read = |field: &str, text: &str| {
                let address = Network::address(text);
                if address.is_none() {
                    self.found.report(
                        format!("site.network.{field}"),
                        format!("`{}` is no address", shown(text)),
                        "four numbers from 0 to 255, such as `192.168.20.40`",
                    );
                }
                address
            };
            let first = read("first", &network.first);
            let last = read("last", &network.last);
            if let (Some(first), Some(last)) = (first, last)
                && (first[..3] != last[..3]
                    || first[3] > last[3]
                    || first[3] == 0
                    || last[3] == 255)
            {
                self.found.report(
                    "site.network.last",
                    format!("{} to {} is no range of addresses", network.first, network.last),
                    "an address with the same first three numbers, not before the first; 1 to 254 at the end",
                );
            }
        }
    }
}

/// The free ports of this kind, as a cable's end would name them.
fn free_ports(common: &Common, like: &Port, item: &str, taken: &HashMap<&str, &str>) -> String {
    let names = (common.port.iter())
        .filter(|port| (port.kind, port.direction) == (like.kind, like.direction))
        .flat_map(Port::names)
        .map(|name| format!("{item}.{name}"))
        .filter(|end| !taken.contains_key(end.as_str()));
    let free: Vec<String> = names.map(|end| format!("`{end}`")).collect();
    match free.as_slice() {
        [] => format!(
            "nothing: each {} port of `{item}` is taken",
            like.kind.words()
        ),
        _ => free.join(", "),
    }
}

/// A ring of steps, with the last one's name.
fn ring<'a>(
    next: &BTreeMap<&'a str, BTreeSet<(&'a str, &'a str)>>,
) -> Option<(&'a str, Vec<&'a str>)> {
    // What nothing comes to, or what leads nowhere, is in no ring: taken away until none is left.
    let mut left: BTreeMap<&str, BTreeSet<(&str, &str)>> = next.clone();
    loop {
        let before = left.len();
        let from: BTreeSet<&str> = left.keys().copied().collect();
        for targets in left.values_mut() {
            targets.retain(|(to, _)| from.contains(to));
        }
        left.retain(|_, targets| !targets.is_empty());
        if left.len() == before {
            break;
        }
    }
    let start = *left.keys().next()?;
    let mut walked: Vec<&str> = vec![start];
    loop {
        let here = walked.last().copied()?;
        let (to, cable) = *left.get(here)?.iter().next()?;
        if let Some(at) = walked.iter().position(|one| *one == to) {
            let mut ring = walked.split_off(at);
            ring.push(to);
            return Some((cable, ring));
        }
        walked.push(to);
    }
}

#[cfg(test)]
mod tests {
    use crate::read;

    const KIT: &str = r#"
format = 1
[job]
name = "Ports"
[[kit.device]]
id = "player-v2"
port = [{ id = "out", kind = "video", direction = "out" }, { id = "in", kind = "video", direction = "in" }]
[[kit.device]]
id = "switch-n1"
port = [{ id = "lan", kind = "network", count = 2 }]
[[kit.display]]
id = "display-d1"
port = [
  { id = "in", kind = "video", direction = "in", count = 2 },
  { id = "out", kind = "video", direction = "out" },
  { id = "lan", kind = "network" },
]
[[kit.cable]]
id = "video"
carries = "video"
[[item]]
id = "player"
is = "player-v2"
[[item]]
id = "tv"
is = "display-d1"
[[item]]
id = "switch"
is = "switch-n1"
"#;

    /// What is wrong, each problem in a line: place, message, what would do.
    fn wrong(text: &str) -> Vec<String> {
        match read(&format!("{KIT}{text}"), &[]) {
            Ok(_) => Vec::new(),
            Err(problems) => (problems.iter())
                .map(|one| format!("{}: {}: {}", one.at, one.message, one.accepted))
                .collect(),
        }
    }

    fn lead(id: &str, from: &str, to: &str) -> String {
        format!("[[cable]]\nid = \"{id}\"\nkind = \"video\"\nfrom = \"{from}\"\nto = \"{to}\"\n")
    }

    #[test]
    fn a_port_that_is_there_and_free_is_taken() {
        assert!(wrong(&lead("A", "player.out", "tv.in-1")).is_empty());
        assert!(wrong(&lead("A", "player", "tv")).is_empty());
    }

    #[test]
    fn a_port_that_is_not_there_is_told_with_those_that_are() {
        assert_eq!(
            wrong(&lead("A", "player.out", "tv.in")),
            [
                "cable.A.to: there is no port of `tv` called `in`: `tv.in-1`, `tv.in-2`, `tv.out`, `tv.lan`"
            ]
        );
    }

    #[test]
    fn a_taken_port_is_told_with_those_that_are_free() {
        let text = lead("A", "player.out", "tv.in-1") + &lead("B", "switch", "tv.in-1");
        assert_eq!(
            wrong(&text),
            ["cable.B.to: `tv.in-1` is taken by cable `A`: `tv.in-2`"]
        );
    }

    #[test]
    fn a_cable_fits_its_port_and_goes_from_output_to_input() {
        assert_eq!(
            wrong(&lead("A", "player.out", "tv.lan")),
            [
                "cable.A.to: `tv.lan` is a network port, which this kind of cable does not fit: a port for what the cable carries"
            ]
        );
        assert_eq!(
            wrong(&lead("A", "player.out", "tv.out")),
            ["cable.A.to: both ends of `A` are outputs: one output and one input"]
        );
    }

    #[test]
    fn a_loop_is_told_where_it_closes() {
        let text = lead("A", "player.out", "tv.in-1") + &lead("B", "tv.out", "player.in");
        assert_eq!(
            wrong(&text),
            ["cable.A.to: the picture comes back to where it started: player, tv, player: leads that go from sources to pictures, and never back"]
                .map(|line| line.replace("cable.A", "cable.B"))
        );
        let signal = "[[signal]]\nid = \"film\"\nthrough = [\"player\", \"tv\", \"player\"]\nformat = \"1920x1080p60\"\n";
        assert_eq!(
            wrong(signal),
            [
                "signal.film.through.2: the signal comes back to `player`: a loop: each item once, from the source to the picture"
            ]
        );
    }

    #[test]
    fn addresses_are_a_range() {
        let network = |first: &str, last: &str| {
            wrong(&format!(
                "[site.network]\nfirst = \"{first}\"\nlast = \"{last}\"\n"
            ))
        };
        assert!(network("192.168.20.40", "192.168.20.60").is_empty());
        assert_eq!(network("192.168.20.400", "192.168.20.60").len(), 1);
        assert_eq!(network("192.168.20.40", "192.168.21.60").len(), 1);
        assert_eq!(network("192.168.20.40", "192.168.20.39").len(), 1);
    }
}
