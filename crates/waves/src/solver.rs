//! From a room to its modes: the long part, done once.

use std::ops::ControlFlow;

use faer::{Mat, MatRef, Side};
use geometry::Point3;
use units::{CubicMetres, Hertz, MetresPerSecond};

use crate::block::{Block, by_blocks};
use crate::fronts::{Fronts, Leaf};
use crate::grid::{Fineness, Frame, Grid};
use crate::krylov::{Krylov, inner, times};
use crate::mesh::Mesh;
use crate::modes::{Modes, Site};
use crate::room::{Room, array};

/// How finely to solve.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Settings {
    /// Responses hold up to here.
    pub top_hz: f64,
    /// Speed of sound, m/s.
    pub speed_of_sound_m_s: f64,
    /// Relative error of the wavenumber allowed to the grid at the top.
    pub dispersion: f64,
    /// How many times cells shrink towards re-entrant edges.
    pub edge_layers: usize,
    /// Cells of one width and degree instead of what the wave needs: to see how errors fall.
    pub uniform: Option<Uniform>,
    /// Turn the grid to the walls, so that few cells are cut.
    pub along_walls: bool,
    /// How far above the top modes are kept: what lies above is stiff and enters as residuals.
    pub kept_above: f64,
    /// Most memory to use, bytes.
    pub memory_max: f64,
}

/// Cells all alike.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Uniform {
    /// Widest side of a cell, m.
    pub width_m: f64,
    /// Degree of the polynomials, 1 to 8.
    pub degree: usize,
}

impl Settings {
    /// The usual fineness up to a frequency.
    pub fn up_to(top: Hertz) -> Self {
        Self {
            top_hz: top.0,
            speed_of_sound_m_s: 343.0,
            dispersion: 1e-3,
            edge_layers: 1,
            uniform: None,
            along_walls: true,
            kept_above: 1.1,
            memory_max: 6e9,
        }
    }

    /// The same at another speed of sound.
    pub fn at_speed(mut self, speed: MetresPerSecond) -> Self {
        self.speed_of_sound_m_s = speed.0;
        self
    }
}

/// Why there are no modes.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SolveError {
    /// Not enough memory for this room at this frequency.
    #[error(
        "needs about {:.1} GB, more than the {:.1} GB allowed: this room would fit up to {fitting_hz:.0} Hz, or {:.0} m³ of it at {top_hz:.0} Hz",
        needed / 1e9, allowed / 1e9, fitting.0
    )]
    Memory {
        /// Estimated need, bytes.
        needed: f64,
        /// Allowed, bytes.
        allowed: f64,
        /// The frequency asked for.
        top_hz: f64,
        /// The frequency to which this room would fit.
        fitting_hz: f64,
        /// The volume that would fit at the frequency asked for.
        fitting: CubicMetres,
    },
    /// A setting out of its range.
    #[error("{0}")]
    Setting(&'static str),
    /// A point that is not in the room.
    #[error("point {index} ({:.2}, {:.2}, {:.2}) m is not in the room", at.x, at.y, at.z)]
    Outside {
        /// Which of the points, from 0.
        index: usize,
        /// Where it is.
        at: Point3,
    },
    /// The caller stopped it.
    #[error("stopped")]
    Stopped,
    /// The eigenvalues did not settle.
    #[error("the modes did not settle: {found} of {expected} found below {top_hz:.0} Hz")]
    Unsettled {
        /// How many modes are sure.
        found: usize,
        /// How many there are.
        expected: usize,
        /// Up to which frequency.
        top_hz: f64,
    },
}

/// A room laid out in cells, ready to be solved.
pub struct Solver {
    room: Room,
    settings: Settings,
    mesh: Mesh,
}

/// Size of a solve, for tables.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Cells, of which some are cut by the boundary.
    pub cells: usize,
    /// Cells that the boundary cuts.
    pub cut_cells: usize,
    /// Unknown numbers.
    pub unknowns: usize,
    /// Estimated need, bytes.
    pub bytes: f64,
}

