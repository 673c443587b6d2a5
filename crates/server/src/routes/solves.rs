//! Work under way: its progress, its result, and a way to stop it.

use axum::http::StatusCode;

use crate::describe::kinds::PDF;
use crate::describe::{Endpoint, Events, File, Path};
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/solves/{key}/events",
            "Progress as server-sent events; the work stops when the last listener goes",
            events,
        ),
        Endpoint::get(
            "/api/solves/{key}/result.pdf",
            "What the work has made",
            result,
        )
        .refuses(&[409]),
        Endpoint::delete("/api/solves/{key}", "Stops the work", cancel),
    ]
}

async fn events(state: State, Path(key): Path<String>) -> Result<Events, Error> {
    state.solves().listen(&key).map(Events)
}

async fn result(state: State, Path(key): Path<String>) -> Result<File<PDF>, Error> {
    state.solves().result(&key).map(File::shown)
}

async fn cancel(state: State, Path(key): Path<String>) -> Result<StatusCode, Error> {
    state.solves().cancel(&key)?;
    Ok(StatusCode::NO_CONTENT)
}
