//! Mains, heat and air.

mod battery_runtime;
mod circuit_load;
mod circuit_report;
mod cupboard_heat;
mod inrush;
mod rack_heat;
mod rack_layout;
mod surge_protection;

use crate::Check;

pub use circuit_report::{CircuitPart, CircuitTold, circuits_told};
pub use cupboard_heat::{CupboardState, cupboard_states};

pub(crate) static CHECKS: &[&Check] = &[
    &battery_runtime::CHECK,
    &circuit_load::CHECK,
    &cupboard_heat::CHECK,
    &inrush::CHECK,
    &rack_heat::CHECK,
    &rack_layout::CHECK,
    &surge_protection::CHECK,
];
