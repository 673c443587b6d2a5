//! The inverse questions: where a projector can hang, where each loudspeaker can go, how
//! large a picture can be, and what stops it there.
//!
//! A finder asks the checks for the numbers that they compare, and lays them over the whole
//! room at once. What it answers is proved before it is told: put into the job, the checks
//! find the same.

mod any_place;
mod cautions;
mod display_place;
mod half_plane;
mod hanging_cells;
mod joint;
mod largest_picture;
mod layout_places;
mod loudspeaker_at;
mod loudspeaker_cells;
mod loudspeaker_place;
mod projector_place;
mod region;
mod roof;
mod shadow;
mod shift_shapes;
mod trial;

pub use display_place::{DisplayBest, DisplayPlace, Stretch, display_place};
pub use hanging_cells::Height;
pub use largest_picture::{LargestPicture, Order, SizeStop, largest_picture};
pub use layout_places::{LayoutPlaces, LayoutPlan, PlanSeat, PlannedPlace, layout_places};
pub use loudspeaker_at::{LoudspeakerAt, loudspeaker_at};
pub use loudspeaker_place::{
    ChannelPlaces, LoudspeakerSpot, Patch, SeatLoss, exact_spot, loudspeaker_patches,
    loudspeaker_place,
};
pub use projector_place::{Place, ProjectorRegion, exact_place, projector_place, projector_region};
pub use region::{Edge, Part, Region, Stop};
