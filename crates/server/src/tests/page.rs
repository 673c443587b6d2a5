//! Is the page served, or said how to build it?

use super::*;

/// The page may be built or not where the tests run; either way something sensible is said.
#[tokio::test]
async fn an_address_of_the_page_is_the_page_or_says_how_to_build_it() {
    let bench = Bench::new().await;
    for path in ["/", "/job/mill-lane/walk?room=den", "/job/a.b/why/c~d~e.f"] {
        let answer = bench.get(path).await;
        let text = String::from_utf8_lossy(&answer.bytes);
        match answer.status {
            StatusCode::OK => {
                assert_eq!(
                    answer.headers[header::CONTENT_TYPE],
                    "text/html; charset=utf-8"
                );
                let tag = &answer.headers[header::ETAG];
                let mut again = request(Method::GET, path, Body::empty());
                again
                    .headers_mut()
                    .insert(header::IF_NONE_MATCH, tag.clone());
                assert_eq!(bench.send(again).await.status, 304);
            }
            other => {
                assert_eq!(other, 503);
                assert!(text.contains("npm run build"), "{text}");
            }
        }
    }
    bench.get("/assets/none.js").await.bad(404);
    let outside = bench.get("/../Cargo.toml").await;
    assert!(!String::from_utf8_lossy(&outside.bytes).contains("[workspace]"));
}
