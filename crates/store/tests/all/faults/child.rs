//! A server of its own in another process, to be killed, starved and crowded.

use std::env;
use std::fs;
use std::io::{self, BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

use model::Edit;
use store::{Act, Change, Place, Store, When};

use crate::scratch::{DOCUMENT, SOFA_EYE, run};

const PLACE: &str = "STORE_CHILD_PLACE";
const FOLDER: &str = "STORE_CHILD_FOLDER";
const NAME: &str = "STORE_CHILD_NAME";
const SAVES: &str = "STORE_CHILD_SAVES";

/// What a child says, line by line.
#[derive(Debug, PartialEq)]
pub enum Said {
    /// The store is open.
    Open,
    /// The change of this number is saved as this revision.
    Saved { op: String, revision: u64 },
    /// It could not go on.
    Failed(String),
    /// It is done.
    Done,
}

impl Said {
    fn of(line: &str) -> Option<Self> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        Some(match word {
            "child-open" => Self::Open,
            "child-done" => Self::Done,
            "child-failed" => Self::Failed(rest.to_owned()),
            "child-saved" => {
                let (op, revision) = rest.split_once(' ')?;
                Self::Saved {
                    op: op.to_owned(),
                    revision: revision.parse().ok()?,
                }
            }
            _ => return None,
        })
    }
}

/// The change that a child saves under a number. No two revisions in a row get one value,
/// and no two children give one to the same revision.
pub fn change(op: &str, base: u64) -> Change {
    let (name, _) = op.rsplit_once('-').unwrap();
    let tenths = name.bytes().map(u64::from).sum::<u64>() % 10;
    Change {
        act: Act::new(op, "child", When::parse("2026-11-25T10:00:00Z").unwrap()),
        base,
        edits: vec![Edit::set(
            SOFA_EYE,
            format!("{}.{tenths} mm", 900 + base % 400),
        )],
        summary: op.to_owned(),
    }
}

/// This test's program again, as a server on a store. `through` runs it in some other way.
pub fn command(
    through: &[&str],
    program: &Path,
    place: &[&str; 2],
    name: &str,
    saves: u32,
) -> Command {
    let mut command = match through {
        [] => Command::new(program),
        [first, rest @ ..] => {
            let mut command = Command::new(first);
            command.args(rest).arg(program);
            command
        }
    };
    command
        .args([
            "--exact",
            "faults::child::serve",
            "--nocapture",
            "--test-threads=1",
        ])
        .env(PLACE, place[0])
        .env(FOLDER, place[1])
        .env(NAME, name)
        .env(SAVES, saves.to_string())
        .current_dir("/")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    command
}

/// A running child and what it says.
pub struct Server {
    pub process: Child,
    lines: BufReader<ChildStdout>,
}

impl Server {
    pub fn start(mut command: Command) -> Self {
        let mut process = command.spawn().unwrap();
        let lines = BufReader::new(process.stdout.take().unwrap());
        Self { process, lines }
    }

    /// The next thing it says; nothing when it is gone.
    pub fn next(&mut self) -> Option<Said> {
        loop {
            let mut line = String::new();
            // A killed child may leave half a line: that was never said.
            if self.lines.read_line(&mut line).unwrap_or(0) == 0 || !line.ends_with('\n') {
                return None;
            }
            // The test runner writes a word before the first line.
            let start = line.find("child-").unwrap_or(0);
            if let Some(said) = Said::of(line[start..].trim_end()) {
                return Some(said);
            }
        }
    }

    /// All that it still says.
    pub fn rest(&mut self) -> Vec<Said> {
        std::iter::from_fn(|| self.next()).collect()
    }

    pub fn kill(&mut self) {
        self.process.kill().unwrap();
    }

    pub fn wait(mut self) {
        self.process.wait().unwrap();
    }
}

fn say(line: &str) {
    let mut out = io::stdout().lock();
    out.write_all(format!("{line}\n").as_bytes()).unwrap();
    out.flush().unwrap();
}

/// In a child, a server that saves and says so; in the tests themselves, nothing.
#[test]
fn serve() {
    let Ok(place) = env::var(PLACE) else {
        return;
    };
    let folder = env::var(FOLDER).unwrap();
    let place = Place::parse(&place, Path::new(&folder));
    let name = env::var(NAME).unwrap();
    let saves: u32 = env::var(SAVES).unwrap().parse().unwrap();
    run(async {
        match serve_at(&place, &name, saves).await {
            Ok(()) => say("child-done"),
            Err(error) => say(&format!("child-failed {error}")),
        }
    });
}

async fn serve_at(place: &Place, name: &str, saves: u32) -> Result<(), store::StoreError> {
    let store = Store::open(place, Vec::new()).await?;
    say("child-open");
    if store.jobs().await?.is_empty() {
        let when = When::parse("2026-11-25T09:00:00Z")?;
        store
            .create(DOCUMENT, &Act::new("begin", "child", when))
            .await?;
    }
    for count in 0..saves {
        let head = store.head("mill-lane").await?.number;
        let change = change(&format!("{name}-{count}"), head);
        let saved = store.save("mill-lane", &change).await?;
        say(&format!("child-saved {} {}", change.act.op, saved.revision));
    }
    store.close().await;
    Ok(())
}

/// A copy of this program where anybody may run it.
pub fn copied_program(folder: &Path) -> std::path::PathBuf {
    let copy = folder.join("server");
    fs::copy(env::current_exe().unwrap(), &copy).unwrap();
    copy
}
