//! How does a room look from above, cut at eye height?
//!
//! North and the plan's own up need not agree: x runs to the right of the sheet, y up the sheet.

use crate::Sketch;
use crate::canvas::Canvas;
use crate::dimension::{Chain, Figure, FigureSigns};
use crate::elevation::{Side, thing};
use crate::error::{DrawingError, check_chain, finite, positive};
use crate::label::Label;
use crate::model::{Drawing, Fill, Hatch, Pen, RouteDash, Shape, Text};
use crate::offset::{doubled_area, offset_sides};
use crate::paper::{Bounds, Point, point};
use crate::plan_signs::{
    draw_chain, draw_route, draw_seat, draw_view, draw_wall_name, loudspeaker_shapes,
};
use crate::scale::{Area, Scale};
use crate::verdict::Verdict;

/// What an opening in a wall is, seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PlanOpeningKind {
    /// A door leaf: the side of its hinges seen from inside the room, whether it swings into the room, and how far.
    Door {
        /// Where the hinges are.
        hinges: Side,
        /// Whether it opens towards the viewer.
        into_room: bool,
        /// How far it opens from shut, rad; at most half a turn.
        opens_rad: f64,
    },
    /// A window.
    Window,
    /// A way through without a leaf.
    Archway,
}

/// An opening in a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanOpening {
    /// Its id in the job.
    pub id: String,
    /// What it is.
    pub kind: PlanOpeningKind,
    /// From the wall's left corner (seen from inside) to the opening's left edge, m.
    pub from_left_m: f64,
    /// Its width, m.
    pub width_m: f64,
    /// What is written at it; may be empty.
    pub label: String,
}

/// The wall from one corner to the next.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct PlanWall {
    /// Its name.
    pub name: String,
    /// Its thickness, m; 0 draws the inner face alone.
    pub thickness_m: f64,
    /// What it is made of.
    pub hatch: Option<Hatch>,
    /// Its openings.
    pub openings: Vec<PlanOpening>,
    /// Lengths from its left corner, nearest to the wall first.
    pub chains: Vec<Chain>,
}

/// A seat and where it looks.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Its id in the job.
    pub id: String,
    /// Its middle, m.
    pub at_m: [f64; 2],
    /// Where it faces, as a direction in the plan.
    pub facing: [f64; 2],
    /// Its width, m.
    pub width_m: f64,
    /// What is written at it; may be empty.
    pub label: String,
}

/// Furniture or a piece of kit by its outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its id in the job.
    pub id: String,
    /// Its outline, m.
    pub outline_m: Vec<[f64; 2]>,
    /// What is written at it; may be empty.
    pub label: String,
    /// Whether it fits; `None` where nothing is to be proved.
    pub verdict: Option<Verdict>,
}

/// A loudspeaker and where it aims.
#[derive(Clone, Debug, PartialEq)]
pub struct Loudspeaker {
    /// Its id in the job.
    pub id: String,
    /// Its middle, m.
    pub at_m: [f64; 2],
    /// Its aim, as a direction in the plan.
    pub aim: [f64; 2],
    /// Its width, m.
    pub width_m: f64,
    /// Its outline, m; empty where its size is not known and a sign stands for it.
    pub outline_m: Vec<[f64; 2]>,
    /// What is written at it; may be empty.
    pub label: String,
    /// Whether it fits; `None` where nothing is to be proved.
    pub verdict: Option<Verdict>,
}

/// A cable's way.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Its id in the job.
    pub id: String,
    /// Its corners, m.
    pub points_m: Vec<[f64; 2]>,
    /// Dashes of its kind.
    pub dash: RouteDash,
    /// Its label, repeated each 100 mm of paper.
    pub label: String,
}

/// From where an elevation is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct ViewArrow {
    /// Where the viewer stands, m.
    pub at_m: [f64; 2],
    /// Where the viewer looks.
    pub towards: [f64; 2],
    /// The elevation's letter or number.
    pub label: String,
}

