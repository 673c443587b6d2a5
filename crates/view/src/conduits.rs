//! Conduits cut across, with their cables as they lie.

use analysis::Analysis;
use schemars::JsonSchema;
use serde::Serialize;

/// A job's conduits.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Conduits {
    /// Each that has a cable, in the order of the document.
    pub conduits: Vec<Conduit>,
}

/// A conduit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Conduit {
    /// Its id among the pathways.
    pub id: String,
    /// Its name.
    pub label: String,
    /// Inside diameter, m.
    pub inside_m: Option<f64>,
    /// Its cables.
    pub cables: Vec<ConduitCable>,
    /// How full it is and may be, jam ratio, what is not known: a line each.
    pub words: Vec<String>,
}

/// A cable of a conduit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ConduitCable {
    /// The cable's label in the document.
    pub id: String,
    /// Its kind, by name.
    pub kind: String,
    /// Outside diameter, m.
    pub outside_m: Option<f64>,
    /// Its middle from the conduit's, across and up, m; null where no place was found for all.
    pub centre_m: Option<[f64; 2]>,
}

/// Every conduit that has a cable.
pub fn conduits(analysis: &Analysis) -> Conduits {
    let conduits = checks::conduit_sections(analysis).into_iter().map(|one| {
        let words = one.words(analysis);
        Conduit {
            id: one.id,
            label: one.label,
            inside_m: one.inside_m,
            cables: (one.cables.into_iter())
                .map(|cable| ConduitCable {
                    id: cable.id,
                    kind: cable.kind,
                    outside_m: cable.outside_m,
                    centre_m: cable.centre_m,
                })
                .collect(),
            words,
        }
    });
    Conduits {
        conduits: conduits.collect(),
    }
}
