//! What does a sub at each place give at each seat?

use num_complex::Complex;
use units::Hertz;

/// Complex pressure at each seat of a sub at each place, by frequency.
///
/// A value is the pressure at the seat over the free-field pressure of the same
/// sub at 1 m, both of the same drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Transfers {
    frequencies_hz: Vec<f64>,
    /// Share of each frequency in an average over octaves; they add to one.
    frequency_weights: Vec<f64>,
    /// Share of each seat; they add to one.
    seat_weights: Vec<f64>,
    places: Vec<Place>,
}

/// A place where a sub may stand, with its pressure at each seat.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Places of one kind are alike to a person: "front corner", "behind the sofa".
    /// Runners-up are told apart by their kinds.
    pub kind: String,
    /// `pressures[seat][frequency]`, over the free-field pressure at 1 m.
    pub pressures: Vec<Vec<Complex<f64>>>,
}

/// Why a table of transfers can't be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TransfersError {
    /// Fewer than two frequencies, or not in rising order.
    #[error("give at least two frequencies above 0 Hz in rising order; number {at} is {hertz} Hz")]
    Frequencies {
        /// Which frequency, from 1.
        at: usize,
        /// Its value.
        hertz: f64,
    },
    /// No seat, or one whose importance is no positive number.
    #[error("give at least one seat, each with an importance above 0; seat {seat} has {weight}")]
    Seats {
        /// Which seat, from 1.
        seat: usize,
        /// Its importance.
        weight: f64,
    },
    /// A place has not one finite pressure for each seat and frequency.
    #[error(
        "place {place} needs a finite pressure for each of {seats} seats at {frequencies} frequencies"
    )]
    Shape {
        /// Which place, from 1.
        place: usize,
        /// Seats of the table.
        seats: usize,
        /// Frequencies of the table.
        frequencies: usize,
    },
}

impl Transfers {
    /// Puts a table together.
    ///
    /// Frequencies rise; `importance` has one positive number for each seat.
    ///
    /// # Errors
    ///
    /// A table of another shape, or one that holds a number that is not finite.
    pub fn new(
        frequencies: &[Hertz],
        importance: &[f64],
        places: Vec<Place>,
    ) -> Result<Self, TransfersError> {
        let frequencies_hz: Vec<f64> = frequencies.iter().map(|frequency| frequency.0).collect();
        check_frequencies(&frequencies_hz)?;
        check_seats(importance)?;
        let (seats, count) = (importance.len(), frequencies_hz.len());
        for (index, place) in places.iter().enumerate() {
            let whole = place.pressures.len() == seats
                && place.pressures.iter().all(|seat| {
                    seat.len() == count && seat.iter().all(|pressure| pressure.is_finite())
                });
            if !whole {
                return Err(TransfersError::Shape {
                    place: index + 1,
                    seats,
                    frequencies: count,
                });
            }
        }
        let total: f64 = importance.iter().sum();
        Ok(Self {
            frequency_weights: octave_weights(&frequencies_hz),
            frequencies_hz,
            seat_weights: importance.iter().map(|weight| weight / total).collect(),
            places,
        })
    }

    /// The frequencies of the table, rising.
    pub fn frequencies(&self) -> impl ExactSizeIterator<Item = Hertz> + '_ {
        self.frequencies_hz.iter().map(|&hertz| Hertz(hertz))
    }

    /// The places of the table.
    pub fn places(&self) -> &[Place] {
        &self.places
    }

    /// The table of the first so many places alone.
    pub fn first(&self, places: usize) -> Self {
        Self {
            places: self.places.iter().take(places).cloned().collect(),
            ..self.clone()
        }
    }

    /// How many seats listen.
    pub fn seats(&self) -> usize {
        self.seat_weights.len()
    }

    pub(crate) fn frequencies_hz(&self) -> &[f64] {
        &self.frequencies_hz
    }

    pub(crate) fn frequency_weights(&self) -> &[f64] {
        &self.frequency_weights
    }

    pub(crate) fn seat_weights(&self) -> &[f64] {
        &self.seat_weights
    }
}