/// One room from above.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Plan {
    /// The title under the drawing.
    pub title: String,
    /// Corners of the inner faces in order, m; `walls[i]` runs from corner `i` to the next.
    pub corners_m: Vec<[f64; 2]>,
    /// The walls.
    pub walls: Vec<PlanWall>,
    /// Seats.
    pub seats: Vec<Seat>,
    /// What stands there already.
    pub furniture: Vec<Piece>,
    /// What the job adds.
    pub kit: Vec<Piece>,
    /// Loudspeakers.
    pub loudspeakers: Vec<Loudspeaker>,
    /// Throw, coverage and fields of view: outlines with a word.
    pub beams: Vec<Piece>,
    /// Cables.
    pub routes: Vec<Route>,
    /// North as an angle clockwise from the sheet's up, rad; `None` leaves the arrow out.
    pub north_rad: Option<f64>,
    /// Viewing directions of the elevations.
    pub views: Vec<ViewArrow>,
}

/// Draws a plan at the largest scale that fits the area.
pub fn plan(room: &Plan, area: Area) -> Result<Drawing, DrawingError> {
    check(room)?;
    let size = extent_m(&room.corners_m);
    let drawing = crate::fit(&room.title, area, size, |scale| sketch(room, scale))?;
    Ok(Drawing {
        signs: FigureSigns::of(room.walls.iter().flat_map(|wall| &wall.chains)),
        ..drawing
    })
}

pub(crate) fn extent_m(corners: &[[f64; 2]]) -> (f64, f64) {
    let bounds = Bounds::of(corners.iter().map(|[x, y]| point(*x, *y)))
        .unwrap_or(Bounds::new(point(0.0, 0.0), point(0.0, 0.0)));
    (bounds.width(), bounds.height())
}

pub(crate) fn check_outline(title: &str, corners: &[[f64; 2]]) -> Result<(), DrawingError> {
    check_points(title, corners)?;
    let polygon: Vec<Point> = corners.iter().map(|[x, y]| point(*x, *y)).collect();
    let short =
        (0..polygon.len()).any(|i| (polygon[(i + 1) % polygon.len()] - polygon[i]).length() < 1e-6);
    if polygon.len() < 3 || short || doubled_area(&polygon).abs() < 1e-6 {
        return Err(DrawingError::Outline {
            what: format!("the outline of \"{title}\" encloses no area or repeats a corner"),
        });
    }
    Ok(())
}

fn check_points(what: &str, points: &[[f64; 2]]) -> Result<(), DrawingError> {
    points.iter().flatten().try_for_each(|v| finite(what, *v))
}

fn check(room: &Plan) -> Result<(), DrawingError> {
    check_outline(&room.title, &room.corners_m)?;
    if room.walls.len() != room.corners_m.len() {
        let what = format!(
            "\"{}\" has {} corners and {} walls; each corner starts one wall",
            room.title,
            room.corners_m.len(),
            room.walls.len()
        );
        return Err(DrawingError::Outline { what });
    }
    for wall in &room.walls {
        finite(&wall.name, wall.thickness_m)?;
        if wall.thickness_m < 0.0 {
            return Err(DrawingError::NotPositive {
                what: format!("the thickness of \"{}\"", wall.name),
                value_m: wall.thickness_m,
            });
        }
        for opening in &wall.openings {
            finite(&opening.label, opening.from_left_m)?;
            positive(&opening.label, opening.width_m)?;
            if let PlanOpeningKind::Door { opens_rad, .. } = opening.kind {
                positive(&opening.label, opens_rad)?;
            }
        }
        wall.chains.iter().try_for_each(check_chain)?;
    }
    for seat in &room.seats {
        check_points(&seat.label, &[seat.at_m, seat.facing])?;
        positive(&seat.label, seat.width_m)?;
    }
    for piece in room.furniture.iter().chain(&room.kit).chain(&room.beams) {
        check_points(&piece.label, &piece.outline_m)?;
    }
    for speaker in &room.loudspeakers {
        check_points(&speaker.label, &[speaker.at_m, speaker.aim])?;
        check_points(&speaker.label, &speaker.outline_m)?;
        positive(&speaker.label, speaker.width_m)?;
    }
    for route in &room.routes {
        check_points(&route.label, &route.points_m)?;
    }
    for view in &room.views {
        check_points(&view.label, &[view.at_m, view.towards])?;
    }
    room.north_rad
        .map_or(Ok(()), |angle| finite("north", angle))
}

