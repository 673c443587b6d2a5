//! What would treatment, or a door left open, do to the same subs?
//!
//! Computed again in the room's modes with other admittances where the treatment goes; what its
//! depth takes of the air is left out. Panels go where on their wall the longest resonance presses
//! most. A porous layer of depth d before a wall has `ζ = σd/(3ρc) − j/tan(kd)` while it is thin
//! beside the wave (from memory); a membrane is [`Admittance::Membrane`], tuned to the longest
//! resonance by `f = c/2π · √(ρ/(m d))`.

use std::ops::ControlFlow;

use subwoofers::{Arrangement, Score, score};
use units::{Decibels, Hertz};
use waves::{Admittance, Finish, Modes, Patch};

use crate::frame::point;
use crate::ready::{Ready, TO_HZ};
use crate::room::{Points, normal, points_in};
use crate::solved::SolveFault;
use crate::study::Placed;

/// A change of the room and what the subs come to then.
#[derive(Clone, Debug, PartialEq)]
pub struct Treated {
    /// What is done.
    pub words: String,
    /// What the subs come to.
    pub score: Score,
    /// How much the spread over the seats falls; negative grows.
    pub evener: Decibels,
    /// The longest resonance, Hz and s, before and after.
    pub longest: [(Hertz, f64); 2],
    /// Where on its wall it goes; `None` where its words say that already.
    pub on: Option<Rect>,
}

/// A rectangle on a wall, seen from inside, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// From the wall's left end to its left edge.
    pub from_left_m: f64,
    /// From the floor to its lower edge.
    pub up_m: f64,
    /// Across.
    pub width_m: f64,
    /// Up.
    pub height_m: f64,
}

/// What is done, and the room then.
struct Change {
    words: String,
    modes: Modes,
    finish: Finish,
    on: Option<Rect>,
}

/// Flow resistivity of a soft board, Pa·s/m² (common practice, no source).
const FLOW_RESISTIVITY: f64 = 10_000.0;
const PANEL_DEPTH_M: f64 = 0.1;
const PATCH_M2: f64 = 4.0;
/// A patch is so high where the wall is, m, and stays so far from its edges.
const PATCH_HEIGHT_M: f64 = 2.0;
const EDGE_M: f64 = 0.1;
/// A patch is tried at every so many metres along and up.
const PATCH_STEP_M: f64 = 0.2;
/// Points along each side of a patch that must lie on its wall, and at which pressure is looked at.
const PATCH_POINTS: usize = 6;
/// A corner is filled in pieces of about this, m.
const CORNER_STEP_M: f64 = 0.15;
/// A corner filled this far along both walls has half of that as its mean depth.
const CORNER_SIDE_M: f64 = 0.6;
/// A membrane as lossy as the air's own impedance takes most (common practice, no source).
const MEMBRANE_RESISTANCE: f64 = 1.0;
const MEMBRANE_DEPTH_M: f64 = 0.1;

impl Ready {
    /// Each door open, and panels, membranes and filled corners where the longest resonance
    /// presses most. `progress` is told the share that is done and may stop it.
    ///
    /// # Errors
    ///
    /// A stop.
    pub(crate) fn treated(
        &self,
        subs: &[Placed],
        progress: &dyn Fn(f64) -> ControlFlow<()>,
    ) -> Result<Vec<Treated>, SolveFault> {
        let room = &self.solved.room;
        let modes = &self.solved.modes;
        let Some(before) = self.come_to(subs, modes, &room.finish) else {
            return Ok(Vec::new());
        };
        let longest = longest(modes, &room.finish);
        let changes = self.changes(longest.0);
        let count = changes.len().max(1) as f64;
        let mut all = Vec::new();
        for (at, change) in changes.into_iter().enumerate() {
            if progress(at as f64 / count) == ControlFlow::Break(()) {
                return Err(SolveFault::Solve(waves::SolveError::Stopped));
            }
            let Some(score) = self.come_to(subs, &change.modes, &change.finish) else {
                continue;
            };
            all.push(Treated {
                words: change.words,
                score,
                evener: Decibels(before.spread.0 - score.spread.0),
                longest: [longest, self::longest(&change.modes, &change.finish)],
                on: change.on,
            });
        }
        Ok(all)
    }

