//! The things in a space that a picture, a projector's case or a beam of light may meet.

use analysis::{Analysis, Body, Known, Means, Missing, Parts, Uncertain, WallRect, is_solid};
use geometry::{OrientedBox, Point3};
use model::{Anchor, Fixture, Item, Kit, LoudspeakerForm, Soffit, Space};
use units::{Metres, Radians};

use crate::Subject;
use crate::before_wall::BeforeWall;

/// A thing with a body.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Thing<'a> {
    Fixture(&'a Fixture),
    Item(&'a Item),
    Soffit(&'a Soffit),
}

/// Everything of a space that can be bumped into. Mounts go with what they carry, and an
/// item whose place is not decided stands nowhere yet.
pub(crate) fn things<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = Thing<'a>> {
    let items = analysis.items_in_where(space, "can be bumped into", is_in_the_way);
    fixed_things(space).chain(items.map(Thing::Item))
}

/// Those of [`things`] that are on a wall, by its number, or come before it nearer than
/// [`FAR_BEFORE_M`], and perhaps others: of items that are elsewhere that alone is noted.
pub(crate) fn things_by_wall<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    wall: usize,
) -> impl Iterator<Item = Thing<'a>> {
    let items = analysis.items_in_where_and(space, "by a wall", wall, is_by_wall);
    fixed_things(space).chain(items.map(Thing::Item))
}

/// Those of [`things`] that come down below a height, and perhaps others: of items that stay above
/// that alone is noted.
pub(crate) fn things_below<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
    top_m: f64,
) -> impl Iterator<Item = Thing<'a>> {
    // Whole decimetres, so that cases of like height share the answers.
    let decimetres = (top_m * 10.0).ceil().max(0.0) as usize + 1;
    let low = comes_down_below;
    let items = analysis.items_in_where_and(space, "comes down low", decimetres, low);
    fixed_things(space).chain(items.map(Thing::Item))
}

fn comes_down_below(analysis: &Analysis, item: &Item, decimetres: usize) -> bool {
    let Ok(space) = analysis.space_with(item, Parts::NONE) else {
        return false;
    };
    is_in_the_way(analysis, item)
        && (Thing::Item(item).body(analysis, space)).map_or(true, |body| {
            body.bottom().value() < decimetres as f64 / 10.0
        })
}

/// Farther before a wall than this nothing that hangs there reaches, m.
pub(crate) const FAR_BEFORE_M: f64 = 0.6;

fn is_by_wall(analysis: &Analysis, item: &Item, wall: usize) -> bool {
    let Ok(space) = analysis.space_with(item, Parts::NONE) else {
        return false;
    };
    let thing = Thing::Item(item);
    if !is_in_the_way(analysis, item) {
        return false;
    }
    if thing.wall().is_some_and(|on| on == space.walls[wall].id) {
        return true;
    }
    // Whoever asks for it says what is missing of one.
    let faces = (thing.body(analysis, space))
        .and_then(|body| BeforeWall::faces_m(analysis, space, wall, &body));
    faces.map_or(true, |[near_m, _]| near_m <= FAR_BEFORE_M)
}

/// Soffits and fixtures.
pub(crate) fn fixed_things(space: &Space) -> impl Iterator<Item = Thing<'_>> {
    let fixtures = space
        .fixture
        .iter()
        .filter(|fixture| is_solid(fixture.kind));
    (space.soffit.iter().map(Thing::Soffit)).chain(fixtures.map(Thing::Fixture))
}

pub(crate) fn is_in_the_way(analysis: &Analysis, item: &Item) -> bool {
    let placed = item.on.is_some() || item.at.is_some() || item.hung.is_some();
    placed && !matches!(analysis.kit_of(item), Some(Kit::Mount(_)))
}

impl<'a> Thing<'a> {
    pub fn subject(self) -> Subject {
        match self {
            Self::Fixture(fixture) => Subject::fixture(fixture),
            Self::Item(item) => Subject::item(item),
            Self::Soffit(soffit) => Subject::new(
                &soffit.id,
                format!("soffit {}", soffit.id.replace('-', " ")),
            ),
        }
    }

