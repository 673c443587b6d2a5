//! Places as measured, turned into rectangles on walls and boxes in the room.

use std::fmt;

use model::{Anchor, Fixture, FixtureKind, Hung, InPlan, Item, Length, OnWall, Opening, Space};
use uncertainty::{Uncertain, Vector2, Vector3};

use crate::settled::SettledAt;
use crate::{Analysis, Known, Means, Missing};

/// A rectangle on a wall, seen from inside.
#[derive(Clone, Debug, PartialEq)]
pub struct WallRect {
    /// The wall's index in its space.
    pub wall: usize,
    /// Left edge from the wall's left corner, m.
    pub left: Uncertain,
    /// Right edge from the wall's left corner, m.
    pub right: Uncertain,
    /// Lower edge above the floor, m.
    pub bottom: Uncertain,
    /// Upper edge above the floor, m.
    pub top: Uncertain,
    /// How far it stands out of the wall, m, where known.
    pub out: Option<Uncertain>,
}

impl WallRect {
    /// Middle from the wall's left corner.
    pub fn centre_left(&self) -> Uncertain {
        (&self.left + &self.right) / 2.0
    }

    /// Middle above the floor.
    pub fn centre_height(&self) -> Uncertain {
        (&self.bottom + &self.top) / 2.0
    }

    /// Width.
    pub fn width(&self) -> Uncertain {
        &self.right - &self.left
    }

    /// Height from lower to upper edge.
    pub fn height(&self) -> Uncertain {
        &self.top - &self.bottom
    }
}

/// A box in the room that stands upright.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Its middle.
    pub centre: Vector3,
    /// Unit direction of its first side, in plan.
    pub along: Vector2,
    /// Size along, up, and across.
    pub size: [Uncertain; 3],
}

impl Body {
    /// Height of its underside.
    pub fn bottom(&self) -> Uncertain {
        &self.centre.z - &self.size[1] / 2.0
    }

    /// Height of its upper side.
    pub fn top(&self) -> Uncertain {
        &self.centre.z + &self.size[1] / 2.0
    }
}

/// Words for a fixture's kind and name.
pub fn fixture_label(fixture: &Fixture) -> String {
    fixture.id.replace('-', " ")
}

impl Analysis {
    /// The rectangle of a thing of known size on a wall.
    pub fn wall_rect(
        &self,
        space: &Space,
        on: &OnWall,
        [width, height]: [&Uncertain; 2],
        default: Anchor,
        at: impl fmt::Display,
    ) -> Known<WallRect> {
        let wall = space.wall(&on.wall).ok_or_else(|| {
            let at = format!("{at}.wall");
            let what = format!("the wall that {} is on", self.thing_at(&at));
            Missing::new(what, at, Means::Decide)
        })?;
        let ask = |what: &str, field: &str| {
            let at = format!("{at}.{field}");
            let what = format!("{} {what} {}", self.fact_at(&at), on.wall);
            Missing::new(what, at, Means::Tape)
        };
        let place = |fact: &Option<Length>, what: &str, field: &str| {
            self.number(fact.as_ref()).ok_or_else(|| ask(what, field))
        };
        let from_left = place(&on.from_left, "of wall", "from_left")?;
        let up = place(&on.height, "on wall", "height")?;
        let [dx, dy] = on.to.unwrap_or(default).offset();
        let centre_left = from_left - width * (dx / 2.0);
        let centre_height = up - height * (dy / 2.0);
        Ok(WallRect {
            wall,
            left: &centre_left - width / 2.0,
            right: &centre_left + width / 2.0,
            bottom: &centre_height - height / 2.0,
            top: &centre_height + height / 2.0,
            out: None,
        })
    }

    /// The hole of a door, window or archway.
    pub fn opening_rect(&self, space: &Space, opening: &Opening) -> Known<WallRect> {
        let at = format_args!("space.{}.opening.{}", space.id, opening.id);
        let size = |index: usize, what: &str| {
            self.number(Some(&opening.size[index])).ok_or_else(|| {
                Missing::new(
                    format!("the {what} of {}", opening.id),
                    format!("{at}.size.{index}"),
                    Means::Tape,
                )
            })
        };
        let (width, height) = (size(0, "width")?, size(1, "height")?);
        self.wall_rect(
            space,
            &opening.on,
            [&width, &height],
            Anchor::LowerLeft,
            format_args!("{at}.on"),
        )
    }

