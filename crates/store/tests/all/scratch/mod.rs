//! Runs each test twice: on a scratch SQLite file and on a scratch PostgreSQL database.

mod postgres;

use std::future::Future;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

use model::Edit;
use store::{Act, Change, Place, Saved, Store, When};
use tempfile::TempDir;

/// A small job with comments, two of its facts per kind.
pub const DOCUMENT: &str = r#"# Mill Lane, first visit
format = 1

[job]
name = "Mill Lane" # as on the gate

[[space]]
id = "den"
walls = [
  { id = "north", length = "5 m" }, # behind the books
  { id = "east", length = "4 m" },
  { id = "south", length = "5 m" },
  { id = "west", length = "4 m" },
]

# the good seat
[[space.seat]]
id = "sofa"
at = { from = ["north", "3 m"], and = ["west", "2.5 m"] } # middle
eye = "1.10 m"   # slouching

[[space.seat]]
id = "stool"
at = { from = ["north", "2 m"], and = ["west", "1.5 m"] }
eye = "1.20 m"
"#;

/// One place for a store, gone with its folder.
pub struct Scratch {
    pub place: Place,
    folder: TempDir,
    text: String,
}

impl Scratch {
    /// A SQLite file in a folder of its own.
    pub fn file() -> Self {
        let folder = TempDir::with_prefix("store-").unwrap();
        let path = folder.path().join("jobs.db");
        Self {
            text: path.to_str().unwrap().to_owned(),
            place: Place::file(path),
            folder,
        }
    }

    /// The place as another process is told of it, and the folder for its files.
    pub fn parsable(&self) -> [String; 2] {
        [
            self.text.clone(),
            self.folder().to_str().unwrap().to_owned(),
        ]
    }

    /// The address for a connection of the test's own.
    pub fn url(&self) -> String {
        if self.text.starts_with('/') {
            format!("sqlite://{}", self.text)
        } else {
            self.text.clone()
        }
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub async fn open(&self) -> Store {
        Store::open(&self.place, Vec::new()).await.unwrap()
    }

    /// A store with the job `mill-lane` at revision 1.
    pub async fn with_job(&self) -> Store {
        let store = self.open().await;
        store.create(DOCUMENT, &act("Ada")).await.unwrap();
        store
    }
}

/// Runs the test on both databases, on several threads as a server does.
pub fn on_both<F: Future<Output = ()>>(test: impl Fn(Scratch) -> F) {
    run(test(Scratch::file()));
    let folder = TempDir::with_prefix("store-").unwrap();
    if let Some(url) = postgres::database() {
        run(test(Scratch {
            place: Place::server(url.clone(), folder.path()),
            folder,
            text: url,
        }));
    }
}

/// Runs the test where it is about files.
pub fn on_file<F: Future<Output = ()>>(test: impl Fn(Scratch) -> F) {
    run(test(Scratch::file()));
}

pub fn run<T>(work: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .unwrap()
        .block_on(work)
}

/// Another second each time, so that order shows.
fn next() -> (u64, When) {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let when = format!(
        "2026-11-25T{:02}:{:02}:{:02}Z",
        count / 3600 % 24,
        count / 60 % 60,
        count % 60
    );
    (count, When::parse(&when).unwrap())
}

/// An act of somebody, with a number of its own.
pub fn act(who: &str) -> Act {
    let (count, when) = next();
    Act::new(format!("op-{count}"), who, when)
}

/// A change of a revision.
pub fn change(who: &str, base: u64, edits: &[Edit]) -> Change {
    Change {
        act: act(who),
        base,
        edits: edits.to_vec(),
        summary: format!("{who} changes {} facts", edits.len()),
    }
}

/// Saves edits of a revision of `mill-lane`.
pub async fn save(store: &Store, who: &str, base: u64, edits: &[Edit]) -> Saved {
    store
        .save("mill-lane", &change(who, base, edits))
        .await
        .unwrap()
}

pub const SOFA_EYE: &str = "space.den.seat.sofa.eye";
pub const STOOL_EYE: &str = "space.den.seat.stool.eye";

/// The line of the document that sets something.
pub fn line<'a>(text: &'a str, part: &str) -> &'a str {
    text.lines()
        .find(|line| line.contains(part))
        .unwrap_or_else(|| panic!("no line with `{part}` in\n{text}"))
}
