//! Answers to questions that this crate does not know, kept with the facts that they rest on.

use std::any::Any;
use std::cell::RefCell;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::rc::Rc;

use model::{Cable, Fixture, Item, Soffit, Space};

use rustc_hash::FxHashMap;

use crate::settled::SettledAt;
use crate::{Analysis, Parts, Reads};

/// A question by its name, and what it is about.
pub(crate) type Key = (Question, About);

/// One name, one question. Names are mostly the same piece of the program, and looked up often.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Question(&'static str);

impl PartialEq for Question {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.0, other.0) || self.0 == other.0
    }
}

impl Eq for Question {}

impl Hash for Question {
    fn hash<H: Hasher>(&self, state: &mut H) {
        let name = self.0.as_bytes();
        let ends = [name.first(), name.last()].map(|end| end.copied().unwrap_or_default());
        state.write_usize(name.len() << 16 | usize::from(ends[0]) << 8 | usize::from(ends[1]));
    }
}

/// A thing by its place in the job, or the space's and its own in that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum About {
    Item(usize),
    Cable(usize),
    Fixture(usize, usize),
    Soffit(usize, usize),
    /// An item, and a number of the caller's.
    ItemAnd(usize, usize),
    CableAnd(usize, usize),
    Space(usize),
    House,
}

pub(crate) struct Answer {
    value: Box<dyn Any>,
    pub reads: Reads,
    /// Of a settled answer.
    settled: Option<Settled>,
}

impl fmt::Debug for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Answer").finish_non_exhaustive()
    }
}

struct Settled {
    ask: Box<dyn Fn(&Analysis)>,
    same: fn(&dyn Any, &dyn Any) -> bool,
}

