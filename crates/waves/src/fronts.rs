//! `K − σM` factored cell by cell (multifrontal elimination: Duff and Reid 1983, ACM Trans. Math.
//! Softw. 9): halves of the room are eliminated on their own until only the cut between them is left.
//!
//! Each step is dense and symmetric indefinite (Bunch and Kaufman's pivots), so the shift may lie
//! amid the eigenvalues; the signs of the pivots count how many of them are lower (Sylvester).

use faer::linalg::matmul::matmul;
use faer::prelude::Solve;
use faer::{Accum, Mat, Par, Side};

use crate::block::Block;

/// A cell as the elimination sees it: its unknowns and its place.
pub(crate) struct Leaf<'a> {
    pub unknowns: &'a [u32],
    pub cell: [usize; 3],
}

/// One step of the elimination.
struct Front {
    /// Unknowns eliminated here.
    own: Vec<u32>,
    /// Unknowns it leaves to later steps.
    rest: Vec<u32>,
    /// Inverse of the eliminated block, symmetric to the last digit: so is then all of the solution,
    /// on which Lanczos rests.
    inverse: Mat<f64>,
    /// That inverse times the coupling to the rest, [`TILE`] rows after another: both sweeps then
    /// read it nearly as it lies in memory.
    coupling: Vec<Mat<f64>>,
    /// Pivots below zero.
    negative: usize,
}

/// The factored matrix: two halves of the room, each on its own, then the cut between them.
pub(crate) struct Fronts {
    halves: [Vec<Front>; 2],
    cut: Vec<Front>,
    /// What the second half eliminates, and what it reaches of the cut.
    second: [Vec<u32>; 2],
}

/// Rows of a [`Front`]'s coupling that lie together.
const TILE: usize = 64;

/// What a half leaves to the step above: a dense matrix over `unknowns`.
struct Remainder {
    unknowns: Vec<u32>,
    /// How many cells in the half touch each of them.
    touched: Vec<u32>,
    matrix: Mat<f64>,
}

