//! Small things that are kept in memory for a while.

use std::collections::{BTreeMap, VecDeque};
use std::sync::{Arc, Mutex, PoisonError};

use catalogue::Table;

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
