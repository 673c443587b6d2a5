//! How does a room ring that is open to others through archways?
//!
//! Each room holds a diffuse field of its own; through an opening energy goes both ways:
//!
//! `V_i dw_i/dt = (c/4) (−(A_i + Σ_j S_ij) w_i + Σ_j S_ij w_j)`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | V_i, w_i | volume, energy density | m³, J/m³ |
//! | A_i | what absorbs in room i, air included, openings left out; under Eyring's law −S ln(1 − ᾱ) | m² |
//! | S_ij | area of the opening between rooms i and j | m² |
//! | c | speed of sound | m/s |
//!
//! Scaled by √V the system is symmetric, so that its rates are the eigenvalues of a symmetric
//! matrix (Jacobi's method). Told is what a steady source in one room leaves there when it
//! stops. Valid where openings are small against the rooms' own absorption or surfaces; an
//! opening as large as a wall makes one room of two. (Statistical theory of coupled rooms:
//! L. Cremer and H. A. Müller, Principles and Applications of Room Acoustics, from memory.)

use units::{CubicMetres, MetresPerSecond, SquareMetres};

use crate::decay::Decay;

/// A room of several.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Its air.
    pub volume: CubicMetres,
    /// What absorbs in it, openings to the others left out.
    pub absorption: SquareMetres,
}

/// An opening between two rooms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// The rooms, by their places in the list.
    pub between: [usize; 2],
    /// Its area.
    pub area: SquareMetres,
}

/// The decay heard in the first room after a steady source in it stops. `None` where nothing
/// absorbs, a volume is none, or an opening names a room that is not there.
pub fn decay(rooms: &[Room], openings: &[Opening], speed: MetresPerSecond) -> Option<Decay> {
    let count = rooms.len();
    let fits = |opening: &Opening| {
        let [a, b] = opening.between;
        a < count && b < count && a != b && opening.area.0 >= 0.0
    };
    if count == 0
        || rooms
            .iter()
            .any(|room| !(room.volume.0 > 0.0 && room.absorption.0 >= 0.0))
        || !openings.iter().all(fits)
    {
        return None;
    }
    let mut matrix = vec![vec![0.0; count]; count];
    for (at, room) in rooms.iter().enumerate() {
        matrix[at][at] += room.absorption.0;
    }
    for Opening {
        between: [a, b],
        area,
    } in openings
    {
        matrix[*a][*a] += area.0;
        matrix[*b][*b] += area.0;
        matrix[*a][*b] -= area.0;
        matrix[*b][*a] -= area.0;
    }
    for (i, row) in matrix.iter_mut().enumerate() {
        for (j, part) in row.iter_mut().enumerate() {
            *part *= speed.0 / 4.0 / (rooms[i].volume.0 * rooms[j].volume.0).sqrt();
        }
    }
    let (rates, first) = eigen(matrix);
    let parts: Vec<(f64, f64)> = (rates.iter().zip(&first))
        .filter(|(_, share)| share.abs() > 1e-12)
        .map(|(rate, share)| (share * share / rate, *rate))
        .collect();
    Decay::new(&parts)
}

