//! Conduits and the cables that lie in them.

use std::rc::Rc;

use analysis::{Analysis, LegKind, Uncertain};
use model::{Cable, CableKit, Pathway, PathwayKind};
use routing::Medium;

use crate::runs::cable_with_kit;

/// A conduit with what lies in it or is to be pulled into it.
pub(crate) struct Filled<'a> {
    pub conduit: &'a Pathway,
    pub cables: Vec<(&'a Cable, &'a CableKit)>,
}

/// Every conduit with at least one cable, in the order of the job.
pub(crate) fn filled(analysis: &Analysis) -> Vec<Filled<'_>> {
    let ids = analysis.settled_of_house("cables of conduits", |analysis| {
        let conduits = conduits(analysis).map(|conduit| {
            let lies_in_it = |cable: &&Cable| {
                conduit.holds.contains(&cable.id)
                    || (analysis.settled_of_cable("conduits that it takes", cable, taken))
                        .contains(&conduit.id)
            };
            let cables = analysis.cables().filter(lies_in_it);
            cables.map(|cable| cable.id.clone()).collect()
        });
        Rc::<[Vec<String>]>::from_iter(conduits)
    });
    (conduits(analysis).zip(ids.iter()))
        .map(|(conduit, ids)| Filled {
            conduit,
            cables: (ids.iter())
                .filter_map(|id| cable_with_kit(analysis, id))
                .collect(),
        })
        .filter(|filled| !filled.cables.is_empty())
        .collect()
}

fn conduits(analysis: &Analysis) -> impl Iterator<Item = &Pathway> {
    let pathways = analysis.pathways().iter();
    pathways.filter(|pathway| pathway.kind == PathwayKind::Conduit)
}

/// The conduits that a cable's way leads through, by their ids.
fn taken(analysis: &Analysis, cable: &Cable) -> Rc<[String]> {
    let Ok(route) = analysis.route(cable) else {
        return Rc::default();
    };
    let leads_through = |conduit: &&Pathway| {
        let name = conduit.label();
        route.legs.iter().any(|leg| match &leg.along {
            LegKind::Through(passage) => {
                passage.medium == Medium::Conduit && passage.words.ends_with(name)
            }
            LegKind::Stated(words) => words.contains(name),
            _ => false,
        })
    };
    let taken = conduits(analysis).filter(leads_through);
    taken.map(|conduit| conduit.id.clone()).collect()
}

/// The names of cables.
pub(crate) fn names(cables: &[(&Cable, &CableKit)]) -> String {
    let names: Vec<&str> = cables.iter().map(|(cable, _)| cable.id.as_str()).collect();
    names.join(", ")
}

/// Diameters of cables, m; the first that is not stated.
pub(crate) fn diameters<'a>(
    analysis: &Analysis,
    cables: &[(&Cable, &'a CableKit)],
) -> Result<Vec<Uncertain>, &'a CableKit> {
    (cables.iter())
        .map(|(_, kit)| analysis.number(kit.diameter.as_ref()).ok_or(*kit))
        .collect()
}
