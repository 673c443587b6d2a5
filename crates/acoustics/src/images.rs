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
use crate::vector::{dot, norm, step};

/// Nearer to a face's plane than this, a point is on it and has no image in it, m.
const ON_FACE_M: f64 = 1e-6;

/// The most reflections that are followed.
pub const ORDER_MAX: usize = 3;

/// A loudspeaker's mirror images in a room's faces.
#[derive(Clone, Debug)]
pub struct Images<'a> {
    room: &'a Enclosure,
    source: [f64; 3],
    images: Vec<Image>,
}

#[derive(Clone, Copy, Debug)]
struct Image {
    at: [f64; 3],
    face: usize,
    /// How far it lies behind its face, m.
    behind: f64,
    /// The image that it mirrors; none for the source itself.
    of: Option<usize>,
    order: usize,
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
        let mut images: Vec<Image> = Vec::new();
        let mut from = 0;
        for order in 1..=order.min(ORDER_MAX) {
            let to = images.len();
            let parents: Vec<Option<usize>> = if order == 1 {
                vec![None]
            } else {
                (from..to).map(Some).collect()
            };
            for of in parents {
                let (at, last) = of.map_or((source, usize::MAX), |of: usize| {
                    (images[of].at, images[of].face)
                });
                for (face, flat) in room.faces.iter().enumerate() {
                    let height = flat.height(at);
                    if face == last || height <= ON_FACE_M {
                        continue;
                    }
                    let at = [0, 1, 2].map(|i| at[i] - 2.0 * height * flat.normal[i]);
                    images.push(Image {
                        at,
                        face,
                        behind: height,
                        of,
                        order,
                    });
                }
            }
            from = to;
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
        let from = ear.map(|part| part.0);
        let direct = norm([0, 1, 2].map(|i| self.source[i] - from[i]));
        // Refuses also what is not a number.
        if !(direct > 0.0 && direct.is_finite()) {
            return Vec::new();
        }
        let longest = direct + within.0 * speed.0;
        let longest2 = longest * longest;
        // Points stay where they are: only what orders the paths is sorted.
        let mut found: Vec<(f64, usize, usize)> = Vec::with_capacity(self.images.len());
        let mut met: Vec<[[f64; 3]; ORDER_MAX]> = Vec::with_capacity(self.images.len());
        let heights: Vec<f64> = (self.room.faces.iter())
            .map(|face| face.height(from))
            .collect();
        for (index, image) in self.images.iter().enumerate() {
            let way = [0, 1, 2].map(|i| image.at[i] - from[i]);
            let length2 = dot(way, way);
            if length2 > longest2 {
                continue;
            }
            if let Some(points) = self.traced(index, from, &heights) {
                found.push((length2.sqrt(), index, met.len()));
                met.push(points);
            }
        }
        found.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut told: Vec<ReflectedPath> = Vec::with_capacity(found.len());
        for (at, &(path, index, points)) in found.iter().enumerate() {
            // A path that goes right through the edge between two faces is found by both orders.
            let here = self.images[index].at;
            let alike = (found[..at].iter().rev()).take_while(|other| path - other.0 < 1e-9);
            let mut places = alike.map(|other| self.images[other.1].at);
            if places.any(|other| norm([0, 1, 2].map(|i| here[i] - other[i])) < 1e-6) {
                continue;
            }
            told.push(ReflectedPath {
                order: self.images[index].order,
                faces: self.faces(index),
                points: met[points].map(|point| point.map(Metres)),
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

    fn faces(&self, index: usize) -> [usize; ORDER_MAX] {
        let mut faces = [0; ORDER_MAX];
        let mut here = Some(index);
        while let Some(index) = here {
            let Image {
                face, of, order, ..
            } = self.images[index];
            faces[order - 1] = face;
            here = of;
        }
        faces
    }

    /// Where the path by an image meets its faces, the first first; none where it is not
    /// heard. `heights` are the ear's before each face.
    fn traced(
        &self,
        index: usize,
        ear: [f64; 3],
        heights: &[f64],
    ) -> Option<[[f64; 3]; ORDER_MAX]> {
        let mut points = [[0.0; 3]; ORDER_MAX];
        let (mut to, mut to_face) = (ear, usize::MAX);
        let mut here = Some(index);
        while let Some(index) = here {
            let Image {
                at,
                face,
                behind,
                of,
                order,
            } = self.images[index];
            let flat = &self.room.faces[face];
            let before = match to_face {
                usize::MAX => heights[face],
                _ => flat.height(to),
            };
            // In the edge between two faces the way stands still between them.
            if before < -ON_FACE_M {
                return None;
            }
            let share = before.max(0.0) / (before.max(0.0) + behind);
            let point = [0, 1, 2].map(|i| to[i] + share * (at[i] - to[i]));
            if !flat.holds(point) || self.room.is_blocked(to, point, [to_face, face]) {
                return None;
            }
            points[order - 1] = point;
            (to, to_face) = (point, face);
            here = of;
        }
        let heard = !self.room.is_blocked(to, self.source, [to_face, usize::MAX]);
        heard.then_some(points)
    }
}

/// The direction in which a path leaves its source, m: what the source's own directivity is
/// asked for.
pub fn first_leg(source: Point, path: &ReflectedPath) -> [f64; 3] {
    step(source, path.points[0])
}

#[cfg(test)]
mod tests;
