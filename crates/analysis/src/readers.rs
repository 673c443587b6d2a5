//! Who rests on what changed: looked up rather than asked one by one, since a house of forty rooms
//! has six thousand answers and a remedy touches a hundred.

use rustc_hash::FxHashMap;

use crate::reads::Word;
use crate::{Changes, Reads};

/// Answers of a list by the things that they rest on.
#[derive(Debug, Default)]
pub struct Readers {
    count: usize,
    /// Those that rest on everything.
    of_everything: Vec<usize>,
    /// Those that rest on some of 64 things, and on which of them.
    by_word: FxHashMap<(usize, usize), Vec<(usize, u64)>>,
}

impl Readers {
    /// Of answers by what each rests on.
    pub fn new<'a>(answers: impl IntoIterator<Item = &'a Reads>) -> Self {
        let mut readers = Self::default();
        for (at, reads) in answers.into_iter().enumerate() {
            readers.count += 1;
            if reads.is_of_everything() {
                readers.of_everything.push(at);
                continue;
            }
            for Word { thing, word, bits } in reads.words() {
                let known = readers.by_word.entry((thing, word)).or_default();
                known.push((at, bits));
            }
        }
        readers
    }

    /// The positions of the answers that [`Reads::touched_by`] says may differ, in order.
    pub fn touched_by(&self, changes: &Changes) -> Vec<usize> {
        let Some(words) = changes.words() else {
            return (0..self.count).collect();
        };
        if changes.is_empty() {
            return Vec::new();
        }
        let readers = words.iter().flat_map(|changed| {
            let known = self.by_word.get(&(changed.thing, changed.word));
            let known = known.into_iter().flatten();
            known.filter_map(|(at, bits)| (bits & changed.bits != 0).then_some(*at))
        });
        let mut touched: Vec<usize> = readers.chain(self.of_everything.iter().copied()).collect();
        touched.sort_unstable();
        touched.dedup();
        touched
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Readers;
    use crate::Reads;
    use crate::reads::{Changes, Thing};

    /// Items by their positions; none stands for everything.
    fn reads(items: Option<&Vec<usize>>) -> Reads {
        let Some(items) = items else {
            return Reads::everything();
        };
        let mut reads = Reads::default();
        items.iter().for_each(|item| reads.note(Thing::Item, *item));
        reads
    }

    proptest! {
        #[test]
        fn those_are_found_that_are_touched_one_by_one(
            answers in prop::collection::vec(prop::option::weighted(0.9, prop::collection::vec(0..200_usize, 0..9)), 0..40),
            changed in prop::option::weighted(0.9, prop::collection::vec(0..200_usize, 0..9)),
        ) {
            let answers: Vec<Reads> = answers.iter().map(|items| reads(items.as_ref())).collect();
            let changes = Changes::from(reads(changed.as_ref()));
            let one_by_one: Vec<usize> = (0..answers.len())
                .filter(|at| answers[*at].touched_by(&changes))
                .collect();
            prop_assert_eq!(Readers::new(&answers).touched_by(&changes), one_by_one);
        }
    }
}
