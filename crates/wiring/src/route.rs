//! How long is a cable between two points of a room, run square through ceiling void or floor?
//!
//! Up (or down) to the run, along one axis of the room, along the other, down
//! (or up) to the far end: `L = (Σ legs)(1 + slack) + 2 loop`. This is what a
//! crew lays along studs and joists; stud bays, fire blocks and walls in the
//! way are not seen here.

use units::Metres;

use units::guard::{non_negative, positive};

/// A point in room axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along the first axis.
    pub x: Metres,
    /// Along the second axis.
    pub y: Metres,
    /// Above the floor.
    pub height: Metres,
}

/// Both ends of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// Where the pull starts.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

/// Which way a run goes between its drops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Way {
    /// Through the ceiling void, at this height above the floor.
    CeilingVoid(Metres),
    /// Along the baseboard or below the floor, at this height (negative below the floor).
    Floor(Metres),
}

/// What is added to the bare legs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spare {
    /// Loop left at each end.
    pub service_loop: Metres,
    /// Added part of the legs for what is not straight.
    pub slack: f64,
}

impl Spare {
    /// 0.5 m at each end and 10 % (common practice, no source).
    pub const PRACTICE: Self = Self {
        service_loop: Metres(0.5),
        slack: 0.10,
    };
}

/// Direction of one leg.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LegKind {
    /// Service loop at an end.
    Loop,
    /// Upwards.
    Rise,
    /// Downwards.
    Drop,
    /// Level, along the first axis.
    AlongX,
    /// Level, along the second axis.
    AlongY,
    /// Allowance for what is not straight.
    Slack,
}

/// One leg of a route; legs of no length are left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Direction.
    pub kind: LegKind,
    /// Length.
    pub length: Metres,
}

/// A route from end to end.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Legs in the order of the pull, slack before the last loop.
    pub legs: Vec<Leg>,
    /// Length of cable to cut.
    pub length: Metres,
}

/// The square route between two ends; `None` for a point that is no number, or a run below an
/// end in the ceiling void or above an end along the floor (the drop would turn back on itself).
pub fn route(ends: &Ends, way: Way, spare: &Spare) -> Option<Route> {
    let (from, to) = (ends.from, ends.to);
    for value in [from.x, from.y, from.height, to.x, to.y, to.height] {
        value.0.is_finite().then_some(())?;
    }
    let run = match way {
        Way::CeilingVoid(h) => (h >= from.height && h >= to.height).then_some(h)?,
        Way::Floor(h) => (h <= from.height && h <= to.height).then_some(h)?,
    };
    let vertical = |start: Metres, end: Metres| {
        let kind = if end.0 >= start.0 {
            LegKind::Rise
        } else {
            LegKind::Drop
        };
        (kind, (end.0 - start.0).abs())
    };
    let bare = [
        vertical(from.height, run),
        (LegKind::AlongX, (to.x.0 - from.x.0).abs()),
        (LegKind::AlongY, (to.y.0 - from.y.0).abs()),
        vertical(run, to.height),
    ];
    let bare_length: f64 = bare.iter().map(|leg| leg.1).sum();
    let service_loop = (LegKind::Loop, non_negative(spare.service_loop.0)?);
    let slack = (LegKind::Slack, bare_length * non_negative(spare.slack)?);
    let all = [service_loop]
        .into_iter()
        .chain(bare)
        .chain([slack, service_loop]);
    let legs: Vec<Leg> = all
        .filter(|leg| leg.1 > 0.0)
        .map(|(kind, length)| Leg {
            kind,
            length: Metres(length),
        })
        .collect();
    let length = legs.iter().map(|leg| leg.length.0).sum();
    non_negative(length)?;
    Some(Route {
        legs,
        length: Metres(length),
    })
}

/// The shorter of the ways offered, the first of equals; `None` when none is possible.
pub fn shortest(ends: &Ends, ways: &[Way], spare: &Spare) -> Option<(Way, Route)> {
    let routes = ways
        .iter()
        .filter_map(|way| Some((*way, route(ends, *way, spare)?)));
    routes.min_by(|a, b| a.1.length.0.total_cmp(&b.1.length.0))
}

/// Length to cut for a measured route: with `end_allowance` at each end, to be added before any
/// spool is cut. Common practice is 150 mm.
pub fn cut_length(route_length: Metres, end_allowance: Metres) -> Option<Metres> {
    Some(Metres(
        positive(route_length.0)? + 2.0 * non_negative(end_allowance.0)?,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    const NO_SPARE: Spare = Spare {
        service_loop: Metres(0.0),
        slack: 0.0,
    };

    fn point(x: f64, y: f64, height: f64) -> Point {
        Point {
            x: Metres(x),
            y: Metres(y),
            height: Metres(height),
        }
    }

    #[test]
    fn ceiling_route_has_rise_along_drop() {
        let ends = Ends {
            from: point(0.5, 0.0, 0.3),
            to: point(3.5, 4.0, 1.1),
        };
        let spare = Spare {
            service_loop: Metres(0.5),
            slack: 0.1,
        };
        let route = route(&ends, Way::CeilingVoid(Metres(2.7)), &spare).unwrap();
        let kinds: Vec<LegKind> = route.legs.iter().map(|leg| leg.kind).collect();
        use LegKind::*;
        assert_eq!(kinds, [Loop, Rise, AlongX, AlongY, Drop, Slack, Loop]);
        // 2.4 + 3 + 4 + 1.6 = 11 m, 10 % and two loops of 0.5 m.
        assert!((route.length.0 - 13.1).abs() < 1e-12);
    }

    #[test]
    fn floor_beats_ceiling_for_low_ends() {
        let ends = Ends {
            from: point(0.0, 0.0, 0.3),
            to: point(5.0, 0.0, 0.3),
        };
        let ways = [Way::CeilingVoid(Metres(2.7)), Way::Floor(Metres(0.05))];
        let (way, route) = shortest(&ends, &ways, &NO_SPARE).unwrap();
        assert_eq!(way, ways[1]);
        assert!((route.length.0 - 5.5).abs() < 1e-12);
        assert_eq!(route.legs[0].kind, LegKind::Drop);
    }

    #[test]
    fn impossible_ways_give_no_route() {
        let ends = Ends {
            from: point(0.0, 0.0, 2.6),
            to: point(5.0, 0.0, 0.3),
        };
        assert_eq!(route(&ends, Way::CeilingVoid(Metres(2.4)), &NO_SPARE), None);
        assert_eq!(route(&ends, Way::Floor(Metres(0.5)), &NO_SPARE), None);
        let nowhere = Ends {
            from: point(f64::NAN, 0.0, 0.0),
            ..ends
        };
        assert_eq!(
            route(&nowhere, Way::CeilingVoid(Metres(3.0)), &NO_SPARE),
            None
        );
        assert_eq!(shortest(&ends, &[], &NO_SPARE), None);
    }
}