    /// The wall that it is fixed to.
    pub fn wall(self) -> Option<&'a str> {
        let on = match self {
            Self::Fixture(fixture) => fixture.on.as_ref(),
            Self::Item(item) => item.on.as_ref(),
            Self::Soffit(_) => None,
        };
        on.map(|on| on.wall.as_str())
    }

    /// The id of the item, where it is one.
    pub fn item_id(self) -> Option<&'a str> {
        match self {
            Self::Item(item) => Some(&item.id),
            _ => None,
        }
    }

    /// Its rectangle on the wall that it is fixed to; how far it stands out may be unknown.
    pub fn wall_rect(self, analysis: &Analysis, space: &Space) -> Option<Known<WallRect>> {
        self.wall()?;
        self.kept(analysis, space, "wall rect", || match self {
            Self::Fixture(fixture) => fixture_rect(analysis, space, fixture),
            Self::Item(item) => item_rect(analysis, space, item),
            Self::Soffit(_) => None,
        })
    }

    /// Its box in the room.
    pub fn body(self, analysis: &Analysis, space: &Space) -> Known<Body> {
        self.kept(analysis, space, "body", || match self {
            Self::Fixture(fixture) => analysis.fixture_body(space, fixture),
            Self::Item(item) => item_body(analysis, space, item),
            Self::Soffit(soffit) => soffit_body(analysis, space, soffit),
        })
    }

    /// An answer about it, shared by copies: see [`Analysis::kept_of_item`].
    pub fn kept<T: Clone + 'static>(
        self,
        analysis: &Analysis,
        space: &Space,
        question: &'static str,
        answer: impl FnOnce() -> T,
    ) -> T {
        match self {
            Self::Fixture(fixture) => analysis.kept_of_fixture(question, space, fixture, answer),
            Self::Item(item) => analysis.kept_of_item(question, item, answer),
            Self::Soffit(soffit) => analysis.kept_of_soffit(question, space, soffit, answer),
        }
    }
}

/// Whether a catalogue entry shows a picture.
pub(crate) fn is_picture(kit: Kit<'_>) -> bool {
    matches!(kit, Kit::Screen(_) | Kit::Display(_))
}

/// In the wall or ceiling, so that nothing stands into the room.
fn is_flush(analysis: &Analysis, item: &Item) -> bool {
    match analysis.kit_of(item) {
        Some(Kit::Loudspeaker(kit)) => matches!(
            kit.form,
            Some(LoudspeakerForm::InWall | LoudspeakerForm::InCeiling)
        ),
        Some(Kit::Plate(_)) => true,
        _ => item.hung.as_ref().is_some_and(|hung| hung.drop.is_none()),
    }
}

/// A fixture on a wall with its width and height alone, when nobody measured its depth.
fn fixture_rect(analysis: &Analysis, space: &Space, fixture: &Fixture) -> Option<Known<WallRect>> {
    let on = fixture.on.as_ref()?;
    let at = format_args!("space.{}.fixture.{}", space.id, fixture.id);
    let ask = |what: &str| {
        let what = format!("the {what} of the {}", fixture.id.replace('-', " "));
        Missing::new(what, format!("{at}.size"), Means::Tape)
    };
    let side = |index: usize, what: &str| {
        let size = fixture.size.as_ref().ok_or_else(|| ask("size"))?;
        analysis.number(Some(&size[index])).ok_or_else(|| ask(what))
    };
    let rect = side(0, "width").and_then(|width| {
        let height = side(1, "height")?;
        let size = [&width, &height];
        analysis.wall_rect(space, on, size, Anchor::Centre, format_args!("{at}.on"))
    });
    Some(rect.map(|rect| WallRect {
        out: side(2, "depth").ok(),
        ..rect
    }))
}

fn item_rect(analysis: &Analysis, space: &Space, item: &Item) -> Option<Known<WallRect>> {
    let on = item.on.as_ref()?;
    // A screen's sheet often states picture and frame alone.
    let kit = analysis.kit_of(item);
    if kit.is_some_and(|kit| kit.common().size.is_none() && is_picture(kit)) {
        return Some(analysis.picture(item).map(|picture| WallRect {
            out: Some(picture.face.off),
            ..picture.outside
        }));
    }
    Some(analysis.item_size(item).and_then(|[width, height, depth]| {
        let at = format_args!("item.{}.on", item.id);
        let rect = analysis.wall_rect(space, on, [&width, &height], Anchor::Centre, at)?;
        let out = if is_flush(analysis, item) {
            Uncertain::exact(0.0)
        } else {
            depth
        };
        Ok(WallRect {
            out: Some(out),
            ..rect
        })
    }))
}

