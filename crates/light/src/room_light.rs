//! How much daylight and lamp light reaches a picture in a room?
//!
//! The room's patches see the sky, the ground and the sun through the windows; what they get
//! goes round by [`Enclosure`]. All of it is linear, so it is worked out once for a room:
//! each window becomes a coefficient for each part of the sky (Tregenza and Waters 1983,
//! daylight coefficients, from memory), and an hour is a sum.
//!
//! Left out: furniture, the depth of the window's reveal, and how a blind spreads the sun's
//! beam (its light is taken on the straight way). All surfaces are matt.

use geometry::{Point3, Solid, Surface, Vec3};

use crate::compass::Compass;
use crate::enclosure::{Enclosure, Importance};
use crate::glazing::Glazing;
use crate::horizon::{Behind, Horizon, Overhang, behind};
use crate::mesh::{Facet, Spot, facets, patches};
use crate::outside::{Outside, PARTS, SkyDome};
use crate::view_factor;

/// A window as the daylight sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Its glass on the wall.
    pub spot: Spot,
    /// Number of panes, 1 to 4: how the glass loses light at a slant.
    pub panes: u8,
    /// A roof's edge over it.
    pub overhang: Option<Overhang>,
}

/// A room and its windows.
#[derive(Clone, Debug)]
pub struct Room<'a> {
    /// The air of the room.
    pub solid: &'a Solid,
    /// Which way north is.
    pub compass: Compass,
    /// What hides the sky.
    pub horizon: &'a Horizon,
    /// The windows.
    pub windows: &'a [Window],
    /// No patch is longer, m.
    pub patch_m: f64,
}

/// Largest piece of glass that counts as one, m.
const PIECE_M: f64 = 0.4;
/// Pieces each way through which the sun's beam is followed.
const BEAMS: usize = 6;

/// A room whose light has been worked out but for its surfaces' reflectances.
#[derive(Clone, Debug)]
pub struct RoomLight {
    enclosure: Enclosure,
    compass: Compass,
    horizon: Horizon,
    windows: Vec<WindowSight>,
    patch_m: f64,
}

#[derive(Clone, Debug)]
struct WindowSight {
    window: Window,
    outward: Vec3,
    /// Transmittance at a slant over that straight through is this one's.
    glass: Glazing,
    seen: Vec<Seen>,
    beams: Vec<(Point3, f64)>,
}

/// A patch's illuminance for each cd/m² of something outside.
#[derive(Clone, Copy, Debug)]
struct Seen {
    patch: usize,
    /// A part of the sky, or none for the ground.
    part: Option<usize>,
    per_luminance: f64,
}

impl RoomLight {
    /// Works out a room. `None` for patches not longer than 0, or a window with no panes.
    pub fn new(room: &Room<'_>) -> Option<Self> {
        (room.patch_m.is_finite() && room.patch_m > 0.0).then_some(())?;
        let facets = facets(room.solid);
        let spots: Vec<Spot> = room.windows.iter().map(|window| window.spot).collect();
        let patches = patches(&facets, &spots, room.patch_m);
        let outwards: Vec<Vec3> = room
            .windows
            .iter()
            .map(|window| outward(&facets, window.spot.surface))
            .collect::<Option<_>>()?;
        let enclosure = Enclosure::new(patches, facets)?;
        let windows: Option<Vec<WindowSight>> = (room.windows.iter().zip(outwards))
            .map(|(window, outward)| {
                let glass = Glazing::new(window.panes, 1.0)?;
                Some(WindowSight {
                    window: *window,
                    outward,
                    glass,
                    seen: Vec::new(),
                    beams: beams(&window.spot.corners),
                })
            })
            .collect();
        let mut light = Self {
            enclosure,
            compass: room.compass,
            horizon: room.horizon.clone(),
            windows: windows?,
            patch_m: room.patch_m,
        };
        light.look(|_| None);
        Some(light)
    }

