//! A room's modes, found once.

use std::ops::ControlFlow;

use analysis::{Analysis, Missing};
use model::Space;
use sha2::{Digest, Sha256};
use units::Hertz;
use waves::{Modes, Settings, SolveError, Solver};

use crate::frame::point;
use crate::furniture::{Piece, most_moved};
use crate::room::{BassRoom, room};

/// A room with its modes, up to a frequency.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The shape and its finishes.
    pub room: BassRoom,
    pub(crate) modes: Modes,
    /// The same without coverings that have a place.
    bare: Modes,
    /// Ears of the seats that can be placed, by the seat's id.
    pub(crate) ears: Vec<(String, [f64; 3])>,
    key: String,
}

/// Before what is kept stands its SHA-256.
const DIGEST_LEN: usize = 32;

/// Why a room was not solved.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SolveFault {
    /// Something of the survey is missing.
    #[error("can't tell yet: {0}")]
    Missing(Missing),
    /// The solver gave up, and why.
    #[error(transparent)]
    Solve(#[from] SolveError),
}

impl SolveFault {
    /// Whether it was told to stop.
    pub fn is_stop(&self) -> bool {
        matches!(self, Self::Solve(SolveError::Stopped))
    }
}

impl From<Missing> for SolveFault {
    fn from(missing: Missing) -> Self {
        Self::Missing(missing)
    }
}

impl Solved {
    /// Solves a space up to a frequency. `progress` is told the share that is done and
    /// may stop it.
    ///
    /// # Errors
    ///
    /// What the survey lacks, a room beyond memory, or a stop.
    pub fn new(
        analysis: &Analysis,
        space: &Space,
        top: Hertz,
        progress: &mut dyn FnMut(f64) -> ControlFlow<()>,
    ) -> Result<Self, SolveFault> {
        let room = room(analysis, space)?;
        let ears = ears(analysis, space);
        let key = key(&room, &ears, top);
        let solver = Solver::new(&room.room, Settings::up_to(top))?;
        let places: Vec<_> = ears.iter().map(|(_, at)| point(*at)).collect();
        let bare = solver.run(&places, progress)?;
        Ok(Self::covered(room, bare, ears, key))
    }

    /// What was found, as bytes to be kept under [`Self::key`]: some 50 MB for a large room.
    pub fn kept(&self) -> Vec<u8> {
        let modes = self.modes.kept();
        let mut bytes = Sha256::digest(&modes).to_vec();
        bytes.extend(modes);
        bytes
    }

    /// A space from what was kept of a solve of it; `None` where the bytes are damaged or of
    /// another room, which asks for a new solve.
    ///
    /// # Errors
    ///
    /// What the survey lacks, or a room beyond memory.
    pub fn from_kept(
        analysis: &Analysis,
        space: &Space,
        top: Hertz,
        bytes: &[u8],
    ) -> Result<Option<Self>, SolveFault> {
        let Some((digest, modes)) = bytes.split_at_checked(DIGEST_LEN) else {
            return Ok(None);
        };
        if digest != Sha256::digest(modes).as_slice() {
            return Ok(None);
        }
        let room = room(analysis, space)?;
        let ears = ears(analysis, space);
        let key = key(&room, &ears, top);
        let solver = Solver::new(&room.room, Settings::up_to(top))?;
        let restored = solver.restored(modes);
        Ok(restored.map(|bare| Self::covered(room, bare, ears, key)))
    }

    fn covered(room: BassRoom, bare: Modes, ears: Vec<(String, [f64; 3])>, key: String) -> Self {
        Self {
            modes: bare.patched(&room.patches),
            room,
            bare,
            ears,
            key,
        }
    }

    /// How far what is left out of the shape would move resonances up to a frequency.
    pub(crate) fn furniture(&self, to: Hertz) -> Option<String> {
        let pieces = &self.room.furniture;
        let air = &self.room.finish.air;
        let volume_m3 = self.room.room.volume().0;
        let moved = most_moved(pieces, &self.bare, volume_m3, air.speed_of_sound_m_s, to.0)?;
        let names: Vec<&str> = pieces.iter().map(|piece| piece.name.as_str()).collect();
        let filled_m3: f64 = pieces.iter().map(Piece::volume_m3).sum();
        Some(format!(
            "{} left out ({filled_m3:.1} m³): as hard boxes they would move the resonances up to {:.0} Hz by {:.1} % at most (the one at {:.1} Hz; to first order, from memory)",
            names.join(", "),
            to.0,
            100.0 * moved.share.abs(),
            moved.hz,
        ))
    }

    /// What the modes depend on: the shape, the ears and the top frequency. Finishes and
    /// subs are free to change.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The key that a solve of this space would have, without solving.
    ///
    /// # Errors
    ///
    /// What the survey lacks.
    pub fn key_of(analysis: &Analysis, space: &Space, top: Hertz) -> Result<String, SolveFault> {
        let room = room(analysis, space)?;
        Ok(key(&room, &ears(analysis, space), top))
    }

    /// The same modes under the finishes of an edited job, if its shape and seats are the
    /// same; `None` asks for a new solve.
    ///
    /// # Errors
    ///
    /// What the survey lacks.
    pub fn refinished(
        &self,
        analysis: &Analysis,
        space: &Space,
        top: Hertz,
    ) -> Result<Option<Self>, SolveFault> {
        let room = room(analysis, space)?;
        let ears = ears(analysis, space);
        let key = key(&room, &ears, top);
        let same = key == self.key;
        Ok(same.then(|| Self::covered(room, self.bare.clone(), ears, key)))
    }
}

pub(crate) fn ears(analysis: &Analysis, space: &Space) -> Vec<(String, [f64; 3])> {
    let seats = analysis.seats_in(space);
    seats
        .filter_map(|(seat, place)| Some((seat.id.clone(), place.ok()?.ear.value())))
        .collect()
}

fn key(room: &BassRoom, ears: &[(String, [f64; 3])], top: Hertz) -> String {
    let mut hash = Sha256::new();
    hash.update(waves::LAYOUT.to_le_bytes());
    hash.update(top.0.to_bits().to_le_bytes());
    for (id, at) in ears {
        hash.update(id.as_bytes());
        hash.update([0]);
        for part in at {
            hash.update(part.to_bits().to_le_bytes());
        }
    }
    for face in &room.faces {
        hash.update(face.surface.to_le_bytes());
        for ring in std::iter::once(&face.outline).chain(&face.holes) {
            hash.update(ring.len().to_le_bytes());
            for part in ring.iter().flatten() {
                hash.update(part.to_bits().to_le_bytes());
            }
        }
    }
    hex(&hash.finalize())
}

pub(crate) fn hex(digest: &[u8]) -> String {
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
