//! By which walls does a loudspeaker's sound reach an ear, how late, and how strong?
//!
//! A flat wall sends sound on as if it came from the source's mirror image. The image of
//! order n is that of order n − 1 mirrored in one more face:
//!
//! `p′ = p − 2 (n·p − d) n`
//!
//! A path is heard where, going back from the ear, the line to each image meets its face
//! within the face's edges, and no face stands in any leg's way.
//!
//! `Δt = (r − r₀)/c`, `L − L₀ = 20 log₁₀(r₀/r) + Σ 10 log₁₀(1 − α_i)`
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | p, p′ | source or image, its mirror image | m |
//! | n, d | the face's unit normal and its distance from the origin | 1, m |
//! | r, r₀ | way by the walls, straight way | m |
//! | Δt, c | delay after the direct sound, speed of sound | s, m/s |
//! | α_i | absorption of each face on the way | 1 |
//!
//! Valid for faces large against the wavelength and smooth against it: neither scattering
//! nor bending round edges is in it. Levels hold for a source that radiates as strongly
//! towards the wall as towards the ear: subtract its off-axis loss otherwise. (J. B. Allen
//! and D. A. Berkley 1979 for boxes, J. Borish 1984 for any polyhedron; from memory.)

use units::{Decibels, Metres, MetresPerSecond, Seconds};

use crate::direction::Point;
use crate::enclosure::Enclosure;
use crate::vector::{norm, step};

mod ways;

use ways::Ways;

/// Nearer to a face's plane than this, a point is on it and has no image in it, m.
const ON_FACE_M: f64 = 1e-6;

/// The most reflections that are followed.
pub const ORDER_MAX: usize = 3;

/// Ears that are asked for at once: in turn with each other they wait less.
const ABREAST: usize = 8;

/// Heard of a box are 62 of its 162 images of three orders.
const LIKELY: usize = 64;

/// A loudspeaker's mirror images in a room's faces.
#[derive(Clone, Debug)]
pub struct Images<'a> {
    room: &'a Enclosure,
    source: [f64; 3],
    images: Vec<Image>,
}

/// An image and those that it mirrors, the first the source's own.
#[derive(Clone, Copy, Debug, Default)]
struct Image {
    order: usize,
    chain: [Mirrored; ORDER_MAX],
    faces: [usize; ORDER_MAX],
}

#[derive(Clone, Copy, Debug, Default)]
struct Mirrored {
    at: [f64; 3],
    /// How far it lies behind its face, m.
    behind: f64,
}

/// A way by walls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReflectedPath {
    order: usize,
    faces: [usize; ORDER_MAX],
    points: [Point; ORDER_MAX],
    /// The whole way.
    pub path: Metres,
    /// How long after the sound that goes straight, whether or not that is heard.
    pub delay: Seconds,
    /// The straight way.
    direct: Metres,
}

impl ReflectedPath {
    /// The faces in the order in which the sound meets them.
    pub fn faces(&self) -> &[usize] {
        &self.faces[..self.order]
    }

    /// Where it meets them.
    pub fn points(&self) -> &[Point] {
        &self.points[..self.order]
    }

    /// What the longer way takes: 20 log₁₀(r₀/r).
    pub fn spreading(&self) -> Decibels {
        Decibels(20.0 * (self.direct.0 / self.path.0).log10())
    }

    /// The level re the straight way, from the absorption of each face where it is met.
    /// Above 1 counts as 1.
    pub fn level(&self, mut alpha: impl FnMut(usize, Point) -> f64) -> Decibels {
        let kept: f64 = (self.faces().iter().zip(self.points()))
            .map(|(face, point)| 1.0 - alpha(*face, *point).clamp(0.0, 1.0))
            .product();
        self.spreading() + Decibels(10.0 * kept.log10())
    }
}

