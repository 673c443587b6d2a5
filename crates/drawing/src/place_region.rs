//! Where can a projector hang? Its region from above, and the room cut along the beam. The same
//! for anything else that has a region on a surface.
//!
//! Read without colour: the region is hatched inside a heavy line, each of its edges carries
//! what stops it, and beam and lines of sight differ by their dashes.

use crate::Sketch;
use crate::canvas::Canvas;
use crate::elevation::thing;
use crate::error::{DrawingError, finite};
use crate::label::Label;
use crate::model::{Drawing, Fill, Pen, Role, Shape};
use crate::offset::doubled_area;
use crate::paper::{Bounds, Point, lines_inside, point};
use crate::plan::{View, WallOnPaper, check_outline, extent_m};
use crate::plan_signs::draw_wall_name;
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlaceRegion {
    /// The title under the drawing.
    pub title: String,
    /// Corners of the room in order, m.
    pub corners_m: Vec<[f64; 2]>,
    /// Names of the walls, from each corner to the next; may be empty.
    pub wall_names: Vec<String>,
    /// Ridges and other edges within the ceiling.
    pub ridges_m: Vec<[[f64; 2]; 2]>,
    /// Rings of the region's parts: the outer one first, then its holes.
    pub parts: Vec<Vec<Vec<RegionEdge>>>,
    /// What stops it at its edges, by the number that an edge carries.
    pub stops: Vec<String>,
    /// The picture from above, from its left to its right; both ends alike where there is none.
    pub picture_m: [[f64; 2]; 2],
    /// The place to use: the middle and outline of the case there.
    pub place: Option<Case>,
    /// Where things are planned.
    pub planned: Vec<Case>,
    /// Further things in their places, without a beam.
    pub cases: Vec<Case>,
    /// Heads from above, with their names.
    pub heads_m: Vec<([f64; 2], String)>,
    /// The room cut along the beam.
    pub section: Option<Section>,
}

/// A stretch of a region's edge.
#[derive(Clone, Debug, PartialEq)]
pub struct RegionEdge {
    /// Where it starts, m.
    pub from_m: [f64; 2],
    /// Where it ends, m.
    pub to_m: [f64; 2],
    /// What stops a step over it, by its place in the list of stops.
    pub stop: Option<usize>,
}

/// A projector's case from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// Its corners, m.
    pub outline_m: Vec<[f64; 2]>,
    /// The front of its lens, m.
    pub lens_m: [f64; 2],
    /// What is written on it.
    pub label: String,
}

/// The room cut square to the picture through the place: distances from the picture and heights.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section {
    /// How long it is, m.
    pub length_m: f64,
    /// The ceiling from the picture's wall on.
    pub ceiling_m: Vec<[f64; 2]>,
    /// Heights of the picture's lower and upper edge, m.
    pub picture_m: [f64; 2],
    /// The case from the side: nearest and farthest from the picture, lower and upper side.
    pub case_m: Option<[[f64; 2]; 2]>,
    /// The front of the lens.
    pub lens_m: Option<[f64; 2]>,
    /// Stretches of the case's middle at which it can hang, with its height there.
    pub allowed_m: Vec<Vec<[f64; 2]>>,
    /// Eyes, with how high the crown is, and names.
    pub eyes_m: Vec<([f64; 2], f64, String)>,
}

/// Between plan and section, mm.
const BETWEEN_MM: f64 = 16.0;
/// Between the lines that hatch the region, mm.
const HATCH_MM: f64 = 2.0;
/// Shorter edges carry no label, mm.
const LABELLED_MM: f64 = 1.0;

/// Draws the region from above and the section below it, at the largest scale that fits.
pub fn place_region(region: &PlaceRegion, area: Area) -> Result<Drawing, DrawingError> {
    check_outline(&region.title, &region.corners_m)?;
    let edges = region.parts.iter().flatten().flatten();
    edges
        .flat_map(|edge| edge.from_m.into_iter().chain(edge.to_m))
        .try_for_each(|v| finite("edge of the region", v))?;
    let (width_m, height_m) = extent_m(&region.corners_m);
    let section = region.section.as_ref();
    let tall_m = section.map_or(0.0, Section::height_m);
    let wide_m = section.map_or(0.0, |section| section.length_m);
    let size_m = (width_m.max(wide_m), height_m + tall_m);
    crate::fit(&region.title, area, size_m, |scale| sketch(region, scale))
}

