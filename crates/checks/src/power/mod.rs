//! Mains, heat and air.

mod circuit_load;
mod cupboard_heat;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[&circuit_load::CHECK, &cupboard_heat::CHECK];
