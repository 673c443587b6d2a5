//! How is a chain of dimensions set so that every figure can be read?
//!
//! Extension lines start 2 mm off and pass the line by 2 mm, slanted strokes end each piece, the figure stands above the
//! line and reads from below or from the right. Figures wider than their piece go to the outside with leaders: side by
//! side when they find room near their pieces, otherwise across the chain, spread just far enough to be parted.

use crate::canvas::Canvas;
use crate::font::{LETTERING_MM, text_width};
use crate::model::{Anchor, CAPITALS, Pen, Role, Shape, Text};
use crate::paper::{Point, Quad, point};

/// What stands at a dimension, formatted by the caller.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// The length as it is printed.
    pub text: String,
    /// Measured worse than by tape: set in brackets.
    pub rough: bool,
    /// Decides a `tight`: followed by a star. A line under a length says that it is not to scale.
    pub decides: bool,
}

impl From<&str> for Figure {
    fn from(text: &str) -> Figure {
        Figure {
            text: text.to_string(),
            rough: false,
            decides: false,
        }
    }
}

impl From<String> for Figure {
    fn from(text: String) -> Figure {
        Figure {
            text,
            rough: false,
            decides: false,
        }
    }
}

impl Figure {
    pub(crate) fn shown(&self) -> String {
        let star = if self.decides { "*" } else { "" };
        if self.rough {
            format!("({}){star}", self.text)
        } else {
            format!("{}{star}", self.text)
        }
    }
}

/// Which signs stand at the lengths of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct FigureSigns {
    /// Brackets.
    pub rough: bool,
    /// A star.
    pub decides: bool,
}

impl FigureSigns {
    pub(crate) fn of<'a>(chains: impl IntoIterator<Item = &'a Chain>) -> Self {
        let figures = chains.into_iter().flat_map(|chain| &chain.figures);
        figures.fold(Self::default(), Self::with)
    }

    pub(crate) fn with(self, figure: &Figure) -> Self {
        Self {
            rough: self.rough || figure.rough,
            decides: self.decides || figure.decides,
        }
    }

    /// Each sign that is there, with what it means.
    pub fn explained(self) -> Vec<(&'static str, &'static str)> {
        let rough = (
            "( )",
            "known less well than a tape measures: measure again before cutting",
        );
        let decides = ("*", "a tight finding rests on this length");
        [(self.rough, rough), (self.decides, decides)]
            .into_iter()
            .filter_map(|(there, told)| there.then_some(told))
            .collect()
    }
}

/// Lengths in a row along one line.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Chain {
    /// Where the pieces begin and end, metres from the line's start, rising; one more than figures.
    pub stops_m: Vec<f64>,
    /// What stands at each piece.
    pub figures: Vec<Figure>,
}

/// The line that a chain is measured along, on paper.
#[derive(Clone, Copy)]
pub(crate) struct Base {
    pub origin: Point,
    pub along: Point,
    /// Away from the object.
    pub out: Point,
}

/// A chain ready to be drawn.
pub(crate) struct Laid {
    pub lines: Vec<Shape>,
    pub leaders: Vec<Shape>,
    pub texts: Vec<Text>,
    /// How far from the base it reaches, mm.
    pub depth_mm: f64,
}

const OFF_MM: f64 = 2.0;
const PASS_MM: f64 = 2.0;
/// From the dimension line to the figure's base line.
const LIFT_MM: f64 = 1.0;
const FIGURE_MM: f64 = LETTERING_MM * 0.98 + LIFT_MM;
/// Least distance from a chain's farthest part to the next chain's line.
pub(crate) const NEXT_MM: f64 = FIGURE_MM + 1.2;

/// The turn in degrees with which text along `along` reads from below or from the right.
pub(crate) fn reading_turn_deg(along: Point) -> f64 {
    let mut turn = along.y.atan2(along.x).to_degrees();
    if turn >= 90.0 - 1e-6 {
        turn -= 180.0;
    }
    if turn < -90.0 - 1e-6 {
        turn += 180.0;
    }
    turn
}

pub(crate) fn up_of(turn_deg: f64) -> Point {
    point(0.0, -1.0).turned(turn_deg.to_radians())
}

