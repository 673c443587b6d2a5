//! Which bodies of a scene does a finding speak of?

use analysis::Analysis;
use model::Space;

/// Ids of bodies and soffits of the finding's space; none where it speaks of the space
/// itself or of the whole house.
pub(crate) fn about(analysis: &Analysis, finding: &checks::Finding) -> Vec<String> {
    let Some(space) = finding.space.as_deref().and_then(|id| analysis.space(id)) else {
        return Vec::new();
    };
    bodies_of(analysis, space, &finding.subject.id)
}

/// Ids of the bodies of a space that a subject speaks of.
pub(crate) fn bodies_of(analysis: &Analysis, space: &Space, subject: &str) -> Vec<String> {
    let mut about = Vec::new();
    for part in subject.split('+') {
        // A part of a thing, such as somebody standing at a seat, follows a point.
        let id = part.split('.').next().unwrap_or_default();
        about.extend(bodies_named(analysis, space, id));
    }
    let mut known = std::collections::BTreeSet::new();
    about.retain(|id| known.insert(id.clone()));
    about
}

/// The body of that name; of a zone what plays there, of a cable those at its ends.
fn bodies_named(analysis: &Analysis, space: &Space, id: &str) -> Vec<String> {
    let is_here = |item: &model::Item| analysis.is_in(item, space);
    let named = |kind: &str| vec![format!("{kind}:{id}")];
    if analysis.item(id).is_some_and(is_here) {
        return named("item");
    }
    if space.seat.iter().any(|seat| seat.id == id) {
        return named("seat");
    }
    if space.fixture(id).is_some() {
        return named("fixture");
    }
    if space.opening.iter().any(|opening| opening.id == id) {
        return named("opening");
    }
    if space.soffit.iter().any(|soffit| soffit.id == id) {
        return named("soffit");
    }
    if let Some(zone) = analysis.zone(id) {
        let items = analysis.items_in_zone(zone).filter(|item| is_here(item));
        return items.map(|item| format!("item:{}", item.id)).collect();
    }
    let Some(cable) = analysis.cable(id) else {
        return Vec::new();
    };
    [&cable.from, &cable.to]
        .into_iter()
        .filter_map(|end| analysis.item_at_end(end))
        .filter(|item| is_here(item))
        .map(|item| format!("item:{}", item.id))
        .collect()
}
