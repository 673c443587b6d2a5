//! Margins of whole things: all of them may be in use.

use analysis::{Source, Uncertain};
use units::Dimension;

use crate::Outcome;

/// `used` of `most`: using all of them fits, which half a one to spare says.
pub(crate) fn counted(used: usize, most: usize, source: Source) -> Outcome {
    let (used, most) = (used as f64, most as f64);
    let spare = most - used;
    let margin = if spare < 0.0 { spare } else { spare + 0.5 };
    Outcome::with_margin(
        Uncertain::exact(used),
        most,
        Uncertain::exact(margin),
        Dimension::Factor,
        source,
    )
}

/// `there` of the `wanted` that all have to be there.
pub(crate) fn complete(there: usize, wanted: usize, source: Source) -> Outcome {
    let short = there as f64 - wanted as f64;
    let margin = if short < 0.0 { short } else { 0.5 };
    Outcome::with_margin(
        Uncertain::exact(there as f64),
        wanted as f64,
        Uncertain::exact(margin),
        Dimension::Factor,
        source,
    )
}
