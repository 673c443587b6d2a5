//! Screens, projectors, displays and light.

mod throw_ratio;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[&throw_ratio::CHECK];
