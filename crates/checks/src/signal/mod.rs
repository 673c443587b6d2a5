//! Links, channels and zones.

mod amplifier_channels;
mod amplifier_load;
mod copy_protection;
mod link_rate;
mod video_reach;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[
    &amplifier_channels::CHECK,
    &amplifier_load::CHECK,
    &copy_protection::CHECK,
    &link_rate::CHECK,
    &video_reach::CHECK,
];