    /// A fixture's size across, up and out.
    pub fn fixture_size(&self, space: &Space, fixture: &Fixture) -> Known<[Uncertain; 3]> {
        let at = format_args!("space.{}.fixture.{}.size", space.id, fixture.id);
        let ask = |what: &str| {
            Missing::new(
                format!("the {what} of the {}", fixture_label(fixture)),
                at.to_string(),
                Means::Tape,
            )
        };
        let size = fixture.size.as_ref().ok_or_else(|| ask("size"))?;
        let part =
            |index: usize, what: &str| self.number(Some(&size[index])).ok_or_else(|| ask(what));
        Ok([part(0, "width")?, part(1, "height")?, part(2, "depth")?])
    }

    /// A fixture's rectangle on its wall; `None` when it is not on a wall.
    pub fn fixture_rect(&self, space: &Space, fixture: &Fixture) -> Option<Known<WallRect>> {
        let on = fixture.on.as_ref()?;
        Some(
            self.fixture_size(space, fixture)
                .and_then(|[width, height, out]| {
                    let at = format_args!("space.{}.fixture.{}.on", space.id, fixture.id);
                    let rect = self.wall_rect(space, on, [&width, &height], Anchor::Centre, at)?;
                    Ok(WallRect {
                        out: Some(out),
                        ..rect
                    })
                }),
        )
    }

    /// A fixture as a box in the room.
    pub fn fixture_body(&self, space: &Space, fixture: &Fixture) -> Known<Body> {
        let at = format_args!("space.{}.fixture.{}", space.id, fixture.id);
        if let Some(rect) = self.fixture_rect(space, fixture) {
            return self.body_on_wall(space, &rect?);
        }
        let size = self.fixture_size(space, fixture)?;
        match (&fixture.at, &fixture.hung) {
            (Some(stands), _) => self.body_standing(space, stands, size, format_args!("{at}.at")),
            (_, Some(hung)) => self.body_hanging(space, hung, size, format_args!("{at}.hung")),
            _ => Err(Missing::new(
                format!("where the {} is", fixture_label(fixture)),
                at.to_string(),
                Means::Tape,
            )),
        }
    }

    /// A fixture's middle; on a wall, in the wall's face. A cable end has no size to know.
    pub fn fixture_point(&self, space: &Space, fixture: &Fixture) -> Known<Vector3> {
        let Some(on) = &fixture.on else {
            return Ok(self.fixture_body(space, fixture)?.centre);
        };
        let (nothing, at) = (
            Uncertain::exact(0.0),
            format_args!("space.{}.fixture.{}.on", space.id, fixture.id),
        );
        let size = match on.to {
            None | Some(Anchor::Centre) => [nothing.clone(), nothing.clone()],
            Some(_) => self
                .fixture_size(space, fixture)
                .map(|[width, height, _]| [width, height])?,
        };
        let rect = self.wall_rect(space, on, [&size[0], &size[1]], Anchor::Centre, at)?;
        self.shape(space).point_on_wall(
            rect.wall,
            &rect.centre_left(),
            &rect.centre_height(),
            &nothing,
        )
    }

    /// A box flat on a wall.
    pub fn body_on_wall(&self, space: &Space, rect: &WallRect) -> Known<Body> {
        let shape = self.shape(space);
        let out = rect.out.clone().unwrap_or_default();
        let half = &out / 2.0;
        let centre =
            shape.point_on_wall(rect.wall, &rect.centre_left(), &rect.centre_height(), &half)?;
        let (_, along, _) = shape.wall_frame(rect.wall)?;
        Ok(Body {
            centre,
            along,
            size: [rect.width(), rect.height(), out],
        })
    }

    /// A box whose underside stands at a height.
    pub fn body_standing(
        &self,
        space: &Space,
        at: &InPlan,
        size: [Uncertain; 3],
        path: impl fmt::Display,
    ) -> Known<Body> {
        let shape = self.shape(space);
        let plan = shape.corner_from(self, space, &at.from, &at.and, path)?;
        let along = self.along(space, &at.from.0)?;
        let underside = self.number(at.height.as_ref()).unwrap_or_default();
        let middle = underside + &size[1] / 2.0;
        Ok(Body {
            centre: plan.at_height(middle),
            along,
            size,
        })
    }

