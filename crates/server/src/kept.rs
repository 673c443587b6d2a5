//! Small things that are kept in memory for a while.

use std::collections::{BTreeMap, VecDeque};
use std::sync::{Arc, Mutex, PoisonError};

use catalogue::Table;
use store::When;
use tokio::sync::{Mutex as AsyncMutex, OwnedMutexGuard};

/// How large a photograph is, in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// Across.
    pub width: u32,
    /// Down.
    pub height: u32,
}

impl Size {
    /// Of a kept photograph, which stands upright; none when it is no picture.
    pub fn of(jpeg: &[u8]) -> Option<Self> {
        let size = imagesize::blob_size(jpeg).ok()?;
        Some(Self {
            width: u32::try_from(size.width).ok()?,
            height: u32::try_from(size.height).ok()?,
        })
    }
}

/// Sizes of photographs by their hash, which never change.
#[derive(Clone, Default)]
pub struct Sizes(Arc<Mutex<BTreeMap<String, Size>>>);

impl Sizes {
    /// The size, if it was looked up before.
    pub fn get(&self, hash: &str) -> Option<Size> {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        known.get(hash).copied()
    }

    /// Keeps a size.
    pub fn put(&self, hash: &str, size: Size) {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        known.insert(hash.to_owned(), size);
    }
}

/// Operations whose moment is remembered: more than a crew sends between two tries of one.
const OPERATIONS: usize = 4096;

/// The longest number of an operation that is remembered; the store refuses longer ones.
const OPERATION_BYTES_MAX: usize = 1000;

/// When each operation of late was first asked for. One that is sent again, because its
/// answer was lost, is the same act of the same moment.
#[derive(Clone, Default)]
pub struct Moments(Arc<Mutex<VecDeque<(String, When)>>>);

impl Moments {
    /// The moment of an operation: the first one that was told of it.
    pub fn of(&self, op: &str, when: When) -> When {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, first)) = known.iter().rev().find(|(one, _)| one == op) {
            return first.clone();
        }
        if op.len() > OPERATION_BYTES_MAX {
            return when;
        }
        known.push_back((op.to_owned(), when.clone()));
        if known.len() > OPERATIONS {
            known.pop_front();
        }
        when
    }
}

/// Whose turn it is to save, by job. A desk follows from one revision to the next: saves that
/// overtook each other on their way there would have it read each anew.
#[derive(Clone, Default)]
pub struct Turns(Arc<Mutex<BTreeMap<String, Arc<AsyncMutex<()>>>>>);

impl Turns {
    /// Waits for a job's turn, which lasts until the guard is dropped.
    pub async fn of(&self, job: &str) -> OwnedMutexGuard<()> {
        let turn = {
            let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            // Nobody waits for those that are held here alone.
            known.retain(|one, turn| one == job || Arc::strong_count(turn) > 1);
            Arc::clone(known.entry(job.to_owned()).or_default())
        };
        turn.lock_owned().await
    }
}

/// Tables kept between being read and being imported.
const TABLES: usize = 8;

/// Tables that were read, until their columns are told apart.
#[derive(Clone, Default)]
pub struct Tables(Arc<Mutex<Read>>);

#[derive(Default)]
struct Read {
    /// Oldest first.
    tables: VecDeque<(String, Arc<Table>)>,
    count: u64,
}

impl Tables {
    /// Keeps a table, under the key that is given back.
    pub fn put(&self, table: Table) -> String {
        let mut read = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        read.count += 1;
        let key = format!("table-{}", read.count);
        read.tables.push_back((key.clone(), Arc::new(table)));
        if read.tables.len() > TABLES {
            read.tables.pop_front();
        }
        key
    }

    /// A table that was read lately.
    pub fn get(&self, key: &str) -> Option<Arc<Table>> {
        let read = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = read.tables.iter().find(|(known, _)| known == key);
        found.map(|(_, table)| Arc::clone(table))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_operation_keeps_its_first_moment_while_it_is_remembered() {
        let at = |minute: usize| When::parse(&format!("2026-05-11T08:{minute:02}:00Z")).unwrap();
        let moments = Moments::default();
        assert_eq!(moments.of("a", at(1)), at(1));
        assert_eq!(moments.of("a", at(2)), at(1));
        assert_eq!(moments.of("b", at(3)), at(3));
        for number in 0..OPERATIONS {
            moments.of(&number.to_string(), at(4));
        }
        assert_eq!(moments.of("a", at(5)), at(5));
    }

    #[test]
    fn an_operation_of_a_number_that_is_no_number_takes_no_room() {
        let at = |minute: usize| When::parse(&format!("2026-05-11T08:{minute:02}:00Z")).unwrap();
        let moments = Moments::default();
        let long = "a".repeat(OPERATION_BYTES_MAX + 1);
        moments.of(&long, at(1));
        assert!(moments.0.lock().unwrap().is_empty());
    }
}
