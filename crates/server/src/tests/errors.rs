//! Is whatever goes wrong told in words, and nothing of the inside?

use super::*;

#[tokio::test]
async fn an_address_that_is_none_is_told_in_words() {
    let bench = Bench::new().await;
    bench.get("/api/nothing").await.bad(404);
    bench.get("/api").await.bad(404);
    bench.get("/api/jobs/nobody").await.bad(404);
    bench.get("/api/jobs/nobody/findings").await.bad(404);
    bench.get("/api/solves/none/events").await.bad(404);
    bench.get("/api/checks/none").await.bad(404);
}

#[tokio::test]
async fn a_method_that_a_route_does_not_have_is_told_in_words() {
    let bench = Bench::new().await;
    bench.delete("/api/jobs").await.bad(405);
    bench.post("/some/page", json!({})).await.bad(405);
}

#[tokio::test]
async fn a_body_that_is_no_json_or_has_another_shape_is_told_in_words() {
    let bench = Bench::new().await;
    let unmarked = request(Method::POST, "/api/jobs", Body::from("{}"));
    bench.send(unmarked).await.bad(415);
    let mut broken = request(Method::POST, "/api/jobs", Body::from("{\"from\": "));
    let json = header::HeaderValue::from_static("application/json");
    broken.headers_mut().insert(header::CONTENT_TYPE, json);
    bench.send(broken).await.bad(400);
    let says = bench
        .post("/api/jobs", json!({ "from": "mars" }))
        .await
        .bad(422);
    let message = says["message"].as_str().unwrap();
    assert!(message.contains("mars"), "{message}");
}

#[tokio::test]
async fn a_body_that_is_too_large_is_told_in_words() {
    let bench = Bench::new().await;
    let text = "x".repeat(crate::BODY_BYTES_MAX);
    bench
        .post("/api/jobs", json!({ "from": "text", "text": text }))
        .await
        .bad(413);
}

#[tokio::test]
async fn a_query_that_does_not_read_is_told_in_words() {
    let (bench, job) = Bench::with_flat().await;
    bench
        .get(&format!("/api/jobs/{job}/findings?revision=last"))
        .await
        .bad(400);
    bench
        .get(&format!("/api/jobs/{job}/compare?from=1"))
        .await
        .bad(400);
    bench
        .get(&format!("/api/jobs/{job}/findings?revision=7"))
        .await
        .bad(404);
}

#[tokio::test]
async fn a_panic_is_an_answer_without_its_words() {
    let (state, access) = {
        let bench = Bench::new().await;
        (bench.state.clone(), Access::here("x"))
    };
    async fn panics() -> Result<StatusCode, crate::Error> {
        panic!("an inner secret")
    }
    let routes = vec![crate::describe::Endpoint::get("/api/panic", "", panics)];
    let app = crate::layered(crate::describe::router(routes), state, access);
    let asked = request(Method::GET, "/api/panic", Body::empty());
    let response = app.oneshot(asked).await.unwrap();
    assert_eq!(response.status(), 500);
    let body = response.into_body().collect().await.unwrap().to_bytes();
    let text = String::from_utf8_lossy(&body);
    assert!(
        text.contains("message") && !text.contains("secret"),
        "{text}"
    );
}

#[tokio::test]
async fn a_caller_from_elsewhere_sees_nothing() {
    let (bench, job) = Bench::with_flat().await;
    let elsewhere = |method, path: &str| {
        let mut request = request(method, path, Body::empty());
        let address = SocketAddr::from(([192, 168, 1, 7], 50_000));
        request.extensions_mut().insert(ConnectInfo(address));
        request
    };
    bench
        .send(elsewhere(Method::GET, "/api/jobs"))
        .await
        .bad(401);
    bench
        .send(elsewhere(Method::POST, &format!("/api/jobs/{job}/undo")))
        .await
        .bad(401);
}

#[tokio::test]
async fn a_job_named_by_a_letter_that_is_none_is_told_in_words() {
    let bench = Bench::new().await;
    bench
        .get("/api/jobs/%00/findings?revision=1")
        .await
        .bad(404);
    let change = json!({ "base": 1, "client": "a", "seq": 1 });
    bench.post("/api/jobs/a%00b/prove", change).await.bad(404);
}

#[tokio::test]
async fn more_changes_than_anybody_makes_at_once_are_refused() {
    let (bench, job) = Bench::with_flat().await;
    let edits = vec![json!({ "at": "space.main.noise", "set": "30 dB" }); 1001];
    for path in ["prove", "edits", "spaces/main/scene", "spaces/main/walk"] {
        let change = json!({ "base": 1, "op": "a", "client": "a", "seq": 1, "edits": edits });
        let path = format!("/api/jobs/{job}/{path}");
        let says = bench.post(&path, change).await.bad(422);
        let message = says["message"].as_str().unwrap();
        assert!(message.contains("1001"), "{message}");
    }
}
