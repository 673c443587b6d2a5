//! Screens, projectors, displays and light.

mod ambient_contrast;
mod arm_cable;
mod arm_clear;
mod arm_turn;
mod bar_width;
pub(crate) mod beam_clear;
mod behind_screen;
mod display_glare;
mod display_tilt;
mod fire_combustibles;
mod fire_heat;
pub(crate) mod focus_distance;
pub(crate) mod lens_shift;
mod off_axis;
mod outdoor_brightness;
mod outdoor_rating;
mod picture_angle;
pub(crate) mod picture_clear;
mod pixel_acuity;
pub(crate) mod projector_case;
pub(crate) mod projector_clearance;
pub(crate) mod projector_mount;
pub(crate) mod screen_luminance;
mod screen_rail;
mod shown_aspect;
mod sight_line;
pub(crate) mod throw_ratio;
mod vertical_angle;
mod watched_contrast;

use crate::Check;

/// The share of a light source's light that a picture must do with before it is replaced.
pub(crate) fn light_kept(analysis: &analysis::Analysis) -> f64 {
    analysis.limit(&screen_luminance::LIGHT_KEPT).value
}

pub(crate) static CHECKS: &[&Check] = &[
    &ambient_contrast::CHECK,
    &arm_cable::CHECK,
    &arm_clear::CHECK,
    &arm_turn::CHECK,
    &bar_width::CHECK,
    &beam_clear::CHECK,
    &behind_screen::CHECK,
    &display_glare::CHECK,
    &display_tilt::CHECK,
    &fire_combustibles::CHECK,
    &fire_heat::CHECK,
    &focus_distance::CHECK,
    &lens_shift::CHECK,
    &off_axis::CHECK,
    &outdoor_brightness::CHECK,
    &outdoor_rating::CHECK,
    &picture_angle::CHECK,
    &picture_clear::CHECK,
    &pixel_acuity::CHECK,
    &projector_case::CHECK,
    &projector_clearance::CHECK,
    &projector_mount::CHECK,
    &screen_luminance::CHECK,
    &screen_rail::CHECK,
    &shown_aspect::CHECK,
    &sight_line::CHECK,
    &throw_ratio::CHECK,
    &vertical_angle::CHECK,
    &watched_contrast::CHECK,
];
