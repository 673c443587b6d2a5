//! What went wrong, what is kept, and what to do.

use std::io;
use std::path::{Path, PathBuf};

use model::Problem;

/// Why the store can't do it. Each text says what happened, what is kept and what to do.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is no job of this id.
    #[error("there is no job `{0}`; look in the list of jobs")]
    NoSuchJob(String),
    /// The job has fewer revisions.
    #[error("`{job}` has no revision {number}; its last is {head}")]
    NoSuchRevision {
        /// The job's id.
        job: String,
        /// The revision that was asked for.
        number: u64,
        /// The last one that there is.
        head: u64,
    },
    /// There is nothing contested of this number, or it is settled already.
    #[error("`{job}` has nothing open to settle under number {number}; read the list again")]
    NotContested {
        /// The job's id.
        job: String,
        /// The number that was asked for.
        number: u64,
    },
    /// There is nothing left to undo.
    #[error("there is nothing to undo in `{0}`")]
    NothingToUndo(String),
    /// Nothing was undone since the last change.
    #[error("there is nothing to redo in `{0}`")]
    NothingToRedo(String),
    /// This revision is no change that stands.
    #[error("revision {number} of `{job}` can't be undone: {reason}")]
    NotUndoable {
        /// The job's id.
        job: String,
        /// The revision.
        number: u64,
        /// Why not.
        reason: &'static str,
    },
    /// An edit can't be made.
    #[error("{message}; nothing was saved")]
    Edit {
        /// The path of the edit; empty if the whole document is meant.
        at: String,
        /// What is wrong with it.
        message: String,
    },
    /// The document would not read as a job.
    #[error("{}; nothing was saved", first_of(.0))]
    Refused(Vec<Problem>),
    /// An argument that can't be kept.
    #[error("{what} can't be kept: {message}")]
    Argument {
        /// Which one.
        what: &'static str,
        /// What is wrong with it.
        message: String,
    },
    /// The operation's number stands for something else.
    #[error(
        "operation {0} was done before with other content; what it did then is kept, and the \
         change at hand needs a number of its own"
    )]
    OpReused(String),
    /// The store was written by a later version.
    #[error(
        "the store has format {found}, and this version knows formats up to {known}; nothing was \
         changed: open it with the version that wrote it, or a later one"
    )]
    NewerStore {
        /// The format found.
        found: i64,
        /// The last format known here.
        known: i64,
    },
    /// The document was written by a later version.
    #[error(
        "the job has format {found}, and this version knows formats up to {known}; nothing was \
         changed: open it with the version that wrote it, or a later one"
    )]
    NewerJob {
        /// The format found.
        found: i64,
        /// The last format known here.
        known: u32,
    },
    /// The store is damaged.
    #[error("{} is damaged: {what}; it was left as it is. {}", .place.display(), cure(.place, .backup))]
    Corrupt {
        /// The database.
        place: PathBuf,
        /// What was found.
        what: String,
        /// The last backup.
        backup: Option<Backup>,
    },
    /// No space is left.
    #[error(
        "the disk that holds {} is full ({message}); everything acknowledged before is kept, the \
         change at hand is not: make space and send it again", .place.display()
    )]
    Full {
        /// The database.
        place: PathBuf,
        /// What the database said.
        message: String,
    },
    /// The disk refuses.
    #[error(
        "the disk that holds {} failed ({message}); everything acknowledged before is kept, the \
         change at hand is not: see whether the disk is full or failing, then send it again",
        .place.display()
    )]
    Disk {
        /// The database.
        place: PathBuf,
        /// What the database said.
        message: String,
    },
    /// The file or its folder can't be written.
    #[error(
        "{} can't be written ({message}); nothing was changed: the store needs to write the file \
         and the folder around it", .place.display()
    )]
    NotWritable {
        /// The database.
        place: PathBuf,
        /// What the database said.
        message: String,
    },
    /// Somebody else holds the database for too long.
    #[error("the store is busy ({0}); the change at hand was not made: send it again")]
    Busy(String),
    /// The database can't be reached.
    #[error(
        "{place} can't be reached ({message}); whether a change under way was made is answered \
             when the same operation is sent again"
    )]
    Unreachable {
        /// The database.
        place: String,
        /// What was said.
        message: String,
    },
    /// A bundle holds what none may, or would have to.
    #[error("the bundle is refused: {0}; nothing was changed")]
    Bundle(String),
    /// There is no photograph of this hash.
    #[error("there is no photograph {0}")]
    NoSuchPhotograph(String),
    /// A file can't be read or written.
    #[error("failed to {doing} {}: {error}", .path.display())]
    File {
        /// What was tried.
        doing: &'static str,
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// The database refuses in some other way.
    #[error("the database refused: {0}; the change at hand was not made")]
    Database(String),
}

/// A backup of the store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Backup {
    /// The file.
    pub path: PathBuf,
    /// When it was made, in UTC.
    pub made: crate::When,
}

impl StoreError {
    pub(crate) fn file(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_path_buf();
        move |error| match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::FileTooLarge => Self::Full {
                place: path,
                message: error.to_string(),
            },
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                Self::NotWritable {
                    place: path,
                    message: error.to_string(),
                }
            }
            _ => Self::File { doing, path, error },
        }
    }
}

fn first_of(problems: &[Problem]) -> String {
    let more = match problems.len() {
        0 | 1 => String::new(),
        count => format!(" (and {} more)", count - 1),
    };
    let first = problems.first().map(Problem::to_string).unwrap_or_default();
    format!("the document would not read as a job: {first}{more}")
}

fn cure(place: &Path, backup: &Option<Backup>) -> String {
    match backup {
        Some(backup) => format!(
            "The last backup is {} of {}: to go back to it, keep the damaged file under another \
             name, then restore the backup to {}",
            backup.path.display(),
            backup.made,
            place.display()
        ),
        None => "There is no backup beside it".to_owned(),
    }
}
