//! How each surface of a room gives way at low frequency.
//!
//! Tables begin at 125 Hz; below, the value there is kept, which says more than is known:
//! that is why results carry the spread of some rooms with half and twice as much
//! ([`crate::Solved`]). What covers a part of a surface gives way where it is; where nobody noted its
//! place it counts by its share of the area.

use acoustics::finishes::{self, Counts, Finish};
use acoustics::octave::{OctaveBand, Octaves};
use analysis::Analysis;
use model::{Covering, Space};
use waves::Admittance;

/// What stands for a surface of which nobody says how it is finished: board on studs or
/// joists, as most houses have.
const WALL_ASSUMED: &str = "gypsum_12mm_studs";
const FLOOR_ASSUMED: &str = "wood_floor_joists";

/// The octaves that matter below 250 Hz, and the one above for the slope between.
const BANDS: [OctaveBand; 3] = [OctaveBand::Hz125, OctaveBand::Hz250, OctaveBand::Hz500];

/// The admittance of a surface (`floor`, `ceiling` or a wall's name) of so much area, its
/// coverings without a place shared out: those are added to `loose`, what is assumed to `assumed`.
pub(crate) fn of_surface(
    analysis: &Analysis,
    space: &Space,
    surface: &str,
    area_m2: f64,
    [assumed, loose]: [&mut Vec<String>; 2],
) -> Admittance {
    let finish = match analysis.finish_of(space, surface) {
        Ok(finish) => finish.absorption,
        Err(missing) => {
            let stands_in = if surface == "floor" {
                FLOOR_ASSUMED
            } else {
                WALL_ASSUMED
            };
            let found = finishes::finish(stands_in).map(|finish: &Finish| finish.absorption);
            assumed.push(format!(
                "{} is not known: taken as {}",
                missing.what,
                stands_in.replace('_', " ")
            ));
            found.unwrap_or([Some(0.1); 7])
        }
    };
    let mut alphas = BANDS.map(|band| known(finish, band));
    for covering in space.coverings() {
        let over = covering.over.as_deref();
        let table = finishes::finish(&covering.finish).ok();
        let per_area = table.is_some_and(|table| table.counts == Counts::PerArea);
        if over != Some(surface) || !per_area || area_m2 <= 0.0 {
            continue;
        }
        if placed(analysis, space, covering).is_some() {
            // A surface of its own.
            continue;
        }
        let (Some(table), Ok(covered)) = (table, analysis.covering_area(space, covering)) else {
            assumed.push(format!(
                "{} is left out: its size is not known",
                covering.id.replace('-', " ")
            ));
            continue;
        };
        let name = covering.id.replace('-', " ");
        if !loose.contains(&name) {
            loose.push(name);
        }
        let share = (covered.value() / area_m2).clamp(0.0, 1.0);
        for (alpha, band) in alphas.iter_mut().zip(BANDS) {
            *alpha = *alpha * (1.0 - share) + known(table.absorption, band) * share;
        }
    }
    diffuse(alphas)
}

/// Where a covering lies that has a place and an absorption by its area, and its admittance.
pub(crate) fn placed(
    analysis: &Analysis,
    space: &Space,
    covering: &Covering,
) -> Option<([[f64; 3]; 4], Admittance)> {
    let table = finishes::finish(&covering.finish).ok()?;
    if table.counts != Counts::PerArea {
        return None;
    }
    let corners = analysis.covering_corners(space, covering).ok()??;
    Some((corners, of_absorption(table.absorption)))
}

/// The admittance of something with an absorption of its own: glass, a door.
pub(crate) fn of_absorption(absorption: Octaves<f64>) -> Admittance {
    diffuse(BANDS.map(|band| known(absorption, band)))
}

fn diffuse(alphas: [f64; 3]) -> Admittance {
    // No real admittance absorbs more of a diffuse field than 0.951.
    let points = BANDS.iter().zip(alphas);
    Admittance::Diffuse(
        points
            .map(|(band, alpha)| (band.nominal().0, alpha.clamp(0.0, 0.95)))
            .collect(),
    )
}

/// The value of a band, or of the next one that is printed.
fn known(absorption: Octaves<f64>, band: OctaveBand) -> f64 {
    let from = absorption[band.index()..].iter().flatten().next();
    from.or_else(|| absorption.iter().flatten().last())
        .copied()
        .unwrap_or(0.1)
}
