//! Answers that a remedy's copy holds against those of its original.
//!
//! The copy asks a settled answer again where it rests on something that changed. If it comes out
//! as it was, whoever rests on nothing else that changed has nothing new to find.

use std::cell::RefCell;
use std::rc::Rc;

use rustc_hash::FxHashMap;

use crate::asked::{Answer, Key};
use crate::{Analysis, Answers, Kept, Reads};

/// A settled answer by what it is about.
#[derive(Clone, Debug)]
pub(crate) enum SettledAt {
    /// The length to cut of a cable.
    Cut(usize),
    /// Where an item's cables end.
    Point(usize),
    /// An item's picture.
    Picture(usize),
    /// Who sits there, by the space and the seat in it.
    Seat(usize, usize),
    /// An answer to a question that this crate need not know: looked up so often that the answer
    /// itself is at hand.
    Asked(Key, Rc<Answer>),
}

/// A settled answer told from others.
type Name = (u8, usize, usize);

impl SettledAt {
    pub fn name(&self) -> Name {
        match self {
            Self::Cut(cable) => (0, *cable, 0),
            Self::Point(item) => (1, *item, 0),
            Self::Picture(item) => (2, *item, 0),
            Self::Seat(space, seat) => (3, *space, *seat),
            Self::Asked(_, answer) => (4, Rc::as_ptr(answer).addr(), 0),
        }
    }
}

/// Which settled answers have come out as in the original, of those that were asked again.
#[derive(Default)]
pub(crate) struct Held(RefCell<FxHashMap<Name, bool>>);

impl Analysis {
    /// Whether an answer of the original that rests on these is true of this remedy's copy too.
    /// A copy that is edited further keeps the plain rule: its sentences are read, and tell more
    /// than is compared.
    pub fn holds(&self, reads: &Reads) -> bool {
        if !reads.touched_by(&self.changed) {
            return true;
        }
        if !self.is_short_lived() {
            return false;
        }
        let settled = reads.settled_before(&self.changed);
        settled.is_some_and(|settled| settled.iter().all(|at| self.comes_out_as_before(at)))
    }

    /// Answers before one that differs were asked for first: what comes after may make no sense
    /// any more, and is not asked.
    fn comes_out_as_before(&self, at: &SettledAt) -> bool {
        if let SettledAt::Asked(_, before) = at
            && !before.reads.touched_by(&self.changed)
        {
            return true;
        }
        let name = at.name();
        if let Some(known) = self.held.0.borrow().get(&name) {
            return *known;
        }
        let same = match *at {
            SettledAt::Cut(cable) => self.same_kept(
                |answers| answers.cuts.get(cable),
                || drop(self.cut(&self.job.cable[cable])),
            ),
            SettledAt::Point(item) => self.same_kept(
                |answers| answers.points.get(item),
                || drop(self.item_point(&self.job.item[item])),
            ),
            SettledAt::Picture(item) => self.same_kept(
                |answers| answers.pictures.get(item),
                || drop(self.picture(&self.job.item[item])),
            ),
            SettledAt::Seat(space, seat) => self.same_kept(
                |answers| answers.seats.get(space)?.get(seat),
                || {
                    let space = &self.job.space[space];
                    if let Some(seat) = space.seat.get(seat) {
                        drop(self.seat(space, seat));
                    }
                },
            ),
            SettledAt::Asked(key, ref before) => self.same_asked(key, before),
        };
        self.held.0.borrow_mut().insert(name, same);
        same
    }

    fn same_kept<T: PartialEq>(
        &self,
        cell: impl Fn(&Answers) -> Option<&Kept<T>>,
        ask: impl FnOnce(),
    ) -> bool {
        let before = self.before.as_deref().and_then(&cell);
        let Some(before) = before.and_then(|before| before.get()) else {
            return false;
        };
        if self.holds(&before.1) {
            return true;
        }
        ask();
        let now = cell(&self.answers).and_then(|own| own.get());
        now.is_some_and(|now| now.0 == before.0)
    }
}

#[cfg(test)]
mod tests {
    //! Copies that try a remedy, of a room with a player on its north wall.

    use std::cell::Cell;
    use std::sync::Arc;

    use model::{Edit, Item};

    use crate::{Analysis, Reads};

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
[[item]]
id = "player"
is = "box"
space = "den"
on = { wall = "north", from_left = "1 m", height = "1 m" }
"#;

