//! Whether a proven job's sheets say what the job says.

use std::sync::Arc;

use super::*;
use crate::Content;

fn read(text: &str) -> Arc<Job> {
    match model::read(text, &checks::limit_names()) {
        Ok(job) => Arc::new(job),
        Err(problems) => {
            let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", told.join("\n"))
        }
    }
}

/// Writes a set where a person can look at it.
fn keep(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("SHEETS_TO") {
        std::fs::write(format!("{folder}/{name}.pdf"), bytes)
            .expect("the folder can be written to");
    }
}

const DEMO: &str = include_str!("../../../../jobs/harbour-lane-surveyed.toml");

#[test]
fn every_drawing_of_a_whole_house_can_be_read() {
    let job = read(DEMO);
    let analysis = Analysis::new(Arc::clone(&job));
    let proof = checks::prove(job);
    for (paper, name) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
        let sheets = house(&analysis, &proof, paper);
        for sheet in &sheets {
            for content in &sheet.contents {
                if let Content::Drawing { drawing, .. } = content {
                    assert_eq!(drawing::overlaps(drawing), [], "{} on {name}", sheet.title);
                }
            }
        }
        let bytes = pdf(&title_block(analysis.job(), "2026-05-04"), paper, &sheets).unwrap();
        keep(&format!("house-{name}"), &bytes);
    }
}
