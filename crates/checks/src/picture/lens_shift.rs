//! Can the lens shift the picture from where the projector is onto the screen?

use analysis::{
    Analysis, COVERAGE_FACTOR, Means, Missing, Parts, ProjectorPlace, Source, item_label,
};
use model::{Edit, Item, LensShift, ProjectorKit, ShiftJoint, ShiftOf, Space};
use optics::keystone::Tilted;
use optics::shift::{
    CentreOffset, Convention, Curve, JointLimit, Shift, ShiftLimit, ShiftTravel, needed_shift,
    shift_from_printed,
};
use optics::{Aspect, PictureSize};
use units::{Dimension, Metres, Radians};

use crate::moves::{Placed, Round, to_spare, written_length};
use crate::{Area, Caution, Check, Known, Outcome, Published, Remedy, Run, Subject, Uncertain};

pub(crate) static CHECK: Check = Check {
    id: "lens-shift",
    area: Area::Picture,
    proves: "The lens can move the picture up, down and sideways, both at once, from its own axis onto the screen.",
    matters: "A projector that hangs outside its shift must be tilted; keystone correction then throws away light and sharpness, and the picture's edges still do not meet the frame.",
    formula: "v = (picture's middle − lens height)/h, u = the same across, over w; h, w: picture height and width, m. With the sheet's limits V and U in the same shares: diamond |v|/V + |u|/U, ellipse √((v/V)² + (u/U)²), rectangle the larger of both; at most 1. V up and V down may differ. A sheet that counts in half pictures prints 2v and 2u. A chart read point by point is joined by straight lines. A lens with a built-in offset of o, axis to far edge over h, rests at v = o − 0.5, up standing, down hung. Valid with the lens square to a flat screen; the diamond, which is the strictest, is taken where the sheet does not say how both act together.",
    source: Source::SpecSheet,
    when_it_fails: "Change the drop or the height of the projector, slide it sideways to the screen's middle, or hang the screen higher or lower.",
    limits: &[],
    published: &[
        Published {
            cite: "lens axis 0.100 m above the top edge of a picture 1.2453 m high: (y centre − y lens)/h (computed)",
            computed: || needed([2.2138, 1.2453], [-0.5 * 1.2453 - 0.1, 0.0]).vertical,
            expected: -0.580_304,
            tolerance: 4e-6, // The height's four decimals: 0.1 · 5e-5/1.2453².
            unit: "1",
        },
        Published {
            cite: "limits 60 % v, 25 % h; used 30 % v, 10 % h; diamond: norm 1 (computed)",
            computed: || used_of_example(ShiftJoint::Diamond),
            expected: 0.9,
            tolerance: 1e-9,
            unit: "1",
        },
        Published {
            cite: "limits 60 % v, 25 % h; used 30 % v, 10 % h; ellipse: norm 2 (computed)",
            computed: || used_of_example(ShiftJoint::Ellipse),
            expected: 0.640_312,
            tolerance: 1e-6, // Printed digits.
            unit: "1",
        },
        Published {
            cite: "limits 60 % v, 25 % h; used 30 % v, 10 % h; rectangle: largest norm (computed)",
            computed: || used_of_example(ShiftJoint::Rectangle),
            expected: 0.5,
            tolerance: 1e-9,
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// A lens without shift along an axis is still aimed by hand: half a percent of the
/// picture, which its frame's border hides (common practice, no source).
const AIMED_BY_HAND: f64 = 0.005;
/// Projectors are not moved further than this to find their shift, m.
const MOVE_MOST_M: f64 = 1.5;

fn used_of_example(joint: ShiftJoint) -> f64 {
    let sheet = LensShift {
        up: 60.0,
        down: None,
        across: 25.0,
        of: ShiftOf::Picture,
        joint: Some(joint),
        chart: None,
    };
    let shift = Shift {
        vertical: 0.3,
        horizontal: 0.1,
    };
    let reach = Reach { sheet, rest: 0.0 };
    (reach.limit(1.0))
        .and_then(|limit| limit.used(shift))
        .unwrap_or(f64::NAN)
}

fn needed([width_m, height_m]: [f64; 2], [up_m, right_m]: [f64; 2]) -> Shift {
    let sides = optics::size::Sides {
        width: Metres(width_m),
        height: Metres(height_m),
    };
    let offset = CentreOffset {
        up: Metres(up_m),
        right: Metres(right_m),
    };
    let nowhere = Shift {
        vertical: f64::NAN,
        horizontal: f64::NAN,
    };
    PictureSize::from_sides(sides)
        .and_then(|picture| needed_shift(picture, offset))
        .unwrap_or(nowhere)
}

/// What the sheet says of a lens' shift, and how the lens is fitted.
pub(crate) struct Reach {
    sheet: LensShift,
    /// The picture's middle above the axis with the lens at rest, in picture heights.
    rest: f64,
}

impl Reach {
    /// What the sheet of a projector says; a lens with an offset and no shift is fixed.
    pub fn of(item: &Item, kit: &ProjectorKit) -> Known<Self> {
        let ask = |what: String, field: &str| {
            let at = format!("kit.projector.{}.{field}", kit.common.id);
            Missing::new(what, at, Means::SpecSheet)
        };
        let sheet = match (&kit.shift, kit.offset) {
            (Some(sheet), _) => sheet.clone(),
            (None, Some(_)) => fixed(),
            (None, None) => {
                let what = format!("how far the lens of {} shifts", item.is);
                return Err(ask(what, "shift"));
            }
        };
        let offset = match kit.offset {
            None => 0.0,
            Some(percent) => {
                shift_from_printed(percent / 100.0, Convention::FarEdge).ok_or_else(|| {
                    let what = format!(
                        "an offset of {} of at least 50 %, from its axis to the picture's far edge",
                        item.is
                    );
                    ask(what, "offset")
                })?
            }
        };
        // Hung it is turned over, and the picture lies below its axis.
        let rest = if item.hung.is_some() { -offset } else { offset };
        let reach = Self { sheet, rest };
        if reach.joint().is_none() {
            let what = format!(
                "a chart of the lens shift of {} from all across to all up that never turns back",
                item.is
            );
            return Err(ask(what, "shift.chart"));
        }
        if reach.limit(1.0).is_none() {
            let what = format!("lens shift percentages of {} that are numbers", item.is);
            return Err(ask(what, "shift"));
        }
        Ok(reach)
    }

    /// The sheet's travel in shares of the full picture, scaled by `share`.
    fn travel(&self, share: f64) -> ShiftTravel {
        let sheet = &self.sheet;
        let convention = match sheet.of {
            ShiftOf::Picture => Convention::FullPicture,
            ShiftOf::HalfPicture => Convention::HalfPicture,
        };
        let part = |percent: f64| {
            let part = shift_from_printed(percent.abs() / 100.0, convention).unwrap_or(0.0);
            part.max(AIMED_BY_HAND) * share
        };
        ShiftTravel {
            up: part(sheet.up),
            down: part(sheet.down.unwrap_or(sheet.up)),
            left: part(sheet.across),
            right: part(sheet.across),
            rest: Shift {
                vertical: self.rest,
                horizontal: 0.0,
            },
        }
    }

    fn joint(&self) -> Option<JointLimit> {
        let LensShift { up, across, .. } = self.sheet;
        if let Some(chart) = &self.sheet.chart {
            let points: Vec<[f64; 2]> = (chart.iter())
                .map(|[right, above]| [right / across, above / up])
                .collect();
            return Curve::new(&points).map(JointLimit::Curve);
        }
        Some(match self.sheet.joint {
            Some(ShiftJoint::Rectangle) => JointLimit::Rectangle,
            Some(ShiftJoint::Ellipse) => JointLimit::Ellipse,
            Some(ShiftJoint::Diamond) | None => JointLimit::Diamond,
        })
    }

    /// The shifts that can be set, with the travel scaled by `share`.
    pub fn limit(&self, share: f64) -> Option<ShiftLimit> {
        ShiftLimit::new(self.travel(share), self.joint()?)
    }

    /// How both axes act together.
    fn words(&self) -> &'static str {
        match (&self.sheet.chart, self.sheet.joint) {
            (Some(_), _) => "both together within the maker's chart",
            (None, Some(ShiftJoint::Rectangle)) => "both freely",
            (None, Some(ShiftJoint::Ellipse)) => "both together within an ellipse",
            (None, Some(ShiftJoint::Diamond)) => "both together within a diamond",
            (None, None) => {
                "both together within a diamond, the strictest, since the sheet does not say"
            }
        }
    }
}

/// A lens that does not shift.
fn fixed() -> LensShift {
    LensShift {
        up: 0.0,
        down: None,
        across: 0.0,
        of: ShiftOf::Picture,
        joint: Some(ShiftJoint::Rectangle),
        chart: None,
    }
}

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    analysis
        .projectors_in(space)
        .map(|(item, kit)| {
            CHECK.about(space, Subject::item(item), || {
                let projector = analysis.projector(item, kit)?;
                decide(analysis, &projector)
            })
        })
        .collect()
}

fn decide(analysis: &Analysis, projector: &ProjectorPlace<'_>) -> Known<Outcome> {
    let reach = Reach::of(projector.item, projector.kit)?;
    let bounds = reach.limit(1.0).expect("looked at when the sheet was read");
    let (width, height) = (projector.picture.width(), projector.picture.height());
    let lens = &projector.lens;
    let vertical = &lens.picture_above / &height;
    let horizontal = &lens.picture_right / &width;
    let used = uncertainty::through(
        [
            &off_the_kink(&(&vertical - reach.rest)),
            &off_the_kink(&horizontal),
        ],
        |[from_rest, horizontal]| {
            let shift = Shift {
                vertical: reach.rest + from_rest,
                horizontal,
            };
            bounds.used(shift).unwrap_or(f64::INFINITY)
        },
    );
    let margin = 1.0 - &used;
    let outcome = Outcome::with_margin(
        used.clone(),
        1.0,
        margin,
        Dimension::Ratio,
        Source::SpecSheet,
    )
    .caution(Caution::Ladder)
    .caution(Caution::BrightBeam);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let percent = |share: f64| analysis.exact((share * 1000.0).round() / 1000.0, Dimension::Ratio);
    let travel = reach.travel(1.0);
    // From where the picture stands with the lens at rest.
    let (up_or_down, allowed) = match vertical.value() - reach.rest {
        down if down < 0.0 => ("down", travel.down),
        _ => ("up", travel.up),
    };
    let side = |share: &Uncertain, positive: &'static str, negative: &'static str| {
        if share.value() < 0.0 {
            negative
        } else {
            positive
        }
    };
    let offset = match reach.rest {
        0.0 => String::new(),
        rest => format!(
            " from its built-in offset of {} {}",
            percent(rest.abs()),
            if rest < 0.0 { "down" } else { "up" }
        ),
    };
    let sentence = format!(
        "The lens of {} must shift the picture {} of its height {} and {} of its width to the {}: {} of what it can do ({} {up_or_down}, {} across{offset}, {}).",
        item_label(projector.item),
        percent(vertical.value().abs()),
        side(&vertical, "up", "down"),
        percent(horizontal.value().abs()),
        side(&horizontal, "right", "left"),
        percent(used.value()),
        percent(allowed),
        percent(travel.right),
        reach.words(),
    );
    let sentence = match last_resort(analysis, projector, bounds) {
        Some(words) if used.value() > 1.0 => format!("{sentence} {words}"),
        _ => sentence,
    };
    // A share of the limit that leaves the margin larger than its uncertainty.
    let share = used.value() + to_spare(outcome.margin(), 0.0) - 0.001;
    let outcome = outcome.because(sentence);
    let room = reach.limit(share.max(0.0)).zip(picture_size(projector));
    let Some((bounds, size)) = room else {
        return Ok(outcome);
    };
    let moves = Moves::find(projector, bounds, size).remedies(analysis, projector);
    Ok((moves.into_iter()).fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy))))
}

