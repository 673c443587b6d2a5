//! How many ceiling loudspeakers cover a room evenly?
//!
//! `D = 2 (h − e) tan(φ/2)`, count = area / (s · row spacing)
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | D | diameter of the covered circle at ear height | m |
//! | h, e | ceiling height, ear height (1.1 to 1.2 seated, 1.65 standing) | m |
//! | φ | full −6 dB coverage angle | rad |
//! | s | spacing along a row; rows are s apart (square) or 0.866 s (hexagonal) | m |
//!
//! The level variations printed for each pattern are common practice (printed
//! layout guides): real loudspeakers in real rooms. [`variation_modelled`] is the
//! direct field of an endless grid of ideal ones and reads lower; it is the check
//! of code, the printed set is the rule. Coverage at 1 kHz alone says nothing of
//! speech at 4 kHz: take the angle of the highest band that matters.

use units::{Decibels, Metres, Radians, SquareMetres};

mod references;
pub(crate) use references::REFERENCES;

/// How ceiling loudspeakers stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grid {
    /// Rows straight behind each other.
    Square,
    /// Every other row shifted by half a spacing.
    Hexagonal,
}

/// How far the covered circles overlap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Overlap {
    /// The circles touch: background music.
    EdgeToEdge,
    /// No place is left uncovered: good speech.
    Minimum,
    /// Each circle reaches the next loudspeaker.
    CentreToCentre,
}

/// The diameter covered at ear height; `None` for an ear at or above the ceiling
/// or a coverage of 180° and more.
pub fn covered_diameter(ceiling: Metres, ear: Metres, coverage: Radians) -> Option<Metres> {
    let drop = ceiling.0 - ear.0;
    let half = coverage.0 / 2.0;
    let open = half > 0.0 && half < std::f64::consts::FRAC_PI_2;
    (drop > 0.0 && open).then(|| Metres(2.0 * drop * half.tan()))
}

/// The spacing along a row.
pub fn spacing(diameter: Metres, grid: Grid, overlap: Overlap) -> Metres {
    diameter
        * match (grid, overlap) {
            (_, Overlap::EdgeToEdge) => 1.0,
            // The circles of four (three) neighbours meet in one point.
            (Grid::Square, Overlap::Minimum) => 0.5_f64.sqrt(),
            (Grid::Hexagonal, Overlap::Minimum) => 0.75_f64.sqrt(),
            (_, Overlap::CentreToCentre) => 0.5,
        }
}

/// The distance from row to row.
pub fn row_spacing(spacing: Metres, grid: Grid) -> Metres {
    match grid {
        Grid::Square => spacing,
        Grid::Hexagonal => spacing * 0.75_f64.sqrt(),
    }
}

/// The loudspeakers for an area at that density, rounded up; 0 for no area. A
/// start only: joists and lights move them, and the result is proved again.
pub fn count(area: SquareMetres, spacing: Metres, grid: Grid) -> u32 {
    let each = spacing.0 * row_spacing(spacing, grid).0;
    // An exact fit must not become one more by rounding.
    (area.0 / each - 1e-9).ceil().max(0.0) as u32
}

/// Highest minus lowest level at ear height as printed layout guides have it;
/// common practice, no source.
pub fn variation_published(grid: Grid, overlap: Overlap) -> Decibels {
    Decibels(match (grid, overlap) {
        (Grid::Square, Overlap::EdgeToEdge) => 4.4,
        (Grid::Square, Overlap::Minimum) => 2.0,
        (Grid::Square, Overlap::CentreToCentre) => 1.4,
        (Grid::Hexagonal, Overlap::EdgeToEdge) => 5.4,
        (Grid::Hexagonal, Overlap::Minimum) => 2.6,
        (Grid::Hexagonal, Overlap::CentreToCentre) => 1.2,
    })
}

