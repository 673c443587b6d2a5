//! A house's racks, mains circuits, signal diagram, buttons and cut-outs.

use std::collections::BTreeMap;

use analysis::Analysis;
use checks::{
    ActivityTold, Carried, CircuitTold, CutOutTold, Finding, RackTold, SignalDiagram, StepTold,
    Verdict as Checked,
};
use drawing::{Area, LineBox, LineLead, OneLine, RouteDash, Scales};
use schemars::JsonSchema;
use serde::Serialize;
use units::Dimension;

use crate::words::capital;
use crate::{Drawn, Verdict, findings::key};

/// What is wired, racked and cut in a house.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Wiring {
    /// Racks with units.
    pub racks: Vec<Rack>,
    /// Mains circuits.
    pub circuits: Vec<CircuitLoad>,
    /// Which thing is joined to which; null where nothing is.
    pub diagram: Option<Diagram>,
    /// What each button does.
    pub buttons: Vec<ButtonDoes>,
    /// What is on the network.
    pub network: Vec<OnNetwork>,
    /// Holes for what is let into walls and ceilings.
    pub cut_outs: Vec<CutOut>,
}

/// Something that a drawing or a list names, and where to look for it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Named {
    /// Its id in the document.
    pub id: String,
    /// Its name.
    pub label: String,
    /// The space that it is in; null where it is in none.
    pub space: Option<String>,
    /// The worst verdict about it; null where nothing is said of it.
    pub verdict: Option<Verdict>,
    /// The key of the finding with that verdict.
    pub finding: Option<String>,
}

/// A rack.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Rack {
    /// The rack.
    pub rack: Named,
    /// How many units it has.
    pub slots: u32,
    /// What stands in it, from the top.
    pub things: Vec<Racked>,
    /// Names of what is inside and has no unit yet.
    pub loose: Vec<String>,
    /// How warm it gets inside, everything running.
    pub heat: Vec<RackHeat>,
}

/// A thing in a rack.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Racked {
    /// The thing.
    pub thing: Named,
    /// Mass and heat, as far as they are known.
    pub facts_text: String,
    /// Its lowest unit, from 1 at the bottom.
    pub slot: u32,
    /// Its height in units.
    pub units: u32,
}

/// A state of a rack's doors and air.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RackHeat {
    /// The state.
    pub says: String,
    /// Air inside.
    pub inside_text: String,
    /// The lowest rating inside, and of what; null where none is known.
    pub lowest_text: Option<String>,
    /// What is left to that rating.
    pub spare_text: Option<String>,
}

/// A mains circuit and its load.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CircuitLoad {
    /// The circuit.
    pub circuit: Named,
    /// What is on it, what was there already first.
    pub parts: Vec<CircuitLoadPart>,
    /// All that is known to be on it, W.
    pub load_w: f64,
    /// What it may carry for hours, W; null where breaker or mains are not known.
    pub most_w: Option<f64>,
    /// Load and limit in words.
    pub load_text: String,
    /// What is not known.
    pub missing: Option<String>,
}

/// A part of a circuit's load.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CircuitLoadPart {
    /// The thing; null for what was there already.
    pub thing: Option<Named>,
    /// Its name.
    pub label: String,
    /// Its power, W; null where no sheet states it.
    pub watts: Option<f64>,
    /// The same in words.
    pub watts_text: String,
}

/// The one-line diagram.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Diagram {
    /// Its lines and words.
    pub drawn: Drawn,
    /// What its boxes are.
    pub boxes: Vec<DiagramBox>,
    /// What its lines are.
    pub leads: Vec<DiagramLead>,
}

/// A box of the diagram.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DiagramBox {
    /// Its id in the drawing.
    pub id: String,
    /// What stands in it.
    pub label: String,
    /// What it stands for: a thing, or the loudspeakers of a zone.
    pub things: Vec<Named>,
}

/// A line of the diagram.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DiagramLead {
    /// Its id in the drawing.
    pub id: String,
    /// Where its signal comes from and goes to, in words.
    pub from: String,
    /// Where it goes.
    pub to: String,
    /// What it carries, in words.
    pub carries: &'static str,
    /// Its cables.
    pub cables: Vec<Named>,
}

