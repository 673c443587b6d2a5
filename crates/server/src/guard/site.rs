//! Does a request come from our own page, for this machine?
//!
//! A browser carries other sites' requests here as readily as our own, with our cookie or, on
//! this machine, with the trust that its address gives. Two things it never lets a site
//! forge: the name that was asked for, and the site that asks.

use axum::extract::Request;
use axum::http::uri::Authority;
use axum::http::{HeaderMap, Method, StatusCode, header};
use sharing::Hosts;

use crate::Error;

/// Nothing when the request may go on, else why not.
pub fn refused(request: &Request, hosts: &Hosts) -> Option<Error> {
    let Some(asked) = authority(request) else {
        return Some(Error::new(
            StatusCode::BAD_REQUEST,
            "the request does not say which machine it is for",
            "send a `Host` header",
        ));
    };
    if !hosts.hold_authority(&asked) {
        return Some(Error::new(
            StatusCode::MISDIRECTED_REQUEST,
            format!("this machine is not \"{}\"", shown(asked.host())),
            "use an address that `dryfit serve` printed when it started",
        ));
    }
    let is_data = request.uri().path().starts_with("/api/");
    let is_read = matches!(*request.method(), Method::GET | Method::HEAD);
    if (is_data || !is_read) && !is_own_site(request.headers(), &asked, is_read) {
        return Some(Error::new(
            StatusCode::FORBIDDEN,
            "another site asked for this, and it may not",
            "open dryfit's own page and do it there",
        ));
    }
    None
}

/// HTTP/2 has no `Host` header: there the name stands in the address.
fn authority(request: &Request) -> Option<Authority> {
    if let Some(authority) = request.uri().authority() {
        return Some(authority.clone());
    }
    let mut hosts = request.headers().get_all(header::HOST).iter();
    let host = hosts.next()?;
    // Two of them are a way to have two readers see different ones.
    if hosts.next().is_some() {
        return None;
    }
    host.to_str().ok()?.parse().ok()
}

/// Every browser since 2020 says `Origin` with each request that changes something, and since
/// 2023 `Sec-Fetch-Site` with each request at all. What says neither is no browser, and carries
/// nobody's cookie but its own.
fn is_own_site(headers: &HeaderMap, asked: &Authority, is_read: bool) -> bool {
    let text = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let site = text("sec-fetch-site");
    if site.is_some_and(|site| !matches!(site, "same-origin" | "none")) {
        return false;
    }
    match text("origin") {
        Some(origin) => {
            let origin = origin
                .strip_prefix("http://")
                .or(origin.strip_prefix("https://"));
            origin.is_some_and(|origin| origin.eq_ignore_ascii_case(asked.as_str()))
        }
        // A link from a mail opens a page, and changes nothing.
        None => is_read || site != Some("none"),
    }
}

/// A name as a message repeats it.
fn shown(name: &str) -> String {
    name.chars().take(80).collect()
}

#[cfg(test)]
mod tests {
    use axum::body::Body;

    use super::*;

    fn status(method: &str, path: &str, headers: &[(&str, &str)]) -> Option<u16> {
        let mut request = Request::builder().method(method).uri(path);
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let request = request.body(Body::empty()).unwrap();
        let hosts = Hosts::loopback().named("van-laptop");
        refused(&request, &hosts).map(|error| error.status.as_u16())
    }

    const HERE: (&str, &str) = ("host", "localhost:4173");

    #[test]
    fn our_own_page_is_answered() {
        let own = [
            HERE,
            ("origin", "http://localhost:4173"),
            ("sec-fetch-site", "same-origin"),
        ];
        assert_eq!(status("POST", "/api/jobs", &own), None);
        assert_eq!(
            status(
                "GET",
                "/api/jobs",
                &[HERE, ("sec-fetch-site", "same-origin")]
            ),
            None
        );
        let phone = [
            ("host", "van-laptop.local"),
            ("origin", "https://van-laptop.local"),
        ];
        assert_eq!(status("DELETE", "/api/jobs/a", &phone), None);
        assert_eq!(
            status("GET", "/", &[HERE, ("sec-fetch-site", "cross-site")]),
            None
        );
        assert_eq!(
            status("POST", "/api/jobs", &[HERE]),
            None,
            "a program, no browser"
        );
    }

    #[test]
    fn http_2_names_the_machine_in_its_address() {
        assert_eq!(
            status("GET", "https://van-laptop.local/api/jobs", &[]),
            None
        );
        assert_eq!(
            status("GET", "https://rebound.example/api/jobs", &[]),
            Some(421)
        );
    }

    #[test]
    fn names_that_were_pointed_here_are_refused() {
        for host in [
            "rebound.example",
            "rebound.example:4173",
            "127.0.0.1.rebound.example",
            "192.168.1.9",
        ] {
            assert_eq!(status("GET", "/", &[("host", host)]), Some(421), "{host}");
        }
        assert_eq!(status("GET", "/", &[]), Some(400));
        assert_eq!(
            status("GET", "/", &[HERE, ("host", "rebound.example")]),
            Some(400)
        );
        assert_eq!(status("GET", "/", &[("host", "a b")]), Some(400));
    }

    #[test]
    fn other_sites_change_and_read_nothing() {
        for foreign in [
            ("origin", "https://bad.example"),
            ("origin", "http://localhost:9999"),
            ("origin", "http://localhost:4173.bad.example"),
            ("origin", "null"),
            ("origin", ""),
            ("sec-fetch-site", "cross-site"),
            ("sec-fetch-site", "same-site"),
            ("sec-fetch-site", "none"),
        ] {
            assert_eq!(
                status("POST", "/api/jobs", &[HERE, foreign]),
                Some(403),
                "{foreign:?}"
            );
        }
        let image = [HERE, ("sec-fetch-site", "cross-site")];
        assert_eq!(status("GET", "/api/jobs", &image), Some(403));
        assert_eq!(status("POST", "/job/a/walk", &image), Some(403));
    }
}
