//! What does a sub at a place need: its signal's wire by the ways that the house has, or a link
//! without one, and a mains socket; and what does all of it take?
//!
//! Each place is tried on a copy of the job, in which the planned sub stands there and its cable is
//! pulled anew; so lengths, holes and times are those that the cable checks tell. Nothing is
//! pulled to a place beside an old end that carries the sub's signal already.

use analysis::{Analysis, HoleAt, Means, Missing, Vector2, WayHazard};
use model::{
    Cable, CableUse, Edit, EditError, Fixture, FixtureKind, Item, Kit, LoudspeakerKit, Space,
};
use serde_json::{Value, json};

use crate::subs::planned_subs;

/// What a sub at a place needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Access {
    /// How the signal gets there.
    pub signal: Signal,
    /// Where its mains lead goes.
    pub mains: Mains,
    /// The same signal without wire; `None` where the job states no price for it, or for a sub that
    /// an amplifier drives.
    pub wireless: Option<Takes>,
    /// An old end nearby whose cable nobody has looked at, with what the survey says of it.
    pub unread_end: Option<(String, String)>,
}

/// How a sub's signal gets to it.
#[derive(Clone, Debug, PartialEq)]
pub enum Signal {
    /// By a cable that ends there already, at the fixture of this name.
    There(String),
    /// By a new wire.
    Wire(Wire),
    /// Nobody can tell the way yet.
    Unknown(Missing),
}

/// A wire that is pulled.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// What is cut, slack and loops included, m.
    pub length_m: f64,
    /// Holes to drill, at most; those that another new cable of the job needs anyway are not counted.
    pub holes: u32,
    /// Each of them, as far as the way is known; a further sub's wire goes through the same one.
    pub each: Vec<HoleAt>,
    /// What it takes.
    pub takes: Takes,
    /// Whether its own price is in `takes`: the kit list states one.
    pub is_priced: bool,
    /// What is dangerous on the way.
    pub hazards: Vec<WayHazard>,
}

/// Working time and money.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Takes {
    /// The crew's time, s.
    pub time_s: f64,
    /// Hours and material in the job's money; `None` where the job states no price of an hour.
    pub money: Option<f64>,
}

/// Where a sub's mains lead goes.
#[derive(Clone, Debug, PartialEq)]
pub enum Mains {
    /// Nowhere: an amplifier drives it.
    None,
    /// To a socket within the lead's reach, by the socket's name, with the distance, m.
    Reached(String, f64),
    /// To a new socket; with the nearest one there is, m.
    New(String, f64),
    /// Nobody noted a socket of the room.
    NotSurveyed,
}

/// From the middle of the case to a socket or an old end that its own leads reach, m: a lead of
/// 1.8 m runs down, along and round the case (common practice, no source).
const REACH_M: f64 = 1.3;
/// Time to set up a sender and a receiver, s (common practice, no source).
const WIRELESS_S: f64 = 900.0;
/// Holes of a run whose way nobody knows: out of one wall, into another (common practice, no source).
const HOLES_OF_A_RUN: u32 = 2;
/// The cable that is tried where the job plans none.
const TRIED_CABLE: &str = "sub-as-tried";

/// Answers what places need of one space's subs.
pub struct Accesses<'a> {
    pub(crate) analysis: &'a Analysis,
    pub(crate) space: &'a Space,
    pub(crate) item: &'a Item,
    pub(crate) kit: &'a LoudspeakerKit,
    pub(crate) cable: Option<&'a Cable>,
    sockets: Vec<(String, [f64; 3])>,
    /// Old ends: name, where, and what the survey says of a cable that nobody listed.
    ends: Vec<(String, [f64; 3], Option<String>)>,
    /// Holes that other cables of the job need anyway.
    made: Vec<HoleAt>,
}

