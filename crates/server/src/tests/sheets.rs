//! Are sheets listed, read, drawn and printed?

use super::*;

#[cfg(feature = "sheets")]
#[tokio::test]
async fn sheets_are_listed_read_drawn_and_printed() {
    let (bench, job) = Bench::with_flat().await;
    let path = format!("/api/jobs/{job}");
    let list = bench.get(&format!("{path}/sheets")).await.good();
    let list = list.as_array().unwrap();
    assert_eq!(list[0]["kind"], json!("findings"));
    let plan = list
        .iter()
        .find(|line| line["kind"] == json!("plan"))
        .unwrap();
    assert!(plan["space"].is_string());
    let id = plan["id"].as_str().unwrap();
    let sheet = bench.get(&format!("{path}/sheets/{id}")).await.good();
    let contents = sheet["contents"].as_array().unwrap();
    let drawing = contents
        .iter()
        .find(|part| part["kind"] == json!("drawing"))
        .unwrap();
    let svg = bench.get(drawing["svg_url"].as_str().unwrap()).await;
    assert_eq!(svg.headers[header::CONTENT_TYPE], "image/svg+xml");
    assert!(svg.bytes.starts_with(b"<svg"));
    bench.get(&format!("{path}/sheets/none")).await.bad(404);
    bench
        .get(&format!("{path}/sheets/{id}/svg?drawing=99"))
        .await
        .bad(404);

    let print = json!({ "paper": "a4", "date": "2026-11-25" });
    let begun = bench.post(&format!("{path}/print"), print).await;
    assert_eq!(begun.status, 201);
    let key = begun.good()["key"].as_str().unwrap().to_owned();
    let events = bench.get(&format!("/api/solves/{key}/events")).await;
    assert_eq!(events.headers[header::CONTENT_TYPE], "text/event-stream");
    let events = String::from_utf8_lossy(&events.bytes).into_owned();
    let url = format!("/api/solves/{key}/result.pdf");
    assert!(
        events.contains("event: done") && events.contains(&url),
        "{events}"
    );
    let pdf = bench.get(&url).await;
    assert!(pdf.bytes.starts_with(b"%PDF-"));
    assert_eq!(
        bench.delete(&format!("/api/solves/{key}")).await.status,
        204
    );
}

#[cfg(feature = "sheets")]
#[tokio::test]
async fn a_cancelled_set_stops_between_two_sheets() {
    use tokio_stream::StreamExt;

    use crate::solve::Progress;

    let (bench, job) = Bench::with_flat().await;
    let print = json!({ "paper": "a4", "date": "" });
    let begun = bench.post(&format!("/api/jobs/{job}/print"), print).await;
    let key = begun.good()["key"].as_str().unwrap().to_owned();
    let mut listening = bench.state.solves().listen(&key).unwrap();
    let mut drawn = 0;
    let last = loop {
        match listening.next().await.unwrap() {
            Progress::Running { stage, of, .. } if stage.ends_with("sheets drawn") => {
                drawn += 1;
                assert!(of > 10, "each sheet is a step");
                bench.delete(&format!("/api/solves/{key}")).await;
            }
            Progress::Running { .. } => {}
            last => break last,
        }
    };
    let message = "it was cancelled".to_owned();
    assert_eq!(last, Progress::Failed { message });
    assert!(drawn <= 2, "{drawn} sheets drawn after the first");
}

#[cfg(not(feature = "sheets"))]
#[tokio::test]
async fn a_program_without_sheets_says_so() {
    let (bench, job) = Bench::with_flat().await;
    let says = bench.get(&format!("/api/jobs/{job}/sheets")).await.bad(422);
    assert!(says["message"].as_str().unwrap().contains("without sheets"));
}

#[tokio::test]
async fn a_date_that_can_not_be_printed_is_refused() {
    let (bench, job) = Bench::with_flat().await;
    let print = json!({ "paper": "a4", "date": "x\u{7}" });
    bench
        .post(&format!("/api/jobs/{job}/print"), print)
        .await
        .bad(422);
}
