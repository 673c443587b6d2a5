//! The closed shape that the bass fills: a space, and those that archways join to it.

use std::collections::{BTreeMap, BTreeSet};

use analysis::{Analysis, Known, Means, Missing, fixture_label, item_label, opening_absorption};
use geometry::Surface;
use model::{FixtureKind, Opening, OpeningKind, Space, SpaceKind};
use waves::{Admittance, Face, Finish, Patch, Room};

use crate::faces::{self, Cut, Flat};
use crate::finish;
use crate::frame::{Frame, point};
use crate::furniture::Piece;

/// A surface of the shape, in words.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Surfaced {
    /// The space whose surface it is.
    pub space: String,
    /// `floor`, `ceiling`, or the name of a wall, door, window, archway or covering.
    pub name: String,
    /// Whether it is a part of another: a door, window, archway or covering.
    pub is_part: bool,
}

/// The air of a space with its surfaces, in the space's own coordinates, m.
#[derive(Clone, Debug)]
pub struct BassRoom {
    /// The closed shape.
    pub room: Room,
    /// Its faces.
    pub faces: Vec<Face>,
    /// How its surfaces give way, best estimate.
    pub finish: Finish,
    /// What each surface is: those of the faces, then coverings that have a place.
    pub surfaces: Vec<Surfaced>,
    /// Where the coverings lie.
    pub(crate) patches: Vec<Patch>,
    /// What stands in the air and is left out of the shape.
    pub(crate) furniture: Vec<Piece>,
    /// The spaces whose air it is: the one asked for, then those behind archways.
    pub spaces: Vec<String>,
    /// Doors that are shut, by id.
    pub doors: Vec<String>,
    /// What was assumed and what is left out, in sentences.
    pub assumed: Vec<String>,
}

/// Two sides of one archway.
struct Passage<'a> {
    near: &'a Space,
    opening: &'a Opening,
    far: &'a Space,
    far_opening: &'a Opening,
}

/// A wall's face in its own coordinates, and how to get back.
struct WallFace {
    left: [f64; 2],
    along: [f64; 2],
    flat: Flat,
}

/// An archway's part must be this close to its whole to be open on both sides.
const WHOLE_SHARE: f64 = 0.99;

/// The air of a space, archways to others included.
///
/// Furniture and people are left out. An archway, or a door that stands open, joins the air of two
/// spaces that are joined there; any other opens to a large space.
///
/// # Errors
///
/// What is missing for a closed shape; an outdoor area has none.
pub fn room(analysis: &Analysis, space: &Space) -> Known<BassRoom> {
    if space.kind == Some(SpaceKind::Outdoor) {
        return Err(Missing::new(
            format!("walls and a ceiling: {} is outdoors", space.label()),
            format!("space.{}", space.id),
            Means::OutsideModel,
        ));
    }
    Builder::new(analysis, space)?.build()
}

struct Builder<'a> {
    analysis: &'a Analysis,
    home: &'a Space,
    spaces: Vec<&'a Space>,
    passages: Vec<Passage<'a>>,
    surfaces: BTreeMap<Surfaced, usize>,
    admittances: Vec<Admittance>,
    faces: Vec<Face>,
    assumed: Vec<String>,
    /// Coverings whose place nobody noted.
    loose: Vec<String>,
}

impl<'a> Builder<'a> {
    fn new(analysis: &'a Analysis, home: &'a Space) -> Known<Self> {
        let mut builder = Self {
            analysis,
            home,
            spaces: vec![home],
            passages: Vec::new(),
            surfaces: BTreeMap::new(),
            admittances: Vec::new(),
            faces: Vec::new(),
            assumed: Vec::new(),
            loose: Vec::new(),
        };
        let all = joins(analysis);
        let mut at = 0;
        while at < builder.spaces.len() {
            let here = builder.spaces[at];
            at += 1;
            for [one, other] in &all {
                let pair = [(one, other), (other, one)];
                let Some((near, far)) = pair.into_iter().find(|(near, _)| near.0.id == here.id)
                else {
                    continue;
                };
                if builder.spaces.iter().any(|known| known.id == far.0.id) {
                    continue;
                }
                // A neighbour that can't be closed or placed is air all the same, only unknown.
                let closes = analysis.shape(far.0).solid().map(|_| ());
                if let Err(missing) =
                    closes.and_then(|()| Frame::of(analysis, far.0, home).map(|_| ()))
                {
                    builder.assumed.push(format!(
                        "{} is taken as a large space behind its opening: {} is not known",
                        far.0.label(),
                        missing.what
                    ));
                    continue;
                }
                builder.spaces.push(far.0);
                builder.passages.push(Passage {
                    near: near.0,
                    opening: near.1,
                    far: far.0,
                    far_opening: far.1,
                });
            }
        }
        Ok(builder)
    }

