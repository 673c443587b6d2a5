//! Does a seat that is moved stay beside its neighbours, and not on their laps?

use analysis::{Analysis, Limit, Source};
use model::{Edit, Seat, Space};
use units::Dimension;

use crate::moves::{Placed, Round};

/// How near two heads may come where a remedy moves one.
pub(crate) static SEAT_APART_MIN: Limit = Limit {
    name: "seat_apart_min",
    meaning: "how far apart in plan the middles of two seats are at least where a remedy moves one: the width of a seat",
    dimension: Dimension::Length,
    value: 0.55,
    source: Source::CommonPractice,
    regional: &[],
};

/// Where the other seats of a space are, best estimates.
#[derive(Default)]
pub(crate) struct OtherSeats {
    /// Each in plan, and how near this seat may come to it, m: seats that are nearer to each
    /// other already come no nearer.
    kept_m: Vec<([f64; 2], f64)>,
}

impl OtherSeats {
    /// Those beside one that is now at `plan`.
    pub fn of(analysis: &Analysis, space: &Space, seat: &Seat, plan: [f64; 2]) -> Self {
        let least = analysis.limit(&SEAT_APART_MIN).value;
        let others = analysis
            .seats_in(space)
            .filter(|(other, _)| other.id != seat.id);
        let kept_m = others.filter_map(|(_, place)| {
            let other = place.ok()?.plan.value();
            // A hair, so that rounding of what is written decides nothing.
            Some((other, least.min(apart(other, plan) - 1e-6)))
        });
        Self {
            kept_m: kept_m.collect(),
        }
    }

    /// Whether a head may be there.
    pub fn leave_room_at(&self, plan: [f64; 2]) -> bool {
        (self.kept_m.iter()).all(|(other, least)| apart(*other, plan) >= *least)
    }
}

fn apart(one: [f64; 2], other: [f64; 2]) -> f64 {
    (one[0] - other[0]).hypot(one[1] - other[1])
}

/// Moves a seat by `by_m` along a direction in plan, as [`Placed::in_plan`], where it comes
/// onto no other.
pub(crate) fn moved_seat(
    analysis: &Analysis,
    (space, seat): (&Space, &Seat),
    direction: [f64; 2],
    by_m: f64,
    round: Round,
) -> Option<Edit> {
    let plan = analysis.seat(space, seat).ok()?.plan.value();
    let there = [0, 1].map(|axis| plan[axis] + by_m * direction[axis]);
    let others = OtherSeats::of(analysis, space, seat, plan);
    others
        .leave_room_at(there)
        .then(|| Placed::seat(space, seat).in_plan(analysis, direction, by_m, round))?
}

#[cfg(test)]
mod tests {
    use analysis::Analysis;

    use super::*;
    use crate::testing::{ROOM, job};

    /// Two seats 1 m apart along the west wall, 2 m from it, and how far the first moves
    /// towards the second.
    fn may_move(by_m: f64, rules: &str) -> bool {
        let seats = "[[space.seat]]\nid = \"a\"\nat = { from = [\"west\", \"2 m\"], and = [\"north\", \"1 m\"] }\neye = \"1.1 m\"\n[[space.seat]]\nid = \"b\"\nat = { from = [\"west\", \"2 m\"], and = [\"north\", \"2 m\"] }\neye = \"1.1 m\"\n";
        let analysis = Analysis::new(job(&format!("{ROOM}{seats}{rules}")));
        let space = analysis.space("den").expect("the room");
        let seat = &space.seat[0];
        moved_seat(&analysis, (space, seat), [0.0, -1.0], by_m, Round::Nearest).is_some()
    }

    #[test]
    fn a_seat_keeps_a_seats_width_from_the_next() {
        assert!(may_move(0.44, ""));
        assert!(!may_move(0.46, ""));
        assert!(!may_move(1.2, ""));
        assert!(may_move(1.56, ""));
        let own = "[rules]\nseat_apart_min = \"70 cm\"\n";
        assert!(may_move(0.29, own));
        assert!(!may_move(0.31, own));
    }

    #[test]
    fn seats_that_are_near_already_come_no_nearer() {
        let wide = "[rules]\nseat_apart_min = \"120 cm\"\n";
        assert!(may_move(-0.01, wide));
        assert!(!may_move(0.01, wide));
    }
}
