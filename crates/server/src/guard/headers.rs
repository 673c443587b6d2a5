//! What every answer tells the browser that it may not do.

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

/// Nothing but this machine's own files runs or loads; no script stands in a page's text; no
/// other site shows the page in a frame.
const CONTENT: &str = "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; \
    base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// The camera is asked for by its file picker, which needs no permission.
const PERMISSIONS: &str = "camera=(), geolocation=(), microphone=(), payment=(), usb=()";

/// Adds them, to errors too.
pub async fn restrict(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let mut set = |name: HeaderName, value| {
        headers.insert(name, HeaderValue::from_static(value));
    };
    set(header::CONTENT_SECURITY_POLICY, CONTENT);
    set(header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    set(header::REFERRER_POLICY, "no-referrer");
    set(
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    );
    set(
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    );
    set(HeaderName::from_static("permissions-policy"), PERMISSIONS);
    response
}