    fn build(mut self) -> Known<BassRoom> {
        let mut walls: BTreeMap<(String, usize), WallFace> = BTreeMap::new();
        for space in self.spaces.clone() {
            self.plain_faces(space, &mut walls)?;
        }
        let mut open: BTreeSet<(String, String)> = BTreeSet::new();
        for passage in std::mem::take(&mut self.passages) {
            if self.pass(&passage, &mut walls)? {
                open.insert((passage.near.id.clone(), passage.opening.id.clone()));
                open.insert((passage.far.id.clone(), passage.far_opening.id.clone()));
            } else {
                self.assumed.push(format!(
                    "{} does not lie within both of its walls: its two rooms are taken as large spaces to each other",
                    passage.opening.id.replace('-', " ")
                ));
                return self.alone();
            }
        }
        for space in self.spaces.clone() {
            for opening in &space.opening {
                if !open.contains(&(space.id.clone(), opening.id.clone())) {
                    self.filled(space, opening, &mut walls)?;
                }
            }
        }
        for ((space, wall), face) in walls {
            let space = self.space(&space);
            let name = space.walls[wall].id.clone();
            let surface = self.surface(space, &name, None)?;
            self.wall_pieces(space, surface, &face)?;
        }
        self.finish()
    }

    /// The space by itself, its archways opening to large spaces.
    fn alone(self) -> Known<BassRoom> {
        let assumed = self.assumed;
        let mut alone = Self {
            spaces: vec![self.home],
            passages: Vec::new(),
            surfaces: BTreeMap::new(),
            admittances: Vec::new(),
            faces: Vec::new(),
            assumed: Vec::new(),
            loose: Vec::new(),
            ..self
        }
        .build()?;
        alone.assumed.extend(assumed);
        Ok(alone)
    }

