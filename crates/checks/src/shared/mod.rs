//! What several checks ask of a job before each asks its own question.

pub(crate) mod beam;
pub(crate) mod beam_obstacles;
pub(crate) mod before_wall;
pub(crate) mod behind;
pub(crate) mod chain;
pub(crate) mod cut_out;
pub(crate) mod driven;
pub(crate) mod hanging;
pub(crate) mod in_ceiling;
pub(crate) mod listening;
pub(crate) mod mounted;
pub(crate) mod moves;
pub(crate) mod neighbours;
pub(crate) mod obstacles;
pub(crate) mod placing;
mod placing_framing;
pub(crate) mod plate;
pub(crate) mod room_sound;
pub(crate) mod runs;
pub(crate) mod screen_light;
pub(crate) mod seat_sound;
pub(crate) mod seeing;
pub(crate) mod shifting;
pub(crate) mod track;
pub(crate) mod watching;
