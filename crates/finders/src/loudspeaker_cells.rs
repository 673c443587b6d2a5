//! Each thing that the checks ask of a loudspeaker's place, as pieces of a wall or ceiling.
//!
//! From an ear e the way to a place p of a plane is d(p), affine in p. An azimuth's end is a
//! plane through the ear and straight up, so a straight line on the surface. An angle up, and
//! an angle from another loudspeaker, are cones about an axis a through the ear, of half the
//! angle θ < 90°: c |d| ≤ a · d and t |d_xy| ≤ d_z are convex in d, and so in p. Their outlines
//! are conics; they are cut out by tangents, which leave less than [`CUT_MIN_M`] over.
//!
//! [`CUT_MIN_M`]: crate::shadow::cut_down

use checks::placing::{Bar, Listener, Placing, Surface};
use geometry::Rect;

use crate::half_plane::{Affine, HalfPlane, Point, clipped};
use crate::region::{Barred, Cell, Shape, Stop, frame};
use crate::roof;
use crate::shadow::cut_down;

/// A surface in cells of one plane each, with all that bars a loudspeaker there.
pub(crate) struct SurfaceCells {
    pub cells: Vec<Cell>,
    pub stops: Vec<Stop>,
}

/// A plane of a surface: where a loudspeaker there sounds from, by its place.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    /// x, y and z of the sound, m.
    pub at: [Affine; 3],
    /// The part of the surface that it is.
    pub sides: Vec<HalfPlane>,
}

/// The planes of a surface.
pub(crate) fn sheets(surface: &Surface) -> Vec<Sheet> {
    let affine = |slope: Point, at_origin: f64| Affine { slope, at_origin };
    if surface.is_floor {
        return vec![Sheet {
            at: [
                affine([1.0, 0.0], 0.0),
                affine([0.0, 1.0], 0.0),
                affine([0.0, 0.0], surface.origin_m[2]),
            ],
            sides: Vec::new(),
        }];
    }
    match &surface.ceiling {
        Some(ceiling) => (roof::pieces(ceiling).into_iter())
            .map(|(plane, sides)| Sheet {
                at: [
                    affine([1.0, 0.0], 0.0),
                    affine([0.0, 1.0], 0.0),
                    plane.plus(-surface.below_m),
                ],
                sides,
            })
            .collect(),
        None => {
            let ([x, y, z], [ax, ay]) = (surface.origin_m, surface.along);
            vec![Sheet {
                at: [
                    affine([ax, 0.0], x),
                    affine([ay, 0.0], y),
                    affine([0.0, 1.0], z),
                ],
                sides: Vec::new(),
            }]
        }
    }
}

impl Sheet {
    /// Where a loudspeaker at a place sounds from, m.
    pub fn point(&self, place: Point) -> [f64; 3] {
        self.at.map(|coordinate| coordinate.at(place))
    }
}

/// Where a loudspeaker at a place of a surface sounds from, m.
pub(crate) fn point_of(surface: &Surface, place: Point) -> [f64; 3] {
    let sheets = sheets(surface);
    let own = |sheet: &&Sheet| sheet.sides.iter().all(|side| side.depth(place) >= -1e-9);
    let sheet = sheets.iter().find(own).or(sheets.first());
    sheet.map_or([0.0; 3], |sheet| sheet.point(place))
}

/// All that bars a loudspeaker on a surface, but for one stop; without directions only what
/// is in the way there.
pub(crate) fn surface_cells(
    placing: &Placing,
    surface: &Surface,
    with_directions: bool,
    without: Option<&Stop>,
) -> SurfaceCells {
    let corners: Vec<geometry::Point2> = (surface.outline.iter())
        .map(|[x, y]| geometry::Point2::new(*x, *y))
        .collect();
    let mut builder = Builder {
        around: frame(&corners),
        without,
        stops: Vec::new(),
    };
    let mut cells = Vec::new();
    for sheet in sheets(surface) {
        let mut cell = Cell {
            sides: sheet.sides.clone(),
            barred: Vec::new(),
        };
        if with_directions {
            builder.directions(&mut cell, placing, &sheet);
            builder.nulls(&mut cell, placing, surface, &sheet);
        }
        builder.barriers(&mut cell, surface);
        cells.push(cell);
    }
    SurfaceCells {
        cells,
        stops: builder.stops,
    }
}

struct Builder<'a> {
    around: Vec<Point>,
    without: Option<&'a Stop>,
    stops: Vec<Stop>,
}