impl<'a> Accesses<'a> {
    /// For the first sub planned; `None` without one.
    pub fn new(analysis: &'a Analysis, space: &'a Space) -> Option<Self> {
        let planned = planned_subs(analysis, space);
        let first = planned.first()?;
        let (item, kit) = (first.item, first.kit);
        let cable = analysis.cables_at(&item.id).find(|cable| {
            let kit = analysis.kit(&cable.kind);
            !matches!(kit, Some(Kit::Cable(kit)) if !carries_sound(kit.carries))
        });
        if let Some(cable) = cable {
            // Copies share the construction that this one is led through.
            let _ = analysis.route(cable);
        }
        let at = |fixture: &Fixture| {
            let point = analysis.fixture_point(space, fixture).ok()?;
            Some((fixture.id.replace('-', " "), point.value()))
        };
        let sockets = space.fixture.iter();
        let sockets = sockets.filter(|fixture| fixture.kind == FixtureKind::Socket);
        let ends = space.fixture.iter().filter_map(|fixture| {
            let is_end = matches!(fixture.kind, FixtureKind::Plate | FixtureKind::CableEnd);
            let told = fixture.cable.as_ref().filter(|_| is_end)?;
            let is_subs = |cable: &Cable| {
                let mut subs = planned.iter();
                subs.any(|sub| {
                    analysis
                        .cables_at(&sub.item.id)
                        .any(|own| own.id == cable.id)
                })
            };
            let words = match analysis.cables().find(|cable| cable.id == *told) {
                // What another thing's signal takes is no free end.
                Some(cable) if is_subs(cable) => None,
                Some(_) => return None,
                None => Some(told.clone()),
            };
            let (name, place) = at(fixture)?;
            Some((name, place, words))
        });
        let others = analysis
            .cables()
            .filter(|other| other.existing.is_none() && cable.is_none_or(|own| own.id != other.id));
        let made = others.filter_map(|other| {
            let route = analysis.route(other).ok()?;
            Some(route.work.as_ref()?.each.iter().cloned())
        });
        Some(Self {
            made: made.flatten().collect(),
            ends: ends.collect(),
            sockets: sockets.filter_map(at).collect(),
            analysis,
            space,
            item,
            kit,
            cable,
        })
    }

    /// What a sub needs with the middle of its case at a place; `on` is the wall that it is let
    /// into, and how far from that wall's left end, m.
    pub fn at(&self, at: [f64; 3], on: Option<(&str, f64)>) -> Access {
        let near = |from: &[f64; 3]| {
            // A lead runs along the floor and the wall, not through the air.
            (from[0] - at[0]).hypot(from[1] - at[1]) + (from[2] - at[2]).abs()
        };
        let reached = |end: &&(String, [f64; 3], Option<String>)| near(&end.1) <= REACH_M;
        let end = |is_read: bool| {
            let mut ends = self.ends.iter().filter(reached);
            ends.find(|end| end.2.is_none() == is_read)
        };
        let signal = match end(true) {
            Some((name, ..)) => Signal::There(name.clone()),
            None => match self.wire(at, on) {
                Ok(wire) => Signal::Wire(wire),
                Err(missing) => Signal::Unknown(missing),
            },
        };
        let unread = match &signal {
            Signal::There(_) => None,
            _ => end(false).and_then(|(name, _, words)| Some((name.clone(), words.clone()?))),
        };
        Access {
            signal,
            mains: self.mains(&near),
            wireless: self.wireless(),
            unread_end: unread,
        }
    }

    pub(crate) fn is_powered(&self) -> bool {
        self.kit.channels == Some(0)
            || self.kit.common.watts.is_some()
            || self.item.circuit.is_some()
    }

    fn mains(&self, near: &dyn Fn(&[f64; 3]) -> f64) -> Mains {
        if !self.is_powered() {
            return Mains::None;
        }
        let distances = self.sockets.iter().map(|(name, at)| (name, near(at)));
        match distances.min_by(|a, b| a.1.total_cmp(&b.1)) {
            None => Mains::NotSurveyed,
            Some((name, off_m)) if off_m <= REACH_M => Mains::Reached(name.clone(), off_m),
            Some((name, off_m)) => Mains::New(name.clone(), off_m),
        }
    }