    fn come_to(&self, subs: &[Placed], modes: &Modes, finish: &Finish) -> Option<Score> {
        if subs.is_empty() {
            return None;
        }
        let ears = self.seats().iter();
        let ears: Option<Vec<_>> = ears
            .map(|(_, at)| modes.place(crate::frame::point(*at)))
            .collect();
        let listening = modes.listening(finish, &ears?, &self.lines);
        let table = self.table(&listening, &self.lines, subs)?;
        let arrangement = Arrangement {
            subs: subs.iter().map(|sub| sub.setting).enumerate().collect(),
        };
        Some(score(&table, &self.goal, &arrangement))
    }

    fn changes(&self, tuned: Hertz) -> Vec<Change> {
        let room = &self.solved.room;
        let modes = &self.solved.modes;
        let home = room.spaces.first();
        let areas = self.areas_m2();
        let name = |at: usize| room.surfaces[at].name.replace('-', " ");
        let mut changes = Vec::new();
        let here: Vec<usize> = (0..room.surfaces.len())
            .filter(|&at| Some(&room.surfaces[at].space) == home && areas[at] > 0.0)
            .collect();
        for &at in &here {
            if room.doors.contains(&room.surfaces[at].name) && room.surfaces[at].is_part {
                let mut finish = room.finish.clone();
                finish.surfaces[at] = Admittance::Opening { area_m2: areas[at] };
                changes.push(Change {
                    words: format!("{} left open, as to a large space", name(at)),
                    modes: modes.clone(),
                    finish,
                    on: None,
                });
            }
        }
        let is_wall = |at: &usize| {
            let surface = &room.surfaces[*at];
            !surface.is_part && !["floor", "ceiling"].contains(&surface.name.as_str())
        };
        let walls: Vec<Wall> = (here.into_iter().filter(is_wall))
            .filter_map(|at| Wall::new(at, &room.faces))
            .collect();
        let air = &room.finish.air;
        let rho_c = air.density_kg_m3 * air.speed_of_sound_m_s;
        let porous = |depth_m: f64| Admittance::Membrane {
            mass_kg_m2: 0.0,
            depth_m,
            resistance: FLOW_RESISTIVITY * depth_m / (3.0 * rho_c),
        };
        if let Some((wall, on)) = self.most_pressed(&walls, tuned) {
            let covered = |what: String, over: &Admittance| {
                let points = points_in(wall.corners(&on));
                let (modes, finish) = self.covered(vec![(wall.surface, points)], over);
                Change {
                    words: format!("4 m² of {what} on {}", name(wall.surface)),
                    modes,
                    finish,
                    on: Some(on),
                }
            };
            changes.push(covered(
                "soft panels 100 mm deep".to_owned(),
                &porous(PANEL_DEPTH_M),
            ));
            if tuned.0 > 0.0 {
                let stiff = std::f64::consts::TAU * tuned.0 / air.speed_of_sound_m_s;
                let membrane = Admittance::Membrane {
                    mass_kg_m2: air.density_kg_m3 / (stiff * stiff * MEMBRANE_DEPTH_M),
                    depth_m: MEMBRANE_DEPTH_M,
                    resistance: MEMBRANE_RESISTANCE,
                };
                let what = format!("membrane absorbers tuned to {:.0} Hz", tuned.0);
                changes.push(covered(what, &membrane));
            }
        }
        if walls.len() >= 3 {
            let ends = walls.iter().map(|wall| (wall.surface, wall.ends()));
            let (modes, finish) = self.covered(ends.collect(), &porous(CORNER_SIDE_M / 2.0));
            changes.push(Change {
                words: "every upright corner filled with soft wool, 600 mm along both walls"
                    .to_owned(),
                modes,
                finish,
                on: None,
            });
        }
        changes
    }