impl Section {
    fn height_m(&self) -> f64 {
        let heights = self.ceiling_m.iter().map(|[_, height]| *height);
        heights.fold(self.picture_m[1], f64::max)
    }
}

fn sketch(region: &PlaceRegion, scale: Scale) -> Sketch {
    let view = View(scale);
    let mut canvas = Canvas::default();
    let mut labels = Vec::new();
    let corners = view.all(&region.corners_m);
    canvas.add(thing(
        "",
        "Walls",
        vec![Shape::outline(corners.clone(), Pen::Cut)],
    ));
    for [a, b] in &region.ridges_m {
        let line = Shape::line(view.at(*a), view.at(*b), Pen::Axis);
        canvas.add(thing("", "Ridge or edge of the ceiling", vec![line]));
    }
    walls(&mut canvas, &mut labels, region, &corners);
    for part in &region.parts {
        draw_part(&mut canvas, part, view);
    }
    label_edges(&mut labels, region, view);
    let picture = region.picture_m.map(|end| view.at(end));
    let has_picture = region.picture_m[0] != region.picture_m[1];
    if has_picture {
        let shape = Shape::line(picture[0], picture[1], Pen::Mark);
        canvas.add(thing("", "Picture", vec![shape]));
    }
    for case in &region.planned {
        let shape = Shape::outline(view.all(&case.outline_m), Pen::Planned);
        canvas.add(thing("", &case.label, vec![shape]));
        labels.push(label(&view.all(&case.outline_m), &case.label));
    }
    if let Some(case) = &region.place {
        if has_picture {
            let lens = view.at(case.lens_m);
            let beam = picture.map(|end| Shape::line(lens, end, Pen::Coverage));
            canvas.add(thing("", "Edge of the beam", beam.to_vec()));
        }
        let outline = view.all(&case.outline_m);
        let shape = Shape::Path {
            points: outline.clone(),
            closed: true,
            pen: Pen::Seen,
            fill: Fill::Paper,
        };
        canvas.add(thing("", &case.label, vec![shape]));
        labels.push(label(&outline, &case.label));
    }
    for case in &region.cases {
        let outline = view.all(&case.outline_m);
        let shape = Shape::Path {
            points: outline.clone(),
            closed: true,
            pen: Pen::Seen,
            fill: Fill::Paper,
        };
        canvas.add(thing("", &case.label, vec![shape]));
        labels.push(label(&outline, &case.label));
    }
    for (head, name) in &region.heads_m {
        let centre = view.at(*head);
        canvas.add(thing("", name, cross(centre)));
        labels.push(label(&[centre], name));
    }
    if let Some(section) = &region.section {
        let below = Bounds::of(corners.iter().copied()).map_or(0.0, |bounds| bounds.max.y);
        let left = Bounds::of(corners.iter().copied()).map_or(0.0, |bounds| bounds.min.x);
        let floor = below + BETWEEN_MM + scale.paper_mm(section.height_m());
        draw_section(&mut canvas, &mut labels, section, |[along, height]| {
            point(left + scale.paper_mm(along), floor - scale.paper_mm(height))
        });
    }
    Sketch {
        canvas,
        labels,
        north_rad: None,
    }
}

/// A head from above: the cross of a middle, which no verdict's shape is.
fn cross(centre: Point) -> Vec<Shape> {
    [point(1.4, 0.0), point(0.0, 1.4)]
        .map(|arm| Shape::line(centre - arm, centre + arm, Pen::Seen))
        .into()
}

fn label(points: &[Point], words: &str) -> Label {
    let nowhere = point(0.0, 0.0);
    Label {
        to: Bounds::of(points.iter().copied()).unwrap_or(Bounds::new(nowhere, nowhere)),
        words: words.to_owned(),
        verdict: None,
    }
}

fn walls(canvas: &mut Canvas, labels: &mut Vec<Label>, region: &PlaceRegion, corners: &[Point]) {
    let clockwise = doubled_area(corners) > 0.0;
    for (at, name) in region.wall_names.iter().enumerate() {
        let (start, end) = (corners[at], corners[(at + 1) % corners.len()]);
        let (left, right) = if clockwise {
            (start, end)
        } else {
            (end, start)
        };
        let along = (right - left).unit();
        let wall = WallOnPaper {
            left,
            along,
            out: point(along.y, -along.x),
            length: (right - left).length(),
            thickness: 0.0,
        };
        labels.extend(draw_wall_name(canvas, name, &wall));
    }
}