    fn space(&self, id: &str) -> &'a Space {
        let found = self.spaces.iter().find(|space| space.id == id);
        found.expect("walls are those of the spaces")
    }

    /// Floor, ceiling and soffits as they are; walls aside, in their own coordinates.
    fn plain_faces(
        &mut self,
        space: &'a Space,
        walls: &mut BTreeMap<(String, usize), WallFace>,
    ) -> Known<()> {
        let frame = Frame::of(self.analysis, space, self.home)?;
        let solid = self.analysis.shape(space).solid()?;
        for face in solid.faces() {
            let ring = |ring: &Vec<usize>| -> Vec<[f64; 3]> {
                let corner = |index: &usize| {
                    let at = solid.vertices()[*index];
                    [at.x, at.y, at.z]
                };
                ring.iter().map(corner).collect()
            };
            let rings: Vec<Vec<[f64; 3]>> = face.loops.iter().map(ring).collect();
            let name = match face.surface {
                Surface::Floor => "floor",
                Surface::Ceiling(_) | Surface::Box(..) => "ceiling",
                Surface::Wall(wall) => {
                    let (left, along, _) = self.analysis.shape(space).wall_frame(wall)?;
                    let (left, along) = (left.value(), along.value());
                    let flat = faces::flat(
                        rings
                            .iter()
                            .map(|ring| {
                                let place = |[x, y, z]: &[f64; 3]| {
                                    [(x - left[0]) * along[0] + (y - left[1]) * along[1], *z]
                                };
                                ring.iter().map(place).collect()
                            })
                            .collect(),
                    );
                    // A wall that a soffit divides has more than one face.
                    match walls.get_mut(&(space.id.clone(), wall)) {
                        Some(face) => face.flat.0.extend(flat.0),
                        None => {
                            let key = (space.id.clone(), wall);
                            walls.insert(key, WallFace { left, along, flat });
                        }
                    }
                    continue;
                }
            };
            let surface = self.surface(space, name, None)?;
            let mut rings = rings
                .into_iter()
                .map(|ring| ring.into_iter().map(|point| frame.out(point)).collect());
            let outline = rings.next().unwrap_or_default();
            self.faces.push(Face {
                outline,
                holes: rings.collect(),
                surface,
            });
        }
        Ok(())
    }

    /// Opens an archway between two spaces: cuts both walls and puts the reveals in.
    /// Tells whether it lies within both.
    fn pass(
        &mut self,
        passage: &Passage<'a>,
        walls: &mut BTreeMap<(String, usize), WallFace>,
    ) -> Known<bool> {
        let (near_wall, near_cut) = self.rect(passage.near, passage.opening)?;
        let far_wall = self
            .analysis
            .opening_rect(passage.far, passage.far_opening)?
            .wall;
        let near_frame = Frame::of(self.analysis, passage.near, self.home)?;
        let far_frame = Frame::of(self.analysis, passage.far, self.home)?;
        let near_key = (passage.near.id.clone(), near_wall);
        let far_key = (passage.far.id.clone(), far_wall);
        let (Some(near), Some(far)) = (walls.get(&near_key), walls.get(&far_key)) else {
            return Ok(false);
        };
        // The same rectangle on the far wall, whose left is the near wall's right.
        let across = near_cut.corners().map(|at| near_frame.out(near.place(at)));
        let on_far = across.map(|at| far.seen(far_frame.back(at)));
        let far_cut = Cut {
            left: on_far[1][0].min(on_far[0][0]),
            right: on_far[1][0].max(on_far[0][0]),
            bottom: on_far[0][1],
            top: on_far[2][1],
        };
        let (near_rest, near_part) = faces::cut(&near.flat, &near_cut);
        let (far_rest, far_part) = faces::cut(&far.flat, &far_cut);
        let whole = WHOLE_SHARE * near_cut.area_m2();
        if faces::area_m2(&near_part) < whole || faces::area_m2(&far_part) < whole {
            return Ok(false);
        }
        let behind = far_cut.corners().map(|at| far_frame.out(far.place(at)));
        // The far rectangle's lower left is the near one's lower right.
        let behind = [behind[1], behind[0], behind[3], behind[2]];
        for (key, rest) in [(near_key, near_rest), (far_key, far_rest)] {
            if let Some(face) = walls.get_mut(&key) {
                face.flat = rest;
            }
        }
        let name = passage.near.walls[near_wall].id.clone();
        let surface = self.surface(passage.near, &name, None)?;
        self.faces.extend(reveals(across, behind, surface));
        Ok(true)
    }

    /// A door, window or archway that leads out of the survey, as a face of its own.
    fn filled(
        &mut self,
        space: &'a Space,
        opening: &'a Opening,
        walls: &mut BTreeMap<(String, usize), WallFace>,
    ) -> Known<()> {
        let (wall, cut) = match self.rect(space, opening) {
            Ok(rect) => rect,
            Err(missing) => {
                self.assumed
                    .push(format!("{} is not known: left out", missing.what));
                return Ok(());
            }
        };
        let admittance = match opening.kind {
            _ if is_open(opening) => Admittance::Opening {
                area_m2: cut.area_m2(),
            },
            _ => match opening_absorption(space, opening)? {
                Some(absorption) => finish::of_absorption(absorption),
                None => return Ok(()),
            },
        };
        let Some(face) = walls.get_mut(&(space.id.clone(), wall)) else {
            return Ok(());
        };
        let (rest, part) = faces::cut(&face.flat, &cut);
        face.flat = rest;
        let filled = WallFace {
            left: face.left,
            along: face.along,
            flat: part,
        };
        let surface = self.surface(space, &opening.id, Some(admittance))?;
        self.wall_pieces(space, surface, &filled)
    }

    fn wall_pieces(&mut self, space: &'a Space, surface: usize, wall: &WallFace) -> Known<()> {
        let frame = Frame::of(self.analysis, space, self.home)?;
        for piece in faces::pieces(&wall.flat) {
            // Along the wall and up is anticlockwise seen from inside: turned round, since
            // faces are listed as seen from outside.
            let mut rings = piece.into_iter().map(|ring| {
                let ring = ring.into_iter().rev();
                ring.map(|at| frame.out(wall.place(at))).collect()
            });
            let outline = rings.next().unwrap_or_default();
            self.faces.push(Face {
                outline,
                holes: rings.collect(),
                surface,
            });
        }
        Ok(())
    }

    /// The number of a surface; that of floor, ceiling or wall is worked out when it is first
    /// named, and an opening brings its own.
    fn surface(&mut self, space: &'a Space, name: &str, own: Option<Admittance>) -> Known<usize> {
        let key = Surfaced {
            space: space.id.clone(),
            name: name.to_owned(),
            is_part: own.is_some(),
        };
        if let Some(&number) = self.surfaces.get(&key) {
            return Ok(number);
        }
        let admittance = match own {
            Some(own) => own,
            None => {
                let area_m2 = self.area_m2(space, name)?;
                {
                    let said = [&mut self.assumed, &mut self.loose];
                    finish::of_surface(self.analysis, space, name, area_m2, said)
                }
            }
        };
        let number = self.admittances.len();
        self.admittances.push(admittance);
        self.surfaces.insert(key, number);
        Ok(number)
    }

    fn area_m2(&self, space: &Space, name: &str) -> Known<f64> {
        let areas = self.analysis.shape(space).areas()?;
        let here = areas.iter().filter(|(surface, _)| match surface {
            Surface::Floor => name == "floor",
            Surface::Ceiling(_) | Surface::Box(..) => name == "ceiling",
            Surface::Wall(wall) => space.walls[*wall].id == name,
        });
        Ok(here.map(|(_, area)| area.value()).sum())
    }

    fn rect(&self, space: &Space, opening: &Opening) -> Known<(usize, Cut)> {
        let rect = self.analysis.opening_rect(space, opening)?;
        let cut = Cut {
            left: rect.left.value(),
            right: rect.right.value(),
            bottom: rect.bottom.value(),
            top: rect.top.value(),
        };
        Ok((rect.wall, cut))
    }

    /// What stands in the air, as boxes; and the names of what nobody measured.
    fn furniture(&self) -> (Vec<Piece>, Vec<String>) {
        let (mut pieces, mut unmeasured) = (Vec::new(), Vec::new());
        for space in &self.spaces {
            let soft = space.coverings();
            let soft = soft.filter(|covering| covering.over.is_none());
            unmeasured.extend(soft.map(|covering| covering.id.replace('-', " ")));
            let hard = space.fixture.iter();
            let hard = hard.filter(|fixture| fixture.kind == FixtureKind::Furniture);
            let hard = hard.map(|one| (fixture_label(one), self.analysis.fixture_body(space, one)));
            let cupboards = self.analysis.cupboards_in(space);
            let cupboards = cupboards.map(|(item, _)| {
                let body = self.analysis.item_body(space, item);
                (item_label(item).to_owned(), body)
            });
            let frame = Frame::of(self.analysis, space, self.home);
            for (name, body) in hard.chain(cupboards) {
                match (body, &frame) {
                    (Ok(body), Ok(frame)) => pieces.push(Piece::new(name, &body, frame)),
                    _ => unmeasured.push(name),
                }
            }
        }
        (pieces, unmeasured)
    }

    /// The doors that are shut; says of all how they are taken.
    fn doors(&mut self) -> Vec<String> {
        let all = || {
            let openings = self.spaces.iter().flat_map(|space| &space.opening);
            openings.filter(|opening| opening.kind == OpeningKind::Door)
        };
        let names = |is: bool| -> Vec<String> {
            let some = all().filter(|opening| is_open(opening) == is);
            some.map(|opening| opening.id.clone()).collect()
        };
        let (open, shut) = (names(true), names(false));
        for (what, doors) in [("open as the survey says", &open), ("shut", &shut)] {
            if !doors.is_empty() {
                let told = doors.join(", ").replace('-', " ");
                self.assumed.push(format!("{what}: {told}"));
            }
        }
        shut
    }

    /// Coverings that have a place, as surfaces of their own.
    fn patches(&mut self) -> Known<Vec<Patch>> {
        let mut patches = Vec::new();
        for space in self.spaces.clone() {
            let frame = Frame::of(self.analysis, space, self.home)?;
            for covering in space.coverings() {
                let Some((corners, admittance)) = finish::placed(self.analysis, space, covering)
                else {
                    continue;
                };
                let named = |name: &str, is_part: bool| Surfaced {
                    space: space.id.clone(),
                    name: name.to_owned(),
                    is_part,
                };
                let over = covering.over.as_deref().unwrap_or_default();
                let Some(&surface) = self.surfaces.get(&named(over, false)) else {
                    continue;
                };
                let corners = corners.map(|corner| frame.out(corner));
                let mut points = points_in(corners);
                if over == "ceiling" {
                    self.lift(surface, &mut points);
                }
                let points = points.into_iter();
                let points = points.map(|(at, area_m2)| (point(at), area_m2)).collect();
                patches.push(Patch { surface, points });
                self.surfaces
                    .insert(named(&covering.id, true), self.admittances.len());
                self.admittances.push(admittance);
            }
        }
        Ok(patches)
    }

    /// Puts points in plan under the lowest face of a surface over them.
    fn lift(&self, surface: usize, points: &mut [([f64; 3], f64)]) {
        let faces = self.faces.iter().filter(|face| face.surface == surface);
        let planes: Vec<([f64; 3], [f64; 3])> = faces
            .filter_map(|face| Some((*face.outline.first()?, normal(&face.outline))))
            .filter(|(_, across)| across[2].abs() > 1e-6)
            .collect();
        for (at, _) in points {
            let heights = planes.iter().map(|(on, across)| {
                let off = [at[0] - on[0], at[1] - on[1]];
                on[2] - (across[0] * off[0] + across[1] * off[1]) / across[2]
            });
            at[2] = heights.reduce(f64::min).unwrap_or(at[2]);
        }
    }

    fn finish(mut self) -> Known<BassRoom> {
        let room = Room::new(&self.faces).map_err(|error| {
            Missing::new(
                format!(
                    "a closed shape of {} for the wave equation: {error}",
                    self.home.label()
                ),
                format!("space.{}", self.home.id),
                Means::Tape,
            )
        })?;
        let (furniture, unmeasured) = self.furniture();
        if !unmeasured.is_empty() {
            self.assumed.push(format!(
                "{} left out: furniture does little below 100 Hz (common practice, no source)",
                unmeasured.join(", ")
            ));
        }
        if !self.loose.is_empty() {
            self.assumed.push(format!(
                "spread evenly over its surface, since its place is not in the survey: {}",
                self.loose.join(", ")
            ));
        }
        let doors = self.doors();
        let patches = self.patches()?;
        let mut surfaces: Vec<(Surfaced, usize)> = self.surfaces.into_iter().collect();
        surfaces.sort_by_key(|(_, number)| *number);
        Ok(BassRoom {
            room,
            faces: self.faces,
            finish: Finish::new(self.admittances),
            surfaces: surfaces.into_iter().map(|(surface, _)| surface).collect(),
            patches,
            furniture,
            spaces: self.spaces.iter().map(|space| space.id.clone()).collect(),
            doors,
            assumed: self.assumed,
        })
    }
}