impl Solver {
    /// Lays the grid.
    ///
    /// # Errors
    /// A setting out of its range, or a room beyond memory.
    pub fn new(room: &Room, settings: Settings) -> Result<Self, SolveError> {
        let ranges = [
            (
                settings.top_hz > 0.0 && settings.top_hz.is_finite(),
                "the top frequency must be above 0 Hz",
            ),
            (
                settings.speed_of_sound_m_s > 0.0,
                "the speed of sound must be above 0 m/s",
            ),
            (
                (1e-9..=0.1).contains(&settings.dispersion),
                "the dispersion must be between 1e-9 and 0.1",
            ),
            (
                settings.edge_layers <= 6,
                "cells shrink at most 6 times towards an edge",
            ),
            (
                settings
                    .uniform
                    .is_none_or(|u| (1..=8).contains(&u.degree) && u.width_m > 0.01),
                "cells are wider than 1 cm and of degree 1 to 8",
            ),
            (
                (1.0..=3.0).contains(&settings.kept_above),
                "modes are kept to 1 to 3 times the top",
            ),
        ];
        if let Some((_, message)) = ranges.iter().find(|(fine, _)| !fine) {
            return Err(SolveError::Setting(message));
        }
        let wavenumber = 2.0 * std::f64::consts::PI * settings.top_hz / settings.speed_of_sound_m_s;
        let frame = if settings.along_walls {
            Frame::along_walls(room)
        } else {
            Frame::GIVEN
        };
        let fineness = Fineness {
            wavenumber,
            dispersion: settings.dispersion,
            edge_layers: settings.edge_layers,
            uniform: settings.uniform.map(|u| (u.width_m, u.degree)),
        };
        // Refuse before the grid is cut: the waves alone say how much there will be.
        let least = bytes(
            room,
            &settings,
            300.0 * room.volume().0 * (wavenumber / (2.0 * std::f64::consts::PI)).powi(3),
        );
        check_memory(room, &settings, least)?;
        let (grid, triangles) = Grid::new(room, frame, fineness);
        let mesh = Mesh::new(grid, &triangles);
        let needed = bytes(room, &settings, mesh.unknowns as f64) + mesh.matrix_bytes();
        check_memory(room, &settings, needed)?;
        Ok(Self {
            room: room.clone(),
            settings,
            mesh,
        })
    }

    /// How large it is.
    pub fn size(&self) -> Size {
        Size {
            cells: self.mesh.cells.len(),
            cut_cells: self.mesh.cut_cells,
            unknowns: self.mesh.unknowns,
            bytes: bytes(&self.room, &self.settings, self.mesh.unknowns as f64)
                + self.mesh.matrix_bytes(),
        }
    }

    /// Volume of the air in the cells: the room's own, but for rounding.
    pub fn volume(&self) -> CubicMetres {
        CubicMetres(self.mesh.volume_m3)
    }

    /// Finds the modes. Responses at `ears` are sharpened by what modes above the top add there:
    /// name the places at which people listen. `progress` is told the share done and may stop it.
    ///
    /// # Errors
    /// An ear outside the room, a stop, or modes that don't settle.
    pub fn run(
        &self,
        ears: &[Point3],
        progress: &mut dyn FnMut(f64) -> ControlFlow<()>,
    ) -> Result<Modes, SolveError> {
        let mut tell = |share: f64| match progress(share) {
            ControlFlow::Continue(()) => Ok(()),
            ControlFlow::Break(()) => Err(SolveError::Stopped),
        };
        tell(0.0)?;
        let mesh = &self.mesh;
        let top = (2.0 * std::f64::consts::PI * self.settings.top_hz
            / self.settings.speed_of_sound_m_s)
            .powi(2);
        let kept = top * self.settings.kept_above.powi(2);
        let sites = ears
            .iter()
            .enumerate()
            .map(|(index, ear)| {
                Site::find(mesh, &self.room, array(*ear))
                    .ok_or(SolveError::Outside { index, at: *ear })
            })
            .collect::<Result<Vec<Site>, SolveError>>()?;
        let count = expected_modes(&self.room, kept);
        let shift = 0.55 * kept;
        let fronts = self.factored(shift);
        tell(0.2)?;
        let room = [1.6, 4.0].map(|share| (share * count) as usize + 96);
        let mut krylov = Krylov::new(mesh, &fronts, shift, room);
        let mut look = 1.3 * count + 16.0;
        let ritz = loop {
            let grown = krylov.grow();
            tell(0.2 + 0.5 * (krylov.used() as f64 / (1.7 * count)).min(1.0))?;
            if grown && (krylov.used() as f64) < look {
                continue;
            }
            let ritz = krylov.ritz(kept);
            let pairs = || ritz.values.iter().zip(&ritz.errors);
            let below = pairs()
                .filter(|(v, e)| **v < shift && **e < 0.1 * shift)
                .count();
            let unsure = pairs()
                .filter(|(v, e)| **v < top && **e > SETTLED * top)
                .count();
            if below == fronts.below() && unsure == 0 {
                break ritz;
            }
            if !grown {
                return Err(SolveError::Unsettled {
                    found: below - unsure.min(below),
                    expected: fronts.below(),
                    top_hz: self.settings.top_hz,
                });
            }
            look = krylov.used() as f64 + 0.1 * count;
        };
        let vectors = krylov.vectors(&ritz);
        // The largest thing in memory, and done with.
        drop(krylov);
        tell(0.75)?;
        let loads = self.loads(&sites);
        let settled = |(v, e): &(&f64, &f64)| **v < top || **e < SETTLED * top;
        let sure = ritz
            .values
            .iter()
            .zip(&ritz.errors)
            .take_while(settled)
            .count();
        let (values, vectors) =
            with_residuals(mesh, &fronts, &ritz.values, vectors.as_ref(), sure, loads);
        tell(0.85)?;
        let modes = self.modes(sure, values, vectors);
        tell(1.0)?;
        Ok(modes)
    }

