//! What several checks ask about a cable: its kit, other ways to run it, what pulling costs.

use analysis::{Analysis, HoleAt, Route, RouteLeg, Uncertain};
use model::{Cable, CableKit, Edit, Kit, Length, Space, Units, Way};
use units::Dimension;

use crate::Cost;

/// Time for one hole through a plate, stud or block: common practice, no source.
const HOLE_S: f64 = 600.0;
/// Time to pull each metre through framing: common practice, no source.
const PULL_S_PER_M: f64 = 120.0;
/// Time to move a plate within its bay and patch the old hole: common practice, no source.
const PLATE_MOVE_S: f64 = 2700.0;
/// Shorter legs are told without their length, m.
const THINNEST_M: f64 = 1e-6;
/// Holes of a run whose way is not known: one through a plate of the wall at each end.
const HOLES_OF_A_RUN: u32 = 2;

/// Cables whose findings belong to a space, with their catalogue entries.
pub(crate) fn cables_of<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = (&'a Cable, &'a CableKit)> {
    (analysis.cables_in(space)).filter_map(|cable| Some((cable, kit_of(analysis, cable)?)))
}

/// A cable's catalogue entry.
pub(crate) fn kit_of<'a>(analysis: &'a Analysis, cable: &Cable) -> Option<&'a CableKit> {
    match analysis.kit(&cable.kind) {
        Some(Kit::Cable(kit)) => Some(kit),
        _ => None,
    }
}

/// The cable of that name with its catalogue entry.
pub(crate) fn cable_with_kit<'a>(
    analysis: &'a Analysis,
    id: &str,
) -> Option<(&'a Cable, &'a CableKit)> {
    let cable = analysis.cable(id)?;
    Some((cable, kit_of(analysis, cable)?))
}

/// A cable kind's name for people.
pub(crate) fn kind_label(kit: &CableKit) -> &str {
    kit.common.name.as_deref().unwrap_or(&kit.common.id)
}

/// The route in words: "up 2.1 m, along 4 m, down 1.3 m".
pub(crate) fn route_words(analysis: &Analysis, route: &Route) -> String {
    let leg = |leg: &RouteLeg| match leg.length.value() {
        // A plate or block has no thickness to tell.
        length_m if length_m < THINNEST_M => leg.along.words(),
        length_m => format!("{} {}", leg.along.words(), whole_steps(analysis, length_m)),
    };
    let legs: Vec<String> = route.legs.iter().map(leg).collect();
    legs.join(", ")
}

/// What is unknown on the way and what it may change: ", 1 to 2 holes, as long as nobody knows
/// where the blocks of wall street are"; nothing where all is known.
pub(crate) fn doubt_words(route: &Route) -> String {
    let Some(work) = &route.work else {
        return String::new();
    };
    match (work.doubts.first(), work.holes) {
        (Some(doubt), [sure, most]) if sure != most => {
            format!(", {sure} to {most} holes as long as nobody knows {doubt}")
        }
        (Some(doubt), _) => format!(", as long as nobody knows {doubt}"),
        (None, _) => String::new(),
    }
}

/// Legs are told to the centimetre or inch: nobody lays a cable to the millimetre.
fn whole_steps(analysis: &Analysis, length_m: f64) -> String {
    let step = match analysis.units() {
        Units::Imperial => 0.0254,
        Units::Metric => 0.01,
    };
    analysis.exact((length_m / step).round() * step, Dimension::Length)
}

/// Another way to run a cable that needs less of it.
#[derive(Clone)]
pub(crate) struct ShorterWay {
    /// The cable to cut.
    pub length: Uncertain,
    /// As the document writes it.
    pub edit: Edit,
    /// "underfoot".
    pub words: &'static str,
}

/// Ways that need less cable than its own, least first; none where legs were measured.
pub(crate) fn shorter_ways(analysis: &Analysis, cable: &Cable) -> Vec<ShorterWay> {
    // Each is searched for through the whole room.
    analysis.kept_of_cable("shorter ways", cable, || shorter_ways_anew(analysis, cable))
}