    /// The room with parts of surfaces behind something else.
    fn covered(&self, parts: Vec<(usize, Points)>, over: &Admittance) -> (Modes, Finish) {
        let mut finish = self.solved.room.finish.clone();
        let mut patches = Vec::new();
        for (surface, points) in parts {
            finish.surfaces.push(self.with_layer(surface, over));
            finish.scale.push(1.0);
            let points = points.into_iter();
            let points = points.map(|(at, area_m2)| (point(at), area_m2)).collect();
            patches.push(Patch { surface, points });
        }
        (self.solved.modes.patched(&patches), finish)
    }

    /// Where a patch meets most of the mode nearest to a frequency.
    fn most_pressed<'a>(&self, walls: &'a [Wall], near: Hertz) -> Option<(&'a Wall, Rect)> {
        let modes = self.solved.modes.modes();
        let off = |number: &usize| (modes[*number].frequency_hz - near.0).abs();
        let mode = (1..modes.len()).min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let pressed = |wall: &Wall, on: &Rect| {
            let at: Vec<_> = wall.points(on).map(point).collect();
            let heard = self.solved.modes.shape(mode, &at);
            let squares: f64 = heard.iter().flatten().map(|p| p * p).sum();
            squares / heard.len().max(1) as f64
        };
        let mut best: Option<(f64, &Wall, Rect)> = None;
        for wall in walls {
            for on in wall.patches() {
                let here = pressed(wall, &on);
                // Of equals the first: a rounding's worth more is not more.
                if best.as_ref().is_none_or(|(most, ..)| here > most * 1.001) {
                    best = Some((here, wall, on));
                }
            }
        }
        best.map(|(_, wall, on)| (wall, on))
    }

    /// A surface behind something else, line by line: a layer thin beside the wave leaves the
    /// pressure at the wall as it is, so the wall goes on giving way behind it.
    fn with_layer(&self, surface: usize, over: &Admittance) -> Admittance {
        let finish = &self.solved.room.finish;
        let under = &finish.surfaces[surface];
        let points = self.frequencies().iter().map(|line| {
            let [under, over] = [under, over].map(|one| one.at(*line, &finish.air));
            (line.0, (under.re + over.re).max(0.0), under.im + over.im)
        });
        Admittance::Measured(points.collect())
    }

    fn areas_m2(&self) -> Vec<f64> {
        let mut areas = vec![0.0; self.solved.room.surfaces.len()];
        for face in &self.solved.room.faces {
            let holes: f64 = face.holes.iter().map(|ring| area_m2(ring)).sum();
            areas[face.surface] += area_m2(&face.outline) - holes;
        }
        areas
    }
}

/// A flat upright surface, seen from inside.
struct Wall {
    surface: usize,
    /// Its lower left corner, m, and the direction along it.
    left: [f64; 3],
    along: [f64; 2],
    length_m: f64,
    height_m: f64,
    /// Its faces along and up, m: outlines and holes alike.
    rings: Vec<Vec<[f64; 2]>>,
}