    /// The room with a picture on one of its walls, which gets patches of its own; what it
    /// does not cut is not worked out again. `None` where it leaves no patches.
    pub fn with_picture(&self, picture: Spot) -> Option<Self> {
        let spots = self.windows.iter().map(|sight| sight.window.spot);
        let spots: Vec<Spot> = spots.chain([picture]).collect();
        let patches = patches(self.enclosure.facets(), &spots, self.patch_m);
        let kept = self.enclosure.kept(&patches);
        let mut light = Self {
            enclosure: self.enclosure.with_patches(patches)?,
            compass: self.compass,
            horizon: self.horizon.clone(),
            windows: self.windows.clone(),
            patch_m: self.patch_m,
        };
        light.look(|patch| kept[patch]);
        Some(light)
    }

    /// What every patch sees through each window; a kept one what it saw already.
    fn look(&mut self, kept: impl Fn(usize) -> Option<usize>) {
        for sight in &mut self.windows {
            let before = std::mem::take(&mut sight.seen);
            for patch in 0..self.enclosure.patches().len() {
                match kept(patch) {
                    Some(old) => {
                        let from = before.partition_point(|seen| seen.patch < old);
                        let same = before[from..].iter().take_while(|seen| seen.patch == old);
                        sight.seen.extend(same.map(|seen| Seen { patch, ..*seen }));
                    }
                    None => sight.look(&self.enclosure, self.compass, &self.horizon, patch),
                }
            }
        }
    }

    /// The room's patches and how light goes round among them.
    pub fn enclosure(&self) -> &Enclosure {
        &self.enclosure
    }

    /// The light on the picture, once the surfaces' reflectances are known: of a surface, or
    /// of a window by its place in the list, or of the picture, whose place comes last.
    /// `None` unless each is from 0 to below 1, or where the room has no picture on its wall.
    pub fn on_picture(
        &self,
        reflectance: impl Fn(Surface, Option<usize>) -> f64,
    ) -> Option<PictureLight> {
        let picture = self.windows.len();
        let patches = self.enclosure.patches();
        let rho: Vec<f64> = patches
            .iter()
            .map(|p| reflectance(p.surface, p.spot))
            .collect();
        let is_picture = |p: &crate::mesh::Patch| p.spot == Some(picture);
        let importance = self.enclosure.importance(&rho, is_picture)?;
        let returned = self.enclosure.returned(&importance, is_picture);
        let windows = self
            .windows
            .iter()
            .map(|window| window.through(&importance));
        Some(PictureLight {
            windows: windows.collect(),
            importance,
            returned,
        })
    }

    /// Where the sun comes in by a window: patches with the lux that each gets for each lux
    /// of the beam square to the sun, with glass that lets all pass on the straight way.
    pub fn sun_through(&self, window: usize, outside: &Outside) -> Vec<(usize, f64)> {
        let Some(sight) = self.windows.get(window) else {
            return Vec::new();
        };
        let sun = outside.sun;
        let to_sun = self.compass.direction(sun.azimuth, sun.height);
        let cosine = to_sun.dot(sight.outward);
        if cosine <= 0.0 || sun.height.0 <= self.horizon.height(sun.azimuth).0.max(0.0) {
            return Vec::new();
        }
        let passed = sight.glass.at(cosine) / sight.glass.at(1.0);
        let mut lit: Vec<(usize, f64)> = Vec::new();
        for (point, area) in &sight.beams {
            let hidden = |overhang: Overhang| overhang.hides(*point, sight.outward, to_sun);
            if sight.window.overhang.is_some_and(hidden) {
                continue;
            }
            let inside = *point - sight.outward * 1e-4;
            let Some(patch) = self.enclosure.hit(inside, -to_sun) else {
                continue;
            };
            let lux = area * cosine * passed / self.enclosure.patches()[patch].area_m2;
            match lit.iter_mut().find(|(known, _)| *known == patch) {
                Some((_, sum)) => *sum += lux,
                None => lit.push((patch, lux)),
            }
        }
        lit
    }
}