/// A part of the region: hatched inside a heavy line.
fn draw_part(canvas: &mut Canvas, rings: &[Vec<RegionEdge>], view: View) {
    let outlines: Vec<Vec<Point>> = (rings.iter())
        .map(|ring| ring.iter().map(|edge| view.at(edge.from_m)).collect())
        .collect();
    // One outline through all rings, there and back on the same line.
    let mut whole: Vec<Point> = Vec::new();
    for outline in &outlines {
        whole.extend(outline);
        whole.extend(outline.first());
    }
    let mut back: Vec<Point> = outlines
        .iter()
        .filter_map(|ring| ring.first().copied())
        .collect();
    back.reverse();
    whole.extend(back.iter().skip(1));
    let lines = lines_inside(&whole, std::f64::consts::FRAC_PI_4, HATCH_MM, 0.0);
    let hatch = lines
        .into_iter()
        .map(|(a, b)| Shape::line(a, b, Pen::Thin))
        .collect();
    canvas.draw(Role::Hatch, hatch);
    let shapes = outlines
        .into_iter()
        .filter(|outline| outline.len() > 2)
        .map(|outline| Shape::outline(outline, Pen::Mark))
        .collect();
    canvas.add(thing("", "Here its middle can be", shapes));
}

/// Each stop at its longest edge.
fn label_edges(labels: &mut Vec<Label>, region: &PlaceRegion, view: View) {
    for (number, words) in region.stops.iter().enumerate() {
        let longest = region
            .parts
            .iter()
            .flatten()
            .flatten()
            .filter(|edge| edge.stop == Some(number))
            .map(|edge| (view.at(edge.from_m), view.at(edge.to_m)))
            .max_by(|(a, b), (c, d)| (*b - *a).length().total_cmp(&(*d - *c).length()));
        if let Some((from, to)) = longest.filter(|(a, b)| (*b - *a).length() > LABELLED_MM) {
            let middle = point((from.x + to.x) / 2.0, (from.y + to.y) / 2.0);
            labels.push(label(&[middle], words));
        }
    }
}

