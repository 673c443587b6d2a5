//! A projector's case and lens before its screen.

use model::{Item, Kit, ProjectorKit, Space};
use uncertainty::{Uncertain, Vector3};

use crate::{Analysis, Body, Known, Means, Missing, Picture, item_label};

/// Where a projector's lens is, against its screen.
#[derive(Clone, Debug)]
pub struct Lens {
    /// The middle of the front lens.
    pub at: Vector3,
    /// Square distance from the lens to the picture's plane, m.
    pub distance: Uncertain,
    /// The picture's middle above the lens axis, m.
    pub picture_above: Uncertain,
    /// The picture's middle to the right of the lens axis as a viewer sees it, m.
    pub picture_right: Uncertain,
}

/// A projector in its place.
#[derive(Clone, Debug)]
pub struct ProjectorPlace<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its spec sheet.
    pub kit: &'a ProjectorKit,
    /// The screen that it lights.
    pub screen: &'a Item,
    /// That screen's picture.
    pub picture: Picture,
    /// The case; its first side runs to the right as a viewer sees the picture.
    pub case: Body,
    /// The lens.
    pub lens: Lens,
}

impl Analysis {
    /// Projectors of a space.
    pub fn projectors_in<'a>(
        &'a self,
        space: &'a Space,
    ) -> impl Iterator<Item = (&'a Item, &'a ProjectorKit)> {
        self.items_of_kind(space, |kit| matches!(kit, Kit::Projector(_)))
            .filter_map(|item| match self.kit_of(item) {
                Some(Kit::Projector(kit)) => Some((item, kit)),
                _ => None,
            })
    }

    /// The screen that a projector lights: the one it names, or the only one of its space.
    pub fn screen_of<'a>(&'a self, item: &'a Item) -> Known<&'a Item> {
        let named = item.lights.as_deref().and_then(|id| self.item(id));
        let space = self.room_of(item)?;
        let mut screens = self
            .items_of_kind(space, |kit| matches!(kit, Kit::Screen(_)))
            .filter(|item| matches!(self.kit_of(item), Some(Kit::Screen(_))));
        let only = screens.next().filter(|_| screens.next().is_none());
        named.or(only).ok_or_else(|| {
            let what = format!("the screen that {} lights", item_label(item));
            Missing::new(what, format!("item.{}.lights", item.id), Means::Decide)
        })
    }

    /// A projector with its case square to its screen.
    pub fn projector<'a>(
        &'a self,
        item: &'a Item,
        kit: &'a ProjectorKit,
    ) -> Known<ProjectorPlace<'a>> {
        let screen = self.screen_of(item)?;
        let placed = self.kept_of_item("projector", item, || {
            self.kit_of(item);
            self.placed(item, kit)
        });
        let (picture, case, lens) = placed?;
        Ok(ProjectorPlace {
            item,
            kit,
            screen,
            picture,
            case,
            lens,
        })
    }

    fn placed(&self, item: &Item, kit: &ProjectorKit) -> Known<(Picture, Body, Lens)> {
        let space = self.room_of(item)?;
        let picture = self.picture(self.screen_of(item)?)?;
        let size = self.item_size(item)?;
        let at = format_args!("item.{}", item.id);
        let body = match (&item.at, &item.hung) {
            (Some(stands), _) => {
                self.body_standing(space, stands, size, format_args!("{at}.at"))?
            }
            (_, Some(hung)) => self.body_hanging(space, hung, size, format_args!("{at}.hung"))?,
            _ => {
                let what = format!("where {} hangs or stands", item_label(item));
                return Err(Missing::new(what, at.to_string(), Means::Decide));
            }
        };
        let case = Body {
            along: picture.face.right.clone(),
            ..body
        };
        let aside = self.number(kit.lens_right.as_ref()).unwrap_or_default();
        let up = self
            .number(kit.lens_up.as_ref())
            .unwrap_or_else(|| &case.size[1] / 2.0);
        // The lens sits in the front face, half a depth towards the screen, unless it is said.
        let forward = self
            .number(kit.lens_forward.as_ref())
            .unwrap_or_else(|| &case.size[2] / 2.0);
        let forward = picture.face.normal.scaled(&(-forward));
        let plan = &(&case.centre.in_plan() + &picture.face.right.scaled(&aside)) + &forward;
        let lens = plan.at_height(case.bottom() + up);
        let offset = &lens.in_plan() - &picture.centre.in_plan();
        let lens = Lens {
            distance: offset.dot(&picture.face.normal),
            picture_right: -offset.dot(&picture.face.right),
            picture_above: &picture.centre.z - &lens.z,
            at: lens,
        };
        Ok((picture, case, lens))
    }
}
