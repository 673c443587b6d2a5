//! Ways for cables through a house: stud bays between blocks and plates, joist bays along and
//! across, attic and crawl space, soffits, closets and conduits, baseboards, and the surface as
//! the last resort.
//!
//! A [`House`] is plain data. [`HouseGraph`] makes it a graph in three dimensions, whose moves
//! have a length, a time, holes and what makes them dangerous; [`cheapest`] finds the way that
//! costs least by the shop's own weights. What nobody knows of the construction is a [`Span`]
//! and not a guess: a move that may pass a block that nobody looked for has a least and a most,
//! and names the doubt.
//!
//! Boards, plates and joists have no thickness here: their few centimetres are the slack's
//! affair. In a void a cable runs along the joists and square to them.
//!
//! Work inside walls meets mains wiring, pipes, gas and structure: local code and licensed
//! trades come before any way found here.

mod astar;
mod build;
pub mod existing;
mod explain;
mod graph;
mod house;
mod medium;
mod reach;
mod ring;
mod search;
mod span;
mod together;
mod void;
mod weights;

pub use build::{End, HouseGraph};
pub use explain::{DearStep, dear_step, of_another_kind};
pub use graph::{FromLeft, Graph, Hole, Holes, Level, Move, Node, NodeId, Obstacle, Spot};
pub use house::{
    Blocks, Conduit, Door, Framing, House, Mouth, Party, Room, SoffitBox, Studs, Wall,
};
pub use medium::{Hazard, Media, Medium};
pub use reach::Reach;
pub use search::{Part, Reckoning, Route, Step, cheapest};
pub use span::Span;
pub use together::{Run, Together, together};
pub use void::{Crossing, Joists, Void};
pub use weights::{Bars, Times, Weights};