/// Metres of the plan to millimetres of paper.
#[derive(Clone, Copy)]
pub(crate) struct View(pub Scale);

impl View {
    pub fn at(self, [x, y]: [f64; 2]) -> Point {
        point(self.0.paper_mm(x), -self.0.paper_mm(y))
    }

    pub fn all(self, points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|p| self.at(*p)).collect()
    }

    /// A direction of the plan as a unit vector on paper; up when it has no length.
    pub fn direction(self, [x, y]: [f64; 2]) -> Point {
        if x.hypot(y) < 1e-9 {
            point(0.0, -1.0)
        } else {
            point(x, -y).unit()
        }
    }
}

/// One wall on paper: its left corner seen from inside, along it, and out of the room.
#[derive(Clone, Copy)]
pub(crate) struct WallOnPaper {
    pub left: Point,
    pub along: Point,
    pub out: Point,
    pub length: f64,
    pub thickness: f64,
}

impl WallOnPaper {
    /// `u` mm from the left corner, `v` mm outwards from the inner face.
    pub fn at(&self, u: f64, v: f64) -> Point {
        self.left + self.along * u + self.out * v
    }
}

fn walls_on_paper(corners: &[Point], thickness: &[f64]) -> Vec<WallOnPaper> {
    let clockwise = doubled_area(corners) > 0.0;
    (0..corners.len())
        .map(|i| {
            let (start, end) = (corners[i], corners[(i + 1) % corners.len()]);
            // Facing a wall from inside, a clockwise walk goes from left to right.
            let (left, right) = if clockwise {
                (start, end)
            } else {
                (end, start)
            };
            let along = (right - left).unit();
            WallOnPaper {
                left,
                along,
                out: point(along.y, -along.x),
                length: (right - left).length(),
                thickness: thickness[i],
            }
        })
        .collect()
}