impl<'a> Images<'a> {
    /// The images up to an order, at most [`ORDER_MAX`].
    pub fn new(room: &'a Enclosure, source: Point, order: usize) -> Self {
        let source = source.map(|part| part.0);
        let order = order.min(ORDER_MAX);
        let mut images: Vec<Image> = Vec::new();
        let mut parents = 0..0;
        for order in 1..=order {
            let begins = images.len();
            images.reserve(parents.len().max(1) * room.faces.len());
            if order == 1 {
                mirror(room, Image::default(), source, &mut images);
            }
            for of in parents {
                let of = images[of];
                mirror(room, of, of.last().at, &mut images);
            }
            parents = begins..images.len();
        }
        Self {
            room,
            source,
            images,
        }
    }

    /// Whether the sound that goes straight is heard.
    pub fn direct_is_heard(&self, ear: Point) -> bool {
        let ear = ear.map(|part| part.0);
        !(self.room).is_blocked(self.source, ear, [usize::MAX; 2])
    }

    /// Every way by walls to an ear that is no later than `within` after the sound that
    /// goes straight, the earliest first.
    pub fn paths(&self, ear: Point, within: Seconds, speed: MetresPerSecond) -> Vec<ReflectedPath> {
        let [paths] = self.paths_abreast([ear], within, speed);
        paths
    }

    /// The same for each of several ears: quicker than one after the other.
    pub fn paths_to_each(
        &self,
        ears: &[Point],
        within: Seconds,
        speed: MetresPerSecond,
    ) -> Vec<Vec<ReflectedPath>> {
        if let [ear] = ears {
            return vec![self.paths(*ear, within, speed)];
        }
        let mut told = Vec::with_capacity(ears.len());
        for some in ears.chunks(ABREAST) {
            let abreast = std::array::from_fn(|lane| some[lane.min(some.len() - 1)]);
            let paths: [_; ABREAST] = self.paths_abreast(abreast, within, speed);
            told.extend(paths.into_iter().take(some.len()));
        }
        told
    }

    fn paths_abreast<const EARS: usize>(
        &self,
        ears: [Point; EARS],
        within: Seconds,
        speed: MetresPerSecond,
    ) -> [Vec<ReflectedPath>; EARS] {
        let from = ears.map(|ear| ear.map(|part| part.0));
        let direct = from.map(|ear| norm([0, 1, 2].map(|i| self.source[i] - ear[i])));
        let longest = direct.map(|direct| direct + within.0 * speed.0);
        // Points stay where they are written: only what orders the paths is sorted.
        let likely = self.images.len().min(LIKELY);
        let mut met: Vec<[Point; ORDER_MAX]> = Vec::with_capacity(EARS * likely);
        let mut heard: [Vec<u128>; EARS] = std::array::from_fn(|_| Vec::with_capacity(likely));
        let mut ways = Ways::new(&from);
        for (index, image) in self.images.iter().enumerate() {
            if !self.trace(image, &mut ways) {
                continue;
            }
            let lengths = ways.lengths(image.last());
            for (ear, heard) in heard.iter_mut().enumerate() {
                if ways.is_heard(ear) && lengths[ear] <= longest[ear] {
                    heard.push(key(lengths[ear], index, met.len()));
                    met.push(ways.points(ear));
                }
            }
        }
        let mut told = heard.iter_mut().zip(direct).map(|(heard, direct)| {
            // Neither where ear and source are one nor where either is not a number.
            if !(direct > 0.0 && direct.is_finite()) {
                return Vec::new();
            }
            heard.sort_unstable();
            self.told(heard, &met, direct, speed)
        });
        std::array::from_fn(|_| told.next().expect("one for each ear"))
    }

