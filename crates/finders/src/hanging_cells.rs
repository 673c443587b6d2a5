//! Each thing that the checks ask of a projector's place, as straight lines in the plan.
//!
//! With the case square to the picture and its height a plane over the plan, every one of
//! them is linear in the place, but for the beam, whose shadows are cut out of the plan, and
//! an ellipse of shifts, which is followed by chords.

use checks::hanging::{Hanging, Lit, Thing};
use geometry::{Join, Point2, Point3};

use crate::half_plane::{Affine, HalfPlane, Point, clipped};
use crate::region::{Barred, Cell, Shape, Stop, frame};
use crate::roof;
use crate::shadow::{LensAt, Met, cut_down, shadow};
use crate::shift_shapes::shift_shapes;

/// Where a projector is, up and down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Height {
    /// It hangs, its top so far below the ceiling above its middle, m.
    Drop(f64),
    /// It stands, its underside so far above the floor, m.
    Above(f64),
}

/// A wall stands on a side of a case when it faces it within 45°, as the check judges.
const FACING: f64 = 0.70;
/// A wall so far behind a case's side belongs to another part of the room, m.
const BEHIND_M: f64 = 1.0;
/// A case may stand in what is below it by as much, m, as the check allows.
const STANDS_IN_M: f64 = 0.002;
/// A lens this near to the picture's plane makes no beam, m.
const BEAM_MIN_M: f64 = 1e-3;

/// A room in cells of one ceiling plane each, with all that bars a projector there.
pub(crate) struct Cells {
    pub cells: Vec<Cell>,
    pub stops: Vec<Stop>,
}

/// A cell with all that bars a projector there but for the shadows of things in its beam.
pub(crate) struct Unshadowed {
    pub cell: Cell,
    /// How the lens moves with the place in it.
    pub lens: LensAt,
}

/// One side of the case.
#[derive(Clone, Copy)]
struct Side {
    words: &'static str,
    /// Away from the case.
    towards: Point,
    asked_m: Option<f64>,
}

struct Builder<'a> {
    hanging: &'a Hanging,
    height: Height,
    without: Option<&'a Stop>,
    stops: Vec<Stop>,
}

/// All that bars a projector at a height, but for one stop.
pub(crate) fn cells(hanging: &Hanging, height: Height, without: Option<&Stop>) -> Cells {
    let mut builder = Builder {
        hanging,
        height,
        without,
        stops: Vec::new(),
    };
    let cells = (pieces(hanging, height).into_iter())
        .map(|(plane, sides)| {
            let Unshadowed { mut cell, lens } = builder.unshadowed(plane, sides);
            builder.shadows(&mut cell, lens);
            cell
        })
        .collect();
    Cells {
        cells,
        stops: builder.stops,
    }
}

/// As [`cells`], before the shadows, which take most of the time.
pub(crate) fn unshadowed(hanging: &Hanging, height: Height) -> Vec<Unshadowed> {
    let mut builder = Builder {
        hanging,
        height,
        without: None,
        stops: Vec::new(),
    };
    (pieces(hanging, height).into_iter())
        .map(|(plane, sides)| builder.unshadowed(plane, sides))
        .collect()
}

fn pieces(hanging: &Hanging, height: Height) -> Vec<(Affine, Vec<HalfPlane>)> {
    match (&hanging.ceiling, height) {
        (Some(ceiling), Height::Drop(_)) => roof::pieces(ceiling),
        // A standing case is as high everywhere; outdoors nothing hangs.
        _ => vec![(Affine::constant(0.0), Vec::new())],
    }
}

