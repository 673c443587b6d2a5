//! The crew's sheets: to read, to look at, to print.

use std::sync::Arc;

use axum::Json;
use checks::Proved;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::describe::kinds::SVG;
use crate::describe::{Body, Endpoint, File, Made, Path, Query};
use crate::print::{Key, Paper, Set, Sheet, SheetLine};
use crate::routes::bass;
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get("/api/jobs/{job}/sheets", "Every sheet", list),
        Endpoint::get(
            "/api/jobs/{job}/sheets/{sheet}",
            "A sheet's words, and where its drawings are",
            one,
        ),
        Endpoint::get(
            "/api/jobs/{job}/sheets/{sheet}/svg",
            "A sheet's drawing at its true size",
            svg,
        ),
        Endpoint::post(
            "/api/jobs/{job}/print",
            "Begins to print the whole set as PDF",
            print,
        )
        .refuses(&[404, 429]),
    ]
}

async fn list(state: State, Path(job): Path<String>) -> Result<Json<Vec<SheetLine>>, Error> {
    of_set(&state, job, Set::lines).await.map(Json)
}

async fn one(state: State, Path((job, id)): Path<(String, String)>) -> Result<Json<Sheet>, Error> {
    let asked = id.clone();
    let url = format!("/api/jobs/{job}/sheets/{id}/svg");
    let sheet = of_set(&state, job, move |set| set.sheet(&asked, &url)).await?;
    sheet.map(Json).ok_or_else(|| no_sheet(&id))
}

/// Which drawing of a sheet.
#[derive(Deserialize, JsonSchema)]
struct Which {
    /// From 0; the first when left out.
    #[serde(default)]
    drawing: usize,
}

async fn svg(
    state: State,
    Path((job, id)): Path<(String, String)>,
    Query(which): Query<Which>,
) -> Result<File<SVG>, Error> {
    let asked = id.clone();
    let drawing = of_set(&state, job, move |set| set.svg(&asked, which.drawing)).await?;
    drawing.map(File::shown).ok_or_else(|| no_sheet(&id))
}

fn no_sheet(id: &str) -> Error {
    Error::not_found(
        format!("the job has no sheet `{id}`, or it has no such drawing"),
        "look in the list of sheets",
    )
}

/// Something of the last revision's set, on the paper of the job's own country.
async fn of_set<T, W>(state: &State, job: String, about: W) -> Result<T, Error>
where
    W: FnOnce(&Set) -> T + Send + 'static,
    T: Send + 'static,
{
    let look = |proved: &Proved| Arc::new(proved.analysis().job().clone());
    let (revision, document) = state.look_at_head(&job, look).await?;
    let paper = Paper::of(&document);
    let key = Key {
        job,
        revision,
        paper,
    };
    let sets = state.sets().clone();
    (state.solves())
        .wait(move |teller| Ok(about(&*sets.of(key, &document, teller)?)))
        .await
}

/// How the set is printed.
#[derive(Deserialize, JsonSchema)]
struct Print {
    /// On what.
    paper: Paper,
    /// The date that the sheets carry, `2026-11-25`; the job's own when empty.
    #[serde(default)]
    date: String,
}

/// Work that was begun.
#[derive(Serialize, JsonSchema)]
struct Begun {
    /// Its key: `/api/solves/{key}/events` tells how far it is.
    key: String,
}

/// Longer dates are none.
const DATE_LETTERS_MAX: usize = 40;

async fn print(
    state: State,
    Path(job): Path<String>,
    Body(asked): Body<Print>,
) -> Result<Made<Begun>, Error> {
    let Print { paper, date } = asked;
    if date.chars().count() > DATE_LETTERS_MAX || date.chars().any(char::is_control) {
        return Err(Error::refused(
            "the date can't be printed",
            "write it as 2026-11-25",
        ));
    }
    let look = |proved: &Proved| Arc::new(proved.analysis().job().clone());
    let (revision, document) = state.look_at_head(&job, look).await?;
    let basses = state.basses().clone();
    // What is solved meanwhile makes another set.
    let solved = basses.count();
    let inputs = format!("print {job} {revision} {paper:?} {date} {solved}");
    let key = Key {
        job: job.clone(),
        revision,
        paper,
    };
    let sets = state.sets().clone();
    let key = state.solves().start(&inputs, move |teller| {
        let set = sets.of(key, &document, teller)?;
        let studies = bass::kept(&document, &job, &basses, teller)?;
        set.pdf(&date, &studies, teller)
    })?;
    Ok(Made(Begun { key }))
}
