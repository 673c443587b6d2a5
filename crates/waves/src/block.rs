//! A few vectors side by side, number by number.
//!
//! Cells and fronts gather and scatter single unknowns; with all columns of one unknown beside each
//! other that is a move of one or two cache lines instead of as many as there are columns.

use faer::linalg::matmul::matmul;
use faer::{Accum, Mat, MatMut, MatRef, Par};
use rayon::prelude::*;

/// Columns that are solved together: each factor is then read once for all of them.
pub(crate) const WIDTH: usize = 16;
/// Rows of a panel that one worker takes: with its columns, what a first cache holds.
const PANEL: usize = 256;
/// Rows that one worker sums; the same however many workers there are, so that sums are too.
const SUMMED: usize = 2048;

/// Rows of a few columns.
#[derive(Clone, Debug, Default)]
pub(crate) struct Block {
    rows: usize,
    columns: usize,
    numbers: Vec<f64>,
}

impl Block {
    pub(crate) fn zeros(rows: usize, columns: usize) -> Self {
        Self {
            rows,
            columns,
            numbers: vec![0.0; rows * columns],
        }
    }

    /// Zeros in the memory that it has already.
    pub(crate) fn clear(&mut self, rows: usize, columns: usize) {
        (self.rows, self.columns) = (rows, columns);
        self.numbers.clear();
        self.numbers.resize(rows * columns, 0.0);
    }

    /// Some shape, whatever is in it.
    pub(crate) fn reshape(&mut self, rows: usize, columns: usize) {
        (self.rows, self.columns) = (rows, columns);
        self.numbers.resize(rows * columns, 0.0);
    }

    pub(crate) fn rows(&self) -> usize {
        self.rows
    }

    pub(crate) fn columns(&self) -> usize {
        self.columns
    }

    pub(crate) fn row(&self, row: usize) -> &[f64] {
        &self.numbers[row * self.columns..(row + 1) * self.columns]
    }

    pub(crate) fn row_mut(&mut self, row: usize) -> &mut [f64] {
        &mut self.numbers[row * self.columns..(row + 1) * self.columns]
    }

    pub(crate) fn as_ref(&self) -> MatRef<'_, f64> {
        MatRef::from_row_major_slice(&self.numbers, self.rows, self.columns)
    }

    /// Copies some rows of `from`, one after another.
    pub(crate) fn gather(&mut self, from: &Self, rows: &[u32]) {
        self.reshape(rows.len(), from.columns);
        for (at, row) in rows.iter().enumerate() {
            self.row_mut(at).copy_from_slice(from.row(*row as usize));
        }
    }

    /// Its rows times `factor`, added to rows of another.
    pub(crate) fn scatter(&self, factor: f64, into: &mut Self, rows: &[u32]) {
        for (at, row) in rows.iter().enumerate() {
            let of = self.row(at);
            for (to, from) in into.row_mut(*row as usize).iter_mut().zip(of) {
                *to += factor * from;
            }
        }
    }

    /// `self = a x`; each sum runs along a row of `a`.
    pub(crate) fn replace_product(&mut self, a: MatRef<'_, f64>, x: &Self) {
        let to = MatMut::from_row_major_slice_mut(&mut self.numbers, self.rows, self.columns);
        matmul(to, Accum::Replace, a, x.as_ref(), 1.0, Par::Seq);
    }

    /// `a x` taken from the rows after `row`.
    pub(crate) fn subtract_product(&mut self, row: usize, a: MatRef<'_, f64>, x: &Self) {
        let numbers = &mut self.numbers[row * self.columns..(row + a.nrows()) * self.columns];
        let to = MatMut::from_row_major_slice_mut(numbers, a.nrows(), self.columns);
        matmul(to, Accum::Add, a, x.as_ref(), -1.0, Par::Seq);
    }

    /// `self += aᵀ x` with the rows of `x` after `row`.
    pub(crate) fn add_transposed(&mut self, a: MatRef<'_, f64>, x: &Self, row: usize) {
        let to = MatMut::from_row_major_slice_mut(&mut self.numbers, self.rows, self.columns);
        let rows = row..row + a.nrows();
        matmul(to, Accum::Add, a.transpose(), x.panel(&rows), 1.0, Par::Seq);
    }

    pub(crate) fn add(&mut self, other: &Self) {
        for (to, from) in self.numbers.iter_mut().zip(&other.numbers) {
            *to += from;
        }
    }

    /// `selfᵀ other`.
    pub(crate) fn inner(&self, other: &Self) -> Mat<f64> {
        let mut sum: Mat<f64> = Mat::zeros(self.columns, other.columns);
        matmul(
            sum.as_mut(),
            Accum::Replace,
            self.as_ref().transpose(),
            other.as_ref(),
            1.0,
            Par::Seq,
        );
        sum
    }

    /// The same, shared among workers by rows.
    pub(crate) fn inner_shared(&self, other: &Self) -> Mat<f64> {
        let parts: Vec<Mat<f64>> = (0..self.rows.div_ceil(SUMMED))
            .into_par_iter()
            .map(|part| {
                let rows = part * SUMMED..((part + 1) * SUMMED).min(self.rows);
                self.panel(&rows).transpose() * other.panel(&rows)
            })
            .collect();
        let mut sum: Mat<f64> = Mat::zeros(self.columns, other.columns);
        for part in parts {
            sum += part;
        }
        sum
    }

    fn panel(&self, rows: &std::ops::Range<usize>) -> MatRef<'_, f64> {
        let numbers = &self.numbers[rows.start * self.columns..rows.end * self.columns];
        MatRef::from_row_major_slice(numbers, rows.len(), self.columns)
    }

    /// `self by`, shared among workers by rows.
    pub(crate) fn times(&self, by: MatRef<'_, f64>) -> Self {
        let mut out = Self::zeros(self.rows, by.ncols());
        out.add_products(1.0, &[(self, by.to_owned())]);
        out
    }

    /// `self += factor · Σ block by`, shared among workers by rows.
    pub(crate) fn add_products(&mut self, factor: f64, of: &[(&Self, Mat<f64>)]) {
        let columns = self.columns;
        if columns == 0 {
            return;
        }
        self.numbers
            .par_chunks_mut(PANEL * columns)
            .enumerate()
            .for_each(|(at, panel)| {
                let rows = at * PANEL..at * PANEL + panel.len() / columns;
                for (block, by) in of {
                    matmul(
                        MatMut::from_row_major_slice_mut(panel, rows.len(), columns),
                        Accum::Add,
                        block.panel(&rows),
                        by.as_ref(),
                        factor,
                        Par::Seq,
                    );
                }
            });
    }
}