fn check_frequencies(frequencies_hz: &[f64]) -> Result<(), TransfersError> {
    let wrong = |at: usize| TransfersError::Frequencies {
        at: at + 1,
        hertz: frequencies_hz.get(at).copied().unwrap_or(f64::NAN),
    };
    if frequencies_hz.len() < 2 {
        return Err(wrong(frequencies_hz.len()));
    }
    let mut below = 0.0;
    for (at, &hertz) in frequencies_hz.iter().enumerate() {
        if !(hertz.is_finite() && hertz > below) {
            return Err(wrong(at));
        }
        below = hertz;
    }
    Ok(())
}

fn check_seats(importance: &[f64]) -> Result<(), TransfersError> {
    let wrong = |seat: usize, weight: f64| Err(TransfersError::Seats { seat, weight });
    if importance.is_empty() {
        return wrong(1, 0.0);
    }
    match importance
        .iter()
        .position(|&weight| !(weight.is_finite() && weight > 0.0))
    {
        Some(at) => wrong(at + 1, importance[at]),
        None => Ok(()),
    }
}

/// Half the logarithmic distance to both neighbours, so that a table with closer
/// lines somewhere does not count that part twice.
fn octave_weights(frequencies_hz: &[f64]) -> Vec<f64> {
    let last = frequencies_hz.len() - 1;
    let span = |low: usize, high: usize| (frequencies_hz[high] / frequencies_hz[low]).ln() / 2.0;
    let shares: Vec<f64> = (0..=last)
        .map(|at| {
            // The ends stand for as much as their one neighbour lets them.
            let below = if at > 0 { span(at - 1, at) } else { span(0, 1) };
            let above = if at < last {
                span(at, at + 1)
            } else {
                span(last - 1, last)
            };
            below + above
        })
        .collect();
    let total: f64 = shares.iter().sum();
    shares.iter().map(|share| share / total).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(seats: usize, frequencies: usize) -> Place {
        Place {
            kind: "corner".into(),
            pressures: vec![vec![Complex::new(1.0, 0.0); frequencies]; seats],
        }
    }

    #[test]
    fn lines_a_part_of_an_octave_apart_weigh_alike() {
        let lines: Vec<f64> = (0..13)
            .map(|n| 20.0 * 2_f64.powf(f64::from(n) / 6.0))
            .collect();
        for weight in octave_weights(&lines) {
            assert!((weight - 1.0 / 13.0).abs() < 1e-12);
        }
    }

    #[test]
    fn a_denser_part_counts_once() {
        // 20, 40 and 80 Hz are an octave apart; the two lines beside 40 Hz share its octave.
        let weights = octave_weights(&[20.0, 39.9, 40.0, 40.1, 80.0]);
        assert!(weights[1] + weights[2] + weights[3] < weights[0] + weights[4]);
    }

    #[test]
    fn a_table_of_another_shape_is_refused() {
        let lines = [Hertz(20.0), Hertz(40.0)];
        let error = Transfers::new(&lines, &[1.0], vec![place(1, 2), place(1, 3)]);
        assert_eq!(
            error.unwrap_err().to_string(),
            "place 2 needs a finite pressure for each of 1 seats at 2 frequencies"
        );
        let falling = Transfers::new(&[Hertz(40.0), Hertz(20.0)], &[1.0], vec![]);
        assert!(matches!(
            falling,
            Err(TransfersError::Frequencies { at: 2, .. })
        ));
        let one = Transfers::new(&[Hertz(40.0)], &[1.0], vec![]);
        assert!(matches!(one, Err(TransfersError::Frequencies { .. })));
        let weightless = Transfers::new(&lines, &[1.0, 0.0], vec![]);
        assert!(matches!(
            weightless,
            Err(TransfersError::Seats { seat: 2, .. })
        ));
        let mut hole = place(1, 2);
        hole.pressures[0][1] = Complex::new(f64::NAN, 0.0);
        assert!(Transfers::new(&lines, &[1.0], vec![hole]).is_err());
    }
}
