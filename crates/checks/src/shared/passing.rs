//! Which cables still to be pulled pass a space, and what their ways are drilled through there.
//!
//! A house has many cables and a space few of them. All of this is settled: where a cable's end
//! moves and its way still passes the same spaces through the same plates, nobody asks again.

use std::collections::BTreeMap;
use std::rc::Rc;

use analysis::{Analysis, LegKind, Parts, WallPart};
use model::{Cable, Space};

/// A cable by its place in the job, and its id.
type Named = (usize, String);

/// A plate over the studs: its wall, and the bay of its hole where it is known.
pub(crate) type Plate = (String, Option<i32>);

/// Cables still to be pulled whose ways pass a space, in the order of the job.
pub(crate) fn passing(analysis: &Analysis, space: &Space) -> Rc<[Named]> {
    analysis.settled_of_space("cables that pass", space, |analysis, space| {
        let by_space = analysis.settled_of_house("cables by the spaces that they pass", by_space);
        by_space.get(&space.id).cloned().unwrap_or_default()
    })
}

/// Walls of a space, and their bays, whose top plates a cable's way is drilled through, each once.
pub(crate) fn top_plates(analysis: &Analysis, space: &Space, cable: &Cable) -> Rc<[Plate]> {
    let at = analysis.position_of_space(space);
    analysis.settled_of_cable_and("top plates", cable, at, |analysis, cable, at| {
        let space = analysis.space_in_parts(at, Parts::NONE);
        let mut plates: Vec<Plate> = drilled_in(analysis, cable)
            .filter(|drilled| drilled.part == WallPart::TopPlate && drilled.space == space.id)
            .map(|drilled| (drilled.wall.clone(), drilled.bay))
            .collect();
        plates.sort_unstable();
        plates.dedup();
        plates.into()
    })
}

fn by_space(analysis: &Analysis) -> Rc<BTreeMap<String, Rc<[Named]>>> {
    let mut passing: BTreeMap<String, Vec<Named>> = BTreeMap::new();
    for at in 0..analysis.space_count() {
        let home = analysis.space_in_parts(at, Parts::NONE);
        let of_its_cables = analysis.settled_of_space("where its cables pass", home, of_cables_in);
        for (space, cable) in of_its_cables.iter() {
            let cables = passing.entry(space.clone()).or_default();
            cables.push(cable.clone());
        }
    }
    let in_order = |mut cables: Vec<Named>| {
        cables.sort_unstable();
        Rc::from(cables)
    };
    let passing = passing.into_iter();
    Rc::new(passing.map(|(id, cables)| (id, in_order(cables))).collect())
}

/// The spaces that the cables of one space pass.
fn of_cables_in(analysis: &Analysis, space: &Space) -> Rc<[(String, Named)]> {
    let cables = analysis.unread_cables_in(space);
    let pairs = cables.flat_map(|cable| {
        let passed = analysis.settled_of_cable("spaces that it passes", cable, passed);
        let named = (analysis.position_of_cable(cable), cable.id.clone());
        let pair = move |space: &String| (space.clone(), named.clone());
        passed.iter().map(pair).collect::<Vec<_>>()
    });
    pairs.collect()
}

/// None of what lies in the walls already.
fn passed(analysis: &Analysis, cable: &Cable) -> Rc<[String]> {
    let Some(route) = (analysis.route(cable).ok()).filter(|_| cable.existing.is_none()) else {
        return Rc::default();
    };
    let of_path = route.path.iter().map(|piece| piece.space.clone());
    let of_holes = drilled_in(analysis, cable).map(|drilled| drilled.space.clone());
    let mut spaces: Vec<String> = of_path.chain(of_holes).collect();
    spaces.sort_unstable();
    spaces.dedup();
    spaces.into()
}

fn drilled_in<'a>(
    analysis: &'a Analysis,
    cable: &Cable,
) -> impl Iterator<Item = &'a analysis::Drilled> {
    let legs = analysis.route(cable).map_or(&[][..], |route| &route.legs);
    legs.iter().filter_map(|leg| match &leg.along {
        LegKind::Through(passage) => passage.drilled.as_ref(),
        _ => None,
    })
}
