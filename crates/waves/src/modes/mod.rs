//! The modes of a room and what follows from them at once: damping, response, decay, fields.
//!
//! In the basis of modes `φ_n` (M-orthonormal, `K φ_n = λ_n M φ_n`) the pressure of sources of
//! volume acceleration q at x_s is `p(x) = ρ q Σ φ_n(x) a_n`,
//! `[Λ − k² + jk Σ_s β_s B_s] a = φ(x_s)`, `B_s = ∫_s φ φᵀ dS`.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | λ_n, Λ | squared wavenumbers of the rigid room; diagonal | 1/m² |
//! | k | wavenumber of the air, lossy: Im k < 0 | rad/m |
//! | β_s | specific admittance of surface s | 1 |
//! | B_s | what surface s does to the modes; positive semidefinite | 1/m |
//!
//! The matrix is symmetric, so source and receiver may change places exactly. Responses are given
//! as `4π · p/(ρ q)` in 1/m: 1 is what the same source gives at 1 m in the open (0 dB).

mod boundary;
mod site;

use std::sync::Arc;

use faer::{Mat, MatRef};
use geometry::Point3;
use rayon::prelude::*;
use units::{Hertz, Seconds};

use boundary::{add_squares, boundary_matrix, mirrored};
use site::Layout;

pub(crate) use site::Site;

use crate::Complex;
use crate::admittance::{Admittance, Air};
use crate::grid::Frame;
use crate::krylov::times;
use crate::mesh::Mesh;
use crate::room::{Room, array};
use crate::solver::Settings;
use crate::system::System;

/// The acoustics of a room before its surfaces are chosen.
#[derive(Clone, Debug)]
pub struct Modes {
    layout: Arc<Layout>,
    settings: Settings,
    /// How many of the basis are modes; the others stand for everything stiffer.
    sure: usize,
    /// λ, ascending among the modes.
    values: Vec<f64>,
    /// Unknowns × basis.
    vectors: Arc<Mat<f64>>,
    /// B_s of each surface.
    boundary: Vec<Arc<Mat<f64>>>,
    areas_m2: Vec<f64>,
    volume_m3: f64,
}

/// A resonance of the room with rigid walls.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Mode {
    /// Where it resonates, Hz.
    pub frequency_hz: f64,
    /// By surface: mean square pressure on it by the mean square in the room. An axial mode
    /// between two walls has 2 on both and 1 on all others.
    pub surface_pressure: Vec<f64>,
}

/// A resonance with the surfaces' damping.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Decay {
    /// Where it resonates, Hz.
    pub frequency_hz: f64,
    /// Time for 60 dB, s; infinite without damping.
    pub t60_s: f64,
}

/// What a place is to the modes: their pressure there.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Place {
    pub(crate) amplitudes: Vec<f64>,
}

/// The room as finished: surfaces and air.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Finish {
    /// By surface.
    pub surfaces: Vec<Admittance>,
    /// By surface: how much more or less it gives way (1 as stated).
    pub scale: Vec<f64>,
    /// The air.
    pub air: Air,
}

impl Finish {
    /// Surfaces as stated, and ordinary air.
    pub fn new(surfaces: Vec<Admittance>) -> Self {
        let scale = vec![1.0; surfaces.len()];
        Self {
            surfaces,
            scale,
            air: Air::default(),
        }
    }

    /// β of each surface.
    fn at(&self, frequency: Hertz) -> Vec<Complex> {
        let scale = self.scale.iter().chain(std::iter::repeat(&1.0));
        self.surfaces
            .iter()
            .zip(scale)
            .map(|(s, by)| {
                let beta = s.at(frequency, &self.air);
                Complex::new(beta.re * by.max(0.0), beta.im * by.max(0.0))
            })
            .collect()
    }
}

/// A part of a surface that gives way in its own manner, such as a panel on a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// The surface that it covers a part of.
    pub surface: usize,
    /// Points on it, each with its share of the patch's area, m².
    pub points: Vec<(Point3, f64)>,
}

/// Answers of some ears to everything the room may send them: made once, then any place's response
/// is a product.
#[derive(Clone, Debug)]
pub struct Listening {
    frequencies_hz: Vec<f64>,
    /// By frequency: basis × ears.
    answers: Vec<Mat<Complex>>,
}

impl Modes {
    pub(crate) fn new(
        room: &Room,
        mesh: &Mesh,
        settings: &Settings,
        sure: usize,
        values: Vec<f64>,
        vectors: Mat<f64>,
    ) -> Self {
        let surfaces = room.surfaces();
        let boundary = (0..surfaces)
            .into_par_iter()
            .map(|surface| Arc::new(boundary_matrix(mesh, vectors.as_ref(), surface)))
            .collect();
        let mut areas_m2 = vec![0.0; surfaces];
        for triangle in &room.triangles {
            areas_m2[triangle.surface] += triangle.area_m2();
        }
        Self {
            layout: Arc::new(Layout::of(mesh, room)),
            settings: *settings,
            sure,
            values,
            vectors: Arc::new(vectors),
            boundary,
            areas_m2,
            volume_m3: room.volume().0,
        }
    }

