//! What a loudspeaker does at a seat: where it stands, how loud it plays, how
//! evenly it spreads, and how the room rings on.
//!
//! Pure functions of quantities; nothing here knows a job, a file or a clock.
//! Points are `[x, y, z]` in the room's own axes with z up. Azimuths are
//! positive to the LEFT (anticlockwise seen from above), as in ITU-R BS.2051.
//! Levels are dB re 20 µPa (sound pressure) or 1 pW (sound power).
//!
//! Every cited value the crate can be held to is data: see [`references`].

mod reference;
mod vector;

pub mod air;
pub mod arrival;
pub mod coupled;
pub mod coverage;
pub mod crossover;
pub mod decay;
pub mod direction;
pub mod directivity;
pub mod enclosure;
pub mod finishes;
pub mod images;
pub mod isolation;
pub mod layout;
pub mod level;
pub mod listening_room;
pub mod modes;
pub mod noise;
pub mod octave;
pub mod outdoors;
pub mod piston;
pub mod polar;
pub mod rays;
pub mod reverberation;
pub mod speech;
pub mod treatment;

pub use reference::references;