impl WallFace {
    /// A place along the wall and up, in its space.
    fn place(&self, [along, up]: [f64; 2]) -> [f64; 3] {
        [
            self.left[0] + self.along[0] * along,
            self.left[1] + self.along[1] * along,
            up,
        ]
    }

    /// A point of the space, along the wall and up.
    fn seen(&self, [x, y, z]: [f64; 3]) -> [f64; 2] {
        [
            (x - self.left[0]) * self.along[0] + (y - self.left[1]) * self.along[1],
            z,
        ]
    }
}

/// Whether sound goes through an opening as through none.
fn is_open(opening: &Opening) -> bool {
    match opening.kind {
        OpeningKind::Archway => true,
        OpeningKind::Door => opening.stands_open == Some(true),
        OpeningKind::Window | OpeningKind::Recess => false,
    }
}

/// Sides of a rectangle are cut into pieces of at most this, m: an eighth of a wave at 140 Hz.
const PIECE_M: f64 = 0.3;

/// Points, m, each with its share of an area, m².
pub(crate) type Points = Vec<([f64; 3], f64)>;

/// Points of Gauss's rule for two in each piece of a rectangle, with their shares of its area, m².
pub(crate) fn points_in(corners: [[f64; 3]; 4]) -> Points {
    let side = |to: [f64; 3]| [0, 1, 2].map(|axis| to[axis] - corners[0][axis]);
    let (across, up) = (side(corners[1]), side(corners[3]));
    let length = |side: [f64; 3]| side.iter().map(|part| part * part).sum::<f64>().sqrt();
    let pieces = |side: [f64; 3]| (length(side) / PIECE_M).ceil().max(1.0);
    let shares = |count: f64| -> Vec<f64> {
        let off = 0.5 / 3_f64.sqrt();
        (0..count as usize)
            .flat_map(|piece| [0.5 - off, 0.5 + off].map(|at| (piece as f64 + at) / count))
            .collect()
    };
    let (along, upright) = (shares(pieces(across)), shares(pieces(up)));
    let share_m2 =
        length(across) * length(up) / (along.len() as f64 * upright.len() as f64).max(1.0);
    let point =
        |u: f64, v: f64| [0, 1, 2].map(|axis| corners[0][axis] + u * across[axis] + v * up[axis]);
    along
        .iter()
        .flat_map(|u| upright.iter().map(move |v| (point(*u, *v), share_m2)))
        .collect()
}

