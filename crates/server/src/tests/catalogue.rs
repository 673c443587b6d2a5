//! Do tables become the shop's entries, and back?

use super::*;

const SHEET: &str = "Id,Name,Diagonal (in),Gain,Aspect\n\
    s1,Screen S1,100,1.0,16:9\n\
    s2,Screen S2,wide,1.1,16:9\n";

fn entries<'a>(all: &'a Value, kind: &str) -> &'a Vec<Value> {
    let mut kinds = all.as_array().unwrap().iter();
    let kind = kinds.find(|one| one["kind"] == json!(kind)).unwrap();
    kind["entries"].as_array().unwrap()
}

#[tokio::test]
async fn a_table_is_read_corrected_taken_in_and_written() {
    let bench = Bench::new().await;
    let read = bench
        .send_file("/api/catalogue/read?kind=screen&name=screens.csv", SHEET)
        .await;
    let read = read.good();
    assert_eq!(read["rows"], json!(2));
    let columns = read["columns"].as_array().unwrap();
    assert_eq!(columns[0]["sample"], json!(["s1", "s2"]));
    let fact = |index: usize| columns[index]["fact"].as_str();
    assert_eq!((fact(0), fact(2)), (Some("id"), Some("diagonal")), "{read}");
    let import = json!({ "key": read["key"], "kind": "screen", "columns": columns });
    for replaced in 0..2 {
        let report = bench
            .post("/api/catalogue/import", import.clone())
            .await
            .good();
        assert_eq!(report["accepted"], json!(1), "{report}");
        assert_eq!(report["replaced"], json!(replaced));
        assert_eq!(report["rejected"][0]["row"], json!(3));
    }
    let all = bench.get("/api/catalogue").await.good();
    assert_eq!(entries(&all, "screen")[0]["name"], json!("Screen S1"));
    let csv = bench.get("/api/catalogue/export?kind=screen&as=csv").await;
    assert!(String::from_utf8_lossy(&csv.bytes).contains("Screen S1"));
    let xlsx = bench.get("/api/catalogue/export?kind=screen&as=xlsx").await;
    assert!(xlsx.bytes.starts_with(b"PK"));
    let disposition = xlsx.headers[header::CONTENT_DISPOSITION].to_str().unwrap();
    assert!(disposition.ends_with("screen.xlsx"), "{disposition}");
}

#[tokio::test]
async fn an_entry_is_put_changed_and_taken_out() {
    let bench = Bench::new().await;
    let path = "/api/catalogue/screen/s3";
    let facts = |gain: &str| json!({ "facts": { "name": "Screen S3", "gain": gain } });
    assert_eq!(bench.put(path, facts("1.2")).await.status, 204);
    assert_eq!(bench.put(path, facts("1.3")).await.status, 204);
    let all = bench.get("/api/catalogue").await.good();
    assert_eq!(entries(&all, "screen").len(), 1);
    assert_eq!(entries(&all, "screen")[0]["facts"]["gain"], json!("1.3"));
    let says = bench.put(path, facts("bright")).await.bad(422);
    assert_eq!(says["at"], json!("gain"));
    assert_eq!(bench.delete(path).await.status, 204);
    bench.delete(path).await.bad(404);
}

#[tokio::test]
async fn what_is_no_table_or_no_kind_is_refused() {
    let bench = Bench::new().await;
    bench
        .send_file("/api/catalogue/read?kind=screen", "")
        .await
        .bad(422);
    bench
        .send_file("/api/catalogue/read?kind=sofa", SHEET)
        .await
        .bad(404);
    bench
        .put("/api/catalogue/sofa/s", json!({ "facts": {} }))
        .await
        .bad(404);
    bench
        .get("/api/catalogue/export?kind=sofa&as=csv")
        .await
        .bad(404);
    let import = json!({ "key": "none", "kind": "screen", "columns": [] });
    bench.post("/api/catalogue/import", import).await.bad(404);
}
