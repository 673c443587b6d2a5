//! Which outside values must the picture engine reproduce?

use units::{Metres, Radians, Reference};

use crate::beam::Pyramid;
use crate::keystone::{Keystone, Tilted};
use crate::legibility::{
    ACUITY, PixelView, analysis_height, arcminutes, decision_height, design_distance,
};
use crate::shift::{
    CentreOffset, Convention, JointLimit, Shift, ShiftLimit, ShiftTravel, needed_shift,
    printed_from_shift,
};
use crate::sightline::RowPair;
use crate::size::{Aspect, Frame, PictureSize, Sides};
use crate::throw::{Throw, ThrowRange};
use crate::view::distance_for_angle;
use crate::{Picture, Point, Pose, Span};

/// Every outside value that this crate is checked against.
pub fn references() -> Vec<Reference> {
    [
        size_references(),
        throw_references(),
        shift_references(),
        keystone_references(),
        view_references(),
        legibility_references(),
        space_references(),
    ]
    .concat()
}

/// A refused case becomes NaN, which no tolerance admits.
fn or_nan(value: Option<f64>) -> f64 {
    value.unwrap_or(f64::NAN)
}

fn of_inches(diagonal: f64, aspect: Aspect) -> Option<PictureSize> {
    PictureSize::from_diagonal(Metres::from_inches(diagonal), aspect)
}

fn size_references() -> Vec<Reference> {
    fn width_in(diagonal: f64, aspect: Aspect) -> f64 {
        or_nan(of_inches(diagonal, aspect).map(|size| size.width().inches()))
    }
    fn height_in(diagonal: f64, aspect: Aspect) -> f64 {
        or_nan(of_inches(diagonal, aspect).map(|size| size.height().inches()))
    }
    fn framed() -> Option<PictureSize> {
        of_inches(100.0, Aspect::TELEVISION)?.with_frame(Frame::even(Metres(0.080)))
    }
    vec![
        Reference {
            cite: "16:9 picture of 100 in, width w = d a/√(1+a²) (computed)",
            computed: || width_in(100.0, Aspect::TELEVISION),
            expected: 87.1576,
            tolerance: 0.01,
            unit: "in",
        },
        Reference {
            cite: "16:9 picture of 100 in, height h = d/√(1+a²) (computed)",
            computed: || height_in(100.0, Aspect::TELEVISION),
            expected: 49.0261,
            tolerance: 0.01,
            unit: "in",
        },
        Reference {
            cite: "2.39:1 picture of 120 in, width w = d a/√(1+a²) (computed)",
            computed: || width_in(120.0, Aspect::SCOPE),
            expected: 110.701,
            tolerance: 0.01,
            unit: "in",
        },
        Reference {
            cite: "2.39:1 picture of 120 in, height h = d/√(1+a²) (computed)",
            computed: || height_in(120.0, Aspect::SCOPE),
            expected: 46.3182,
            tolerance: 0.01,
            unit: "in",
        },
        Reference {
            cite: "4:3 picture of 80 in, width w = d a/√(1+a²) (computed)",
            computed: || width_in(80.0, Aspect::CLASSIC),
            expected: 64.0,
            tolerance: 0.01,
            unit: "in",
        },
        Reference {
            cite: "4:3 picture of 80 in, height h = d/√(1+a²) (computed)",
            computed: || height_in(80.0, Aspect::CLASSIC),
            expected: 48.0,
            tolerance: 0.01,
            unit: "in",
        },
        Reference {
            cite: "16:9 picture of 100 in, frame of 80 mm, outside width W = w + 2f (computed)",
            computed: || or_nan(framed().map(|size| size.width().0 * 1000.0)),
            expected: 2373.8,
            tolerance: 1.0,
            unit: "mm",
        },
        Reference {
            cite: "16:9 picture of 100 in, frame of 80 mm, outside height H = h + 2f (computed)",
            computed: || or_nan(framed().map(|size| size.height().0 * 1000.0)),
            expected: 1405.26,
            tolerance: 1.0,
            unit: "mm",
        },
    ]
}

