//! Photographs, pinned to what they show.

use axum::Json;
use axum::http::StatusCode;
use photograph::Location;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use store::{NewPhotograph, Photograph};

use crate::clock::now;
use crate::describe::kinds::JPEG;
use crate::describe::{Bytes, Endpoint, File, Made, Path, Query};
use crate::kept::Size;
use crate::routes::edits::act;
use crate::{Caller, Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/jobs/{job}/photographs",
            "The photographs of a job",
            list,
        ),
        Endpoint::post("/api/jobs/{job}/photographs", "Adds a photograph", add)
            .refuses(&[409, 422])
            .takes(photograph::FILE_BYTES_MAX),
        Endpoint::delete(
            "/api/jobs/{job}/photographs/{hash}",
            "Takes a photograph out of a job",
            remove,
        ),
        Endpoint::get("/api/photographs/{hash}", "A photograph: a JPEG", one),
    ]
}

/// A photograph.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Photograph")]
struct Line {
    /// The SHA-256 of its bytes: its address.
    hash: String,
    /// The document path of what it shows; empty for the job.
    pinned: String,
    /// What to see on it.
    caption: String,
    /// Who took it.
    who: String,
    /// When, RFC 3339.
    when: String,
    /// Pixels across, as it is shown.
    width: u32,
    /// Pixels down.
    height: u32,
}

impl Line {
    fn new(photograph: Photograph, size: Size) -> Self {
        Self {
            hash: photograph.hash,
            pinned: photograph.pinned,
            caption: photograph.caption,
            who: photograph.who,
            when: photograph.when.to_string(),
            width: size.width,
            height: size.height,
        }
    }
}

async fn list(state: State, Path(job): Path<String>) -> Result<Json<Vec<Line>>, Error> {
    let mut lines = Vec::new();
    for photograph in state.store().photographs(&job).await? {
        let size = match state.sizes().get(&photograph.hash) {
            Some(size) => size,
            None => {
                let bytes = state.store().photograph(&photograph.hash).await?;
                let none = Size {
                    width: 0,
                    height: 0,
                };
                let size = Size::of(&bytes).unwrap_or(none);
                state.sizes().put(&photograph.hash, size);
                size
            }
        };
        lines.push(Line::new(photograph, size));
    }
    Ok(Json(lines))
}

/// What a photograph shows.
#[derive(Deserialize, JsonSchema)]
struct About {
    /// The operation's own number; the same again is not done again.
    op: String,
    /// The document path of what it shows; empty for the job.
    #[serde(default)]
    pinned: String,
    /// What to see on it.
    #[serde(default)]
    caption: String,
    /// Keeps where, when and with what it was taken; left out otherwise.
    #[serde(default)]
    keep_location: bool,
}

async fn add(
    state: State,
    caller: Caller,
    Path(job): Path<String>,
    Query(about): Query<About>,
    Bytes(bytes): Bytes,
) -> Result<Made<Line>, Error> {
    let location = match about.keep_location {
        true => Location::Keep,
        false => Location::Strip,
    };
    let work = move || photograph::keep(&bytes, location);
    let kept = tokio::task::spawn_blocking(work)
        .await
        .map_err(Error::fault)?;
    let kept = kept.map_err(|error| {
        Error::refused(
            format!("the photograph was not kept: {error}"),
            "send it as JPEG, as a phone's camera makes it",
        )
    })?;
    let size = Size {
        width: kept.width,
        height: kept.height,
    };
    let new = NewPhotograph {
        bytes: kept.jpeg,
        pinned: about.pinned,
        place: String::new(),
        caption: about.caption,
    };
    let act = act(&caller, about.op, now());
    let photograph = state.store().add_photograph(&job, new, &act).await?;
    state.sizes().put(&photograph.hash, size);
    Ok(Made(Line::new(photograph, size)))
}

async fn remove(
    state: State,
    Path((job, hash)): Path<(String, String)>,
) -> Result<StatusCode, Error> {
    let mut removed = false;
    for photograph in state.store().photographs(&job).await? {
        if photograph.hash == hash {
            removed |= (state
                .store()
                .remove_photograph(&job, &photograph.op, &now()))
            .await?;
        }
    }
    match removed {
        true => Ok(StatusCode::NO_CONTENT),
        false => Err(Error::not_found(
            "the job has no such photograph",
            "somebody may have taken it out before: load the page again",
        )),
    }
}

async fn one(state: State, Path(hash): Path<String>) -> Result<File<JPEG>, Error> {
    let bytes = state.store().photograph(&hash).await?;
    Ok(File::shown(bytes).forever())
}
