//! A screen's or display's picture on its wall.

use model::{Anchor, Item, Kit, MountKit, Ratio, Space};
use uncertainty::{Uncertain, Vector2, Vector3};

use crate::screen::Surround;
use crate::settled::SettledAt;
use crate::{Analysis, Known, Means, Missing, WallRect, item_label};

/// The plane in which a picture hangs.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// From the wall to the picture's face, m.
    pub off: Uncertain,
    /// To the right as a viewer sees it, in plan.
    pub right: Vector2,
    /// Out of the picture towards the viewers, in plan.
    pub normal: Vector2,
}

/// A picture on a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The lit picture.
    pub lit: WallRect,
    /// The whole thing: frame, case, bezel.
    pub outside: WallRect,
    /// Where its face is and which way it looks.
    pub face: Outline,
    /// Middle of the lit picture in the room.
    pub centre: Vector3,
    /// Width over height.
    pub aspect: f64,
}

impl Picture {
    /// The lit picture's width, m.
    pub fn width(&self) -> Uncertain {
        self.lit.width()
    }

    /// The lit picture's height, m.
    pub fn height(&self) -> Uncertain {
        self.lit.height()
    }

    /// Turned about its own middle, to the right as its viewers see it. Its outline on the wall
    /// stays that of the picture square to it.
    fn turned(self, by: &Uncertain) -> Self {
        let Outline { off, right, normal } = self.face;
        let (sin, cos) = (by.sin(), by.cos());
        Self {
            face: Outline {
                off,
                right: &right.scaled(&cos) + &normal.scaled(&-&sin),
                normal: &normal.scaled(&cos) + &right.scaled(&sin),
            },
            ..self
        }
    }

    /// A point of the lit picture: −1 to 1 across and up.
    pub fn point(&self, across: f64, up: f64) -> Vector3 {
        let sideways = self.face.right.scaled(&(self.width() * (across / 2.0)));
        let plan = &self.centre.in_plan() + &sideways;
        plan.at_height(&self.centre.z + self.height() * (up / 2.0))
    }

    /// As [`Picture::point`], best estimate.
    pub fn point_value(&self, across: f64, up: f64) -> [f64; 3] {
        let between = |from: &Uncertain, to: &Uncertain| to.value() - from.value();
        let sideways = between(&self.lit.left, &self.lit.right) * (across / 2.0);
        let [x, y, z] = self.centre.value();
        let [right_x, right_y] = self.face.right.value();
        let raised = between(&self.lit.bottom, &self.lit.top) * (up / 2.0);
        [x + right_x * sideways, y + right_y * sideways, z + raised]
    }
}

impl Analysis {
    /// Items of a space that show a picture.
    pub fn pictures_in<'a>(&'a self, space: &'a Space) -> impl Iterator<Item = &'a Item> {
        let is_picture = |kit: Kit<'_>| matches!(kit, Kit::Screen(_) | Kit::Display(_));
        self.items_of_kind(space, is_picture)
            .filter(move |item| self.kit_of(item).is_some_and(is_picture))
    }

