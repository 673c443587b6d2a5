//! Every measurement of a document by its number, and the latest by its path.

use std::borrow::Borrow;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::ops::Index;
use std::sync::{Arc, OnceLock};

use rustc_hash::FxHashMap;

use crate::{MeasureNumber, Measurement};

/// An edited copy that adds more than so many gets a list of its own.
const ADDED_MAX: usize = 64;

/// Measurements in the order of their numbers. A copy shares those of its original, however
/// many there are, and keeps what an edit adds beside them.
#[derive(Clone, Default)]
pub struct Measurements {
    shared: Arc<Shared>,
    added: Vec<Arc<Measurement>>,
}

#[derive(Default)]
struct Shared {
    all: Vec<Arc<Measurement>>,
    /// The last of each path, made on first ask: a job that nobody edits has no use for it.
    latest: OnceLock<FxHashMap<ByPath, MeasureNumber>>,
}

/// A measurement that is told by its path.
struct ByPath(Arc<Measurement>);

impl Measurements {
    pub(crate) fn new(all: Vec<Measurement>) -> Self {
        Self::sharing(all.into_iter().map(Arc::new).collect())
    }

    fn sharing(all: Vec<Arc<Measurement>>) -> Self {
        let latest = OnceLock::new();
        let shared = Arc::new(Shared { all, latest });
        let added = Vec::new();
        Self { shared, added }
    }

    /// How many there are, those that no fact holds any more too.
    pub fn len(&self) -> usize {
        self.shared.all.len() + self.added.len()
    }

    /// Whether nothing was measured.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The measurement of a number.
    pub fn get(&self, number: usize) -> Option<&Measurement> {
        let shared = &self.shared.all;
        let known = match number.checked_sub(shared.len()) {
            None => shared.get(number),
            Some(beyond) => self.added.get(beyond),
        };
        known.map(AsRef::as_ref)
    }

    /// All of them in the order of their numbers.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = &Measurement> + Clone {
        (self.shared.all.iter().chain(&self.added)).map(AsRef::as_ref)
    }

    /// The last measurement of a path: the text that holds.
    pub fn latest(&self, path: &str) -> Option<(MeasureNumber, &Measurement)> {
        let shared = &self.shared.all;
        let added = self.added.iter().rposition(|known| known.path == path);
        if let Some(at) = added {
            let number = u32::try_from(shared.len() + at).expect("numbers are 32 bits long");
            return Some((MeasureNumber(number), &self.added[at]));
        }
        let latest = self.shared.latest.get_or_init(|| {
            let numbered = (0..).map(MeasureNumber).zip(shared);
            // A later number for a path replaces an earlier one.
            numbered
                .map(|(number, known)| (ByPath(Arc::clone(known)), number))
                .collect()
        });
        let number = *latest.get(path)?;
        Some((number, &shared[number.0 as usize]))
    }

    /// Gives further measurements the next numbers.
    pub(crate) fn extend(&mut self, further: Vec<Measurement>) {
        self.added.extend(further.into_iter().map(Arc::new));
        if self.added.len() > ADDED_MAX {
            let all = self.shared.all.iter().chain(&self.added);
            *self = Self::sharing(all.cloned().collect());
        }
    }
}

impl Index<usize> for Measurements {
    type Output = Measurement;

    fn index(&self, number: usize) -> &Measurement {
        self.get(number).expect("a number of this job")
    }
}

impl PartialEq for Measurements {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len() && self.iter().eq(other.iter())
    }
}

impl fmt::Debug for Measurements {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_list().entries(self.iter()).finish()
    }
}

impl Borrow<str> for ByPath {
    fn borrow(&self) -> &str {
        &self.0.path
    }
}

impl Hash for ByPath {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        self.0.path.hash(hasher);
    }
}

impl PartialEq for ByPath {
    fn eq(&self, other: &Self) -> bool {
        self.0.path == other.0.path
    }
}

impl Eq for ByPath {}

#[cfg(test)]
mod tests {
    //! Copies that share measurements find what a plain list would.

    use super::{ADDED_MAX, Measurements};
    use crate::{Length, MeasureNumber, Measurement};

    fn measurement(path: usize, text: usize) -> Measurement {
        let text = format!("{text} m");
        let length = Length::read(&text).expect("it reads");
        Measurement {
            path: format!("item.lamp-{path}.at"),
            reading: length.reading().clone(),
            text,
        }
    }

    fn assert_same(shared: &Measurements, plain: &[Measurement]) {
        assert_eq!(shared.len(), plain.len());
        assert!(shared.iter().eq(plain));
        assert!(shared.iter().rev().eq(plain.iter().rev()));
        for (number, measurement) in plain.iter().enumerate() {
            assert_eq!(&shared[number], measurement);
        }
        assert!(shared.get(plain.len()).is_none());
        for path in (0..12).map(|path| format!("item.lamp-{path}.at")) {
            let latest = plain.iter().rposition(|known| known.path == path);
            let latest = latest.map(|at| (MeasureNumber(at as u32), &plain[at]));
            assert_eq!(shared.latest(&path), latest, "{path}");
        }
    }

    #[test]
    fn copies_find_what_a_plain_list_would() {
        let mut plain: Vec<_> = (0..9).map(|at| measurement(at % 7, at)).collect();
        let mut shared = Measurements::new(plain.clone());
        assert_same(&shared, &plain);
        for step in 0..3 * ADDED_MAX {
            let original = (shared.clone(), plain.clone());
            let further: Vec<_> = (0..step % 4)
                .map(|at| measurement((step + at) * 5 % 11, step))
                .collect();
            plain.extend(further.iter().cloned());
            shared.extend(further);
            assert_same(&shared, &plain);
            assert_same(&original.0, &original.1);
        }
    }
}
