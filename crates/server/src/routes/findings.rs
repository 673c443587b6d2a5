//! What a job's proof says, at any revision and of unsaved changes.

use axum::Json;
use checks::Proved;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use view::{Delta, Edit, Finding, Findings, HouseLimit, Manual};

use crate::describe::{Body, Endpoint, Path, Query, Written};
use crate::desk::{Lane, Revision};
use crate::proved::Changes;
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/jobs/{job}/findings",
            "Every finding, without the effects of remedies",
            all,
        ),
        Endpoint::get(
            "/api/jobs/{job}/findings/{key}",
            "One finding with the effect of each remedy",
            one,
        ),
        Endpoint::post(
            "/api/jobs/{job}/prove",
            "How the findings of a changed copy differ; nothing is saved, the latest of a client wins",
            prove,
        )
        .refuses(&[404, 409]),
        Endpoint::get("/api/checks", "Every check", checks),
        Endpoint::get("/api/checks/{check}", "A check's manual", manual),
        Endpoint::get(
            "/api/limits",
            "Every limit that a house may change",
            limits,
        ),
    ]
}

/// Which revision.
#[derive(Deserialize, JsonSchema)]
struct At {
    /// The last one when left out.
    revision: Option<Revision>,
}

async fn all(
    state: State,
    Path(job): Path<String>,
    Query(at): Query<At>,
) -> Result<Written<Findings>, Error> {
    let revision = state.revision(&job, at.revision).await?;
    let said = state.said(&job, revision).await?;
    Ok(Written::new(said.findings.clone()))
}

async fn one(
    state: State,
    Path((job, key)): Path<(String, String)>,
    Query(at): Query<At>,
) -> Result<Json<Finding>, Error> {
    let revision = state.revision(&job, at.revision).await?;
    let asked = key.clone();
    let look = move |proved: &Proved| {
        let found = proved.findings().find(|found| view::key(found) == asked)?;
        let tried = proved.with_effects(found);
        Some(view::finding(proved.analysis(), &tried))
    };
    let found = state.look(&job, revision, None, look).await?;
    found.map(Json).ok_or_else(|| {
        Error::not_found(
            format!("the job has no finding `{key}` at revision {revision}"),
            "it went with a change; look in the list of findings",
        )
    })
}

/// A change to be proved, not saved.
#[derive(Deserialize, JsonSchema)]
struct Prove {
    /// The revision that the client shows.
    base: Revision,
    #[serde(flatten)]
    changes: Changes,
    /// Whose requests replace each other.
    client: String,
    /// Counts up with each of the client's requests.
    seq: u64,
}

/// How a changed copy's findings differ.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Proved")]
struct Answer {
    /// The request's.
    seq: u64,
    /// The difference to the base.
    delta: Delta,
    /// What would be written.
    edits: Vec<Edit>,
    /// Where the moved bodies are then.
    says: String,
}

async fn prove(
    state: State,
    Path(job): Path<String>,
    Body(asked): Body<Prove>,
) -> Result<Json<Answer>, Error> {
    let Prove {
        base,
        changes,
        client,
        seq,
    } = asked;
    let lane = Lane {
        client,
        number: seq,
    };
    let look = move |proved: &Proved| {
        let (again, written) = changes.copy(proved)?;
        Ok(Answer {
            seq,
            delta: view::delta(&again),
            edits: written.edits.iter().map(Edit::from).collect(),
            says: written.says,
        })
    };
    state.look(&job, base, Some(lane), look).await?.map(Json)
}

/// A check in the list of checks.
#[derive(Serialize, JsonSchema)]
struct CheckLine {
    /// Its id.
    id: &'static str,
    /// Its area.
    area: &'static str,
    /// What is true of a job that fits.
    proves: &'static str,
}

async fn checks() -> Result<Json<Vec<CheckLine>>, Error> {
    let lines = checks::all().map(|check| CheckLine {
        id: check.id,
        area: check.area.word(),
        proves: check.proves,
    });
    Ok(Json(lines.collect()))
}

async fn limits() -> Result<Json<Vec<HouseLimit>>, Error> {
    Ok(Json(view::limits()))
}

async fn manual(Path(id): Path<String>) -> Result<Json<Manual>, Error> {
    match checks::find(&id) {
        Some(check) => Ok(Json(view::manual(check))),
        None => Err(Error::not_found(
            format!("there is no check `{id}`"),
            "look in the list of checks",
        )),
    }
}
