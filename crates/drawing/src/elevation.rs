//! How does one wall look from inside the room, with everything on it?
//!
//! Left is left. Lengths run from the wall's left corner, heights from the finished floor.

use crate::Sketch;
use crate::canvas::Canvas;
use crate::dimension::{Base, Chain, FigureSigns, put_chains};
use crate::error::{DrawingError, check_chain, finite, positive};
use crate::label::Label;
use crate::model::{Drawing, Element, Fill, Hatch, Pen, Role, Shape};
use crate::offset::offset_polygon;
use crate::paper::{Bounds, Point, point};
use crate::scale::{Area, Scale};
use crate::verdict::Verdict;
use crate::wall_route::{WallRoute, draw_wall_route};

/// An upright rectangle on a wall, metres from the left corner and from the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// From the wall's left corner to the patch's left edge.
    pub from_left_m: f64,
    /// From the finished floor to its lower edge.
    pub bottom_m: f64,
    /// Its width.
    pub width_m: f64,
    /// Its height.
    pub height_m: f64,
}

/// What an opening is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpeningKind {
    /// A door leaf, with the side of its hinges as seen from inside.
    Door(Side),
    /// A window.
    Window,
    /// A way through without a leaf.
    Archway,
}

/// Left or right as seen from inside, facing the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// A door, window or archway.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// Its id in the job.
    pub id: String,
    /// What it is.
    pub kind: OpeningKind,
    /// Where it is.
    pub patch: Patch,
    /// What is written at it; may be empty.
    pub label: String,
}

/// How a fixture is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FixtureKind {
    /// A light: crossed.
    Light,
    /// A vent: slats.
    Vent,
    /// A socket: two holes.
    Socket,
    /// A switch: a slanted stroke.
    Switch,
    /// A radiator: upright ribs.
    Radiator,
    /// Anything else: its outline alone.
    Plain,
}

/// Something that is on the wall already.
#[derive(Clone, Debug, PartialEq)]
pub struct Fixture {
    /// Its id in the job.
    pub id: String,
    /// How it is drawn.
    pub kind: FixtureKind,
    /// Where it is.
    pub patch: Patch,
    /// What is written at it; may be empty.
    pub label: String,
}

/// Something that the job puts on the wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// Its id in the job.
    pub id: String,
    /// Its outline.
    pub patch: Patch,
    /// For instance the picture within a screen's frame.
    pub inner: Option<Patch>,
    /// What is written at it; may be empty.
    pub label: String,
    /// Whether it fits; `None` where nothing is to be proved.
    pub verdict: Option<Verdict>,
}

/// A hole to be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOut {
    /// Its id in the job.
    pub id: String,
    /// Where it is.
    pub patch: Patch,
    /// Its name and size as printed.
    pub label: String,
}

/// A stud in the wall, from floor to ceiling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stud {
    /// Its middle, metres from the left corner.
    pub centre_m: f64,
    /// Its width as seen.
    pub width_m: f64,
}

/// One wall.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Elevation {
    /// The title under the drawing.
    pub title: String,
    /// The wall's length at the floor.
    pub length_m: f64,
    /// The ceiling's edge from left to right as (from left, height): two points for a flat ceiling, three for a gable.
    pub top_m: Vec<[f64; 2]>,
    /// Hatch of floor, ceiling and side walls where they are cut.
    pub cut: Option<Hatch>,
    /// Doors, windows, archways.
    pub openings: Vec<Opening>,
    /// Studs, where they are known.
    pub studs: Vec<Stud>,
    /// Heights of the middles of fire blocks.
    pub fire_blocks_m: Vec<f64>,
    /// What is there.
    pub fixtures: Vec<Fixture>,
    /// What the job adds.
    pub fitted: Vec<Fitted>,
    /// Holes to cut.
    pub cut_outs: Vec<CutOut>,
    /// Outlines of shadows on a picture: metres from the left corner, and height.
    pub shadows: Vec<Vec<[f64; 2]>>,
    /// Cables inside the wall.
    pub routes: Vec<WallRoute>,
    /// Chains along the floor from the left corner, nearest to the wall first.
    pub across: Vec<Chain>,
    /// Chains of heights from the floor, nearest to the wall first.
    pub up: Vec<Chain>,
}

/// How thick cut floor, ceiling and side walls are shown, mm of paper: a sign, because the true depth is often unknown.
const CUT_MM: f64 = 2.5;

