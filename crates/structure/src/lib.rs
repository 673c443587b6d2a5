//! Loads on fixings in studs, joists and masonry.
//!
//! Pure functions over unit newtypes. A length, load or density outside the
//! stated range gives `None`, never a guess. Limits that a local code may
//! change are passed in; the defaults name their clause and how well it is
//! known.
//!
//! A fixing that gives way hurts people. These values are for sound, dry
//! timber and masonry that somebody has looked at; where the wall, the load or
//! the code leaves a doubt, a licensed trade decides. Board alone never carries.

pub mod anchor;
pub mod arm;
pub mod framing;
pub mod lateral;
pub mod lifting;
pub mod quantity;
pub mod reference;
pub mod vesa;
pub mod withdrawal;
pub mod wood;

pub use reference::references;
