//! Picture geometry: throw, shift, beams and angles.
//!
//! Pure functions of lengths and angles. Points are plain [`Point`]s in a
//! right-handed room frame with z up; picture sizes, ratios and shifts are of
//! the flat picture itself, never of its frame.
//!
//! Input outside a function's stated range (zero, negative, not a number)
//! gives `None`: no formula returns NaN. Plain unit conversions and differences
//! pass on what they get.
//!
//! [`references()`] lists the check values that each release must reproduce.

pub mod beam;
pub mod display;
mod domain;
pub mod keystone;
pub mod legibility;
mod pose;
mod reference;
pub mod shadow;
pub mod shift;
pub mod sightline;
pub mod size;
pub mod throw;
mod vector;
pub mod view;

pub use pose::Pose;
pub use reference::references;
pub use size::{Aspect, PictureSize};
pub use vector::Point;
pub use view::Picture;

use units::Metres;

/// A closed stretch of lengths or places along one axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Least value, m.
    pub min: Metres,
    /// Greatest value, m; never below `min`.
    pub max: Metres,
}

impl Span {
    /// Whether `value` lies in the stretch, ends included. A value that is
    /// not a number never does.
    pub fn contains(self, value: Metres) -> bool {
        self.min <= value && value <= self.max
    }
}