fn throw_references() -> Vec<Reference> {
    fn widths() -> Option<Span> {
        ThrowRange::new(1.20..=1.60)?.widths(Metres(3.5))
    }
    fn diagonal_in(width: Metres) -> Option<f64> {
        let size = PictureSize::from_width(width, Aspect::TELEVISION)?;
        Some(size.diagonal().inches())
    }
    vec![
        Reference {
            cite: "throw 3.000 m on a picture 2.2138 m wide, TR = D/w (computed)",
            computed: || {
                let throw = Throw {
                    distance: Metres(3.0),
                    width: Metres(2.2138),
                };
                or_nan(throw.ratio())
            },
            expected: 1.35513,
            tolerance: 0.002,
            unit: "1",
        },
        Reference {
            cite: "throw 3.500 m, ratios 1.20 to 1.60, largest 16:9 diagonal, w = D/TR (computed)",
            computed: || or_nan(widths().and_then(|span| diagonal_in(span.max))),
            expected: 131.749,
            tolerance: 0.1,
            unit: "in",
        },
        Reference {
            cite: "throw 3.500 m, ratios 1.20 to 1.60, smallest 16:9 diagonal, w = D/TR (computed)",
            computed: || or_nan(widths().and_then(|span| diagonal_in(span.min))),
            expected: 98.8119,
            tolerance: 0.1,
            unit: "in",
        },
    ]
}

fn shift_references() -> Vec<Reference> {
    fn vertical() -> Option<f64> {
        let picture = PictureSize::from_height(Metres(1.2453), Aspect::TELEVISION)?;
        let offset = CentreOffset {
            up: Metres(-1.2453 / 2.0 - 0.100),
            right: Metres(0.0),
        };
        Some(needed_shift(picture, offset)?.vertical)
    }
    fn printed_percent(convention: Convention) -> f64 {
        let printed = vertical().and_then(|shift| printed_from_shift(shift, convention));
        or_nan(printed.map(|fraction| fraction * 100.0))
    }
    fn used(joint: JointLimit) -> f64 {
        let travel = ShiftTravel::symmetric(Shift {
            vertical: 0.60,
            horizontal: 0.25,
        });
        let shift = Shift {
            vertical: 0.30,
            horizontal: 0.10,
        };
        or_nan(ShiftLimit::new(travel, joint).and_then(|limit| limit.used(shift)))
    }
    vec![
        Reference {
            cite: "lens axis 0.100 m above a picture 1.2453 m high, \
                   s = (y_centre − y_lens)/h (computed)",
            computed: || or_nan(vertical()),
            expected: -0.580304,
            tolerance: 0.0005,
            unit: "1",
        },
        Reference {
            cite: "the same shift in half heights, 2s (computed)",
            computed: || printed_percent(Convention::HalfPicture),
            expected: -116.061,
            tolerance: 0.1,
            unit: "%",
        },
        Reference {
            cite: "the same shift as offset of the far edge, |s| + 0.5 (computed)",
            computed: || printed_percent(Convention::FarEdge),
            expected: 108.03,
            tolerance: 0.1,
            unit: "%",
        },
        Reference {
            cite: "shift 30 % and 10 % of limits 60 % and 25 %, diamond, \
                   sum of the fractions (computed)",
            computed: || used(JointLimit::Diamond),
            expected: 0.9,
            tolerance: 0.0005,
            unit: "1",
        },
        Reference {
            cite: "shift 30 % and 10 % of limits 60 % and 25 %, ellipse, \
                   root of the summed squares (computed)",
            computed: || used(JointLimit::Ellipse),
            expected: 0.640312,
            tolerance: 0.0005,
            unit: "1",
        },
        Reference {
            cite: "shift 30 % and 10 % of limits 60 % and 25 %, rectangle, \
                   the larger fraction (computed)",
            computed: || used(JointLimit::Rectangle),
            expected: 0.5,
            tolerance: 0.0005,
            unit: "1",
        },
    ]
}