/// What it would cost to tilt the projector instead and correct its keystone, where its
/// shift lacks height alone.
fn last_resort(
    analysis: &Analysis,
    projector: &ProjectorPlace<'_>,
    bounds: ShiftLimit,
) -> Option<String> {
    /// No keystone correction reaches farther, rad.
    const TILT_MOST: f64 = 0.5;
    let lens = &projector.lens;
    let (width, height) = (projector.picture.width(), projector.picture.height());
    let vertical = lens.picture_above.value() / height.value();
    let span = bounds.vertical_span(lens.picture_right.value() / width.value())?;
    let lacking_m = (vertical - vertical.clamp(span.min, span.max)).abs() * height.value();
    let tilt = lacking_m.atan2(lens.distance.value());
    let keystone = Tilted {
        tilt: Radians(tilt),
        throw_ratio: lens.distance.value() / width.value(),
        aspect: Aspect::new(projector.picture.aspect)?,
    };
    let left = keystone
        .keystone()
        .filter(|_| tilt < TILT_MOST)?
        .chip_under_largest;
    let share = |share: f64| format!("{:.0}\u{202f}%", share * 100.0);
    let elements = projector
        .kit
        .resolution
        .map_or_else(String::new, |[across, down]| {
            let all = f64::from(across) * f64::from(down) / 1e6;
            format!(", {:.1} of {all:.1} million elements", all * left)
        });
    Some(format!(
        "As a last resort it could be tilted by {}: correcting the keystone then leaves {} of its picture elements and of its light{elements}.",
        analysis.exact(tilt, Dimension::Angle),
        share(left),
    ))
}

