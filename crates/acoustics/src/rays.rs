//! How does a room ring that no formula is valid for?
//!
//! Many rays leave a source evenly in all directions. At each face a ray keeps `1 − α` of its
//! energy and goes on as from a mirror, or, with the face's scattering coefficient as the
//! chance, in a direction drawn by Lambert's law. On the way it loses `e^(−m r)` to the air.
//! What all rays hold together at each moment is the decay of the room as a whole.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | α, s | absorption and scattering coefficient of a face | 1 |
//! | m | energy attenuation of the air | 1/m |
//!
//! Valid above the Schroeder frequency. The directions are drawn from a stream of its own for
//! each ray, so that the same seed gives the same answer. The time's standard error from n
//! rays falls as 1/√n; what the scattering coefficients are worth decides more.

use std::f64::consts::TAU;

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use units::{Decibels, Metres, MetresPerSecond, Seconds};

use crate::air::Attenuation;
use crate::direction::Point;
use crate::enclosure::Enclosure;
use crate::vector::{cross, dot, norm};

/// How many bands are followed at once.
pub const BANDS: usize = 7;

/// A face for rays.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RayFace {
    /// Absorption in each band; outside 0 to 1 it is clipped.
    pub alpha: [f64; BANDS],
    /// The share that is scattered, 0 to 1, in all bands.
    pub scattering: f64,
}

/// What to trace.
#[derive(Clone, Copy, Debug)]
pub struct Tracing {
    /// How many rays.
    pub rays: u32,
    /// How long they are followed.
    pub until: Seconds,
    /// What the air takes in each band.
    pub air: [Attenuation; BANDS],
    /// Speed of sound.
    pub speed: MetresPerSecond,
    /// Where the draws begin.
    pub seed: u64,
}

/// The energy in a room over time, 1 at the start.
#[derive(Clone, Debug, PartialEq)]
pub struct EnergyDecay {
    /// From one moment to the next.
    pub step: Seconds,
    /// What is in the air at each moment from 0 on, by band.
    pub in_air: Vec<[f64; BANDS]>,
    /// What faces took, by band.
    pub taken_by_faces: [f64; BANDS],
    /// What the air took, by band.
    pub taken_by_air: [f64; BANDS],
    /// What was in the air at the end, by band.
    pub left: [f64; BANDS],
    /// Rays that found no face: the room leaks at an edge by rounding.
    pub lost: u32,
    /// Faces met in all.
    pub bounces: u64,
}

/// The length of a step, s.
const STEP_S: f64 = 1e-3;

/// Follows rays from a source. The source has to be in the room's air; nothing else goes
/// wrong. `stop` is asked after every thousand rays; `None` when it says so.
pub fn trace(
    room: &Enclosure,
    faces: &[RayFace],
    source: Point,
    tracing: &Tracing,
    mut stop: impl FnMut(u32) -> bool,
) -> Option<EnergyDecay> {
    assert_eq!(faces.len(), room.face_count(), "a lining for each face");
    let steps = (tracing.until.0 / STEP_S).ceil().max(1.0) as usize;
    let mut told = EnergyDecay {
        step: Seconds(STEP_S),
        in_air: vec![[0.0; BANDS]; steps],
        taken_by_faces: [0.0; BANDS],
        taken_by_air: [0.0; BANDS],
        left: [0.0; BANDS],
        lost: 0,
        bounces: 0,
    };
    let source = source.map(|part| part.0);
    let share = 1.0 / f64::from(tracing.rays.max(1));
    for ray in 0..tracing.rays.max(1) {
        if ray % 1000 == 0 && stop(ray) {
            return None;
        }
        let mut rng = ChaCha8Rng::seed_from_u64(tracing.seed);
        rng.set_stream(u64::from(ray));
        let way = on_sphere(ray, tracing.rays.max(1), &mut rng);
        follow(
            room,
            faces,
            (source, way),
            tracing,
            share,
            &mut rng,
            &mut told,
        );
    }
    Some(told)
}

