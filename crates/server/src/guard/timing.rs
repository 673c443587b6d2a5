//! How much of the time that an answer takes is the server's own?

use std::time::Instant;

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue};
use axum::middleware::Next;
use axum::response::Response;

/// Says it on each answer, in ms: <https://www.w3.org/TR/server-timing/>. Reading the request is
/// part of it, and waiting for a desk or the store; sending the answer is not.
pub async fn timed(request: Request, next: Next) -> Response {
    let begun = Instant::now();
    let mut response = next.run(request).await;
    let share = format!("server;dur={:.1}", begun.elapsed().as_secs_f64() * 1e3);
    if let Ok(share) = HeaderValue::try_from(share) {
        let name = HeaderName::from_static("server-timing");
        response.headers_mut().insert(name, share);
    }
    response
}
