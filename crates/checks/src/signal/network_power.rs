//! Does the network cable feed what hangs on it?

use analysis::{Analysis, Known, Means, Missing, Source, Uncertain, item_label};
use links::network::power_class_for;
use model::{Cable, Item, Kit, PortKind, cable_end};
use units::{Dimension, Watts};

use crate::hops::{Socket, socket};
use crate::{Area, Check, Finding, Outcome, Published, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "network-power",
    area: Area::Signal,
    proves: "Each thing that takes its power from a network cable is fed enough by the port at the other end, and each feeder has power for all of them together.",
    matters: "The access point on the ceiling restarts each time it has work to do, or the last one plugged in stays dark.",
    formula: "P_port ≥ P_class for each thing, and Σ P_class ≤ P_budget for each feeder. P_class: the least power that a feeder of the lowest class gives whose thing may draw as much as this one, W (class 3: 15.4 for 12.95; class 4: 30 for 25.5; class 6: 60 for 51; class 8: 90 for 71.3); the difference is lost in 100 m of cable.",
    source: Source::Published {
        work: "IEEE 802.3 clauses 33 and 145: powers by class",
    },
    when_it_fails: "Feed it from a port of a higher class, from an injector, or by its own supply.",
    limits: &[],
    published: &[
        Published {
            cite: "a device of 25.5 W asks for a port of 30 W (IEEE 802.3 clause 33, class 4)",
            computed: || class_w(25.5),
            expected: 30.0,
            tolerance: 0.0, // As printed.
            unit: "W",
        },
        Published {
            cite: "a device of 12.95 W asks for a port of 15.4 W (IEEE 802.3 clause 33, class 3)",
            computed: || class_w(12.95),
            expected: 15.4,
            tolerance: 0.0, // As printed.
            unit: "W",
        },
    ],
    run: Run::House(run),
};

fn class_w(device_w: f64) -> f64 {
    power_class_for(Watts(device_w)).map_or(f64::NAN, |class| class.source.0)
}

/// A thing that is fed, and the end at which it is.
struct Fed<'a> {
    socket: Socket<'a>,
    draws: Uncertain,
    /// The other end of its cable.
    feeder: &'a str,
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut fed = Vec::new();
    for cable in analysis.cables() {
        for (end, other) in [(&cable.from, &cable.to), (&cable.to, &cable.from)] {
            let Some(socket) = socket(analysis, end) else {
                continue;
            };
            if let Some(draws) = analysis.number(socket.port.draws.as_ref()) {
                fed.push(Fed {
                    socket,
                    draws,
                    feeder: other,
                });
            }
        }
    }
    for one in &fed {
        let subject = Subject::item(one.socket.item);
        findings.push(CHECK.about_house(subject, || decide_port(analysis, one)));
    }
    findings.extend(unfed(analysis));
    let mut feeders: Vec<&Item> = Vec::new();
    for one in &fed {
        let feeder = analysis.item_anywhere(cable_end(one.feeder).0);
        if let Some(feeder) = feeder.filter(|item| feeders.iter().all(|known| known.id != item.id))
        {
            feeders.push(feeder);
        }
    }
    for feeder in feeders {
        let subject = Subject::item(feeder);
        let subject = Subject::new(
            format!("{}+power", subject.id),
            format!("{}, power in all", subject.label),
        );
        findings.push(CHECK.about_house(subject, || decide_budget(analysis, feeder, &fed)));
    }
    findings
}

/// Things that draw from a network cable that the job does not list.
fn unfed(analysis: &Analysis) -> Vec<Finding> {
    let hangs = |item: &Item, name: &str| {
        let end = format!("{}.{name}", item.id);
        analysis
            .cables_at(&item.id)
            .any(|cable: &Cable| cable.from == end || cable.to == end)
    };
    let mut findings = Vec::new();
    for item in analysis.items_anywhere() {
        let Some(kit) = analysis.kit_of(item) else {
            continue;
        };
        let port = (kit.common().port.iter())
            .find(|port| port.kind == PortKind::Network && port.draws.is_some());
        if port.is_some_and(|port| !port.names().iter().any(|name| hangs(item, name))) {
            let missing = Missing::new(
                format!("the cable that feeds {}", item_label(item)),
                format!("item.{}", item.id),
                Means::Decide,
            );

            findings.push(CHECK.about_house(Subject::item(item), || Err(missing)));
        }
    }
    findings
}

fn needed(analysis: &Analysis, one: &Fed) -> Known<f64> {
    let class = power_class_for(Watts(one.draws.value()));
    class.map(|class| class.source.0).ok_or_else(|| {
        let kit = one.socket.kit;
        Missing::new(
            format!(
                "a supply for {}: no class feeds {} through a network cable",
                item_label(one.socket.item),
                analysis.print(&one.draws, Dimension::Power)
            ),
            format!(
                "kit.{}.{}.port.{}.draws",
                kit.kind(),
                kit.common().id,
                one.socket.port.id
            ),
            Means::Decide,
        )
    })
}

