//! Pairing, roles, and what other sites and devices try.

use std::net::SocketAddr;

use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{HeaderName, HeaderValue, Method, Request, header};
use serde_json::{Value, json};

use super::{Answer, Bench, request};
use crate::House;

/// A request of a phone in the house's network.
fn from_phone(method: Method, path: &str, body: Option<Value>) -> Request<Body> {
    let text = body.map_or_else(String::new, |body| body.to_string());
    let mut request = request(method, path, Body::from(text));
    let phone = SocketAddr::from(([192, 168, 1, 30], 50_000));
    request.extensions_mut().insert(ConnectInfo(phone));
    with(request, "content-type", "application/json")
}

fn with(mut request: Request<Body>, name: &'static str, value: &str) -> Request<Body> {
    let value = HeaderValue::from_str(value).unwrap();
    request
        .headers_mut()
        .insert(HeaderName::from_static(name), value);
    request
}

async fn shared() -> (Bench, String) {
    let (bench, job) = Bench::with_flat().await;
    bench
        .state
        .open_to(House::new(vec!["https://192.168.1.20:8421/".into()], None));
    (bench, job)
}

/// Pairs a phone; the cookie that it got.
async fn paired(bench: &Bench, role: &str) -> String {
    let shown = bench
        .post("/api/sharing/code", json!({ "role": role }))
        .await
        .good();
    let typed = json!({ "code": shown["code"], "device": "Ann's phone" });
    let answer = bench
        .send(from_phone(Method::POST, "/api/pair", Some(typed)))
        .await;
    let cookie = answer.headers[header::SET_COOKIE]
        .to_str()
        .unwrap()
        .to_owned();
    assert_eq!(
        answer.good(),
        json!({ "role": role, "device": "Ann's phone" })
    );
    cookie
}

/// The part of a cookie that comes back.
fn sent(cookie: &str) -> &str {
    cookie.split(';').next().unwrap()
}

async fn ask(
    bench: &Bench,
    cookie: &str,
    method: Method,
    path: &str,
    body: Option<Value>,
) -> Answer {
    bench
        .send(with(from_phone(method, path, body), "cookie", sent(cookie)))
        .await
}

#[tokio::test]
async fn a_paired_phone_is_the_crew_until_it_is_let_go() {
    let (bench, job) = shared().await;
    let cookie = paired(&bench, "crew").await;
    for flag in [
        "__Host-session=",
        "Path=/",
        "Secure",
        "HttpOnly",
        "SameSite=Strict",
        "Max-Age=",
    ] {
        assert!(cookie.contains(flag), "{cookie}");
    }
    let me = ask(&bench, &cookie, Method::GET, "/api/me", None)
        .await
        .good();
    assert_eq!(me["role"], "crew");
    assert_eq!(me["here"], false);
    let undo = format!("/api/jobs/{job}/undo");
    let answer = ask(
        &bench,
        &cookie,
        Method::POST,
        &undo,
        Some(json!({ "op": "1" })),
    )
    .await;
    assert_ne!(answer.status, 401);
    assert_ne!(answer.status, 403);

    let sharing = bench.get("/api/sharing").await.good();
    assert_eq!(sharing["code"], Value::Null, "a code pairs one device");
    let device = sharing["devices"][0]["id"].as_str().unwrap();
    assert_eq!(sharing["devices"][0]["name"], "Ann's phone");
    let gone = bench
        .delete(&format!("/api/sharing/devices/{device}"))
        .await;
    assert_eq!(gone.status, 204);
    ask(&bench, &cookie, Method::GET, "/api/jobs", None)
        .await
        .bad(401);
}

#[tokio::test]
async fn a_phone_that_may_look_changes_nothing() {
    let (bench, job) = shared().await;
    let cookie = paired(&bench, "view").await;
    ask(
        &bench,
        &cookie,
        Method::GET,
        &format!("/api/jobs/{job}"),
        None,
    )
    .await
    .good();
    for (method, path, body) in [
        (
            Method::POST,
            format!("/api/jobs/{job}/edits"),
            json!({ "op": "1", "base": 1, "edits": [] }),
        ),
        (
            Method::POST,
            format!("/api/jobs/{job}/undo"),
            json!({ "op": "2" }),
        ),
        (Method::POST, "/api/jobs".into(), json!({ "from": "demo" })),
        (
            Method::DELETE,
            format!("/api/jobs/{job}/photographs/{}", "a".repeat(64)),
            Value::Null,
        ),
    ] {
        ask(&bench, &cookie, method, &path, Some(body))
            .await
            .bad(403);
    }
}

