//! Fixings and framing.

mod arm_fixings;
mod arm_studs;
mod mount_capacity;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[
    &arm_fixings::CHECK,
    &arm_studs::CHECK,
    &mount_capacity::CHECK,
];