fn shorter_ways_anew(analysis: &Analysis, cable: &Cable) -> Vec<ShorterWay> {
    let Ok(own) = analysis.cut_length(cable) else {
        return Vec::new();
    };
    if !cable.legs.is_empty() {
        return Vec::new();
    }
    let present = match (cable.way, analysis.route(cable)) {
        // The cheapest of all ways is none of them by name.
        (None, Ok(route)) if route.work.is_some() => None,
        (way, _) => Some(way.unwrap_or(Way::Overhead)),
    };
    let ways = [
        (Way::Overhead, "overhead", "overhead"),
        (Way::Underfoot, "underfoot", "underfoot"),
        (Way::Direct, "direct", "straight along the wall"),
    ];
    let mut shorter: Vec<ShorterWay> = ways
        .into_iter()
        .filter(|(way, ..)| Some(*way) != present)
        .filter(|(way, ..)| *way != Way::Direct || along_one_wall(analysis, cable))
        .filter_map(|(way, written, words)| {
            let route = analysis.route_by(cable, way).ok()?;
            let length = analysis.cut_length_of(cable, &route);
            (length < own).then(|| ShorterWay {
                length,
                edit: Edit::set(format!("cable.{}.way", cable.id), written),
                words,
            })
        })
        .collect();
    shorter.sort_by(|a, b| a.length.value().total_cmp(&b.length.value()));
    shorter
}

/// Whether a straight line between both ends runs on a wall and not through the room.
fn along_one_wall(analysis: &Analysis, cable: &Cable) -> bool {
    let wall = |end: &str| {
        let item = analysis.item_at_end(end)?;
        Some((
            analysis.space_of(item).ok()?.id.as_str(),
            &item.on.as_ref()?.wall,
        ))
    };
    let (from, to) = (wall(&cable.from), wall(&cable.to));
    from.is_some() && from == to
}

/// A new cable in place of one that lies in the house, as the changed job routes and cuts it.
pub(crate) struct NewCable {
    /// Way, slack and loops.
    pub need: Uncertain,
    /// What is cut for it, m.
    pub cut_m: f64,
    route: Route,
    /// Its holes that another new cable needs anyway, at least and at most, and their time, s.
    made: [u32; 2],
    made_s: [f64; 2],
}

impl NewCable {
    pub fn of(analysis: &Analysis, cable: &Cable) -> Option<Self> {
        let route = analysis.route_anew(cable).ok()?;
        let need = analysis.cut_length_of(cable, &route);
        let each = route.work.iter().flat_map(|work| &work.each);
        let (mut made, mut made_s) = ([0.0, 0.0], [0.0, 0.0]);
        for hole in each.filter(|hole| is_made_anyway(analysis, cable, hole)) {
            let time_s = hole.time_span_s();
            for (side, count) in [hole.sure, 1.0].into_iter().enumerate() {
                made[side] += count;
                made_s[side] += time_s[side];
            }
        }
        Some(Self {
            cut_m: analysis.cut_to_of(&need),
            need,
            route,
            made: made.map(|count| count.round() as u32),
            made_s,
        })
    }

    /// "W1 of 46′ 6″".
    pub fn words(&self, analysis: &Analysis, cable: &Cable) -> String {
        let length = analysis.exact(self.cut_m, Dimension::Length);
        format!("{} of {length}", cable.id)
    }

    /// What its way takes, "1 to 2 holes, 1 h to 1 h 25 min", where single numbers of what the job
    /// takes more can't tell it; else nothing.
    pub fn takes(&self) -> Option<String> {
        let work = self.route.work.as_ref()?;
        let is_exact = work.holes[0] == work.holes[1] && work.time_s[0] == work.time_s[1];
        let made = match self.made[1] {
            0 if is_exact => return None,
            0 => String::new(),
            1 => " (1 hole of it for another cable anyway)".to_owned(),
            made => format!(" ({made} holes of it for other cables anyway)"),
        };
        let takes = analysis::work_words(work.holes, work.time_s);
        Some(format!("{takes}{made}"))
    }

    /// What pulling it takes, by its way where that is known. A hole that another new cable needs
    /// anyway is drilled once.
    pub fn cost(&self, analysis: &Analysis, kit: &CableKit) -> Cost {
        let rates = analysis.rates();
        let (time_s, holes) = match &self.route.work {
            Some(work) => (
                [0, 1].map(|side| work.time_s[side] - self.made_s[side]),
                [0, 1].map(|side| work.holes[side].saturating_sub(self.made[side])),
            ),
            None => {
                let time_s = seconds(&rates.pull_per_metre, PULL_S_PER_M) * self.cut_m
                    + seconds(&rates.hole, HOLE_S) * f64::from(HOLES_OF_A_RUN);
                ([time_s; 2], [HOLES_OF_A_RUN; 2])
            }
        };
        let cost = Cost {
            time_s,
            wire_m: self.cut_m,
            holes,
            money: None,
        };
        let price = kit.price_per_metre.unwrap_or_default();
        let money = |hour: f64| hour * cost.usual_time_s() / 3600.0 + price * self.cut_m;
        Cost {
            money: rates.hour.map(money),
            ..cost
        }
    }
}