/// |v| has no slope at zero, where differences to both sides would cancel and hide its
/// uncertainty: a step aside, two thousandths of it, keeps them on one side.
fn off_the_kink(share: &Uncertain) -> Uncertain {
    let aside = 2e-3 * share.standard_uncertainty();
    if share.value().abs() > aside {
        share.clone()
    } else {
        share + aside
    }
}

fn picture_size(projector: &ProjectorPlace<'_>) -> Option<PictureSize> {
    let aspect = Aspect::new(projector.picture.aspect)?;
    PictureSize::from_width(Metres(projector.picture.width().value()), aspect)
}

/// Steps of the lens that bring it within its shift, m.
struct Moves {
    /// Up alone.
    up: Option<f64>,
    /// To the right alone.
    right: Option<f64>,
    /// To the screen's middle and up.
    both: Option<[f64; 2]>,
}

impl Moves {
    fn find(projector: &ProjectorPlace<'_>, bounds: ShiftLimit, size: PictureSize) -> Self {
        let lens_up = -projector.lens.picture_above.value();
        let lens_right = -projector.lens.picture_right.value();
        let within = |span: optics::Span, place: f64| place.clamp(span.min.0, span.max.0) - place;
        let up = bounds
            .lens_heights(size, Metres(lens_right))
            .map(|span| within(span, lens_up));
        let right = bounds
            .lens_places_right(size, Metres(lens_up))
            .map(|span| within(span, lens_right));
        // Slid to the middle it still is as far aside as it is uncertain and rounded.
        let aside = 0.005 + COVERAGE_FACTOR * projector.lens.picture_right.standard_uncertainty();
        let both = bounds
            .lens_heights(size, Metres(aside))
            .map(|span| [-lens_right, within(span, lens_up)]);
        let near = |step: &f64| step.abs() > 1e-6 && step.abs() <= MOVE_MOST_M;
        Self {
            both: both.filter(|_| up.is_none() && right.is_none()),
            up: up.filter(near),
            right: right.filter(near),
        }
    }

