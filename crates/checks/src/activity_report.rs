//! What each button does, for lists and sheets: which things are switched on and set to what,
//! which way picture and sound take, what can't be had at the same time, and the addresses of
//! what is on the network.

use analysis::{Analysis, item_label};
use model::{CableUse, Item, Kit};
use serde::Serialize;

use crate::controlled::reach;
use crate::hops::{Hop, every_lead};
use crate::playing::Playing;
use crate::signal::{addresses, on_network};

/// Every activity of a house, and its network.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ActivityReport {
    /// One for each button, in the order of the job.
    pub activities: Vec<ActivityTold>,
    /// What is on the network, in the order of the job.
    pub network: Vec<AddressTold>,
    /// Every cable between two things, from where its signal comes, in the order of the job.
    pub leads: Vec<LeadTold>,
}

/// A cable between two things.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeadTold {
    /// The cable's id.
    pub cable: String,
    /// Where its signal comes from: an item.
    pub from: String,
    /// Where it goes.
    pub to: String,
    /// What it carries.
    pub carries: CableUse,
}

/// One activity.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ActivityTold {
    /// Its id.
    pub activity: String,
    /// What the button says.
    pub label: String,
    /// Names of the zones that play.
    pub zones: Vec<String>,
    /// What must be decided first; none where its ways are known.
    pub missing: Option<String>,
    /// The picture's way, a phrase for each step; empty where nothing is watched.
    pub picture: Vec<String>,
    /// The sound's way.
    pub sound: Vec<String>,
    /// What the button does, in this order.
    pub steps: Vec<StepTold>,
    /// Other activities that can't be had at the same time, each with why.
    pub not_with: Vec<String>,
}

/// One thing that a button sets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepTold {
    /// The thing's id.
    pub item: String,
    /// Its name.
    pub label: String,
    /// Whether it is switched on; off else.
    pub on: bool,
    /// The input that it is set to; none for a source.
    pub input: Option<String>,
    /// How it is reached; none where nothing reaches it.
    pub by: Option<String>,
}

/// A thing on the network.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AddressTold {
    /// The thing's id.
    pub item: String,
    /// Its name.
    pub label: String,
    /// Its address; none where the site states no range, or the range is used up.
    pub address: Option<String>,
    /// Network cables that end at it.
    pub cables: usize,
}

/// What each button of a house does.
pub fn activity_report(analysis: &Analysis) -> ActivityReport {
    let all = Playing::all(analysis);
    let activities = (all.iter())
        .map(|(activity, playing)| {
            let zones = (activity.zones.iter())
                .map(|id| match analysis.zone(id) {
                    Some(zone) => zone.name.clone().unwrap_or_else(|| zone.id.clone()),
                    None => id.clone(),
                })
                .collect();
            let blank = ActivityTold {
                activity: activity.id.clone(),
                label: activity.label().to_owned(),
                zones,
                missing: None,
                picture: Vec::new(),
                sound: Vec::new(),
                steps: Vec::new(),
                not_with: Vec::new(),
            };
            match playing {
                Err(missing) => ActivityTold {
                    missing: Some(missing.to_string()),
                    ..blank
                },
                Ok(playing) => ActivityTold {
                    picture: way(&playing.picture_hops(analysis)),
                    sound: way(
                        &[playing.sound_hops(analysis), playing.feeding_hops(analysis)].concat(),
                    ),
                    steps: steps(analysis, playing, &all),
                    not_with: not_with(analysis, playing, &all),
                    ..blank
                },
            }
        })
        .collect();
    let range = (analysis.site())
        .and_then(|site| site.network.as_ref())
        .and_then(addresses)
        .unwrap_or_default();
    let network = (on_network(analysis).into_iter().enumerate())
        .map(|(index, (item, cables))| AddressTold {
            item: item.id.clone(),
            label: item_label(item).to_owned(),
            address: range.get(index).cloned(),
            cables,
        })
        .collect();
    let leads = (every_lead(analysis).into_iter())
        .map(|(cable, [from, to], carries)| LeadTold {
            cable: cable.id.clone(),
            from: from.id.clone(),
            to: to.id.clone(),
            carries,
        })
        .collect();
    ActivityReport {
        activities,
        network,
        leads,
    }
}

/// A way's steps: "Player, W02, Receiver" as one phrase each.
fn way(hops: &[Hop]) -> Vec<String> {
    (hops.iter())
        .map(|hop| {
            let [from, to] = [hop.from, hop.to].map(item_label);
            match &hop.lead {
                Some(lead) if lead.back => {
                    format!("{from} to {to}, back through {}", lead.cable.id)
                }
                Some(lead) => format!("{from} to {to} by {}", lead.cable.id),
                None => format!("{from} to {to}: no lead is listed"),
            }
        })
        .collect()
}

type All<'a> = [(&'a model::Activity, crate::Known<Playing<'a>>)];

/// Pictures first, for they take longest; then along the sound's way; what others use in the
/// same zones goes off.
fn steps<'a>(analysis: &'a Analysis, playing: &Playing<'a>, all: &All<'a>) -> Vec<StepTold> {
    let devices = playing.devices(analysis);
    let is_picture = |item: &Item| {
        matches!(
            analysis.kit_of(item),
            Some(Kit::Projector(_) | Kit::Display(_))
        )
    };
    let by = |item: &Item| reach(analysis, item).ok().and_then(|reach| reach.by);
    let step = |item: &Item, on: bool| {
        let inputs = playing.inputs(analysis, item);
        StepTold {
            item: item.id.clone(),
            label: item_label(item).to_owned(),
            on,
            input: (on && !inputs.is_empty()).then(|| inputs.join(" and ")),
            by: by(item),
        }
    };
    let (first, rest): (Vec<&Item>, Vec<&Item>) =
        devices.iter().copied().partition(|item| is_picture(item));
    let mut steps: Vec<StepTold> = first
        .iter()
        .chain(&rest)
        .map(|item| step(item, true))
        .collect();
    for (other, theirs) in all {
        let shares = (other.zones.iter()).any(|zone| playing.activity.zones.contains(zone));
        let Ok(theirs) = theirs else { continue };
        if !shares {
            continue;
        }
        for item in theirs.devices(analysis) {
            if steps.iter().all(|known| known.item != item.id) {
                steps.push(step(item, false));
            }
        }
    }
    steps
}

fn not_with<'a>(analysis: &'a Analysis, playing: &Playing<'a>, all: &All<'a>) -> Vec<String> {
    (all.iter())
        .filter(|(other, _)| other.id != playing.activity.id)
        .filter_map(|(other, theirs)| {
            let reasons = playing.conflicts(analysis, theirs.as_ref().ok()?);
            (!reasons.is_empty()).then(|| format!("{}: {}", other.label(), reasons.join("; ")))
        })
        .collect()
}
