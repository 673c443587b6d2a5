//! The cell of a point, and a field's value there.

use std::sync::Arc;

use crate::grid::Grid;
use crate::mesh::{Mesh, shapes_at};
use crate::room::Room;

/// Points this near to the boundary count as in the room, m.
const TOUCHING_M: f64 = 2e-3;

/// A point within its cell.
pub(crate) struct Site {
    pub cell: usize,
    pub shapes: Vec<f64>,
}

impl Site {
    pub(crate) fn find(mesh: &Mesh, room: &Room, point: [f64; 3]) -> Option<Self> {
        Layout::of(mesh, room).site(point)
    }
}

/// Where cells are: what is needed to find a point's cell again.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub(super) grid: Grid,
    room: Arc<Room>,
    /// By cell: its place in the grid, its unknowns.
    pub(super) cells: Vec<([usize; 3], Vec<u32>)>,
    /// Bounding faces of pieces that share their cell with another piece.
    shared: Vec<(usize, Vec<[[f64; 3]; 3]>)>,
}

impl Layout {
    pub(super) fn of(mesh: &Mesh, room: &Room) -> Self {
        let cells: Vec<([usize; 3], Vec<u32>)> = mesh
            .cells
            .iter()
            .map(|c| (c.at, c.unknowns.clone()))
            .collect();
        let shared = mesh
            .cells
            .iter()
            .enumerate()
            .filter(|(i, c)| {
                cells
                    .iter()
                    .enumerate()
                    .any(|(j, other)| j != *i && other.0 == c.at)
            })
            .map(|(i, c)| (i, c.bounds.clone()))
            .collect();
        Self {
            grid: mesh.grid.clone(),
            room: Arc::new(room.clone()),
            cells,
            shared,
        }
    }

    pub(super) fn site(&self, point: [f64; 3]) -> Option<Site> {
        if !point.iter().all(|x| x.is_finite()) || !self.room.contains(point, TOUCHING_M) {
            return None;
        }
        let p = self.grid.frame.to_grid(point);
        let slabs = |at: [usize; 3]| [0, 1, 2].map(|axis| self.grid.axes[axis][at[axis]]);
        // A point just outside a cut cell's air may lie in a cell that holds none: take the nearest.
        let distance = |at: [usize; 3]| {
            let s = slabs(at);
            let off = [0, 1, 2].map(|d| (s[d].from_m - p[d]).max(p[d] - s[d].to_m).max(0.0));
            off.iter().map(|x| x * x).sum::<f64>()
        };
        let at = [0, 1, 2].map(|axis| self.grid.slab_at(axis, p[axis]));
        let candidates: Vec<usize> = (0..self.cells.len())
            .filter(|i| self.cells[*i].0 == at)
            .collect();
        let cell = match candidates[..] {
            [] => (0..self.cells.len())
                .min_by(|i, j| distance(self.cells[*i].0).total_cmp(&distance(self.cells[*j].0)))?,
            [only] => only,
            _ => candidates
                .into_iter()
                .max_by(|i, j| self.angle(*i, p).total_cmp(&self.angle(*j, p)))?,
        };
        let s = slabs(self.cells[cell].0);
        let within = [0, 1, 2].map(|d| p[d].clamp(s[d].from_m, s[d].to_m));
        Some(Site {
            cell,
            shapes: shapes_at(&s, within),
        })
    }

    /// A field's value at a site, from its value at each unknown.
    pub(super) fn value(&self, site: &Site, of: impl Fn(usize) -> f64) -> f64 {
        let unknowns = &self.cells[site.cell].1;
        unknowns
            .iter()
            .zip(&site.shapes)
            .map(|(u, s)| of(*u as usize) * s)
            .sum()
    }

    /// The solid angle that a piece's boundary fills as seen from a point: 4π inside.
    fn angle(&self, cell: usize, p: [f64; 3]) -> f64 {
        self.shared
            .iter()
            .filter(|(i, _)| *i == cell)
            .flat_map(|(_, triangles)| triangles)
            .map(|t| crate::room::solid_angle(*t, p))
            .sum()
    }
}
