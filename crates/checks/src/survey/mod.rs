//! Does the survey itself hold together?

mod ceiling_closes;
mod walls_close;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[&ceiling_closes::CHECK, &walls_close::CHECK];
