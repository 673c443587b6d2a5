//! Work that takes longer than anybody should wait without being told.
//!
//! A solve is known by its inputs: who asks for the same thing while it runs, or soon after,
//! shares it. It stops when somebody cancels it, and when the last one who listened to its
//! progress has gone.

mod listen;

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::body::Bytes;
use axum::http::StatusCode;
use schemars::JsonSchema;
use serde::Serialize;
use sha2::{Digest, Sha256};
use tokio::sync::{Semaphore, watch};
use tokio::task::JoinError;

pub use listen::Listening;

use crate::Error;

/// One at a time: desks keep the other core.
const AT_ONCE: usize = 1;

/// Ended solves kept for whoever comes back for them; a set of sheets is some 500 kB.
const KEPT: usize = 12;

/// Solves that run or wait for their turn; more than this and the last would wait for minutes.
const UNDER_WAY_MAX: usize = 16;

/// How far a solve is.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "event", rename_all = "kebab-case")]
pub enum Progress {
    /// It waits or runs.
    #[serde(rename = "progress")]
    Running {
        /// Steps done.
        done: usize,
        /// Steps in all.
        of: usize,
        /// What is being done.
        stage: String,
        /// Rough time left, s; nothing until it can be told.
        left_s: Option<f64>,
    },
    /// It ended well.
    Done {
        /// Where its result is.
        url: String,
    },
    /// It has no result.
    Failed {
        /// Why.
        message: String,
    },
}

impl Progress {
    /// Nothing follows.
    pub fn is_last(&self) -> bool {
        !matches!(self, Self::Running { .. })
    }
}

/// Every solve that runs or has ended lately.
#[derive(Clone)]
pub struct Solves {
    known: Arc<Mutex<BTreeMap<String, Arc<Solve>>>>,
    slots: Arc<Semaphore>,
}

/// One of them.
pub struct Solve {
    started: Instant,
    progress: watch::Sender<Progress>,
    stop: AtomicBool,
    listeners: AtomicUsize,
    result: Mutex<Option<Bytes>>,
}

/// What work tells, and is told, on its way.
pub struct Teller<'a> {
    solve: &'a Solve,
    working: Instant,
    /// When it was last passed on, and at which stage.
    told: Mutex<Option<(Instant, String)>>,
}

/// Progress is passed on no more often than this: nobody reads faster.
const TOLD_EVERY: Duration = Duration::from_millis(100);

/// The work was told to stop.
#[derive(Debug, PartialEq, Eq)]
pub struct Stopped;

impl Teller<'_> {
    /// Tells how far it is; an error once somebody wants it to stop. What comes soon after the last
    /// word of the same stage is kept back.
    pub fn tell(&self, done: usize, of: usize, stage: impl Into<String>) -> Result<(), Stopped> {
        if self.solve.stop.load(Ordering::Relaxed) {
            return Err(Stopped);
        }
        let stage = stage.into();
        {
            let mut told = self.told.lock().unwrap_or_else(PoisonError::into_inner);
            let is_soon =
                |(at, before): &(Instant, String)| *before == stage && at.elapsed() < TOLD_EVERY;
            if told.as_ref().is_some_and(is_soon) {
                return Ok(());
            }
            *told = Some((Instant::now(), stage.clone()));
        }
        let elapsed_s = self.working.elapsed().as_secs_f64();
        let left_s = (done > 0).then(|| elapsed_s / done as f64 * of.saturating_sub(done) as f64);
        self.solve.progress.send_replace(Progress::Running {
            done,
            of,
            stage,
            left_s,
        });
        Ok(())
    }

    /// Set once somebody wants the work to stop.
    #[cfg_attr(
        not(feature = "sheets"),
        expect(dead_code, reason = "sheets ask for it")
    )]
    pub fn stop(&self) -> &AtomicBool {
        &self.solve.stop
    }
}

/// Why work has no result.
#[derive(Debug)]
pub enum Unsolved {
    /// It was told to stop.
    Stopped,
    /// It can't be done, and why.
    Refused(String),
}

impl From<Stopped> for Unsolved {
    fn from(_: Stopped) -> Self {
        Self::Stopped
    }
}

impl Default for Solves {
    fn default() -> Self {
        Self {
            known: Arc::default(),
            slots: Arc::new(Semaphore::new(AT_ONCE)),
        }
    }
}

impl Solves {
    /// The key of what these inputs give: started, unless it runs or has ended well already.
    /// Refused while too much is under way.
    pub fn start<W>(&self, inputs: &str, work: W) -> Result<String, Error>
    where
        W: FnOnce(&Teller) -> Result<Vec<u8>, Unsolved> + Send + 'static,
    {
        let key = key(inputs);
        let mut known = self.lock();
        if let Some(solve) = known.get(&key)
            && !solve.stop.load(Ordering::Relaxed)
            && !matches!(*solve.progress.borrow(), Progress::Failed { .. })
        {
            return Ok(key);
        }
        let under_way = |solve: &&Arc<Solve>| !solve.progress.borrow().is_last();
        if known.values().filter(under_way).count() >= UNDER_WAY_MAX {
            return Err(Error::new(
                StatusCode::TOO_MANY_REQUESTS,
                format!("{UNDER_WAY_MAX} sets are being made or wait for their turn"),
                "wait until one is done, or stop one",
            ));
        }
        let solve = Arc::new(Solve::new());
        known.insert(key.clone(), Arc::clone(&solve));
        forget_oldest(&mut known);
        drop(known);
        tokio::spawn(run(
            Arc::clone(&self.slots),
            solve,
            format!("/api/solves/{key}/result.pdf"),
            work,
        ));
        Ok(key)
    }