/// What a cable of another kind takes beyond what the job has planned, and what its way takes where
/// that has to be said: all of its pulling in place of one that lies in the house; for one that is
/// pulled anyway the dearer wire, where both prices are known.
pub(crate) fn replacing(
    analysis: &Analysis,
    kit: &CableKit,
    cable: &Cable,
    planned: &CableKit,
    length_m: f64,
) -> (Cost, String) {
    if cable.existing.is_some() {
        let Some(new) = NewCable::of(analysis, cable) else {
            return Default::default();
        };
        let takes = (new.takes()).map(|takes| format!(" {} takes {takes}.", cable.id));
        return (new.cost(analysis, kit), takes.unwrap_or_default());
    }
    let dearer = kit.price_per_metre.zip(planned.price_per_metre);
    let cost = Cost {
        money: dearer.map(|(is, was)| (is - was) * length_m),
        ..Cost::default()
    };
    (cost, String::new())
}

/// Whether another new cable goes through the same hole.
fn is_made_anyway(analysis: &Analysis, cable: &Cable, hole: &HoleAt) -> bool {
    let others = analysis
        .cables()
        .filter(|other| other.existing.is_none() && other.id != cable.id);
    let works = others.filter_map(|other| analysis.route(other).ok()?.work.as_ref());
    works
        .flat_map(|work| &work.each)
        .any(|made| made.is_same(hole))
}

/// What moving a plate within its bay takes: one cut-out, one patch, and a hole for its
/// cable through each block between.
pub(crate) fn moving_a_plate(analysis: &Analysis, blocks: u32) -> Cost {
    let rates = analysis.rates();
    let time_s =
        seconds(&rates.plate_move, PLATE_MOVE_S) + seconds(&rates.hole, HOLE_S) * f64::from(blocks);
    Cost {
        time_s: [time_s; 2],
        holes: [1 + blocks; 2],
        money: rates.hour.map(|hour| hour * time_s / 3600.0),
        ..Cost::default()
    }
}

/// The shop's own time for a task, else the usual one.
fn seconds(own: &Option<model::Duration>, usual_s: f64) -> f64 {
    own.as_ref().and_then(|own| own.value()).unwrap_or(usual_s)
}

/// Takes the old cable out of the plan, so that a run is pulled and cut from a spool.
pub(crate) fn abandon_existing(cable: &Cable) -> Vec<Edit> {
    let path = format!("cable.{}", cable.id);
    let facts = [
        ("existing", cable.existing.is_some()),
        ("length", cable.length.is_some()),
    ];
    (facts.into_iter())
        .filter(|(_, stated)| *stated)
        .map(|(fact, _)| Edit::remove(format!("{path}.{fact}")))
        .collect()
}

/// A spool's or ready-made cable's length as a shop sells it: whole metres or feet.
pub(crate) fn shop_length(analysis: &Analysis, at_least_m: f64, whole: f64) -> String {
    let unit = match analysis.units() {
        Units::Imperial => 0.3048,
        Units::Metric => 1.0,
    };
    let step = unit * whole;
    let length_m = (at_least_m / step - 1e-9).ceil() * step;
    analysis.exact(length_m, Dimension::Length)
}

/// An edit that puts one more spool of a kind into stock, and the spool's name.
pub(crate) fn another_spool(analysis: &Analysis, kind: &str, length: &str) -> (String, Edit) {
    let free = |id: &String| analysis.spools().iter().all(|spool| spool.id != *id);
    let id = (1..)
        .map(|number| format!("{kind}-more-{number}"))
        .find(free)
        .expect("some number is free");
    let spool = serde_json::json!({ "id": id, "kind": kind, "length": length });
    let edit = Edit::set(format!("spool.{id}"), spool);
    (id, edit)
}

/// Spools of a kind with their lengths; `None` for a length that nobody measured.
pub(crate) fn spools_of<'a>(
    analysis: &'a Analysis,
    kind: &'a str,
) -> impl Iterator<Item = (&'a model::Spool, Option<Uncertain>)> {
    let length = |length: &Option<Length>| analysis.number(length.as_ref());
    (analysis.spools().iter())
        .filter(move |spool| spool.kind == kind)
        .map(move |spool| (spool, length(&spool.length)))
}