    /// The same modes with parts of surfaces made surfaces of their own, numbered after those that
    /// there are; what a patch covers is no longer its surface's. Points outside the air are left out.
    ///
    /// Points stand for the patch's area by a rule of the caller's: with some to each eighth of a
    /// wavelength the sum is as good as the modes themselves.
    #[must_use]
    pub fn patched(&self, patches: &[Patch]) -> Self {
        let mut patched = self.clone();
        for patch in patches {
            let covered = self.covered(&patch.points);
            let area: f64 = patch.points.iter().map(|(_, area)| area).sum();
            if let Some(surface) = patched.boundary.get_mut(patch.surface) {
                *surface = Arc::new(&**surface - &covered);
                patched.areas_m2[patch.surface] -= area;
            }
            patched.boundary.push(Arc::new(covered));
            patched.areas_m2.push(area);
        }
        patched
    }

    /// `Σ w φ φᵀ` over points with weights.
    fn covered(&self, points: &[(Point3, f64)]) -> Mat<f64> {
        let n = self.values.len();
        let rows: Vec<Vec<f64>> = points
            .par_iter()
            .filter_map(|(point, weight)| {
                let site = self.layout.site(array(*point))?;
                let unknowns = &self.layout.cells[site.cell].1;
                let alive: Vec<(usize, f64)> = unknowns
                    .iter()
                    .zip(&site.shapes)
                    .filter(|(_, shape)| shape.abs() > 1e-13)
                    .map(|(unknown, shape)| (*unknown as usize, shape * weight.max(0.0).sqrt()))
                    .collect();
                let value = |column: usize| {
                    let column = self.vectors.col(column);
                    alive.iter().map(|(u, shape)| column[*u] * shape).sum()
                };
                Some((0..n).map(value).collect())
            })
            .collect();
        let mut sum: Mat<f64> = Mat::zeros(n, n);
        add_squares(&mut sum, &rows.concat());
        mirrored(&mut sum);
        sum
    }

    /// How many of the basis are modes, its eigenvalues, its fields.
    pub(crate) fn found(&self) -> (usize, &[f64], MatRef<'_, f64>) {
        (self.sure, &self.values, (*self.vectors).as_ref())
    }

    /// Up to where responses hold.
    pub fn holds_up_to(&self) -> Hertz {
        Hertz(self.settings.top_hz)
    }

    /// Numbers in the basis.
    pub fn basis_len(&self) -> usize {
        self.values.len()
    }

    /// The modes of the rigid room, ascending; the first, at 0 Hz, is pressure alike everywhere.
    pub fn modes(&self) -> Vec<Mode> {
        let top = self.settings.top_hz * 1.000_001;
        (0..self.sure)
            .map(|n| Mode {
                frequency_hz: self.frequency_hz(self.values[n]),
                surface_pressure: self
                    .boundary
                    .iter()
                    .zip(&self.areas_m2)
                    .map(|(b, area)| b[(n, n)] * self.volume_m3 / area.max(1e-12))
                    .collect(),
            })
            .take_while(|mode| mode.frequency_hz <= top)
            .collect()
    }

    fn frequency_hz(&self, value: f64) -> f64 {
        value.max(0.0).sqrt() * self.settings.speed_of_sound_m_s / (2.0 * std::f64::consts::PI)
    }

    /// The modes' pressures at a point in the room; `None` outside.
    pub fn place(&self, point: Point3) -> Option<Place> {
        let site = self.layout.site(array(point))?;
        let amplitudes = (0..self.vectors.ncols())
            .map(|n| self.layout.value(&site, |u| self.vectors[(u, n)]))
            .collect();
        Some(Place { amplitudes })
    }

    /// Pressure of one mode at points, by its root mean square over the room; `None` outside.
    pub fn shape(&self, mode: usize, points: &[Point3]) -> Vec<Option<f64>> {
        let scale = self.volume_m3.sqrt();
        points
            .iter()
            .map(|p| {
                let site = self
                    .layout
                    .site(array(*p))
                    .filter(|_| mode < self.values.len())?;
                Some(scale * self.layout.value(&site, |u| self.vectors[(u, mode)]))
            })
            .collect()
    }

    /// What ears answer, at all frequencies.
    pub fn listening(&self, finish: &Finish, ears: &[Place], frequencies: &[Hertz]) -> Listening {
        let n = self.values.len();
        let load = Mat::from_fn(n, ears.len(), |i, e| {
            Complex::new(ears[e].amplitudes[i], 0.0)
        });
        let answers = frequencies
            .par_iter()
            .map(|f| self.system(finish, *f).solved(&load))
            .collect();
        Listening {
            frequencies_hz: frequencies.iter().map(|f| f.0).collect(),
            answers,
        }
    }