impl Builder<'_> {
    fn bar(&mut self, cell: &mut Cell, check: &'static str, label: String, shape: Shape) {
        let stop = Stop { check, label };
        if self.without == Some(&stop) {
            return;
        }
        let known = self.stops.iter().position(|known| *known == stop);
        let stop = known.unwrap_or_else(|| {
            self.stops.push(stop);
            self.stops.len() - 1
        });
        cell.barred.push(Barred { stop, shape });
    }

    /// The cell within what is asked of all of it.
    fn outline(&self, cell: &Cell) -> Vec<Point> {
        let mut outline = clipped(&self.around, &cell.sides);
        for barred in &cell.barred {
            if let Shape::Outside(sides) = &barred.shape {
                outline = clipped(&outline, sides);
            }
        }
        outline
    }

    fn directions(&mut self, cell: &mut Cell, placing: &Placing, sheet: &Sheet) {
        for listener in &placing.listeners {
            self.azimuths(cell, placing, listener, sheet);
        }
        for listener in &placing.listeners {
            if self.outline(cell).len() < 3 {
                // Where no direction serves every seat, nothing else matters.
                return;
            }
            self.heights(cell, placing, listener, sheet);
        }
        for listener in &placing.listeners {
            let outline = self.outline(cell);
            if outline.len() < 3 {
                return;
            }
            let least = placing.separation_rad - listener.allowance_rad / 2.0;
            for other in &placing.apart_from {
                let towards = unit(sub(other.at_m, listener.ear_m));
                let cone = Cone {
                    way: way(sheet, listener.ear_m),
                    axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
                    factor: least.cos(),
                    towards,
                };
                if let Some(sides) = cone.sides(&outline) {
                    let label = format!("seat {}: {}", listener.seat, other.label);
                    self.bar(cell, "height-separation", label, Shape::Inside(sides));
                }
            }
        }
    }

    /// Where the main seat is in a lobe of a dipole: sin α |d| ≤ ± s · d is convex for each.
    fn nulls(&mut self, cell: &mut Cell, placing: &Placing, surface: &Surface, sheet: &Sheet) {
        // What stands on the floor is turned to the main seat.
        let Some(null) = placing.null_rad.filter(|_| !surface.is_floor) else {
            return;
        };
        let [along, across] = surface.along;
        let rise = match surface.ceiling {
            Some(_) => {
                let slope = sheet.at[2].slope;
                slope[0] * along + slope[1] * across
            }
            None => 0.0,
        };
        let side = unit([along, across, rise]);
        for listener in placing.listeners.iter().filter(|one| one.is_main) {
            for towards in [side, side.map(|part| -part)] {
                let outline = self.outline(cell);
                if outline.len() < 3 {
                    return;
                }
                let lobe = Cone {
                    way: way(sheet, listener.ear_m),
                    axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
                    factor: null.sin(),
                    towards,
                };
                if let Some(sides) = lobe.sides(&outline) {
                    let label = format!("seat {}: in its lobe", listener.seat);
                    self.bar(cell, "dipole-null", label, Shape::Inside(sides));
                }
            }
        }
    }

    fn azimuths(&mut self, cell: &mut Cell, placing: &Placing, listener: &Listener, sheet: &Sheet) {
        use std::f64::consts::{PI, TAU};
        let Some([right, left]) = placing.directions.azimuths_rad else {
            return;
        };
        let width = (left - right).rem_euclid(TAU) + 2.0 * listener.allowance_rad;
        if width >= TAU {
            return;
        }
        let [dx, dy, _] = way(sheet, listener.ear_m);
        let facing = [
            listener.faced_m[0] - listener.ear_m[0],
            listener.faced_m[1] - listener.ear_m[1],
        ];
        let ahead = facing[1].atan2(facing[0]);
        // On the left of a direction in plan: cross(direction, d) ≥ 0.
        let beside = |azimuth: f64| {
            let (sin, cos) = (ahead + azimuth).sin_cos();
            dy.times(cos).minus(dx.times(sin))
        };
        let ends = [
            right - listener.allowance_rad,
            left + listener.allowance_rad,
        ];
        let [from, to] = [beside(ends[0]).at_least(0.0), beside(ends[1]).at_most(0.0)];
        let label = |azimuth: f64| {
            let degrees = (azimuth + PI).rem_euclid(TAU) - PI;
            let degrees = degrees.to_degrees();
            let side = if degrees < -0.05 { "right" } else { "left" };
            format!("seat {}: {:.0}° {side}", listener.seat, degrees.abs())
        };
        let check = "channel-azimuth";
        if width < PI {
            let ends = ends.map(label);
            for (label, side) in ends.into_iter().zip([from, to]) {
                self.bar(cell, check, label, Shape::Outside(vec![side]));
            }
        } else {
            // More than half of all directions: the rest is convex.
            let rest = Shape::Inside(vec![from.turned(), to.turned()]);
            self.bar(cell, check, label(ends[0]), rest);
        }
    }

    fn heights(&mut self, cell: &mut Cell, placing: &Placing, listener: &Listener, sheet: &Sheet) {
        let Some([low, high]) = placing.directions.heights_rad else {
            return;
        };
        let (low, high) = (low - listener.allowance_rad, high + listener.allowance_rad);
        let way = way(sheet, listener.ear_m);
        let check = "channel-elevation";
        let label = |angle: f64| {
            let (degrees, side) = (angle.to_degrees(), if angle < 0.0 { "down" } else { "up" });
            format!("seat {}: {:.0}° {side}", listener.seat, degrees.abs())
        };
        if placing.directions.side_view {
            let facing = [
                listener.faced_m[0] - listener.ear_m[0],
                listener.faced_m[1] - listener.ear_m[1],
            ];
            let length = facing[0].hypot(facing[1]).max(1e-9);
            let ahead = way[0]
                .times(facing[0] / length)
                .minus(way[1].times(-facing[1] / length));
            // On the upper side of a direction in the side view.
            let over = |angle: f64| {
                let (sin, cos) = angle.sin_cos();
                way[2].times(cos).minus(ahead.times(sin))
            };
            let sides = [over(low).at_least(0.0), over(high).at_most(0.0)];
            for (angle, side) in [low, high].into_iter().zip(sides) {
                self.bar(cell, check, label(angle), Shape::Outside(vec![side]));
            }
            return;
        }
        // t |d_xy| ≤ ± d_z, t ≥ 0, is convex: what it leaves out or what it holds is allowed.
        let cone = |angle: f64| Cone {
            way,
            axes: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0; 3]],
            factor: angle.abs().tan(),
            towards: [0.0, 0.0, if angle >= 0.0 { 1.0 } else { -1.0 }],
        };
        const UPRIGHT: f64 = std::f64::consts::FRAC_PI_2 - 1e-6;
        for (angle, is_low) in [(low, true), (high, false)] {
            if angle.abs() >= UPRIGHT {
                continue;
            }
            let outline = self.outline(cell);
            if outline.len() < 3 {
                return;
            }
            let sides = cone(angle).sides(&outline);
            // Above a low end that is up, and below a high end that is down, lies the cone.
            let shape = if is_low == (angle >= 0.0) {
                match sides {
                    Some(sides) => Shape::Outside(sides),
                    None => Shape::Inside(Vec::new()),
                }
            } else {
                match sides {
                    Some(sides) => Shape::Inside(sides),
                    None => continue,
                }
            };
            self.bar(cell, check, label(angle), shape);
        }
    }

    fn barriers(&mut self, cell: &mut Cell, surface: &Surface) {
        let half = surface.half_m;
        for barrier in &surface.barriers {
            let mut add = |sides: Vec<HalfPlane>| {
                self.bar(
                    cell,
                    barrier.check,
                    barrier.label.clone(),
                    Shape::Inside(sides),
                );
            };
            match &barrier.bar {
                Bar::Everywhere => add(Vec::new()),
                Bar::Sides(sides) => {
                    let sides = sides.iter().map(|[x, y, k]| HalfPlane::new([*x, *y], *k));
                    add(sides.collect());
                }
                Bar::Near { rect, gap_m, but } => {
                    let near = near(*rect, half, *gap_m);
                    match but {
                        None => add(near),
                        Some(but) => {
                            // Convex pieces round the places that may be.
                            for side in outside_of(*but) {
                                add([near.clone(), vec![side]].concat());
                            }
                        }
                    }
                }
                Bar::Clearance { of, gap_m } => {
                    let outline = clipped(&self.around, &cell.sides);
                    if let Some(sides) = below(&outline, &**of, *gap_m) {
                        self.bar(
                            cell,
                            barrier.check,
                            barrier.label.clone(),
                            Shape::Inside(sides),
                        );
                    }
                }
            }
        }
    }
}

