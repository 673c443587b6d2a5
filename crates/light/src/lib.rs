//! Luminance, illuminance and contrast of pictures.
//!
//! Pure functions of light and of the places it comes from. Gains, factors,
//! transmittances and contrasts are linear ratios. Input outside a function's
//! stated range (negative, not a number) gives `None`: no formula returns NaN.
//! Plain unit conversions pass on what they get.
//!
//! [`references()`] lists the check values that each release must reproduce.

pub mod age;
pub mod clear_sky;
pub mod clock;
pub mod compass;
pub mod contrast;
pub mod daylight;
mod domain;
pub mod enclosure;
pub mod gain;
pub mod glare;
pub mod glazing;
pub mod horizon;
pub mod luminance;
pub mod mesh;
pub mod mirror;
pub mod open_air;
pub mod outside;
mod reference;
pub mod room_light;
pub mod sky;
pub mod sky_luminance;
pub mod sun;
pub mod targets;
pub mod typicals;
pub mod view_factor;
pub mod window;
pub mod year;
pub mod zoom;

pub use reference::references;

/// How well a limit or table is backed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Read at the place named.
    Confirmed,
    /// Worked out by the formula named.
    Computed,
    /// Recalled from the work named, not read again.
    FromMemory,
    /// Common practice, no source.
    CommonPractice,
}

impl Mark {
    /// The mark in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Confirmed => "confirmed",
            Self::Computed => "computed",
            Self::FromMemory => "from memory",
            Self::CommonPractice => "common practice, no source",
        }
    }
}
