//! Conduits and the cables that lie in them.

use analysis::{Analysis, LegKind, Uncertain};
use model::{Cable, CableKit, Pathway, PathwayKind};
use routing::Medium;

use crate::runs::kit_of;

/// A conduit with what lies in it or is to be pulled into it.
pub(crate) struct Filled<'a> {
    pub conduit: &'a Pathway,
    pub cables: Vec<(&'a Cable, &'a CableKit)>,
}

/// Every conduit with at least one cable, in the order of the job.
pub(crate) fn filled(analysis: &Analysis) -> Vec<Filled<'_>> {
    let conduits = analysis.pathways().iter();
    conduits
        .filter(|pathway| pathway.kind == PathwayKind::Conduit)
        .map(|conduit| Filled {
            conduit,
            cables: (analysis.cables())
                .filter(|cable| {
                    conduit.holds.contains(&cable.id) || takes(analysis, cable, conduit)
                })
                .filter_map(|cable| Some((cable, kit_of(analysis, cable)?)))
                .collect(),
        })
        .filter(|filled| !filled.cables.is_empty())
        .collect()
}

/// Whether a cable's way leads through the conduit.
fn takes(analysis: &Analysis, cable: &Cable, conduit: &Pathway) -> bool {
    // Ways are looked for only where the job has conduits at all.
    let Ok(route) = analysis.route(cable) else {
        return false;
    };
    let name = conduit.label();
    route.legs.iter().any(|leg| match &leg.along {
        LegKind::Through(passage) => {
            passage.medium == Medium::Conduit && passage.words.ends_with(name)
        }
        LegKind::Stated(words) => words.contains(name),
        _ => false,
    })
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
