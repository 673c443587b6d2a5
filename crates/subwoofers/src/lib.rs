//! Where should the subs stand, and how should each be set?
//!
//! Works on a table of transfers: the complex pressure that a sub at each place
//! gives at each seat and frequency, over the free-field pressure of the same sub
//! at 1 m. How the table came about (a wave solver, a formula, a microphone) is of
//! no concern here.
//!
//! | question | function |
//! | --- | --- |
//! | how even and how flat is this arrangement, and how loud can it play? | [`score`] |
//! | which places and settings are best for one to four subs? | [`search`] |
//! | is one arrangement better, or are both equal as far as the room is known? | [`difference`] |
//! | with which delay and polarity do sub and mains add up at the crossover? | [`align`] |
//!
//! Conventions: e^{+iωt}, so a delay τ multiplies by e^{−iωτ}; averages over
//! frequency weigh each octave alike; averages over seats weigh each seat by its
//! importance.

mod align;
mod decibel;
mod drive;
mod ensemble;
mod score;
mod search;
mod transfers;

pub use align::{Alignment, Mains, align};
pub use drive::{Arrangement, Grid, GridError, Polarity, Setting};
pub use ensemble::{Difference, difference};
pub use score::{Goal, GoalError, Score, levels, score};
pub use search::{Effort, Found, Stopped, Wanted, search};
pub use transfers::{Place, Transfers, TransfersError};
