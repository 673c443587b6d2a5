//! Which facts of a job an answer rests on, so that an edit repeats only what it touches.
//!
//! Every way to a fact that leads through [`Analysis`] notes what it hands out, as whole
//! things: an item, a catalogue entry, a space or [`Parts`](crate::Parts) of it.
//! [`Analysis::job`], which hands out everything, notes everything; a question that uses it is therefore always asked again.
//! Lists are facts as well: who is in a space, who plays in a zone, which cables end there.
//! What the whole house shares (region, units, survey method, limits, site, rates) is noted
//! nowhere: a change of it touches everything.
//!
//! Most of what a remedy's copy repeats comes out as it was: a lamp that moves along its wall
//! touches whoever asked which wall it is on. A question may therefore rest on settled answers:
//! where all that changed lies behind those, they are asked again first, and only if one of them
//! comes out otherwise is the question asked again itself ([`Analysis::holds`]).

use std::cell::RefCell;

use crate::Analysis;
use crate::settled::SettledAt;

/// Kinds of things that answers rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Thing {
    Item,
    /// What an item is and belongs to: all of it but where it is and which way it looks.
    ItemAnywhere,
    /// A part of a space, by the space's index times [`PARTS_MAX`] and the part's.
    SpacePart,
    Cable,
    /// Where a cable runs and what is spared for it: all of it but what it is made of and cut from.
    CableRun,
    Kit,
    Zone,
    /// Which items are in a space and what kind each is, by the space's index.
    ItemsOfSpace,
    /// Which loudspeakers play in a zone, by the zone's index.
    ItemsOfZone,
    /// Which cables belong to a space, by its index.
    CablesOfSpace,
    /// Which cables end at an item, by its index.
    CablesOfItem,
    /// A whole list, by [`List`].
    List,
}

/// Room for the parts of one space.
pub(crate) const PARTS_MAX: usize = 8;

const THINGS: usize = Thing::List as usize + 1;

/// Lists without an index of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum List {
    Items,
    /// Which items hang on which mounts.
    Mounted,
    Cables,
    /// Which cables lie in the walls already.
    ExistingCables,
    Spools,
    Circuits,
    Signals,
    Activities,
}

/// A set of things of a job.
#[derive(Clone, Debug, Default)]
struct Things([Vec<u64>; THINGS]);

impl Things {
    fn note(&mut self, thing: Thing, index: usize) {
        let words = &mut self.0[thing as usize];
        if words.len() <= index / 64 {
            words.resize(index / 64 + 1, 0);
        }
        words[index / 64] |= 1 << (index % 64);
    }

    fn note_all(&mut self, other: &Self) {
        for (words, others) in self.0.iter_mut().zip(&other.0) {
            if words.len() < others.len() {
                words.resize(others.len(), 0);
            }
            (words.iter_mut().zip(others)).for_each(|(word, other)| *word |= other);
        }
    }

    fn meet(&self, words: &[Word]) -> bool {
        words.iter().any(|changed| {
            let read = self.0[changed.thing].get(changed.word);
            read.is_some_and(|read| read & changed.bits != 0)
        })
    }

    fn words(&self) -> Vec<Word> {
        let words = self.0.iter().enumerate().flat_map(|(thing, words)| {
            let set = words.iter().enumerate().filter(|(_, bits)| **bits != 0);
            set.map(move |(word, bits)| Word {
                thing,
                word,
                bits: *bits,
            })
        });
        words.collect()
    }
}

/// What an answer rests on.
#[derive(Clone, Debug, Default)]
pub struct Reads {
    everything: bool,
    /// Every fact, those of settled answers included.
    all: Things,
    /// Facts that it looked at by itself.
    own: Things,
    /// Settled answers, in the order in which they were asked for.
    settled: Vec<SettledAt>,
}

impl Reads {
    pub(crate) fn everything() -> Self {
        Self {
            everything: true,
            ..Self::default()
        }
    }

    pub(crate) fn note(&mut self, thing: Thing, index: usize) {
        self.all.note(thing, index);
        self.own.note(thing, index);
    }