impl Wall {
    /// `None` of a surface that is not flat and upright.
    fn new(surface: usize, faces: &[waves::Face]) -> Option<Self> {
        let own: Vec<&waves::Face> = (faces.iter())
            .filter(|face| face.surface == surface)
            .collect();
        let out = normal(&own.first()?.outline);
        let size = out.iter().map(|part| part * part).sum::<f64>().sqrt();
        let plan = out[0].hypot(out[1]);
        if plan < 0.999 * size || size <= 0.0 {
            return None;
        }
        // Looked at from inside, right is to the right of the way out.
        let along = [out[1] / plan, -out[0] / plan];
        let corners = || own.iter().flat_map(|face| face.outline.iter());
        let at = |corner: &[f64; 3]| corner[0] * along[0] + corner[1] * along[1];
        let first = corners().min_by(|a, b| at(a).total_cmp(&at(b)))?;
        let low = corners().map(|corner| corner[2]).reduce(f64::min)?;
        let left = [first[0], first[1], low];
        let seen = |ring: &Vec<[f64; 3]>| -> Vec<[f64; 2]> {
            ring.iter()
                .map(|corner| [at(corner) - at(first), corner[2] - low])
                .collect()
        };
        let rings: Vec<Vec<[f64; 2]>> = (own.iter())
            .flat_map(|face| std::iter::once(&face.outline).chain(&face.holes))
            .map(seen)
            .collect();
        let most = |axis: usize| {
            let all = rings.iter().flatten().map(move |point| point[axis]);
            all.fold(0.0, f64::max)
        };
        Some(Self {
            surface,
            left,
            along,
            length_m: most(0),
            height_m: most(1),
            rings,
        })
    }

    /// Whether a point along and up is on it: an odd number of edges lies above.
    fn is_on(&self, [x, y]: [f64; 2]) -> bool {
        let edges = self.rings.iter().flat_map(|ring| {
            (0..ring.len()).map(move |at| [ring[at], ring[(at + 1) % ring.len()]])
        });
        let above = edges.filter(|[a, b]| {
            (a[0] > x) != (b[0] > x) && y < a[1] + (x - a[0]) * (b[1] - a[1]) / (b[0] - a[0])
        });
        above.count() % 2 == 1
    }

    fn point(&self, [along, up]: [f64; 2]) -> [f64; 3] {
        [
            self.left[0] + self.along[0] * along,
            self.left[1] + self.along[1] * along,
            self.left[2] + up,
        ]
    }

    fn corners(&self, on: &Rect) -> [[f64; 3]; 4] {
        let (left, low) = (on.from_left_m, on.up_m);
        let (right, high) = (left + on.width_m, low + on.height_m);
        [[left, low], [right, low], [right, high], [left, high]].map(|at| self.point(at))
    }

    /// Points spread over a rectangle on it.
    fn points(&self, on: &Rect) -> impl Iterator<Item = [f64; 3]> {
        let share = |at: usize| (at as f64 + 0.5) / PATCH_POINTS as f64;
        let points = (0..PATCH_POINTS * PATCH_POINTS).map(move |at| {
            let (i, j) = (at / PATCH_POINTS, at % PATCH_POINTS);
            self.point([
                on.from_left_m + on.width_m * share(i),
                on.up_m + on.height_m * share(j),
            ])
        });
        points.collect::<Vec<_>>().into_iter()
    }

    /// Rectangles of the patch's area that lie on it whole.
    fn patches(&self) -> Vec<Rect> {
        let height_m = PATCH_HEIGHT_M.min(self.height_m - 2.0 * EDGE_M);
        let width_m = PATCH_M2 / height_m.max(1e-3);
        let steps = |room_m: f64| -> Vec<f64> {
            let count = (room_m / PATCH_STEP_M + 1e-9).floor();
            match room_m < 0.0 {
                true => Vec::new(),
                false => (0..=count as usize)
                    .map(|at| EDGE_M + PATCH_STEP_M * at as f64)
                    .collect(),
            }
        };
        let lefts = steps(self.length_m - width_m - 2.0 * EDGE_M);
        let ups = steps(self.height_m - height_m - 2.0 * EDGE_M);
        let mut found = Vec::new();
        for from_left_m in lefts {
            for &up_m in &ups {
                let share = |at: usize| at as f64 / (PATCH_POINTS - 1) as f64;
                let mut points = (0..PATCH_POINTS).flat_map(|i| {
                    (0..PATCH_POINTS).map(move |j| {
                        [from_left_m + width_m * share(i), up_m + height_m * share(j)]
                    })
                });
                if points.all(|at| self.is_on(at)) {
                    found.push(Rect {
                        from_left_m,
                        up_m,
                        width_m,
                        height_m,
                    });
                }
            }
        }
        found
    }

