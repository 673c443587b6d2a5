//! Every route, asked without a socket.

mod bass;
mod catalogue;
mod description;
mod edits;
mod errors;
mod find;
mod findings;
mod jobs;
mod page;
mod photographs;
/// The database that the store's own tests start for themselves.
#[allow(clippy::print_stderr, reason = "a test that is skipped says so")]
#[path = "../../../store/tests/all/scratch/postgres.rs"]
mod postgres;
mod removing;
mod sharing;
mod sheets;
mod spaces;
mod ticks;
mod wiring;

use std::net::SocketAddr;

use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use http_body_util::BodyExt;
use serde_json::{Value, json};
use store::{Place, Store};
use tempfile::TempDir;
use tower::ServiceExt;

use crate::{Access, Limits, State, app};

/// A server over a store of its own.
pub struct Bench {
    pub state: State,
    app: Router,
    _folder: TempDir,
}

/// What was answered.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub bytes: Bytes,
}

impl Answer {
    pub fn json(&self) -> Value {
        let text = String::from_utf8_lossy(&self.bytes);
        serde_json::from_slice(&self.bytes).unwrap_or_else(|error| panic!("{error}: {text}"))
    }

    /// The body of an answer that is none of the errors.
    pub fn good(self) -> Value {
        let text = String::from_utf8_lossy(&self.bytes);
        assert!(self.status.is_success(), "{}: {text}", self.status);
        self.json()
    }

    /// The body of an error, which always has a message and a hint.
    pub fn bad(self, status: u16) -> Value {
        let text = String::from_utf8_lossy(&self.bytes);
        assert_eq!(self.status, status, "{text}");
        let says = self.json();
        assert!(
            says["message"]
                .as_str()
                .is_some_and(|words| !words.is_empty()),
            "{says}"
        );
        assert!(says["hint"].is_string(), "{says}");
        says
    }
}

/// Runs a test twice: over a file, and over PostgreSQL where the machine has it.
pub fn on_both<F: Future<Output = ()>>(test: impl Fn(Bench) -> F) {
    let folder = tempfile::tempdir().unwrap();
    let place = Place::file(folder.path().join("dryfit.db"));
    run(async { test(Bench::over(place, folder).await).await });
    if let Some(url) = postgres::database() {
        let folder = tempfile::tempdir().unwrap();
        let place = Place::server(url, folder.path());
        run(async { test(Bench::over(place, folder).await).await });
    }
}

fn run<T>(work: impl Future<Output = T>) -> T {
    let mut threads = tokio::runtime::Builder::new_multi_thread();
    let runtime = threads.worker_threads(2).enable_all().build();
    runtime.unwrap().block_on(work)
}

impl Bench {
    pub async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let place = Place::file(folder.path().join("dryfit.db"));
        Self::over(place, folder).await
    }

    async fn over(place: Place, folder: TempDir) -> Self {
        let store = Store::open(&place, checks::limit_names()).await.unwrap();
        let state = State::new(store, Limits::default());
        Self {
            app: app(state.clone(), Access::here("Ada's laptop")),
            state,
            _folder: folder,
        }
    }

    /// With one job in it: a small flat, so that proofs are quick.
    pub async fn with_flat() -> (Self, String) {
        let bench = Self::new().await;
        let id = bench.begin_flat().await;
        (bench, id)
    }

    /// Begins the flat; its id.
    pub async fn begin_flat(&self) -> String {
        let text = include_str!("../../../../jobs/metric-flat.toml");
        let begun = json!({ "from": "text", "text": text });
        let id = self.post("/api/jobs", begun).await.good();
        id["id"].as_str().unwrap().to_owned()
    }

    pub async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.app.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        Answer {
            status: parts.status,
            headers: parts.headers,
            bytes: body.collect().await.unwrap().to_bytes(),
        }
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.send(request(Method::GET, path, Body::empty())).await
    }

    pub async fn delete(&self, path: &str) -> Answer {
        self.send(request(Method::DELETE, path, Body::empty()))
            .await
    }

    pub async fn put(&self, path: &str, body: Value) -> Answer {
        self.send_json(Method::PUT, path, body).await
    }

    pub async fn post(&self, path: &str, body: Value) -> Answer {
        self.send_json(Method::POST, path, body).await
    }

    /// Bytes as the page sends a file.
    pub async fn send_file(&self, path: &str, bytes: impl Into<Body>) -> Answer {
        self.send(request(Method::POST, path, bytes.into())).await
    }

    async fn send_json(&self, method: Method, path: &str, body: Value) -> Answer {
        let body = Body::from(body.to_string());
        let mut request = request(method, path, body);
        let json = header::HeaderValue::from_static("application/json");
        request.headers_mut().insert(header::CONTENT_TYPE, json);
        self.send(request).await
    }
}

/// A request from this machine.
pub fn request(method: Method, path: &str, body: Body) -> Request<Body> {
    let mut request = Request::new(body);
    *request.method_mut() = method;
    *request.uri_mut() = path.parse().unwrap();
    let here = SocketAddr::from(([127, 0, 0, 1], 50_000));
    request.extensions_mut().insert(ConnectInfo(here));
    let localhost = header::HeaderValue::from_static("localhost:8420");
    request.headers_mut().insert(header::HOST, localhost);
    request
}
