//! Which thing is joined to which, and by what: a diagram with one line for each lead.
//!
//! Things stand in columns from the sources to what is seen and heard. A lead to the next
//! column goes straight through the gap between them; every other one takes a lane of its own
//! below the things, so that no line runs through a box or a name.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::font::{LETTERING_MM, text_width};
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, RouteDash, Shape, Text};
use crate::paper::{Point, point};
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct OneLine {
    /// The drawing's title.
    pub title: String,
    /// The things.
    pub boxes: Vec<LineBox>,
    /// The leads.
    pub leads: Vec<LineLead>,
    /// What each kind of dashes is.
    pub key: Vec<(RouteDash, String)>,
}

/// A thing.
#[derive(Clone, Debug, PartialEq)]
pub struct LineBox {
    /// Its id in the job.
    pub id: String,
    /// What stands in it.
    pub label: String,
    /// Its column, from the sources on.
    pub column: usize,
}

/// A lead between two things, by their places in the list.
#[derive(Clone, Debug, PartialEq)]
pub struct LineLead {
    /// Its id in the job.
    pub id: String,
    /// Where its signal comes from.
    pub from: usize,
    /// Where it goes.
    pub to: usize,
    /// What it carries.
    pub dash: RouteDash,
}

const BOX_MM: f64 = 32.0;
const LEAD_MM: f64 = 4.5;
const APART_MM: f64 = 3.5;
const TRACK_MM: f64 = 2.0;
/// From one column of the key to the next.
const KEY_MM: f64 = 75.0;
const LINE_MM: f64 = LETTERING_MM * 1.25;

struct Placed {
    left: f64,
    top: f64,
    height: f64,
    lines: Vec<String>,
    outs: usize,
    ins: usize,
}

/// Draws it; it has no scale. The error is that of an area too small for it.
pub fn one_line(diagram: &OneLine, area: Area) -> Result<Drawing, DrawingError> {
    let columns = diagram
        .boxes
        .iter()
        .map(|one| one.column + 1)
        .max()
        .unwrap_or(0);
    let leads: Vec<&LineLead> = (diagram.leads.iter())
        .filter(|lead| lead.from < diagram.boxes.len() && lead.to < diagram.boxes.len())
        .collect();
    let column = |index: usize| diagram.boxes[index].column;
    let is_direct = |lead: &LineLead| column(lead.to) == column(lead.from) + 1;
    // Gap 0 lies before the first column, gap c + 1 behind column c.
    let mut tracks = vec![0usize; columns + 1];
    let mut names = vec![0.0f64; columns + 1];
    for lead in &leads {
        let gap = column(lead.from) + 1;
        names[gap] = names[gap].max(text_width(&lead.id, LETTERING_MM, false) + 3.0);
        tracks[gap] += 1;
        if !is_direct(lead) {
            tracks[column(lead.to)] += 1;
        }
    }
    let gap_mm = |gap: usize| match tracks[gap] {
        0 if gap == 0 || gap == columns => 0.0,
        count => names[gap] + (count as f64 + 2.0) * TRACK_MM,
    };
    let mut placed: Vec<Placed> = Vec::new();
    let mut tops = vec![0.0; columns];
    for (index, one) in diagram.boxes.iter().enumerate() {
        let lines = wrapped(&one.label, BOX_MM - 4.0);
        let outs = leads.iter().filter(|lead| lead.from == index).count();
        let ins = leads.iter().filter(|lead| lead.to == index).count();
        let height = (lines.len() as f64 * LINE_MM + 4.0).max(outs.max(ins) as f64 * LEAD_MM + 2.0);
        let left = (0..=one.column).map(gap_mm).sum::<f64>() + one.column as f64 * BOX_MM;
        placed.push(Placed {
            left,
            top: tops[one.column],
            height,
            lines,
            outs: 0,
            ins: 0,
        });
        tops[one.column] += height + APART_MM;
    }
    let bottom = tops.iter().fold(0.0f64, |most, top| most.max(*top));
    let width_mm = (0..=columns).map(gap_mm).sum::<f64>() + columns as f64 * BOX_MM;
    let lanes = leads.iter().filter(|lead| !is_direct(lead)).count();
    let key_mm = diagram.key.len().div_ceil(2) as f64 * LEAD_MM;
    let height_mm = bottom + lanes as f64 * TRACK_MM + key_mm + 16.0;
    if width_mm + 1.0 > area.width_mm || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: diagram.title.clone(),
            scale: Scale(0),
            width_mm,
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let gap_left = |gap: usize| (0..gap).map(gap_mm).sum::<f64>() + gap as f64 * BOX_MM;
    let mut canvas = Canvas::default();
    for (one, place) in diagram.boxes.iter().zip(&placed) {
        draw_box(&mut canvas, one, place);
    }
    let mut used = vec![0usize; columns + 1];
    let mut track = |gap: usize| {
        used[gap] += 1;
        gap_left(gap) + names[gap] + used[gap] as f64 * TRACK_MM
    };
    let mut lane = bottom;
    for lead in &leads {
        let (from, to) = (lead.from, lead.to);
        let out = point(
            placed[from].left + BOX_MM,
            placed[from].top + 3.5 + placed[from].outs as f64 * LEAD_MM,
        );
        placed[from].outs += 1;
        let input = point(
            placed[to].left,
            placed[to].top + 3.5 + placed[to].ins as f64 * LEAD_MM,
        );
        placed[to].ins += 1;
        let leaves = track(column(from) + 1);
        let mut points = vec![out, point(leaves, out.y)];
        if is_direct(lead) {
            points.push(point(leaves, input.y));
        } else {
            let enters = track(column(to));
            points.extend([
                point(leaves, lane),
                point(enters, lane),
                point(enters, input.y),
            ]);
            lane += TRACK_MM;
        }
        points.push(input);
        draw_lead(&mut canvas, lead, points, &diagram.boxes);
    }
    for (index, (dash, words)) in diagram.key.iter().enumerate() {
        let left = (index % 2) as f64 * KEY_MM;
        let y = lane + (index / 2 + 1) as f64 * LEAD_MM;
        let line = Shape::line(
            point(left, y - 1.0),
            point(left + 16.0, y - 1.0),
            Pen::Route(*dash),
        );
        canvas.draw(Role::Sign, vec![line]);
        canvas.write(Text::new(point(left + 18.0, y), Anchor::Start, words));
    }
    Ok(canvas.finish_without_scale(&diagram.title))
}

