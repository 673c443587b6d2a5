//! Each space's walls, voids and soffits, and what joins spaces, put together as a house.

use geometry::{Ceiling, Point2, Point3, Vec2};
use model::{Beyond, Construction, Framing, OpeningKind, PathwayKind, Region, Space};
use routing::{
    Blocks, Conduit, Door, Hazard, House, Joists, Medium, Mouth, Party, Room, SoffitBox, Span,
    Studs, Times, Void, Wall,
};
use units::Metres;

use super::super::Doubt;
use super::{Frame, VoidKind, VoidPlace};
use crate::{Analysis, Known};

/// Stud and joist spacing where nobody measured it, m: 16 in, 400 mm (common practice, no source).
const SPACING_US_M: f64 = 0.4064;
const SPACING_EU_M: f64 = 0.4;
/// Voids of storeys no farther apart than this are one, m (common practice, no source).
const STOREY_M: f64 = 0.6;
/// Time to pull one cable through a conduit, s/m: half of what framing takes.
const CONDUIT_SHARE: f64 = 0.5;

/// A house while its spaces are added, one after the other.
pub(super) struct Builder<'a> {
    pub analysis: &'a Analysis,
    pub times: Times,
    pub house: House,
    pub walls: Vec<(usize, usize)>,
    pub first_wall: Vec<usize>,
    pub voids: Vec<VoidPlace>,
    pub above: Vec<Option<usize>>,
    pub doubts: Vec<Doubt>,
    pub frames: Vec<Frame>,
    pub roots: Vec<String>,
}

