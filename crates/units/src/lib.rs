//! Quantities with their units: built, read and printed in one place.
//!
//! Every newtype holds one `f64` in SI. Angles are radians, temperatures are
//! kelvin differences or degrees Celsius as the name says, ratios are linear.

mod quantity;

pub use quantity::*;
