//! What a solve has found, as bytes, and the modes of the same room again from them.
//!
//! The grid is laid again, which takes moments; kept are the eigenvalues and the field of each
//! member of the basis. Little-endian: how many are sure, the basis, the unknowns (u64 each), the
//! eigenvalues, then the fields one after another (f64).

use faer::Mat;

use crate::modes::Modes;
use crate::solver::Solver;

/// Raised whenever the same room would be laid out otherwise than before, or solved into something
/// else: bytes of another are then refused.
pub const LAYOUT: u32 = 2;

const COUNTS: usize = 3;

impl Modes {
    /// What was found, to be kept beside the room that it was found in.
    pub fn kept(&self) -> Vec<u8> {
        let (sure, values, vectors) = self.found();
        let counts = [sure, values.len(), vectors.nrows()].map(|count| count as u64);
        let mut bytes = Vec::with_capacity(8 * (COUNTS + values.len() * (1 + vectors.nrows())));
        for count in counts {
            bytes.extend(count.to_le_bytes());
        }
        for value in values {
            bytes.extend(value.to_le_bytes());
        }
        for column in 0..vectors.ncols() {
            for row in 0..vectors.nrows() {
                bytes.extend(vectors[(row, column)].to_le_bytes());
            }
        }
        bytes
    }
}

impl Solver {
    /// The modes that [`Modes::kept`] told of this room with these settings; `None` where the
    /// bytes are of another grid, or none at all.
    pub fn restored(&self, bytes: &[u8]) -> Option<Modes> {
        let (counts, rest) = bytes.split_at_checked(8 * COUNTS)?;
        let counts: Vec<usize> = (eights(counts))
            .map(|eight| usize::try_from(u64::from_le_bytes(eight)).ok())
            .collect::<Option<_>>()?;
        let [sure, basis, unknowns] = counts.try_into().ok()?;
        let numbers = basis.checked_mul(unknowns.checked_add(1)?)?;
        if unknowns != self.size().unknowns
            || sure > basis
            || rest.len() != numbers.checked_mul(8)?
        {
            return None;
        }
        let mut numbers = eights(rest).map(f64::from_le_bytes);
        let values: Vec<f64> = numbers.by_ref().take(basis).collect();
        let fields: Vec<f64> = numbers.collect();
        if !values
            .iter()
            .chain(&fields)
            .all(|number| number.is_finite())
        {
            return None;
        }
        let vectors = Mat::from_fn(unknowns, basis, |row, column| {
            fields[column * unknowns + row]
        });
        Some(self.modes(sure, values, vectors))
    }
}

fn eights(bytes: &[u8]) -> impl Iterator<Item = [u8; 8]> + '_ {
    let eight = |eight: &[u8]| eight.try_into().expect("chunks are of eight");
    bytes.chunks_exact(8).map(eight)
}

#[cfg(test)]
mod tests {
    use std::ops::ControlFlow;

    use geometry::Point3;
    use units::Hertz;

    use crate::{Admittance, Finish, Room, Settings, Solver};

    fn solver(width_m: f64) -> Solver {
        let outline = [[0.0, 0.0], [width_m, 0.0], [width_m, 3.0], [0.0, 3.0]];
        let room = Room::prism(&outline, 0.0, 2.4).expect("it closes");
        Solver::new(&room, Settings::up_to(Hertz(90.0))).expect("it is small")
    }

    #[test]
    fn kept_modes_answer_as_the_solved_ones_do() {
        let solver = solver(4.0);
        let ear = Point3::new(2.5, 1.4, 1.1);
        let modes = solver.run(&[ear], &mut |_| ControlFlow::Continue(()));
        let modes = modes.expect("it solves");
        let again = solver.restored(&modes.kept()).expect("the same grid");
        let response = |modes: &crate::Modes| {
            let finish = Finish::new(vec![Admittance::diffuse(0.1); 3]);
            let [sub, ear] = [Point3::new(0.3, 0.3, 0.2), ear]
                .map(|point| modes.place(point).expect("in the room"));
            modes.response(&finish, &sub, &ear, &[Hertz(43.0), Hertz(71.0)])
        };
        assert_eq!(response(&again), response(&modes));
        assert_eq!(again.modes(), modes.modes());
    }

    #[test]
    fn bytes_of_another_room_or_none_are_refused() {
        let here = solver(4.0);
        let modes = here.run(&[], &mut |_| ControlFlow::Continue(()));
        let bytes = modes.expect("it solves").kept();
        assert!(solver(9.0).restored(&bytes).is_none());
        assert!(here.restored(&bytes[..bytes.len() - 8]).is_none());
        assert!(here.restored(b"").is_none());
        let mut nowhere = bytes.clone();
        nowhere[24..32].copy_from_slice(&f64::NAN.to_le_bytes());
        assert!(here.restored(&nowhere).is_none());
        let mut endless = bytes;
        endless[8..16].copy_from_slice(&u64::MAX.to_le_bytes());
        assert!(here.restored(&endless).is_none());
    }
}