impl Builder<'_> {
    fn doubt(&mut self, what: String, at: String) -> usize {
        self.doubts.push(Doubt { what, at });
        self.doubts.len() - 1
    }

    fn usual_spacing_m(&self) -> f64 {
        match self.analysis.job.job.rules.unwrap_or_default() {
            Region::Us => SPACING_US_M,
            Region::Eu => SPACING_EU_M,
        }
    }

    fn void(&mut self, void: Void, space: usize, kind: VoidKind, is_roof: bool) -> usize {
        self.house.voids.push(void);
        self.voids.push(VoidPlace {
            space,
            kind,
            is_roof,
        });
        self.house.voids.len() - 1
    }

    pub(super) fn space(&mut self, index: usize, space: &Space) -> Known<()> {
        let shape = self.analysis.shape(space);
        let frame = self.frames[index];
        let corners = shape.outline()?;
        let ceiling = shape.ceiling()?.clone();
        let above = self.above(index, space, &corners, &ceiling);
        let below = self.below(index, space, &corners);
        self.above.push(above);
        self.first_wall.push(self.house.walls.len());
        let mut room = Room::default();
        for wall in 0..space.walls.len() {
            let (left, right) = (corners[wall], corners[(wall + 1) % corners.len()]);
            let top = ceiling.wall_top(&corners, wall).unwrap_or_default();
            let framing = self.framing(space, wall);
            let openings = (space.opening.iter())
                .filter(|opening| opening.on.wall == space.walls[wall].id)
                .filter_map(|opening| self.analysis.opening_rect(space, opening).ok())
                .map(|rect| {
                    [rect.left, rect.right, rect.bottom, rect.top].map(|edge| edge.value())
                });
            let construction = space.construction_of(&space.walls[wall].id);
            let hazard = construction.and_then(|it| match (it.rated, it.insulated) {
                (Some(true), _) => Some(Hazard::RatedWall),
                (_, Some(true)) => Some(Hazard::Insulation),
                _ => None,
            });
            let behind = construction
                .and_then(|it| it.beyond)
                .and_then(|beyond| match beyond {
                    Beyond::Attic => Some(Medium::Attic),
                    Beyond::CrawlSpace => Some(Medium::CrawlSpace),
                    _ => None,
                });
            let along = frame.direction((right - left).unit().unwrap_or(Vec2::new(1.0, 0.0)));
            let behind = behind.map(|medium| {
                let void = Void::open(medium, along, Metres(frame.up_m), &self.times);
                self.void(void, index, VoidKind::Behind, false)
            });
            self.house.walls.push(Wall {
                room: index,
                left: frame.plan(left),
                along,
                length_m: left.distance(right),
                floor_m: frame.up_m,
                top: top
                    .iter()
                    .map(|point| [point.from_left_m, point.height_m])
                    .collect(),
                framing,
                hazard,
                openings: openings.collect(),
                above,
                below,
                behind,
                party: None,
            });
            self.walls.push((index, wall));
            room.walls.push(self.house.walls.len() - 1);
        }
        room.soffits = self.soffits(index, space);
        self.house.rooms.push(room);
        Ok(())
    }

    fn framing(&mut self, space: &Space, wall: usize) -> routing::Framing {
        let name = &space.walls[wall].id;
        let spacing_m = self.usual_spacing_m();
        if space.walls[wall].open {
            return routing::Framing::Open;
        }
        let position = space.construction.iter().position(|it| it.of == *name);
        let Some(position) = position else {
            let doubt = self.doubt(
                format!("what wall {name} of {} is built of", space.label()),
                format!("space.{}.construction", space.id),
            );
            return routing::Framing::Studs(Studs {
                first_m: None,
                spacing_m,
                doubt: Some(doubt),
                has_knockouts: false,
                blocks: Blocks::Unknown(doubt),
            });
        };
        let it = &space.construction[position];
        let path = |fact: &str| format!("space.{}.construction.{position}.{fact}", space.id);
        match it.framing {
            Framing::Masonry | Framing::Concrete => routing::Framing::Solid,
            Framing::Stud | Framing::SteelStud | Framing::Joist => {
                let spacing = value(it.spacing.as_ref());
                let first_m = value(it.first_from_left.as_ref());
                let doubt = match (spacing, first_m) {
                    (Some(_), Some(_)) => None,
                    (None, _) => Some(self.doubt(
                        format!("how far apart the studs of wall {name} are"),
                        path("spacing"),
                    )),
                    (_, None) => Some(self.doubt(
                        format!("where the first stud of wall {name} is"),
                        path("first_from_left"),
                    )),
                };
                let is_steel = it.framing == Framing::SteelStud;
                let heights: Option<Vec<f64>> = (it.fire_block_at.as_ref())
                    .and_then(|blocks| blocks.iter().map(|block| value(Some(block))).collect());
                let blocks = match heights {
                    Some(mut heights) => {
                        heights.sort_by(f64::total_cmp);
                        Blocks::At(heights)
                    }
                    None if is_steel => Blocks::At(Vec::new()),
                    None => Blocks::Unknown(self.doubt(
                        format!("whether wall {name} has blocks between its studs, and how high"),
                        path("fire_block_at"),
                    )),
                };
                routing::Framing::Studs(Studs {
                    first_m: first_m.filter(|_| spacing.is_some()),
                    spacing_m: spacing.unwrap_or(spacing_m),
                    doubt,
                    has_knockouts: is_steel,
                    blocks,
                })
            }
        }
    }

    /// Joists of a ceiling or floor: the direction, a point to count from, and what is drilled.
    fn joists(
        &mut self,
        index: usize,
        space: &Space,
        corners: &[Point2],
        of: &str,
    ) -> (Vec2, Point2, Joists) {
        let frame = self.frames[index];
        let position = space.construction.iter().position(|it| it.of == of);
        let it: Option<&Construction> = position.map(|position| &space.construction[position]);
        let wall = it.and_then(|it| space.wall(it.along.as_deref()?));
        let direction = |wall: usize| {
            let (left, right) = (corners[wall], corners[(wall + 1) % corners.len()]);
            let along = (right - left).unit().unwrap_or(Vec2::new(1.0, 0.0));
            (frame.direction(along), frame.plan(left))
        };
        let spacing = it.and_then(|it| value(it.spacing.as_ref()));
        let first = it.and_then(|it| value(it.first_from_left.as_ref()));
        let path = |fact: &str| match position {
            Some(position) => format!("space.{}.construction.{position}.{fact}", space.id),
            None => format!("space.{}.construction", space.id),
        };
        let (along, origin) = direction(wall.unwrap_or(0));
        let doubt = match (it, wall, spacing, first) {
            (None, ..) => Some((
                format!("what the {of} of {} is built of", space.label()),
                path("framing"),
            )),
            (_, None, ..) => Some((
                format!("which way the joists of the {of} of {} run", space.label()),
                path("along"),
            )),
            (_, _, None, _) => Some((
                format!(
                    "how far apart the joists of the {of} of {} are",
                    space.label()
                ),
                path("spacing"),
            )),
            (_, _, _, None) => Some((
                format!("where the first joist of the {of} of {} is", space.label()),
                path("first_from_left"),
            )),
            _ => None,
        };
        let doubt = doubt.map(|(what, at)| self.doubt(what, at));
        let joists = Joists {
            // The room is on the right hand of its walls, so joists count against `cross`.
            first_m: first.map(|first| -first).filter(|_| spacing.is_some()),
            spacing_m: spacing.unwrap_or_else(|| self.usual_spacing_m()),
            either_way: wall.is_none(),
            doubt,
        };
        (along, origin, joists)
    }

    fn above(
        &mut self,
        index: usize,
        space: &Space,
        corners: &[Point2],
        ceiling: &Ceiling,
    ) -> Option<usize> {
        let frame = self.frames[index];
        let it = space.construction_of("ceiling");
        if it.is_some_and(|it| matches!(it.framing, Framing::Masonry | Framing::Concrete)) {
            return None;
        }
        let beyond = it.and_then(|it| it.beyond);
        let is_level = (ceiling.planes().iter())
            .all(|plane| plane.slope_x.abs() < 1e-9 && plane.slope_y.abs() < 1e-9);
        let height_m = frame.up_m + ceiling.height_at(corners[0]).0;
        let surface = (!is_level).then(|| frame.ceiling(ceiling)).flatten();
        let hazard = it
            .filter(|it| it.insulated == Some(true))
            .map(|_| Hazard::Insulation);
        if beyond == Some(Beyond::Attic) {
            let (along, ..) = self.joists(index, space, corners, "ceiling");
            let shared = self.shared(index, height_m, Medium::Attic);
            if shared.is_some() && surface.is_none() {
                return shared;
            }
            let void = Void {
                surface,
                hazard,
                ..Void::open(Medium::Attic, along, Metres(height_m), &self.times)
            };
            return Some(self.void(void, index, VoidKind::Above, false));
        }
        let (along, origin, joists) = self.joists(index, space, corners, "ceiling");
        let void = Void {
            origin,
            joists: Some(joists),
            surface,
            hazard,
            // Between closed boards each joist means a board to open.
            hole_s: self.times.hole.0 + self.times.open.0,
            ..Void::open(Medium::JoistBay, along, Metres(height_m), &self.times)
        };
        let is_roof = beyond == Some(Beyond::Roof);
        Some(self.void(void, index, VoidKind::Above, is_roof))
    }

    fn below(&mut self, index: usize, space: &Space, corners: &[Point2]) -> Option<usize> {
        let frame = self.frames[index];
        let it = space.construction_of("floor")?;
        if it.framing != Framing::Joist {
            return None;
        }
        match it.beyond {
            Some(Beyond::Ground | Beyond::Roof | Beyond::Outside) => None,
            Some(Beyond::CrawlSpace | Beyond::Attic) => {
                let shared = self.shared(index, frame.up_m, Medium::CrawlSpace);
                if shared.is_some() {
                    return shared;
                }
                let (along, ..) = self.joists(index, space, corners, "floor");
                let void = Void::open(Medium::CrawlSpace, along, Metres(frame.up_m), &self.times);
                Some(self.void(void, index, VoidKind::Below, false))
            }
            Some(Beyond::Storey) | None => {
                if let Some(storey) = self.shared(index, frame.up_m, Medium::JoistBay) {
                    return Some(storey);
                }
                let (along, origin, joists) = self.joists(index, space, corners, "floor");
                let void = Void {
                    origin,
                    joists: Some(joists),
                    hole_s: self.times.hole.0 + self.times.open.0,
                    ..Void::open(Medium::JoistBay, along, Metres(frame.up_m), &self.times)
                };
                Some(self.void(void, index, VoidKind::Below, false))
            }
        }
    }

    /// A level void of that kind at about that height, found in another space of one frame.
    fn shared(&self, index: usize, height_m: f64, medium: Medium) -> Option<usize> {
        let near = match medium {
            Medium::JoistBay => STOREY_M,
            _ => 2.0 * STOREY_M,
        };
        (self.house.voids.iter().zip(&self.voids)).position(|(void, place)| {
            void.medium == medium
                && void.surface.is_none()
                && place.space != index
                && self.roots[place.space] == self.roots[index]
                && (void.height_m - height_m).abs() < near
                && (medium != Medium::JoistBay || place.kind == VoidKind::Above)
        })
    }

    fn soffits(&mut self, index: usize, space: &Space) -> Vec<SoffitBox> {
        let frame = self.frames[index];
        let Ok(boxes) = self.analysis.shape(space).boxes() else {
            return Vec::new();
        };
        let boxes: Vec<_> = boxes.to_vec();
        let hollow =
            (space.soffit.iter().zip(boxes)).filter(|(soffit, _)| soffit.hollow == Some(true));
        let mut found = Vec::new();
        for (_, it) in hollow {
            let along = frame.direction(it.rect.along);
            let height_m = it.underside_m + 0.05;
            let void = Void::open(
                Medium::Soffit,
                along,
                Metres(frame.up_m + height_m),
                &self.times,
            );
            found.push(SoffitBox {
                void: self.void(void, index, VoidKind::Soffit, false),
                centre: frame.plan(it.rect.centre),
                along,
                half_m: [0.5 * it.rect.length_m, 0.5 * it.rect.width_m],
                height_m,
            });
        }
        found
    }

    /// Doors between spaces, and walls seen from both sides.
    pub(super) fn joined(&mut self, spaces: &[usize], index: usize, at: usize) {
        let analysis = self.analysis;
        let Some(space) = analysis.joined_space(&analysis.job.space[at].id) else {
            return;
        };
        let Some(joined) = &space.joined else { return };
        let Some((other, opening)) = joined.to.split_once('.') else {
            return;
        };
        let Some(other_index) = (spaces.iter()).position(|at| analysis.job.space[*at].id == other)
        else {
            return;
        };
        let Some(other) = analysis.joined_space(other) else {
            return;
        };
        let rect = |space: &Space, id: &str| {
            let opening = space.opening.iter().find(|opening| opening.id == id)?;
            let rect = analysis.opening_rect(space, opening).ok()?;
            Some((
                opening.kind,
                rect.wall,
                [rect.left.value(), rect.right.value()],
            ))
        };
        let Some(((kind, wall, jambs), (_, other_wall, other_jambs))) =
            rect(space, &joined.opening).zip(rect(other, opening))
        else {
            return;
        };
        let walls = [
            self.first_wall[index] + wall,
            self.first_wall[other_index] + other_wall,
        ];
        let mirror_m = 0.5 * (jambs[0] + jambs[1] + other_jambs[0] + other_jambs[1]);
        for (one, two) in [(walls[0], walls[1]), (walls[1], walls[0])] {
            self.house.walls[one].party = Some(Party {
                wall: two,
                mirror_m,
            });
        }
        if matches!(kind, OpeningKind::Door | OpeningKind::Archway) {
            self.house.doors.push(Door {
                walls,
                jambs: [jambs, other_jambs],
            });
        }
    }

    /// Conduits, chases and closets whose ends are both among the spaces.
    pub(super) fn pathways(&mut self, spaces: &[usize]) -> Vec<usize> {
        let analysis = self.analysis;
        let mut found = Vec::new();
        for (position, pathway) in analysis.job.pathway.iter().enumerate() {
            let mouths = [0, 1].map(|end| self.mouth(spaces, &pathway.ends[end]));
            let [Some((a, from)), Some((b, to))] = mouths else {
                continue;
            };
            let medium = match pathway.kind {
                PathwayKind::Conduit | PathwayKind::Chase => Medium::Conduit,
                PathwayKind::Closet => Medium::Closet,
            };
            let path = format!("pathway.{}.length", pathway.id);
            let (length_m, doubt) = match value(pathway.length.as_ref()) {
                Some(length_m) => (Span::exact(length_m), None),
                None => {
                    // Never shorter than straight, and hardly longer than square with a detour.
                    let straight_m = from.distance(to);
                    let doubt = self.doubt(format!("the length of {}", pathway.label()), path);
                    (Span::between(straight_m, 2.0 * straight_m), Some(doubt))
                }
            };
            self.house.conduits.push(Conduit {
                medium,
                mouths: [a, b],
                length_m,
                time_s: length_m * (CONDUIT_SHARE * self.times.pull_s_per_m),
                doubt,
            });
            found.push(position);
        }
        found
    }

    fn mouth(&self, spaces: &[usize], end: &model::PathwayEnd) -> Option<(Mouth, Point3)> {
        let analysis = self.analysis;
        let index = (spaces.iter()).position(|at| analysis.job.space[*at].id == end.space)?;
        let space = analysis.joined_space(&end.space)?;
        let frame = self.frames[index];
        let shape = analysis.shape(space);
        if let Some(on) = &end.on {
            let wall = self.first_wall[index] + space.wall(&on.wall)?;
            let (from_left_m, height_m) =
                (value(on.from_left.as_ref())?, value(on.height.as_ref())?);
            let mouth = Mouth::Wall {
                wall,
                from_left_m,
                height_m,
            };
            return Some((mouth, self.house.walls[wall].point(from_left_m, height_m)));
        }
        let (from, and, is_above) = match (&end.at, &end.hung) {
            (Some(at), _) => (&at.from, &at.and, false),
            (_, Some(hung)) => (&hung.from, &hung.and, true),
            _ => return None,
        };
        let plan = shape
            .corner_from(analysis, space, from, and, "pathway")
            .ok()?;
        let first = self.first_wall[index];
        let wall = self.house.walls.get(first)?;
        let void = match is_above {
            true => wall.above?,
            false => wall.below?,
        };
        let [x, y] = plan.value();
        let z = match is_above {
            true => shape.ceiling_at(&plan).ok()?.value(),
            false => 0.0,
        };
        let at = frame.point([x, y, z]);
        Some((Mouth::Void { void, at }, at))
    }
}

fn value(length: Option<&model::Length>) -> Option<f64> {
    length?.value()
}
