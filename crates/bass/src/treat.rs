//! What would treatment, or a door left open, do to the same subs?
//!
//! Computed again in the room's modes with other admittances, exact for a treatment spread evenly
//! over its surface: where on the surface it goes, and what its depth takes of the air, is left
//! out. A porous layer of depth d before a wall has `ζ = σd/(3ρc) − j/tan(kd)` while it is thin
//! beside the wave (from memory); a membrane is [`Admittance::Membrane`], tuned to the longest
//! resonance by `f = c/2π · √(ρ/(m d))`.

use std::ops::ControlFlow;

use subwoofers::{Arrangement, Score, score};
use units::{Decibels, Hertz};
use waves::{Admittance, Finish};

use crate::ready::{Ready, TO_HZ};
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
}

/// Flow resistivity of a soft board, Pa·s/m² (common practice, no source).
const FLOW_RESISTIVITY: f64 = 10_000.0;
const PANEL_DEPTH_M: f64 = 0.1;
const PATCH_M2: f64 = 4.0;
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
        let Some(before) = self.come_to(subs, &room.finish) else {
            return Ok(Vec::new());
        };
        let longest = self.longest(&room.finish);
        let changes = self.changes(longest.0);
        let count = changes.len().max(1) as f64;
        let mut all = Vec::new();
        for (at, (words, finish)) in changes.into_iter().enumerate() {
            if progress(at as f64 / count) == ControlFlow::Break(()) {
                return Err(SolveFault::Solve(waves::SolveError::Stopped));
            }
            let Some(score) = self.come_to(subs, &finish) else {
                continue;
            };
            all.push(Treated {
                words,
                score,
                evener: Decibels(before.spread.0 - score.spread.0),
                longest: [longest, self.longest(&finish)],
            });
        }
        Ok(all)
    }

    fn come_to(&self, subs: &[Placed], finish: &Finish) -> Option<Score> {
        if subs.is_empty() {
            return None;
        }
        let modes = &self.solved.modes;
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

    /// The resonance below the search's end that rings longest.
    fn longest(&self, finish: &Finish) -> (Hertz, f64) {
        let decays = self.solved.modes.decays(finish);
        let low = decays
            .iter()
            .filter(|decay| decay.frequency_hz <= TO_HZ && decay.t60_s.is_finite());
        let longest = low.max_by(|a, b| a.t60_s.total_cmp(&b.t60_s));
        longest.map_or((Hertz(0.0), 0.0), |decay| {
            (Hertz(decay.frequency_hz), decay.t60_s)
        })
    }

    fn changes(&self, tuned: Hertz) -> Vec<(String, Finish)> {
        let room = &self.solved.room;
        let home = room.spaces.first();
        let areas = self.areas_m2();
        let name = |at: usize| room.surfaces[at].name.replace('-', " ");
        let mut changes = Vec::new();
        let here: Vec<usize> = (0..room.surfaces.len())
            .filter(|&at| Some(&room.surfaces[at].space) == home && areas[at] > 0.0)
            .collect();
        for &at in &here {
            if room.doors.contains(&room.surfaces[at].name) && room.surfaces[at].is_opening {
                let open = Admittance::Opening { area_m2: areas[at] };
                changes.push((
                    format!("{} left open", name(at)),
                    with(&room.finish, at, open),
                ));
            }
        }
        let is_wall = |at: &usize| {
            let surface = &room.surfaces[*at];
            !surface.is_opening && !["floor", "ceiling"].contains(&surface.name.as_str())
        };
        let walls: Vec<usize> = here.into_iter().filter(is_wall).collect();
        let air = &room.finish.air;
        let rho_c = air.density_kg_m3 * air.speed_of_sound_m_s;
        let porous = |depth_m: f64| Admittance::Membrane {
            mass_kg_m2: 0.0,
            depth_m,
            resistance: FLOW_RESISTIVITY * depth_m / (3.0 * rho_c),
        };
        let pressed = self.pressed(tuned);
        let most = walls
            .iter()
            .copied()
            .filter(|&at| areas[at] >= PATCH_M2)
            .max_by(|&a, &b| pressed[a].total_cmp(&pressed[b]));
        if let Some(at) = most {
            let patch = PATCH_M2 / areas[at];
            let panel = self.with_layer(at, &porous(PANEL_DEPTH_M), patch);
            changes.push((
                format!("4 m² of soft panels 100 mm deep on {}", name(at)),
                with(&room.finish, at, panel),
            ));
            if tuned.0 > 0.0 {
                let stiff = std::f64::consts::TAU * tuned.0 / air.speed_of_sound_m_s;
                let membrane = Admittance::Membrane {
                    mass_kg_m2: air.density_kg_m3 / (stiff * stiff * MEMBRANE_DEPTH_M),
                    depth_m: MEMBRANE_DEPTH_M,
                    resistance: MEMBRANE_RESISTANCE,
                };
                changes.push((
                    format!(
                        "4 m² of membrane absorbers tuned to {:.0} Hz on {}",
                        tuned.0,
                        name(at)
                    ),
                    with(&room.finish, at, self.with_layer(at, &membrane, patch)),
                ));
            }
        }
        if walls.len() >= 3 {
            let mut finish = room.finish.clone();
            for &at in &walls {
                // Each wall ends in two corners and has its part of both.
                let share = (2.0 * CORNER_SIDE_M * self.height_m(at) / areas[at]).min(1.0);
                finish.surfaces[at] = self.with_layer(at, &porous(CORNER_SIDE_M / 2.0), share);
            }
            changes.push((
                "every upright corner filled with soft wool, 600 mm along both walls".to_owned(),
                finish,
            ));
        }
        changes
    }

    /// A surface with a share of it behind something else, line by line: a layer thin beside the
    /// wave leaves the pressure at the wall as it is, so the wall goes on giving way behind it.
    fn with_layer(&self, surface: usize, over: &Admittance, share: f64) -> Admittance {
        let finish = &self.solved.room.finish;
        let under = &finish.surfaces[surface];
        let points = self.frequencies().iter().map(|line| {
            let [under, over] = [under, over].map(|one| one.at(*line, &finish.air));
            let both = |under: f64, over: f64| under + over * share;
            (
                line.0,
                both(under.re, over.re).max(0.0),
                both(under.im, over.im),
            )
        });
        Admittance::Measured(points.collect())
    }

    /// By surface: mean square pressure of the mode nearest to a frequency.
    fn pressed(&self, near: Hertz) -> Vec<f64> {
        let modes = self.solved.modes.modes();
        let nearest = modes.into_iter().skip(1).min_by(|a, b| {
            let off = |mode: &waves::Mode| (mode.frequency_hz - near.0).abs();
            off(a).total_cmp(&off(b))
        });
        nearest.map_or_else(
            || vec![0.0; self.solved.room.surfaces.len()],
            |mode| mode.surface_pressure,
        )
    }

    fn areas_m2(&self) -> Vec<f64> {
        let mut areas = vec![0.0; self.solved.room.surfaces.len()];
        for face in &self.solved.room.faces {
            let holes: f64 = face.holes.iter().map(|ring| area_m2(ring)).sum();
            areas[face.surface] += area_m2(&face.outline) - holes;
        }
        areas
    }

    fn height_m(&self, surface: usize) -> f64 {
        let faces = self.solved.room.faces.iter();
        let heights = faces
            .filter(|face| face.surface == surface)
            .flat_map(|face| face.outline.iter().map(|corner| corner[2]));
        let [low, high] = heights.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], z| {
            [low.min(z), high.max(z)]
        });
        (high - low).max(0.0)
    }
}

fn with(finish: &Finish, surface: usize, admittance: Admittance) -> Finish {
    let mut finish = finish.clone();
    finish.surfaces[surface] = admittance;
    finish
}

/// The area within a flat ring, m².
fn area_m2(ring: &[[f64; 3]]) -> f64 {
    let mut sum = [0.0; 3];
    for (at, a) in ring.iter().enumerate() {
        let b = ring[(at + 1) % ring.len()];
        sum[0] += a[1] * b[2] - a[2] * b[1];
        sum[1] += a[2] * b[0] - a[0] * b[2];
        sum[2] += a[0] * b[1] - a[1] * b[0];
    }
    0.5 * sum.iter().map(|part| part * part).sum::<f64>().sqrt()
}