/// Lays a chain `offset_mm` from its base; extension lines start `from_mm` from the base.
pub(crate) fn lay_chain(
    base: Base,
    stops_mm: &[f64],
    figures: &[Figure],
    from_mm: f64,
    offset_mm: f64,
) -> Laid {
    let at = |u: f64, v: f64| base.origin + base.along * u + base.out * v;
    let turn_deg = reading_turn_deg(base.along);
    let up = up_of(turn_deg);
    let mut laid = Laid {
        lines: Vec::new(),
        leaders: Vec::new(),
        texts: Vec::new(),
        depth_mm: offset_mm + PASS_MM,
    };
    let (Some(first), Some(last)) = (stops_mm.first(), stops_mm.last()) else {
        return laid;
    };
    laid.lines.push(Shape::line(
        at(*first, offset_mm),
        at(*last, offset_mm),
        Pen::Thin,
    ));
    let slant = point(1.0, 0.0).turned((turn_deg - 45.0).to_radians()) * 1.4;
    for u in stops_mm {
        laid.lines.push(Shape::line(
            at(*u, from_mm + OFF_MM),
            at(*u, offset_mm + PASS_MM),
            Pen::Thin,
        ));
        let middle = at(*u, offset_mm);
        laid.lines
            .push(Shape::line(middle - slant, middle + slant, Pen::Seen));
    }
    let outward = up.dot(base.out) > 0.0;
    let mut narrow = Vec::new();
    for (shown, [from, to]) in pieces(stops_mm, figures) {
        let (width, gap, middle) = (
            text_width(&shown, LETTERING_MM, false),
            to - from,
            (from + to) / 2.0,
        );
        if width + 1.2 > gap {
            narrow.push((shown, width, middle));
            continue;
        }
        let text = Text::new(at(middle, offset_mm) + up * LIFT_MM, Anchor::Middle, shown);
        laid.texts.push(Text { turn_deg, ..text });
        if outward {
            laid.depth_mm = laid.depth_mm.max(offset_mm + FIGURE_MM);
        }
    }
    if narrow.is_empty() {
        return laid;
    }
    // Leaders run straight past the row of figures, slant to their own figure, and end before it.
    let straight = offset_mm + if outward { FIGURE_MM + 0.6 } else { 1.2 };
    let middles: Vec<f64> = narrow.iter().map(|n| n.2).collect();
    let widths: Vec<f64> = narrow.iter().map(|n| n.1 + 2.0).collect();
    let side_by_side = spread(&middles, &widths);
    let strayed = side_by_side
        .iter()
        .zip(&middles)
        .map(|(p, m)| (p - m).abs())
        .fold(0.0, f64::max);
    let across = strayed > 9.0;
    let places = if across {
        spread(&middles, &vec![LETTERING_MM + 0.7; narrow.len()])
    } else {
        side_by_side
    };
    let strayed = places
        .iter()
        .zip(&middles)
        .map(|(p, m)| (p - m).abs())
        .fold(0.0, f64::max);
    // Steep enough that neighbouring leaders stay parted.
    let foot = straight + (strayed * 0.5).clamp(1.5, 12.0);
    for ((shown, width, middle), place) in narrow.into_iter().zip(places) {
        laid.leaders.push(Shape::Path {
            points: vec![at(middle, offset_mm), at(middle, straight), at(place, foot)],
            closed: false,
            pen: Pen::Thin,
            fill: crate::model::Fill::None,
        });
        let (text, depth) = if across {
            across_text(base, at(place, foot + 0.5), shown)
        } else {
            along_text(base, at(place, foot + 0.5), shown)
        };
        laid.texts.push(text);
        laid.depth_mm = laid
            .depth_mm
            .max(foot + 0.5 + if across { width } else { depth });
    }
    laid
}

/// The pieces with what stands at them. Three or more equal narrow pieces in a row share one figure, "12 × 406 mm".
fn pieces(stops_mm: &[f64], figures: &[Figure]) -> Vec<(String, [f64; 2])> {
    let mut found = Vec::new();
    let mut first = 0;
    for same in figures.chunk_by(|a, b| a == b) {
        let shown = same[0].shown();
        let ends = &stops_mm[first..=first + same.len()];
        first += same.len();
        let wide = text_width(&shown, LETTERING_MM, false) + 1.2;
        if same.len() >= 3 && ends.windows(2).any(|w| w[1] - w[0] < wide) {
            found.push((
                format!("{} × {shown}", same.len()),
                [ends[0], ends[same.len()]],
            ));
        } else {
            found.extend(ends.windows(2).map(|w| (shown.clone(), [w[0], w[1]])));
        }
    }
    found
}

/// A figure along the chain whose near side is at `foot`.
fn along_text(base: Base, foot: Point, shown: String) -> (Text, f64) {
    let turn_deg = reading_turn_deg(base.along);
    let up = up_of(turn_deg);
    let rise = if up.dot(base.out) > 0.0 { 0.22 } else { -0.76 } * LETTERING_MM;
    (
        Text {
            turn_deg,
            ..Text::new(foot + up * rise, Anchor::Middle, shown)
        },
        LETTERING_MM,
    )
}

