//! Loudspeakers and rooms above the bass.

mod channel_azimuth;
mod channel_elevation;
mod height_separation;
mod peak_level;
mod reverberation;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[
    &channel_azimuth::CHECK,
    &channel_elevation::CHECK,
    &height_separation::CHECK,
    &peak_level::CHECK,
    &reverberation::CHECK,
];