impl WindowSight {
    /// What a patch sees through the window, piece by piece.
    fn look(&mut self, enclosure: &Enclosure, compass: Compass, horizon: &Horizon, index: usize) {
        let patch = &enclosure.patches()[index];
        let before = |corner: &Point3| (*corner - patch.centre).dot(patch.normal) > 1e-9;
        if !self.window.spot.corners.iter().any(before) {
            return;
        }
        let pieces = pieces(&self.window.spot.corners);
        let straight = self.glass.at(1.0);
        let mut sums = vec![0.0; PARTS + 1];
        let glass = &self.window.spot.corners;
        let near = patch.centre.distance(glass[0].towards(glass[2], 0.5)) < 2.5;
        let level = u8::from(patch.spot.is_some() || near);
        for (point, share) in view_factor::points(&patch.corners, level) {
            let halves = pieces.iter().flat_map(|piece| at_height(piece, point.z));
            for piece in halves.flatten() {
                let middle = piece[0].towards(piece[2], 0.5);
                let Some(direction) = (middle - point).unit() else {
                    continue;
                };
                let cosine = direction.dot(self.outward);
                if cosine <= 0.0 || !enclosure.sees(point, middle - self.outward * 1e-4) {
                    continue;
                }
                let factor = view_factor::at_point(point, patch.normal, &piece);
                let passed = self.glass.at(cosine) / straight;
                let lux = std::f64::consts::PI * factor * share * passed;
                let ray = (middle, self.outward, direction);
                match behind(compass, horizon, self.window.overhang, ray) {
                    Behind::Sky(there) => sums[SkyDome::part(there)] += lux,
                    Behind::Ground(part) => sums[PARTS] += lux * part,
                }
            }
        }
        for (part, per_luminance) in sums.iter().enumerate() {
            if *per_luminance > 0.0 {
                self.seen.push(Seen {
                    patch: index,
                    part: (part < PARTS).then_some(part),
                    per_luminance: *per_luminance,
                });
            }
        }
    }

    fn through(&self, importance: &Importance) -> WindowCoefficients {
        let mut sums = vec![0.0; PARTS];
        let mut ground = 0.0;
        for seen in &self.seen {
            let lux = seen.per_luminance * importance.of(seen.patch);
            match seen.part {
                Some(part) => sums[part] += lux,
                None => ground += lux,
            }
        }
        let sky = sums
            .into_iter()
            .enumerate()
            .filter(|(_, lux)| *lux > 0.0)
            .collect();
        WindowCoefficients { sky, ground }
    }
}

/// The light on a picture for given surfaces.
#[derive(Clone, Debug)]
pub struct PictureLight {
    importance: Importance,
    windows: Vec<WindowCoefficients>,
    returned: f64,
}

/// The picture's illuminance for each cd/m² of the sky's parts and of the ground.
#[derive(Clone, Debug)]
struct WindowCoefficients {
    sky: Vec<(usize, f64)>,
    ground: f64,
}

/// What one window brings at one moment, lx on the picture's mean, with glass and blind that
/// let all pass on the straight way: multiply by their transmittance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WindowLight {
    /// From the sky and the ground.
    pub sky_lux: f64,
    /// From the sun's beam, wherever it lands.
    pub sun_lux: f64,
    /// Share of the picture's own area times incidence that the beam strikes straight, lx for
    /// each lux of the beam; above zero when the sun shines on the picture.
    pub sun_on_picture: f64,
}

impl WindowLight {
    /// Both together.
    pub fn lux(self) -> f64 {
        self.sky_lux + self.sun_lux
    }
}

impl PictureLight {
    /// Light of a picture that comes back to it from the room, lx for each lm/m² that leaves
    /// all of it evenly.
    pub fn returned(&self) -> f64 {
        self.returned
    }

    /// How each patch of the room counts.
    pub fn importance(&self) -> &Importance {
        &self.importance
    }