    /// Does work that somebody waits for, in its turn; it stops when nobody does any more.
    pub async fn wait<T, W>(&self, work: W) -> Result<T, Error>
    where
        W: FnOnce(&Teller) -> Result<T, Unsolved> + Send + 'static,
        T: Send + 'static,
    {
        let solve = Arc::new(Solve::new());
        let _waiting = StopOnDrop(Arc::clone(&solve));
        match in_turn(&self.slots, &solve, work).await {
            Ok(Ok(done)) => Ok(done),
            Ok(Err(Unsolved::Stopped)) => Err(Error::fault("nobody waits, and nobody stopped")),
            Ok(Err(Unsolved::Refused(message))) => Err(Error::refused(message, "")),
            Err(panicked) => Err(Error::fault(panicked)),
        }
    }

    /// Listens to a solve.
    pub fn listen(&self, key: &str) -> Result<Listening, Error> {
        Ok(Listening::to(self.find(key)?))
    }

    /// Stops a solve.
    pub fn cancel(&self, key: &str) -> Result<(), Error> {
        self.find(key)?.stop.store(true, Ordering::Relaxed);
        Ok(())
    }

    /// What a solve has made.
    pub fn result(&self, key: &str) -> Result<Bytes, Error> {
        let solve = self.find(key)?;
        let result = solve.result.lock().unwrap_or_else(PoisonError::into_inner);
        result.clone().ok_or_else(|| {
            let message = match &*solve.progress.borrow() {
                Progress::Failed { message } => message.clone(),
                _ => "it is not ready yet".to_owned(),
            };
            Error::new(
                StatusCode::CONFLICT,
                message,
                "wait for its `done` event, or start it again",
            )
        })
    }

    /// Stops every solve: the program ends.
    pub fn stop(&self) {
        for solve in self.lock().values() {
            solve.stop.store(true, Ordering::Relaxed);
        }
    }

    fn find(&self, key: &str) -> Result<Arc<Solve>, Error> {
        self.lock().get(key).cloned().ok_or_else(|| {
            Error::not_found(
                "there is no such work, or it was too long ago",
                "start it again",
            )
        })
    }

    fn lock(&self) -> MutexGuard<'_, BTreeMap<String, Arc<Solve>>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Solve {
    fn new() -> Self {
        let (progress, _) = watch::channel(Progress::Running {
            done: 0,
            of: 1,
            stage: "waiting for its turn".to_owned(),
            left_s: None,
        });
        Self {
            started: Instant::now(),
            progress,
            stop: AtomicBool::new(false),
            listeners: AtomicUsize::new(0),
            result: Mutex::new(None),
        }
    }
}

/// A dropped request does not stop work on another thread: this does.
struct StopOnDrop(Arc<Solve>);

impl Drop for StopOnDrop {
    fn drop(&mut self) {
        self.0.stop.store(true, Ordering::Relaxed);
    }
}

/// Does the work on a thread that may block, once it is its turn.
async fn in_turn<T, W>(
    slots: &Semaphore,
    solve: &Arc<Solve>,
    work: W,
) -> Result<Result<T, Unsolved>, JoinError>
where
    W: FnOnce(&Teller) -> Result<T, Unsolved> + Send + 'static,
    T: Send + 'static,
{
    let _slot = slots
        .acquire()
        .await
        .expect("the semaphore is never closed");
    let solve = Arc::clone(solve);
    tokio::task::spawn_blocking(move || {
        let teller = Teller {
            solve: &solve,
            working: Instant::now(),
            told: Mutex::default(),
        };
        teller.tell(0, 1, "starting")?;
        work(&teller)
    })
    .await
}

async fn run<W>(slots: Arc<Semaphore>, solve: Arc<Solve>, url: String, work: W)
where
    W: FnOnce(&Teller) -> Result<Vec<u8>, Unsolved> + Send + 'static,
{
    let ended = in_turn(&slots, &solve, work).await;
    let last = match ended {
        Ok(Ok(bytes)) => {
            let mut result = solve.result.lock().unwrap_or_else(PoisonError::into_inner);
            *result = Some(bytes.into());
            Progress::Done { url }
        }
        Ok(Err(Unsolved::Stopped)) => Progress::Failed {
            message: "it was cancelled".to_owned(),
        },
        Ok(Err(Unsolved::Refused(message))) => Progress::Failed { message },
        Err(panicked) => Progress::Failed {
            message: Error::fault(panicked).says.message,
        },
    };
    solve.progress.send_replace(last);
}

/// The oldest that have ended go when there are too many.
fn forget_oldest(known: &mut BTreeMap<String, Arc<Solve>>) {
    let mut ended: Vec<(Instant, String)> = (known.iter())
        .filter(|(_, solve)| solve.progress.borrow().is_last())
        .map(|(key, solve)| (solve.started, key.clone()))
        .collect();
    ended.sort();
    let too_many = ended.len().saturating_sub(KEPT);
    for (_, key) in ended.into_iter().take(too_many) {
        known.remove(&key);
    }
}

fn key(inputs: &str) -> String {
    let mut key = String::new();
    for byte in &Sha256::digest(inputs.as_bytes())[..16] {
        let _ = write!(key, "{byte:02x}");
    }
    key
}

#[cfg(test)]
mod tests;
