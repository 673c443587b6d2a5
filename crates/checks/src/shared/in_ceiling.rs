//! What is set into a ceiling, seen from below, and what it may meet there.

use analysis::{Analysis, Known, Uncertain, Vector2, is_solid};
use model::{Hung, Item, Kit, LoudspeakerForm, Space};

use crate::Subject;
use crate::obstacles::Thing;

/// A rectangle in plan.
#[derive(Clone, Debug)]
pub(crate) struct Footprint {
    pub centre: Vector2,
    /// Unit direction of its first side.
    pub along: Vector2,
    /// Half of its first and its second side, m.
    pub half: [Uncertain; 2],
}

/// What is set into the ceiling of a space and still to be fitted.
pub(crate) fn set_in<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = &'a Item> {
    analysis.items_in(space).filter(|item| {
        let is_ceiling = matches!(
            analysis.kit_of(item),
            Some(Kit::Loudspeaker(kit)) if kit.form == Some(LoudspeakerForm::InCeiling)
        );
        is_ceiling && item.hung.is_some() && !item.existing
    })
}

/// The face of what is set into a ceiling: its width along the first wall that it is measured
/// from.
pub(crate) fn face(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    hung: &Hung,
) -> Known<Footprint> {
    let [width, height, _] = analysis.item_size(item)?;
    let at = format!("item.{}.hung", item.id);
    let nothing = || Uncertain::exact(0.0);
    let body =
        analysis.body_hanging(space, hung, [width.clone(), nothing(), height.clone()], at)?;
    Ok(Footprint {
        centre: body.centre.in_plan(),
        along: body.along,
        half: [width / 2.0, height / 2.0],
    })
}

/// The things that hang from a space's ceiling or narrow it, but for one item.
pub(crate) fn on_ceiling<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    but: &'a Item,
) -> impl Iterator<Item = (Subject, Known<Footprint>)> + 'a {
    let fixtures = (space.fixture.iter())
        .filter(|fixture| fixture.hung.is_some() && is_solid(fixture.kind))
        .map(Thing::Fixture);
    let items = (analysis.items_in(space))
        .filter(|item| item.hung.is_some() && item.id != but.id)
        .map(Thing::Item);
    let things = (space.soffit.iter().map(Thing::Soffit))
        .chain(fixtures)
        .chain(items);
    things.map(move |thing| {
        let footprint = || {
            if let Thing::Item(item) = thing
                && let (Some(hung), true) = (&item.hung, analysis.item_shape(item).is_flush)
            {
                return face(analysis, space, item, hung);
            }
            let body = thing.body(analysis, space)?;
            let [length, _, depth] = body.size;
            Ok(Footprint {
                centre: body.centre.in_plan(),
                along: body.along,
                half: [length / 2.0, depth / 2.0],
            })
        };
        (thing.subject(), footprint())
    })
}

impl Footprint {
    fn sides(&self) -> [Vector2; 2] {
        let across = Vector2 {
            x: -&self.along.y,
            y: self.along.x.clone(),
        };
        [self.along.clone(), across]
    }

    /// How far it reaches from its middle along a direction, m.
    pub fn reach(&self, direction: &Vector2) -> Uncertain {
        let [along, across] = self.sides();
        along.dot(direction).abs() * &self.half[0] + across.dot(direction).abs() * &self.half[1]
    }

    /// The widest gap between two rectangles that is seen along a side of either, m; minus the
    /// least move that parts them. Corner to corner the way is longer than that.
    pub fn gap(&self, other: &Self) -> Uncertain {
        let between = &other.centre - &self.centre;
        let gap = |side: &Vector2| between.dot(side).abs() - self.reach(side) - other.reach(side);
        let sides = self.sides().into_iter().chain(other.sides());
        let gaps = sides.map(|side| gap(&side));
        gaps.reduce(|one, other| one.max(&other))
            .unwrap_or_default()
    }
}