    /// Paths in their order.
    fn told(
        &self,
        heard: &[u128],
        met: &[[Point; ORDER_MAX]],
        direct: f64,
        speed: MetresPerSecond,
    ) -> Vec<ReflectedPath> {
        let mut told: Vec<ReflectedPath> = Vec::with_capacity(heard.len());
        for (at, &key) in heard.iter().enumerate() {
            let (path, index, points) = of_key(key);
            // A path that goes right through the edge between two faces is found by both orders.
            let image = &self.images[index];
            let is_told = |other: &u128| {
                let (_, other, _) = of_key(*other);
                let [here, other] = [index, other].map(|index| self.images[index].last().at);
                norm([0, 1, 2].map(|i| here[i] - other[i])) < 1e-6
            };
            let alike = |other: &&u128| path - of_key(**other).0 < 1e-9;
            if heard[..at].iter().rev().take_while(alike).any(is_told) {
                continue;
            }
            told.push(ReflectedPath {
                order: image.order,
                faces: image.faces,
                points: met[points],
                path: Metres(path),
                delay: Seconds((path - direct) / speed.0),
                direct: Metres(direct),
            });
        }
        told
    }

    /// The number of images, heard or not.
    pub fn count(&self) -> usize {
        self.images.len()
    }

    /// Where the ways by an image meet its faces; false where none is heard.
    #[inline]
    fn trace<const EARS: usize>(&self, image: &Image, ways: &mut Ways<EARS>) -> bool {
        ways.begin();
        (0..image.order).rev().all(|step| {
            let from_ears = step + 1 == image.order;
            let face = image.faces[step];
            let flat = &self.room.faces[face];
            if !ways.step(step, from_ears, &image.chain[step], flat) {
                return false;
            }
            if !(self.room.convex && flat.fills_bounds) {
                let next = (!from_ears).then(|| image.faces[step + 1]);
                for ear in 0..EARS {
                    let leg = ways.leg(step, from_ears, ear);
                    if ways.is_heard(ear) && !self.leads_on(step, face, next, leg) {
                        ways.stop(ear);
                    }
                }
            }
            true
        })
    }

    /// Whether a point within a face's bounds lies on it and nothing stands between it and
    /// where a way comes from, nor, at the first reflection, between it and the source.
    fn leads_on(
        &self,
        step: usize,
        face: usize,
        from_face: Option<usize>,
        [from, point]: [[f64; 3]; 2],
    ) -> bool {
        let flat = &self.room.faces[face];
        let ends = [from_face.unwrap_or(usize::MAX), face];
        (flat.fills_bounds || flat.outline_holds(point))
            && !self.room.is_blocked(from, point, ends)
            && (step > 0 || !(self.room).is_blocked(point, self.source, [face, usize::MAX]))
    }
}

/// Orders ways by their length, then by their image. Lengths are positive: their bits are in
/// their own order.
fn key(path_m: f64, image: usize, points: usize) -> u128 {
    u128::from(path_m.to_bits()) << 64 | (image as u128) << 32 | points as u128
}

fn of_key(key: u128) -> (f64, usize, usize) {
    let path_m = f64::from_bits((key >> 64) as u64);
    (path_m, (key >> 32) as u32 as usize, key as u32 as usize)
}

/// The images of one more order: a place mirrored in every face that it lies before.
fn mirror(room: &Enclosure, of: Image, at: [f64; 3], images: &mut Vec<Image>) {
    let last = of.order.checked_sub(1).map(|step| of.faces[step]);
    for (face, flat) in room.faces.iter().enumerate() {
        let behind = flat.height(at);
        if last == Some(face) || behind <= ON_FACE_M {
            continue;
        }
        let at = [0, 1, 2].map(|i| at[i] - 2.0 * behind * flat.normal[i]);
        let mut image = Image {
            order: of.order + 1,
            ..of
        };
        image.chain[of.order] = Mirrored { at, behind };
        image.faces[of.order] = face;
        images.push(image);
    }
}

impl Image {
    fn last(&self) -> &Mirrored {
        &self.chain[self.order - 1]
    }
}

/// The direction in which a path leaves its source, m: what the source's own directivity is
/// asked for.
pub fn first_leg(source: Point, path: &ReflectedPath) -> [f64; 3] {
    step(source, path.points[0])
}

#[cfg(test)]
mod tests;
