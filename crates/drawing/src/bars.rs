//! How much of what there is is used: a bar for each, with its limit as an upright line.

use crate::canvas::Canvas;
use crate::error::DrawingError;
use crate::font::{LETTERING_MM, text_width};
use crate::model::{Anchor, Drawing, Element, Fill, Pen, Role, Shape, Text};
use crate::paper::point;
use crate::scale::{Area, Scale};

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Bars {
    /// The drawing's title.
    pub title: String,
    /// The bars from above.
    pub bars: Vec<Bar>,
}

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Its id in the job.
    pub id: String,
    /// What stands before it.
    pub label: String,
    /// What stands behind it.
    pub text: String,
    /// How much is used, of the limit.
    pub share: f64,
}

const ROW_MM: f64 = 10.0;
const BAR_MM: f64 = 5.0;
/// The limit's line stands here, mm from where bars begin.
const LIMIT_MM: f64 = 80.0;
/// Longer bars are cut off here, as a share of the limit.
const SHARE_MAX: f64 = 1.4;

/// Draws them; there is no scale. The error is that of an area too small.
pub fn bars(chart: &Bars, area: Area) -> Result<Drawing, DrawingError> {
    let widest = |of: fn(&Bar) -> &str| {
        let widths = chart
            .bars
            .iter()
            .map(|bar| text_width(of(bar), LETTERING_MM, false));
        widths.fold(0.0, f64::max)
    };
    let before = widest(|bar| &bar.label) + 3.0;
    let behind = widest(|bar| &bar.text) + 3.0;
    let (width_mm, height_mm) = (
        before + LIMIT_MM * SHARE_MAX + behind,
        chart.bars.len() as f64 * ROW_MM + 20.0,
    );
    if width_mm > area.width_mm || height_mm > area.height_mm {
        return Err(DrawingError::TooLarge {
            title: chart.title.clone(),
            scale: Scale(0),
            width_mm,
            height_mm,
            area_width_mm: area.width_mm,
            area_height_mm: area.height_mm,
        });
    }
    let mut canvas = Canvas::default();
    for (index, bar) in chart.bars.iter().enumerate() {
        let top = index as f64 * ROW_MM;
        let base = top + BAR_MM / 2.0 + LETTERING_MM * 0.34;
        let length = LIMIT_MM * bar.share.clamp(0.0, SHARE_MAX);
        let corners = vec![
            point(before, top),
            point(before + length, top),
            point(before + length, top + BAR_MM),
            point(before, top + BAR_MM),
        ];
        canvas.write(Text::new(
            point(before - 2.0, base),
            Anchor::End,
            &bar.label,
        ));
        let text = point(before + LIMIT_MM * SHARE_MAX + 2.0, base);
        canvas.write(Text::new(text, Anchor::Start, &bar.text));
        let outline = Shape::Path {
            points: corners,
            closed: true,
            pen: Pen::Seen,
            fill: Fill::None,
        };
        canvas.add(Element {
            id: bar.id.clone(),
            about: format!("{}: {}", bar.label, bar.text),
            role: Role::Thing,
            shapes: vec![outline],
        });
    }
    let bottom = chart.bars.len() as f64 * ROW_MM;
    let limit = Shape::line(
        point(before + LIMIT_MM, -2.0),
        point(before + LIMIT_MM, bottom),
        Pen::Cut,
    );
    canvas.draw(Role::Dimension, vec![limit]);
    canvas.write(Text::new(
        point(before + LIMIT_MM, bottom + 4.0),
        Anchor::Middle,
        "limit",
    ));
    Ok(canvas.finish_without_scale(&chart.title))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::overlaps;
    use crate::scale::Scales;

    #[test]
    fn a_bar_is_as_long_as_its_share() {
        let chart = Bars {
            title: "Circuits".to_owned(),
            bars: [0.5, 1.0, 9.0]
                .map(|share| Bar {
                    id: format!("C{share}"),
                    label: format!("Circuit {share}"),
                    text: "720 W of 1440 W".to_owned(),
                    share,
                })
                .to_vec(),
        };
        let area = Area {
            width_mm: 180.0,
            height_mm: 240.0,
            scales: Scales::Metric,
            smallest: None,
        };
        let drawing = bars(&chart, area).unwrap();
        assert_eq!(overlaps(&drawing), []);
        let lengths: Vec<f64> = (drawing.elements.iter())
            .filter(|one| one.id.starts_with('C'))
            .map(|one| one.shapes[0].bounds().unwrap().width())
            .collect();
        assert_eq!(lengths.len(), 3);
        for (length, share) in lengths.iter().zip([0.5, 1.0, SHARE_MAX]) {
            assert!((length - LIMIT_MM * share).abs() < 1e-9);
        }
    }
}
