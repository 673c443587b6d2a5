//! Documents of late, as they were read: one change asks for the same document several times, and
//! the next change for the one that this one made.

use std::collections::VecDeque;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use model::{EditedText, Job, LimitName};
use serde_json::Value;

/// The latest last.
static READ: Mutex<VecDeque<Read>> = Mutex::new(VecDeque::new());

/// As much text is kept in all: some sixty houses.
const KEPT_BYTES: usize = 4 << 20;

#[derive(Default)]
struct Read {
    /// Of the text: documents of one job are alike for most of their length.
    hash: u64,
    text: String,
    facts: Option<Arc<Value>>,
    /// Goes with whoever edits it.
    apart: Option<EditedText>,
    /// With the limits by which it was read.
    job: Option<(Vec<LimitName>, Arc<Job>)>,
}

/// What a document says, if it is kept.
pub(super) fn facts(text: &str) -> Option<Arc<Value>> {
    let hash = hash(text);
    let kept = lock();
    let read = kept.iter().rev().find(|read| read.is(hash, text))?;
    read.facts.clone()
}

pub(super) fn keep_facts(text: &str, facts: &Arc<Value>) {
    keep(text, |read| read.facts = Some(Arc::clone(facts)));
}

/// The job that a document reads as by these limits, if it is kept.
pub(super) fn job(text: &str, limits: &[LimitName]) -> Option<Arc<Job>> {
    let hash = hash(text);
    let kept = lock();
    let read = kept.iter().rev().find(|read| read.is(hash, text))?;
    let (by, job) = read.job.as_ref()?;
    (by == limits).then(|| Arc::clone(job))
}

pub(super) fn keep_job(text: &str, limits: &[LimitName], job: Job) {
    let job = (limits.to_vec(), Arc::new(job));
    keep(text, |read| read.job = Some(job));
}

/// The text taken apart, if it is kept; it is not kept any more then.
pub(super) fn take_apart(text: &str) -> Option<EditedText> {
    let hash = hash(text);
    let mut kept = lock();
    let read = kept.iter_mut().rev().find(|read| read.is(hash, text))?;
    read.apart.take()
}

pub(super) fn keep_apart(text: &str, apart: EditedText) {
    keep(text, |read| read.apart = Some(apart));
}

impl Read {
    fn is(&self, hash: u64, text: &str) -> bool {
        self.hash == hash && self.text == text
    }
}

fn hash(text: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    text.hash(&mut hasher);
    hasher.finish()
}

fn keep(text: &str, note: impl FnOnce(&mut Read)) {
    if text.len() > KEPT_BYTES {
        return;
    }
    let hash = hash(text);
    let mut kept = lock();
    if let Some(read) = kept.iter_mut().rev().find(|read| read.is(hash, text)) {
        return note(read);
    }
    let mut read = Read {
        hash,
        text: text.to_owned(),
        ..Read::default()
    };
    note(&mut read);
    kept.push_back(read);
    let mut bytes: usize = kept.iter().map(|read| read.text.len()).sum();
    while bytes > KEPT_BYTES {
        let oldest = kept.pop_front();
        bytes -= oldest.map_or(bytes, |read| read.text.len());
    }
}

/// Each entry is written in one step, so that a panic can't leave half of one.
fn lock() -> MutexGuard<'static, VecDeque<Read>> {
    READ.lock().unwrap_or_else(PoisonError::into_inner)
}
