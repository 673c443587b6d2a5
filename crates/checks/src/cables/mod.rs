//! Wires, routes and holes.

mod bend_in_wall;
mod cable_class;
mod cable_length;
pub(crate) mod cavity_depth;
pub(crate) mod ceiling_clear;
mod conduit_bend;
mod conduit_fill;
mod conduit_pull;
mod cutout_fire_block;
mod cutout_framing;
mod mains_distance;
mod mains_run;
pub(crate) mod on_wall_clear;
mod plate_height;
mod spool_stock;
mod wire_loss;

use crate::Check;

#[cfg(test)]
pub(crate) use conduit_fill::conduit;
pub(crate) use conduit_fill::limits as conduit_limits;

pub(crate) static CHECKS: &[&Check] = &[
    &bend_in_wall::CHECK,
    &cable_class::CHECK,
    &cable_length::CHECK,
    &cavity_depth::CHECK,
    &ceiling_clear::CHECK,
    &conduit_bend::CHECK,
    &conduit_fill::CHECK,
    &conduit_pull::CHECK,
    &cutout_fire_block::CHECK,
    &cutout_framing::CHECK,
    &mains_distance::CHECK,
    &mains_run::CHECK,
    &on_wall_clear::CHECK,
    &plate_height::CHECK,
    &spool_stock::CHECK,
    &wire_loss::CHECK,
];
