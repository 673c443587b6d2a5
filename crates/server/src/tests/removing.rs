//! Does a job go from the list and come back, and is no desk opened for what there is not?

use super::*;

#[test]
fn a_job_that_was_removed_is_listed_apart_and_comes_back() {
    on_both(async |bench| {
        let job = bench.begin_flat().await;
        let path = format!("/api/jobs/{job}");
        // Again: a phone that had no answer asks once more.
        for _ in 0..2 {
            assert_eq!(bench.delete(&path).await.status, 204);
        }
        assert_eq!(bench.get("/api/jobs").await.good(), json!([]));
        let away = bench.get("/api/jobs?removed=true").await.good();
        assert_eq!(away[0]["id"], json!(job));
        assert_eq!(away[0]["removed"]["who"], json!("Ada's laptop"));
        // What a phone out of reach still has to tell is kept.
        let edit = json!({ "at": "job.name", "set": "Quay Row" });
        let edits = json!({ "op": "a", "base": 1, "edits": [edit] });
        bench.post(&format!("{path}/edits"), edits).await.good();
        for _ in 0..2 {
            let back = bench.post(&format!("{path}/restore"), json!({})).await;
            assert_eq!(back.status, 204);
        }
        let list = bench.get("/api/jobs").await.good();
        assert_eq!(list[0]["name"], json!("Quay Row"));
        assert_eq!(list[0]["removed"], Value::Null);
        let away = bench.get("/api/jobs?removed=true").await.good();
        assert_eq!(away, json!([]));
    });
}

#[tokio::test]
async fn a_job_that_there_is_not_is_not_removed() {
    let bench = Bench::new().await;
    bench.delete("/api/jobs/nobody").await.bad(404);
    let back = bench.post("/api/jobs/nobody/restore", json!({})).await;
    back.bad(404);
}

#[tokio::test]
async fn no_desk_is_opened_for_a_job_that_there_is_not() {
    let (bench, job) = Bench::with_flat().await;
    let prove = json!({ "base": 1, "client": "a", "seq": 1 });
    for number in 0..20 {
        let nobody = format!("/api/jobs/nobody-{number}");
        bench
            .post(&format!("{nobody}/prove"), prove.clone())
            .await
            .bad(404);
        bench
            .get(&format!("{nobody}/findings?revision=1"))
            .await
            .bad(404);
        bench
            .get(&format!("{nobody}/spaces/main/scene"))
            .await
            .bad(404);
    }
    let late = json!({ "base": 9, "client": "a", "seq": 1 });
    bench
        .post(&format!("/api/jobs/{job}/prove"), late)
        .await
        .bad(404);
    assert_eq!(bench.state.desks().count(), 0);
    bench
        .post(&format!("/api/jobs/{job}/prove"), prove)
        .await
        .good();
    assert_eq!(bench.state.desks().count(), 1);
}