    fn wireless(&self) -> Option<Takes> {
        let price = self.analysis.rates().wireless_link?;
        self.is_powered().then(|| Takes {
            time_s: WIRELESS_S,
            money: self.money(WIRELESS_S).map(|work| work + price),
        })
    }

    pub(crate) fn money(&self, time_s: f64) -> Option<f64> {
        Some(self.analysis.rates().hour? * time_s / 3600.0)
    }

    /// The wire of a copy in which the sub stands there.
    fn wire(&self, at: [f64; 3], on: Option<(&str, f64)>) -> Result<Wire, Missing> {
        let mut edits = self.stands(at, on)?;
        let id = match self.cable {
            Some(cable) => {
                edits.extend(pulled_anew(cable));
                cable.id.as_str()
            }
            None => {
                edits.push(self.new_cable()?);
                TRIED_CABLE
            }
        };
        let tried = self.analysis.tried(&edits);
        let tried = tried.map_err(|error| self.refused(&error))?;
        self.told(&tried, id)
    }

    /// What a cable of a copy takes.
    pub(crate) fn told(&self, tried: &Analysis, id: &str) -> Result<Wire, Missing> {
        let cable = tried.cables().find(|cable| cable.id == id);
        let cable = cable.expect("the copy has the cable");
        let (route, length) = (tried.route(cable)?, tried.cut_length(cable)?);
        let length_m = length.value();
        let times = tried.way_times();
        let (time_s, holes, each, hazards) = match &route.work {
            Some(work) => {
                let is_made = |hole: &HoleAt| self.made.iter().any(|made| made.is_same(hole));
                let (made, each): (Vec<HoleAt>, Vec<HoleAt>) =
                    work.each.iter().cloned().partition(is_made);
                let spared_s: f64 = made.iter().map(|hole| hole.time_s).sum();
                let spared = u32::try_from(made.len()).unwrap_or(u32::MAX);
                (
                    0.5 * (work.time_s[0] + work.time_s[1]) - spared_s,
                    work.holes[1].saturating_sub(spared),
                    each,
                    work.hazards.clone(),
                )
            }
            None => (
                times.pull_s_per_m * length_m + times.hole.0 * f64::from(HOLES_OF_A_RUN),
                HOLES_OF_A_RUN,
                Vec::new(),
                Vec::new(),
            ),
        };
        let price = match tried.kit(&cable.kind) {
            Some(Kit::Cable(kit)) => kit.price_per_metre,
            _ => None,
        };
        let material = price.unwrap_or(0.0) * length_m;
        Ok(Wire {
            length_m,
            holes,
            each,
            takes: Takes {
                time_s,
                money: self.money(time_s).map(|work| work + material),
            },
            is_priced: price.is_some(),
            hazards,
        })
    }

    pub(crate) fn refused(&self, error: &EditError) -> Missing {
        Missing::new(
            format!("a place for {}: {error}", self.item.id),
            format!("item.{}", self.item.id),
            Means::Decide,
        )
    }

    /// The planned sub at another place.
    pub(crate) fn stands(
        &self,
        at: [f64; 3],
        on: Option<(&str, f64)>,
    ) -> Result<Vec<Edit>, Missing> {
        let path = |fact: &str| format!("item.{}.{fact}", self.item.id);
        let mut edits = Vec::new();
        let stated = [
            ("at", self.item.at.is_some() && on.is_some()),
            ("on", self.item.on.is_some() && on.is_none()),
            ("hung", self.item.hung.is_some()),
            ("in", self.item.inside.is_some()),
            ("reuses", self.item.reuses.is_some()),
        ];
        for (fact, _) in stated.iter().filter(|(_, is_stated)| *is_stated) {
            edits.push(Edit::remove(path(fact)));
        }
        let (fact, place) = self.placed(at, on)?;
        edits.push(Edit::set(path(fact), place));
        Ok(edits)
    }

