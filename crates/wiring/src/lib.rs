//! Loudspeaker wire, cable routes and holes.
//!
//! Pure functions over unit newtypes. A length, area or ratio outside the
//! stated range gives `None` (or an error that names the entry), never a
//! guess. Limits that a local code may change are passed in; the defaults are
//! associated constants that name their clause and how well it is known.
//!
//! Work inside walls meets mains wiring, pipes and structure: local code, the
//! listing of the product and licensed trades come before any number here.

pub mod awg;
pub mod cable;
pub mod conduit;
pub mod cut;
pub mod holes;
pub mod line;
pub mod pull;
pub mod reference;
pub mod route;
pub mod rules;
pub mod section;
pub mod wire;

pub use reference::references;