/// A figure across the chain whose near end is at `foot`.
fn across_text(base: Base, foot: Point, shown: String) -> (Text, f64) {
    let turn_deg = reading_turn_deg(base.out);
    let reading = point(1.0, 0.0).turned(turn_deg.to_radians());
    let anchor = if reading.dot(base.out) > 0.0 {
        Anchor::Start
    } else {
        Anchor::End
    };
    let text = Text::new(
        foot - up_of(turn_deg) * (CAPITALS / 2.0 * LETTERING_MM),
        anchor,
        shown,
    );
    (Text { turn_deg, ..text }, LETTERING_MM)
}

/// Places in the given order, as near to `wanted` as can be (least squares) with neighbours not overlapping.
///
/// Pool-adjacent-violators on the places less the room that earlier ones take.
pub(crate) fn spread(wanted: &[f64], widths: &[f64]) -> Vec<f64> {
    let mut taken = Vec::with_capacity(wanted.len());
    let mut sum = 0.0;
    for (i, width) in widths.iter().enumerate() {
        sum += if i == 0 {
            0.0
        } else {
            (widths[i - 1] + width) / 2.0
        };
        taken.push(sum);
    }
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (want, taken) in wanted.iter().zip(&taken) {
        pools.push((want - taken, 1));
        while let [.., (a, n), (b, m)] = pools.as_slice()
            && a > b
        {
            let joined = ((a * *n as f64 + b * *m as f64) / (n + m) as f64, n + m);
            pools.truncate(pools.len() - 2);
            pools.push(joined);
        }
    }
    let level = pools
        .into_iter()
        .flat_map(|(value, count)| std::iter::repeat_n(value, count));
    level
        .zip(taken)
        .map(|(value, taken)| value + taken)
        .collect()
}

impl Laid {
    /// Whether it would run into a text or a leader.
    pub fn clashes(&self, canvas: &Canvas) -> bool {
        let quads: Vec<Quad> = self.texts.iter().map(Text::quad).collect();
        let lines: Vec<(Point, Point)> = self
            .lines
            .iter()
            .chain(&self.leaders)
            .flat_map(Shape::segments)
            .collect();
        quads.iter().any(|q| canvas.is_taken(q))
            || lines.iter().any(|(a, b)| canvas.strikes(*a, *b))
    }

    /// The weight of the lines that its texts would lie on.
    pub fn weight(&self, canvas: &Canvas) -> f64 {
        let quads: Vec<Quad> = self.texts.iter().map(Text::quad).collect();
        let struck = |q: &Quad| canvas.weights_under(q).sum::<f64>();
        quads.iter().map(struck).sum()
    }

    pub fn put(self, canvas: &mut Canvas) {
        canvas.draw(Role::Dimension, self.lines);
        canvas.draw(Role::Leader, self.leaders);
        for text in self.texts {
            canvas.write(text);
        }
    }
}

/// Lays chains one outside the other, nearest first.
pub(crate) fn put_chains(
    canvas: &mut Canvas,
    base: Base,
    chains: &[(Vec<f64>, Vec<Figure>)],
    first_offset_mm: f64,
) {
    let (mut from, mut offset) = (0.0, first_offset_mm);
    for (stops, figures) in chains {
        let laid = lay_from_object(canvas, base, stops, figures, from, offset);
        let depth = laid.depth_mm;
        laid.put(canvas);
        from = depth - OFF_MM;
        offset = depth + NEXT_MM;
    }
}

/// A chain whose extension lines start at the object where nothing is in their way, otherwise `from_mm` off it.
pub(crate) fn lay_from_object(
    canvas: &Canvas,
    base: Base,
    stops_mm: &[f64],
    figures: &[Figure],
    from_mm: f64,
    offset_mm: f64,
) -> Laid {
    let whole = lay_chain(base, stops_mm, figures, 0.0, offset_mm);
    if whole.clashes(canvas) {
        lay_chain(base, stops_mm, figures, from_mm, offset_mm)
    } else {
        whole
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_that_find_room_stay_where_they_are() {
        assert_eq!(spread(&[0.0, 20.0], &[10.0, 10.0]), [0.0, 20.0]);
    }

    #[test]
    fn crowded_figures_part_evenly_about_their_middle() {
        assert_eq!(spread(&[0.0, 0.0, 0.0], &[4.0, 4.0, 4.0]), [-4.0, 0.0, 4.0]);
    }

    #[test]
    fn text_reads_from_below_or_from_the_right() {
        let turn = |x, y| reading_turn_deg(point(x, y)).round();
        assert_eq!(
            [
                turn(1.0, 0.0),
                turn(-1.0, 0.0),
                turn(0.0, -1.0),
                turn(0.0, 1.0)
            ],
            [0.0, 0.0, -90.0, -90.0]
        );
    }
}
