//! Are the remedies of the demo house such as a crew would do?
//!
//! A seat that moves into another row, a screen on the floor or a surround at the skirting
//! do mend the finding that asks for them, and nobody would do them.

use std::sync::Arc;

use checks::Remedy;
use units::Dimension;

const DEMO: &str = include_str!("../../../jobs/harbour-lane-surveyed.toml");

/// Farther than this a seat is in another row, m.
const SEAT_MOST_M: f64 = 1.0;
/// Farther than this a picture or a loudspeaker at ear level is planned anew, m.
const HEIGHT_MOST_M: f64 = 0.5;

#[test]
fn nothing_is_moved_to_where_nobody_wants_it() {
    let job = Arc::new(model::read(DEMO, &checks::limit_names()).expect("the demo reads"));
    let written = |at: &str| {
        let (_, measured) = job.measurements.latest(at)?;
        measured.reading.value
    };
    let far = |remedy: &Remedy| {
        remedy.edits.iter().any(|edit| {
            let most_m = match () {
                () if edit.at.contains(".seat.") && edit.at.ends_with(".1") => SEAT_MOST_M,
                () if edit.at.starts_with("item.") && edit.at.ends_with("on.height") => {
                    HEIGHT_MOST_M
                }
                () => return false,
            };
            let text = edit.set.as_ref().and_then(|value| value.as_str());
            let there = text.and_then(|text| units::read(text, Dimension::Length).ok()?.value);
            let by = there.zip(written(&edit.at)).map(|(to, from)| to - from);
            by.is_some_and(|by| by.abs() > most_m)
        })
    };
    let proof = checks::prove(job.clone());
    let remedies = proof.findings.iter().flat_map(|finding| &finding.remedies);
    let (count, silly) = remedies.fold((0, Vec::new()), |(count, mut silly), remedy| {
        if far(remedy) {
            silly.push(remedy.says.clone());
        }
        (count + 1, silly)
    });
    assert!(count > 50, "{count} remedies");
    assert!(silly.is_empty(), "{silly:#?}");
}