/// What one button does.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ButtonDoes {
    /// The activity.
    pub activity: Named,
    /// The zones that play.
    pub zones: Vec<String>,
    /// What must be decided first.
    pub missing: Option<String>,
    /// The picture's way, a phrase a step; empty where nothing is watched.
    pub picture: Vec<String>,
    /// The sound's way.
    pub sound: Vec<String>,
    /// What is set, in this order.
    pub steps: Vec<ButtonStep>,
    /// Other activities that can't be had at the same time, each with why.
    pub not_with: Vec<String>,
}

/// One thing that a button sets.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ButtonStep {
    /// The thing.
    pub thing: Named,
    /// Whether it is switched on; off else.
    pub is_on: bool,
    /// The input that it is set to; null for a source.
    pub input: Option<String>,
    /// How it is reached; null where nothing reaches it.
    pub by: Option<String>,
}

/// A thing on the network.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OnNetwork {
    /// The thing.
    pub thing: Named,
    /// Its address; null where the site states no range, or the range is used up.
    pub address: Option<String>,
    /// Network cables that end at it.
    pub cables: usize,
}

/// A kind's cut-out.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CutOut {
    /// The catalogue entry.
    pub kit: String,
    /// Its name.
    pub name: String,
    /// Width and height, m; of a round one its diameter twice.
    pub size_m: [f64; 2],
    /// Round rather than square.
    pub is_round: bool,
    /// Its size.
    pub size_text: String,
    /// How deep it must be behind the board; null where no sheet states it.
    pub depth_text: Option<String>,
    /// How many are cut.
    pub count: u32,
    /// What they are cut for.
    pub things: Vec<Named>,
}

/// All of it, marked with the worst verdict of these findings about each.
pub fn wiring<'a>(analysis: &Analysis, findings: impl IntoIterator<Item = &'a Finding>) -> Wiring {
    let house = House {
        analysis,
        worst: worst(findings),
    };
    let report = checks::activity_report(analysis);
    let diagram = checks::signal_diagram(analysis, &report.leads);
    Wiring {
        racks: house.each(checks::racks_told(analysis), House::rack),
        circuits: house.each(checks::circuits_told(analysis), House::circuit),
        diagram: house.diagram(&diagram),
        buttons: house.each(report.activities, House::button),
        network: (report.network.into_iter())
            .map(|one| OnNetwork {
                thing: house.item(&one.item),
                address: one.address,
                cables: one.cables,
            })
            .collect(),
        cut_outs: house.each(checks::cut_outs_told(analysis), House::cut_out),
    }
}

/// The worst verdict about each thing, and that finding's key.
fn worst<'a>(
    findings: impl IntoIterator<Item = &'a Finding>,
) -> BTreeMap<&'a str, (Checked, String)> {
    let mut worst: BTreeMap<&str, (Checked, String)> = BTreeMap::new();
    for finding in findings {
        for subject in finding.subject.id.split('+') {
            let known = worst.get(subject).map(|(verdict, _)| *verdict);
            if known.is_none_or(|known| finding.verdict < known) {
                worst.insert(subject, (finding.verdict, key(finding)));
            }
        }
    }
    worst
}

struct House<'a, 'f> {
    analysis: &'a Analysis,
    worst: BTreeMap<&'f str, (Checked, String)>,
}

impl House<'_, '_> {
    fn each<T, U>(&self, told: Vec<T>, shown: impl Fn(&Self, T) -> U) -> Vec<U> {
        told.into_iter().map(|one| shown(self, one)).collect()
    }

    /// A thing, a cable or what else has an id, told of under `subject`.
    fn named(&self, id: &str, subject: &str, label: String, space: Option<&str>) -> Named {
        let worst = self.worst.get(subject);
        Named {
            id: id.to_owned(),
            label,
            space: space.map(str::to_owned),
            verdict: worst.map(|(verdict, _)| Verdict::from(*verdict)),
            finding: worst.map(|(_, key)| key.clone()),
        }
    }

    fn item(&self, id: &str) -> Named {
        let item = self.analysis.item(id);
        let label = item.map_or_else(|| id.to_owned(), crate::fields::item_name);
        let space = item.and_then(|item| self.analysis.space_id_of(item).ok());
        self.named(id, id, label, space)
    }

