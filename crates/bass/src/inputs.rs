//! What a study rests on besides the room: plain numbers, read off the job once.

use analysis::{Analysis, Means, Missing, importance_of};
use model::Space;
use sha2::{Digest, Sha256};
use units::Hertz;

use crate::places::{SubPlace, not_tried, sub_places};
use crate::room::BassRoom;
use crate::solved::{SolveFault, hex};
use crate::subs::{case_m, mains, output_db, planned_subs};

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Inputs {
    /// By ear.
    pub importance: Vec<f64>,
    /// Where each ear's head looks in plan; none without a picture.
    pub looks: Vec<Option<[f64; 2]>>,
    /// Where a sub may stand.
    pub places: Vec<SubPlace>,
    /// Where it was not tried, in sentences.
    pub not_tried: Vec<String>,
    /// What one sub makes at 1 m in the open, dB by line.
    pub output_db: Option<Vec<f64>>,
    /// A sub's outside, m.
    pub case_m: [f64; 3],
    /// Loudspeakers that play with the subs.
    pub mains: Vec<(String, [f64; 3])>,
}

impl Inputs {
    pub(crate) fn new(
        analysis: &Analysis,
        space: &Space,
        ears: &[(String, [f64; 3])],
        lines: &[Hertz],
    ) -> Result<Self, SolveFault> {
        if ears.is_empty() {
            return Err(SolveFault::Missing(Missing::new(
                format!("where anyone sits in {}", space.label()),
                format!("space.{}.seat", space.id),
                Means::Tape,
            )));
        }
        let subs = planned_subs(analysis, space);
        let hertz: Vec<f64> = lines.iter().map(|line| line.0).collect();
        let seat = |id: &str| space.seat.iter().find(|seat| seat.id == id);
        let placed: Vec<_> = analysis.seats_in(space).collect();
        let look = |id: &String| {
            let (_, place) = placed.iter().find(|(seat, _)| seat.id == *id)?;
            let look = analysis.look_direction(space, place.as_ref().ok()?).ok()?;
            Some(look.value())
        };
        Ok(Self {
            importance: ears
                .iter()
                .map(|(id, _)| seat(id).map_or(1.0, importance_of).max(0.1))
                .collect(),
            looks: ears.iter().map(|(id, _)| look(id)).collect(),
            places: sub_places(analysis, space, &subs)?,
            not_tried: not_tried(analysis, space, &subs),
            output_db: subs
                .first()
                .and_then(|sub| output_db(analysis, sub.kit, &hertz)),
            case_m: case_m(analysis, &subs).0,
            mains: mains(analysis, space),
        })
    }

    /// Alike where a study of the room would say the same.
    pub(crate) fn mark(&self, key: &str, room: &BassRoom) -> String {
        // Debug prints each number in full.
        let told = format!(
            "{key} {:?} {:?} {:?} {:?} {:?}",
            room.finish, room.assumed, room.patches, room.furniture, self
        );
        hex(&Sha256::digest(told.as_bytes()))
    }
}
