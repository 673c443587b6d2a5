//! What will every seat hear of the bass, from every place where a sub may stand?
//!
//! The room as surveyed becomes a closed shape with a finish on each surface
//! ([`room`]), the wave equation is solved in it once ([`Solved`]), its seats listen
//! ([`Ready`]), and everything else follows from that at once: what any sub does anywhere
//! ([`Ready::judge`], [`Ready::field`]), and in a [`Study`] the best places for one to four,
//! what the room's resonances are and which surfaces make them, how subs fall in with the
//! mains, and what other rows and treatment would change.
//!
//! A solve takes a second or so: it is asked for on purpose and never part of a proof.
//! What it depends on is told by [`Solved::key`], so that a keeper knows whether an old
//! one still holds.

mod access;
mod bands;
mod faces;
mod finish;
mod frame;
mod furniture;
mod inputs;
mod places;
mod ready;
mod room;
mod rows;
mod solved;
mod study;
mod subs;
mod timed;
mod treat;
mod tree;

pub use access::{Access, Accesses, Mains, Signal, Takes, Wire};
pub use bands::{BandDecay, BandLevel};
pub use places::{PlaceSort, SubPlace, sub_places};
pub use ready::Ready;
pub use room::{BassRoom, Surfaced, room};
pub use rows::{Beside, Row};
pub use solved::{SolveFault, Solved};
pub use study::{Arranged, Asked, Judged, Named, Placed, Study, planned};
pub use subs::{Sub, planned_subs};
pub use subwoofers::{Grid, GridError, Polarity, Score, Setting};
pub use timed::Timed;
pub use treat::{Rect, Treated};
pub use tree::{Stand, Tree};
