//! Answers to questions that this crate does not know, kept with the facts that they rest on.

use std::any::Any;
use std::cell::RefCell;
use std::rc::Rc;

use model::{Cable, Fixture, Item, Soffit, Space};

use rustc_hash::FxHashMap;

use crate::{Analysis, Parts, Reads};

/// A question by its name, and what it is about.
type Key = (&'static str, About);

/// A thing by its place in the job, or the space's and its own in that.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum About {
    Item(usize),
    Cable(usize),
    Fixture(usize, usize),
    Soffit(usize, usize),
    Space(usize),
}

type Answers = Rc<RefCell<FxHashMap<Key, Rc<(Box<dyn Any>, Reads)>>>>;

/// Own answers, and those of the analysis that this one was edited from.
#[derive(Default)]
pub(crate) struct Asked {
    own: Answers,
    /// The nearest first: of one whose copy differs in nothing what that copy was not asked.
    before: Vec<Answers>,
}

impl Asked {
    /// For a copy of an analysis that itself differs from its original or not.
    pub fn for_edited(&self, differs: bool) -> Self {
        let mut before = vec![Rc::clone(&self.own)];
        if !differs {
            before.extend(self.before.iter().cloned());
        }
        Self {
            own: Answers::default(),
            before,
        }
    }
}

impl Analysis {
    /// An answer about an item, kept and shared by copies in which it rests on nothing that
    /// differs. `question` names it: one name, one question. What the answer looks at besides
    /// the item and the shape of its space it has to ask of the analysis.
    pub fn kept_of_item<T: Clone + 'static>(
        &self,
        question: &'static str,
        item: &Item,
        answer: impl FnOnce() -> T,
    ) -> T {
        let at = self.item_at(&item.id).expect("an item of this job");
        self.asked((question, About::Item(at)), || {
            self.noted_item(at);
            // Where it is in no space, nothing about one is looked at.
            let _ = self.room_of(item);
            answer()
        })
    }

    /// As [`Analysis::kept_of_item`], of a cable.
    pub fn kept_of_cable<T: Clone + 'static>(
        &self,
        question: &'static str,
        cable: &Cable,
        answer: impl FnOnce() -> T,
    ) -> T {
        let at = self.cable_at(&cable.id).expect("a cable of this job");
        self.asked((question, About::Cable(at)), || {
            self.noted_cable(at);
            answer()
        })
    }

    /// As [`Analysis::kept_of_item`], of a fixture; every fixture of its space may be looked at.
    pub fn kept_of_fixture<T: Clone + 'static>(
        &self,
        question: &'static str,
        space: &Space,
        fixture: &Fixture,
        answer: impl FnOnce() -> T,
    ) -> T {
        let at = self.space_at(&space.id).expect("a space of this job");
        let index = (space.fixture.iter()).position(|one| one.id == fixture.id);
        let index = index.expect("a fixture of this space");
        self.asked((question, About::Fixture(at, index)), || {
            self.shape_and(at, Parts::FIXTURES);
            answer()
        })
    }

    /// As [`Analysis::kept_of_item`], of a soffit.
    pub fn kept_of_soffit<T: Clone + 'static>(
        &self,
        question: &'static str,
        space: &Space,
        soffit: &Soffit,
        answer: impl FnOnce() -> T,
    ) -> T {
        let at = self.space_at(&space.id).expect("a space of this job");
        let index = (space.soffit.iter()).position(|one| one.id == soffit.id);
        let index = index.expect("a soffit of this space");
        self.asked((question, About::Soffit(at, index)), || {
            self.shape_and(at, Parts::NONE);
            answer()
        })
    }

    /// As [`Analysis::kept_of_item`], of a space, which is handed on with these of its lists
    /// alone.
    pub fn kept_of_space<T: Clone + 'static>(
        &self,
        question: &'static str,
        space: &Space,
        parts: Parts,
        answer: impl FnOnce(&Space) -> T,
    ) -> T {
        let at = self.space_at(&space.id).expect("a space of this job");
        self.asked((question, About::Space(at)), || {
            answer(self.space_in_parts(at, parts))
        })
    }

    fn asked<T: Clone + 'static>(&self, key: Key, answer: impl FnOnce() -> T) -> T {
        let own = self.asked.own.borrow().get(&key).cloned();
        let kept = own.or_else(|| {
            let mut all = self.asked.before.iter();
            let before = all.find_map(|before| before.borrow().get(&key).cloned())?;
            if before.1.touched_by(&self.changed) {
                return None;
            }
            // A remedy's copy is asked too little for a second handle to be worth it.
            if !self.is_short_lived() {
                self.asked.own.borrow_mut().insert(key, Rc::clone(&before));
            }
            Some(before)
        });
        let kept = match kept {
            Some(kept) => {
                self.ledger.note_all(&kept.1);
                kept
            }
            None => {
                let (answer, reads) = self.noting(answer);
                let new: Rc<(Box<dyn Any>, Reads)> = Rc::new((Box::new(answer), reads));
                self.asked.own.borrow_mut().insert(key, Rc::clone(&new));
                new
            }
        };
        let answer = kept.0.downcast_ref::<T>();
        answer.expect("one name, one question").clone()
    }
}

#[cfg(test)]
mod tests {
    //! An answer is asked for again where what it looks at differs, and there alone.

    use std::cell::Cell;
    use std::sync::Arc;

    use model::Edit;

    use crate::Analysis;

    const JOB: &str = r#"
format = 1
[job]
name = "One room"
[[kit.device]]
id = "box"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
[[space.fixture]]
id = "lamp"
kind = "ceiling-light"
[[item]]
id = "player"
is = "box"
space = "den"
"#;

    #[test]
    fn a_copy_asks_only_where_it_differs() {
        let analysis = Analysis::new(Arc::new(model::read(JOB, &[]).expect("the job reads")));
        let calls = Cell::new([0, 0]);
        let ask = |analysis: &Analysis| {
            let count = |of: usize| {
                let mut counts = calls.get();
                counts[of] += 1;
                calls.set(counts);
            };
            let item = analysis.item("player").expect("it is there");
            let note = analysis.kept_of_item("name", item, || {
                count(0);
                item.name.clone()
            });
            let space = analysis.space("den").expect("it is there");
            let lamp = &space.fixture[0];
            let kind = analysis.kept_of_fixture("name", space, lamp, || {
                count(1);
                Some(format!("{:?}", lamp.kind))
            });
            (note, kind)
        };
        let light = Some("CeilingLight".to_owned());
        assert_eq!(ask(&analysis), (None, light.clone()));
        assert_eq!(ask(&analysis), (None, light.clone()));
        assert_eq!(calls.get(), [1, 1]);
        let edited = |at: &str, to: &str| {
            let copy = analysis.edited(&[Edit::set(at, to)]);
            copy.expect("the edit can be made")
        };
        let named = edited("item.player.name", "Player");
        assert_eq!(ask(&named), (Some("Player".to_owned()), light));
        assert_eq!(calls.get(), [2, 1]);
        let fan = edited("space.den.fixture.lamp.kind", "fan");
        assert_eq!(ask(&fan), (None, Some("Fan".to_owned())));
        assert_eq!(calls.get(), [2, 2]);
    }
}
