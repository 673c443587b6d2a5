//! Does what controls the house reach each thing that an activity uses?

use analysis::{Analysis, Known, Means, Missing, Source, item_label};
use model::{CableUse, Control, Item, PortKind};

use crate::controlled::{controllers, reach};
use crate::hops::further_lead;
use crate::playing::Playing;
use crate::whole::complete;
use crate::{Area, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "control-reach",
    area: Area::Signal,
    proves: "Each thing that an activity switches is reached by a way of control that it accepts, through the door that it stands behind.",
    matters: "The button starts half of it: the player behind the cupboard's door never hears the remote.",
    formula: "Network: a network cable ends at it, and something sends over the network. Serial, trigger and infrared by wire: such a cable ends at it. Infrared through the air: a sender in the same space, and neither behind doors of wood or steel. Radio: not behind doors of steel. The first that holds, in this order, reaches it.",
    source: Source::CommonPractice,
    when_it_fails: "Lay an infrared lead or a network cable to it, or hang a door of glass.",
    limits: &[],
    published: &[],
    run: Run::House(run),
};

fn run(analysis: &Analysis) -> Vec<Finding> {
    let mut used: Vec<&Item> = Vec::new();
    for (_, playing) in Playing::all(analysis) {
        for item in (playing.iter()).flat_map(|playing| playing.devices(analysis)) {
            if used.iter().all(|known| known.id != item.id) {
                used.push(item);
            }
        }
    }
    if !used.is_empty() && controllers(analysis).next().is_none() {
        // One question for the house, not one for each thing.
        let subject = Subject::new("control", "control");
        let missing = Missing::new(
            "what controls the kit: an item whose catalogue entry `sends` infrared, network or radio",
            "item",
            Means::Decide,
        );
        return vec![CHECK.about_house(subject, || Err(missing))];
    }
    (used.into_iter())
        .map(|item| CHECK.about_house(Subject::item(item), || decide(analysis, item)))
        .collect()
}

fn decide(analysis: &Analysis, item: &Item) -> Known<Outcome> {
    let reach = reach(analysis, item)?;
    let label = item_label(item);
    let accepts: Vec<&str> = reach.accepts.iter().map(|way| way.words()).collect();
    let accepts = match accepts.as_slice() {
        [] => "nothing".to_owned(),
        ways => ways.join(", "),
    };
    let door = match reach.behind {
        Some((holder, _)) => format!("behind the doors of {} ", item_label(holder)),
        None => String::new(),
    };
    let sentence = match &reach.by {
        Some(by) => format!("{label} {door}is reached by {by}."),
        None => format!("{label} {door}accepts {accepts}, and nothing reaches it that way."),
    };
    let outcome = complete(usize::from(reach.by.is_some()), 1, CHECK.source.clone());
    Ok(outcome
        .because(sentence)
        .remedy(infrared(analysis, item, reach.accepts))
        .remedy(network(analysis, item, reach.accepts)))
}

/// An infrared lead from a sender that has a port for it.
fn infrared(analysis: &Analysis, item: &Item, accepts: &[Control]) -> Option<Remedy> {
    if !accepts.contains(&Control::Infrared) {
        return None;
    }
    let (says, edit) = controllers(analysis)
        .filter(|(sender, sends)| sends.contains(&Control::Infrared) && sender.id != item.id)
        .find_map(|(sender, _)| {
            let ends = [sender, item];
            further_lead(
                analysis,
                ends,
                CableUse::Control,
                PortKind::Infrared,
                |_| true,
            )
        })?;
    Some(Remedy::new(format!("Lay a {says}."), vec![edit]))
}