/// Draws a wall at the largest scale that fits the area.
pub fn elevation(wall: &Elevation, area: Area) -> Result<Drawing, DrawingError> {
    check(wall)?;
    let drawing = crate::fit(
        &wall.title,
        area,
        (
            wall.length_m,
            wall.top_m.iter().map(|p| p[1]).fold(0.0, f64::max),
        ),
        |scale| sketch(wall, scale),
    )?;
    Ok(Drawing {
        signs: FigureSigns::of(wall.across.iter().chain(&wall.up)),
        ..drawing
    })
}

fn check(wall: &Elevation) -> Result<(), DrawingError> {
    positive("wall length", wall.length_m)?;
    if wall.top_m.len() < 2 {
        return Err(DrawingError::Outline {
            what: format!("the top of \"{}\" needs at least two points", wall.title),
        });
    }
    for pair in wall.top_m.windows(2) {
        finite("ceiling edge", pair[0][0])?;
        if pair[1][0].is_nan() || pair[1][0] < pair[0][0] {
            return Err(DrawingError::Outline {
                what: format!(
                    "the top of \"{}\" does not run from left to right",
                    wall.title
                ),
            });
        }
    }
    for p in &wall.top_m {
        finite("ceiling edge", p[0])?;
        positive("ceiling height", p[1])?;
    }
    let patches = wall
        .openings
        .iter()
        .map(|o| (&o.label, o.patch))
        .chain(wall.fixtures.iter().map(|f| (&f.label, f.patch)))
        .chain(wall.fitted.iter().map(|f| (&f.label, f.patch)))
        .chain(
            wall.fitted
                .iter()
                .filter_map(|f| f.inner.map(|i| (&f.label, i))),
        )
        .chain(wall.cut_outs.iter().map(|c| (&c.label, c.patch)));
    for (label, patch) in patches {
        finite(label, patch.from_left_m)?;
        finite(label, patch.bottom_m)?;
        positive(label, patch.width_m)?;
        positive(label, patch.height_m)?;
    }
    for [x, y] in wall.shadows.iter().flatten() {
        finite("shadow", *x)?;
        finite("shadow", *y)?;
    }
    for [x, y] in wall.routes.iter().flat_map(|route| &route.points_m) {
        finite("cable", *x)?;
        finite("cable", *y)?;
    }
    for stud in &wall.studs {
        finite("stud", stud.centre_m)?;
        positive("stud width", stud.width_m)?;
    }
    for height in &wall.fire_blocks_m {
        finite("fire block", *height)?;
    }
    wall.across.iter().chain(&wall.up).try_for_each(check_chain)
}

/// Metres on the wall to millimetres of paper, with the left floor corner as origin.
#[derive(Clone, Copy)]
struct View(Scale);

impl View {
    fn at(self, x_m: f64, height_m: f64) -> Point {
        point(self.0.paper_mm(x_m), -self.0.paper_mm(height_m))
    }

    fn bounds(self, p: &Patch) -> Bounds {
        Bounds::new(
            self.at(p.from_left_m, p.bottom_m),
            self.at(p.from_left_m + p.width_m, p.bottom_m + p.height_m),
        )
    }
}

fn top_at(top: &[[f64; 2]], x: f64) -> f64 {
    for pair in top.windows(2) {
        let ([x0, y0], [x1, y1]) = (pair[0], pair[1]);
        if x >= x0 && x <= x1 && x1 > x0 {
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
        }
    }
    if x < top[0][0] {
        top[0][1]
    } else {
        top[top.len() - 1][1]
    }
}

