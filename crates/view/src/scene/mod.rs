//! One space as it is drawn.

mod types;

pub use types::*;