    /// Points on it near its upright ends, with their areas, m².
    fn ends(&self) -> Points {
        let cells = |room_m: f64| (room_m / CORNER_STEP_M).ceil().max(1.0);
        let side_m = CORNER_SIDE_M.min(self.length_m / 2.0);
        let (across, up) = (cells(side_m), cells(self.height_m));
        let area_m2 = side_m * self.height_m / (across * up);
        let mut points = Vec::new();
        for i in 0..across as usize {
            let off = side_m * (i as f64 + 0.5) / across;
            for along in [off, self.length_m - off] {
                for j in 0..up as usize {
                    let at = [along, self.height_m * (j as f64 + 0.5) / up];
                    if self.is_on(at) {
                        points.push((self.point(at), area_m2));
                    }
                }
            }
        }
        points
    }
}

/// The resonance below the search's end that rings longest.
fn longest(modes: &Modes, finish: &Finish) -> (Hertz, f64) {
    let decays = modes.decays(finish);
    let low = decays
        .iter()
        .filter(|decay| decay.frequency_hz <= TO_HZ && decay.t60_s.is_finite());
    let longest = low.max_by(|a, b| a.t60_s.total_cmp(&b.t60_s));
    longest.map_or((Hertz(0.0), 0.0), |decay| {
        (Hertz(decay.frequency_hz), decay.t60_s)
    })
}

/// The area within a flat ring, m².
fn area_m2(ring: &[[f64; 3]]) -> f64 {
    0.5 * normal(ring)
        .iter()
        .map(|part| part * part)
        .sum::<f64>()
        .sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wall of 5 × 2.5 m along x with the air behind it (greater y), a door of 1 × 2 m in its middle.
    fn wall() -> Wall {
        let outline = [
            [0.0, 0.0],
            [2.0, 0.0],
            [2.0, 2.0],
            [3.0, 2.0],
            [3.0, 0.0],
            [5.0, 0.0],
            [5.0, 2.5],
            [0.0, 2.5],
        ];
        let face = waves::Face {
            // Anticlockwise as seen from outside, where y is negative.
            outline: outline.map(|[x, z]| [x, 0.0, z]).to_vec(),
            holes: Vec::new(),
            surface: 3,
        };
        Wall::new(3, &[face]).expect("it is upright")
    }

    #[test]
    fn a_wall_is_seen_from_inside() {
        let wall = wall();
        // From within, looking towards negative y, left is where x is greatest.
        assert_eq!(wall.point([1.0, 0.5]), [4.0, 0.0, 0.5]);
        assert_eq!((wall.length_m, wall.height_m), (5.0, 2.5));
        assert!(wall.is_on([1.0, 1.0]) && wall.is_on([2.5, 2.2]));
        assert!(!wall.is_on([2.5, 1.0]) && !wall.is_on([5.5, 1.0]));
    }

    #[test]
    fn a_patch_keeps_clear_of_a_door() {
        // 2 × 2 m do not go beside the door with their edges; with a wall of its own they do.
        let patches = wall().patches();
        assert!(patches.is_empty(), "{patches:?}");
        let plain = waves::Face {
            outline: vec![
                [0.0, 0.0, 0.0],
                [5.0, 0.0, 0.0],
                [5.0, 0.0, 2.5],
                [0.0, 0.0, 2.5],
            ],
            holes: Vec::new(),
            surface: 0,
        };
        let plain = Wall::new(0, &[plain]).expect("it is upright");
        let patches = plain.patches();
        // 5 − 2 − 0.2 m along and 2.5 − 2 − 0.2 m up in steps of 0.2 m: 15 by 2.
        assert_eq!(patches.len(), 30);
        // Both corners: 2 × 0.6 × 2.5 m².
        let filled: f64 = plain.ends().iter().map(|(_, area_m2)| area_m2).sum();
        assert!((filled - 3.0).abs() < 1e-9);
    }
}