impl Builder<'_> {
    fn stop(&mut self, check: &'static str, label: String) -> usize {
        let stop = Stop { check, label };
        (self.stops.iter().position(|known| *known == stop)).unwrap_or_else(|| {
            self.stops.push(stop);
            self.stops.len() - 1
        })
    }

    fn bar(&mut self, cell: &mut Cell, check: &'static str, label: String, shape: Shape) {
        let stop = self.stop(check, label);
        if self.without != Some(&self.stops[stop]) {
            cell.barred.push(Barred { stop, shape });
        }
    }

    fn unshadowed(&mut self, plane: Affine, sides: Vec<HalfPlane>) -> Unshadowed {
        let mut cell = Cell {
            sides,
            barred: Vec::new(),
        };
        let case_height_m = self.hanging.case.size_m[1];
        let underside = match self.height {
            Height::Drop(drop_m) => plane.plus(-drop_m - case_height_m),
            Height::Above(height_m) => Affine::constant(height_m),
        };
        let lens = LensAt {
            offset: self.lens_offset(),
            height: underside.plus(self.hanging.case.lens_up_m),
        };
        self.mount(&mut cell, plane);
        self.lens_reach(&mut cell, underside);
        if outline(&self.hanging.corners, &cell).len() < 3 {
            // Where the lens reaches nowhere, nothing else matters.
            return Unshadowed { cell, lens };
        }
        self.joists(&mut cell);
        self.walls(&mut cell);
        self.things(&mut cell, underside);
        self.ceiling(&mut cell, underside);
        self.floor(&mut cell, underside);
        Unshadowed { cell, lens }
    }

    /// Between two joists the screws of a mount meet none.
    fn joists(&mut self, cell: &mut Cell) {
        let Height::Drop(_) = self.height else {
            return;
        };
        for gap in &self.hanging.between_joists {
            let off = Affine::along(gap.across, gap.from_m);
            let [near_m, far_m] = gap.off_m;
            let shape = Shape::Inside(vec![off.at_least(near_m), off.at_most(far_m)]);
            let label = "no joist above its mount".to_owned();
            self.bar(cell, "mount-joists", label, shape);
        }
    }

    /// What its mount does not reach or level, it bars in the whole cell.
    fn mount(&mut self, cell: &mut Cell, ceiling: Affine) {
        let Height::Drop(drop_m) = self.height else {
            return;
        };
        let mount = self.hanging.mount;
        let within = |ends: [f64; 2]| (ends[0]..=ends[1]).contains(&drop_m);
        let [a, b] = ceiling.slope;
        let slope_rad = a.hypot(b).atan();
        for (label, barred) in [
            (
                "the drop that its mount has",
                mount.drop_m.is_some_and(|ends| !within(ends)),
            ),
            (
                "the slope that its mount levels",
                mount.slope_rad.is_some_and(|most| slope_rad > most),
            ),
        ] {
            if barred {
                let everywhere = Shape::Inside(Vec::new());
                self.bar(cell, "projector-mount", label.to_owned(), everywhere);
            }
        }
    }

    /// The lens in plan from the middle of the case.
    fn lens_offset(&self) -> Point {
        let (picture, case) = (&self.hanging.picture, &self.hanging.case);
        [0, 1]
            .map(|k| picture.right[k] * case.lens_right_m - picture.normal[k] * case.lens_forward_m)
    }

    /// The picture's middle in plan.
    fn picture_middle(&self) -> Point {
        let [x, y, _] = self.hanging.picture.centre_m;
        [x, y]
    }

    /// Zoom, focus and shift.
    fn lens_reach(&mut self, cell: &mut Cell, underside: Affine) {
        let hanging = self.hanging;
        let (picture, middle) = (&hanging.picture, self.picture_middle());
        let offset = self.lens_offset();
        let distance = Affine::along(picture.normal, middle).moved(offset);
        let [width_m, height_m] = picture.size_m;
        let check = "beam-clear";
        let before = Shape::Outside(vec![distance.at_least(BEAM_MIN_M)]);
        self.bar(cell, check, "behind the picture".to_owned(), before);
        if let Some([wide, long]) = hanging.throw {
            let check = "throw-ratio";
            let near = Shape::Outside(vec![distance.at_least(wide * width_m)]);
            self.bar(
                cell,
                check,
                "too near for the zoom's wide end".to_owned(),
                near,
            );
            let far = Shape::Outside(vec![distance.at_most(long * width_m)]);
            self.bar(
                cell,
                check,
                "too far for the zoom's long end".to_owned(),
                far,
            );
        }
        if let Some(far_m) = hanging.bright_m {
            let dim = Shape::Outside(vec![distance.at_most(far_m)]);
            let label = "too far out on the zoom for its light".to_owned();
            self.bar(cell, "screen-luminance", label, dim);
        }
        if let Some([near_m, far_m]) = hanging.focus_m {
            let check = "focus-distance";
            let near = Shape::Outside(vec![distance.at_least(near_m)]);
            self.bar(cell, check, "too near to focus".to_owned(), near);
            let far = Shape::Outside(vec![distance.at_most(far_m)]);
            self.bar(cell, check, "too far to focus".to_owned(), far);
        }
        if let Some(outline) = &hanging.shift {
            // The picture's middle to the right of the lens, and above it.
            let right = Affine::along(picture.right, middle).moved(offset);
            let right = right.times(-1.0 / width_m);
            let up = underside.plus(hanging.case.lens_up_m - picture.centre_m[2]);
            let up = up.times(-1.0 / height_m);
            let label = || "lens shift".to_owned();
            for shape in shift_shapes(outline, right, up) {
                self.bar(cell, "lens-shift", label(), shape);
            }
        }
    }

    fn sides(&self) -> [Side; 3] {
        let (picture, asked) = (&self.hanging.picture, &self.hanging.asked);
        let right = picture.right;
        [
            Side {
                words: "behind",
                towards: picture.normal,
                asked_m: asked.behind_m,
            },
            Side {
                words: "on the left",
                towards: [-right[0], -right[1]],
                asked_m: asked.left_m,
            },
            Side {
                words: "on the right",
                towards: right,
                asked_m: asked.right_m,
            },
        ]
    }

    /// Corners of the case from its middle.
    fn case_corners(&self) -> [Point; 4] {
        let (picture, [width, _, depth]) = (&self.hanging.picture, self.hanging.case.size_m);
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(across, back)| {
            [0, 1].map(|k| {
                picture.right[k] * across * width / 2.0 + picture.normal[k] * back * depth / 2.0
            })
        })
    }

    /// The case inside the room, and its sides off the walls.
    fn walls(&mut self, cell: &mut Cell) {
        let hanging = self.hanging;
        let count = hanging.corners.len();
        let corners = self.case_corners();
        for (at, wall) in hanging.walls.iter().enumerate() {
            let (left, next) = (hanging.corners[at], hanging.corners[(at + 1) % count]);
            let Some(along) = (next - left).unit() else {
                continue;
            };
            let length_m = left.distance(next);
            let (along, inward) = ([along.x, along.y], [along.y, -along.x]);
            let from = [left.x, left.y];
            let shape = self.across_wall(from, [next.x, next.y], inward);
            self.bar(cell, "projector-case", format!("wall {}", wall.id), shape);
            if wall.open {
                continue;
            }
            for side in self.sides() {
                let facing = -(side.towards[0] * inward[0] + side.towards[1] * inward[1]);
                let Some(asked_m) = side.asked_m.filter(|_| facing >= FACING) else {
                    continue;
                };
                for corner in corners {
                    let off = Affine::along(inward, from).moved(corner);
                    let along = Affine::along(along, from).moved(corner);
                    let shape = Shape::Inside(vec![
                        off.at_most(asked_m),
                        off.at_least(-BEHIND_M),
                        along.at_least(0.0),
                        along.at_most(length_m),
                    ]);
                    let label = format!("{}: wall {}", side.words, wall.id);
                    self.bar(cell, "projector-clearance", label, shape);
                }
            }
        }
    }

    /// Places where the case meets a wall's face.
    fn across_wall(&self, from: Point, to: Point, inward: Point) -> Shape {
        let (picture, [width, _, depth]) = (&self.hanging.picture, self.hanging.case.size_m);
        let dot = |a: Point, b: Point| a[0] * b[0] + a[1] * b[1];
        let mut sides = Vec::with_capacity(6);
        for (way, half) in [(picture.right, width / 2.0), (picture.normal, depth / 2.0)] {
            let [a, b] = [dot(from, way), dot(to, way)];
            sides.push(HalfPlane::new(way, a.max(b) + half));
            sides.push(HalfPlane::new(way, a.min(b) - half).turned());
        }
        let reach = (dot(picture.right, inward).abs() * width
            + dot(picture.normal, inward).abs() * depth)
            / 2.0;
        let off = Affine::along(inward, from);
        sides.extend([off.at_most(reach), off.at_least(-reach)]);
        Shape::Inside(sides)
    }

    fn things(&mut self, cell: &mut Cell, underside: Affine) {
        let hanging = self.hanging;
        for thing in &hanging.things {
            self.thing(cell, thing, underside);
        }
    }

    /// A thing may be where the case is, or before one of its sides.
    fn thing(&mut self, cell: &mut Cell, thing: &Thing, underside: Affine) {
        let (picture, asked) = (&self.hanging.picture, self.hanging.asked);
        let [width, height, depth] = self.hanging.case.size_m;
        let [x, y, z] = thing.middle_m;
        // The thing's middle from the case's: to the right, back and up.
        let right = Affine::along(picture.right, [x, y]).times(-1.0);
        let back = Affine::along(picture.normal, [x, y]).times(-1.0);
        let up = underside.plus(height / 2.0 - z).times(-1.0);
        let [half_right, half_back, half_up] = [
            thing.half_m[0] + width / 2.0,
            thing.half_m[1] + depth / 2.0,
            thing.half_m[2] + height / 2.0,
        ];
        let within = |way: Affine, half: f64| [way.at_most(half), way.at_least(-half)];
        let level = within(up, half_up);
        let collides = [
            within(right, half_right),
            within(back, half_back),
            [up.at_most(half_up), up.at_least(STANDS_IN_M - half_up)],
        ]
        .concat();
        let label = &thing.label;
        let shape = Shape::Inside(collides);
        self.bar(cell, "projector-case", format!("in {label}"), shape);
        let check = "projector-clearance";
        let mut before = |words: &str, sides: Vec<HalfPlane>| {
            self.bar(
                cell,
                check,
                format!("{words}: {label}"),
                Shape::Inside(sides),
            );
        };
        if let Some(asked_m) = asked.behind_m {
            let gap = [back.at_least(0.0), back.at_most(half_back + asked_m)];
            before("behind", [within(right, half_right), level, gap].concat());
        }
        if let Some(asked_m) = asked.left_m {
            let gap = [right.at_most(0.0), right.at_least(-half_right - asked_m)];
            before(
                "on the left",
                [within(back, half_back), level, gap].concat(),
            );
        }
        if let Some(asked_m) = asked.right_m {
            let gap = [right.at_least(0.0), right.at_most(half_right + asked_m)];
            before(
                "on the right",
                [within(back, half_back), level, gap].concat(),
            );
        }
        let gap = [up.at_least(0.0), up.at_most(half_up + asked.above_m)];
        let under = [within(right, half_right), within(back, half_back), gap];
        before("above", under.concat());
    }

    /// The ceiling above the case, and where it comes down beside it.
    fn ceiling(&mut self, cell: &mut Cell, underside: Affine) {
        let hanging = self.hanging;
        let Some(ceiling) = &hanging.ceiling else {
            return;
        };
        let height_m = hanging.case.size_m[1];
        let lowest_m = underside.plus(height_m + hanging.asked.above_m);
        let middle = underside.plus(height_m / 2.0);
        let planes: Vec<Affine> = ceiling.planes().iter().map(roof::affine).collect();
        let corners = self.case_corners();
        let check = "projector-clearance";
        let above = || "above: the ceiling".to_owned();
        let is_lower = ceiling.join() == Join::Lower;
        if is_lower || planes.len() == 1 {
            // The lowest of some planes is lowest over a corner of the case.
            for (plane, corner) in planes
                .iter()
                .flat_map(|plane| corners.map(|corner| (plane, corner)))
            {
                let room = plane.moved(corner).minus(lowest_m);
                self.bar(cell, check, above(), Shape::Inside(vec![room.at_most(0.0)]));
            }
        } else if let Some(sides) = self.under_valley(cell, &planes, lowest_m) {
            self.bar(cell, check, above(), Shape::Inside(sides));
        }
        for side in self.sides() {
            let Some(asked_m) = side.asked_m else {
                continue;
            };
            let label = || format!("{}: the sloping ceiling", side.words);
            for corner in corners {
                // Along the way asked for a plane falls to the middle of the case.
                let low = |plane: &Affine| {
                    let fall =
                        -(plane.slope[0] * side.towards[0] + plane.slope[1] * side.towards[1]);
                    let above = plane.moved(corner).minus(middle);
                    (fall > 1e-6).then(|| above.at_most(asked_m * fall))
                };
                if is_lower {
                    for shape in planes.iter().filter_map(low) {
                        self.bar(cell, check, label(), Shape::Inside(vec![shape]));
                    }
                } else if let Some(sides) = planes.iter().map(low).collect::<Option<Vec<_>>>() {
                    self.bar(cell, check, label(), Shape::Inside(sides));
                }
            }
        }
    }

    /// Places where the highest of some planes is too low somewhere over the case.
    ///
    /// By duality the lowest point of the valley over the case is as high as the best
    /// weighted mean of two planes is at its own lowest corner.
    fn under_valley(
        &self,
        cell: &Cell,
        planes: &[Affine],
        lowest_m: Affine,
    ) -> Option<Vec<HalfPlane>> {
        let (picture, [width, _, depth]) = (&self.hanging.picture, self.hanging.case.size_m);
        let dot = |a: Point, b: Point| a[0] * b[0] + a[1] * b[1];
        let room = |one: &Affine, other: &Affine, share: f64| {
            let mean = one.times(1.0 - share).minus(other.times(-share));
            let falls = dot(mean.slope, picture.right).abs() * width
                + dot(mean.slope, picture.normal).abs() * depth;
            mean.plus(-falls / 2.0).minus(lowest_m)
        };
        let best = |place: Point| {
            let pairs = planes
                .iter()
                .enumerate()
                .flat_map(|(at, one)| planes[at..].iter().map(move |other| (one, other)));
            pairs
                .map(|(one, other)| {
                    let (mut low, mut high) = (0.0, 1.0);
                    for _ in 0..60 {
                        let thirds = [low + (high - low) / 3.0, high - (high - low) / 3.0];
                        let [a, b] = thirds.map(|share| room(one, other, share).at(place));
                        if a < b {
                            low = thirds[0]
                        } else {
                            high = thirds[1]
                        }
                    }
                    room(one, other, (low + high) / 2.0)
                })
                .max_by(|a, b| a.at(place).total_cmp(&b.at(place)))
        };
        let outline = outline(&self.hanging.corners, cell);
        cut_down(&outline, |place| {
            let room = best(place)?;
            let side = room.at_most(0.0);
            (room.at(place) > 0.0).then(|| (side, -side.depth(place)))
        })
    }

    /// What hangs ends above the floor.
    fn floor(&mut self, cell: &mut Cell, underside: Affine) {
        if matches!(self.height, Height::Drop(_)) {
            let shape = Shape::Inside(vec![underside.at_most(0.0)]);
            self.bar(cell, "projector-case", "the floor".to_owned(), shape);
        }
    }

    /// Places from which the beam meets something.
    fn shadows(&mut self, cell: &mut Cell, lens: LensAt) {
        let hanging = self.hanging;
        let outline = outline(&hanging.corners, cell);
        if outline.len() < 3 {
            return;
        }
        let picture = picture_corners(&hanging.picture);
        let gap_m = beam_gap_m(hanging);
        for thing in &hanging.shadows {
            for solid in &thing.solids {
                let Some(met) = Met::of(solid) else { continue };
                if let Some(sides) = shadow(&outline, lens, picture, &met, gap_m) {
                    let label = format!("beam: {}", thing.label);
                    self.bar(cell, "beam-clear", label, Shape::Inside(sides));
                }
            }
        }
    }
}

/// A cell within what is asked of all of it.
pub(crate) fn outline(corners: &[Point2], cell: &Cell) -> Vec<Point> {
    let mut outline = clipped(&frame(corners), &cell.sides);
    for barred in &cell.barred {
        if let Shape::Outside(sides) = &barred.shape {
            outline = clipped(&outline, sides);
        }
    }
    outline
}

/// How far from the beam's middle lines things must be, m: the lens is no point.
pub(crate) fn beam_gap_m(hanging: &Hanging) -> f64 {
    hanging.case.lens_radius_m + hanging.beam_margin_m
}

pub(crate) fn picture_corners(picture: &Lit) -> [Point3; 4] {
    let ([x, y, z], [width, height]) = (picture.centre_m, picture.size_m);
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(across, up)| {
        let across = across * width / 2.0;
        Point3::new(
            x + picture.right[0] * across,
            y + picture.right[1] * across,
            z + up * height / 2.0,
        )
    })
}
