//! Are findings those of the proof, saved or not?

use super::*;

#[tokio::test]
async fn findings_are_those_of_the_proof_and_each_has_its_own_address() {
    let (bench, job) = Bench::with_flat().await;
    let all = bench.get(&format!("/api/jobs/{job}/findings")).await.good();
    assert_eq!(all["revision"], json!(1));
    let read = model::read(
        include_str!("../../../../jobs/metric-flat.toml"),
        &checks::limit_names(),
    );
    let proof = checks::prove(std::sync::Arc::new(read.unwrap()));
    let findings = all["findings"].as_array().unwrap();
    assert_eq!(findings.len(), proof.findings.len());
    for (shown, proved) in findings.iter().zip(&proof.findings) {
        assert_eq!(shown["key"], json!(view::key(proved)));
        assert_eq!(shown["verdict"], json!(proved.verdict.word()));
    }
    let tried = (findings.iter()).find(|one| !one["remedies"].as_array().unwrap().is_empty());
    let tried = tried.expect("the flat has something to mend");
    assert_eq!(tried["remedies"][0]["effect"], Value::Null);
    let key = tried["key"].as_str().unwrap().replace(' ', "%20");
    let one = bench
        .get(&format!("/api/jobs/{job}/findings/{key}"))
        .await
        .good();
    assert!(one["remedies"][0]["effect"].is_object(), "{one}");
    bench
        .get(&format!("/api/jobs/{job}/findings/none~~x"))
        .await
        .bad(404);
}

#[tokio::test]
async fn an_unsaved_change_is_proved_and_not_kept() {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}");
    let space = bench.get(&path).await.good()["spaces"][0]["id"].clone();
    let at = format!("space.{}.ceiling.height", space.as_str().unwrap());
    let change = json!({
        "base": 1, "client": "tab", "seq": 3,
        "edits": [{ "at": at, "set": "2.30 m" }],
    });
    let proved = bench.post(&format!("{path}/prove"), change).await.good();
    assert_eq!(proved["seq"], json!(3));
    assert_eq!(proved["edits"][0]["at"], json!(at));
    assert!(
        !proved["delta"]["changed"].as_array().unwrap().is_empty(),
        "{proved}"
    );
    assert_eq!(bench.get(&path).await.good()["revision"], json!(1));
}

#[tokio::test]
async fn a_change_that_can_not_be_is_refused_at_its_path() {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}/prove");
    let change = |edit: Value| json!({ "base": 1, "client": "tab", "seq": 1, "edits": [edit] });
    let nowhere = change(json!({ "at": "space.attic.noise", "set": "2.30 m" }));
    let says = bench.post(&path, nowhere).await.bad(422);
    assert_eq!(says["at"], json!("space.attic.noise"));
    let base = json!({ "base": 9, "client": "tab", "seq": 1, "edits": [] });
    bench.post(&path, base).await.bad(404);
}

#[tokio::test]
async fn every_check_has_a_manual() {
    let bench = Bench::new().await;
    let checks = bench.get("/api/checks").await.good();
    let checks = checks.as_array().unwrap();
    assert_eq!(checks.len(), checks::all().count());
    for check in checks {
        let id = check["id"].as_str().unwrap();
        let manual = bench.get(&format!("/api/checks/{id}")).await.good();
        assert_eq!(manual["proves"], check["proves"]);
        assert!(!manual["source"]["words"].as_str().unwrap().is_empty());
    }
}

#[tokio::test]
async fn of_one_clients_waiting_requests_only_the_latest_is_computed() {
    let (bench, job) = Bench::with_flat().await;
    let (go, wait) = std::sync::mpsc::channel::<()>();
    let held = {
        let (state, job) = (bench.state.clone(), job.clone());
        let work = move |_: &mut crate::desk::Room| wait.recv().is_ok();
        tokio::spawn(async move { state.desks().ask(&job, None, work).await })
    };
    while bench.state.desks().count() == 0 {
        tokio::task::yield_now().await;
    }
    let path = format!("/api/jobs/{job}/prove");
    let ask = |seq: u64| {
        let asked = json!({ "base": 1, "client": "tab", "seq": seq, "edits": [] });
        bench.post(&path, asked)
    };
    let first = async {
        let says = ask(1).await.bad(409);
        assert_eq!(says["superseded"], json!(true));
        // The desk is still held: the earlier request was answered without being computed.
        go.send(()).unwrap();
    };
    let ((), second) = tokio::join!(first, ask(2));
    assert_eq!(second.good()["seq"], json!(2));
    assert_eq!(held.await.unwrap(), Ok(true));
}