    /// Notes what a question within this one rests on.
    fn note_all(&mut self, other: &Self) {
        self.everything |= other.everything;
        self.all.note_all(&other.all);
        self.own.note_all(&other.own);
        for at in &other.settled {
            self.note_settled_at(at.clone());
        }
    }

    /// Notes a settled answer with what it rests on.
    fn note_settled(&mut self, at: SettledAt, other: &Self) {
        self.everything |= other.everything;
        self.all.note_all(&other.all);
        self.note_settled_at(at);
    }

    fn note_settled_at(&mut self, at: SettledAt) {
        // Whoever looks through a list asks for one thing several times in a row.
        let name = at.name();
        if !(self.settled.iter().rev().take(4)).any(|known| known.name() == name) {
            self.settled.push(at);
        }
    }

    /// Whether an answer that rests on these may differ after changes.
    pub fn touched_by(&self, changes: &Changes) -> bool {
        if changes.everything {
            // Also what rests on nothing but the house's limits.
            return true;
        }
        if self.everything {
            return !changes.is_empty();
        }
        self.meets(&changes.words)
    }

    /// As [`Reads::touched_by`], of an answer that calls nothing by a name that differs
    /// ([`Changes::renamed`]).
    pub fn touched_beyond_names(&self, changes: &Changes) -> bool {
        match changes.everything || self.everything {
            true => self.touched_by(changes),
            false => self.meets(&changes.words_beyond_names),
        }
    }

    fn meets(&self, words: &[Word]) -> bool {
        self.all.meet(words)
    }

    /// The settled answers that stand between this one and all that changed; none where it looked
    /// at some of that by itself.
    pub(crate) fn settled_before(&self, changes: &Changes) -> Option<&[SettledAt]> {
        let is_direct = changes.everything || self.everything || self.own.meet(&changes.words);
        (!is_direct).then_some(&self.settled)
    }

    pub(crate) fn words(&self) -> Vec<Word> {
        self.all.words()
    }

    pub(crate) fn is_of_everything(&self) -> bool {
        self.everything
    }
}

/// Which of 64 things of a kind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Word {
    /// The kind.
    pub thing: usize,
    /// Which 64.
    pub word: usize,
    pub bits: u64,
}

/// The things of a job in which an edited copy differs: few, and asked about often.
#[derive(Clone, Debug, Default)]
pub struct Changes {
    everything: bool,
    words: Vec<Word>,
    /// The same without items in which nothing but the name differs.
    words_beyond_names: Vec<Word>,
    renamed: Vec<String>,
}

impl Changes {
    /// Whether nothing differs.
    pub fn is_empty(&self) -> bool {
        !self.everything && self.words.is_empty()
    }

    /// The things that differ; nothing where everything may.
    pub(crate) fn words(&self) -> Option<&[Word]> {
        (!self.everything).then_some(&self.words)
    }

    /// What items in which nothing but the name differs are called in the original. Names are for
    /// people: an answer that does not hold one of these does not rest on it.
    pub fn renamed(&self) -> &[String] {
        &self.renamed
    }

    /// Changes of which some are of items' names alone, each by its index and former name.
    pub(crate) fn with_names(mut things: Reads, renamed: Vec<(usize, String)>) -> Self {
        let words_beyond_names = things.words();
        for (item, _) in &renamed {
            things.note(Thing::Item, *item);
            things.note(Thing::ItemAnywhere, *item);
        }
        Self {
            words_beyond_names,
            renamed: renamed.into_iter().map(|(_, name)| name).collect(),
            ..Self::from(things)
        }
    }
}

impl From<Reads> for Changes {
    fn from(things: Reads) -> Self {
        let words = things.words();
        Self {
            everything: things.everything,
            words_beyond_names: words.clone(),
            words,
            renamed: Vec::new(),
        }
    }
}

/// Notes what is handed out while a question is being answered; questions nest.
#[derive(Default)]
pub(crate) struct Ledger {
    open: RefCell<Vec<Reads>>,
}

impl Ledger {
    pub fn note(&self, thing: Thing, index: usize) {
        if let Some(reads) = self.open.borrow_mut().last_mut() {
            reads.note(thing, index);
        }
    }

