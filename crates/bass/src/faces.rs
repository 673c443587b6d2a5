//! Faces of a room with openings cut out of its walls.

use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon};

/// A wall's face in the wall's own coordinates: along it from its left end, and up.
pub(crate) type Flat = MultiPolygon<f64>;

/// A rectangle on a wall: left, right, bottom, top, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cut {
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
    pub(crate) top: f64,
}

/// Slivers below this are none, m².
const SLIVER_M2: f64 = 1e-4;

impl Cut {
    pub(crate) fn area_m2(&self) -> f64 {
        (self.right - self.left) * (self.top - self.bottom)
    }

    fn polygon(&self) -> Flat {
        let corner = |x, y| Coord { x, y };
        let ring = LineString::new(vec![
            corner(self.left, self.bottom),
            corner(self.right, self.bottom),
            corner(self.right, self.top),
            corner(self.left, self.top),
            corner(self.left, self.bottom),
        ]);
        MultiPolygon::new(vec![Polygon::new(ring, Vec::new())])
    }

    /// Anticlockwise from lower left, along the wall and up.
    pub(crate) fn corners(&self) -> [[f64; 2]; 4] {
        [
            [self.left, self.bottom],
            [self.right, self.bottom],
            [self.right, self.top],
            [self.left, self.top],
        ]
    }
}

/// Rings of points as a flat face: the outline first, then holes.
pub(crate) fn flat(rings: Vec<Vec<[f64; 2]>>) -> Flat {
    let mut rings = rings.into_iter().map(|ring| {
        let coords = ring.into_iter().map(|[x, y]| Coord { x, y }).collect();
        let mut line = LineString::new(coords);
        line.close();
        line
    });
    let outline = rings.next().unwrap_or_else(|| LineString::new(Vec::new()));
    MultiPolygon::new(vec![Polygon::new(outline, rings.collect())])
}

/// What is left of a face without a rectangle, and what the rectangle takes of it.
pub(crate) fn cut(face: &Flat, by: &Cut) -> (Flat, Flat) {
    let by = by.polygon();
    (face.difference(&by), face.intersection(&by))
}

/// The pieces of a face: each an outline, anticlockwise, and its holes, clockwise.
pub(crate) fn pieces(face: &Flat) -> Vec<Vec<Vec<[f64; 2]>>> {
    face.iter()
        .filter(|polygon| polygon.unsigned_area() > SLIVER_M2)
        .map(|polygon| {
            let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
            rings
                .enumerate()
                .map(|(at, ring)| {
                    let mut points: Vec<[f64; 2]> =
                        ring.coords().map(|coord| [coord.x, coord.y]).collect();
                    points.pop();
                    if (turn(&points) > 0.0) != (at == 0) {
                        points.reverse();
                    }
                    points
                })
                .collect()
        })
        .collect()
}

/// The area of a face, m².
pub(crate) fn area_m2(face: &Flat) -> f64 {
    face.unsigned_area()
}

/// Twice the area within a ring, positive anticlockwise.
fn turn(ring: &[[f64; 2]]) -> f64 {
    (0..ring.len())
        .map(|at| {
            let (a, b) = (ring[at], ring[(at + 1) % ring.len()]);
            a[0] * b[1] - a[1] * b[0]
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wall() -> Flat {
        flat(vec![vec![[0.0, 0.0], [4.0, 0.0], [4.0, 2.5], [0.0, 2.5]]])
    }

    #[test]
    fn a_door_takes_a_bay_out_of_the_lower_edge() {
        let door = Cut {
            left: 1.0,
            right: 2.0,
            bottom: 0.0,
            top: 2.0,
        };
        let (rest, taken) = cut(&wall(), &door);
        assert!((area_m2(&rest) - 8.0).abs() < 1e-6 && (area_m2(&taken) - 2.0).abs() < 1e-6);
        let pieces = pieces(&rest);
        assert_eq!((pieces.len(), pieces[0].len()), (1, 1));
        assert!(turn(&pieces[0][0]) > 0.0);
    }

    #[test]
    fn a_window_is_a_hole_that_turns_the_other_way() {
        let window = Cut {
            left: 1.0,
            right: 2.0,
            bottom: 1.0,
            top: 2.0,
        };
        let pieces = pieces(&cut(&wall(), &window).0);
        assert_eq!((pieces.len(), pieces[0].len()), (1, 2));
        assert!(turn(&pieces[0][0]) > 0.0 && turn(&pieces[0][1]) < 0.0);
    }

    #[test]
    fn an_archway_from_floor_to_ceiling_leaves_two_pieces() {
        let arch = Cut {
            left: 1.0,
            right: 2.0,
            bottom: 0.0,
            top: 2.5,
        };
        assert_eq!(pieces(&cut(&wall(), &arch).0).len(), 2);
    }
}