fn sketch(room: &Plan, scale: Scale) -> Sketch {
    let view = View(scale);
    let mut canvas = Canvas::default();
    let mut labels = Vec::new();
    let corners = view.all(&room.corners_m);
    let thickness: Vec<f64> = room
        .walls
        .iter()
        .map(|w| scale.paper_mm(w.thickness_m))
        .collect();
    let outer = offset_sides(&corners, &thickness);
    let on_paper = walls_on_paper(&corners, &thickness);
    for beam in &room.beams {
        let outline = view.all(&beam.outline_m);
        labels.extend(Bounds::of(outline.iter().copied()).map(|b| Label {
            to: b,
            words: beam.label.clone(),
            verdict: beam.verdict,
        }));
        canvas.add(thing(
            &beam.id,
            &Label::told(&beam.label, beam.verdict),
            vec![Shape::outline(outline, Pen::Coverage)],
        ));
    }
    for (i, wall) in room.walls.iter().enumerate() {
        let ends = [outer[i], outer[(i + 1) % outer.len()]];
        draw_wall(&mut canvas, wall, &on_paper[i], ends, scale);
        for opening in &wall.openings {
            let (from, to) = (
                scale.paper_mm(opening.from_left_m),
                scale.paper_mm(opening.from_left_m + opening.width_m),
            );
            canvas.add(thing(
                &opening.id,
                &opening.label,
                opening_shapes(opening.kind, &on_paper[i], from, to),
            ));
            let to = Bounds::new(on_paper[i].at(from, 0.0), on_paper[i].at(to, thickness[i]));
            labels.push(Label {
                to,
                words: opening.label.clone(),
                verdict: None,
            });
        }
    }
    let pieces = room
        .furniture
        .iter()
        .map(|p| (p, Pen::Existing))
        .chain(room.kit.iter().map(|p| (p, Pen::Seen)));
    for (piece, pen) in pieces {
        let points = view.all(&piece.outline_m);
        let Some(to) = Bounds::of(points.iter().copied()) else {
            continue;
        };
        let shape = Shape::Path {
            points,
            closed: true,
            pen,
            fill: Fill::Paper,
        };
        canvas.add(thing(
            &piece.id,
            &Label::told(&piece.label, piece.verdict),
            vec![shape],
        ));
        labels.push(Label {
            to,
            words: piece.label.clone(),
            verdict: piece.verdict,
        });
    }
    for seat in &room.seats {
        let to = draw_seat(&mut canvas, seat, view);
        labels.push(Label {
            to,
            words: seat.label.clone(),
            verdict: None,
        });
    }
    for speaker in &room.loudspeakers {
        let shapes = loudspeaker_shapes(
            view.at(speaker.at_m),
            view.direction(speaker.aim),
            scale.paper_mm(speaker.width_m),
            &view.all(&speaker.outline_m),
        );
        // The body alone: a label at the tip of its axis would seem to belong to nothing.
        let to = shapes[0].bounds().expect("the body has four corners");
        canvas.add(thing(
            &speaker.id,
            &Label::told(&speaker.label, speaker.verdict),
            shapes,
        ));
        labels.push(Label {
            to,
            words: speaker.label.clone(),
            verdict: speaker.verdict,
        });
    }
    for arrow in &room.views {
        draw_view(&mut canvas, arrow, view);
    }
    for route in &room.routes {
        draw_route(&mut canvas, route, view);
    }
    for (i, wall) in room.walls.iter().enumerate() {
        let mut from = 0.0;
        for chain in &wall.chains {
            let stops: Vec<f64> = chain.stops_m.iter().map(|s| scale.paper_mm(*s)).collect();
            match draw_chain(&mut canvas, &on_paper[i], &stops, &chain.figures, from) {
                Some(depth) => from = depth,
                None => labels.push(chain_in_key(wall, &on_paper[i], &chain.figures)),
            }
        }
        if let Some(label) = draw_wall_name(&mut canvas, &wall.name, &on_paper[i]) {
            labels.push(label);
        }
    }
    Sketch {
        canvas,
        labels,
        north_rad: room.north_rad,
    }
}

/// A chain that finds no free place is told in words at the middle of its wall.
fn chain_in_key(wall: &PlanWall, on_paper: &WallOnPaper, figures: &[Figure]) -> Label {
    let figures: Vec<String> = figures.iter().map(Figure::shown).collect();
    let middle = on_paper.at(on_paper.length / 2.0, 0.0);
    Label {
        to: Bounds::new(middle, middle),
        words: format!("{} from left: {}", wall.name, figures.join(", ")),
        verdict: None,
    }
}

