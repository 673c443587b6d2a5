//! Fixings and framing.

mod arm_fixings;
mod arm_studs;
mod hole_pattern;
mod hole_size;
mod mount_capacity;
pub(crate) mod mount_joists;
mod notch_depth;
mod plate_cut;

use crate::Check;

pub(crate) use arm_studs::EDGE_DIAMETERS;

pub(crate) static CHECKS: &[&Check] = &[
    &arm_fixings::CHECK,
    &arm_studs::CHECK,
    &hole_pattern::CHECK,
    &hole_size::CHECK,
    &mount_capacity::CHECK,
    &mount_joists::CHECK,
    &notch_depth::CHECK,
    &plate_cut::CHECK,
];