/// Square to a flat ring, as long as twice its area.
pub(crate) fn normal(ring: &[[f64; 3]]) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for (at, a) in ring.iter().enumerate() {
        let b = ring[(at + 1) % ring.len()];
        sum[0] += a[1] * b[2] - a[2] * b[1];
        sum[1] += a[2] * b[0] - a[0] * b[2];
        sum[2] += a[0] * b[1] - a[1] * b[0];
    }
    sum
}

/// The four sides of a passage between two rectangles, seen from outside the air.
fn reveals(near: [[f64; 3]; 4], far: [[f64; 3]; 4], surface: usize) -> Vec<Face> {
    let middle = |points: &[[f64; 3]]| {
        [0, 1, 2]
            .map(|axis| points.iter().map(|point| point[axis]).sum::<f64>() / points.len() as f64)
    };
    let within: Vec<[f64; 3]> = near.iter().chain(&far).copied().collect();
    let centre = middle(&within);
    (0..4)
        .filter_map(|at| {
            let next = (at + 1) % 4;
            let mut outline = vec![near[at], near[next], far[next], far[at]];
            let [ax, ay, az] = [0, 1, 2].map(|axis| outline[1][axis] - outline[0][axis]);
            let [bx, by, bz] = [0, 1, 2].map(|axis| outline[3][axis] - outline[0][axis]);
            let normal = [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx];
            let size = normal.iter().map(|part| part * part).sum::<f64>().sqrt();
            if size < 1e-6 {
                return None;
            }
            let out = middle(&outline);
            let outwards: f64 = [0, 1, 2]
                .iter()
                .map(|&axis| normal[axis] * (out[axis] - centre[axis]))
                .sum();
            if outwards < 0.0 {
                outline.reverse();
            }
            Some(Face {
                outline,
                holes: Vec::new(),
                surface,
            })
        })
        .collect()
}

/// Archways and open doors that two spaces share, each with its opening in both.
fn joins(analysis: &Analysis) -> Vec<[(&Space, &Opening); 2]> {
    let spaces = (0..analysis.space_count()).map(|at| analysis.space_number(at));
    spaces
        .filter_map(|space| {
            let joined = space.joined.as_ref()?;
            let (other, theirs) = joined.to.split_once('.')?;
            let other = analysis.space(other)?;
            let opening = |space: &'_ Space, id: &str| {
                space.opening.iter().position(|opening| opening.id == id)
            };
            let mine = &space.opening[opening(space, &joined.opening)?];
            let theirs = &other.opening[opening(other, theirs)?];
            // A door has one leaf, noted on either side of its wall.
            let is_open = match (mine.kind, theirs.kind) {
                (OpeningKind::Door, OpeningKind::Door) => is_open(mine) || is_open(theirs),
                _ => is_open(mine) && is_open(theirs),
            };
            let indoors = [space, other]
                .iter()
                .all(|one| one.kind != Some(SpaceKind::Outdoor));
            (is_open && indoors).then_some([(space, mine), (other, theirs)])
        })
        .collect()
}
