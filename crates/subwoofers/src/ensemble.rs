//! Is one arrangement better, or are both equal as far as the room is known?
//!
//! Absorption at low frequency is never known well. The same two arrangements are
//! weighed in each of some rooms that it may be; what they differ by is compared with
//! how that difference scatters. Both share each room, so what changes both alike
//! cancels.

use crate::{Arrangement, Goal, Transfers, score};

/// How far one arrangement is better than another, over some rooms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// Mean of the other's cost less the one's, dB²: positive where the one is better.
    pub mean: f64,
    /// Standard deviation of it over the rooms, dB².
    pub deviation: f64,
}

impl Difference {
    /// From how much one is better in each of some rooms: the other's cost less its own, dB².
    pub fn over(differences: &[f64]) -> Self {
        let count = differences.len() as f64;
        let mean = differences.iter().sum::<f64>() / count;
        let squares: f64 = differences
            .iter()
            .map(|one| (one - mean) * (one - mean))
            .sum();
        let deviation = (squares / (count - 1.0).max(1.0)).sqrt();
        Self { mean, deviation }
    }

    /// Whether the difference is within twice its deviation: neither is better.
    pub fn is_equal(self) -> bool {
        self.mean.abs() <= 2.0 * self.deviation
    }
}

/// Weighs `one` against `other` in each of the rooms, which share frequencies, seats
/// and places. A single room knows no deviation: whatever differs is better.
///
/// # Panics
///
/// Without any room, or if an arrangement names a place that a room lacks.
pub fn difference(
    rooms: &[Transfers],
    goal: &Goal,
    one: &Arrangement,
    other: &Arrangement,
) -> Difference {
    assert!(!rooms.is_empty(), "no room to compare arrangements in");
    let cost = |room: &Transfers, of: &Arrangement| score(room, goal, of).cost;
    let differences: Vec<f64> = rooms
        .iter()
        .map(|room| cost(room, other) - cost(room, one))
        .collect();
    Difference::over(&differences)
}

#[cfg(test)]
mod tests {
    use num_complex::Complex;
    use units::Hertz;

    use super::*;
    use crate::{Place, Setting};

    /// Two places; the levels at two seats differ by the numbers given.
    fn room(apart: [f64; 2]) -> Transfers {
        let place = |db: f64| Place {
            kind: String::new(),
            pressures: [0.0, db]
                .iter()
                .map(|db| vec![Complex::new(10_f64.powf(db / 20.0), 0.0); 2])
                .collect(),
        };
        let lines = [Hertz(30.0), Hertz(60.0)];
        Transfers::new(&lines, &[1.0; 2], apart.map(place).to_vec()).unwrap()
    }

    fn at(place: usize) -> Arrangement {
        Arrangement {
            subs: vec![(place, Setting::PLAIN)],
        }
    }

    #[test]
    fn a_difference_that_all_rooms_agree_on_is_one() {
        // MSV is a quarter of the squared difference: 1 and 4, 1.21 and 4.41.
        let rooms = [room([2.0, 4.0]), room([2.2, 4.2])];
        let goal = Goal::even(&rooms[0]);
        let told = difference(&rooms, &goal, &at(0), &at(1));
        assert!((told.mean - 3.1).abs() < 1e-9, "{told:?}");
        assert!((told.deviation - 0.1 * 2_f64.sqrt()).abs() < 1e-9);
        assert!(!told.is_equal());
    }

    #[test]
    fn a_difference_below_what_is_known_of_the_room_is_none() {
        let rooms = [room([2.0, 4.0]), room([4.0, 2.2])];
        let told = difference(&rooms, &Goal::even(&rooms[0]), &at(0), &at(1));
        assert!(told.is_equal(), "{told:?}");
    }
}
