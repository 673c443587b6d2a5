//! Results of dear functions, kept for a job and its edited copies.
//!
//! What such a function gives depends on its inputs alone, which are compared to the last
//! share of uncertainty; which facts of the job they stem from does not matter here.

use std::any::Any;
use std::cell::RefCell;
use std::hash::{Hash, Hasher};

use rustc_hash::{FxHashMap, FxHasher};

use crate::{Analysis, Uncertain};

/// More than a house has; an editor's long session starts over when it is reached.
const MANY: usize = 20_000;

#[derive(Default)]
pub(crate) struct Remembered {
    plain: RefCell<FxHashMap<Key, f64>>,
    uncertain: RefCell<FxHashMap<Key, (Vec<Uncertain>, Uncertain)>>,
    told: RefCell<FxHashMap<(&'static str, u64), Told>>,
}

/// An answer and all that it is told from.
struct Told {
    words: Vec<String>,
    exact: Vec<f64>,
    inputs: Vec<Uncertain>,
    answer: Box<dyn Any>,
}

impl Told {
    fn is_from(&self, words: &[&str], exact: &[f64], inputs: &[&Uncertain]) -> bool {
        self.words == words && self.exact == exact && self.inputs.iter().eq(inputs.iter().copied())
    }
}

/// A function's name and the bits of its inputs' best estimates.
type Key = (&'static str, Vec<u64>);

fn key<'a>(function: &'static str, inputs: impl Iterator<Item = &'a f64>) -> Key {
    (function, inputs.map(|input| input.to_bits()).collect())
}

impl Analysis {
    /// The result of a pure function, computed once for the same inputs. `function` names
    /// it: one name, one function.
    pub fn remembered_value(
        &self,
        function: &'static str,
        inputs: &[f64],
        result: impl FnOnce() -> f64,
    ) -> f64 {
        let key = key(function, inputs.iter());
        if let Some(known) = self.remembered.plain.borrow().get(&key) {
            return *known;
        }
        let result = result();
        self.keep(&self.remembered.plain, key, || result);
        result
    }

    /// As [`Analysis::remembered_value`], for uncertain inputs.
    pub fn remembered(
        &self,
        function: &'static str,
        inputs: &[&Uncertain],
        result: impl FnOnce() -> Uncertain,
    ) -> Uncertain {
        let values: Vec<f64> = inputs.iter().map(|input| input.value()).collect();
        let key = key(function, values.iter());
        if let Some((known, result)) = self.remembered.uncertain.borrow().get(&key)
            && known.iter().eq(inputs.iter().copied())
        {
            return result.clone();
        }
        let result = result();
        self.keep(&self.remembered.uncertain, key, || {
            let inputs = inputs.iter().map(|input| (*input).clone()).collect();
            (inputs, result.clone())
        });
        result
    }

    /// As [`Analysis::remembered`], for any answer that a trial tells from words and numbers
    /// alone; the words name what it is about. What is no trial is told more, and each time.
    pub fn remembered_in_trials<T: Clone + 'static>(
        &self,
        question: &'static str,
        (words, exact, inputs): (&[&str], &[f64], &[&Uncertain]),
        answer: impl FnOnce() -> T,
    ) -> T {
        if !self.is_trial {
            return answer();
        }
        let mut hasher = FxHasher::default();
        words.hash(&mut hasher);
        let key = (question, hasher.finish());
        if let Some(told) = self.remembered.told.borrow().get(&key)
            && told.is_from(words, exact, inputs)
        {
            let answer = told.answer.downcast_ref::<T>();
            return answer.expect("one name, one question").clone();
        }
        let answer = answer();
        self.keep(&self.remembered.told, key, || Told {
            words: words.iter().map(|word| (*word).to_owned()).collect(),
            exact: exact.to_vec(),
            inputs: inputs.iter().map(|input| (*input).clone()).collect(),
            answer: Box::new(answer.clone()),
        });
        answer
    }

    /// What a remedy's copy works out is of no use to the next copy.
    fn keep<K: Eq + Hash, T>(
        &self,
        known: &RefCell<FxHashMap<K, T>>,
        key: K,
        result: impl FnOnce() -> T,
    ) {
        if self.is_short_lived() {
            return;
        }
        let mut known = known.borrow_mut();
        if known.len() >= MANY {
            known.clear();
        }
        known.insert(key, result());
    }
}

#[cfg(test)]
mod tests {
    //! Alike inputs are not computed again; inputs that differ in uncertainty alone are.

    use std::cell::Cell;
    use std::sync::Arc;

    use uncertainty::{SourceId, Uncertain};

    use crate::Analysis;

    const JOB: &str = "format = 1\n[job]\nname = \"Nothing\"\n";

    #[test]
    fn only_other_inputs_are_computed() {
        let job = model::read(JOB, &[]).expect("the job reads");
        let analysis = Analysis::new(Arc::new(job));
        let calls = Cell::new(0);
        let ask = |analysis: &Analysis, input: &Uncertain| {
            analysis.remembered("double", &[input], || {
                calls.set(calls.get() + 1);
                input * 2.0
            })
        };
        let measured = |u, source| Uncertain::measured(1.5, u, SourceId(source));
        for (input, calls_then) in [
            (measured(0.1, 0), 1),
            (measured(0.1, 0), 1),
            (measured(0.2, 0), 2),
            (measured(0.2, 1), 3),
            (measured(0.2, 1), 3),
        ] {
            assert_eq!(ask(&analysis, &input), &input * 2.0);
            assert_eq!(calls.get(), calls_then);
        }
        let copy = analysis.edited(&[]).expect("no edit is refused");
        ask(&copy, &measured(0.2, 1));
        assert_eq!(calls.get(), 3);
    }
}
