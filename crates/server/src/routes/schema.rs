//! Shapes of documents, and this description.

use axum::Json;
use serde_json::Value;

use crate::Error;
use crate::caller::Needs;
use crate::describe::Endpoint;

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get("/api/schema/job", "The JSON Schema of a job file", job),
        Endpoint::get("/api/openapi.json", "This description", description).needs(Needs::Nobody),
    ]
}

async fn job() -> Result<Json<Value>, Error> {
    Ok(Json(model::schema()))
}

async fn description() -> Result<Json<Value>, Error> {
    Ok(Json(crate::description()))
}