    fn rack(&self, told: RackTold) -> Rack {
        let analysis = self.analysis;
        let states = (analysis.item(&told.item))
            .map(|item| checks::cupboard_states(analysis, item))
            .unwrap_or_default();
        let heat = states.into_iter().map(|state| {
            let lowest = state.lowest.as_ref();
            RackHeat {
                says: capital(state.words),
                inside_text: analysis.print(&state.inside, Dimension::Temperature),
                lowest_text: lowest.map(|(label, rated)| {
                    format!("{}, {label}", analysis.print(rated, Dimension::Temperature))
                }),
                spare_text: lowest.map(|(_, rated)| {
                    let spare = rated - &state.inside;
                    analysis.print(&spare, Dimension::TemperatureDifference)
                }),
            }
        });
        Rack {
            rack: self.item(&told.item),
            slots: told.slots,
            things: (told.things.into_iter())
                .map(|one| Racked {
                    thing: self.item(&one.item),
                    facts_text: one.facts,
                    slot: one.slot,
                    units: one.units,
                })
                .collect(),
            loose: told.loose,
            heat: heat.collect(),
        }
    }

    fn circuit(&self, told: CircuitTold) -> CircuitLoad {
        let power = |watts: f64| self.analysis.exact(watts, Dimension::Power);
        let load_w = told.load_w();
        let load = power(load_w);
        let id = &told.circuit;
        CircuitLoad {
            circuit: self.named(id, &format!("circuit.{id}"), format!("Circuit {id}"), None),
            load_w,
            most_w: told.most_w,
            load_text: match told.most_w {
                Some(most_w) => format!("{load} of {}", power(most_w)),
                None => load,
            },
            missing: told.missing,
            parts: (told.parts.into_iter())
                .map(|part| CircuitLoadPart {
                    thing: part.item.as_deref().map(|item| self.item(item)),
                    label: capital(&part.label),
                    watts: part.watts,
                    watts_text: part.watts.map_or_else(|| "not known".to_owned(), power),
                })
                .collect(),
        }
    }

