//! Lists the jobs that the page keeps, puts one away, takes one in or gives it out.

use std::fs;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use store::{History, JobEntry, Store, is_bundle};

use crate::Outcome;
use crate::command::prove;
use crate::data::{Data, runtime, user, with_store};
use crate::failure::Failure;
use crate::files::{self, STANDARD};
use crate::report::printable;

#[derive(Args)]
#[command(args_conflicts_with_subcommands = true)]
pub struct Arguments {
    #[command(subcommand)]
    action: Option<Action>,
    /// List those that were put away instead.
    #[arg(long)]
    removed: bool,
    #[command(flatten)]
    data: Data,
}

#[derive(Subcommand)]
enum Action {
    /// Puts a job away: it goes from the list, and everything of it is kept.
    Remove(One),
    /// Puts a job back that was put away.
    Restore(One),
}

#[derive(Args)]
struct One {
    /// The job's id, as `dryfit jobs` lists it.
    job: String,
    #[command(flatten)]
    data: Data,
}

/// Lists the jobs, or puts one away or back.
pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    match &arguments.action {
        None => list(arguments),
        Some(Action::Remove(one)) => remove(one),
        Some(Action::Restore(one)) => put_back(one),
    }
}

fn remove(One { job, data }: &One) -> Result<Outcome, Failure> {
    let act = act()?;
    let was_there = with_store(data, async |store| {
        Ok(store.remove(job, &act.who, &act.when).await?)
    })?;
    files::print(&match was_there {
        true => format!("put `{job}` away; `dryfit jobs restore {job}` puts it back\n"),
        false => format!("`{job}` was put away before\n"),
    })?;
    Ok(Outcome::NothingFails)
}

fn put_back(One { job, data }: &One) -> Result<Outcome, Failure> {
    let was_away = with_store(data, async |store| Ok(store.put_back(job).await?))?;
    files::print(&match was_away {
        true => format!("put `{job}` back\n"),
        false => format!("`{job}` was not put away\n"),
    })?;
    Ok(Outcome::NothingFails)
}

fn list(arguments: &Arguments) -> Result<Outcome, Failure> {
    let jobs = with_store(&arguments.data, async |store| {
        Ok(match arguments.removed {
            true => store.removed_jobs().await?,
            false => store.jobs().await?,
        })
    })?;
    files::print(&listed(&jobs, arguments.removed))?;
    Ok(Outcome::NothingFails)
}

fn listed(jobs: &[JobEntry], removed: bool) -> String {
    let wide = |texts: &mut dyn Iterator<Item = usize>| texts.max().unwrap_or(0);
    let id = wide(&mut jobs.iter().map(|job| job.id.len()));
    let mut text = String::new();
    for job in jobs {
        let contested = match job.contested {
            0 => String::new(),
            1 => "; one fact set differently by two people".to_owned(),
            count => format!("; {count} facts set differently by two people"),
        };
        let away = job.removed.as_ref().map_or(String::new(), |removed| {
            format!(
                "; put away by {}, {}",
                printable(&removed.who),
                removed.when
            )
        });
        text.push_str(&format!(
            "{:<id$}  revision {:>3} of {}  {}{contested}{away}\n",
            job.id,
            job.head,
            job.changed,
            printable(&job.name),
        ));
    }
    if jobs.is_empty() {
        text.push_str(match removed {
            true => "no job was put away\n",
            false => "no job is kept; `dryfit serve` begins one, `dryfit import` takes one in\n",
        });
    }
    text
}

#[derive(Args)]
pub struct Export {
    /// The job's id, as `dryfit jobs` lists it.
    job: String,
    /// The file to write; an existing one stays as it is. Printed when left out.
    #[arg(long, short, value_name = "FILE")]
    output: Option<String>,
    /// Write a bundle instead: the job with its history and photographs.
    #[arg(long, requires = "output")]
    bundle: bool,
    /// With --bundle: leave out who changed what and when, for people outside the firm.
    #[arg(long, requires = "bundle")]
    without_history: bool,
    #[command(flatten)]
    data: Data,
}

/// Writes a job's file, letter by letter as it was saved, or the whole job as a bundle.
pub fn export(arguments: &Export) -> Result<Outcome, Failure> {
    let history = match arguments.without_history {
        true => History::Without,
        false => History::With,
    };
    let job = &arguments.job;
    let bytes = with_store(&arguments.data, async |store| {
        Ok(match arguments.bundle {
            true => store.bundle(job, history).await?,
            false => store.export(job).await?.into_bytes(),
        })
    })?;
    match arguments.output.as_deref() {
        None | Some(STANDARD) => files::print(&String::from_utf8_lossy(&bytes))?,
        Some(path) => files::create(path, &bytes, "choose another name")?,
    }
    Ok(Outcome::NothingFails)
}

#[derive(Args)]
pub struct Import {
    /// The job file or bundle; `-` reads a job file from standard input.
    file: String,
    #[command(flatten)]
    data: Data,
}

/// Begins a job with a file, kept letter by letter, or with all that a bundle holds.
pub fn import(arguments: &Import) -> Result<Outcome, Failure> {
    let act = act()?;
    let path = arguments.file.as_str();
    let bundle = match path {
        STANDARD => None,
        _ => Some(fs::read(path).map_err(|error| Failure::opening(path, &error))?),
    };
    let saved = match bundle.filter(|bytes| is_bundle(bytes)) {
        Some(bytes) => with_store(&arguments.data, async |store| {
            Ok(store.take_bundle(bytes, &act).await?)
        })?,
        None => {
            let document = files::read(path)?;
            // Everything wrong with it is told at its place, as `prove` does.
            prove::read(&document)?;
            with_store(&arguments.data, async |store| {
                Ok(store.create(&document.text, &act).await?)
            })?
        }
    };
    files::print(&format!("took {path} in as `{}`\n", saved.job))?;
    Ok(Outcome::NothingFails)
}

#[derive(Args)]
pub struct Backup {
    /// The file to write; one that is there is replaced once the backup is complete.
    /// Photographs go into the folder FILE.photographs.
    file: PathBuf,
    #[command(flatten)]
    data: Data,
}

/// Writes every job with its history into one file; the page may be open meanwhile.
pub fn backup(arguments: &Backup) -> Result<Outcome, Failure> {
    let file = &arguments.file;
    let made = with_store(&arguments.data, async |store| {
        Ok(store.backup(file).await?)
    })?;
    files::print(&format!("wrote {}\n", made.path.display()))?;
    Ok(Outcome::NothingFails)
}

#[derive(Args)]
pub struct Restore {
    /// The backup; it stays as it is.
    file: PathBuf,
    #[command(flatten)]
    data: Data,
}

/// Puts a backup in the place of what is kept. The page must be closed meanwhile.
pub fn restore(arguments: &Restore) -> Result<Outcome, Failure> {
    let file = &arguments.file;
    let (place, words) = arguments.data.place()?;
    let jobs = runtime()?.block_on(async {
        let store = Store::restore(&place, file, checks::limit_names()).await?;
        let jobs = store.jobs().await;
        store.close().await;
        jobs
    })?;
    let count = match jobs.len() {
        1 => "one job is".to_owned(),
        count => format!("{count} jobs are"),
    };
    files::print(&format!(
        "{count} back in {words}; what was there before stands beside it\n"
    ))?;
    Ok(Outcome::NothingFails)
}

fn act() -> Result<store::Act, Failure> {
    server::act_now(&user())
        .map_err(|error| Failure::opening("the system's random numbers", &error.into()))
}
