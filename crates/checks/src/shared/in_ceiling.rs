//! What is set into a ceiling, seen from below, and what it may meet there.

use std::rc::Rc;

use analysis::{Analysis, Known, Uncertain, Vector2, is_solid};
use model::{Hung, Item, Kit, LoudspeakerForm, Space};

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
    analysis.items_in_where(space, "set into a ceiling", |analysis, item| {
        let is_ceiling = matches!(
            analysis.kit_of(item),
            Some(Kit::Loudspeaker(kit)) if kit.form == Some(LoudspeakerForm::InCeiling)
        );
        is_ceiling && item.hung.is_some() && !item.existing
    })
}

/// The face of what is set into a ceiling: its width along the first wall that it is measured
/// from.
fn face(analysis: &Analysis, space: &Space, item: &Item, hung: &Hung) -> Known<Footprint> {
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

/// As [`face`], shared by copies; what is set in is among the things of [`on_ceiling`] too.
pub(crate) fn own_face(analysis: &Analysis, space: &Space, item: &Item) -> Known<Rc<Footprint>> {
    kept(analysis, space, Thing::Item(item))
}

/// The things that hang from a space's ceiling or narrow it.
pub(crate) fn on_ceiling<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = (Thing<'a>, Known<Rc<Footprint>>)> {
    let fixtures = (space.fixture.iter())
        .filter(|fixture| fixture.hung.is_some() && is_solid(fixture.kind))
        .map(Thing::Fixture);
    let items =
        (analysis.items_in_where(space, "hangs", |_, item| item.hung.is_some())).map(Thing::Item);
    let things = (space.soffit.iter().map(Thing::Soffit))
        .chain(fixtures)
        .chain(items);
    things.map(move |thing| (thing, kept(analysis, space, thing)))
}

fn kept(analysis: &Analysis, space: &Space, thing: Thing<'_>) -> Known<Rc<Footprint>> {
    let footprint = || footprint(analysis, space, thing).map(Rc::new);
    thing.kept(analysis, space, "in the ceiling", footprint)
}

fn footprint(analysis: &Analysis, space: &Space, thing: Thing<'_>) -> Known<Footprint> {
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

    fn sides_m(&self) -> [[f64; 2]; 2] {
        let [x, y] = self.along.value();
        [[x, y], [-y, x]]
    }

    /// [`Footprint::reach`] by best estimates alone, m.
    pub fn reach_m(&self, [nx, ny]: [f64; 2]) -> f64 {
        let [along, across] = self.sides_m().map(|[x, y]| (x * nx + y * ny).abs());
        along * self.half[0].value() + across * self.half[1].value()
    }

    /// The gaps that are seen along the sides of both, by best estimates alone, m.
    fn gaps_m(&self, other: &Self) -> [f64; 4] {
        let ([x0, y0], [x1, y1]) = (self.centre.value(), other.centre.value());
        let ([a, b], [c, d]) = (self.sides_m(), other.sides_m());
        [a, b, c, d].map(|side| {
            let between = ((x1 - x0) * side[0] + (y1 - y0) * side[1]).abs();
            between - self.reach_m(side) - other.reach_m(side)
        })
    }

    /// [`Footprint::gap`] by best estimates alone, m.
    pub fn gap_m(&self, other: &Self) -> f64 {
        (self.gaps_m(other).into_iter()).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The widest gap between two rectangles that is seen along a side of either, m; minus the
    /// least move that parts them. Corner to corner the way is longer than that.
    pub fn gap(&self, other: &Self) -> Uncertain {
        // Best estimates tell along which side: the first of the widest.
        let gaps = self
            .gaps_m(other)
            .into_iter()
            .zip(self.sides().into_iter().chain(other.sides()));
        let widest = gaps.reduce(|one, other| if other.0 > one.0 { other } else { one });
        let (_, side) = widest.expect("rectangles have sides");
        let between = &other.centre - &self.centre;
        between.dot(&side).abs() - self.reach(&side) - other.reach(&side)
    }
}

#[cfg(test)]
mod tests {
    //! Turned rectangles: the quick gap is the value of the one that carries uncertainty.

    use uncertainty::SourceId;

    use super::*;

    #[test]
    fn both_gaps_are_alike() {
        let turned = |x: f64, y: f64, degrees: f64, half: [f64; 2]| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            Footprint {
                centre: Vector2::new(x, y),
                along: Vector2::new(cos, sin),
                half: half
                    .map(|side| Uncertain::measured(side, 0.002, SourceId(side.to_bits() as u32))),
            }
        };
        let own = turned(1.0, 2.0, 10.0, [0.15, 0.1]);
        for (x, y, degrees) in [
            (1.4, 2.1, 0.0),
            (1.05, 2.0, 30.0),
            (0.2, 1.1, 75.0),
            (1.0, 2.6, 45.0),
        ] {
            let other = turned(x, y, degrees, [0.2, 0.08]);
            assert_eq!(own.gap_m(&other), own.gap(&other).value());
            let between = &other.centre - &own.centre;
            let gap =
                |side: &Vector2| between.dot(side).abs() - own.reach(side) - other.reach(side);
            let sides = own.sides().into_iter().chain(other.sides());
            let widest = sides
                .map(|side| gap(&side))
                .reduce(|one, other| one.max(&other));
            assert_eq!(Some(own.gap(&other)), widest);
            let [x, y] = other.along.value();
            assert_eq!(own.reach_m([x, y]), own.reach(&other.along).value());
        }
    }
}
