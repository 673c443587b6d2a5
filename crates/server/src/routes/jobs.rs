//! The list of jobs, one job, and jobs that come and go as files.

use std::sync::Arc;

use axum::Json;
use axum::http::StatusCode;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::History;
use view::{Counts, SpaceCounts};

use crate::card::{Moment, OpenAt};
use crate::clock::{act_now, now};
use crate::describe::kinds::{TEXT, ZIP};
use crate::describe::{Body, Bytes, Endpoint, File, Made, Path, Query};
use crate::desk::Revision;
use crate::error::bad_document;
use crate::routes::edits::Contested;
use crate::{Caller, Error, State};

/// A bundle carries photographs: some hundred of them.
const BUNDLE_BYTES_MAX: usize = 500_000_000;

const DEMO: &str = include_str!("../../../../jobs/harbour-lane-surveyed.toml");

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/jobs",
            "Every job, the last changed first; those that were put away on their own",
            list,
        ),
        Endpoint::post("/api/jobs", "Begins a job", begin),
        Endpoint::post(
            "/api/import",
            "Begins a job from a job file or a bundle",
            import,
        )
        .refuses(&[422])
        .takes(BUNDLE_BYTES_MAX),
        Endpoint::get("/api/jobs/{job}", "One job", one),
        Endpoint::delete(
            "/api/jobs/{job}",
            "Puts a job away: it goes from the list, and everything of it is kept",
            remove,
        ),
        Endpoint::post(
            "/api/jobs/{job}/restore",
            "Puts a job back that was put away",
            restore,
        ),
        Endpoint::get(
            "/api/jobs/{job}/file",
            "The job file, as it was saved",
            file,
        ),
        Endpoint::get(
            "/api/jobs/{job}/bundle",
            "The job with its history and photographs",
            bundle,
        ),
    ]
}

/// A job in the list.
#[derive(Serialize, JsonSchema)]
struct JobCard {
    /// Its id.
    id: String,
    /// Its name.
    name: String,
    /// For whom.
    customer: Option<String>,
    /// Its last revision.
    revision: Revision,
    /// When that was saved, RFC 3339.
    changed: String,
    /// By whom.
    by: String,
    /// Its findings; null when this version of the program can't read it.
    counts: Option<Counts>,
    /// What is next.
    next: Option<Moment>,
    /// How many spaces it has.
    spaces: usize,
    /// That it was put away, if it was.
    removed: Option<Removed>,
}

/// Who put a job away.
#[derive(Serialize, JsonSchema)]
struct Removed {
    /// Who.
    who: String,
    /// When, RFC 3339.
    when: String,
}

/// Which jobs.
#[derive(Deserialize, JsonSchema)]
struct Listed {
    /// Those that were put away instead of the others.
    #[serde(default)]
    removed: bool,
}

async fn list(state: State, Query(listed): Query<Listed>) -> Result<Json<Vec<JobCard>>, Error> {
    let mut cards = Vec::new();
    let mut jobs = match listed.removed {
        true => state.store().removed_jobs().await?,
        false => state.store().jobs().await?,
    };
    jobs.sort_by(|a, b| b.changed.cmp(&a.changed).then_with(|| a.id.cmp(&b.id)));
    for job in jobs {
        let head = state.store().revision(&job.id, job.head).await?;
        let card = match state.cards().get(&job.id, job.head) {
            Some(card) => Some(card),
            None => {
                let cards = state.cards().clone();
                let (id, head) = (job.id.clone(), Arc::clone(&head));
                let made =
                    tokio::task::spawn_blocking(move || cards.make(&id, job.head, &head.text))
                        .await;
                made.map_err(Error::fault)?
            }
        };
        cards.push(JobCard {
            id: job.id,
            name: job.name,
            customer: card.as_ref().and_then(|card| card.customer.clone()),
            revision: job.head,
            changed: job.changed.to_string(),
            by: head.who.clone(),
            counts: card.as_ref().map(|card| card.counts),
            next: card.as_ref().map(|card| card.next),
            spaces: card.as_ref().map_or(0, |card| card.spaces),
            removed: job.removed.map(|removed| Removed {
                who: removed.who,
                when: removed.when.to_string(),
            }),
        });
    }
    Ok(Json(cards))
}

/// What a job begins from.
#[derive(Deserialize, JsonSchema)]
#[serde(tag = "from", rename_all = "kebab-case")]
enum NewJob {
    /// The invented house that comes with the program.
    Demo,
    /// One room with four walls.
    Blank {
        /// The job's name.
        name: String,
        /// The room's name.
        room: String,
        /// Its walls' lengths in walk order, as typed; an empty one is still to be measured.
        lengths: [String; 4],
        /// Its height, as typed.
        #[serde(default)]
        height: Option<String>,
        /// How results are printed.
        units: model::Units,
    },
    /// A job file.
    Text {
        /// The document.
        text: String,
        /// The job's name, when it is to have another.
        #[serde(default)]
        name: Option<String>,
    },
}

/// A job that was begun.
#[derive(Serialize, JsonSchema)]
struct NewId {
    /// Its id.
    id: String,
}

