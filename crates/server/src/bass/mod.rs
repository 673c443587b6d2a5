//! Solves of bass that are at hand, so that a sub that is dragged is answered at once.
//!
//! What a solve found is kept twice: a few in memory, with their seats listening, by job and
//! space; and as files by what the solve rests on ([`Shelf`]), so that a room is solved once, however
//! often the program starts and whatever else of the job changes.

#[cfg(feature = "sheets")]
mod sheet;
mod shelf;

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use bass::{Asked, Ready, Study};

#[cfg(feature = "sheets")]
pub use sheet::bass_sheet;
pub use shelf::Shelf;

/// Kept in memory; each holds some 50 MB for a large room.
const AT_HAND: usize = 4;

/// A space's bass, solved and studied.
pub struct Heard {
    /// Its seats, listening.
    pub ready: Ready,
    /// What was found.
    pub study: Study,
    /// What was asked.
    pub asked: Asked,
}

/// Every solve that is at hand.
#[derive(Clone, Default)]
pub struct Basses(Arc<Shared>);

#[derive(Default)]
struct Shared {
    at_hand: Mutex<AtHand>,
    shelf: OnceLock<Shelf>,
}

#[derive(Default)]
struct AtHand {
    /// Least recently asked for first.
    spaces: VecDeque<([String; 2], Arc<Heard>)>,
    /// How many were ever put here.
    count: u64,
}

impl Basses {
    /// Keeps solves as files too. A second call changes nothing.
    pub fn keep(&self, shelf: Shelf) {
        let _ = self.0.shelf.set(shelf);
    }

    /// Where files are kept, if anywhere.
    pub fn shelf(&self) -> Option<&Shelf> {
        self.0.shelf.get()
    }

    /// What is at hand of a job's space.
    pub fn get(&self, job: &str, space: &str) -> Option<Arc<Heard>> {
        let mut at_hand = self.lock();
        let of = |(key, _): &([String; 2], Arc<Heard>)| key[0] == job && key[1] == space;
        let at = at_hand.spaces.iter().position(of)?;
        let found = at_hand.spaces.remove(at)?;
        let heard = Arc::clone(&found.1);
        at_hand.spaces.push_back(found);
        Some(heard)
    }

    /// Keeps what was found, in place of what was known of the space.
    pub fn put(&self, job: &str, space: &str, heard: Heard) {
        let mut at_hand = self.lock();
        let key = [job.to_owned(), space.to_owned()];
        at_hand.spaces.retain(|(known, _)| *known != key);
        at_hand.spaces.push_back((key, Arc::new(heard)));
        at_hand.count += 1;
        if at_hand.spaces.len() > AT_HAND {
            at_hand.spaces.pop_front();
        }
    }

    /// How many were ever put here: work that began before is other work.
    pub fn count(&self) -> u64 {
        self.lock().count
    }

    fn lock(&self) -> MutexGuard<'_, AtHand> {
        self.0
            .at_hand
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
    }
}
