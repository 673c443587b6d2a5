//! Jobs and their revisions: what is kept of each, and what is answered.

mod change;
mod contested;
mod create;
mod history;
mod import;
mod operation;
mod recent;
mod removal;
mod revision;
mod save;
mod undo;

use model::Edit;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::{Act, When};
pub(crate) use contested::{KeptContest, insert_kept_contest, read_kept_contests};
pub(crate) use create::{free_id, insert_job, off_thread};
pub(crate) use history::{head_number, history};
pub(crate) use operation::{answer, answered, digest};
pub(crate) use recent::Recent;
pub(crate) use revision::{
    from_json, hex, insert_revision, json, kind, number, read_revision, shown_number, target, text,
    when,
};

/// A job in the list of jobs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct JobEntry {
    /// Its id in the store, made of its first name: `mill-lane`.
    pub id: String,
    /// Its name, as its last revision has it.
    pub name: String,
    /// The number of its last revision.
    pub head: u64,
    /// When that was made.
    pub changed: When,
    /// How many contested facts are open.
    pub contested: u64,
    /// Who put it away and when, if somebody did.
    pub removed: Option<Removal>,
}

/// That a job was put away.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Removal {
    /// Who did.
    pub who: String,
    /// When.
    pub when: When,
}

/// How a revision came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// The first revision.
    Create,
    /// Edits of the revision before.
    Edit,
    /// Edits of an earlier revision, merged with what others changed meanwhile.
    Merge,
    /// A whole document took the place of the one before.
    Import,
    /// A change taken back.
    Undo,
    /// A change made again that was taken back.
    Redo,
    /// A contested fact settled.
    Resolve,
}

/// One line of a job's history.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// The revision's number; the first is 1.
    pub number: u64,
    /// How it came about.
    pub kind: Kind,
    /// Who made it.
    pub who: String,
    /// When.
    pub when: When,
    /// What it does, in a line.
    pub summary: String,
    /// The revision that its author saw.
    pub base: u64,
    /// Of an undo or redo: the revision that it takes back or makes again.
    pub target: Option<u64>,
    /// Whether it is taken back.
    pub undone: bool,
    /// A name that somebody gave it, such as "as quoted".
    pub name: Option<String>,
}

/// One revision of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Revision {
    /// The job's id.
    pub job: String,
    /// The revision's number; the first is 1.
    pub number: u64,
    /// How it came about.
    pub kind: Kind,
    /// The whole document.
    pub text: String,
    /// Who made it.
    pub who: String,
    /// When.
    pub when: When,
    /// What it does, in a line.
    pub summary: String,
    /// The revision that its author saw.
    pub base: u64,
    /// Of an undo or redo: the revision that it takes back or makes again.
    pub target: Option<u64>,
    /// The edits that lead here from the revision before.
    pub edits: Vec<Edit>,
    /// The edits that lead back.
    pub reverse: Vec<Edit>,
    /// The paths of the facts that differ from the revision before.
    pub touched: Vec<String>,
}

/// A change that somebody wants saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Who acts, when, and under which operation number.
    pub act: Act,
    /// The revision that the person saw.
    pub base: u64,
    /// What to set and take away.
    pub edits: Vec<Edit>,
    /// What it does, in a line.
    pub summary: String,
}

/// What became of a change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Saved {
    /// The job's id.
    pub job: String,
    /// The revision that holds the change; the last one if the change changes nothing.
    pub revision: u64,
    /// The whole document of that revision.
    pub text: String,
    /// What others saved between the change's base and it.
    pub merged_over: Vec<MergedOver>,
    /// What both set to different values: to be shown side by side and settled by
    /// [`crate::Store::resolve`].
    pub contested: Vec<Contested>,
}

/// A revision that a change did not know of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MergedOver {
    /// Its number.
    pub revision: u64,
    /// Who made it.
    pub who: String,
    /// When.
    pub when: When,
    /// What it does.
    pub summary: String,
}

/// One of two people's values of a contested fact, by when it reached the store.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// The one that was there.
    Earlier,
    /// The one that arrived after it.
    Later,
}

/// A fact on which two people disagree; both values are kept until somebody settles it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Contested {
    /// Its number within the job.
    pub number: u64,
    /// The fact's path. When a thing went that the other changed, the thing's.
    pub fact: String,
    /// Why it is contested, for people.
    pub reason: String,
    /// Which of both stands in the document until it is settled.
    pub stands: Side,
    /// What was there.
    pub earlier: Claim,
    /// What arrived after it.
    pub later: Claim,
}

impl Contested {
    /// The claim of a side.
    pub fn claim(&self, side: Side) -> &Claim {
        match side {
            Side::Earlier => &self.earlier,
            Side::Later => &self.later,
        }
    }
}

/// What one person set a contested fact to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Claim {
    /// The value; nothing if it was taken away.
    pub value: Option<Value>,
    /// Who set it.
    pub who: String,
    /// When.
    pub when: When,
    /// In which revision; for a change that was set aside, the one that set it aside.
    pub revision: u64,
}

/// What undo and redo would act on.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Undoable {
    /// The change that [`crate::Store::undo`] takes back.
    pub undo: Option<Entry>,
    /// The change that [`crate::Store::redo`] makes again.
    pub redo: Option<Entry>,
}

impl Kind {
    const ALL: [(Self, &'static str); 7] = [
        (Self::Create, "create"),
        (Self::Edit, "edit"),
        (Self::Merge, "merge"),
        (Self::Import, "import"),
        (Self::Undo, "undo"),
        (Self::Redo, "redo"),
        (Self::Resolve, "resolve"),
    ];

    /// Its word, as it is kept and sent.
    pub fn as_str(self) -> &'static str {
        Self::ALL
            .into_iter()
            .find(|(kind, _)| *kind == self)
            .map(|(_, word)| word)
            .expect("every kind has a word")
    }

    pub(crate) fn of(word: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|(_, known)| *known == word)
            .map(|(kind, _)| kind)
    }
}
