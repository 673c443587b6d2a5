//! Checks of this area.

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[];