    /// The mount that carries an item, if the job names one.
    pub fn mount_of<'a>(&'a self, item: &Item) -> Option<(&'a Item, &'a MountKit)> {
        let mount = self.item(item.mount.as_deref()?)?;
        match self.kit_of(mount) {
            Some(Kit::Mount(kit)) => Some((mount, kit)),
            _ => None,
        }
    }

    /// A screen's or display's picture; a display on an arm: parked.
    pub fn picture(&self, item: &Item) -> Known<Picture> {
        self.about_item(
            item,
            SettledAt::Picture,
            |answers| &answers.pictures,
            || self.picture_lowered(item, None),
        )
    }

    /// A display's picture where it is watched, with its arm at full reach: pulled fully
    /// down, and turned as the job says; `None` when no arm moves it.
    pub fn picture_pulled_down(&self, item: &Item) -> Option<Known<Picture>> {
        let (_, mount) = self.mount_of(item)?;
        let travel = self.number(mount.pull_down.as_ref()).unwrap_or_default();
        let turn = self.number(item.turn.as_ref()).unwrap_or_default();
        if travel.value() <= 0.0 && turn.value() == 0.0 {
            return None;
        }
        Some(self.picture_lowered(item, Some(&travel)).map(|picture| {
            if turn.value() == 0.0 {
                picture
            } else {
                picture.turned(&turn)
            }
        }))
    }

    /// `out`: with its arm at full reach and this much lower.
    fn picture_lowered(&self, item: &Item, out: Option<&Uncertain>) -> Known<Picture> {
        let space = self.room_of(item)?;
        let kit = self.kit_of(item);
        let path = |fact: &str| format!("kit.{}.{}.{fact}", kit.map_or("?", Kit::kind), item.is);
        let ask = |what: &str, fact: &str| {
            Missing::new(
                format!("{what} of {}", item.is),
                path(fact),
                Means::SpecSheet,
            )
        };
        let aspect_of =
            |fact: &Option<Ratio>| self.number(fact.as_ref()).map(|aspect| aspect.value());
        let (aspect, diagonal, picture_width) = match kit {
            Some(Kit::Screen(kit)) => (
                aspect_of(&kit.aspect).ok_or_else(|| ask("the aspect", "aspect"))?,
                self.number(kit.diagonal.as_ref()),
                self.number(kit.picture_width.as_ref()),
            ),
            Some(Kit::Display(kit)) => (
                aspect_of(&kit.aspect).unwrap_or(16.0 / 9.0),
                self.number(kit.diagonal.as_ref()),
                None,
            ),
            _ => {
                let what = format!("a picture: {} shows none", item_label(item));
                return Err(Missing::new(
                    what,
                    format!("item.{}.is", item.id),
                    Means::Decide,
                ));
            }
        };
        let width = match (picture_width, diagonal) {
            (Some(width), _) => width,
            // w = d a / √(1 + a²)
            (None, Some(diagonal)) => diagonal * (aspect / (1.0 + aspect * aspect).sqrt()),
            (None, None) => return Err(ask("the picture's diagonal", "diagonal")),
        };
        let height = &width / aspect;
        let surround = match kit {
            Some(Kit::Screen(kit)) => self.surround(item, kit, [&width, &height])?,
            _ => self.item_size(item).map(|[width, height, _]| Surround {
                size: [width, height],
                lit_up: Uncertain::exact(0.0),
                out: None,
            })?,
        };
        let [outside_width, outside_height] = &surround.size;
        let on = item.on.as_ref().ok_or_else(|| {
            Missing::new(
                format!("where {} hangs", item_label(item)),
                format!("item.{}.on", item.id),
                Means::Decide,
            )
        })?;
        let at = format_args!("item.{}.on", item.id);
        let parked = self.wall_rect(
            space,
            on,
            [outside_width, outside_height],
            Anchor::Centre,
            at,
        )?;
        let by = out.cloned().unwrap_or_default();
        let outside = WallRect {
            bottom: &parked.bottom - &by,
            top: &parked.top - &by,
            ..parked
        };
        let off = match kit {
            Some(Kit::Screen(_)) => {
                (self.cloth_off(item)).unwrap_or_else(|_| self.off_wall(item, false))
            }
            _ => self.off_wall(item, out.is_some()),
        };
        let middle = outside.centre_height() + &surround.lit_up;
        let lit = WallRect {
            wall: outside.wall,
            left: outside.centre_left() - &width / 2.0,
            right: outside.centre_left() + &width / 2.0,
            bottom: &middle - &height / 2.0,
            top: &middle + &height / 2.0,
            out: None,
        };
        let shape = self.shape(space);
        let centre =
            shape.point_on_wall(lit.wall, &lit.centre_left(), &lit.centre_height(), &off)?;
        let (_, right, normal) = shape.wall_frame(lit.wall)?;
        let outside = WallRect {
            out: Some(match &surround.out {
                Some(case) => case.max(&off),
                None => off.clone(),
            }),
            ..outside
        };
        Ok(Picture {
            lit,
            outside,
            face: Outline { off, right, normal },
            centre,
            aspect,
        })
    }

    /// How far the picture's face stands off the wall: the mount and the thing's own depth.
    fn off_wall(&self, item: &Item, pulled: bool) -> Uncertain {
        let depth = self
            .item_size(item)
            .map(|[_, _, depth]| depth)
            .unwrap_or_default();
        let carried = self.mount_of(item).and_then(|(_, mount)| {
            let reach = if pulled {
                mount.reach.as_ref().or(mount.standoff.as_ref())
            } else {
                mount.standoff.as_ref()
            };
            self.number(reach)
        });
        carried.unwrap_or_default() + depth
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use crate::Analysis;

    const JOB: &str = r#"
format = 1
[job]
name = "One room"
units = "metric"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2.03 m"
frame = "80 mm"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6.1 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6.1 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "7.3 m"]]
ceiling = { shape = "flat", height = "2.4 m" }
[[item]]
id = "screen"
is = "screen-s1"
on = { wall = "west", from_left = "2.1 m", height = "1.3 m" }
"#;

    #[test]
    fn a_best_estimate_is_that_of_the_point() {
        let analysis = Analysis::new(Arc::new(model::read(JOB, &[]).expect("the job reads")));
        let screen = analysis.item("screen").expect("it is there");
        let picture = analysis.picture(screen).expect("it hangs");
        for (across, up) in [(-1.0, -1.0), (1.0, -1.0), (0.3, 0.7), (0.0, 0.0)] {
            let point = picture.point(across, up).value();
            assert_eq!(picture.point_value(across, up), point);
        }
    }
}