    pub fn note_everything(&self) {
        if let Some(reads) = self.open.borrow_mut().last_mut() {
            reads.everything = true;
        }
    }

    pub fn note_all(&self, other: &Reads) {
        if let Some(reads) = self.open.borrow_mut().last_mut() {
            reads.note_all(other);
        }
    }

    pub fn note_settled(&self, at: impl FnOnce() -> SettledAt, other: &Reads) {
        if let Some(reads) = self.open.borrow_mut().last_mut() {
            reads.note_settled(at(), other);
        }
    }

    pub fn during<T>(&self, answer: impl FnOnce() -> T) -> (T, Reads) {
        let (answer, reads) = self.aside(answer);
        self.note_all(&reads);
        (answer, reads)
    }

    /// As [`Ledger::during`]; the question around it does not rest on this one by itself.
    pub fn aside<T>(&self, answer: impl FnOnce() -> T) -> (T, Reads) {
        self.open.borrow_mut().push(Reads::default());
        let answer = answer();
        let reads = self.open.borrow_mut().pop();
        (answer, reads.expect("the set that this question opened"))
    }
}

impl Analysis {
    /// An answer, and the facts that it rests on; those of a remedy's copy are not noted,
    /// since no other copy is made of it.
    pub fn noting<T>(&self, answer: impl FnOnce() -> T) -> (T, Reads) {
        if self.is_short_lived() {
            return (answer(), Reads::default());
        }
        self.ledger.during(answer)
    }

    /// As [`Analysis::noting`]; what the question around it rests on is noted by the caller.
    pub(crate) fn noting_aside<T>(&self, answer: impl FnOnce() -> T) -> (T, Reads) {
        if self.is_short_lived() {
            return (answer(), Reads::default());
        }
        self.ledger.aside(answer)
    }

    /// Notes the facts of an earlier answer for another one, which is worked out from it.
    pub fn rest_on(&self, reads: &Reads) {
        self.ledger.note_all(reads);
    }
}

#[cfg(test)]
mod tests {
    use super::{Changes, Ledger, Reads, Thing};

    #[test]
    fn an_outer_question_rests_on_what_inner_ones_rest_on() {
        let ledger = Ledger::default();
        let ((), outer) = ledger.during(|| {
            ledger.note(Thing::Item, 3);
            let ((), inner) = ledger.during(|| ledger.note(Thing::Kit, 70));
            assert!(!inner.touched_by(&one(Thing::Item, 3).into()));
            assert!(inner.touched_by(&one(Thing::Kit, 70).into()));
        });
        assert!(outer.touched_by(&one(Thing::Item, 3).into()));
        assert!(outer.touched_by(&one(Thing::Kit, 70).into()));
        assert!(!outer.touched_by(&one(Thing::Kit, 6).into()));
        assert!(!outer.touched_by(&one(Thing::Zone, 3).into()));
    }

    #[test]
    fn a_name_alone_touches_what_calls_the_thing_by_it() {
        let changes = Changes::with_names(one(Thing::Item, 3), vec![(70, "Lamp".to_owned())]);
        for item in [3, 70] {
            assert!(one(Thing::Item, item).touched_by(&changes));
        }
        assert!(one(Thing::Item, 3).touched_beyond_names(&changes));
        assert!(!one(Thing::Item, 70).touched_beyond_names(&changes));
        assert!(Reads::everything().touched_beyond_names(&changes));
        assert_eq!(changes.renamed(), ["Lamp"]);
    }

    #[test]
    fn everything_is_touched_by_all_but_nothing() {
        let all = Reads::everything();
        assert!(all.touched_by(&one(Thing::Cable, 900).into()));
        assert!(!all.touched_by(&Changes::default()));
        assert!(!Reads::default().touched_by(&one(Thing::Cable, 0).into()));
        assert!(Reads::default().touched_by(&Reads::everything().into()));
    }

    fn one(thing: Thing, index: usize) -> Reads {
        let mut reads = Reads::default();
        reads.note(thing, index);
        reads
    }
}