    const ALONG: [&str; 2] = ["item.player.on.from_left", "2 m"];
    const ROUND_THE_CORNER: [&str; 2] = ["item.player.on.wall", "east"];

    fn as_is() -> Analysis {
        let job = Arc::new(model::read(JOB, &[]).expect("the job reads"));
        let analysis = Analysis::new(job);
        analysis.tried(&[]).expect("nothing is edited")
    }

    fn player(analysis: &Analysis) -> &Item {
        let mut items = analysis.unread_items_in(&analysis.job.space[0]);
        items.next().expect("it is there")
    }

    fn wall_of(_: &Analysis, item: &Item) -> Option<String> {
        item.on.as_ref().map(|on| on.wall.clone())
    }

    fn copy_of(analysis: &Analysis, [at, to]: [&str; 2]) -> Analysis {
        let copy = analysis.tried(&[Edit::set(at, to)]);
        copy.expect("the edit can be made")
    }

    /// What a question rests on that asks for the player's wall.
    fn asks_for_its_wall(analysis: &Analysis) -> Reads {
        let ask = || analysis.settled_of_item("its wall", player(analysis), wall_of);
        let (wall, reads) = analysis.noting(ask);
        assert_eq!(wall.as_deref(), Some("north"));
        reads
    }

    #[test]
    fn a_question_rests_on_a_settled_answer_not_on_what_that_looks_at() {
        let analysis = as_is();
        let reads = asks_for_its_wall(&analysis);
        let along = copy_of(&analysis, ALONG);
        assert!(reads.touched_by(along.changed()));
        assert!(along.holds(&reads));
        assert!(!copy_of(&analysis, ROUND_THE_CORNER).holds(&reads));
        // Whoever looks at the item as well is asked again.
        let (_, both) = analysis.noting(|| {
            analysis.item("player");
            analysis.settled_of_item("its wall", player(&analysis), wall_of)
        });
        assert!(!along.holds(&both));
    }

    #[test]
    fn what_is_told_in_words_keeps_the_plain_rule() {
        let job = Arc::new(model::read(JOB, &[]).expect("the job reads"));
        let analysis = Analysis::new(job);
        let reads = asks_for_its_wall(&analysis);
        let edited = analysis.edited(&[Edit::set(ALONG[0], ALONG[1])]);
        assert!(!edited.expect("the edit can be made").holds(&reads));
    }

    #[test]
    fn answers_rest_on_answers() {
        let analysis = as_is();
        let ask = |analysis: &Analysis| {
            analysis.settled_of_house("whose wall is north", |analysis| {
                let on_north = |item: &Item| {
                    let wall = analysis.settled_of_item("its wall", item, wall_of);
                    wall.as_deref() == Some("north")
                };
                on_north(player(analysis))
            })
        };
        let (is_north, reads) = analysis.noting(|| ask(&analysis));
        assert!(is_north);
        assert!(copy_of(&analysis, ALONG).holds(&reads));
        let copy = copy_of(&analysis, ROUND_THE_CORNER);
        assert!(!copy.holds(&reads));
        assert!(!ask(&copy));
    }

    #[test]
    fn behind_an_answer_that_differs_nothing_is_asked() {
        thread_local! {
            static ASKED: Cell<u32> = const { Cell::new(0) };
        }
        let analysis = as_is();
        let (_, reads) = analysis.noting(|| {
            analysis.settled_of_item("its wall", player(&analysis), wall_of);
            analysis.settled_of_item("how far along north", player(&analysis), |_, item| {
                ASKED.set(ASKED.get() + 1);
                let on = item.on.as_ref().expect("it is on a wall");
                on.from_left.as_ref().and_then(|from| from.value())
            })
        });
        assert_eq!(ASKED.get(), 1);
        assert!(!copy_of(&analysis, ROUND_THE_CORNER).holds(&reads));
        assert_eq!(ASKED.get(), 1);
        assert!(!copy_of(&analysis, ALONG).holds(&reads));
        assert_eq!(ASKED.get(), 2);
    }

    #[test]
    fn a_point_that_comes_out_as_it_was_is_settled() {
        let analysis = as_is();
        let (point, reads) = analysis.noting(|| analysis.item_point(player(&analysis)));
        point.expect("its place is known");
        let other = copy_of(&analysis, ["item.player.circuit", "C1"]);
        assert!(reads.touched_by(other.changed()));
        assert!(other.holds(&reads));
        assert!(!copy_of(&analysis, ALONG).holds(&reads));
    }
}