fn decide_port(analysis: &Analysis, one: &Fed) -> Known<Outcome> {
    let needed_w = needed(analysis, one)?;
    let (feeder, _) = cable_end(one.feeder);
    let ask = || {
        let kit = analysis
            .item_anywhere(feeder)
            .and_then(|item| analysis.kit_of(item));
        let (kind, id) = kit.map_or(("device", feeder), |kit| {
            (kit.kind(), kit.common().id.as_str())
        });
        Missing::new(
            format!("the power that the network port {} feeds", one.feeder),
            format!("kit.{kind}.{id}.port"),
            Means::SpecSheet,
        )
    };
    let fed_from = socket(analysis, one.feeder).ok_or_else(ask)?;
    // A port that says nothing of power feeds none.
    let feeds = (analysis.number(fed_from.port.feeds.as_ref())).unwrap_or_default();
    let watts = |power: f64| analysis.exact(power, Dimension::Power);
    let sentence = format!(
        "{} draws {}, which asks for a port of {}; {} feeds {}.",
        item_label(one.socket.item),
        analysis.print(&one.draws, Dimension::Power),
        watts(needed_w),
        fed_from.end,
        watts(feeds.value()),
    );
    let margin = &feeds - needed_w;
    let margin = if margin.value() >= 0.0 {
        margin + 0.5
    } else {
        margin
    };
    Ok(Outcome::with_margin(
        feeds,
        needed_w,
        margin,
        Dimension::Power,
        CHECK.source.clone(),
    )
    .because(sentence))
}

fn decide_budget(analysis: &Analysis, feeder: &Item, fed: &[Fed]) -> Known<Outcome> {
    let Some(Kit::Device(kit)) = analysis.kit_of(feeder) else {
        return Err(Missing::new(
            format!(
                "a device that feeds network cables: {} is none",
                item_label(feeder)
            ),
            format!("item.{}.is", feeder.id),
            Means::Decide,
        ));
    };
    let budget = analysis.number(kit.power_budget.as_ref()).ok_or_else(|| {
        Missing::new(
            format!("the power that all ports of {} feed together", feeder.is),
            format!("kit.device.{}.power_budget", feeder.is),
            Means::SpecSheet,
        )
    })?;
    let mut sum = 0.0;
    let mut names = Vec::new();
    for one in fed
        .iter()
        .filter(|one| cable_end(one.feeder).0 == feeder.id)
    {
        sum += needed(analysis, one)?;
        names.push(item_label(one.socket.item));
    }
    let sentence = format!(
        "{} feeds {} with {} in all, of {}.",
        item_label(feeder),
        names.join(", "),
        analysis.exact(sum, Dimension::Power),
        analysis.print(&budget, Dimension::Power),
    );
    let margin = &budget - sum;
    let margin = if margin.value() >= 0.0 {
        margin + 0.5
    } else {
        margin
    };
    Ok(Outcome::with_margin(
        Uncertain::exact(sum),
        budget.value(),
        margin,
        Dimension::Power,
        Source::SpecSheet,
    )
    .because(sentence))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    fn house(draws: &str, feeds: &str, budget: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "switch-n5"
{budget}
port = [{{ id = "lan", kind = "network", count = 5{feeds} }}]
[[kit.device]]
id = "point-w6"
port = [{{ id = "lan", kind = "network", draws = "{draws}" }}]
[[kit.cable]]
id = "network-c6"
carries = "network"
[[item]]
id = "switch"
is = "switch-n5"
[[item]]
id = "upstairs"
is = "point-w6"
[[item]]
id = "downstairs"
is = "point-w6"
[[cable]]
id = "N1"
kind = "network-c6"
from = "switch.lan-1"
to = "upstairs.lan"
[[cable]]
id = "N2"
kind = "network-c6"
from = "downstairs.lan"
to = "switch.lan-2"
"#
        )
    }

    #[test]
    fn two_of_class_four_ask_for_sixty_watts() {
        let found = findings(
            &CHECK,
            &house("25.5 W", ", feeds = \"30 W\"", "power_budget = \"60 W\""),
        );
        expect![[r#"
            upstairs: fits +0.500: upstairs draws 25.5 W, which asks for a port of 30 W; switch.lan-1 feeds 30 W.
            downstairs: fits +0.500: downstairs draws 25.5 W, which asks for a port of 30 W; switch.lan-2 feeds 30 W.
            switch, power in all: fits +0.500: switch feeds upstairs, downstairs with 60 W in all, of 60 W.
        "#]]
        .assert_eq(&told(&found));
        let found = findings(
            &CHECK,
            &house("25.6 W", ", feeds = \"30 W\"", "power_budget = \"59 W\""),
        );
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[2].verdict, Verdict::Fails);
    }

    #[test]
    fn a_port_that_says_nothing_of_power_feeds_none() {
        let found = findings(&CHECK, &house("10 W", "", "power_budget = \"60 W\""));
        assert_eq!(found[0].verdict, Verdict::Fails);
    }

    #[test]
    fn more_than_any_class_and_what_is_not_known() {
        let found = findings(&CHECK, &house("80 W", ", feeds = \"90 W\"", ""));
        assert_eq!(found[0].needs[0].at, "kit.device.point-w6.port.lan.draws");
        let found = findings(&CHECK, &house("10 W", ", feeds = \"30 W\"", ""));
        assert_eq!(found[2].needs[0].at, "kit.device.switch-n5.power_budget");
        let text = house("10 W", ", feeds = \"30 W\"", "power_budget = \"60 W\"")
            .replace("upstairs.lan", "downstairs");
        let found = findings(&CHECK, &text);
        let last = found.iter().find(|one| one.subject.id == "upstairs");
        assert_eq!(last.expect("asked").verdict, Verdict::Unknown);
    }
}