/// From an ear to where a loudspeaker sounds from, by its place.
fn way(sheet: &Sheet, ear: [f64; 3]) -> [Affine; 3] {
    [0, 1, 2].map(|axis| sheet.at[axis].plus(-ear[axis]))
}

fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|axis| a[axis] - b[axis])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let length = dot(a, a).sqrt().max(1e-9);
    a.map(|part| part / length)
}

/// Places p with c |M d(p)| ≤ a · d(p): c a factor, M three rows, a an axis.
struct Cone {
    way: [Affine; 3],
    axes: [[f64; 3]; 3],
    factor: f64,
    towards: [f64; 3],
}

impl Cone {
    /// The sides between which the cone meets a surface, within an outline; nothing where it
    /// does not.
    fn sides(&self, outline: &[Point]) -> Option<Vec<HalfPlane>> {
        cut_down(outline, |place| self.cut(place))
    }

    /// The tangent that parts a place from the cone, and how far outside that is.
    fn cut(&self, place: Point) -> Option<(HalfPlane, f64)> {
        let d = self.way.map(|part| part.at(place));
        let seen = self.axes.map(|row| dot(row, d));
        let length = dot(seen, seen).sqrt();
        let over = self.factor * length - dot(self.towards, d);
        if over <= 0.0 {
            return None;
        }
        // ∇ (c |M d| − a · d)
        let mut slope = [0.0; 2];
        for (axis, part) in self.way.iter().enumerate() {
            let along = if length > 1e-12 {
                let row = [0, 1, 2].map(|row| self.axes[row][axis]);
                self.factor * dot(row, seen) / length
            } else {
                0.0
            };
            for (k, slope) in slope.iter_mut().enumerate() {
                *slope += (along - self.towards[axis]) * part.slope[k];
            }
        }
        tangent(place, over, slope)
    }
}

