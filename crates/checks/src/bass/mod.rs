//! Low frequencies.

mod room_modes;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[&room_modes::CHECK];