    /// What each window of the room that it is in brings at a moment.
    pub fn daylight(&self, room: &RoomLight, outside: &Outside) -> Vec<WindowLight> {
        let windows = self.windows.iter().enumerate();
        let brings = |(index, window): (usize, &WindowCoefficients)| {
            let sky: f64 = window
                .sky
                .iter()
                .map(|(part, lux)| lux * outside.sky_cd_m2[*part])
                .sum();
            let (mut sun, mut on_picture) = (0.0, 0.0);
            if outside.direct.0 > 0.0 {
                let patches = room.enclosure.patches();
                for (patch, lux) in room.sun_through(index, outside) {
                    sun += lux * self.importance.of(patch);
                    if patches[patch].spot == Some(self.windows.len()) {
                        on_picture += lux * patches[patch].area_m2;
                    }
                }
            }
            WindowLight {
                sky_lux: sky + window.ground * outside.ground_cd_m2,
                sun_lux: sun * outside.direct.0,
                sun_on_picture: on_picture,
            }
        };
        windows.map(brings).collect()
    }

    /// The picture's illuminance for each lumen of a lamp that shines alike all round.
    pub fn lamp(&self, room: &RoomLight, at: Point3) -> f64 {
        let enclosure = &room.enclosure;
        let patches = enclosure.patches().iter().enumerate();
        let lit = patches.filter(|(_, patch)| {
            (at - patch.centre).dot(patch.normal) > 0.0
                && enclosure.sees(at, patch.centre + patch.normal * 1e-4)
        });
        let share = |(index, patch): (usize, &crate::mesh::Patch)| {
            let part = solid_angle(at, &patch.corners) / (4.0 * std::f64::consts::PI);
            part / patch.area_m2 * self.importance.of(index)
        };
        lit.map(share).sum()
    }
}

/// Solid angle of a convex polygon (van Oosterom and Strackee 1983, triangle by triangle).
fn solid_angle(from: Point3, corners: &[Point3]) -> f64 {
    let triangle = |b: Point3, c: Point3| {
        let (a, b, c) = (corners[0] - from, b - from, c - from);
        let (la, lb, lc) = (a.length(), b.length(), c.length());
        let top = a.dot(b.cross(c)).abs();
        let bottom = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
        2.0 * top.atan2(bottom)
    };
    corners
        .windows(2)
        .skip(1)
        .map(|pair| triangle(pair[0], pair[1]))
        .sum()
}

fn outward(facets: &[Facet], surface: Surface) -> Option<Vec3> {
    let facet = facets.iter().find(|facet| facet.surface == surface)?;
    Some(-facet.normal)
}

/// A rectangle cut into `across` by `up` cells.
fn cells([a, b, _, d]: [Point3; 4], across: usize, up: usize) -> impl Iterator<Item = [Point3; 4]> {
    let (side, rise) = ((b - a) * (1.0 / across as f64), (d - a) * (1.0 / up as f64));
    (0..across * up).map(move |k| {
        let corner = a + side * (k % across) as f64 + rise * (k / across) as f64;
        [corner, corner + side, corner + side + rise, corner + rise]
    })
}

fn pieces(corners: &[Point3; 4]) -> Vec<[Point3; 4]> {
    let parts = |a: Point3, b: Point3| (a.distance(b) / PIECE_M).ceil().clamp(1.0, 40.0) as usize;
    let (across, up) = (parts(corners[0], corners[1]), parts(corners[0], corners[3]));
    cells(*corners, across, up).collect()
}

/// A piece of glass, cut at the height at which a point sees the horizon in it.
fn at_height(piece: &[Point3; 4], z: f64) -> [Option<[Point3; 4]>; 2] {
    let [a, b, c, d] = *piece;
    let share = (z - a.z) / (d.z - a.z);
    if share > 0.0 && share < 1.0 {
        let (left, right) = (a.towards(d, share), b.towards(c, share));
        [Some([a, b, right, left]), Some([left, right, c, d])]
    } else {
        [Some(*piece), None]
    }
}

fn beams(corners: &[Point3; 4]) -> Vec<(Point3, f64)> {
    let area = corners[0].distance(corners[1]) * corners[0].distance(corners[3]);
    let each = area / (BEAMS * BEAMS) as f64;
    cells(*corners, BEAMS, BEAMS)
        .map(|cell| (cell[0].towards(cell[2], 0.5), each))
        .collect()
}

#[cfg(test)]
mod tests;
