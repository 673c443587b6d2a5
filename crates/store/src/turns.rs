//! Whose turn is it with a job?

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::{Mutex as AsyncMutex, OwnedMutexGuard};

/// Whose turn it is, by job: first come, first served. Copies share the line.
#[derive(Clone, Debug, Default)]
pub struct Turns(Arc<Mutex<BTreeMap<String, Arc<AsyncMutex<()>>>>>);

/// A job's turn; it ends when this is dropped.
pub type Turn = OwnedMutexGuard<()>;

impl Turns {
    /// Waits for a job's turn.
    pub async fn of(&self, job: &str) -> Turn {
        let turn = {
            let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            // Nobody waits for those that are held here alone.
            known.retain(|one, turn| one == job || Arc::strong_count(turn) > 1);
            Arc::clone(known.entry(job.to_owned()).or_default())
        };
        turn.lock_owned().await
    }
}
