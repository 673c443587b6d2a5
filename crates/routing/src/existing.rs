//! An old cable in the wall: use it as it is, drop its end down the bay, lengthen it, pull the
//! new one in by it, or leave it?
//!
//! Each use has a length of new cable, a time, holes, and a reason where it is not allowed. What
//! may be joined inside a house differs by kind: low-voltage loudspeaker, line, coax and control
//! wire may, in a box that stays in reach; a network cable loses its class by a splice and wants
//! a rated coupler; a video lead is never cut; mains is a licensed electrician's work (common
//! practice; local code comes first).

use units::Seconds;

use crate::search::Route;
use crate::span::Span;
use crate::weights::{Times, Weights};

/// What a cable carries, as far as joining it goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joint {
    /// Spliced in a box that stays in reach.
    Splice,
    /// Joined by a coupler of its class.
    Coupler,
    /// Never cut.
    Never,
    /// A licensed electrician's work.
    Licensed,
}

impl Joint {
    /// Time to make one, box included (common practice, no source).
    pub const fn time(self) -> Seconds {
        match self {
            Self::Splice => Seconds(1200.0),
            Self::Coupler => Seconds(1500.0),
            Self::Never | Self::Licensed => Seconds(0.0),
        }
    }
}

/// What may be done with an old cable, from least work to most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Use {
    /// Its end is where it is needed.
    AsIs,
    /// Its end moves up or down within the bay.
    DropInBay,
    /// A further length is joined to it.
    Extend,
    /// The new cable is pulled in by it.
    PullString,
    /// It stays where it is; a new one takes its own way.
    Abandon,
}

/// Why a use is not open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Its end is elsewhere.
    EndElsewhere,
    /// The place is not in the same bay, or an opening lies between.
    OtherBay,
    /// It has too little spare to reach.
    TooShort,
    /// Its kind is not the one that is needed.
    OtherKind,
    /// Its kind may not be cut.
    NeverCut,
    /// Only a licensed electrician may.
    Licensed,
    /// It is fixed inside the wall.
    Fixed,
    /// No way was found.
    NoWay,
}

/// An old cable and where its end would have to be.
#[derive(Clone, Debug, PartialEq)]
pub struct Existing<'a> {
    /// Whether its kind serves.
    pub is_right_kind: bool,
    /// How it may be joined.
    pub joint: Joint,
    /// Whether it is stapled or clipped inside the wall; a span of both where nobody has pulled at it.
    pub is_fixed: Option<bool>,
    /// Its length, m.
    pub length_m: Span,
    /// How far its end has to move, m; nothing where it is there.
    pub off_m: f64,
    /// The move within its bay: spare cable that it takes (negative: gives back), m, and the
    /// blocks on the way; nothing where it is another bay.
    pub in_bay: Option<InBay>,
    /// The way from its old end to the new one.
    pub onward: Option<&'a Route>,
    /// The way of a new cable.
    pub anew: Option<&'a Route>,
}

/// A move of a cable's end within its bay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InBay {
    /// Cable that the move takes, m; negative where it leaves some over.
    pub takes_m: f64,
    /// Spare that the cable has behind its plate, m.
    pub spare_m: Span,
    /// Blocks to drill.
    pub blocks: Span,
}

/// What a use takes.
#[derive(Clone, Debug, PartialEq)]
pub struct UseCost {
    /// Which.
    pub is: Use,
    /// New cable, m.
    pub length_m: Span,
    /// Time, s.
    pub time_s: Span,
    /// Holes, the new cut-out aside.
    pub holes: Span,
    /// By the shop's weights, s.
    pub price_s: f64,
    /// Why it is not open.
    pub not_open: Option<Why>,
}

