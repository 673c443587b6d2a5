//! Circuits, heat and air.
//!
//! Pure functions over unit newtypes. A power, length or ratio outside the
//! stated range gives `None`, never a guess. Limits that a local code may
//! change are passed in; the defaults are associated constants that name
//! their clause and how well it is known.
//!
//! Work on mains wiring, and anything near a hot flue, belongs to licensed
//! trades under the local code; the numbers here only say whether to ask.

pub mod amplifier;
pub mod battery;
pub mod cabinet;
pub mod circuit;
pub mod fireplace;
pub mod heat;
pub mod reference;

pub use reference::references;