async fn begin(
    state: State,
    caller: Caller,
    Body(new): Body<NewJob>,
) -> Result<Made<NewId>, Error> {
    let text = match new {
        NewJob::Demo => DEMO.to_owned(),
        NewJob::Blank {
            name,
            room,
            lengths,
            height,
            units,
        } => crate::blank::document(&name, &room, &lengths, height.as_deref(), units)?,
        NewJob::Text { text, name: None } => text,
        NewJob::Text {
            text,
            name: Some(name),
        } => model::edited_text(&text, &[model::Edit::set("job.name", name)])?,
    };
    create(
        &state,
        &text,
        &act_now(&caller.device).map_err(Error::fault)?,
    )
    .await
}

async fn create(state: &State, text: &str, act: &store::Act) -> Result<Made<NewId>, Error> {
    if let Err(problems) = model::read(text, &checks::limit_names()) {
        return Err(bad_document(text, &problems));
    }
    let saved = state.store().create(text, act).await?;
    Ok(Made(NewId { id: saved.job }))
}

async fn import(state: State, caller: Caller, Bytes(bytes): Bytes) -> Result<Made<NewId>, Error> {
    let act = act_now(&caller.device).map_err(Error::fault)?;
    if store::is_bundle(&bytes) {
        let saved = state.store().take_bundle(bytes.into(), &act).await?;
        return Ok(Made(NewId { id: saved.job }));
    }
    let text = String::from_utf8(bytes.into()).map_err(|error| {
        Error::refused(
            format!(
                "the file is no job file: byte {} is no UTF-8",
                error.utf8_error().valid_up_to() + 1
            ),
            "choose a job file (.toml) or a bundle that this program made",
        )
    })?;
    create(&state, &text, &act).await
}

/// One job.
#[derive(Serialize, JsonSchema)]
struct JobView {
    /// Its id.
    id: String,
    /// Its name.
    name: String,
    /// For whom.
    customer: Option<String>,
    /// How results are printed.
    units: model::Units,
    /// Its last revision.
    revision: Revision,
    /// That revision's name, if somebody gave it one.
    named: Option<String>,
    /// The whole document.
    document: Value,
    /// Its spaces, in order.
    spaces: Vec<SpaceLine>,
    /// Its findings.
    counts: Counts,
    /// The same for each space; null for the house.
    by_space: Vec<SpaceCounts>,
    /// Where each open finding is settled.
    by_moment: Vec<OpenAt>,
    /// What two people set differently, to be settled.
    contested: Vec<Contested>,
    /// What undo takes back.
    undo: Option<String>,
    /// What redo makes again.
    redo: Option<String>,
    /// Kinds of kit that it uses.
    kinds: Vec<&'static str>,
}

/// A space in a list.
#[derive(Serialize, JsonSchema)]
struct SpaceLine {
    /// Its id.
    id: String,
    /// Its name.
    name: String,
    /// Whether it has a ceiling.
    kind: model::SpaceKind,
}

async fn one(state: State, Path(id): Path<String>) -> Result<Json<JobView>, Error> {
    let revision = state.revision(&id, None).await?;
    let said = state.said(&id, revision).await?;
    let job = &said.job;
    let undoable = state.store().undoable(&id).await?;
    let contested = state.store().contested(&id).await?;
    let named = state.store().name_of(&id, revision).await?;
    let document = serde_json::to_value(job).map_err(Error::fault)?;
    Ok(Json(JobView {
        id,
        name: job.job.name.clone(),
        customer: job.job.customer.clone(),
        units: job.units(),
        revision,
        named,
        document,
        spaces: (job.space.iter())
            .map(|space| SpaceLine {
                id: space.id.clone(),
                name: space.label().to_owned(),
                kind: space.kind.unwrap_or_default(),
            })
            .collect(),
        counts: said.counts,
        by_space: said.by_space.clone(),
        by_moment: said.by_moment.clone(),
        contested: (contested.iter().map(|one| Contested::of(job, one))).collect(),
        undo: undoable.undo.map(|entry| entry.summary),
        redo: undoable.redo.map(|entry| entry.summary),
        kinds: kinds(job),
    }))
}

async fn remove(
    state: State,
    caller: Caller,
    Path(job): Path<String>,
) -> Result<StatusCode, Error> {
    state.store().remove(&job, &caller.device, &now()).await?;
    Ok(StatusCode::NO_CONTENT)
}

async fn restore(state: State, Path(job): Path<String>) -> Result<StatusCode, Error> {
    state.store().put_back(&job).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// Kinds of kit that a job uses, in the catalogue's order.
fn kinds(job: &model::Job) -> Vec<&'static str> {
    let mut kinds = Vec::new();
    for kit in job.kit.all() {
        let kind = kit.kind();
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds
}

async fn file(state: State, Path(job): Path<String>) -> Result<File<TEXT>, Error> {
    let text = state.store().export(&job).await?;
    Ok(File::named(text, format!("{job}.toml")))
}

/// What of a job goes out.
#[derive(Deserialize, JsonSchema)]
struct Out {
    /// Without who changed what and when: for people outside the firm.
    #[serde(default)]
    without_history: bool,
}

async fn bundle(
    state: State,
    Path(job): Path<String>,
    Query(out): Query<Out>,
) -> Result<File<ZIP>, Error> {
    let history = match out.without_history {
        true => History::Without,
        false => History::With,
    };
    let bytes = state.store().bundle(&job, history).await?;
    Ok(File::named(bytes, format!("{job}.zip")))
}
