//! Where should all loudspeakers of a layout go together?
//!
//! Each channel brings a few candidates: the best place of each piece of its patch, where it
//! is now, places that hide an old plate, and the mirror image of its partner's. A set of one
//! candidate a channel costs
//!
//! J = Σ_c [ Σ_s w_s (δ_cs² + 100 ε_cs²) / Σ_s w_s ] + λ Σ_p α_p² + 100 Σ_(o,e) Σ_s w_s σ_oes² / Σ_s w_s − ρ n − κ k
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | c, s | channel, seat | |
//! | w_s | the seat's importance | |
//! | δ_cs | from the printed direction | ° |
//! | ε_cs | beyond what is allowed at that seat | ° |
//! | α_p | of a pair: from the mirror image of the one to the other, at the main seat | ° |
//! | σ_oes | what an overhead and an ear-level channel lack to be told apart | ° |
//! | n, k | old plates used; loudspeakers left where they are | |
//! | λ, ρ, κ | what an answer weighs: symmetry, plates, what is planned | 1, °², °² |
//!
//! Two that overlap, and two at one plate, exclude each other. The cheapest set is found by
//! branch and bound; three answers weigh differently.

mod layout;
mod member;

use std::collections::BTreeSet;

use analysis::{Analysis, Known, Means, Missing};
use checks::Caution;
use checks::placing::{Placing, placing};
use geometry::Point2;
use model::{Edit, Item, Zone};

use crate::cautions::cautions;
use crate::loudspeaker_place::{SeatLoss, form};
use layout::{ANSWERS, Layout};
use member::{SAME_M, member, mirrored, pairs};

/// Sets of places for the loudspeakers of a zone.
#[derive(Clone, Debug)]
pub struct LayoutPlaces {
    /// The zone.
    pub zone: String,
    /// The space that it is in.
    pub space: String,
    /// Answers that differ, the best directions first.
    pub plans: Vec<LayoutPlan>,
    /// The layout as it is planned now, where every loudspeaker has a place.
    pub present: Option<LayoutPlan>,
    /// Loudspeakers that no wall or ceiling takes, and what is missing.
    pub left_out: Vec<Missing>,
    /// What to beware of in putting them there.
    pub cautions: Vec<Caution>,
}

/// One set of places.
#[derive(Clone, Debug)]
pub struct LayoutPlan {
    /// What it weighs.
    pub title: &'static str,
    /// J without what plates and what is planned are worth, °².
    pub objective: f64,
    /// Whether no cheaper set of the candidates is left.
    pub is_proved: bool,
    /// Each loudspeaker.
    pub places: Vec<PlannedPlace>,
    /// What each seat loses over all channels.
    pub seats: Vec<PlanSeat>,
    /// The largest angle by which a pair is off its mirror image at the main seat, rad.
    pub asymmetry_rad: f64,
    /// New holes to cut.
    pub cuts: usize,
    /// Old plates used.
    pub reused: usize,
    /// New wire square along the building from the amplifiers, m, where they are placed.
    pub wire_m: Option<f64>,
    /// What pulling that wire costs by the shop's own times and rates.
    pub price: Option<f64>,
    /// Findings of the place checks that fail, and that are tight.
    pub failing: usize,
    /// Tight ones.
    pub tight: usize,
    /// What makes it so.
    pub edits: Vec<Edit>,
}

/// A loudspeaker of a set.
#[derive(Clone, Debug)]
pub struct PlannedPlace {
    /// The item.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// The wall's id, or `ceiling`.
    pub surface: String,
    /// Its middle there, m.
    pub at: Point2,
    /// Whether it stays where it is planned.
    pub stays: bool,
    /// The old plate that it hides and uses.
    pub reuses: Option<String>,
    /// What stands: how it is turned there, where it is best not turned to the main seat.
    pub turned: Option<String>,
    /// What each seat loses.
    pub losses: Vec<SeatLoss>,
}

/// What a seat loses over all channels of a set.
#[derive(Clone, Debug)]
pub struct PlanSeat {
    /// The seat.
    pub seat: String,
    /// Root mean square angle from the printed directions, rad.
    pub off_rad: f64,
    /// The most that a channel is beyond what is allowed here, rad.
    pub out_rad: f64,
    /// Which channel's item that is.
    pub worst: String,
}

/// Sets of places for the loudspeakers of a zone with a layout.
pub fn layout_places(analysis: &Analysis, zone: &Zone) -> Known<LayoutPlaces> {
    let space = analysis.space(&zone.space).ok_or_else(|| {
        let what = format!("the space of zone {}", zone.id);
        Missing::new(what, format!("zone.{}.space", zone.id), Means::Decide)
    })?;
    if zone.layout.is_none() {
        let what = format!("the layout of zone {}", zone.id);
        return Err(Missing::new(
            what,
            format!("zone.{}.layout", zone.id),
            Means::Decide,
        ));
    }
    let items: Vec<&Item> = (analysis.loudspeakers_of(zone))
        .map(|(item, _)| item)
        .filter(|item| !item.existing)
        .collect();
    let ids: Vec<&str> = items.iter().map(|item| item.id.as_str()).collect();
    let (mut members, mut left_out) = (Vec::new(), Vec::new());
    for item in items {
        match placing(analysis, item, &ids) {
            Ok(placing) if is_anywhere(&placing) => {}
            Ok(placing) => members.push(member(analysis, item, placing)),
            Err(missing) => left_out.push(missing),
        }
    }
    members.retain(|member| !member.candidates.is_empty());
    let dangers: BTreeSet<Caution> = (members.iter())
        .flat_map(|member| cautions(form(analysis, member.item), &member.patches))
        .collect();
    let pairs = pairs(&members);
    for (one, other) in &pairs {
        mirrored(&mut members, *one, *other);
        mirrored(&mut members, *other, *one);
    }
    let layout = Layout {
        analysis,
        space,
        members,
        pairs,
    };
    let mut plans: Vec<LayoutPlan> = Vec::new();
    for weights in &ANSWERS {
        if let Some(plan) = layout.plan(weights)? {
            let same = |known: &LayoutPlan| {
                (known.places.iter().zip(&plan.places))
                    .all(|(a, b)| a.surface == b.surface && a.at.distance(b.at) < SAME_M)
            };
            if !plans.iter().any(same) {
                plans.push(plan);
            }
        }
    }
    Ok(LayoutPlaces {
        zone: zone.id.clone(),
        space: space.id.clone(),
        present: layout.present()?,
        plans,
        left_out,
        cautions: dangers.into_iter().collect(),
    })
}

/// Whether its layout leaves it free.
fn is_anywhere(placing: &Placing) -> bool {
    placing.directions.azimuths_rad.is_none() && placing.directions.heights_rad.is_none()
}
