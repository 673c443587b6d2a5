//! The ways from ears back to a source by one image's faces, of several ears at once.
//!
//! Each number stands beside the same number of the other ears: what is done to one is done to
//! all of them by the same few instructions, and no ear waits for what another found.

use units::Metres;

use super::{Mirrored, ON_FACE_M, ORDER_MAX};
use crate::direction::Point;
use crate::enclosure::Flat;

/// A number of each ear.
type Each<const EARS: usize> = [f64; EARS];

#[derive(Clone, Debug)]
pub(super) struct Ways<const EARS: usize> {
    ears: [Each<EARS>; 3],
    /// Where they meet the faces, the one nearest to the source first, m.
    met: [[Each<EARS>; 3]; ORDER_MAX],
    /// How far the worst of these points lies beside its face, m: on it up to 0 m.
    off: Each<EARS>,
}

impl<const EARS: usize> Ways<EARS> {
    pub(super) fn new(ears: &[[f64; 3]; EARS]) -> Self {
        Self {
            ears: [0, 1, 2].map(|axis| ears.map(|ear| ear[axis])),
            met: [[[0.0; EARS]; 3]; ORDER_MAX],
            off: [0.0; EARS],
        }
    }

    pub(super) fn begin(&mut self) {
        self.off = [0.0; EARS];
    }

    /// From the ears, or from the next reflection, towards an image as far as its face. False
    /// where no way meets the rectangle around it.
    #[inline]
    pub(super) fn step(
        &mut self,
        step: usize,
        from_ears: bool,
        to: &Mirrored,
        face: &Flat,
    ) -> bool {
        let from = *self.from(step, from_ears);
        let [low, high] = face.bounds;
        let (normal, offset) = (face.normal, face.offset);
        let (at, behind) = (to.at, to.behind);
        let mut met = [[0.0; EARS]; 3];
        let mut off = self.off;
        for ear in 0..EARS {
            let [from_x, from_y, from_z] = [from[0][ear], from[1][ear], from[2][ear]];
            let before = normal[0] * from_x + normal[1] * from_y + normal[2] * from_z - offset;
            // In the edge between two faces the way stands still between them.
            let not_behind = larger(before, 0.0);
            let share = not_behind / (not_behind + behind);
            let x = from_x + share * (at[0] - from_x);
            let y = from_y + share * (at[1] - from_y);
            let z = from_z + share * (at[2] - from_z);
            let off_x = larger(low[0] - x, x - high[0]);
            let off_y = larger(low[1] - y, y - high[1]);
            let off_z = larger(low[2] - z, z - high[2]);
            let off_face = larger(larger(off_x, off_y), larger(off_z, -ON_FACE_M - before));
            off[ear] = larger(off[ear], off_face);
            met[0][ear] = x;
            met[1][ear] = y;
            met[2][ear] = z;
        }
        self.met[step] = met;
        self.off = off;
        off.iter().any(|off| *off <= 0.0)
    }

    fn from(&self, step: usize, from_ears: bool) -> &[Each<EARS>; 3] {
        match from_ears {
            true => &self.ears,
            false => &self.met[step + 1],
        }
    }

    pub(super) fn is_heard(&self, ear: usize) -> bool {
        self.off[ear] <= 0.0
    }

    pub(super) fn stop(&mut self, ear: usize) {
        self.off[ear] = f64::INFINITY;
    }

    /// An ear's step: where it comes from and where it meets the face.
    pub(super) fn leg(&self, step: usize, from_ears: bool, ear: usize) -> [[f64; 3]; 2] {
        [self.from(step, from_ears), &self.met[step]].map(|at| [at[0][ear], at[1][ear], at[2][ear]])
    }

    /// How long the ways by an image are, the same as straight to it, m.
    pub(super) fn lengths(&self, image: &Mirrored) -> Each<EARS> {
        let (ears, at) = (&self.ears, image.at);
        let mut lengths = [0.0; EARS];
        for ear in 0..EARS {
            let [x, y, z] = [
                at[0] - ears[0][ear],
                at[1] - ears[1][ear],
                at[2] - ears[2][ear],
            ];
            lengths[ear] = (x * x + y * y + z * z).sqrt();
        }
        lengths
    }

    /// Where an ear's way meets the faces, those that it has.
    pub(super) fn points(&self, ear: usize) -> [Point; ORDER_MAX] {
        let point = |step: usize| {
            let [x, y, z] = &self.met[step];
            [Metres(x[ear]), Metres(y[ear]), Metres(z[ear])]
        };
        [point(0), point(1), point(2)]
    }
}

/// A plain comparison: an ear that is not a number has no length, which leaves it out.
fn larger(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}
