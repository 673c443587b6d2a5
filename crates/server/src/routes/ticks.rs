//! What the crew has ticked off.

use std::cmp::min;

use axum::Json;
use axum::http::StatusCode;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use store::When;

use crate::clock::now;
use crate::describe::{Body, Endpoint, Path};
use crate::routes::edits::act;
use crate::{Caller, Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get("/api/jobs/{job}/ticks", "What holds of each tick", list),
        Endpoint::post("/api/jobs/{job}/ticks", "Ticks or unticks", tick).refuses(&[404, 409]),
    ]
}

/// A tick.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Tick")]
struct Line {
    /// What is ticked.
    tick: String,
    /// Whether it is done.
    done: bool,
    /// Who says so.
    who: String,
    /// When, RFC 3339.
    when: String,
}

async fn list(state: State, Path(job): Path<String>) -> Result<Json<Vec<Line>>, Error> {
    let ticks = state.store().ticks(&job).await?;
    let lines = ticks.into_iter().map(|tick| Line {
        tick: tick.task,
        done: tick.done,
        who: tick.who,
        when: tick.when.to_string(),
    });
    Ok(Json(lines.collect()))
}

/// Something ticked or unticked, perhaps a while ago and out of reach.
#[derive(Deserialize, JsonSchema)]
struct Ticked {
    /// The operation's own number; the same again is not done again.
    op: String,
    /// What is ticked.
    tick: String,
    /// Whether it is done.
    done: bool,
    /// When that was, RFC 3339.
    at: String,
}

async fn tick(
    state: State,
    caller: Caller,
    Path(job): Path<String>,
    Body(ticked): Body<Ticked>,
) -> Result<StatusCode, Error> {
    // The last word holds. A phone whose clock is ahead must not have it for days.
    let when = min(When::parse(&ticked.at)?, now());
    let act = act(&caller, ticked.op, when);
    (state.store().tick(&job, &ticked.tick, ticked.done, &act)).await?;
    Ok(StatusCode::NO_CONTENT)
}
