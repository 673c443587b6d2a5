//! Where is an open job proved?
//!
//! What was worked out about a job shares parts that no two threads may touch at once, so
//! each open job has a thread of its own: its desk. Requests wait in the desk's
//! [`mailbox`] and are answered one after another, which also keeps the processor for
//! other jobs. A desk that nobody uses closes; so does the least recently used one when
//! there are too many.

mod mailbox;
mod room;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use model::Edit;

pub use mailbox::{Answer, Lane, Unanswered};
pub use room::{Revision, Room, Saves};

use mailbox::{Closed, Mailbox};

/// How many desks there are and how long one stays open unused.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Desks open at once.
    pub desks: usize,
    /// How long an unused desk stays open.
    pub idle: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            desks: 16,
            idle: Duration::from_secs(600),
        }
    }
}

/// The open jobs.
pub struct Desks {
    limits: Limits,
    open: Arc<Mutex<Vec<Desk>>>,
}

struct Desk {
    job: String,
    mailbox: Arc<Mailbox<Room>>,
    saves: Saves,
    thread: Option<JoinHandle<()>>,
}

impl Desks {
    /// None is open yet.
    pub fn new(limits: Limits) -> Self {
        Self {
            limits,
            open: Arc::default(),
        }
    }

    /// Has work done at a job's desk, which is opened when it is not: only ask of a job that
    /// there is, since another's desk may close for it.
    pub async fn ask<T, F>(&self, job: &str, lane: Option<Lane>, work: F) -> Result<T, Unanswered>
    where
        F: FnOnce(&mut Room) -> T + Send + 'static,
        T: Send + 'static,
    {
        self.post(job, lane, work).wait().await
    }

    /// As [`Desks::ask`], but the answer is to be waited for: what is posted later comes later.
    pub fn post<T, F>(&self, job: &str, lane: Option<Lane>, work: F) -> Answer<T>
    where
        F: FnOnce(&mut Room) -> T + Send + 'static,
        T: Send + 'static,
    {
        let mut work = work;
        loop {
            match self.desk(job).0.post(lane.clone(), work) {
                Ok(answer) => return answer,
                // It closed between being found and being asked.
                Err(Closed(back)) => work = back,
            }
        }
    }

    /// Notes what a job's revision differs by from the one before, so that its desk may prove it
    /// with what was saved before and after it. Note them in their order.
    pub fn note(&self, job: &str, revision: Revision, edits: Vec<Edit>) {
        self.desk(job).1.note(revision, edits);
    }

    /// Whether a job lies open.
    pub fn is_open(&self, job: &str) -> bool {
        lock(&self.open).iter().any(|desk| desk.job == job)
    }

    /// How many desks are open.
    #[cfg(test)]
    pub fn count(&self) -> usize {
        lock(&self.open).len()
    }

    /// Closes every desk once it has answered what waits there. Blocks until then.
    pub fn close(&self) {
        let desks = std::mem::take(&mut *lock(&self.open));
        for desk in &desks {
            desk.mailbox.close();
        }
        for thread in desks.into_iter().filter_map(|desk| desk.thread) {
            // Work that panics is caught within.
            let _ = thread.join();
        }
    }

    /// The mailbox of a job's desk, which is the most recently used then, and what was saved.
    fn desk(&self, job: &str) -> (Arc<Mailbox<Room>>, Saves) {
        let mut open = lock(&self.open);
        let desk = match open.iter().position(|desk| desk.job == job) {
            Some(at) => open.remove(at),
            None => {
                if open.len() >= self.limits.desks {
                    open.remove(0).mailbox.close();
                }
                self.opened(job)
            }
        };
        let found = (Arc::clone(&desk.mailbox), desk.saves.clone());
        open.push(desk);
        found
    }

    fn opened(&self, job: &str) -> Desk {
        let mailbox = Arc::new(Mailbox::new());
        let (letters, open) = (Arc::clone(&mailbox), Arc::clone(&self.open));
        let idle = self.limits.idle;
        let saves = Saves::default();
        let saved = saves.clone();
        let thread = thread::Builder::new()
            // Whatever was asked for, as the system takes it.
            .name(format!("desk {}", job.replace('\0', "")))
            .spawn(move || {
                work(&letters, idle, &saved);
                lock(&open).retain(|desk| !Arc::ptr_eq(&desk.mailbox, &letters));
            })
            .expect("a machine that serves pages has room for sixteen threads");
        Desk {
            job: job.to_owned(),
            mailbox,
            saves,
            thread: Some(thread),
        }
    }
}

/// Answers until the mailbox closes. Work that panics loses its answer and what lies on the
/// desk, nothing else.
fn work(mailbox: &Mailbox<Room>, idle: Duration, saves: &Saves) {
    let mut room = Room::new(saves.clone());
    loop {
        let answered = catch_unwind(AssertUnwindSafe(|| mailbox.answer_next(&mut room, idle)));
        match answered {
            Ok(true) => {}
            Ok(false) => return,
            Err(_) => room = Room::new(saves.clone()),
        }
    }
}

fn lock(open: &Mutex<Vec<Desk>>) -> MutexGuard<'_, Vec<Desk>> {
    open.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests;