#[tokio::test]
async fn nobody_is_let_in_without_a_code() {
    let (bench, job) = shared().await;
    for path in [
        "/api/jobs".to_owned(),
        format!("/api/jobs/{job}"),
        format!("/api/jobs/{job}/file"),
    ] {
        bench
            .send(from_phone(Method::GET, &path, None))
            .await
            .bad(401);
    }
    for cookie in [
        "__Host-session=",
        "__Host-session=AAAA",
        "__Host-session=AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA",
        "session=x; __Host-session=\u{7f}",
        "; ; =; __Host-session",
    ] {
        ask(
            &bench,
            &format!("{cookie};"),
            Method::GET,
            "/api/jobs",
            None,
        )
        .await
        .bad(401);
        let raw = with(
            from_phone(Method::GET, "/api/jobs", None),
            "cookie",
            &cookie.replace('\u{7f}', "~"),
        );
        bench.send(raw).await.bad(401);
    }
    // The page itself may be seen: it asks for the code.
    let me = bench
        .send(from_phone(Method::GET, "/api/me", None))
        .await
        .good();
    assert_eq!(me["role"], Value::Null);
}

#[tokio::test]
async fn five_wrong_tries_end_the_code() {
    let (bench, _) = shared().await;
    let shown = bench
        .post("/api/sharing/code", json!({ "role": "crew" }))
        .await
        .good();
    let right = shown["code"].as_str().unwrap().to_owned();
    let wrong = if right == "000000" {
        "000001"
    } else {
        "000000"
    };
    let pair = |code: &str| {
        from_phone(
            Method::POST,
            "/api/pair",
            Some(json!({ "code": code, "device": "x" })),
        )
    };
    for _ in 0..5 {
        let says = bench.send(pair(wrong)).await.bad(401);
        assert_eq!(says["at"], "code");
    }
    bench.send(pair(&right)).await.bad(401);
}

#[tokio::test]
async fn only_the_laptop_shows_codes_and_lets_devices_go() {
    let (bench, _) = shared().await;
    let cookie = paired(&bench, "crew").await;
    for (method, path, body) in [
        (Method::GET, "/api/sharing", None),
        (
            Method::POST,
            "/api/sharing/code",
            Some(json!({ "role": "crew" })),
        ),
        (Method::DELETE, "/api/sharing/devices/1", None),
        (Method::POST, "/api/sign-out-everywhere", Some(json!({}))),
    ] {
        ask(&bench, &cookie, method, path, body).await.bad(403);
    }
    // Whoever passes on the requests of others has no seat at this machine.
    let passed_on = with(
        request(Method::GET, "/api/sharing", Body::empty()),
        "x-forwarded-for",
        "203.0.113.5",
    );
    bench.send(passed_on).await.bad(403);
}

#[tokio::test]
async fn signing_out_everywhere_leaves_nobody() {
    let (bench, _) = shared().await;
    let cookies = [paired(&bench, "crew").await, paired(&bench, "view").await];
    let shown = bench
        .post("/api/sharing/code", json!({ "role": "crew" }))
        .await
        .good();
    let out = bench.post("/api/sign-out-everywhere", json!({})).await;
    assert_eq!(out.status, 204);
    for cookie in &cookies {
        ask(&bench, cookie, Method::GET, "/api/jobs", None)
            .await
            .bad(401);
    }
    let late = json!({ "code": shown["code"], "device": "x" });
    bench
        .send(from_phone(Method::POST, "/api/pair", Some(late)))
        .await
        .bad(401);
}

#[tokio::test]
async fn signing_out_takes_the_cookie_and_its_session() {
    let (bench, _) = shared().await;
    let cookie = paired(&bench, "crew").await;
    let answer = ask(&bench, &cookie, Method::POST, "/api/sign-out", None).await;
    assert_eq!(answer.status, 204);
    let taken = answer.headers[header::SET_COOKIE].to_str().unwrap();
    assert!(
        taken.contains("__Host-session=;") && taken.contains("Max-Age=0"),
        "{taken}"
    );
    ask(&bench, &cookie, Method::GET, "/api/jobs", None)
        .await
        .bad(401);
}

#[tokio::test]
async fn a_program_that_is_not_shared_pairs_nobody() {
    let bench = Bench::new().await;
    bench
        .post("/api/sharing/code", json!({ "role": "crew" }))
        .await
        .bad(409);
    bench
        .post("/api/pair", json!({ "code": "123456", "device": "x" }))
        .await
        .bad(409);
    bench.get("/api/ca.crt").await.bad(404);
    assert_eq!(bench.get("/api/sharing").await.good()["on"], false);
}