fn keystone_references() -> Vec<Reference> {
    fn keystone() -> Option<Keystone> {
        let tilted = Tilted {
            tilt: Radians::from_degrees(10.0),
            throw_ratio: 1.5,
            aspect: Aspect::TELEVISION,
        };
        tilted.keystone()
    }
    vec![
        Reference {
            cite: "16:9 projector of ratio 1.5 tilted by 10°, long over short edge, \
                   (1 + v tan p)/(1 − v tan p) (computed)",
            computed: || or_nan(keystone().map(|k| k.edge_ratio)),
            expected: 1.06838,
            tolerance: 0.001,
            unit: "1",
        },
        Reference {
            cite: "the same, chip left when corrected to the short edge, \
                   rectangle integrated over the chip (computed)",
            computed: || or_nan(keystone().map(|k| k.chip_on_short_edge)),
            expected: 0.92597,
            tolerance: 0.005,
            unit: "1",
        },
        Reference {
            cite: "the same, chip left under the largest rectangle, \
                   rectangle raised to the long edge (computed)",
            computed: || or_nan(keystone().map(|k| k.chip_under_largest)),
            expected: 0.92314,
            tolerance: 0.005,
            unit: "1",
        },
    ]
}

/// An upright 16:9 picture in the plane x = 0 that faces +x.
fn upright(width: Metres, centre_height_m: f64) -> Option<Picture> {
    let pose = Pose {
        centre_m: [0.0, 0.0, centre_height_m],
        facing: Radians(0.0),
        tilt: Radians(0.0),
    };
    Picture::new(PictureSize::from_width(width, Aspect::TELEVISION)?, pose)
}

fn view_references() -> Vec<Reference> {
    fn degrees(angle: Option<Radians>) -> f64 {
        or_nan(angle.map(Radians::degrees))
    }
    vec![
        Reference {
            cite: "picture 2.2138 m wide, eye 3.048 m square on, 2 atan(w/2D) (computed)",
            computed: || {
                let picture = upright(Metres(2.2138), 1.10);
                degrees(picture.and_then(|p| p.horizontal_angle([3.048, 0.0, 1.10])))
            },
            expected: 39.9176,
            tolerance: 0.05,
            unit: "°",
        },
        Reference {
            cite: "picture 2.2138 m wide at 30°, the angle of SMPTE EG 18 (from memory), \
                   D = w/(2 tan 15°) = 1.866 w (computed)",
            computed: || {
                let distance = distance_for_angle(Metres(2.2138), Radians::from_degrees(30.0));
                or_nan(distance.map(|d| d.0))
            },
            expected: 4.13101,
            tolerance: 0.005,
            unit: "m",
        },
        Reference {
            cite: "eye 1.10 m, picture centre 1.90 m, distance 3.05 m, atan(Δz/d) (computed)",
            computed: || {
                let picture = upright(Metres(2.2138), 1.90);
                degrees(picture.and_then(|p| p.vertical_angle_to_centre([3.05, 0.0, 1.10])))
            },
            expected: 14.6973,
            tolerance: 0.05,
            unit: "°",
        },
        Reference {
            cite: "eye 1.10 m, top edge 2.52 m, distance 3.05 m, atan(Δz/d) (computed)",
            computed: || {
                // 1.92 m of width is 1.08 m of height: the edge is at 2.52 m.
                let picture = upright(Metres(1.92), 1.98);
                degrees(picture.and_then(|p| p.vertical_angle_to_top([3.05, 0.0, 1.10])))
            },
            expected: 24.9655,
            tolerance: 0.05,
            unit: "°",
        },
    ]
}

fn legibility_references() -> Vec<Reference> {
    fn heights(rows: u32) -> f64 {
        or_nan(design_distance(Metres(1.0), rows, ACUITY).map(|d| d.0))
    }
    vec![
        Reference {
            cite: "720 rows of 1′, distance over picture height, 1/(N tan 1′) (computed)",
            computed: || heights(720),
            expected: 4.77465,
            tolerance: 0.005,
            unit: "1",
        },
        Reference {
            cite: "1080 rows of 1′, distance over picture height, 1/(N tan 1′) (computed)",
            computed: || heights(1080),
            expected: 3.1831,
            tolerance: 0.005,
            unit: "1",
        },
        Reference {
            cite: "2160 rows of 1′, distance over picture height, 1/(N tan 1′) (computed)",
            computed: || heights(2160),
            expected: 1.59155,
            tolerance: 0.005,
            unit: "1",
        },
        Reference {
            cite: "4320 rows of 1′, distance over picture height, 1/(N tan 1′) (computed)",
            computed: || heights(4320),
            expected: 0.795775,
            tolerance: 0.005,
            unit: "1",
        },
        Reference {
            cite: "3840 columns over 2.2138 m at 2.50 m, one pixel, atan(p/D) (computed)",
            computed: || {
                let view = PixelView {
                    width: Metres(2.2138),
                    columns: 3840,
                    distance: Metres(2.5),
                };
                or_nan(view.angle().map(arcminutes))
            },
            expected: 0.792759,
            tolerance: 0.005,
            unit: "′",
        },
        Reference {
            cite: "basic decisions at 4.8 m, element 3 % of the height, h = D/(200 e), \
                   ANSI/AVIXA V202.01:2016 (from memory)",
            computed: || or_nan(decision_height(Metres(4.8), 0.03).map(|h| h.0)),
            expected: 0.8,
            tolerance: 0.001,
            unit: "m",
        },
        Reference {
            cite: "analysis at 4.8 m, 2160 rows, h = N D/3438, \
                   ANSI/AVIXA V202.01:2016 (from memory)",
            computed: || or_nan(analysis_height(Metres(4.8), 2160).map(|h| h.0)),
            expected: 3.01571,
            tolerance: 0.01,
            unit: "m",
        },
    ]
}

