//! What is an item drawn as, and where is it: on its wall, and as a box in the room?

use model::{Anchor, Item, Kit, LoudspeakerForm, OnWall, Space};
use uncertainty::Uncertain;

use crate::{Analysis, Body, Known, Means, Missing, WallRect, item_label};

/// Things of unknown size are marked by a box of this side, m.
pub const MARK_M: f64 = 0.06;

/// What an item is drawn as, wherever it is.
#[derive(Clone, Debug)]
pub struct ItemShape {
    /// Width, height and depth, m; of a picture how far it stands out. A sign where the outside
    /// size is not known: the bare picture, or a small mark.
    pub size: [Uncertain; 3],
    /// Whether the outside size is known.
    pub is_sized: bool,
    /// Whether it disappears in wall or ceiling.
    pub is_flush: bool,
    /// Whether it is round as seen from below.
    pub is_round: bool,
}

/// An item's rectangle on its wall, and the picture within it.
#[derive(Clone, Debug)]
pub struct ItemOnWall {
    /// The whole thing.
    pub outside: WallRect,
    /// The lit picture, if it shows one.
    pub picture: Option<WallRect>,
    /// Whether the outside size is known; a mark stands for it otherwise.
    pub is_sized: bool,
}

impl Analysis {
    /// What an item is drawn as.
    pub fn item_shape(&self, item: &Item) -> ItemShape {
        let form = match self.kit_of(item) {
            Some(Kit::Loudspeaker(kit)) => kit.form,
            _ => None,
        };
        let size = self.outside_size(item);
        ItemShape {
            is_sized: size.is_some(),
            size: size
                .or_else(|| self.bare_picture(item))
                .unwrap_or_else(|| [(); 3].map(|()| Uncertain::exact(MARK_M))),
            is_flush: self.is_flush(item),
            is_round: form == Some(LoudspeakerForm::InCeiling),
        }
    }

    /// Whether an item is set into its wall or ceiling.
    pub(crate) fn is_flush(&self, item: &Item) -> bool {
        match self.kit_of(item) {
            Some(Kit::Loudspeaker(kit)) => match kit.form {
                Some(LoudspeakerForm::InWall | LoudspeakerForm::InCeiling) => true,
                Some(LoudspeakerForm::Subwoofer) => kit.cutout.is_some(),
                _ => false,
            },
            Some(Kit::Plate(_)) => true,
            _ => false,
        }
    }

    /// Its outside and how far it stands out, for what hangs there; else by the spec sheet.
    fn outside_size(&self, item: &Item) -> Option<[Uncertain; 3]> {
        match self.picture(item) {
            Ok(picture) => {
                let outside = picture.outside;
                Some([
                    outside.width(),
                    outside.height(),
                    outside.out.unwrap_or_default(),
                ])
            }
            Err(_) => self.item_size(item).ok(),
        }
    }

    /// A picture by its diagonal alone, its frame as far as it is known.
    fn bare_picture(&self, item: &Item) -> Option<[Uncertain; 3]> {
        let (diagonal, aspect, frame) = match self.kit_of(item)? {
            Kit::Screen(kit) => (&kit.diagonal, kit.aspect.as_ref(), kit.frame.as_ref()),
            Kit::Display(kit) => (&kit.diagonal, kit.aspect.as_ref(), None),
            _ => return None,
        };
        let diagonal = self.number(diagonal.as_ref())?;
        let aspect = self.number(aspect).map(|aspect| aspect.value());
        let aspect = aspect.unwrap_or(16.0 / 9.0);
        let frame = self.number(frame).unwrap_or_default() * 2.0;
        // h = d / √(1 + a²)
        let height = diagonal / aspect.hypot(1.0);
        Some([
            &height * aspect + &frame,
            height + frame,
            Uncertain::exact(0.0),
        ])
    }

    /// An item that is written to be on a wall.
    pub fn item_on_wall(&self, space: &Space, item: &Item, on: &OnWall) -> Known<ItemOnWall> {
        if let Ok(picture) = self.picture(item) {
            return Ok(ItemOnWall {
                outside: picture.outside,
                picture: Some(picture.lit),
                is_sized: true,
            });
        }
        let shape = self.item_shape(item);
        let [width, height, depth] = &shape.size;
        let at = format_args!("item.{}.on", item.id);
        let rect = self.wall_rect(space, on, [width, height], Anchor::Centre, at)?;
        let out = match (shape.is_sized, shape.is_flush) {
            (false, _) => None,
            (true, true) => Some(Uncertain::exact(0.0)),
            (true, false) => Some(depth.clone()),
        };
        Ok(ItemOnWall {
            outside: WallRect { out, ..rect },
            picture: None,
            is_sized: shape.is_sized,
        })
    }

    /// An item as a box in the room.
    pub fn item_body(&self, space: &Space, item: &Item) -> Known<Body> {
        if let Some(Kit::Projector(kit)) = self.kit_of(item)
            && let Ok(place) = self.projector(item, kit)
        {
            return Ok(place.case);
        }
        if let Some(on) = &item.on {
            return self.body_on_wall(space, &self.item_on_wall(space, item, on)?.outside);
        }
        let ItemShape { size, is_flush, .. } = self.item_shape(item);
        let at = format_args!("item.{}", item.id);
        match (&item.at, &item.hung) {
            (Some(stands), _) => self.body_standing(space, stands, size, format_args!("{at}.at")),
            (_, Some(hung)) => {
                let size = match (is_flush, size) {
                    // What disappears in the ceiling shows its face, which lies in it.
                    (true, [width, height, _]) => [width, Uncertain::exact(0.0), height],
                    (false, size) => size,
                };
                self.body_hanging(space, hung, size, format_args!("{at}.hung"))
            }
            _ => Err(Missing::new(
                format!("the place of {}", item_label(item)),
                at.to_string(),
                Means::Decide,
            )),
        }
    }
}