    pub(crate) fn modes(&self, sure: usize, values: Vec<f64>, vectors: Mat<f64>) -> Modes {
        Modes::new(
            &self.room,
            &self.mesh,
            &self.settings,
            sure,
            values,
            vectors,
        )
    }

    fn factored(&self, shift: f64) -> Fronts {
        let cells = &self.mesh.cells;
        let leaves: Vec<Leaf<'_>> = cells
            .iter()
            .map(|c| Leaf {
                unknowns: &c.unknowns,
                cell: c.at,
            })
            .collect();
        Fronts::new(&leaves, self.mesh.unknowns, &|i| {
            let element = &cells[i].element;
            let (k, m) = (element.stiffness.as_ref(), element.mass.as_ref());
            Mat::from_fn(k.nrows(), k.ncols(), |r, c| k[(r, c)] - shift * m[(r, c)])
        })
    }

    /// Right-hand sides whose static answers the modes alone give badly: a source at each ear, and
    /// each surface moving as a whole.
    fn loads(&self, sites: &[Site]) -> Mat<f64> {
        let surfaces = self.room.surfaces();
        let mut loads: Mat<f64> = Mat::zeros(self.mesh.unknowns, sites.len() + surfaces);
        for (c, site) in sites.iter().enumerate() {
            let cell = &self.mesh.cells[site.cell];
            for (u, value) in cell.unknowns.iter().zip(&site.shapes) {
                loads[(*u as usize, c)] += value;
            }
        }
        for cell in &self.mesh.cells {
            for surface in 0..surfaces {
                for (p, weight) in self.mesh.boundary_points(cell, surface) {
                    for (u, value) in cell.unknowns.iter().zip(self.mesh.shapes_at(cell, p)) {
                        loads[(*u as usize, sites.len() + surface)] += weight * value;
                    }
                }
            }
        }
        loads
    }
}

/// A mode is taken as found when its error is below this share of the top (a bound; the error of
/// the eigenvalue itself is its square by the distance to the next).
const SETTLED: f64 = 3e-4;

/// How many modes lie below an eigenvalue `λ = k²`: Weyl's law with its second term, from above.
fn expected_modes(room: &Room, value: f64) -> f64 {
    let pi = std::f64::consts::PI;
    let (volume, area) = (room.volume().0, room.area().0);
    1.05 * (value.powf(1.5) * volume / (6.0 * pi * pi) + value * area / (16.0 * pi)) + 8.0
}

fn bytes(room: &Room, settings: &Settings, unknowns: f64) -> f64 {
    let k = 2.0 * std::f64::consts::PI * settings.top_hz / settings.speed_of_sound_m_s;
    let modes = expected_modes(room, (k * settings.kept_above).powi(2));
    // The Krylov space, its Ritz vectors, and the factors, whose cuts grow with the room's sides:
    // 456 numbers for each of 10,875 unknowns.
    8.0 * unknowns * (1.8 * modes + modes + 21.0 * unknowns.cbrt())
}