fn space_references() -> Vec<Reference> {
    /// The beam from (0, 0, 2.30) to a picture in the plane x = 3 whose top
    /// right corner, for seats that look along +x, is at (3.0, −1.1) and whose
    /// bottom left corner is (3.0, 1.1, 0.9).
    fn bottom_left_half_way() -> Option<Point> {
        let size = PictureSize::from_sides(Sides {
            width: Metres(2.2),
            height: Metres(1.2),
        })?;
        let pose = Pose {
            centre_m: [3.0, 0.0, 1.5],
            facing: Radians::from_degrees(180.0),
            tilt: Radians(0.0),
        };
        let beam = Pyramid::new([0.0, 0.0, 2.30], Picture::new(size, pose)?)?;
        let [_, _, _, bottom_left] = beam.section_at_x(Metres(1.5))?;
        Some(bottom_left)
    }
    vec![
        Reference {
            cite: "focus 0.60 m, front eye 1.10 m at 3.50 m, pitch 1.80 m, clearance 0.120 m, \
                   riser N = (R + C)(D + T)/D − R (computed)",
            computed: || {
                let pair = RowPair {
                    focus_distance: Metres(3.5),
                    eye_above_focus: Metres(1.10 - 0.60),
                    pitch: Metres(1.8),
                };
                or_nan(pair.riser(Metres(0.120)).map(|n| n.0))
            },
            expected: 0.438857,
            tolerance: 0.001,
            unit: "m",
        },
        Reference {
            cite: "beam from (0, 0, 2.30) to the corner (3.0, 1.1, 0.9) at x = 1.5, y, \
                   straight edge of the pyramid (computed)",
            computed: || or_nan(bottom_left_half_way().map(|[_, y, _]| y)),
            expected: 0.55,
            tolerance: 0.001,
            unit: "m",
        },
        Reference {
            cite: "beam from (0, 0, 2.30) to the corner (3.0, 1.1, 0.9) at x = 1.5, z, \
                   straight edge of the pyramid (computed)",
            computed: || or_nan(bottom_left_half_way().map(|[_, _, z]| z)),
            expected: 1.6,
            tolerance: 0.001,
            unit: "m",
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_holds() {
        let missed: Vec<String> = references()
            .iter()
            .filter(|reference| !reference.holds())
            .map(|r| {
                format!(
                    "{}: {} {}, not {}",
                    r.cite,
                    (r.computed)(),
                    r.unit,
                    r.expected
                )
            })
            .collect();
        assert!(missed.is_empty(), "{missed:#?}");
    }

    #[test]
    fn every_reference_says_its_mark() {
        let marks = ["(confirmed)", "(computed)", "(from memory)"];
        for reference in references() {
            let cite = reference.cite;
            assert!(marks.iter().any(|mark| cite.ends_with(mark)), "{cite}");
        }
    }

    #[test]
    fn refused_case_never_holds() {
        let refused = Reference {
            cite: "a refused case (computed)",
            computed: || or_nan(None),
            expected: 0.0,
            tolerance: f64::INFINITY,
            unit: "1",
        };
        assert!(!refused.holds());
    }
}
