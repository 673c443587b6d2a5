//! What a handler answers with.

use std::marker::PhantomData;

use axum::Json;
use axum::body::Body;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;
use tokio_stream::StreamExt;

use super::kinds::KINDS;
use super::{Content, Operation, Shapes};
use crate::Error;
use crate::solve::{Listening, Progress};

/// What a handler answers with.
pub trait Answers {
    /// Says what.
    fn describe(operation: &mut Operation, shapes: &mut Shapes);
}

/// Bytes with their media type. `KIND` is a place in [`KINDS`].
pub struct File<const KIND: usize> {
    /// What is sent.
    pub bytes: axum::body::Bytes,
    /// Under which name it is kept, when it is to be kept.
    pub name: Option<String>,
    /// How long a copy may stand for it.
    pub cache: &'static str,
}

impl<const KIND: usize> File<KIND> {
    /// To be shown.
    pub fn shown(bytes: impl Into<axum::body::Bytes>) -> Self {
        Self {
            bytes: bytes.into(),
            name: None,
            cache: "no-store",
        }
    }

    /// To be kept under a name.
    pub fn named(bytes: impl Into<axum::body::Bytes>, name: impl Into<String>) -> Self {
        Self {
            name: Some(name.into()),
            ..Self::shown(bytes)
        }
    }

    /// Never another under the same address.
    pub fn forever(mut self) -> Self {
        self.cache = "private, max-age=31536000, immutable";
        self
    }
}

impl<const KIND: usize> IntoResponse for File<KIND> {
    fn into_response(self) -> Response {
        let mut response = Response::new(Body::from(self.bytes));
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(KINDS[KIND]));
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static(self.cache));
        headers.insert(
            header::X_CONTENT_TYPE_OPTIONS,
            HeaderValue::from_static("nosniff"),
        );
        if let Some(name) = self.name {
            headers.insert(header::CONTENT_DISPOSITION, disposition(&name));
        }
        response
    }
}

/// The name of a kept file; letters beyond the plain ones as RFC 8187 writes them.
fn disposition(name: &str) -> HeaderValue {
    let mut encoded = String::new();
    for byte in name.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => {
                encoded.push(char::from(byte));
            }
            _ => encoded.push_str(&format!("%{byte:02X}")),
        }
    }
    HeaderValue::try_from(format!("attachment; filename*=UTF-8''{encoded}"))
        .expect("every letter is a plain one")
}

/// The progress of a solve, as server-sent events `progress`, `done` and `failed`.
pub struct Events(pub Listening);

/// A shape that was written as JSON before.
pub struct Written<T> {
    json: axum::body::Bytes,
    shape: PhantomData<T>,
}

impl<T> Written<T> {
    /// From what `T` was written as.
    pub fn new(json: axum::body::Bytes) -> Self {
        let shape = PhantomData;
        Self { json, shape }
    }
}

impl<T> IntoResponse for Written<T> {
    fn into_response(self) -> Response {
        ([(header::CONTENT_TYPE, "application/json")], self.json).into_response()
    }
}

impl<T: JsonSchema> Answers for Written<T> {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        operation.answers(200, json::<T>(shapes));
    }
}

/// Something that the request made.
pub struct Made<T>(pub T);

impl<T: Serialize> IntoResponse for Made<T> {
    fn into_response(self) -> Response {
        (StatusCode::CREATED, Json(self.0)).into_response()
    }
}

impl<T: Answers> Answers for Result<T, Error> {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        T::describe(operation, shapes);
    }
}

impl<T: JsonSchema> Answers for Json<T> {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        operation.answers(200, json::<T>(shapes));
    }
}

impl<T: JsonSchema> Answers for Made<T> {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        operation.answers(201, json::<T>(shapes));
    }
}

impl Answers for StatusCode {
    fn describe(_: &mut Operation, _: &mut Shapes) {}
}

impl<const KIND: usize> Answers for File<KIND> {
    fn describe(operation: &mut Operation, _: &mut Shapes) {
        let media = KINDS[KIND];
        let schema = None;
        operation.answers(200, Content { media, schema });
    }
}

impl IntoResponse for Events {
    fn into_response(self) -> Response {
        let events = self.0.map(|progress| {
            let name = match progress {
                Progress::Running { .. } => "progress",
                Progress::Done { .. } => "done",
                Progress::Failed { .. } => "failed",
            };
            Event::default().event(name).json_data(progress)
        });
        Sse::new(events)
            .keep_alive(KeepAlive::default())
            .into_response()
    }
}

impl Answers for Events {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        // As OpenAPI 3.2 describes each event of such a stream: its data are a text of JSON.
        let data = shapes.written::<Progress>();
        let schema = schemars::json_schema!({
            "type": "object",
            "properties": {
                "event": { "type": "string", "enum": ["progress", "done", "failed"] },
                "data": {
                    "type": "string",
                    "contentMediaType": "application/json",
                    "contentSchema": data,
                },
            },
            "required": ["event", "data"],
        });
        let content = Content {
            media: "text/event-stream",
            schema: Some(schema),
        };
        operation.answers(200, content);
    }
}

fn json<T: JsonSchema>(shapes: &mut Shapes) -> Content {
    Content {
        media: "application/json",
        schema: Some(shapes.written::<T>()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_with_a_quote_or_a_line_end_stays_in_its_header() {
        let header = disposition("Mill \"Lane\"\r\nSet-Cookie: a.toml");
        assert_eq!(
            header,
            "attachment; filename*=UTF-8''Mill%20%22Lane%22%0D%0ASet-Cookie%3A%20a.toml"
        );
    }
}
