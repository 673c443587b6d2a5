//! Loudspeakers behind the picture of a projection screen.

use analysis::{Analysis, Picture, Uncertain, WallRect};
use model::{Item, Kit, LoudspeakerForm, Space};

use crate::before_wall::BeforeWall;
use crate::obstacles::Thing;

/// What stands behind a picture.
pub(crate) struct Behind {
    /// From the wall to its front, m.
    pub front: Uncertain,
}

/// How a loudspeaker stands behind a screen's picture: on its wall or before that wall, wholly
/// within the lit picture. `None` when it does not, or when nobody can tell yet, which the check
/// of the picture's outside asks for.
pub(crate) fn behind(
    analysis: &Analysis,
    space: &Space,
    screen: &Item,
    picture: &Picture,
    item: &Item,
) -> Option<Behind> {
    if !matches!(analysis.kit_of(screen), Some(Kit::Screen(_))) {
        return None;
    }
    let Some(Kit::Loudspeaker(kit)) = analysis.kit_of(item) else {
        return None;
    };
    let wall = picture.lit.wall;
    let thing = Thing::Item(item);
    let (rect, out) = match (&item.on, &item.at) {
        (Some(on), _) if space.wall(&on.wall) == Some(wall) => {
            let rect = thing.wall_rect(analysis, space)?.ok()?;
            let out = match kit.form {
                Some(LoudspeakerForm::InWall) => Uncertain::exact(0.0),
                _ => rect.out.clone().unwrap_or_default(),
            };
            (rect, out)
        }
        (None, Some(_)) => {
            let body = thing.body(analysis, space).ok()?;
            let before = BeforeWall::of(analysis, space, wall, &body).ok()?;
            let middle = (before.near.value() + before.far.value()) / 2.0;
            // What stands before the cloth hides the picture; other checks tell of it.
            match analysis.cloth_off(screen) {
                Ok(off) if middle < off.value() => (before.rect, before.far),
                _ => return None,
            }
        }
        _ => return None,
    };
    is_within(&rect, &picture.lit).then_some(Behind { front: out })
}

fn is_within(inner: &WallRect, outer: &WallRect) -> bool {
    inner.left >= outer.left
        && inner.right <= outer.right
        && inner.bottom >= outer.bottom
        && inner.top <= outer.top
}
