//! Does the survey itself hold together?

mod ceiling_closes;
mod inside_room;
mod walls_close;

use crate::Check;

pub(crate) static CHECKS: &[&Check] = &[
    &ceiling_closes::CHECK,
    &inside_room::CHECK,
    &walls_close::CHECK,
];