/// Highest minus lowest level under an endless grid of sources whose direct
/// energy at ear height is `(1 + (r/h′)²)^−2` (−6 dB at r = h′, so D = 2 h′),
/// added by power over 51 × 51 of them.
pub fn variation_modelled(grid: Grid, overlap: Overlap) -> Decibels {
    // Everything scales with h′: take it as 1 m.
    let along = spacing(Metres(2.0), grid, overlap);
    let across = row_spacing(along, grid).0;
    let along = along.0;
    let energy = |x: f64, y: f64| -> f64 {
        let mut sum = 0.0;
        for row in -25_i32..=25 {
            let shift = if grid == Grid::Hexagonal {
                f64::from(row.rem_euclid(2)) / 2.0
            } else {
                0.0
            };
            for place in -25_i32..=25 {
                let dx = x - (f64::from(place) + shift) * along;
                let dy = y - f64::from(row) * across;
                sum += (1.0 + dx * dx + dy * dy).powi(-2);
            }
        }
        sum
    };
    // The pattern repeats, mirrored, within half a spacing and one row.
    const STEPS: i32 = 24;
    let levels: Vec<f64> = (0..=STEPS)
        .flat_map(|i| (0..=STEPS).map(move |j| (i, j)))
        .map(|(i, j)| {
            let part = |n: i32| f64::from(n) / f64::from(STEPS);
            10.0 * energy(part(i) * along / 2.0, part(j) * across).log10()
        })
        .collect();
    let highest = levels.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let lowest = levels.iter().copied().fold(f64::INFINITY, f64::min);
    Decibels(highest - lowest)
}

/// Between loudspeakers on a square grid in the free field, so that the middle of four is
/// `spread_db` below the place straight over one, at a height h over them: s = h √(8 · 10^(X/10)).
///
/// At the middle four sound from s/√2; straight over one the others are left out.
pub fn free_field_spacing(over: Metres, spread_db: f64) -> Metres {
    Metres(over.0 * (8.0 * 10_f64.powf(spread_db / 10.0)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minimum_overlap_leaves_no_gap() {
        for grid in [Grid::Square, Grid::Hexagonal] {
            let s = spacing(Metres(2.0), grid, Overlap::Minimum).0;
            // The farthest point: middle of a square, or of a triangle of three.
            let farthest = match grid {
                Grid::Square => s / 2.0_f64.sqrt(),
                Grid::Hexagonal => s / 3.0_f64.sqrt(),
            };
            assert!((farthest - 1.0).abs() < 1e-12, "{grid:?}");
        }
    }

    #[test]
    fn an_exact_fit_counts_exactly() {
        assert_eq!(count(SquareMetres(12.0), Metres(2.0), Grid::Square), 3);
        assert_eq!(count(SquareMetres(12.1), Metres(2.0), Grid::Square), 4);
        assert_eq!(count(SquareMetres(0.0), Metres(2.0), Grid::Square), 0);
    }

    #[test]
    fn an_ear_above_the_ceiling_is_not_covered() {
        let angle = Radians::from_degrees(90.0);
        assert_eq!(covered_diameter(Metres(1.0), Metres(1.2), angle), None);
        assert_eq!(
            covered_diameter(Metres(2.4), Metres(1.2), angle * 2.0),
            None
        );
    }

    #[test]
    fn closer_is_more_even() {
        for grid in [Grid::Square, Grid::Hexagonal] {
            let [wide, mid, close] = [
                Overlap::EdgeToEdge,
                Overlap::Minimum,
                Overlap::CentreToCentre,
            ]
            .map(|overlap| variation_modelled(grid, overlap).0);
            assert!(wide > mid && mid > close, "{grid:?}");
        }
    }

    #[test]
    fn four_at_the_free_field_spacing_are_as_much_softer_in_their_middle() {
        let over = Metres(0.9);
        let spacing = free_field_spacing(over, 10.0).0;
        let middle = 4.0 / (spacing * spacing / 2.0);
        let near = 1.0 / over.0.powi(2);
        assert!((10.0 * (near / middle).log10() - 10.0).abs() < 1e-9);
    }
}
