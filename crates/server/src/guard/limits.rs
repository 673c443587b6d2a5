//! How long may an answer take?

use std::time::Duration;

use axum::extract::Request;
use axum::http::StatusCode;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::Error;

/// Long work reports its progress elsewhere; a phone with a photograph on a weak network needs
/// most of this to send it.
const REQUEST_LASTS: Duration = Duration::from_secs(60);

/// Gives up on requests that trickle in and on answers that never come.
pub async fn in_time(request: Request, next: Next) -> Response {
    within(REQUEST_LASTS, request, next).await
}

async fn within(limit: Duration, request: Request, next: Next) -> Response {
    match tokio::time::timeout(limit, next.run(request)).await {
        Ok(response) => response,
        Err(_) => Error::new(
            StatusCode::REQUEST_TIMEOUT,
            format!(
                "this took longer than {} s and was given up",
                limit.as_secs()
            ),
            "what was saved before is kept; try again nearer to the laptop",
        )
        .into_response(),
    }
}

#[cfg(test)]
mod tests {
    use axum::Router;
    use axum::body::{Body, Bytes};
    use axum::middleware::from_fn;
    use axum::routing::post;
    use tower::ServiceExt;

    use super::*;

    #[tokio::test(start_paused = true)]
    async fn a_body_that_trickles_in_is_given_up() {
        let app = Router::new()
            .route("/", post(|_: Bytes| async { "done" }))
            .layer(from_fn(in_time));
        let trickle = tokio_stream::StreamExt::throttle(
            tokio_stream::iter(std::iter::repeat(Ok::<_, std::convert::Infallible>("x"))),
            Duration::from_secs(5),
        );
        let request = Request::post("/").body(Body::from_stream(trickle)).unwrap();
        let response = app.oneshot(request).await.unwrap();
        assert_eq!(response.status(), StatusCode::REQUEST_TIMEOUT);
    }
}