    fn remedies(&self, analysis: &Analysis, projector: &ProjectorPlace<'_>) -> Vec<Remedy> {
        let mut remedies = Vec::new();
        remedies.extend(self.up.and_then(|up| raise(analysis, projector, up)));
        remedies.extend(
            self.right
                .and_then(|right| slide(analysis, projector, right)),
        );
        remedies.extend(self.up.and_then(|up| move_screen(analysis, projector, -up)));
        remedies.extend(self.both.and_then(|[right, up]| {
            let [raised, slid] = [
                raise(analysis, projector, up)?,
                slide(analysis, projector, right)?,
            ];
            let says = format!("{} {}", slid.says, raised.says);
            let edits = [slid.edits, raised.edits].concat();
            Some(Remedy::new(says, edits).caution(Caution::Ladder))
        }));
        remedies
    }
}

fn raise(analysis: &Analysis, projector: &ProjectorPlace<'_>, up_m: f64) -> Option<Remedy> {
    let edit = Placed::item(analysis, projector.item)?.raised(analysis, up_m)?;
    let what = if edit.at.ends_with("drop") {
        "drop"
    } else {
        "height"
    };
    let says = format!(
        "{} {} by {}, to a {what} of {}.",
        if up_m > 0.0 { "Raise" } else { "Lower" },
        item_label(projector.item),
        written_length(analysis, up_m.abs(), Round::Up),
        crate::moves::text_of(&edit),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

fn slide(analysis: &Analysis, projector: &ProjectorPlace<'_>, right_m: f64) -> Option<Remedy> {
    let direction = projector.picture.face.right.value();
    let (round, side) = if right_m > 0.0 {
        (Round::Up, "right")
    } else {
        (Round::Down, "left")
    };
    let place = Placed::item(analysis, projector.item)?;
    let edit = place.in_plan(analysis, direction, right_m, round)?;
    let says = format!(
        "Slide {} {} to the {side} as one faces the screen, to {} from the wall that it is measured from.",
        item_label(projector.item),
        written_length(analysis, right_m.abs(), Round::Up),
        crate::moves::text_of(&edit),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

fn move_screen(analysis: &Analysis, projector: &ProjectorPlace<'_>, up_m: f64) -> Option<Remedy> {
    let space = analysis.space_of(projector.screen).ok()?;
    let picture = &projector.picture;
    let stays = picture.outside.bottom.value() + up_m >= 0.0;
    let shape = analysis.shape(space);
    let below = [-1.0, 1.0].into_iter().all(|side| {
        let ceiling = shape.ceiling_at(&picture.point(side, 1.0).in_plan());
        ceiling.is_ok_and(|ceiling| picture.outside.top.value() + up_m < ceiling.value())
    });
    let edit: Edit = Placed::item(analysis, projector.screen)
        .filter(|_| stays && below)?
        .raised(analysis, up_m)?;
    let says = format!(
        "Hang {} {} {}, at {}.",
        item_label(projector.screen),
        written_length(analysis, up_m.abs(), Round::Up),
        if up_m > 0.0 { "higher" } else { "lower" },
        crate::moves::text_of(&edit),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

#[cfg(test)]
mod tests;
