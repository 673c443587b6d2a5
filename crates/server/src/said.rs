//! What is said of a whole revision, written once for all who open it.
//!
//! A crew opens the same job within the same minutes, and a list of findings takes longer to
//! write than to prove.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use axum::body::Bytes;
use model::Job;
use view::{Counts, SpaceCounts};

use crate::card::{self, OpenAt};
use crate::desk::{Revision, Room};
use crate::{Error, State};

/// Revisions kept; one of a house has under a MB.
const KEPT: usize = 16;

/// What is said of a revision.
pub struct Said {
    /// Its job.
    pub job: Job,
    /// Every finding, as JSON.
    pub findings: Bytes,
    /// How many have each verdict.
    pub counts: Counts,
    /// The same by space.
    pub by_space: Vec<SpaceCounts>,
    /// Where open ones are settled.
    pub by_moment: Vec<OpenAt>,
}

/// Revisions of late.
#[derive(Clone, Default)]
pub struct Sayings(Arc<Mutex<Kept>>);

/// Oldest first.
type Kept = VecDeque<(String, Revision, Arc<Said>)>;

impl Sayings {
    fn get(&self, job: &str, revision: Revision) -> Option<Arc<Said>> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = (kept.iter()).find(|(one, number, _)| one == job && *number == revision);
        found.map(|(.., said)| Arc::clone(said))
    }

    fn put(&self, job: &str, revision: Revision, said: &Arc<Said>) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.push_back((job.to_owned(), revision, Arc::clone(said)));
        if kept.len() > KEPT {
            kept.pop_front();
        }
    }
}

impl State {
    /// What is said of a revision.
    pub async fn said(&self, job: &str, revision: Revision) -> Result<Arc<Said>, Error> {
        if let Some(said) = self.sayings().get(job, revision) {
            return Ok(said);
        }
        let (sayings, id) = (self.sayings().clone(), job.to_owned());
        let look = move |_, room: &mut Room| {
            // Others who asked meanwhile had their turn before.
            if let Some(said) = sayings.get(&id, revision) {
                return Ok(said);
            }
            let said = Arc::new(Said::of(room, revision)?);
            sayings.put(&id, revision, &said);
            Ok(said)
        };
        self.look_from(job, revision, false, None, look).await?
    }
}

impl Said {
    fn of(room: &mut Room, revision: Revision) -> Result<Self, Error> {
        let gone = || Error::fault("a revision does not stay on its desk");
        let mut findings = room.findings(revision).ok_or_else(gone)?;
        let proved = room.at(revision).ok_or_else(gone)?;
        // The page knows revisions of the store, not issues of the sheets.
        findings.revision = u32::try_from(revision).ok();
        Ok(Self {
            job: proved.analysis().job().clone(),
            findings: serde_json::to_vec(&findings).map_err(Error::fault)?.into(),
            counts: findings.counts,
            by_space: findings.by_space,
            by_moment: card::by_moment(proved.findings()),
        })
    }
}
