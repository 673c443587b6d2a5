//! Which of many lines and boxes lie near a place on the paper?
//!
//! A label tries some hundred places, and a hatched wall is some hundred lines: nearly all of them are far away. What is
//! pushed is filed under the squares of a grid that its upright box touches, and taken back in reverse order.

use crate::paper::{Bounds, Point, Quad};

/// Side of a square of the grid, mm: a short label's width.
const CELL_MM: f64 = 8.0;
/// The grid reaches this many squares to each side of the origin; what lies farther out is filed at its rim.
const REACH: f64 = 48.0;
const SIDE: usize = 2 * REACH as usize;

/// What has a place on the paper.
pub(crate) trait Placed {
    /// The upright rectangle round it.
    fn extent(&self) -> Bounds;
}

impl Placed for Quad {
    fn extent(&self) -> Bounds {
        self.bounds()
    }
}

impl Placed for (Point, Point) {
    fn extent(&self) -> Bounds {
        Bounds::new(self.0, self.1)
    }
}

/// Things in the order in which they were pushed.
pub(crate) struct Near<T> {
    things: Vec<(Bounds, T)>,
    cells: Vec<Vec<usize>>,
}

impl<T> Default for Near<T> {
    fn default() -> Self {
        Self {
            things: Vec::new(),
            cells: Vec::new(),
        }
    }
}

impl<T: Placed> Near<T> {
    pub fn push(&mut self, thing: T) {
        if self.cells.is_empty() {
            self.cells = vec![Vec::new(); SIDE * SIDE];
        }
        let extent = thing.extent();
        for cell in squares(&extent) {
            self.cells[cell].push(self.things.len());
        }
        self.things.push((extent, thing));
    }

    pub fn len(&self) -> usize {
        self.things.len()
    }

    /// Takes back all but the first `length`.
    pub fn truncate(&mut self, length: usize) {
        while self.things.len() > length {
            let last = self.things.pop();
            for cell in last.iter().flat_map(|(extent, _)| squares(extent)) {
                self.cells[cell].pop();
            }
        }
    }

    /// Those whose upright box touches `place`, in the order in which they were pushed.
    pub fn near(&self, place: Bounds) -> impl Iterator<Item = &T> {
        let mut found: Vec<usize> = Vec::new();
        if !self.cells.is_empty() {
            for cell in squares(&place) {
                let touching = self.cells[cell].iter().copied();
                found.extend(touching.filter(|i| touches(&self.things[*i].0, &place)));
            }
        }
        found.sort_unstable();
        found.dedup();
        found.into_iter().map(|i| &self.things[i].1)
    }
}

fn touches(a: &Bounds, b: &Bounds) -> bool {
    a.min.x <= b.max.x && b.min.x <= a.max.x && a.min.y <= b.max.y && b.min.y <= a.max.y
}

fn squares(extent: &Bounds) -> impl Iterator<Item = usize> + use<> {
    let square = |v: f64| ((v / CELL_MM).floor().clamp(-REACH, REACH - 1.0) + REACH) as usize;
    let (columns, rows) = (
        square(extent.min.x)..=square(extent.max.x),
        square(extent.min.y)..=square(extent.max.y),
    );
    rows.flat_map(move |row| columns.clone().map(move |column| row * SIDE + column))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::point;

    fn line(x: f64, y: f64, dx: f64, dy: f64) -> (Point, Point) {
        (point(x, y), point(x + dx, y + dy))
    }

    /// Lines of all lengths, on and beyond the grid; the seed is fixed.
    fn lines() -> Vec<(Point, Point)> {
        let mut state = 7_u64;
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            (state >> 40) as f64 / f64::from(1 << 24)
        };
        (0..400)
            .map(|_| {
                let (x, y) = (next() * 1200.0 - 600.0, next() * 1200.0 - 600.0);
                line(x, y, next() * 120.0 - 60.0, next() * 120.0 - 60.0)
            })
            .collect()
    }

    #[test]
    fn all_that_touches_is_found_in_order_and_nothing_else() {
        let lines = lines();
        let mut near = Near::default();
        lines.iter().for_each(|l| near.push(*l));
        for place in &lines {
            let place = place.extent();
            let expected: Vec<&(Point, Point)> = lines
                .iter()
                .filter(|l| touches(&l.extent(), &place))
                .collect();
            assert_eq!(near.near(place).collect::<Vec<_>>(), expected);
        }
    }

    #[test]
    fn what_is_taken_back_is_not_found() {
        let lines = lines();
        let mut near = Near::default();
        lines.iter().for_each(|l| near.push(*l));
        near.truncate(10);
        near.push(lines[20]);
        let everywhere = Bounds::new(point(-1e4, -1e4), point(1e4, 1e4));
        let left: Vec<_> = near.near(everywhere).copied().collect();
        assert_eq!(left, [&lines[..10], &lines[20..21]].concat());
    }

    #[test]
    fn nothing_is_near_in_an_empty_grid() {
        let near: Near<Quad> = Near::default();
        assert_eq!(near.len(), 0);
        assert!(
            near.near(line(0.0, 0.0, 1.0, 1.0).extent())
                .next()
                .is_none()
        );
    }
}
