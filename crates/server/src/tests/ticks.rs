//! Does the last word on a tick hold, in whatever order it comes?

use super::*;

fn tick(op: &str, done: bool, at: &str) -> Value {
    json!({ "op": op, "tick": "load:tv", "done": done, "at": at })
}

#[test]
fn ticks_come_in_any_order_and_the_last_word_holds() {
    on_both(async |bench| {
        let job = bench.begin_flat().await;
        let path = format!("/api/jobs/{job}/ticks");
        let later = tick("b", false, "2026-05-11T09:00:00Z");
        let earlier = tick("a", true, "2026-05-11T08:00:00+00:00");
        for body in [later.clone(), earlier, later] {
            assert_eq!(bench.post(&path, body).await.status, 204);
        }
        let ticks = bench.get(&path).await.good();
        assert_eq!(ticks.as_array().unwrap().len(), 1);
        assert_eq!(ticks[0]["done"], json!(false));
        assert_eq!(ticks[0]["when"], json!("2026-05-11T09:00:00Z"));
        assert_eq!(ticks[0]["who"], json!("Ada's laptop"));
    });
}

#[test]
fn a_clock_that_is_ahead_does_not_have_the_last_word_for_ever() {
    on_both(async |bench| {
        let job = bench.begin_flat().await;
        let path = format!("/api/jobs/{job}/ticks");
        bench
            .post(&path, tick("a", true, "2999-01-01T00:00:00Z"))
            .await;
        let ticks = bench.get(&path).await.good();
        assert!(ticks[0]["when"].as_str().unwrap() < "2999");
    });
}

#[test]
fn a_tick_without_a_time_or_a_job_is_refused() {
    on_both(async |bench| {
        let job = bench.begin_flat().await;
        bench
            .post(&format!("/api/jobs/{job}/ticks"), tick("a", true, "noon"))
            .await
            .bad(422);
        bench
            .post(
                "/api/jobs/nobody/ticks",
                tick("a", true, "2026-05-11T09:00:00Z"),
            )
            .await
            .bad(404);
        bench.get("/api/jobs/nobody/ticks").await.bad(404);
    });
}
