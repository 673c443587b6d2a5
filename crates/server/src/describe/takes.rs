//! What a handler's argument takes from a request, and what is said when it can't.

use axum::extract::rejection::{BytesRejection, JsonRejection, PathRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode};
use axum::{Json, extract};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::{Content, Operation, Parameter, Shapes};
use crate::caller::Caller;
use crate::{Error, State};

/// What a handler's argument takes from a request.
pub trait Takes {
    /// Says what.
    fn describe(operation: &mut Operation, shapes: &mut Shapes);
}

/// The body as JSON.
pub struct Body<T>(pub T);

/// The body as it came.
pub struct Bytes(pub axum::body::Bytes);

/// The parts of the path, in order.
pub struct Path<T>(pub T);

/// What stands behind the `?`.
pub struct Query<T>(pub T);

impl<T: DeserializeOwned> FromRequest<State> for Body<T> {
    type Rejection = Error;

    async fn from_request(request: Request, state: &State) -> Result<Self, Error> {
        match Json::from_request(request, state).await {
            Ok(Json(value)) => Ok(Self(value)),
            Err(rejection) => Err(bad_json(&rejection)),
        }
    }
}

impl FromRequest<State> for Bytes {
    type Rejection = Error;

    async fn from_request(request: Request, state: &State) -> Result<Self, Error> {
        match axum::body::Bytes::from_request(request, state).await {
            Ok(bytes) => Ok(Self(bytes)),
            Err(rejection) => Err(bad_body(&rejection)),
        }
    }
}

impl<T: DeserializeOwned + Send> FromRequestParts<State> for Path<T> {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, state: &State) -> Result<Self, Error> {
        match extract::Path::from_request_parts(parts, state).await {
            Ok(extract::Path(value)) => Ok(Self(value)),
            Err(rejection) => Err(bad_path(&rejection)),
        }
    }
}

impl<T: DeserializeOwned> FromRequestParts<State> for Query<T> {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, state: &State) -> Result<Self, Error> {
        match extract::Query::from_request_parts(parts, state).await {
            Ok(extract::Query(value)) => Ok(Self(value)),
            Err(rejection) => Err(bad_query(&rejection)),
        }
    }
}

impl FromRequestParts<State> for State {
    type Rejection = Error;

    async fn from_request_parts(_: &mut Parts, state: &State) -> Result<Self, Error> {
        Ok(state.clone())
    }
}

fn bad_json(rejection: &JsonRejection) -> Error {
    match rejection {
        JsonRejection::MissingJsonContentType(_) => Error::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "the request's body is not marked as JSON",
            "send it with `content-type: application/json`",
        ),
        JsonRejection::BytesRejection(rejection) => bad_body(rejection),
        other => Error::new(
            other.status(),
            format!("the request can't be read: {}", innermost(other)),
            "the page and the program may be of different versions: load the page again",
        ),
    }
}

/// What the reader of the body said, without the words that others put before it.
fn innermost(rejection: &JsonRejection) -> String {
    let mut error: &dyn std::error::Error = rejection;
    while let Some(source) = error.source() {
        error = source;
    }
    error.to_string()
}

fn bad_body(rejection: &BytesRejection) -> Error {
    match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => Error::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "what was sent is too large",
            "send a smaller file; photographs are made smaller by the page before they are sent",
        ),
        status => Error::new(
            status,
            "the request ended before it was complete",
            "send it again",
        ),
    }
}

fn bad_path(rejection: &PathRejection) -> Error {
    Error::not_found(
        format!(
            "there is nothing at this address: {}",
            rejection.body_text()
        ),
        "follow a link of the page",
    )
}

fn bad_query(rejection: &QueryRejection) -> Error {
    Error::new(
        StatusCode::BAD_REQUEST,
        format!("the address can't be read: {}", rejection.body_text()),
        "follow a link of the page",
    )
}

impl<T: JsonSchema> Takes for Body<T> {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        operation.refuses(&[400, 413, 415, 422]);
        operation.body = Some(Content {
            media: "application/json",
            schema: Some(shapes.read::<T>()),
        });
    }
}

impl Takes for Bytes {
    fn describe(operation: &mut Operation, _: &mut Shapes) {
        operation.refuses(&[400, 413]);
        operation.body = Some(Content {
            media: "application/octet-stream",
            schema: None,
        });
    }
}

/// The names of the path's parts stand in its route.
impl<T> Takes for Path<T> {
    fn describe(operation: &mut Operation, _: &mut Shapes) {
        operation.refuses(&[404]);
    }
}

impl<T: JsonSchema> Takes for Query<T> {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        operation.refuses(&[400]);
        // A parameter is described where it stands, each on its own.
        let mut schema = T::json_schema(&mut shapes.read);
        let required = schema.remove("required");
        let required = required.as_ref().and_then(Value::as_array);
        let Some(Value::Object(fields)) = schema.remove("properties") else {
            return;
        };
        for (name, mut field) in fields {
            let description = (field.as_object_mut())
                .and_then(|field| field.remove("description"))
                .and_then(|words| words.as_str().map(str::to_owned));
            operation.parameters.push(Parameter {
                in_path: false,
                required: required.is_some_and(|names| names.contains(&Value::from(name.as_str()))),
                description,
                schema: field.try_into().unwrap_or_default(),
                name,
            });
        }
    }
}

/// Nothing of the request's content.
macro_rules! takes_nothing {
    ($($argument:ty),*) => {
        $(impl Takes for $argument {
            fn describe(_: &mut Operation, _: &mut Shapes) {}
        })*
    };
}

takes_nothing!(State, Caller, HeaderMap);
