//! Loudspeakers and rooms above the bass.

mod background_evenness;
mod boundary_level;
pub(crate) mod channel_azimuth;
pub(crate) mod channel_elevation;
pub(crate) mod dipole_null;
mod early_reflections;
pub(crate) mod floor_clear;
mod garden_evenness;
pub(crate) mod height_separation;
mod layout_complete;
mod level_spread;
mod line_taps;
pub(crate) mod loudspeaker_aim;
mod peak_level;
mod reverberation;
mod room_noise;
mod speech_clarity;
mod wall_isolation;

use crate::Check;

pub(crate) use reverberation::reverberation_limits;

pub(crate) static CHECKS: &[&Check] = &[
    &background_evenness::CHECK,
    &boundary_level::CHECK,
    &channel_azimuth::CHECK,
    &channel_elevation::CHECK,
    &dipole_null::CHECK,
    &early_reflections::CHECK,
    &floor_clear::CHECK,
    &garden_evenness::CHECK,
    &height_separation::CHECK,
    &layout_complete::CHECK,
    &level_spread::CHECK,
    &line_taps::CHECK,
    &loudspeaker_aim::CHECK,
    &peak_level::CHECK,
    &reverberation::CHECK,
    &room_noise::CHECK,
    &speech_clarity::CHECK,
    &wall_isolation::CHECK,
];