    /// The response at one ear to one source, 1/m; 1 is 0 dB re the same source at 1 m in the open.
    pub fn response(
        &self,
        finish: &Finish,
        source: &Place,
        ear: &Place,
        frequencies: &[Hertz],
    ) -> Vec<Complex> {
        let listening = self.listening(finish, std::slice::from_ref(ear), frequencies);
        listening.from(source).swap_remove(0)
    }

    /// What ears answer for each of several guesses at the surfaces: `scales` holds, for each
    /// guess, how much more or less each surface gives way than `finish` says.
    pub fn ensemble(
        &self,
        finish: &Finish,
        scales: &[Vec<f64>],
        ears: &[Place],
        frequencies: &[Hertz],
    ) -> Vec<Listening> {
        let with = |scale: &Vec<f64>| Finish {
            scale: scale.clone(),
            ..finish.clone()
        };
        scales
            .iter()
            .map(|scale| self.listening(&with(scale), ears, frequencies))
            .collect()
    }

    /// Amplitudes of the basis for sources with complex strengths, at one frequency.
    fn driven(
        &self,
        finish: &Finish,
        sources: &[(Place, Complex)],
        frequency: Hertz,
    ) -> Mat<Complex> {
        let load = Mat::from_fn(self.values.len(), 1, |i, _| {
            let of = |(s, strength): &(Place, Complex)| *strength * s.amplitudes[i];
            sources.iter().map(of).sum::<Complex>()
        });
        self.system(finish, frequency).solved(&load)
    }

    /// The field of sources with complex strengths at places, at one frequency, 1/m.
    pub fn field(
        &self,
        finish: &Finish,
        sources: &[(Place, Complex)],
        places: &[Place],
        frequency: Hertz,
    ) -> Vec<Complex> {
        let answer = self.driven(finish, sources, frequency);
        let at = |p: &Place| {
            p.amplitudes
                .iter()
                .enumerate()
                .map(|(i, a)| answer[(i, 0)] * *a)
                .sum::<Complex>()
        };
        places.iter().map(|p| at(p) * FOUR_PI).collect()
    }

    /// The same at many points, for maps; `None` outside the room.
    pub fn field_at(
        &self,
        finish: &Finish,
        sources: &[(Place, Complex)],
        points: &[Point3],
        frequency: Hertz,
    ) -> Vec<Option<Complex>> {
        let answer = self.driven(finish, sources, frequency);
        // Summed over the basis first: then a point costs one cell's functions.
        let parts = Mat::from_fn(answer.nrows(), 2, |i, part| {
            let a = answer[(i, 0)] * FOUR_PI;
            if part == 0 { a.re } else { a.im }
        });
        let field = times((*self.vectors).as_ref(), parts.as_ref());
        points
            .par_iter()
            .map(|p| {
                let site = self.layout.site(array(*p))?;
                Some(Complex::new(
                    self.layout.value(&site, |u| field[(u, 0)]),
                    self.layout.value(&site, |u| field[(u, 1)]),
                ))
            })
            .collect()
    }

    fn system(&self, finish: &Finish, frequency: Hertz) -> System {
        let betas = finish.at(frequency);
        System::new(
            &self.values,
            &self.boundary,
            &betas,
            finish.air.wavenumber(frequency),
        )
    }

    /// Frequency and decay of each mode below the top with these surfaces, in the order of
    /// [`modes`](Self::modes); the mode at 0 Hz is left out.
    ///
    /// Each is found among the modes nearest to it, which damping mixes; the surfaces are taken
    /// as they are at the rigid mode's frequency.
    pub fn decays(&self, finish: &Finish) -> Vec<Decay> {
        let modes: Vec<usize> = (1..self.modes().len()).collect();
        let candidates: Vec<Vec<(f64, Complex)>> = modes
            .par_iter()
            .map(|mode| self.damped_wavenumbers(finish, *mode))
            .collect();
        let mut taken: Vec<Complex> = Vec::new();
        for (mode, candidates) in modes.iter().zip(candidates) {
            let centre = self.values[*mode].max(0.0).sqrt();
            // Two modes that damping mixes evenly are told apart by taking each solution once.
            let free = |k: &Complex| taken.iter().all(|t| (*t - *k).norm() > 1e-7 * centre);
            let found = candidates.into_iter().map(|(_, k)| k).find(free);
            taken.push(found.unwrap_or(Complex::new(centre, 0.0)));
        }
        let speed = finish.air.speed_of_sound_m_s;
        taken
            .into_iter()
            .map(|k| {
                let frequency_hz = k.re * speed / (2.0 * std::f64::consts::PI);
                let air = finish.air.wavenumber(Hertz(frequency_hz)).im.abs();
                let rate = (k.im + air) * speed;
                let t60_s = if rate > 0.0 {
                    1000f64.ln() / rate
                } else {
                    f64::INFINITY
                };
                Decay {
                    frequency_hz,
                    t60_s,
                }
            })
            .collect()
    }