fn follow(
    room: &Enclosure,
    faces: &[RayFace],
    (mut at, mut way): ([f64; 3], [f64; 3]),
    tracing: &Tracing,
    share: f64,
    rng: &mut ChaCha8Rng,
    told: &mut EnergyDecay,
) {
    let air = tracing.air.map(Attenuation::energy_per_m);
    let speed = tracing.speed.0;
    let end_m = told.in_air.len() as f64 * STEP_S * speed;
    let mut energy = [share; BANDS];
    let mut gone_m = 0.0;
    let mut not = usize::MAX;
    loop {
        let Some((face, along)) = room.hit(at, way, not) else {
            told.lost += 1;
            for (left, energy) in told.left.iter_mut().zip(energy) {
                *left += energy;
            }
            return;
        };
        let leg = along.min(end_m - gone_m);
        // Every moment on this leg.
        let first = (gone_m / speed / STEP_S).ceil() as usize;
        let last = ((gone_m + leg) / speed / STEP_S).ceil() as usize;
        for moment in first..last.min(told.in_air.len()) {
            let on_m = moment as f64 * STEP_S * speed - gone_m;
            for band in 0..BANDS {
                told.in_air[moment][band] += energy[band] * (-air[band] * on_m).exp();
            }
        }
        for ((energy, air), taken) in (energy.iter_mut().zip(air)).zip(&mut told.taken_by_air) {
            let kept = *energy * (-air * leg).exp();
            *taken += *energy - kept;
            *energy = kept;
        }
        gone_m += leg;
        if leg < along {
            for (left, energy) in told.left.iter_mut().zip(energy) {
                *left += energy;
            }
            return;
        }
        at = [0, 1, 2].map(|i| at[i] + along * way[i]);
        told.bounces += 1;
        let lining = &faces[face];
        let sums = &mut told.taken_by_faces;
        for ((energy, alpha), sum) in energy.iter_mut().zip(&lining.alpha).zip(sums) {
            let taken = *energy * alpha.clamp(0.0, 1.0);
            *sum += taken;
            *energy -= taken;
        }
        let normal = room.faces[face].normal;
        way = if rng.random::<f64>() < lining.scattering {
            lambert(normal, rng)
        } else {
            let towards = dot(way, normal);
            [0, 1, 2].map(|i| way[i] - 2.0 * towards * normal[i])
        };
        not = face;
        // Nothing that could still be told from silence.
        if energy.iter().all(|energy| *energy < share * 1e-12) {
            for (left, energy) in told.left.iter_mut().zip(energy) {
                *left += energy;
            }
            return;
        }
    }
}

/// Evenly spread over the sphere: rings of equal area, jittered within.
fn on_sphere(ray: u32, rays: u32, rng: &mut ChaCha8Rng) -> [f64; 3] {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let z = 1.0 - 2.0 * (f64::from(ray) + rng.random::<f64>()) / f64::from(rays);
    let turn = TAU * (f64::from(ray) * GOLDEN).fract();
    let across = (1.0 - z * z).max(0.0).sqrt();
    [across * turn.cos(), across * turn.sin(), z]
}

/// A direction off a face, as likely as the cosine of its angle to the normal.
fn lambert(normal: [f64; 3], rng: &mut ChaCha8Rng) -> [f64; 3] {
    let (share, turn) = (rng.random::<f64>(), TAU * rng.random::<f64>());
    let (ahead, across) = ((1.0 - share).sqrt(), share.sqrt());
    let askew = if normal[0].abs() < 0.9 {
        [1.0, 0.0, 0.0]
    } else {
        [0.0, 1.0, 0.0]
    };
    let one = cross(normal, askew);
    let length = norm(one);
    let one = one.map(|part| part / length);
    let other = cross(normal, one);
    [0, 1, 2].map(|i| ahead * normal[i] + across * (turn.cos() * one[i] + turn.sin() * other[i]))
}

impl EnergyDecay {
    /// The level in a band at each step, re the start.
    pub fn levels(&self, band: usize) -> Vec<Decibels> {
        let start = self.in_air[0][band];
        let level = |moment: &[f64; BANDS]| Decibels(10.0 * (moment[band] / start).log10());
        self.in_air.iter().map(level).collect()
    }

    /// The reverberation time by the line between two levels below the start; `None` where
    /// the rays were not followed that far.
    pub fn time_between(&self, band: usize, from: Decibels, to: Decibels) -> Option<Seconds> {
        let levels = self.levels(band);
        let first = levels.iter().position(|level| level.0 <= from.0)?;
        let last = levels.iter().position(|level| level.0 <= to.0)?;
        let points: Vec<(f64, f64)> = (first..=last)
            .map(|at| (at as f64 * self.step.0, levels[at].0))
            .filter(|(_, level)| level.is_finite())
            .collect();
        let n = points.len() as f64;
        if points.len() < 2 {
            return None;
        }
        let mean = |part: fn(&(f64, f64)) -> f64| points.iter().map(part).sum::<f64>() / n;
        let (t, level) = (mean(|point| point.0), mean(|point| point.1));
        let over: f64 = points.iter().map(|(a, b)| (a - t) * (b - level)).sum();
        let under: f64 = points.iter().map(|(a, _)| (a - t) * (a - t)).sum();
        Some(Seconds(-60.0 * under / over))
    }

    /// T₂₀.
    pub fn t20(&self, band: usize) -> Option<Seconds> {
        self.time_between(band, Decibels(-5.0), Decibels(-25.0))
    }

    /// T₃₀.
    pub fn t30(&self, band: usize) -> Option<Seconds> {
        self.time_between(band, Decibels(-5.0), Decibels(-35.0))
    }
}

/// The mean way between two faces that rays of a tracing had: 4V/S in a diffuse field.
pub fn mean_free_path(
    told: &EnergyDecay,
    rays: u32,
    until: Seconds,
    speed: MetresPerSecond,
) -> Metres {
    Metres(f64::from(rays) * until.0 * speed.0 / told.bounces as f64)
}

#[cfg(test)]
mod tests;
