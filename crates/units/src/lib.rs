//! Quantities with their units: built, read and printed in one place.
//!
//! Every newtype holds one `f64` in SI. Angles are radians, temperatures are
//! kelvin differences or degrees Celsius as the name says, ratios are linear.
//!
//! [`read`] takes a quantity as a person types it (`10' 6 1/2" laser`,
//! `3,21 m ± 20 mm`, `?`) and [`Printer`] gives it back in the crew's own units,
//! never finer than its uncertainty supports. [`read_money`] and [`print_money`]
//! stand apart, because money is decimal and never an `f64`.

mod amount;
mod compound;
mod dimension;
mod error;
mod fine;
pub mod guard;
mod money;
mod print;
mod quantity;
mod read;
mod reference;
mod scan;
pub mod table;
mod unit;
mod wire;

pub use dimension::{Dimension, Method, System};
pub use error::ReadError;
pub use fine::PrintedMargin;
pub use money::{Money, print_money, read_money};
pub use print::{Printer, in_both_systems, step};
pub use quantity::*;
pub use read::{Reading, Tolerance, read};
pub use reference::Reference;