    /// Solves `[Λ − k² + jkB] a = 0` among neighbours of a mode, as an ordinary eigenproblem of
    /// `(a, k a)`: the share that the mode has in each solution, most first, and its k.
    fn damped_wavenumbers(&self, finish: &Finish, mode: usize) -> Vec<(f64, Complex)> {
        let centre = self.values[mode].max(0.0).sqrt();
        let mut near: Vec<usize> = (0..self.values.len()).collect();
        near.sort_by(|a, b| {
            let off = |i: &usize| (self.values[*i].max(0.0).sqrt() - centre).abs();
            off(a).total_cmp(&off(b)).then(a.cmp(b))
        });
        near.truncate(NEIGHBOURS);
        let n = near.len();
        let betas = finish.at(Hertz(self.frequency_hz(self.values[mode])));
        let damping = |i: usize, j: usize| -> Complex {
            let of = |(b, beta): (&Arc<Mat<f64>>, &Complex)| *beta * b[(near[i], near[j])];
            self.boundary.iter().zip(&betas).map(of).sum()
        };
        // k a = b, k b = Λ a + jB b.
        let companion = Mat::from_fn(2 * n, 2 * n, |i, j| match (i < n, j < n) {
            (true, true) => Complex::new(0.0, 0.0),
            (true, false) => Complex::new(f64::from(u8::from(i == j - n)), 0.0),
            (false, true) => Complex::new(
                if i - n == j {
                    self.values[near[j]]
                } else {
                    0.0
                },
                0.0,
            ),
            (false, false) => Complex::new(0.0, 1.0) * damping(i - n, j - n),
        });
        let Ok(evd) = companion.eigen() else {
            return Vec::new();
        };
        let position = near.iter().position(|i| *i == mode).unwrap_or(0);
        let mut found: Vec<(f64, Complex)> = (0..2 * n)
            .filter(|e| evd.S()[*e].re > 0.0)
            .map(|e| {
                let weight = |i: usize| evd.U()[(i, e)].norm_sqr();
                (
                    weight(position) / (0..n).map(weight).sum::<f64>(),
                    evd.S()[e],
                )
            })
            .collect();
        found.sort_by(|a, b| b.0.total_cmp(&a.0));
        found
    }

    /// Smallest and largest eigenvalue of what a surface does to the modes, 1/m: never below zero
    /// but for rounding, so no surface adds energy.
    pub fn damping_range(&self, surface: usize) -> Option<(f64, f64)> {
        let matrix = self.boundary.get(surface)?;
        let values = matrix.self_adjoint_eigenvalues(faer::Side::Lower).ok()?;
        Some((*values.first()?, *values.last()?))
    }

    /// The grid's axes in the room, as unit vectors.
    pub fn axes(&self) -> [[f64; 3]; 3] {
        let Frame { rows } = self.layout.grid.frame;
        rows
    }
}

const FOUR_PI: f64 = 4.0 * std::f64::consts::PI;

/// How many modes are let mix when a damped one is looked for.
const NEIGHBOURS: usize = 24;

impl Listening {
    /// Responses of the ears to a source, by ear and frequency, 1/m.
    pub fn from(&self, source: &Place) -> Vec<Vec<Complex>> {
        let ears = self.answers.first().map_or(0, Mat::ncols);
        (0..ears)
            .map(|ear| {
                self.answers
                    .iter()
                    .map(|answer| {
                        let column = answer.col(ear);
                        let (mut re, mut im) = (0.0, 0.0);
                        for (i, a) in source.amplitudes.iter().enumerate() {
                            re += a * column[i].re;
                            im += a * column[i].im;
                        }
                        Complex::new(re * FOUR_PI, im * FOUR_PI)
                    })
                    .collect()
            })
            .collect()
    }

    /// Responses to many sources: by source, ear and frequency.
    pub fn from_each(&self, sources: &[Place]) -> Vec<Vec<Vec<Complex>>> {
        sources.par_iter().map(|s| self.from(s)).collect()
    }

    /// The frequencies, Hz.
    pub fn frequencies_hz(&self) -> &[f64] {
        &self.frequencies_hz
    }
}

/// A level in dB re the same source at 1 m in the open.
pub fn level_db(response: Complex) -> f64 {
    20.0 * response.norm().max(1e-300).log10()
}

/// The time for 60 dB as a unit.
impl Decay {
    /// Time for 60 dB.
    pub fn t60(&self) -> Seconds {
        Seconds(self.t60_s)
    }
}