/// Where the linear part of a convex excess is no longer above zero, and how far that is.
fn tangent(place: Point, over: f64, slope: Point) -> Option<(HalfPlane, f64)> {
    let steep = slope[0].hypot(slope[1]);
    if steep.is_nan() || steep < 1e-9 {
        // The least excess is here: nowhere is it nothing.
        return Some((HalfPlane::new([0.0; 2], -1.0), 1.0));
    }
    let most = slope[0] * place[0] + slope[1] * place[1] - over;
    Some((HalfPlane::new(slope, most), over / steep))
}

/// Where an outside of these halves is nearer than a gap to a rectangle: a rectangle with
/// rounded corners, followed by tangents.
fn near(rect: Rect, half: [f64; 2], gap_m: f64) -> Vec<HalfPlane> {
    /// Tangents round a quarter: for a gap of 10 mm they are off by 0.01 mm at most.
    const QUARTER: u32 = 12;
    let (middle, reach) = (
        [
            (rect.left_m + rect.right_m) / 2.0,
            (rect.bottom_m + rect.top_m) / 2.0,
        ],
        [
            (rect.right_m - rect.left_m) / 2.0 + half[0],
            (rect.top_m - rect.bottom_m) / 2.0 + half[1],
        ],
    );
    let round = if gap_m > 0.0 { QUARTER } else { 1 };
    (0..4 * round)
        .map(|at| {
            let angle = f64::from(at) * std::f64::consts::FRAC_PI_2 / f64::from(round);
            let (sin, cos) = angle.sin_cos();
            let support = cos.abs() * reach[0] + sin.abs() * reach[1] + gap_m;
            HalfPlane::new([cos, sin], support + cos * middle[0] + sin * middle[1])
        })
        .collect()
}

/// The four sides beyond a rectangle.
fn outside_of(rect: Rect) -> [HalfPlane; 4] {
    [
        HalfPlane::new([1.0, 0.0], rect.left_m),
        HalfPlane::new([-1.0, 0.0], -rect.right_m),
        HalfPlane::new([0.0, 1.0], rect.bottom_m),
        HalfPlane::new([0.0, -1.0], -rect.top_m),
    ]
}

/// Where a clearance is below a gap, within an outline.
fn below(outline: &[Point], of: &dyn Fn([f64; 2]) -> f64, gap_m: f64) -> Option<Vec<HalfPlane>> {
    const STEP_M: f64 = 1e-5;
    cut_down(outline, |place| {
        let over = of(place) - gap_m;
        if over <= 0.0 {
            return None;
        }
        let slope = [[1.0, 0.0], [0.0, 1.0]].map(|way: Point| {
            let at = |by: f64| of([place[0] + way[0] * by, place[1] + way[1] * by]);
            (at(STEP_M) - at(-STEP_M)) / (2.0 * STEP_M)
        });
        tangent(place, over, slope)
    })
}