impl Fronts {
    /// Factors the sum of the leaves' matrices; `matrix_of(leaf)` gives one.
    pub(crate) fn new(
        leaves: &[Leaf<'_>],
        unknowns: usize,
        matrix_of: &(dyn Fn(usize) -> Mat<f64> + Sync),
    ) -> Self {
        let mut touching = vec![0u32; unknowns];
        for leaf in leaves {
            for u in leaf.unknowns {
                touching[*u as usize] += 1;
            }
        }
        let order: Vec<usize> = (0..leaves.len()).collect();
        let (halves, cut) = match halved(leaves, order) {
            Ok(halves) => {
                let [left, right] = halves;
                let ((first, left), (second, right)) = rayon::join(
                    || eliminate(leaves, left, &touching, matrix_of),
                    || eliminate(leaves, right, &touching, matrix_of),
                );
                let (cut, _) = step(merged(left, right), &touching);
                ([first, second], cut.into_iter().collect())
            }
            Err(whole) => {
                let (fronts, _) = eliminate(leaves, whole, &touching, matrix_of);
                ([Vec::new(), Vec::new()], fronts)
            }
        };
        let unknowns_of = |of: fn(&Front) -> &Vec<u32>| -> Vec<u32> {
            let mut all: Vec<u32> = halves[1].iter().flat_map(of).copied().collect();
            all.sort_unstable();
            all.dedup();
            all
        };
        let own = unknowns_of(|front| &front.own);
        let mut reached = unknowns_of(|front| &front.rest);
        reached.retain(|unknown| own.binary_search(unknown).is_err());
        Self {
            halves,
            cut,
            second: [own, reached],
        }
    }

    /// How many eigenvalues lie below the shift.
    pub(crate) fn below(&self) -> usize {
        let halves = self.halves.iter().flatten();
        halves.chain(&self.cut).map(|f| f.negative).sum()
    }

    /// Solves in place for some right-hand sides; `beside` is spare memory.
    ///
    /// The halves meet in the cut alone, so the second works beside the first on numbers of its own:
    /// each factor passes through memory once a sweep, for all right-hand sides together.
    pub(crate) fn solve(&self, x: &mut Block, beside: &mut Block) {
        if x.columns() == 0 {
            return;
        }
        let [first, second] = &self.halves;
        let [own, reached] = &self.second;
        // The second half looks at no other rows.
        beside.reshape(x.rows(), x.columns());
        for row in own {
            let row = *row as usize;
            beside.row_mut(row).copy_from_slice(x.row(row));
        }
        for row in reached {
            beside.row_mut(*row as usize).fill(0.0);
        }
        rayon::join(|| down(first, x), || down(second, beside));
        for row in reached {
            let row = *row as usize;
            for (to, from) in x.row_mut(row).iter_mut().zip(beside.row(row)) {
                *to += from;
            }
        }
        down(&self.cut, x);
        up(&self.cut, x);
        for row in reached {
            let row = *row as usize;
            beside.row_mut(row).copy_from_slice(x.row(row));
        }
        rayon::join(|| up(first, x), || up(second, beside));
        for row in own {
            let row = *row as usize;
            x.row_mut(row).copy_from_slice(beside.row(row));
        }
    }
}

/// Passes on what each step leaves to later ones.
fn down(fronts: &[Front], x: &mut Block) {
    let (mut own, mut passed) = (Block::default(), Block::default());
    for front in fronts {
        own.gather(x, &front.own);
        passed.clear(front.rest.len(), x.columns());
        for (at, tile) in front.coupling.iter().enumerate() {
            passed.add_transposed(tile.as_ref(), &own, at * TILE);
        }
        passed.scatter(-1.0, x, &front.rest);
    }
}

/// Solves each step, last first, from what later ones have found.
fn up(fronts: &[Front], x: &mut Block) {
    let [mut own, mut rest, mut found] = [(); 3].map(|()| Block::default());
    for front in fronts.iter().rev() {
        own.gather(x, &front.own);
        rest.gather(x, &front.rest);
        found.reshape(front.own.len(), x.columns());
        found.replace_product(front.inverse.transpose(), &own);
        for (at, tile) in front.coupling.iter().enumerate() {
            found.subtract_product(at * TILE, tile.as_ref(), &rest);
        }
        for (at, row) in front.own.iter().enumerate() {
            x.row_mut(*row as usize).copy_from_slice(found.row(at));
        }
    }
}

fn eliminate(
    leaves: &[Leaf<'_>],
    part: Vec<usize>,
    touching: &[u32],
    matrix_of: &(dyn Fn(usize) -> Mat<f64> + Sync),
) -> (Vec<Front>, Remainder) {
    let [left, right] = match halved(leaves, part) {
        Ok(halves) => halves,
        Err(only) => {
            let (front, rest) = step(leaf(leaves, &only, matrix_of), touching);
            return (front.into_iter().collect(), rest);
        }
    };
    let ((mut fronts, left), (others, right)) = rayon::join(
        || eliminate(leaves, left, touching, matrix_of),
        || eliminate(leaves, right, touching, matrix_of),
    );
    fronts.extend(others);
    let (front, rest) = step(merged(left, right), touching);
    fronts.extend(front);
    (fronts, rest)
}

/// One cell's own matrix; nothing of no cell.
fn leaf(
    leaves: &[Leaf<'_>],
    only: &[usize],
    matrix_of: &(dyn Fn(usize) -> Mat<f64> + Sync),
) -> Remainder {
    let unknowns = only.first().map(|at| leaves[*at].unknowns.to_vec());
    let unknowns = unknowns.unwrap_or_default();
    Remainder {
        touched: vec![1; unknowns.len()],
        unknowns,
        matrix: only
            .first()
            .map_or_else(|| Mat::zeros(0, 0), |at| matrix_of(*at)),
    }
}

/// Two halves of some cells, or the cells again where they are too few.
///
/// Halved along the axis with most cells: the cut between the halves is then smallest.
fn halved(leaves: &[Leaf<'_>], mut part: Vec<usize>) -> Result<[Vec<usize>; 2], Vec<usize>> {
    if part.len() < 2 {
        return Err(part);
    }
    let spread = |axis: usize| {
        let of = |i: &usize| leaves[*i].cell[axis];
        let low = part.iter().map(of).min().unwrap_or(0);
        let high = part.iter().map(of).max().unwrap_or(0);
        high - low
    };
    let axis = (0..3)
        .max_by_key(|axis| (spread(*axis), 3 - axis))
        .unwrap_or(0);
    part.sort_by_key(|i| (leaves[*i].cell[axis], *i));
    let mut middle = part.len() / 2;
    // Between two layers of cells, the nearest to the middle.
    let layer = |i: usize| leaves[part[i]].cell[axis];
    let is_cut = |i: usize| i > 0 && i < part.len() && layer(i) != layer(i - 1);
    if let Some(cut) = (0..part.len())
        .flat_map(|d| [middle.wrapping_sub(d), middle + d])
        .find(|i| *i < part.len() && is_cut(*i))
    {
        middle = cut;
    }
    let right = part.split_off(middle);
    Ok([part, right])
}

fn merged(left: Remainder, right: Remainder) -> Remainder {
    let mut unknowns = left.unknowns.clone();
    unknowns.extend(&right.unknowns);
    unknowns.sort_unstable();
    unknowns.dedup();
    let mut touched = vec![0; unknowns.len()];
    let mut matrix: Mat<f64> = Mat::zeros(unknowns.len(), unknowns.len());
    for half in [left, right] {
        let at: Vec<usize> = half
            .unknowns
            .iter()
            .map(|u| unknowns.binary_search(u).expect("merged from both"))
            .collect();
        for (j, to_j) in at.iter().enumerate() {
            touched[*to_j] += half.touched[j];
            for (i, to_i) in at.iter().enumerate() {
                matrix[(*to_i, *to_j)] += half.matrix[(i, j)];
            }
        }
    }
    Remainder {
        unknowns,
        touched,
        matrix,
    }
}

/// Eliminates what no other cell touches.
fn step(sum: Remainder, touching: &[u32]) -> (Option<Front>, Remainder) {
    let complete = |i: &usize| sum.touched[*i] == touching[sum.unknowns[*i] as usize];
    let (own, rest): (Vec<usize>, Vec<usize>) = (0..sum.unknowns.len()).partition(complete);
    if own.is_empty() {
        return (None, sum);
    }
    let a = &sum.matrix;
    let block = Mat::from_fn(own.len(), own.len(), |i, j| a[(own[i], own[j])]);
    let across = Mat::from_fn(own.len(), rest.len(), |i, j| a[(own[i], rest[j])]);
    let factor = block.lblt(Side::Lower);
    let mut inverse: Mat<f64> = Mat::identity(own.len(), own.len());
    factor.solve_in_place(inverse.as_mut());
    // By the factors, not by the inverse: what is left to later steps keeps its small pivots' signs.
    let coupling = factor.solve(&across);
    let mut matrix = Mat::from_fn(rest.len(), rest.len(), |i, j| a[(rest[i], rest[j])]);
    matmul(
        matrix.as_mut(),
        Accum::Add,
        across.transpose(),
        coupling.as_ref(),
        -1.0,
        Par::Seq,
    );
    let inverse = Mat::from_fn(own.len(), own.len(), |i, j| {
        0.5 * (inverse[(i, j)] + inverse[(j, i)])
    });
    let tiles = (0..own.len()).step_by(TILE).map(|from| {
        let to = (from + TILE).min(own.len());
        coupling.get(from..to, ..).to_owned()
    });
    let names = |of: &[usize]| -> Vec<u32> { of.iter().map(|i| sum.unknowns[*i]).collect() };
    let front = Front {
        own: names(&own),
        rest: names(&rest),
        inverse,
        coupling: tiles.collect(),
        negative: negative_pivots(&factor),
    };
    let touched = rest.iter().map(|i| sum.touched[*i]).collect();
    (
        Some(front),
        Remainder {
            unknowns: names(&rest),
            touched,
            matrix,
        },
    )
}

/// Signs of the block-diagonal factor: a 2 × 2 pivot has one of each.
fn negative_pivots(factor: &faer::linalg::solvers::Lblt<f64>) -> usize {
    let diagonal = factor.B_diag();
    let below = factor.B_subdiag();
    let n = diagonal.dim();
    let mut count = 0;
    let mut i = 0;
    while i < n {
        let d = diagonal[i];
        if i + 1 < n && below[i] != 0.0 {
            let (e, s) = (diagonal[i + 1], below[i]);
            let determinant = d * e - s * s;
            count += if determinant < 0.0 {
                1
            } else if d < 0.0 {
                2
            } else {
                0
            };
            i += 2;
        } else {
            count += usize::from(d < 0.0);
            i += 1;
        }
    }
    count
}
