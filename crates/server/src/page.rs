//! The page's own files, built by `npm run build` in `web/`.

use axum::body::Body;
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use rust_embed::{Embed, EmbeddedFile};

use crate::Error;

#[derive(Embed)]
#[folder = "$DRYFIT_PAGE"]
#[allow_missing = true]
struct Files;

/// Files in here are named after their contents: one name never has other contents.
const NAMED_BY_CONTENT: &str = "assets/";

const NOT_BUILT: &str = "\
The page was not built: this program holds the server alone.

Stop it and start ./run in its folder, which builds both; or run `npm ci` and `npm run build`
in web/, then `cargo build`. The data are at /api as they are.
";

/// Every address that no route answers: a file of the page, the page itself, or an error.
pub async fn serve(method: Method, uri: Uri, headers: HeaderMap) -> Response {
    let path = uri.path().trim_start_matches('/');
    if path == "api" || path.starts_with("api/") {
        return Error::not_found(
            format!("there is nothing at `{}`", uri.path()),
            "the page and the program may be of different versions: load the page again",
        )
        .into_response();
    }
    if method != Method::GET && method != Method::HEAD {
        return not_allowed().await.into_response();
    }
    match found(path) {
        Some(file) => send(path, &file, &headers),
        // A file that is missing must not look like a page.
        None if is_file(path) => Error::not_found(
            format!("the page has no file `{path}`"),
            "load the page again",
        )
        .into_response(),
        // The page tells its own addresses apart.
        None => match found("index.html") {
            Some(file) => send("index.html", &file, &headers),
            None => (StatusCode::SERVICE_UNAVAILABLE, NOT_BUILT).into_response(),
        },
    }
}

/// A file of the page. Builds that share a target folder carry each other's way to it, so one
/// that is not a release may be told where it lies by `DRYFIT_PAGE`.
fn found(path: &str) -> Option<EmbeddedFile> {
    #[cfg(debug_assertions)]
    if let Some(page) = std::env::var_os("DRYFIT_PAGE") {
        use std::path::{Component, Path};
        let file = Path::new(path);
        let is_inside = (file.components()).all(|part| matches!(part, Component::Normal(_)));
        let read = || rust_embed::utils::read_file_from_fs(&Path::new(&page).join(file)).ok();
        return is_inside.then(read).flatten();
    }
    Files::get(path)
}

/// A route that is there, asked in another way.
pub async fn not_allowed() -> Error {
    Error::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "this address can't be asked in that way",
        "the page and the program may be of different versions: load the page again",
    )
}

/// An id in an address of the page may hold a full stop; the page's files lie at the top or
/// in `assets`.
fn is_file(path: &str) -> bool {
    let at_the_top = !path.contains('/') && path.contains('.');
    at_the_top || path.starts_with(NAMED_BY_CONTENT)
}

fn send(path: &str, file: &EmbeddedFile, asked: &HeaderMap) -> Response {
    let hash: String = (file.metadata.sha256_hash()[..12].iter())
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let tag = format!("\"{hash}\"");
    let cache = if path.starts_with(NAMED_BY_CONTENT) {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    let known = asked
        .get(header::IF_NONE_MATCH)
        .and_then(|known| known.to_str().ok())
        .is_some_and(|known| known.split(',').any(|one| one.trim() == tag));
    let mut response = if known {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        Response::new(Body::from(file.data.to_vec()))
    };
    let headers = response.headers_mut();
    if !known {
        let media = HeaderValue::try_from(media(path, file));
        headers.insert(
            header::CONTENT_TYPE,
            media.unwrap_or(HeaderValue::from_static("application/octet-stream")),
        );
    }
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static(cache));
    headers.insert(
        header::ETAG,
        HeaderValue::try_from(tag).expect("hexadecimal digits in quotes"),
    );
    response
}

fn media(path: &str, file: &EmbeddedFile) -> String {
    match file.metadata.mimetype() {
        media if media.starts_with("text/") => format!("{media}; charset=utf-8"),
        media if path.ends_with(".webmanifest") && media == "application/octet-stream" => {
            "application/manifest+json".to_owned()
        }
        media => media.to_owned(),
    }
}