    /// A box whose top hangs below the ceiling.
    pub fn body_hanging(
        &self,
        space: &Space,
        hung: &Hung,
        size: [Uncertain; 3],
        path: impl fmt::Display,
    ) -> Known<Body> {
        let shape = self.shape(space);
        let plan = shape.corner_from(self, space, &hung.from, &hung.and, path)?;
        let along = self.along(space, &hung.from.0)?;
        let drop = self.number(hung.drop.as_ref()).unwrap_or_default();
        let middle = shape.ceiling_at(&plan)? - drop - &size[1] / 2.0;
        Ok(Body {
            centre: plan.at_height(middle),
            along,
            size,
        })
    }

    fn along(&self, space: &Space, wall: &str) -> Known<Vector2> {
        let wall = space.wall(wall).ok_or_else(|| {
            let what = format!("a wall called {wall} in {}", space.label());
            Missing::new(what, format!("space.{}.walls", space.id), Means::Decide)
        })?;
        Ok(self.shape(space).wall_frame(wall)?.1)
    }

    /// An item's outside width, height and depth by its spec sheet.
    pub fn item_size(&self, item: &Item) -> Known<[Uncertain; 3]> {
        let kit = self.kit_of(item).ok_or_else(|| {
            Missing::new(
                format!("what {} is", crate::item_label(item)),
                format!("item.{}.is", item.id),
                Means::Decide,
            )
        })?;
        let at = format_args!("kit.{}.{}.size", kit.kind(), item.is);
        let ask = || {
            Missing::new(
                format!("the outside size of {}", item.is),
                at.to_string(),
                Means::SpecSheet,
            )
        };
        let size = kit.common().size.as_ref().ok_or_else(ask)?;
        let part = |index: usize| self.number(Some(&size[index])).ok_or_else(ask);
        Ok([part(0)?, part(1)?, part(2)?])
    }

    /// The point where an item's cables end, in its space's frame.
    pub fn item_point(&self, item: &Item) -> Known<Vector3> {
        self.about_item(
            item,
            SettledAt::Point,
            |answers| &answers.points,
            || self.item_point_anew(item),
        )
    }

    fn item_point_anew(&self, item: &Item) -> Known<Vector3> {
        let holder = self.holders(item).last().unwrap_or(item);
        let space = self.room_of(holder)?;
        let shape = self.shape(space);
        let at = format_args!("item.{}", holder.id);
        let ask = |what: &str| {
            Missing::new(
                format!("{what} of {}", crate::item_label(holder)),
                at.to_string(),
                Means::Decide,
            )
        };
        if let Some(on) = &holder.on {
            let wall = space.wall(&on.wall).ok_or_else(|| ask("the wall"))?;
            let decide = |field: &str| {
                let at = format!("{at}.on.{field}");
                Missing::new(self.fact_at(&at), at, Means::Decide)
            };
            let from_left = self
                .number(on.from_left.as_ref())
                .ok_or_else(|| decide("from_left"))?;
            let height = self
                .number(on.height.as_ref())
                .ok_or_else(|| decide("height"))?;
            return shape.point_on_wall(wall, &from_left, &height, &Uncertain::exact(0.0));
        }
        if let Some(stands) = &holder.at {
            let plan = shape.corner_from(
                self,
                space,
                &stands.from,
                &stands.and,
                format_args!("{at}.at"),
            )?;
            return Ok(plan.at_height(self.number(stands.height.as_ref()).unwrap_or_default()));
        }
        if let Some(hung) = &holder.hung {
            let plan = shape.corner_from(
                self,
                space,
                &hung.from,
                &hung.and,
                format_args!("{at}.hung"),
            )?;
            let drop = self.number(hung.drop.as_ref()).unwrap_or_default();
            let height = shape.ceiling_at(&plan)? - drop;
            return Ok(plan.at_height(height));
        }
        // Without a place of its own it sits where the plate is that it takes over.
        let plate = match holder.reuses.as_deref() {
            Some(id) => self.space_of(holder)?.fixture(id),
            None => None,
        };
        if let Some(plate) = plate {
            return self.fixture_point(space, plate);
        }
        Err(ask("the place"))
    }
}

/// Whether a fixture of that kind is more than a mark on the floor or wall, or inside it.
pub fn is_solid(kind: FixtureKind) -> bool {
    !matches!(
        kind,
        FixtureKind::Walkway | FixtureKind::CableEnd | FixtureKind::MainsRun
    )
}