fn draw_section(
    canvas: &mut Canvas,
    labels: &mut Vec<Label>,
    section: &Section,
    at: impl Fn([f64; 2]) -> Point,
) {
    let mut room: Vec<[f64; 2]> = vec![[section.length_m, 0.0], [0.0, 0.0]];
    room.extend(&section.ceiling_m);
    let room: Vec<Point> = room.into_iter().map(&at).collect();
    let shape = Shape::outline(room, Pen::Cut);
    canvas.add(thing("", "The room cut along the beam", vec![shape]));
    let [low, high] = section.picture_m.map(|height| at([0.0, height]));
    canvas.add(thing(
        "",
        "Picture",
        vec![Shape::line(low, high, Pen::Mark)],
    ));
    for stretch in section.allowed_m.iter().filter(|stretch| stretch.len() > 1) {
        let shape = Shape::Path {
            points: stretch.iter().map(|place| at(*place)).collect(),
            closed: false,
            pen: Pen::Mark,
            fill: Fill::None,
        };
        canvas.add(thing("", "Here the case's middle can hang", vec![shape]));
    }
    if let Some(lens) = section.lens_m.map(&at) {
        let beam = [low, high].map(|end| Shape::line(lens, end, Pen::Coverage));
        canvas.add(thing("", "Edge of the beam", beam.to_vec()));
    }
    if let Some([near, far]) = section.case_m {
        let points = vec![
            at(near),
            at([far[0], near[1]]),
            at(far),
            at([near[0], far[1]]),
        ];
        let shape = Shape::Path {
            points,
            closed: true,
            pen: Pen::Seen,
            fill: Fill::Paper,
        };
        canvas.add(thing("", "Case from the side", vec![shape]));
    }
    let middle = point((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
    for (eye, crown_m, name) in &section.eyes_m {
        let [along, _] = *eye;
        let sight = Shape::line(at(*eye), middle, Pen::Axis);
        let body = Shape::line(at([along, 0.0]), at([along, *crown_m]), Pen::Hidden);
        canvas.add(thing("", "Line of sight", vec![sight]));
        let mut shapes = vec![body];
        shapes.extend(cross(at(*eye)));
        canvas.add(thing("", name, shapes));
        labels.push(label(&[at(*eye)], name));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Scales, overlaps, svg};

    fn region() -> PlaceRegion {
        let ring = |corners: [[f64; 2]; 4], stops: [usize; 4]| -> Vec<RegionEdge> {
            (0..4)
                .map(|at| RegionEdge {
                    from_m: corners[at],
                    to_m: corners[(at + 1) % 4],
                    stop: Some(stops[at]),
                })
                .collect()
        };
        PlaceRegion {
            title: "Den, where the projector can hang".to_owned(),
            corners_m: vec![[0.0, 0.0], [6.0, 0.0], [6.0, -4.0], [0.0, -4.0]],
            wall_names: ["North", "East", "South", "West"]
                .map(str::to_owned)
                .to_vec(),
            parts: vec![vec![
                ring(
                    [[3.0, -2.5], [4.5, -2.5], [4.5, -1.5], [3.0, -1.5]],
                    [0, 1, 0, 2],
                ),
                ring(
                    [[3.5, -1.8], [3.9, -1.8], [3.9, -2.2], [3.5, -2.2]],
                    [3, 3, 3, 3],
                ),
            ]],
            stops: ["lens shift", "too far for the zoom", "too near", "in lamp"]
                .map(str::to_owned)
                .to_vec(),
            picture_m: [[0.05, -3.0], [0.05, -1.0]],
            section: Some(Section {
                length_m: 6.0,
                ceiling_m: vec![[0.0, 2.5], [6.0, 2.5]],
                picture_m: [0.9, 2.0],
                case_m: Some([[3.8, 2.2], [4.2, 2.36]]),
                lens_m: Some([3.8, 2.28]),
                allowed_m: vec![vec![[3.0, 2.28], [4.5, 2.28]]],
                eyes_m: vec![([4.0, 1.1], 1.22, "seat left".to_owned())],
            }),
            ..PlaceRegion::default()
        }
    }

    #[test]
    fn every_stop_is_told_and_nothing_covers_a_text() {
        let area = Area {
            width_mm: 180.0,
            height_mm: 240.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = place_region(&region(), area).unwrap();
        assert!(overlaps(&drawing).is_empty());
        let text = svg(&drawing);
        for stop in region().stops {
            // Long ones are broken into lines.
            let told = stop.split(' ').all(|word| text.contains(word));
            assert!(told, "{stop} is not told");
        }
    }

    #[test]
    fn a_head_looks_like_no_verdict_and_what_is_planned_like_nothing_there() {
        let mut region = region();
        region.heads_m = vec![([4.0, -2.0], "seat left".to_owned())];
        region.planned = vec![Case {
            outline_m: vec![[5.0, -3.0], [5.4, -3.0], [5.4, -3.3], [5.0, -3.3]],
            lens_m: [5.0, -3.2],
            label: "Projector, planned".to_owned(),
        }];
        let area = Area {
            width_mm: 180.0,
            height_mm: 240.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = place_region(&region, area).unwrap();
        let shapes = |about: &str| {
            let of = drawing.elements.iter().filter(|one| one.about == about);
            of.flat_map(|one| one.shapes.clone()).collect::<Vec<_>>()
        };
        let heads = shapes("seat left");
        assert!(!heads.is_empty());
        assert!(
            heads
                .iter()
                .all(|shape| matches!(shape, Shape::Path { .. }))
        );
        let planned = shapes("Projector, planned");
        assert!(planned.iter().all(|shape| shape.pen() == Pen::Planned) && !planned.is_empty());
    }

    #[test]
    fn a_hole_is_left_without_hatch() {
        let view = View(Scale(50));
        let mut canvas = Canvas::default();
        draw_part(&mut canvas, &region().parts[0], view);
        let hole = Bounds::new(view.at([3.52, -1.82]), view.at([3.88, -2.18]));
        let crosses = |shape: &Shape| {
            shape.segments().iter().any(|(a, b)| {
                let middle = point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
                hole.min.x < middle.x
                    && middle.x < hole.max.x
                    && hole.min.y < middle.y
                    && middle.y < hole.max.y
            })
        };
        let hatch = canvas.elements.iter().filter(|e| e.role == Role::Hatch);
        let shapes: Vec<&Shape> = hatch.flat_map(|e| &e.shapes).collect();
        assert!(shapes.len() > 10);
        assert!(!shapes.into_iter().any(crosses));
    }
}