/// Time to move a plate within its bay and patch the old hole is the shop's own.
pub fn uses(
    old: &Existing<'_>,
    plate_move: Seconds,
    times: &Times,
    weights: &Weights,
) -> Vec<UseCost> {
    let cost = |is, length_m: Span, time_s: Span, holes: Span, not_open| UseCost {
        is,
        length_m,
        time_s,
        holes,
        price_s: time_s.middle()
            + weights.metre_s_per_m * length_m.middle()
            + weights.hole.0 * holes.middle(),
        not_open,
    };
    let kind = (!old.is_right_kind).then_some(Why::OtherKind);
    let there = (old.off_m > 1e-3).then_some(Why::EndElsewhere);
    let as_is = cost(
        Use::AsIs,
        Span::ZERO,
        Span::ZERO,
        Span::ZERO,
        kind.or(there),
    );

    let each_s = times.hole.0 + times.open.0;
    let drop = match &old.in_bay {
        Some(bay) => {
            let short = (bay.takes_m > bay.spare_m.low).then_some(Why::TooShort);
            let time_s = Span::exact(plate_move.0) + bay.blocks * each_s;
            cost(
                Use::DropInBay,
                Span::ZERO,
                time_s,
                bay.blocks,
                kind.or(short),
            )
        }
        None => {
            let why = kind.or(Some(Why::OtherBay));
            cost(Use::DropInBay, Span::ZERO, Span::ZERO, Span::ZERO, why)
        }
    };

    let joint = match old.joint {
        Joint::Never => Some(Why::NeverCut),
        Joint::Licensed => Some(Why::Licensed),
        Joint::Splice | Joint::Coupler => None,
    };
    let by_route = |is, route: Option<&Route>, more_s: f64, why: Option<Why>| match route {
        Some(route) => UseCost {
            price_s: route.price_s + more_s,
            ..cost(
                is,
                route.length_m(),
                route.time_s() + Span::exact(more_s),
                route.holes(),
                why,
            )
        },
        None => cost(
            is,
            Span::ZERO,
            Span::ZERO,
            Span::ZERO,
            why.or(Some(Why::NoWay)),
        ),
    };
    let extend = by_route(Use::Extend, old.onward, old.joint.time().0, kind.or(joint));

    // The old cable's way is free of holes; the rest of the way is as when it is lengthened.
    let fixed = match old.is_fixed {
        Some(true) => Some(Why::Fixed),
        Some(false) | None => None,
    };
    let pulled = old.length_m * times.pull_s_per_m;
    let mut string = by_route(Use::PullString, old.onward, 0.0, fixed);
    if old.onward.is_some() {
        string.length_m = string.length_m + old.length_m;
        string.time_s = string.time_s + pulled;
        string.price_s += pulled.middle() + weights.metre_s_per_m * old.length_m.middle();
        if old.is_fixed.is_none()
            && let Some(anew) = old.anew
        {
            // If it turns out to be fixed, the new cable takes its own way after all.
            string.length_m = string.length_m.hull(anew.length_m());
            string.time_s = string.time_s.hull(anew.time_s());
            string.holes = string.holes.hull(anew.holes());
            string.price_s = 0.5 * (string.price_s + anew.price_s);
        }
    }
    let abandon = by_route(Use::Abandon, old.anew, 0.0, None);
    let mut all = vec![as_is, drop, extend, string, abandon];
    all.sort_by(|a, b| {
        let key = |cost: &UseCost| (cost.not_open.is_some(), cost.is);
        (a.not_open.is_some().cmp(&b.not_open.is_some()))
            .then(a.price_s.total_cmp(&b.price_s))
            .then(key(a).cmp(&key(b)))
    });
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn old(joint: Joint) -> Existing<'static> {
        Existing {
            is_right_kind: true,
            joint,
            is_fixed: Some(true),
            length_m: Span::exact(12.0),
            off_m: 0.9,
            in_bay: Some(InBay {
                takes_m: 0.9,
                spare_m: Span::exact(1.2),
                blocks: Span::ZERO,
            }),
            onward: None,
            anew: None,
        }
    }

    fn best(old: &Existing<'_>) -> (Use, Option<Why>) {
        let all = uses(old, Seconds(2700.0), &Times::PRACTICE, &Weights::PRACTICE);
        (all[0].is, all[0].not_open)
    }

    #[test]
    fn what_is_there_is_used_and_what_is_near_is_moved() {
        let mut there = old(Joint::Splice);
        assert_eq!(best(&there), (Use::DropInBay, None));
        there.off_m = 0.0;
        assert_eq!(best(&there), (Use::AsIs, None));
    }

    #[test]
    fn too_little_spare_or_the_wrong_kind_closes_it() {
        let mut short = old(Joint::Splice);
        short.in_bay.as_mut().unwrap().spare_m = Span::between(0.3, 2.0);
        let all = uses(
            &short,
            Seconds(2700.0),
            &Times::PRACTICE,
            &Weights::PRACTICE,
        );
        let why = |of: Use| all.iter().find(|cost| cost.is == of).unwrap().not_open;
        assert_eq!(why(Use::DropInBay), Some(Why::TooShort));
        assert_eq!(why(Use::PullString), Some(Why::Fixed));
        assert_eq!(why(Use::Abandon), Some(Why::NoWay));
        let mut other = old(Joint::Never);
        assert_eq!(
            uses(&other, Seconds(0.0), &Times::PRACTICE, &Weights::PRACTICE)
                .iter()
                .find(|cost| cost.is == Use::Extend)
                .unwrap()
                .not_open,
            Some(Why::NeverCut)
        );
        other.is_right_kind = false;
        assert_ne!(best(&other).1, None);
    }

    #[test]
    fn each_block_takes_a_hole_and_an_opened_board() {
        let mut blocked = old(Joint::Splice);
        blocked.in_bay.as_mut().unwrap().blocks = Span::exact(2.0);
        let all = uses(
            &blocked,
            Seconds(2700.0),
            &Times::PRACTICE,
            &Weights::PRACTICE,
        );
        // 45 min for the plate, 10 + 15 min for each block.
        assert_eq!(all[0].time_s, Span::exact(2700.0 + 2.0 * 1500.0));
    }
}
