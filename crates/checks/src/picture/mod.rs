//! Screens, projectors, displays and light.

mod ambient_contrast;
mod arm_clear;
mod bar_width;
mod beam_clear;
mod display_tilt;
mod fire_heat;
mod lens_shift;
mod picture_angle;
mod picture_clear;
mod projector_clearance;
mod screen_luminance;
mod sight_line;
mod throw_ratio;
mod vertical_angle;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[
    &ambient_contrast::CHECK,
    &arm_clear::CHECK,
    &bar_width::CHECK,
    &beam_clear::CHECK,
    &display_tilt::CHECK,
    &fire_heat::CHECK,
    &lens_shift::CHECK,
    &picture_angle::CHECK,
    &picture_clear::CHECK,
    &projector_clearance::CHECK,
    &screen_luminance::CHECK,
    &sight_line::CHECK,
    &throw_ratio::CHECK,
    &vertical_angle::CHECK,
];