fn item_body(analysis: &Analysis, space: &Space, item: &Item) -> Known<Body> {
    if let Some(rect) = Thing::Item(item).wall_rect(analysis, space) {
        return analysis.body_on_wall(space, &rect?);
    }
    let mut size = analysis.item_size(item)?;
    if is_flush(analysis, item) {
        size[1] = Uncertain::exact(0.0);
    }
    let at = format_args!("item.{}", item.id);
    match (&item.at, &item.hung) {
        (Some(stands), _) => analysis.body_standing(space, stands, size, format_args!("{at}.at")),
        (_, Some(hung)) => analysis.body_hanging(space, hung, size, format_args!("{at}.hung")),
        _ => {
            let what = format!("where {} is", analysis::item_label(item));
            Err(Missing::new(what, at.to_string(), Means::Decide))
        }
    }
}

/// A soffit from its underside up to the ceiling above its middle.
fn soffit_body(analysis: &Analysis, space: &Space, soffit: &Soffit) -> Known<Body> {
    let at = format!("space.{}.soffit.{}", space.id, soffit.id);
    let ask = |what: &str, field: &str| {
        Missing::new(
            format!("the {what} of soffit {}", soffit.id),
            format!("{at}.{field}"),
            Means::Tape,
        )
    };
    let shape = analysis.shape(space);
    let near = shape.corner_from(analysis, space, &soffit.from, &soffit.and, &at)?;
    let number = |length, what, field| {
        analysis
            .number(Some(length))
            .ok_or_else(|| ask(what, field))
    };
    let length = number(&soffit.size[0], "length", "size.0")?;
    let depth = number(&soffit.size[1], "depth", "size.1")?;
    let underside = number(&soffit.underside, "underside", "underside")?;
    let wall = |name: &str| space.wall(name).ok_or_else(|| ask("wall", "from"));
    let (_, along, inward) = shape.wall_frame(wall(&soffit.from.0)?)?;
    let (_, _, away) = shape.wall_frame(wall(&soffit.and.0)?)?;
    // Its corner nearest to both walls is what was measured to: it runs away from the second.
    let sign = along.dot(&away).value().signum();
    let plan =
        &(&near + &along.scaled(&(&length * (sign / 2.0)))) + &inward.scaled(&(&depth / 2.0));
    // Where the ceiling is not known the soffit still has an underside; its top hides nothing.
    let top = shape.ceiling_at(&plan).unwrap_or_else(|_| &underside + 0.3);
    let height = (top - &underside).max(&Uncertain::exact(0.01));
    Ok(Body {
        centre: plan.at_height(&underside + &height / 2.0),
        along,
        size: [length, height, depth],
    })
}

/// An engine's box; sides of nothing get a millimetre, which no tape tells from it.
pub(crate) fn oriented_box(
    centre: [f64; 3],
    along: [f64; 2],
    size: [f64; 3],
) -> Option<OrientedBox> {
    let [x, y, z] = centre;
    let [length, height, width] = size.map(|side| Metres(side.max(1e-3)));
    let yaw = Radians(along[1].atan2(along[0]));
    OrientedBox::upright(Point3::new(x, y, z), [length, width, height], yaw).ok()
}

#[cfg(test)]
mod tests {
    //! Bodies against a hand-drawn room.

    use analysis::Analysis;

    use super::*;
    use crate::testing::{ROOM, job};

    #[test]
    fn a_soffit_hangs_from_the_ceiling_away_from_both_walls() {
        let analysis = Analysis::new(job(&format!(
            r#"{ROOM}
[[space.soffit]]
id = "duct"
from = ["north", "0 m"]
and = ["west", "1 m"]
size = ["2 m", "400 mm"]
underside = "2.1 m"
"#
        )));
        let space = &analysis.job().space[0];
        let thing = things(&analysis, space).next().expect("the soffit");
        let body = thing.body(&analysis, space).expect("its facts are known");
        // North runs east from the north-west corner, which is also west's right end.
        let (from_left, off) = analysis
            .shape(space)
            .on_wall(0, &body.centre.in_plan())
            .expect("north");
        assert!((from_left.value() - 2.0).abs() < 1e-3);
        assert!((off.value() - 0.2).abs() < 1e-3);
        assert!((body.bottom().value() - 2.1).abs() < 1e-9);
        assert!((body.top().value() - 2.4).abs() < 1e-9);
    }
}
