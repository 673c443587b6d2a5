//! The sheet of a picture's contrast through the year.

use std::sync::Arc;

use analysis::Analysis;
use sheets::{Content, Paper, SheetKind, TitleBlock};

const JOB: &str = include_str!("../../checks/src/light_year/cinema.toml");

#[test]
fn a_cinema_with_a_window_has_a_map_times_and_seats() {
    let job = Arc::new(model::read(JOB, &checks::limit_names()).expect("the job reads"));
    let analysis = Analysis::new(Arc::clone(&job));
    let proof = checks::prove_without_remedies(&analysis);
    let listed = sheets::ids(&analysis, &proof);
    let light = listed.iter().find(|one| one.kind == SheetKind::Light);
    assert_eq!(light.map(|one| one.id.as_str()), Some("den-light"));
    let set = sheets::contents(&analysis, &proof, Paper::A4, &["den-light"]);
    let drawings = set[0].contents.iter().filter_map(|content| match content {
        Content::Drawing { drawing, .. } => Some(drawing),
        _ => None,
    });
    for drawing in drawings {
        assert_eq!(drawing::overlaps(drawing), vec![]);
    }
    let words = sheets::texts(&TitleBlock::default(), Paper::A4, &set);
    let words = words.expect("it is set").concat();
    for expected in ["contrast through the year", "June", "20:36", "middle", "fL"] {
        assert!(
            words.to_lowercase().contains(&expected.to_lowercase()),
            "{expected} in {words}"
        );
    }
    let pdf = sheets::pdf(&TitleBlock::default(), Paper::A4, &set).expect("it is set");
    assert!(pdf.starts_with(b"%PDF"));
}