fn sketch(wall: &Elevation, scale: Scale) -> Sketch {
    let view = View(scale);
    let mut canvas = Canvas::default();
    let mut inside = vec![view.at(0.0, 0.0)];
    inside.extend(wall.top_m.iter().map(|[x, y]| view.at(*x, *y)));
    inside.push(view.at(wall.length_m, 0.0));
    draw_cut(&mut canvas, &inside, wall.cut, scale);
    draw_framing(&mut canvas, wall, view);
    let mut labels = Vec::new();
    for opening in &wall.openings {
        let bounds = view.bounds(&opening.patch);
        canvas.add(thing(
            &opening.id,
            &opening.label,
            opening_shapes(opening.kind, bounds),
        ));
        labels.push(Label {
            to: bounds,
            words: opening.label.clone(),
            verdict: None,
        });
    }
    for fixture in &wall.fixtures {
        let bounds = view.bounds(&fixture.patch);
        canvas.add(thing(
            &fixture.id,
            &fixture.label,
            fixture_shapes(fixture.kind, bounds),
        ));
        labels.push(Label {
            to: bounds,
            words: fixture.label.clone(),
            verdict: None,
        });
    }
    for fitted in &wall.fitted {
        let bounds = view.bounds(&fitted.patch);
        let mut shapes = vec![filled(bounds, Pen::Seen)];
        shapes.extend(
            fitted
                .inner
                .map(|p| Shape::outline(view.bounds(&p).quad().0.to_vec(), Pen::Seen)),
        );
        canvas.add(thing(
            &fitted.id,
            &Label::told(&fitted.label, fitted.verdict),
            shapes,
        ));
        labels.push(Label {
            to: bounds,
            words: fitted.label.clone(),
            verdict: fitted.verdict,
        });
    }
    for shadow in wall.shadows.iter().filter(|shadow| shadow.len() > 2) {
        let outline: Vec<Point> = shadow.iter().map(|[x, y]| view.at(*x, *y)).collect();
        // A sign keeps texts off; what a shadow falls on has its label there.
        canvas.draw(Role::Hatch, vec![Shape::outline(outline, Pen::Hidden)]);
    }
    for cut in &wall.cut_outs {
        let bounds = view.bounds(&cut.patch);
        let (c, beyond) = (bounds.centre(), 1.5);
        let shapes = vec![
            Shape::outline(bounds.quad().0.to_vec(), Pen::Hidden),
            Shape::line(
                point(bounds.min.x - beyond, c.y),
                point(bounds.max.x + beyond, c.y),
                Pen::Axis,
            ),
            Shape::line(
                point(c.x, bounds.min.y - beyond),
                point(c.x, bounds.max.y + beyond),
                Pen::Axis,
            ),
        ];
        canvas.add(thing(&cut.id, &cut.label, shapes));
        labels.push(Label {
            to: bounds,
            words: cut.label.clone(),
            verdict: None,
        });
    }
    for route in &wall.routes {
        let points = route
            .points_m
            .iter()
            .map(|[x, y]| view.at(*x, *y))
            .collect();
        draw_wall_route(&mut canvas, route, points);
    }
    let on_paper = |chains: &[Chain]| {
        let scaled = |c: &Chain| {
            (
                c.stops_m.iter().map(|s| scale.paper_mm(*s)).collect(),
                c.figures.clone(),
            )
        };
        chains.iter().map(scaled).collect::<Vec<_>>()
    };
    let below = Base {
        origin: point(0.0, CUT_MM),
        along: point(1.0, 0.0),
        out: point(0.0, 1.0),
    };
    put_chains(&mut canvas, below, &on_paper(&wall.across), 8.0);
    let left = Base {
        origin: point(-CUT_MM, 0.0),
        along: point(0.0, -1.0),
        out: point(-1.0, 0.0),
    };
    put_chains(&mut canvas, left, &on_paper(&wall.up), 8.0);
    Sketch {
        canvas,
        labels,
        north_rad: None,
    }
}

fn draw_cut(canvas: &mut Canvas, inside: &[Point], hatch: Option<Hatch>, scale: Scale) {
    let outside = offset_polygon(inside, CUT_MM);
    if let Some(hatch) = hatch {
        // The ring between both outlines as one polygon: the bridge is walked both ways and cancels out.
        let mut ring = outside.clone();
        ring.push(outside[0]);
        ring.extend(inside.iter().copied());
        ring.push(inside[0]);
        canvas.hatch(&ring, hatch, scale);
    }
    canvas.draw(
        Role::Thing,
        vec![
            Shape::outline(inside.to_vec(), Pen::Cut),
            Shape::outline(outside, Pen::Thin),
        ],
    );
}

fn draw_framing(canvas: &mut Canvas, wall: &Elevation, view: View) {
    let mut shapes = Vec::new();
    for stud in &wall.studs {
        let (left, right) = (
            stud.centre_m - stud.width_m / 2.0,
            stud.centre_m + stud.width_m / 2.0,
        );
        // Two dashed edges less than a millimetre apart would run into one.
        let edges = if view.0.paper_mm(stud.width_m) >= 1.0 {
            vec![left, right]
        } else {
            vec![stud.centre_m]
        };
        for x in edges {
            let x = x.clamp(0.0, wall.length_m);
            shapes.push(Shape::line(
                view.at(x, 0.0),
                view.at(x, top_at(&wall.top_m, x)),
                Pen::Hidden,
            ));
        }
    }
    for height in &wall.fire_blocks_m {
        for (from, to) in stretches_below_top(wall, *height) {
            shapes.push(Shape::line(
                view.at(from, *height),
                view.at(to, *height),
                Pen::Hidden,
            ));
        }
    }
    if !shapes.is_empty() {
        canvas.add(thing("", "Studs and fire blocks behind the board", shapes));
    }
}