/// `[blocks] by`: all blocks side by side as one matrix, multiplied; shared among workers by rows.
pub(crate) fn times(blocks: &[Block], by: MatRef<'_, f64>) -> Mat<f64> {
    let rows = blocks.first().map_or(0, Block::rows);
    let mut out: Mat<f64> = Mat::zeros(rows, by.ncols());
    let mut rest = out.as_mut();
    let mut panels = Vec::new();
    let mut from = 0;
    while from < rows {
        let (above, below) = rest.split_at_row_mut(PANEL.min(rows - from));
        panels.push((from, above));
        from += PANEL;
        rest = below;
    }
    panels.into_par_iter().for_each(|(from, panel)| {
        // One product over all columns keeps the panel's sums in registers.
        let height = panel.nrows();
        let mut beside = vec![0.0; height * by.nrows()];
        let mut start = 0;
        for block in blocks {
            let width = block.columns.min(by.nrows() - start);
            for (row, to) in beside.chunks_exact_mut(by.nrows()).enumerate() {
                to[start..start + width].copy_from_slice(&block.row(from + row)[..width]);
            }
            start += width;
        }
        let side = MatRef::from_row_major_slice(&beside, height, by.nrows());
        matmul(panel, Accum::Replace, side, by, 1.0, Par::Seq);
    });
    out
}

/// What `work` makes of a matrix's columns, a block at a time.
pub(crate) fn by_blocks(x: MatRef<'_, f64>, mut work: impl FnMut(Block) -> Block) -> Mat<f64> {
    let mut out: Mat<f64> = Mat::zeros(x.nrows(), x.ncols());
    let mut from = 0;
    while from < x.ncols() {
        let columns = WIDTH.min(x.ncols() - from);
        let mut block = Block::zeros(x.nrows(), columns);
        for c in 0..columns {
            let column = x.col(from + c);
            for r in 0..x.nrows() {
                block.numbers[r * columns + c] = column[r];
            }
        }
        let done = work(block);
        for c in 0..columns {
            let mut column = out.col_mut(from + c);
            for r in 0..x.nrows() {
                column[r] = done.numbers[r * columns + c];
            }
        }
        from += columns;
    }
    out
}