fn draw_box(canvas: &mut Canvas, one: &LineBox, place: &Placed) {
    let (left, top) = (place.left, place.top);
    let (right, bottom) = (left + BOX_MM, top + place.height);
    let corners = vec![
        point(left, top),
        point(right, top),
        point(right, bottom),
        point(left, bottom),
    ];
    canvas.add(Element {
        id: one.id.clone(),
        about: one.label.clone(),
        role: Role::Thing,
        shapes: vec![Shape::outline(corners, Pen::Seen)],
    });
    let lines = place.lines.len() as f64;
    let first = top + place.height / 2.0 - (lines - 1.0) / 2.0 * LINE_MM + LETTERING_MM * 0.34;
    for (index, line) in place.lines.iter().enumerate() {
        let at = point(left + BOX_MM / 2.0, first + index as f64 * LINE_MM);
        canvas.write(Text::new(at, Anchor::Middle, line));
    }
}

fn draw_lead(canvas: &mut Canvas, lead: &LineLead, points: Vec<Point>, boxes: &[LineBox]) {
    let [out, input] = [points[0], points[points.len() - 1]];
    canvas.write(Text::new(
        point(out.x + 1.0, out.y - 0.9),
        Anchor::Start,
        &lead.id,
    ));
    let head = Shape::Path {
        points: vec![
            input,
            point(input.x - 1.8, input.y - 0.9),
            point(input.x - 1.8, input.y + 0.9),
        ],
        closed: true,
        pen: Pen::Thin,
        fill: Fill::Ink,
    };
    let line = Shape::Path {
        points,
        closed: false,
        pen: Pen::Route(lead.dash),
        fill: Fill::None,
    };
    canvas.add(Element {
        id: lead.id.clone(),
        about: format!(
            "{} from {} to {}",
            lead.id, boxes[lead.from].label, boxes[lead.to].label
        ),
        role: Role::Thing,
        shapes: vec![line, head],
    });
}

/// Words in lines of at most this width; a longer word stands alone, cut to it.
pub(crate) fn wrapped(text: &str, width_mm: f64) -> Vec<String> {
    let fits = |line: &str| text_width(line, LETTERING_MM, false) <= width_mm;
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let mut word = word.to_owned();
        while !fits(&word) && word.chars().count() > 1 {
            word.pop();
        }
        match lines.last_mut() {
            Some(line) if fits(&format!("{line} {word}")) => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::overlaps;
    use crate::scale::Scales;

    const AREA: Area = Area {
        width_mm: 260.0,
        height_mm: 170.0,
        scales: Scales::Metric,
        smallest: None,
    };

    fn house() -> OneLine {
        let boxed = |id: &str, column| LineBox {
            id: id.to_owned(),
            label: format!("{id} in the cupboard by the stairs"),
            column,
        };
        let lead = |id: &str, from, to| LineLead {
            id: id.to_owned(),
            from,
            to,
            dash: RouteDash::Long,
        };
        OneLine {
            title: "Signals".to_owned(),
            boxes: vec![
                boxed("player", 0),
                boxed("radio", 0),
                boxed("receiver", 1),
                boxed("screen", 2),
                boxed("amplifier", 2),
            ],
            leads: vec![
                lead("W01", 0, 2),
                lead("W02", 1, 2),
                lead("W03", 2, 3),
                lead("W04", 2, 4),
                // Past a column, back, and within one.
                lead("W05", 0, 3),
                lead("W06", 3, 2),
                lead("W07", 0, 1),
            ],
            key: vec![(RouteDash::Long, "video".to_owned())],
        }
    }

    #[test]
    fn nothing_lies_on_a_name() {
        let drawing = one_line(&house(), AREA).unwrap();
        assert_eq!(overlaps(&drawing), []);
        assert!(drawing.width_mm <= AREA.width_mm && drawing.height_mm <= AREA.height_mm);
        let leads = drawing
            .elements
            .iter()
            .filter(|one| one.id.starts_with('W'));
        assert_eq!(leads.count(), 7);
    }

    #[test]
    fn no_line_runs_through_a_box() {
        let drawing = one_line(&house(), AREA).unwrap();
        let boxes: Vec<_> = (drawing.elements.iter())
            .filter(|one| !one.id.is_empty() && !one.id.starts_with('W'))
            .filter_map(|one| one.shapes[0].bounds())
            .collect();
        for lead in drawing
            .elements
            .iter()
            .filter(|one| one.id.starts_with('W'))
        {
            for (a, b) in lead.shapes[0].segments() {
                let middle = point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
                for one in &boxes {
                    let inside = middle.x > one.min.x + 0.01
                        && middle.x < one.max.x - 0.01
                        && middle.y > one.min.y + 0.01
                        && middle.y < one.max.y - 0.01;
                    assert!(!inside, "{}", lead.id);
                }
            }
        }
    }

    #[test]
    fn a_small_area_is_refused() {
        let small = Area {
            width_mm: 80.0,
            ..AREA
        };
        assert!(matches!(
            one_line(&house(), small),
            Err(DrawingError::TooLarge { .. })
        ));
    }
}
