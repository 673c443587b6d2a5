//! What rate a video or sound link needs and carries.
//!
//! Pure functions over unit newtypes; a combination the standard does not have
//! gives `None`, never a guess. Limits that change with the kit or the code are
//! passed in; the tables say for each row where it stands and how well it is
//! known.

pub mod assignment;
pub mod control;
pub mod network;
pub mod protection;
pub mod reach;
pub mod reference;
pub mod sound;
pub mod sync;
pub mod timing;
pub mod video;

pub use reference::references;