/// Eigenvalues of a symmetric matrix, and the first component of each eigenvector.
fn eigen(mut a: Vec<Vec<f64>>) -> (Vec<f64>, Vec<f64>) {
    let n = a.len();
    let mut first = vec![0.0; n];
    first[0] = 1.0;
    for _ in 0..60 {
        let off: f64 = (0..n)
            .flat_map(|i| (0..i).map(move |j| (i, j)))
            .map(|(i, j)| a[i][j] * a[i][j])
            .sum();
        let on: f64 = (0..n).map(|i| a[i][i] * a[i][i]).sum();
        if off <= 1e-30 * on {
            break;
        }
        for p in 0..n {
            for q in p + 1..n {
                if a[p][q] == 0.0 {
                    continue;
                }
                let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
                let t = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
                let c = 1.0 / (t * t + 1.0).sqrt();
                let s = t * c;
                for row in &mut a {
                    let (x, y) = (row[p], row[q]);
                    (row[p], row[q]) = (c * x - s * y, s * x + c * y);
                }
                // p comes before q, so both rows can be changed at once.
                let (above, below) = a.split_at_mut(q);
                for (x, y) in above[p].iter_mut().zip(&mut below[0]) {
                    (*x, *y) = (c * *x - s * *y, s * *x + c * *y);
                }
                let (x, y) = (first[p], first[q]);
                (first[p], first[q]) = (c * x - s * y, s * x + c * y);
            }
        }
    }
    ((0..n).map(|i| a[i][i]).collect(), first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reverberation::{BandRoom, Surface};
    use units::Seconds;

    const SPEED: MetresPerSecond = MetresPerSecond(343.2);

    fn room(volume: f64, absorption: f64) -> Room {
        Room {
            volume: CubicMetres(volume),
            absorption: SquareMetres(absorption),
        }
    }

    fn opening(a: usize, b: usize, area: f64) -> Opening {
        Opening {
            between: [a, b],
            area: SquareMetres(area),
        }
    }

    #[test]
    fn one_room_is_sabines() {
        let alone = decay(&[room(57.6, 9.6)], &[], SPEED).unwrap();
        let surface = Surface {
            area: SquareMetres(96.0),
            alpha: 0.1,
        };
        let sabine = BandRoom::new(CubicMetres(57.6), vec![surface])
            .unwrap()
            .sabine();
        assert!((alone.t20().0 - sabine.0).abs() < 1e-6);
    }

    #[test]
    fn twins_ring_as_one_of_them() {
        // By symmetry nothing flows between two equal rooms once both are filled alike; and
        // a very wide opening fills both.
        let twins = decay(
            &[room(50.0, 10.0), room(50.0, 10.0)],
            &[opening(0, 1, 1e4)],
            SPEED,
        );
        let alone = decay(&[room(50.0, 10.0)], &[], SPEED).unwrap();
        assert!((twins.unwrap().t20().0 - alone.t20().0).abs() < 1e-3);
    }

    #[test]
    fn a_dead_room_behind_an_archway_is_an_open_window() {
        let open = decay(
            &[room(50.0, 8.0), room(80.0, 1e6)],
            &[opening(0, 1, 2.0)],
            SPEED,
        );
        let window = decay(&[room(50.0, 10.0)], &[], SPEED).unwrap();
        assert!((open.unwrap().t30().0 / window.t30().0 - 1.0).abs() < 1e-3);
    }

    #[test]
    fn a_live_room_behind_a_dead_one_bends_the_decay() {
        let coupled = decay(
            &[room(50.0, 25.0), room(80.0, 5.0)],
            &[opening(0, 1, 2.0)],
            SPEED,
        );
        let coupled = coupled.unwrap();
        let window = decay(&[room(50.0, 27.0)], &[], SPEED).unwrap();
        assert!(coupled.t20().0 > window.t20().0);
        assert!(coupled.bend() > 0.1, "{}", coupled.bend());
    }

    #[test]
    fn the_decay_solves_the_equations() {
        // Against small steps of the equations themselves.
        let rooms = [room(40.0, 7.0), room(90.0, 12.0), room(25.0, 3.0)];
        let openings = [opening(0, 1, 2.1), opening(1, 2, 1.6), opening(0, 2, 0.4)];
        let told = decay(&rooms, &openings, SPEED).unwrap();
        let flow = |w: [f64; 3]| {
            let mut rate = [0, 1, 2].map(|i| -rooms[i].absorption.0 * w[i]);
            for Opening {
                between: [a, b],
                area,
            } in &openings
            {
                rate[*a] += area.0 * (w[*b] - w[*a]);
                rate[*b] += area.0 * (w[*a] - w[*b]);
            }
            [0, 1, 2].map(|i| rate[i] * SPEED.0 / 4.0 / rooms[i].volume.0)
        };
        // The steady state first: a source in room 0 until nothing changes.
        let step = 1e-4;
        let mut w = [1.0, 0.0, 0.0];
        let run = |w: &mut [f64; 3], source: f64, steps: usize| {
            for _ in 0..steps {
                let rate = flow(*w);
                *w = [0, 1, 2].map(|i| w[i] + step * (rate[i] + if i == 0 { source } else { 0.0 }));
            }
        };
        run(&mut w, 1.0, 200_000);
        let start = w[0];
        run(&mut w, 0.0, 3000);
        let level = 10.0 * (w[0] / start).log10();
        let found = told.level(Seconds(0.3)).0;
        assert!((level - found).abs() < 0.02, "{level} {found}");
    }

    #[test]
    fn what_is_no_room_is_refused() {
        assert!(decay(&[], &[], SPEED).is_none());
        assert!(decay(&[room(0.0, 1.0)], &[], SPEED).is_none());
        assert!(decay(&[room(1.0, 0.0)], &[], SPEED).is_none());
        assert!(decay(&[room(1.0, 1.0)], &[opening(0, 1, 1.0)], SPEED).is_none());
    }
}