    fn diagram(&self, told: &SignalDiagram) -> Option<Diagram> {
        if told.leads.is_empty() {
            return None;
        }
        let mut carried: Vec<Carried> = told.leads.iter().map(|lead| lead.carries).collect();
        carried.sort_unstable();
        carried.dedup();
        let boxes: Vec<DiagramBox> = (told.boxes.iter())
            .map(|one| DiagramBox {
                id: one.id.clone(),
                label: (self.analysis.item(&one.id))
                    .map_or_else(|| one.label.clone(), crate::fields::item_name),
                things: one.items.iter().map(|item| self.item(item)).collect(),
            })
            .collect();
        let lines = OneLine {
            title: "Picture, sound, network and control".to_owned(),
            boxes: (told.boxes.iter().zip(&boxes))
                .map(|(one, shown)| LineBox {
                    id: one.id.clone(),
                    label: shown.label.clone(),
                    column: one.column,
                })
                .collect(),
            leads: (told.leads.iter())
                .map(|lead| LineLead {
                    id: lead.words(),
                    from: lead.from,
                    to: lead.to,
                    dash: dash(lead.carries),
                })
                .collect(),
            key: (carried.into_iter())
                .map(|carries| (dash(carries), carries.words().to_owned()))
                .collect(),
        };
        // A screen scrolls: the paper is as large as it must be.
        let area = Area {
            width_mm: f64::MAX,
            height_mm: f64::MAX,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = drawing::one_line(&lines, area).ok()?;
        let end = |label: &String, at: usize| match self.analysis.item(&told.boxes[at].id) {
            Some(item) => crate::fields::item_name(item),
            None => label.clone(),
        };
        let leads = told.leads.iter().map(|lead| DiagramLead {
            id: lead.words(),
            from: end(&lead.labels[0], lead.from),
            to: end(&lead.labels[1], lead.to),
            carries: lead.carries.words(),
            cables: lead.cables.iter().map(|id| self.cable(id)).collect(),
        });
        Some(Diagram {
            drawn: Drawn::from(&drawing),
            leads: leads.collect(),
            boxes,
        })
    }

    fn cable(&self, id: &str) -> Named {
        let analysis = self.analysis;
        let cable = analysis.cables().find(|cable| cable.id == id);
        let space = cable.and_then(|cable| Some(analysis.space_of_cable(cable)?.id.as_str()));
        self.named(id, id, id.to_owned(), space)
    }

    fn button(&self, told: ActivityTold) -> ButtonDoes {
        let step = |step: StepTold| ButtonStep {
            thing: self.item(&step.item),
            is_on: step.on,
            input: step.input,
            by: step.by,
        };
        ButtonDoes {
            activity: self.named(&told.activity, &told.activity, told.label, None),
            zones: told.zones,
            missing: told.missing,
            picture: told.picture,
            sound: told.sound,
            steps: told.steps.into_iter().map(step).collect(),
            not_with: told.not_with,
        }
    }

    fn cut_out(&self, told: CutOutTold) -> CutOut {
        let length = |length_m: f64| self.analysis.exact(length_m, Dimension::Length);
        let (width, height) = (length(told.width_m), length(told.height_m));
        CutOut {
            size_text: match told.is_round {
                true => format!("{width} round"),
                false => format!("{width} × {height}"),
            },
            kit: told.kit,
            name: told.name,
            size_m: [told.width_m, told.height_m],
            is_round: told.is_round,
            depth_text: told.depth_m.map(length),
            count: told.count,
            things: told.items.iter().map(|item| self.item(item)).collect(),
        }
    }
}

fn dash(carries: Carried) -> RouteDash {
    match carries {
        Carried::Loudspeaker => RouteDash::Solid,
        Carried::Video => RouteDash::Long,
        Carried::Line => RouteDash::DashDot,
        Carried::Network => RouteDash::Short,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use checks::Proved;

    use super::*;

    fn house() -> Wiring {
        let text = include_str!("../../../jobs/harbour-lane-settled.toml");
        let job = model::read(text, &checks::limit_names()).expect("the house reads");
        let proved = Proved::new(Arc::new(job));
        wiring(proved.analysis(), proved.findings())
    }

    #[test]
    fn what_is_drawn_is_what_is_listed() {
        let wiring = house();
        let diagram = wiring.diagram.expect("the house has leads");
        for id in
            (diagram.boxes.iter().map(|one| &one.id)).chain(diagram.leads.iter().map(|one| &one.id))
        {
            let drawn = diagram.drawn.things.iter().filter(|thing| thing.id == *id);
            assert!(drawn.count() > 0, "{id}");
        }
        let cables = diagram.leads.iter().flat_map(|lead| &lead.cables);
        assert!(cables.clone().all(|cable| cable.space.is_some()));
        assert!(cables.count() > 10);
    }

    #[test]
    fn racks_circuits_buttons_and_holes_of_the_house_are_told() {
        let wiring = house();
        let [rack] = wiring.racks.as_slice() else {
            panic!("one rack");
        };
        assert!(
            rack.things
                .windows(2)
                .all(|pair| pair[0].slot > pair[1].slot)
        );
        assert!(rack.things.iter().all(|one| one.thing.space.is_some()));
        let marked = wiring
            .circuits
            .iter()
            .filter(|one| one.circuit.finding.is_some());
        assert!(marked.clone().count() > 0);
        for one in marked {
            let sum: f64 = one.parts.iter().filter_map(|part| part.watts).sum();
            assert!((sum - one.load_w).abs() < 1e-9);
            assert_eq!(
                one.circuit.verdict,
                Some(Verdict::Fits),
                "{:?}",
                one.circuit
            );
        }
        assert!(wiring.buttons.iter().all(|button| !button.steps.is_empty()));
        assert!(!wiring.cut_outs.is_empty());
    }

    #[test]
    fn the_worst_verdict_stands_for_a_thing() {
        let text = include_str!("../../../jobs/harbour-lane-surveyed.toml");
        let job = model::read(text, &checks::limit_names()).expect("the house reads");
        let proved = Proved::new(Arc::new(job));
        let findings: Vec<&Finding> = proved.findings().collect();
        let all = worst(findings.iter().copied());
        for finding in findings {
            let (verdict, _) = &all[finding.subject.id.split('+').next().unwrap_or_default()];
            assert!(*verdict <= finding.verdict);
        }
    }
}