/// A network cable from a switch with a free port.
fn network(analysis: &Analysis, item: &Item, accepts: &[Control]) -> Option<Remedy> {
    let sent = controllers(analysis).any(|(_, sends)| sends.contains(&Control::Network));
    if !accepts.contains(&Control::Network) || !sent {
        return None;
    }
    let is_switch = |other: &&Item| {
        other.id != item.id
            && analysis.kit_of(other).is_some_and(|kit| {
                let network = kit.common().port.iter();
                let sockets: u32 = network
                    .filter(|port| port.kind == PortKind::Network)
                    .map(|port| port.count.unwrap_or(1))
                    .sum();
                sockets > 2
            })
    };
    let (says, edit) = analysis.items().filter(is_switch).find_map(|switch| {
        let ends = [switch, item];
        further_lead(analysis, ends, CableUse::Network, PortKind::Network, |_| {
            true
        })
    })?;
    Some(Remedy::new(format!("Lay a {says}."), vec![edit]))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::super::activity_path::{TO_TV, house};
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn controlled(doors: &str) -> String {
        let more = format!(
            r#"{TO_TV}
[[kit.cupboard]]
id = "cupboard-k1"
{doors}
[[kit.device]]
id = "hub-h1"
sends = ["infrared", "network"]
port = [{{ id = "ir", kind = "infrared", direction = "out", count = 2 }}, {{ id = "lan", kind = "network" }}]
[[kit.device]]
id = "switch-n5"
port = [{{ id = "lan", kind = "network", count = 5 }}]
[[kit.cable]]
id = "control-c1"
name = "control lead"
carries = "control"
[[kit.cable]]
id = "network-c6"
name = "network cable"
carries = "network"
[[item]]
id = "cupboard"
is = "cupboard-k1"
at = {{ from = ["north", "1 m"], and = ["west", "1 m"] }}
[[item]]
id = "hub"
is = "hub-h1"
space = "den"
[[item]]
id = "switch"
is = "switch-n5"
in = "cupboard"
[[cable]]
id = "N"
kind = "network-c6"
from = "switch.lan-1"
to = "receiver"
"#
        );
        house(&more)
            .replace("is = \"player-d1\"", "is = \"player-d1\"\nin = \"cupboard\"")
            .replace("is = \"display-t4\"", "is = \"display-t4\"\nspace = \"den\"")
            .replace("id = \"player-d1\"\nport = [", "id = \"player-d1\"\ncontrol = [\"infrared\", \"network\"]\nport = [{ id = \"lan\", kind = \"network\" }, { id = \"ir\", kind = \"infrared\", direction = \"in\" }, ")
            .replace("id = \"receiver-a7\"", "id = \"receiver-a7\"\ncontrol = [\"network\"]")
            .replace("id = \"display-t4\"", "id = \"display-t4\"\ncontrol = [\"infrared\"]")
            .replace("direction = \"in\", count = 2 },\n  { id = \"out\"", "direction = \"in\", count = 2 },\n  { id = \"lan\", kind = \"network\" },\n  { id = \"out\"")
            .replace("to = \"receiver\"\n", "to = \"receiver.lan\"\n")
    }

    #[test]
    fn a_wooden_door_shuts_infrared_out_and_each_remedy_mends_it() {
        let text = controlled("doors = \"solid\"");
        let found = findings(&CHECK, &text);
        expect![[r#"
            player: fails -1.000: player behind the doors of cupboard accepts infrared, network, and nothing reaches it that way.
            receiver: fits +0.500: receiver is reached by network.
            tv: fits +0.500: tv is reached by infrared from hub.
        "#]]
        .assert_eq(&told(&found));
        let says: Vec<&str> = found[0]
            .remedies
            .iter()
            .map(|one| one.says.as_str())
            .collect();
        assert_eq!(
            says,
            [
                "Lay a control lead from hub.ir-1 to player.ir.",
                "Lay a network cable from switch.lan-2 to player.lan."
            ]
        );
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
        }
    }

    #[test]
    fn glass_and_open_doors_let_it_through() {
        for doors in ["doors = \"glass\"", ""] {
            let found = findings(&CHECK, &controlled(doors));
            assert_eq!(found[0].verdict, Verdict::Fits, "{doors}");
        }
    }

    #[test]
    fn what_is_not_known_is_asked_once() {
        let found = findings(&CHECK, &house(TO_TV));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].needs[0].at, "item");
        let found = findings(
            &CHECK,
            &controlled("").replace("control = [\"infrared\"]\n", ""),
        );
        assert_eq!(found[2].needs[0].at, "kit.display.display-t4.control");
    }
}