    /// A place as an item's fact.
    pub(crate) fn placed(
        &self,
        at: [f64; 3],
        on: Option<(&str, f64)>,
    ) -> Result<(&'static str, Value), Missing> {
        let metres = |length_m: f64| json!(format!("{length_m:.4} m"));
        if let Some((wall, from_left)) = on {
            let place = json!({
                "wall": wall,
                "from_left": metres(from_left),
                "height": metres(at[2]),
            });
            return Ok(("on", place));
        }
        let shape = self.analysis.shape(self.space);
        let plan = Vector2::new(at[0], at[1]);
        let square = (0..self.space.walls.len()).map(|wall| {
            let [first, other] = [shape.wall_frame(0)?, shape.wall_frame(wall)?];
            Ok((wall, first.1.dot(&other.1).value().abs()))
        });
        let square: Vec<(usize, f64)> = square.collect::<Result<_, Missing>>()?;
        let second = square.into_iter().min_by(|a, b| a.1.total_cmp(&b.1));
        let second = second.map_or(1, |(wall, _)| wall);
        let off = |wall: usize| -> Result<Value, Missing> {
            let (_, off) = shape.on_wall(wall, &plan)?;
            Ok(json!([self.space.walls[wall].id, metres(off.value())]))
        };
        Ok(("at", json!({ "from": off(0)?, "and": off(second)? })))
    }

    /// A cable from what drives or feeds the sub.
    fn new_cable(&self) -> Result<Edit, Missing> {
        let cable = json!({ "id": TRIED_CABLE, "kind": self.cable_kind(), "from": self.source()?, "to": self.item.id });
        Ok(Edit::set(format!("cable.{TRIED_CABLE}"), cable))
    }

    /// Where the wire of the planned sub begins, else what drives it.
    fn source(&self) -> Result<String, Missing> {
        let at_sub = |end: &str| end.split('.').next() == Some(self.item.id.as_str());
        if let Some(cable) = self.cable {
            let other = match at_sub(&cable.to) {
                true => &cable.from,
                false => &cable.to,
            };
            return Ok(other.clone());
        }
        let source = self.analysis.amplifier_of(self.item).ok_or_else(|| {
            Missing::new(
                format!("what the signal of {} comes from", self.item.id),
                format!("item.{}.driven_by", self.item.id),
                Means::Decide,
            )
        })?;
        Ok(source.0.id.clone())
    }

    /// The planned cable's kind, else the first of the list that fits.
    pub(crate) fn cable_kind(&self) -> &str {
        if let Some(cable) = self.cable {
            return &cable.kind;
        }
        let carries = match self.is_powered() {
            true => CableUse::Line,
            false => CableUse::Loudspeaker,
        };
        let kinds = &self.analysis.job().kit.cable;
        let kind = kinds.iter().find(|kind| kind.carries == carries);
        // A kind that is not in the list has a way, and no price.
        kind.map_or("wire", |kind| kind.common.id.as_str())
    }
}

fn carries_sound(of: CableUse) -> bool {
    matches!(of, CableUse::Line | CableUse::Loudspeaker)
}

/// What makes a planned cable one that is cut from a spool and pulled by the house's own ways.
fn pulled_anew(cable: &Cable) -> Vec<Edit> {
    let stated = [
        ("existing", cable.existing.is_some()),
        ("fixed", cable.fixed.is_some()),
        ("length", cable.length.is_some()),
        ("legs", !cable.legs.is_empty()),
    ];
    (stated.iter())
        .filter(|(_, is_stated)| *is_stated)
        .map(|(fact, _)| Edit::remove(format!("cable.{}.{fact}", cable.id)))
        .collect()
}