fn draw_wall(
    canvas: &mut Canvas,
    wall: &PlanWall,
    on_paper: &WallOnPaper,
    outer: [Point; 2],
    scale: Scale,
) {
    let mut gaps: Vec<(f64, f64)> = wall
        .openings
        .iter()
        .map(|o| {
            (
                scale.paper_mm(o.from_left_m),
                scale.paper_mm(o.from_left_m + o.width_m),
            )
        })
        .map(|(a, b)| (a.clamp(0.0, on_paper.length), b.clamp(0.0, on_paper.length)))
        .collect();
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut solid = Vec::new();
    let mut from = 0.0;
    for (a, b) in gaps {
        if a > from {
            solid.push((from, a));
        }
        from = b.max(from);
    }
    if from < on_paper.length {
        solid.push((from, on_paper.length));
    }
    let thickness = on_paper.thickness;
    // The mitred outer corner nearer to the wall's left end comes first.
    let distance = |p: Point| (p - on_paper.left).dot(on_paper.along);
    let [a, b] = outer;
    let (outer_left, outer_right) = if distance(a) < distance(b) {
        (a, b)
    } else {
        (b, a)
    };
    let mut lines = Vec::new();
    for (from, to) in solid {
        let far_from = if from == 0.0 {
            outer_left
        } else {
            on_paper.at(from, thickness)
        };
        let far_to = if to == on_paper.length {
            outer_right
        } else {
            on_paper.at(to, thickness)
        };
        lines.push(Shape::line(
            on_paper.at(from, 0.0),
            on_paper.at(to, 0.0),
            Pen::Cut,
        ));
        if thickness > 0.0 {
            if let Some(hatch) = wall.hatch {
                canvas.hatch(
                    &[
                        on_paper.at(from, 0.0),
                        on_paper.at(to, 0.0),
                        far_to,
                        far_from,
                    ],
                    hatch,
                    scale,
                );
            }
            lines.push(Shape::line(far_from, far_to, Pen::Cut));
            for (u, far) in [(from, far_from), (to, far_to)] {
                if u > 0.0 && u < on_paper.length {
                    lines.push(Shape::line(on_paper.at(u, 0.0), far, Pen::Cut));
                }
            }
        }
    }
    canvas.add(thing("", &wall.name, lines));
}

fn opening_shapes(kind: PlanOpeningKind, wall: &WallOnPaper, from: f64, to: f64) -> Vec<Shape> {
    let thickness = wall.thickness;
    let faces = |pen| [0.0, thickness].map(|v| Shape::line(wall.at(from, v), wall.at(to, v), pen));
    match kind {
        PlanOpeningKind::Archway => faces(Pen::Hidden).into(),
        PlanOpeningKind::Window => {
            let mut shapes: Vec<Shape> = faces(Pen::Seen).into();
            shapes.extend([0.42, 0.58].map(|part| {
                Shape::line(
                    wall.at(from, thickness * part),
                    wall.at(to, thickness * part),
                    Pen::Thin,
                )
            }));
            shapes
        }
        PlanOpeningKind::Door {
            hinges,
            into_room,
            opens_rad,
        } => {
            let width = to - from;
            let (hinge_u, shut) = match hinges {
                Side::Left => (from, wall.along),
                Side::Right => (to, wall.along * -1.0),
            };
            let (face, away) = if into_room {
                (0.0, wall.out * -1.0)
            } else {
                (thickness, wall.out)
            };
            let hinge = wall.at(hinge_u, face);
            let angle = |d: Point| d.y.atan2(d.x);
            let from_rad = angle(shut);
            // From shut to open, whichever way round that is.
            let turn_rad = shut.cross(away).signum() * opens_rad;
            let to_rad = from_rad + turn_rad;
            let open = shut.turned(turn_rad);
            vec![
                Shape::line(hinge, hinge + open * width, Pen::Seen),
                Shape::Arc {
                    centre: hinge,
                    radius_mm: width,
                    from_rad,
                    to_rad,
                    pen: Pen::Thin,
                },
            ]
        }
    }
}

/// A text along a direction, read from below or from the right, with its middle at `at`.
pub(crate) fn text_along(at: Point, along: Point, words: &str) -> Text {
    let turn_deg = crate::dimension::reading_turn_deg(along);
    let down = crate::dimension::up_of(turn_deg) * -1.0;
    let base = at + down * (crate::model::CAPITALS / 2.0 * crate::font::LETTERING_MM);
    Text {
        turn_deg,
        ..Text::new(base, crate::model::Anchor::Middle, words)
    }
}
