//! Has each switch a port for every cable, and the network an address for every thing?

use analysis::{Analysis, Known, Means, Missing, Source, item_label};
use model::{CableUse, Item, Network, PortKind, cable_end};

use crate::runs::kit_of;
use crate::whole::counted;
use crate::{Area, Check, Finding, Outcome, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "network-ports",
    area: Area::Signal,
    proves: "Each thing on the network has ports for all its cables, and there is an address for each of them.",
    matters: "The last cable finds no port on the evening of the hand-over, or two things answer to one address.",
    formula: "c ≤ C for each thing, c: network cables that end at it, C: its network ports; n ≤ N, n: things that a network cable ends at, N: addresses from the first to the last of the site's network.",
    source: Source::SpecSheet,
    when_it_fails: "Take a larger switch, or set a second one beside it; widen the range of addresses.",
    limits: &[],
    published: &[],
    run: Run::House(run),
};

/// Things that a network cable ends at, in the order of the job.
pub(crate) fn on_network(analysis: &Analysis) -> Vec<(&Item, usize)> {
    let count = |item: &Item| {
        (analysis.cables_at(&item.id))
            .filter(|cable| {
                kit_of(analysis, cable).is_some_and(|kit| kit.carries == CableUse::Network)
            })
            .map(|cable| {
                let ends = [&cable.from, &cable.to].map(|end| cable_end(end).0);
                ends.iter().filter(|id| **id == item.id).count()
            })
            .sum::<usize>()
    };
    (analysis.items_anywhere())
        .map(|item| (item, count(item)))
        .filter(|(_, count)| *count > 0)
        .collect()
}

/// The addresses that the site gives to the kit, in order.
pub(crate) fn addresses(network: &Network) -> Option<Vec<String>> {
    let first = Network::address(&network.first)?;
    let last = Network::address(&network.last)?;
    let [a, b, c, from] = first;
    Some(
        (from..=last[3])
            .map(|end| format!("{a}.{b}.{c}.{end}"))
            .collect(),
    )
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let things = on_network(analysis);
    let mut findings: Vec<Finding> = (things.iter())
        .filter(|(_, used)| *used > 1)
        .map(|(item, used)| {
            CHECK.about_house(Subject::item(item), || decide_ports(analysis, item, *used))
        })
        .collect();
    let network = analysis.site().and_then(|site| site.network.as_ref());
    if let Some(network) = network.filter(|_| !things.is_empty()) {
        let subject = Subject::new("site.network", "network addresses");
        findings.push(CHECK.about_house(subject, || decide_addresses(network, things.len())));
    }
    findings
}

fn decide_ports(analysis: &Analysis, item: &Item, used: usize) -> Known<Outcome> {
    let kit = analysis.kit_of(item);
    let ports = kit.map_or(&[][..], |kit| kit.common().port.as_slice());
    let most: u32 = (ports.iter())
        .filter(|port| port.kind == PortKind::Network)
        .map(|port| port.count.unwrap_or(1))
        .sum();
    if ports.is_empty() {
        let kind = kit.map_or("device", model::Kit::kind);
        return Err(Missing::new(
            format!("the number of network ports of {}", item.is),
            format!("kit.{kind}.{}.port", item.is),
            Means::SpecSheet,
        ));
    }
    let sentence = format!(
        "{} network cables end at {}, which has {most} ports for them.",
        used,
        item_label(item)
    );
    Ok(counted(used, most as usize, Source::SpecSheet).because(sentence))
}

fn decide_addresses(network: &Network, things: usize) -> Known<Outcome> {
    let most = addresses(network).map_or(0, |addresses| addresses.len());
    let sentence = format!(
        "{things} things are on the network, and {} to {} are {most} addresses.",
        network.first, network.last
    );
    let source = Source::Derived {
        from: "the range of addresses",
    };
    Ok(counted(things, most, source).because(sentence))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    fn house(ports: &str, last: &str) -> String {
        let mut text = format!(
            r#"
[site.network]
first = "192.168.20.40"
last = "192.168.20.{last}"
[[kit.device]]
id = "switch-n2"
{ports}
[[kit.device]]
id = "box"
[[kit.cable]]
id = "network-c6"
carries = "network"
[[item]]
id = "switch"
is = "switch-n2"
"#
        );
        for number in 1..=2 {
            text += &format!(
                "[[item]]\nid = \"box-{number}\"\nis = \"box\"\n[[cable]]\nid = \"N{number}\"\nkind = \"network-c6\"\nfrom = \"switch\"\nto = \"box-{number}\"\n"
            );
        }
        text
    }

    #[test]
    fn every_port_and_every_address_may_be_used() {
        let two = "port = [{ id = \"lan\", kind = \"network\", count = 2 }]";
        expect![[r#"
            switch: fits +0.500: 2 network cables end at switch, which has 2 ports for them.
            network addresses: fits +0.500: 3 things are on the network, and 192.168.20.40 to 192.168.20.42 are 3 addresses.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &house(two, "42"))));
        let one = two.replace("count = 2", "count = 1");
        let found = findings(&CHECK, &house(&one, "41"));
        assert!(found.iter().all(|one| one.verdict == Verdict::Fails));
    }

    #[test]
    fn ports_that_are_not_known_are_asked_for() {
        let found = findings(&CHECK, &house("", "42"));
        assert_eq!(found[0].needs[0].at, "kit.device.switch-n2.port");
    }
}
