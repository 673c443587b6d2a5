//! What will every seat hear of the bass, from every place where a sub may stand?
//!
//! The room as surveyed becomes a closed shape with a finish on each surface
//! ([`room`]), the wave equation is solved in it once ([`Solved`]), and everything
//! else follows from that at once ([`Study`]): the response at each seat of the subs as
//! they are planned, the best places for one to four, what the room's resonances are and
//! which surfaces make them.
//!
//! A solve takes a second or so: it is asked for on purpose and never part of a proof.
//! What it depends on is told by [`Solved::key`], so that a keeper knows whether an old
//! one still holds.

mod faces;
mod finish;
mod frame;
mod places;
mod room;
mod solved;
mod study;
mod subs;

pub use places::{SubPlace, sub_places};
pub use room::{BassRoom, Surfaced, room};
pub use solved::{SolveFault, Solved};
pub use study::{Arranged, Asked, Judged, Named, Placed, Study, study};
pub use subs::{Sub, planned_subs};
pub use subwoofers::{Grid, GridError, Polarity, Score, Setting};