type Answers = Rc<RefCell<FxHashMap<Key, Rc<Answer>>>>;

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

    fn own(&self, key: &Key) -> Option<Rc<Answer>> {
        self.own.borrow().get(key).cloned()
    }

    fn before(&self, key: &Key) -> Option<Rc<Answer>> {
        let mut all = self.before.iter();
        all.find_map(|before| before.borrow().get(key).cloned())
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
        self.asked((Question(question), About::Item(at)), || {
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
        self.asked((Question(question), About::Cable(at)), || {
            self.noted_cable(at);
            answer()
        })
    }

    /// As [`Analysis::kept_of_item`], of a fixture; the others of its space are not looked at.
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
        let about = About::Fixture(at, index);
        self.asked((Question(question), about), || {
            self.shape_and(at, Parts::NONE);
            self.settled((Question("the fixture"), about), move |analysis| {
                let space = analysis.shape_and(at, Parts::FIXTURES);
                space.fixture.get(index).cloned()
            });
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
        self.asked((Question(question), About::Soffit(at, index)), || {
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
        self.asked((Question(question), About::Space(at)), || {
            answer(self.space_in_parts(at, parts))
        })
    }

    /// A settled answer about an item: a copy that tries a remedy holds it against that of the
    /// original, and what rests on nothing else that changed need not be asked again. Worth it
    /// for what seldom differs though much that it looks at does: on which wall a thing hangs, not
    /// where on it. `question` names it, as in [`Analysis::kept_of_item`].
    pub fn settled_of_item<T: Clone + PartialEq + 'static>(
        &self,
        question: &'static str,
        item: &Item,
        answer: fn(&Self, &Item) -> T,
    ) -> T {
        let at = self.item_at(&item.id).expect("an item of this job");
        self.settled((Question(question), About::Item(at)), move |analysis| {
            answer(analysis, analysis.noted_item(at))
        })
    }

    /// As [`Analysis::settled_of_item`], of a cable.
    pub fn settled_of_cable<T: Clone + PartialEq + 'static>(
        &self,
        question: &'static str,
        cable: &Cable,
        answer: fn(&Self, &Cable) -> T,
    ) -> T {
        let at = self.cable_at(&cable.id).expect("a cable of this job");
        self.settled((Question(question), About::Cable(at)), move |analysis| {
            answer(analysis, analysis.noted_cable(at))
        })
    }

    /// As [`Analysis::settled_of_cable`], of a cable and a number: a space by its position, say.
    pub fn settled_of_cable_and<T: Clone + PartialEq + 'static>(
        &self,
        question: &'static str,
        cable: &Cable,
        number: usize,
        answer: fn(&Self, &Cable, usize) -> T,
    ) -> T {
        let at = self.cable_at(&cable.id).expect("a cable of this job");
        self.settled(
            (Question(question), About::CableAnd(at, number)),
            move |analysis| answer(analysis, analysis.noted_cable(at), number),
        )
    }

    /// As [`Analysis::settled_of_item`], of a space, of which the answer is handed no list.
    pub fn settled_of_space<T: Clone + PartialEq + 'static>(
        &self,
        question: &'static str,
        space: &Space,
        answer: fn(&Self, &Space) -> T,
    ) -> T {
        let at = self.space_at(&space.id).expect("a space of this job");
        self.settled((Question(question), About::Space(at)), move |analysis| {
            answer(analysis, analysis.space_in_parts(at, Parts::NONE))
        })
    }

    /// As [`Analysis::settled_of_item`], of an item and a number: a wall, say.
    pub fn settled_of_item_and<T: Clone + PartialEq + 'static>(
        &self,
        question: &'static str,
        item: &Item,
        number: usize,
        answer: fn(&Self, &Item, usize) -> T,
    ) -> T {
        let at = self.item_at(&item.id).expect("an item of this job");
        self.settled(
            (Question(question), About::ItemAnd(at, number)),
            move |analysis| answer(analysis, analysis.noted_item(at), number),
        )
    }

    /// As [`Analysis::settled_of_item`], of the house.
    pub fn settled_of_house<T: Clone + PartialEq + 'static>(
        &self,
        question: &'static str,
        answer: fn(&Self) -> T,
    ) -> T {
        self.settled((Question(question), About::House), answer)
    }

    fn settled<T: Clone + PartialEq + 'static>(
        &self,
        key: Key,
        answer: impl Fn(&Self) -> T + Copy + 'static,
    ) -> T {
        let kept = self.answer_to(key, || {
            let settled = Settled {
                ask: Box::new(move |analysis| drop(analysis.settled(key, answer))),
                same: is_same::<T>,
            };
            (answer(self), Some(settled))
        });
        let at = || SettledAt::Asked(key, Rc::clone(&kept));
        self.ledger.note_settled(at, &kept.reads);
        value_of(&kept)
    }

    fn asked<T: Clone + 'static>(&self, key: Key, answer: impl FnOnce() -> T) -> T {
        let kept = self.answer_to(key, || (answer(), None));
        self.ledger.note_all(&kept.reads);
        value_of(&kept)
    }

    fn answer_to<T: 'static>(
        &self,
        key: Key,
        answer: impl FnOnce() -> (T, Option<Settled>),
    ) -> Rc<Answer> {
        if let Some(own) = self.asked.own(&key) {
            return own;
        }
        if let Some(before) = self.asked.before(&key)
            && self.holds(&before.reads)
        {
            // A remedy's copy is asked too little for a second handle to be worth it.
            if !self.is_short_lived() {
                self.asked.own.borrow_mut().insert(key, Rc::clone(&before));
            }
            return before;
        }
        let ((value, settled), reads) = self.noting_aside(answer);
        let new = Rc::new(Answer {
            value: Box::new(value),
            reads,
            settled,
        });
        self.asked.own.borrow_mut().insert(key, Rc::clone(&new));
        new
    }

    /// Whether a settled answer comes out as it did before.
    pub(crate) fn same_asked(&self, key: Key, before: &Answer) -> bool {
        if self.holds(&before.reads) {
            return true;
        }
        let Some(settled) = &before.settled else {
            return false;
        };
        (settled.ask)(self);
        let now = self.asked.own(&key);
        now.is_some_and(|now| (settled.same)(&*now.value, &*before.value))
    }
}

fn value_of<T: Clone + 'static>(answer: &Answer) -> T {
    let value = answer.value.downcast_ref::<T>();
    value.expect("one name, one question").clone()
}

fn is_same<T: PartialEq + 'static>(one: &dyn Any, other: &dyn Any) -> bool {
    matches!((one.downcast_ref::<T>(), other.downcast_ref::<T>()), (Some(a), Some(b)) if a == b)
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
