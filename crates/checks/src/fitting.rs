//! What to beware of where a planned thing is fitted, whatever its findings say.

use std::collections::BTreeSet;

use analysis::Analysis;
use model::{FixtureKind, Framing, Item, Kit, Space};
use structure::lifting::{HEAD_LIFT_MAX, TWO_PEOPLE_DIAGONAL, WAIST_LIFT_MAX};

use crate::Caution;

/// Work above this height needs something to stand on, m: common practice, no source.
const LADDER_M: f64 = 2.0;

/// The dangers of fitting an item in its place; of one that is there already, those of reaching it.
pub fn fitting_cautions(analysis: &Analysis, space: &Space, item: &Item) -> BTreeSet<Caution> {
    let mut found = BTreeSet::new();
    let body = analysis.item_body(space, item);
    let is_high = item.hung.is_some() || body.is_ok_and(|body| body.top().value() > LADDER_M);
    if is_high {
        found.insert(Caution::Ladder);
    }
    if item.circuit.is_some() {
        found.insert(Caution::Mains);
    }
    if item.existing {
        return found;
    }
    if takes_two(analysis, item, is_high) {
        found.insert(Caution::Lifting);
    }
    let surface = match (&item.on, &item.hung) {
        (Some(on), _) => Some(on.wall.as_str()),
        (_, Some(_)) => Some("ceiling"),
        _ => None,
    };
    if let Some(surface) = surface {
        found.insert(Caution::Drilling);
        let made_of = space
            .construction_of(surface)
            .map(|made_of| made_of.framing);
        let is_solid = matches!(made_of, Some(Framing::Masonry | Framing::Concrete));
        // A plate is screwed to its box, and its box to the board.
        if !is_solid && !matches!(analysis.kit_of(item), Some(Kit::Plate(_))) {
            found.insert(Caution::Structure);
        }
    }
    found
}

/// The danger of working where a fixture is.
pub fn fixture_caution(kind: FixtureKind) -> Option<Caution> {
    matches!(
        kind,
        FixtureKind::Socket
            | FixtureKind::Switch
            | FixtureKind::MainsRun
            | FixtureKind::WallLight
            | FixtureKind::CeilingLight
            | FixtureKind::Fan
    )
    .then_some(Caution::Mains)
}

/// Whether one person should not lift a thing to its place alone. Who lifts is not known, so the lower of the published
/// masses counts; a display is awkward by its size, too.
fn takes_two(analysis: &Analysis, item: &Item, is_high: bool) -> bool {
    let Some(kit) = analysis.kit_of(item) else {
        return false;
    };
    let value = |number: Option<analysis::Uncertain>| number.map(|number| number.value());
    let [_, limit] = if is_high {
        HEAD_LIFT_MAX
    } else {
        WAIST_LIFT_MAX
    };
    let is_heavy =
        value(analysis.number(kit.common().mass.as_ref())).is_some_and(|mass_kg| mass_kg > limit.0);
    let is_wide = match kit {
        Kit::Display(display) => value(analysis.number(display.diagonal.as_ref()))
            .is_some_and(|diagonal_m| diagonal_m > TWO_PEOPLE_DIAGONAL.0),
        _ => false,
    };
    is_heavy || is_wide
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{ROOM, job};

    /// A display on a wall or higher, with its mass and diagonal.
    fn told(mass: &str, diagonal: &str, height: &str) -> BTreeSet<Caution> {
        let text = format!(
            r#"{ROOM}
            [[space.construction]]
            of = "north"
            framing = "masonry"
            [[kit.display]]
            id = "display-a"
            diagonal = "{diagonal}"
            size = ["1.25 m", "0.72 m", "5 cm"]
            mass = "{mass}"
            [[item]]
            id = "screen"
            is = "display-a"
            space = "den"
            on = {{ wall = "north", from_left = "2.5 m", height = "{height}" }}
            "#
        );
        let analysis = Analysis::new(job(&text));
        let space = &analysis.job().space[0];
        fitting_cautions(&analysis, space, &analysis.job().item[0])
    }

    #[test]
    fn a_mass_that_one_person_should_not_lift_asks_for_two() {
        let within_reach = |mass: &str| told(mass, "1.4 m", "1.2 m").contains(&Caution::Lifting);
        assert!(!within_reach("15.9 kg"));
        assert!(within_reach("16.1 kg"));
        let above_reach = |mass: &str| told(mass, "1.4 m", "2.2 m").contains(&Caution::Lifting);
        assert!(!above_reach("6.9 kg"));
        assert!(above_reach("7.1 kg"));
    }

    #[test]
    fn a_display_too_wide_for_two_arms_asks_for_two() {
        let asks = |diagonal: &str| told("10 kg", diagonal, "1.2 m").contains(&Caution::Lifting);
        assert!(!asks("1.64 m"));
        assert!(asks("1.66 m"));
    }

    #[test]
    fn a_ladder_is_told_above_reach_and_framing_where_a_wall_has_some() {
        let low = told("10 kg", "1.4 m", "1.6 m");
        assert_eq!(low, BTreeSet::from([Caution::Drilling]));
        let high = told("5 kg", "1.4 m", "1.7 m");
        assert_eq!(high, BTreeSet::from([Caution::Ladder, Caution::Drilling]));
    }
}