/// The parts of a level line that lie below the ceiling.
fn stretches_below_top(wall: &Elevation, height: f64) -> Vec<(f64, f64)> {
    let mut stops = vec![0.0, wall.length_m];
    for pair in wall.top_m.windows(2) {
        let ([x0, y0], [x1, y1]) = (pair[0], pair[1]);
        if (y0 - height) * (y1 - height) < 0.0 {
            stops.push(x0 + (height - y0) / (y1 - y0) * (x1 - x0));
        }
    }
    stops.sort_by(f64::total_cmp);
    let below = |w: &[f64]| top_at(&wall.top_m, (w[0] + w[1]) / 2.0) > height;
    stops
        .windows(2)
        .filter(|w| below(w))
        .map(|w| (w[0], w[1]))
        .collect()
}

pub(crate) fn thing(id: &str, about: &str, shapes: Vec<Shape>) -> Element {
    Element {
        id: id.to_string(),
        about: about.to_string(),
        role: Role::Thing,
        shapes,
    }
}

fn filled(bounds: Bounds, pen: Pen) -> Shape {
    Shape::Path {
        points: bounds.quad().0.to_vec(),
        closed: true,
        pen,
        fill: Fill::Paper,
    }
}

fn opening_shapes(kind: OpeningKind, b: Bounds) -> Vec<Shape> {
    let mut shapes = vec![filled(b, Pen::Seen)];
    let frame = (b.width().min(b.height()) * 0.08).min(1.2);
    match kind {
        OpeningKind::Door(hinges) => {
            let leaf = Bounds {
                min: b.min + point(frame, frame),
                max: point(b.max.x - frame, b.max.y),
            };
            shapes.push(Shape::outline(leaf.quad().0.to_vec(), Pen::Thin));
            let lock_x = match hinges {
                Side::Left => leaf.max.x - frame * 2.0,
                Side::Right => leaf.min.x + frame * 2.0,
            };
            let handle = point(lock_x, b.max.y - b.height() * 0.48);
            shapes.push(Shape::Circle {
                centre: handle,
                radius_mm: (frame * 0.7).max(0.3),
                pen: Pen::Thin,
                fill: Fill::None,
            });
        }
        OpeningKind::Window => {
            let pane = b.grown(-frame);
            shapes.push(Shape::outline(pane.quad().0.to_vec(), Pen::Thin));
            let (w, h) = (pane.width(), pane.height());
            for part in [0.12, 0.2] {
                let from = point(
                    pane.min.x + w * part,
                    pane.min.y + h * 0.06 + w.min(h) * 0.2,
                );
                shapes.push(Shape::line(
                    from,
                    from + point(1.0, -1.0) * (w.min(h) * 0.2),
                    Pen::Thin,
                ));
            }
        }
        OpeningKind::Archway => {
            let [a, b, c, d] = b.quad().0;
            shapes.push(Shape::line(a, c, Pen::Thin));
            shapes.push(Shape::line(b, d, Pen::Thin));
        }
    }
    shapes
}

fn fixture_shapes(kind: FixtureKind, b: Bounds) -> Vec<Shape> {
    let mut shapes = vec![filled(b, Pen::Existing)];
    let [nw, ne, se, sw] = b.quad().0;
    let ribs = |count: usize, at: &dyn Fn(f64) -> (Point, Point)| {
        (1..count)
            .map(|i| at(i as f64 / count as f64))
            .map(|(p, q)| Shape::line(p, q, Pen::Thin))
            .collect::<Vec<_>>()
    };
    // At least 0.7 mm between the lines of a sign.
    let count = |extent: f64| ((extent / 0.9) as usize).clamp(2, 12);
    match kind {
        FixtureKind::Light => shapes.extend([
            Shape::line(nw, se, Pen::Thin),
            Shape::line(ne, sw, Pen::Thin),
        ]),
        FixtureKind::Switch => shapes.push(Shape::line(sw, ne, Pen::Thin)),
        FixtureKind::Vent => shapes.extend(ribs(count(b.height()), &|t| {
            let y = b.min.y + t * b.height();
            (point(b.min.x, y), point(b.max.x, y))
        })),
        FixtureKind::Radiator => shapes.extend(ribs(count(b.width()), &|t| {
            let x = b.min.x + t * b.width();
            (point(x, b.min.y), point(x, b.max.y))
        })),
        FixtureKind::Socket => {
            let radius_mm = (b.width().min(b.height()) * 0.12).min(0.4);
            for part in [-0.2, 0.2] {
                let centre = b.centre() + point(b.width() * part, 0.0);
                shapes.push(Shape::Circle {
                    centre,
                    radius_mm,
                    pen: Pen::Thin,
                    fill: Fill::Ink,
                });
            }
        }
        FixtureKind::Plain => {}
    }
    shapes
}