fn check_memory(room: &Room, settings: &Settings, needed: f64) -> Result<(), SolveError> {
    let allowed = settings.memory_max;
    if needed <= allowed {
        return Ok(());
    }
    // Unknowns and modes both grow with the volume and the cube of the frequency.
    let fit = allowed / needed;
    Err(SolveError::Memory {
        needed,
        allowed,
        top_hz: settings.top_hz,
        fitting_hz: settings.top_hz * fit.powf(1.0 / 6.0),
        fitting: CubicMetres(room.volume().0 * fit.sqrt()),
    })
}

/// The basis in which all later work is done: sure modes as they are, then the rest together with
/// the static answers to `loads`, made diagonal among themselves (Rayleigh and Ritz).
fn with_residuals(
    mesh: &Mesh,
    fronts: &Fronts,
    values: &[f64],
    vectors: MatRef<'_, f64>,
    sure: usize,
    loads: Mat<f64>,
) -> (Vec<f64>, Mat<f64>) {
    let mut spare = Block::default();
    let mut solved = |x: &Mat<f64>| {
        by_blocks(x.as_ref(), |mut block| {
            fronts.solve(&mut block, &mut spare);
            block
        })
    };
    let mut spare = Block::default();
    let mut mass_times = |x: &Mat<f64>| {
        by_blocks(x.as_ref(), |block| {
            let mut out = Block::default();
            mesh.mass_times(&block, &mut out, &mut spare);
            out
        })
    };
    let normal = |x: &mut Mat<f64>, mass: &Mat<f64>| {
        for c in 0..x.ncols() {
            let square: f64 = (0..x.nrows()).map(|r| x[(r, c)] * mass[(r, c)]).sum();
            let by = 1.0 / square.max(1e-300).sqrt();
            (0..x.nrows()).for_each(|r| x[(r, c)] *= by);
        }
    };
    // The answer at the shift, and how it changes away from it.
    let mut first = solved(&loads);
    let mass = mass_times(&first);
    normal(&mut first, &mass);
    let change = solved(&mass_times(&first));
    let mut answers: Mat<f64> = Mat::zeros(first.nrows(), 2 * first.ncols());
    answers.get_mut(.., ..first.ncols()).copy_from(&first);
    answers.get_mut(.., first.ncols()..).copy_from(&change);
    let mut mass = mass_times(&answers);
    answers -= times(vectors, inner(vectors, mass.as_ref()).as_ref());
    // The second time takes rounding away, which M times the answers need not be told.
    mass = mass_times(&answers);
    answers -= times(vectors, inner(vectors, mass.as_ref()).as_ref());
    // Among themselves; what the modes already hold is dropped.
    let gram = inner(answers.as_ref(), mass.as_ref());
    let mut others: Vec<Mat<f64>> = vec![vectors.get(.., sure..).to_owned()];
    if let Ok(evd) = gram.self_adjoint_eigen(Side::Lower) {
        let chosen: Vec<usize> = (0..gram.nrows()).filter(|i| evd.S()[*i] > 1e-10).collect();
        let u = evd.U();
        let turn = Mat::from_fn(gram.nrows(), chosen.len(), |i, j| {
            u[(i, chosen[j])] / evd.S()[chosen[j]].sqrt()
        });
        others.push(times(answers.as_ref(), turn.as_ref()));
    }
    let columns = others.iter().map(Mat::ncols).sum();
    let mut rest: Mat<f64> = Mat::zeros(vectors.nrows(), columns);
    let mut at = 0;
    for part in &others {
        rest.get_mut(.., at..at + part.ncols()).copy_from(part);
        at += part.ncols();
    }
    let mut spare = Block::default();
    let stiff = by_blocks(rest.as_ref(), |block| {
        let mut out = Block::default();
        mesh.stiffness_times(&block, &mut out, &mut spare);
        out
    });
    let stiffness = inner(rest.as_ref(), stiff.as_ref());
    let mut all = values[..sure].to_vec();
    let mut basis: Mat<f64> = Mat::zeros(vectors.nrows(), sure + columns);
    basis.get_mut(.., ..sure).copy_from(vectors.get(.., ..sure));
    if let Ok(evd) = stiffness.self_adjoint_eigen(Side::Lower) {
        all.extend((0..columns).map(|i| evd.S()[i]));
        basis
            .get_mut(.., sure..)
            .copy_from(times(rest.as_ref(), evd.U()));
    }
    (all, basis)
}
