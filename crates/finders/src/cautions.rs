//! What to beware of where a loudspeaker is put.

use std::collections::BTreeSet;

use checks::Caution;
use model::LoudspeakerForm;

use crate::loudspeaker_place::Patch;

/// What hangs higher than this is not fitted from the floor, m: common practice, no source.
const REACHED_M: f64 = 1.8;

/// The dangers of putting a loudspeaker of a form onto its patches; where none of them has a
/// place, onto their surfaces.
pub(crate) fn cautions(form: Option<LoudspeakerForm>, patches: &[Patch]) -> Vec<Caution> {
    let mut found = BTreeSet::new();
    match form {
        Some(LoudspeakerForm::Floor) => found.insert(Caution::Lifting),
        Some(LoudspeakerForm::Stand | LoudspeakerForm::Landscape | LoudspeakerForm::Subwoofer) => {
            false
        }
        _ => found.insert(Caution::Drilling),
    };
    let is_anywhere = patches.iter().any(|patch| !patch.region.parts.is_empty());
    let mut patches =
        (patches.iter()).filter(|patch| !is_anywhere || !patch.region.parts.is_empty());
    if found.contains(&Caution::Drilling) && patches.any(is_out_of_reach) {
        found.insert(Caution::Ladder);
    }
    found.into_iter().collect()
}

fn is_out_of_reach(patch: &Patch) -> bool {
    let rings = patch.region.parts.iter().flat_map(|part| &part.rings);
    let mut ends = rings.flatten().map(|edge| edge.from.y);
    let is_high = |up_m: f64| up_m > REACHED_M;
    patch.is_ceiling
        || match patch.region.parts.is_empty() {
            true => patch.outline.iter().any(|corner| is_high(corner.y)),
            false => ends.any(is_high),
        }
}
