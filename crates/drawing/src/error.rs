//! What can a drawing not be made from?

use thiserror::Error;

use crate::dimension::Chain;

/// Why there is no drawing.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum DrawingError {
    /// A number that is no number.
    #[error("{what} is not a finite number; measure it again")]
    NotFinite {
        /// Whose number.
        what: String,
    },
    /// A length that must be more than nothing.
    #[error("{what} is {value_m} m, but must be more than 0 m")]
    NotPositive {
        /// Whose length.
        what: String,
        /// The length, m.
        value_m: f64,
    },
    /// An outline that encloses nothing or runs backwards.
    #[error("{what}")]
    Outline {
        /// What is wrong with it.
        what: String,
    },
    /// A chain whose stops and figures do not match.
    #[error(
        "a dimension chain has {stops} stops and {figures} figures; it needs one stop more than figures, rising from the left or from the floor"
    )]
    Chain {
        /// How many stops.
        stops: usize,
        /// How many figures.
        figures: usize,
    },
    /// Larger than the paper at the smallest scale.
    #[error(
        "\"{title}\" is {width_mm:.0} × {height_mm:.0} mm on paper at {scale}, but the sheet has {area_width_mm:.0} × {area_height_mm:.0} mm; draw it in parts or on larger paper"
    )]
    TooLarge {
        /// The drawing's title.
        title: String,
        /// The smallest scale.
        scale: crate::scale::Scale,
        /// Its width at that scale.
        width_mm: f64,
        /// Its height at that scale.
        height_mm: f64,
        /// The paper's free width.
        area_width_mm: f64,
        /// The paper's free height.
        area_height_mm: f64,
    },
}

pub(crate) fn finite(what: &str, value: f64) -> Result<(), DrawingError> {
    // A kilometre is beyond any house; such a number is a slip that would only make a drawing of nothing.
    if value.is_finite() && value.abs() < 1000.0 {
        Ok(())
    } else {
        Err(DrawingError::NotFinite { what: named(what) })
    }
}

pub(crate) fn positive(what: &str, value_m: f64) -> Result<(), DrawingError> {
    finite(what, value_m)?;
    if value_m > 0.0 {
        Ok(())
    } else {
        Err(DrawingError::NotPositive {
            what: named(what),
            value_m,
        })
    }
}

pub(crate) fn check_chain(chain: &Chain) -> Result<(), DrawingError> {
    for stop in &chain.stops_m {
        finite("dimension", *stop)?;
    }
    let rising = chain.stops_m.windows(2).all(|w| w[1] > w[0]);
    if rising && chain.stops_m.len() == chain.figures.len() + 1 {
        return Ok(());
    }
    Err(DrawingError::Chain {
        stops: chain.stops_m.len(),
        figures: chain.figures.len(),
    })
}

fn named(what: &str) -> String {
    if what.is_empty() {
        "a length of an unnamed thing".to_string()
    } else {
        format!("a length of \"{what}\"")
    }
}