#[tokio::test]
async fn a_device_without_a_usable_name_is_told_so() {
    let (bench, _) = shared().await;
    for device in ["", "   ", "a\u{0}b", &"x".repeat(41)] {
        let typed = json!({ "code": "123456", "device": device });
        let says = bench
            .send(from_phone(Method::POST, "/api/pair", Some(typed)))
            .await
            .bad(422);
        assert_eq!(says["at"], "device");
    }
}

#[tokio::test]
async fn other_sites_reach_nothing_through_the_crews_browser() {
    let (bench, job) = shared().await;
    let cookie = paired(&bench, "crew").await;
    let edits = format!("/api/jobs/{job}/edits");
    let change = json!({ "op": "9", "base": 1, "edits": [{ "at": "job.name", "set": "taken" }] });
    for (name, value) in [
        ("origin", "https://bad.example"),
        ("origin", "null"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
    ] {
        // From the laptop's own browser, and from a phone that carries its cookie.
        let here = with(
            from_phone(Method::POST, &edits, Some(change.clone())),
            name,
            value,
        );
        let phone = with(here, "cookie", sent(&cookie));
        bench.send(phone).await.bad(403);
        let mut laptop = with(
            from_phone(Method::POST, &edits, Some(change.clone())),
            name,
            value,
        );
        laptop
            .extensions_mut()
            .insert(ConnectInfo(SocketAddr::from(([127, 0, 0, 1], 1))));
        bench.send(laptop).await.bad(403);
    }
    // A form can't send JSON, and other bodies are not read.
    let form = with(
        request(Method::POST, &edits, Body::from(change.to_string())),
        "content-type",
        "text/plain",
    );
    bench.send(form).await.bad(415);
    let name = bench.get(&format!("/api/jobs/{job}")).await.good();
    assert_ne!(name["name"], "taken");
}

#[tokio::test]
async fn a_name_that_was_pointed_here_is_not_answered() {
    let (bench, _) = shared().await;
    for path in ["/api/jobs", "/api/me", "/", "/job/a/walk"] {
        let rebound = with(
            request(Method::GET, path, Body::empty()),
            "host",
            "rebound.example:8420",
        );
        let answer = bench.send(rebound).await;
        assert_eq!(answer.status, 421, "{path}");
    }
}

#[tokio::test]
async fn every_answer_forbids_what_a_page_does_not_need() {
    let (bench, _) = shared().await;
    let foreign = with(
        request(Method::GET, "/api/jobs", Body::empty()),
        "host",
        "rebound.example",
    );
    for answer in [
        bench.get("/").await,
        bench.get("/api/me").await,
        bench.get("/api/nothing").await,
        bench.send(foreign).await,
    ] {
        let policy = answer.headers[header::CONTENT_SECURITY_POLICY]
            .to_str()
            .unwrap();
        assert!(
            policy.contains("default-src 'self'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert!(policy.contains("frame-ancestors 'none'"), "{policy}");
        assert_eq!(answer.headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
        assert_eq!(answer.headers[header::REFERRER_POLICY], "no-referrer");
    }
}

#[tokio::test]
async fn no_path_leads_out_of_what_is_served() {
    let (bench, job) = shared().await;
    for path in [
        "/../Cargo.toml",
        "/..%2f..%2f..%2fetc%2fpasswd",
        "/assets/..%2f..%2fCargo.toml",
        "/assets/../../Cargo.toml",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/assets/%00",
        "//etc/passwd",
    ] {
        let answer = bench.get(path).await;
        let text = String::from_utf8_lossy(&answer.bytes);
        assert!(
            !text.contains("root:") && !text.contains("[workspace]"),
            "{path}: {text}"
        );
    }
    for path in [
        "/api/photographs/..%2f..%2fdryfit.db".to_owned(),
        "/api/photographs/%2fetc%2fpasswd".to_owned(),
        format!("/api/jobs/..%2f{job}"),
        format!("/api/jobs/{job}/sheets/..%2f..%2fx/svg"),
    ] {
        let answer = bench.get(&path).await;
        assert!(answer.status.is_client_error(), "{path}: {}", answer.status);
    }
}

#[tokio::test]
async fn a_body_that_is_too_large_is_not_read() {
    let (bench, _) = shared().await;
    let huge = format!(
        "{{\"from\":\"text\",\"text\":\"{}\"}}",
        "x".repeat(7_000_000)
    );
    let request = with(
        request(Method::POST, "/api/jobs", Body::from(huge)),
        "content-type",
        "application/json",
    );
    bench.send(request).await.bad(413);
}
