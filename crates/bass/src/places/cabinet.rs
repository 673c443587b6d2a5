//! Which cupboards and pieces of furniture hold a sub?

use analysis::{Analysis, Body, fixture_label, item_label};
use model::{FixtureKind, Length, Space};

use super::floor::GAP_M;
use super::{PlaceSort, SubPlace};
use crate::subs::{Sub, case_m};

/// Free beside and above a case in a cabinet, m (common practice, no source).
const FREE_M: f64 = 0.02;

/// A cabinet's free inside, across, up and deep, m, and the cabinet as a box.
struct Cabinet {
    name: String,
    inside: [f64; 3],
    body: Body,
}

/// The middle of the floor inside each cabinet that the case fits into.
pub(super) fn in_cabinets(analysis: &Analysis, space: &Space, subs: &[Sub<'_>]) -> Vec<SubPlace> {
    let (case, _) = case_m(analysis, subs);
    (cabinets(analysis, space).into_iter())
        .filter(|cabinet| holds(cabinet.inside, case))
        .map(|cabinet| {
            let [x, y, _] = cabinet.body.centre.value();
            // The shelf that it stands on is low; its thickness is left out.
            let under = cabinet.body.bottom().value();
            SubPlace {
                at: [x, y, under + case[1] / 2.0],
                sort: PlaceSort::Cabinet,
                kind: format!("inside {}", cabinet.name),
                words: format!("inside {}", cabinet.name),
                wall: None,
            }
        })
        .collect()
}

/// Whether a case goes in with its plugs behind it, either way round.
fn holds([across, up, deep]: [f64; 3], [width, height, depth]: [f64; 3]) -> bool {
    let fits = |width: f64, depth: f64| {
        width + 2.0 * FREE_M <= across && depth + GAP_M <= deep && height + FREE_M <= up
    };
    fits(width, depth) || fits(depth, width)
}

fn metres(sides: &[Length; 3]) -> Option<[f64; 3]> {
    Some([sides[0].value()?, sides[1].value()?, sides[2].value()?])
}

fn cabinets(analysis: &Analysis, space: &Space) -> Vec<Cabinet> {
    let mut found = Vec::new();
    for fixture in &space.fixture {
        let inside = fixture.inside.as_ref().and_then(metres);
        if let (Some(inside), Ok(body)) = (inside, analysis.fixture_body(space, fixture)) {
            let name = fixture_label(fixture).to_owned();
            found.push(Cabinet { name, inside, body });
        }
    }
    for (item, kit) in analysis.cupboards_in(space) {
        let inside = kit.bay.as_ref().and_then(metres);
        if let (Some(inside), Ok(body)) = (inside, analysis.item_body(space, item)) {
            let name = item_label(item).to_owned();
            found.push(Cabinet { name, inside, body });
        }
    }
    found
}

/// Cabinets whose free inside nobody measured.
pub(super) fn not_tried(analysis: &Analysis, space: &Space) -> Vec<String> {
    let furniture = space
        .fixture
        .iter()
        .filter(|fixture| fixture.kind == FixtureKind::Furniture && fixture.inside.is_none());
    let cupboards = analysis
        .cupboards_in(space)
        .filter(|(_, kit)| kit.bay.is_none());
    let names: Vec<String> = furniture
        .map(|fixture| fixture_label(fixture).to_owned())
        .chain(cupboards.map(|(item, _)| item_label(item).to_owned()))
        .collect();
    match names.is_empty() {
        true => Vec::new(),
        false => vec![format!(
            "no place tried inside {}: a free inside is not in the survey",
            names.join(", ")
        )],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_case_goes_in_either_way_round_with_its_plugs_behind_it() {
        let case = [0.40, 0.42, 0.50];
        assert!(holds([0.44, 0.44, 0.55], case));
        // Turned: 0.50 m across takes 0.54 m, 0.40 m deep takes 0.45 m.
        assert!(holds([0.54, 0.44, 0.45], case));
        assert!(!holds([0.54, 0.43, 0.45], case), "too low");
        assert!(
            !holds([0.53, 0.44, 0.54], case),
            "too narrow and too shallow"
        );
    }
}
