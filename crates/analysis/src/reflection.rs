//! Reflections of each loudspeaker at each seat: surface, point, delay, level.

use std::rc::Rc;

use acoustics::air::SPEED_AT_20_C;
use acoustics::direction::Point;
use acoustics::directivity::{Aim, Directivity};
use acoustics::enclosure::{Enclosure, Facet};
use acoustics::images::{Images, ReflectedPath, first_leg};
use acoustics::octave::OctaveBand;
use geometry::{Point3, Surface};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Space};
use uncertainty::{Uncertain, Vector3};
use units::{Metres, Seconds};

use crate::aim::taken_as;
use crate::{Analysis, Known, Lining, Linings, Means, Missing, Parts};

/// A room's faces, and what each is part of.
#[derive(Debug)]
pub struct RoomFaces {
    /// The faces.
    pub enclosure: Enclosure,
    /// What each face of the enclosure is part of.
    pub surfaces: Vec<Surface>,
}

/// A loudspeaker's sound on a way by walls, best estimates.
#[derive(Clone, Debug)]
pub struct Reflection {
    /// The surfaces that it meets, in their order.
    pub surfaces: Vec<Surface>,
    /// Where it meets them, m.
    pub points: Vec<[f64; 3]>,
    /// How long after the sound that goes straight.
    pub delay: Seconds,
    /// Its strongest octave from 1 to 4 kHz.
    pub band: OctaveBand,
    /// The level re the sound that goes straight, in that octave, dB.
    pub level_db: f64,
    path: ReflectedPath,
}

/// A loudspeaker for whom reflections are asked.
pub struct Sounding<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its spec sheet.
    pub kit: &'a LoudspeakerKit,
    /// Where it sounds from.
    pub at: Vector3,
    /// Which way it looks.
    pub aim: Aim,
    spread: Rc<Spread>,
}

/// How a loudspeaker spreads its sound.
#[derive(Debug)]
struct Spread {
    directivity: Rc<Directivity>,
    /// The coverage that stands in where nothing is known of it.
    usual: Option<Uncertain>,
    /// Its directivity factor on its axis by octave.
    factors: [f64; 7],
}

/// The octaves in which early reflections are judged: above, finishes are not known.
const BANDS: [OctaveBand; 3] = [OctaveBand::Hz1000, OctaveBand::Hz2000, OctaveBand::Hz4000];

/// Of what a surface absorbs, this much is believed at most: nothing sends back nothing.
pub(crate) const ALPHA_MOST: f64 = 0.97;

impl Sounding<'_> {
    /// What it sends towards a path's first point, re what it sends to the ear, dB.
    fn off_axis(
        &self,
        directivity: &Directivity,
        ear: [f64; 3],
        path: &ReflectedPath,
        band: OctaveBand,
    ) -> f64 {
        self.level_to_wall(directivity, path, band) - self.level_to_ear(directivity, ear, band)
    }

    fn level_to_wall(
        &self,
        directivity: &Directivity,
        path: &ReflectedPath,
        band: OctaveBand,
    ) -> f64 {
        let to_wall = first_leg(self.at.value().map(Metres), path);
        self.level_of(directivity, to_wall, band)
    }

    fn level_to_ear(&self, directivity: &Directivity, ear: [f64; 3], band: OctaveBand) -> f64 {
        let at = self.at.value();
        let to_ear = [0, 1, 2].map(|i| ear[i] - at[i]);
        self.level_of(directivity, to_ear, band)
    }

    /// A number of each octave, worked out once where it sends the same in all of them.
    fn in_octaves<T: Clone>(
        &self,
        bands: impl IntoIterator<Item = OctaveBand>,
        of: impl Fn(OctaveBand) -> T,
    ) -> impl Iterator<Item = T> {
        let is_alike = self.spread.directivity.is_alike_in_octaves();
        let mut last: Option<T> = None;
        bands.into_iter().map(move |band| {
            let known = last.take().filter(|_| is_alike);
            let now = known.unwrap_or_else(|| of(band));
            last = is_alike.then(|| now.clone());
            now
        })
    }

    /// The level that it sends in a direction, re its axis, dB.
    pub fn level_towards(&self, point: [f64; 3], band: OctaveBand) -> f64 {
        let at = self.at.value();
        self.level_along([0, 1, 2].map(|i| point[i] - at[i]), band)
    }

    /// As [`Sounding::level_towards`], along a way from it.
    pub fn level_along(&self, way: [f64; 3], band: OctaveBand) -> f64 {
        self.level_of(&self.spread.directivity, way, band)
    }

    /// The energy that goes straight to the end of a way from it, re that 1 m before it on its
    /// axis: what its directivity leaves that way, and the square of the distance.
    pub fn direct_along(&self, way: [f64; 3], band: OctaveBand) -> f64 {
        self.direct_of(&self.spread.directivity, way, band)
    }

    /// As [`Sounding::direct_along`], to a point.
    pub fn direct_towards(&self, point: [f64; 3], band: OctaveBand) -> f64 {
        let at = self.at.value();
        self.direct_along([0, 1, 2].map(|i| point[i] - at[i]), band)
    }

    /// As [`Sounding::direct_towards`], with what is left open of both places, and of a coverage
    /// that no sheet states.
    pub fn direct_to(&self, point: &Vector3, band: OctaveBand) -> Uncertain {
        self.told_to(point, |directivity, way| {
            self.direct_of(directivity, way, band)
        })
    }

    /// As [`Sounding::direct_towards`], in each of several octaves.
    pub fn directs_towards(
        &self,
        point: [f64; 3],
        bands: impl IntoIterator<Item = OctaveBand>,
    ) -> impl Iterator<Item = f64> {
        self.in_octaves(bands, move |band| self.direct_towards(point, band))
    }

    /// As [`Sounding::direct_to`], in each of several octaves.
    pub fn directs_to(
        &self,
        point: &Vector3,
        bands: impl IntoIterator<Item = OctaveBand>,
    ) -> impl Iterator<Item = Uncertain> {
        self.in_octaves(bands, move |band| self.direct_to(point, band))
    }

    /// As [`Sounding::level_towards`], with what is left open of both places, and of a coverage
    /// that no sheet states.
    pub fn level_to(&self, point: &Vector3, band: OctaveBand) -> Uncertain {
        self.told_to(point, |directivity, way| {
            self.level_of(directivity, way, band)
        })
    }

    fn told_to(&self, point: &Vector3, told: impl Fn(&Directivity, [f64; 3]) -> f64) -> Uncertain {
        let Vector3 { x, y, z } = point - &self.at;
        match &self.spread.usual {
            None => uncertainty::through([&x, &y, &z], |way| told(&self.spread.directivity, way)),
            Some(coverage) => {
                uncertainty::through([&x, &y, &z, coverage], |[x, y, z, coverage]| {
                    told(&taken_as(self.kit, coverage), [x, y, z])
                })
            }
        }
    }

    /// All numbers that what it sends along a way rests on, and the coverage that stands in where
    /// nothing is known of it; nothing where it was measured, which takes too many.
    pub fn numbers(&self) -> Option<([f64; 9], Option<&Uncertain>)> {
        let [[a, b, c], [d, e, f]] = [self.aim.axis(), self.aim.right()];
        let [g, h, i] = self.spread.directivity.numbers()?;
        Some(([a, b, c, d, e, f, g, h, i], self.spread.usual.as_ref()))
    }

    /// A number told from its place and from the energies that go straight along ways from it,
    /// as [`Sounding::direct_along`], with what is left open of its place and of a coverage that no
    /// sheet states.
    pub fn told_from_place(
        &self,
        band: OctaveBand,
        told: impl Fn([f64; 3], &dyn Fn([f64; 3]) -> f64) -> f64,
    ) -> Uncertain {
        let Vector3 { x, y, z } = &self.at;
        let of = |directivity: &Directivity, at: [f64; 3]| {
            let direct = |way| self.direct_of(directivity, way, band);
            told(at, &direct)
        };
        match &self.spread.usual {
            None => uncertainty::through([x, y, z], |at| of(&self.spread.directivity, at)),
            Some(coverage) => uncertainty::through([x, y, z, coverage], |[x, y, z, coverage]| {
                of(&taken_as(self.kit, coverage), [x, y, z])
            }),
        }
    }

    fn level_of(&self, directivity: &Directivity, way: [f64; 3], band: OctaveBand) -> f64 {
        let level = directivity.level(&self.aim, way, band.exact(), SPEED_AT_20_C);
        level.0
    }

    fn direct_of(&self, directivity: &Directivity, way: [f64; 3], band: OctaveBand) -> f64 {
        // Nearer than a centimetre nobody listens.
        let squared: f64 = way.iter().map(|part| part * part).sum();
        10_f64.powf(self.level_of(directivity, way, band) / 10.0) / squared.max(1e-4)
    }

    /// Its directivity factor on its axis, of two sides in the loudest direction.
    pub fn directivity_factor(&self, band: OctaveBand) -> f64 {
        self.spread.factors[band.index()]
    }

    /// As it would be with its drivers turned.
    pub fn aimed(&self, aim: Aim) -> Self {
        Self {
            aim,
            at: self.at.clone(),
            spread: Rc::clone(&self.spread),
            ..*self
        }
    }
}

impl Analysis {
    /// The faces of a room as its solid has them.
    pub fn faces(&self, space: &Space) -> Known<Rc<RoomFaces>> {
        self.kept_of_space("faces", space, Parts::NONE, |space| {
            self.faces_anew(space).map(Rc::new)
        })
    }

    fn faces_anew(&self, space: &Space) -> Known<RoomFaces> {
        let solid = self.shape(space).solid()?;
        let corner = |index: &usize| {
            let Point3 { x, y, z } = solid.vertices()[*index];
            [x, y, z].map(Metres)
        };
        let facets: Vec<Facet> = (solid.faces().iter())
            .map(|face| {
                let mut loops = face
                    .loops
                    .iter()
                    .map(|one| one.iter().map(corner).collect());
                Facet {
                    outline: loops.next().unwrap_or_default(),
                    holes: loops.collect(),
                }
            })
            .collect();
        let enclosure = Enclosure::new(&facets).map_err(|error| {
            Missing::new(
                format!(
                    "a shape of {} for sound to go round in: {error}",
                    space.label()
                ),
                format!("space.{}", space.id),
                Means::Tape,
            )
        })?;
        Ok(RoomFaces {
            enclosure,
            surfaces: solid.faces().iter().map(|face| face.surface).collect(),
        })
    }

    /// A loudspeaker as it sounds: its place, its aim, its directivity. One that stands free
    /// is taken as turned to `towards`.
    pub fn sounding<'a>(
        &'a self,
        space: &Space,
        item: &'a Item,
        kit: &'a LoudspeakerKit,
        towards: [f64; 3],
    ) -> Known<Sounding<'a>> {
        let at = self.loudspeaker(item, kit)?.at;
        let aim = self.aim(space, item, kit, at.value(), towards)?;
        let spread = self.kept_of_item("spread of sound", item, || {
            // Noted: the answer rests on the entry.
            let _ = self.kit_of(item);
            self.spread(kit).map(Rc::new)
        });
        Ok(Sounding {
            item,
            kit,
            at,
            aim,
            spread: spread?,
        })
    }

    fn spread(&self, kit: &LoudspeakerKit) -> Known<Spread> {
        let (directivity, is_known) = self.directivity_or_usual(kit)?;
        let flush = matches!(
            kit.form,
            Some(LoudspeakerForm::InWall | LoudspeakerForm::InCeiling)
        );
        Ok(Spread {
            factors: OctaveBand::ALL.map(|band| self.factor(&directivity, flush, band)),
            usual: (!is_known).then(|| self.usual_coverage(kit)),
            directivity,
        })
    }

    /// The directivity factor on its axis of a loudspeaker that is flush in a surface or not:
    /// summed over all directions, and the same however often such a one is moved.
    fn factor(&self, directivity: &Directivity, flush: bool, band: OctaveBand) -> f64 {
        let factor = || directivity.factor(flush, band.exact(), SPEED_AT_20_C);
        match directivity.numbers() {
            Some([a, b, c]) => {
                let inputs = [a, b, c, f64::from(u8::from(flush)), band.exact().0];
                self.remembered_value("directivity factor", &inputs, factor)
            }
            None => factor(),
        }
    }

    /// Every reflection up to an order that reaches an ear within a time after the direct
    /// sound, the earliest first. Empty where the room's faces hide the loudspeaker.
    pub fn reflections(
        &self,
        space: &Space,
        source: &Sounding<'_>,
        ear: &Vector3,
        order: usize,
        within: Seconds,
    ) -> Known<Vec<Reflection>> {
        let ears = std::slice::from_ref(ear);
        let mut found = self.reflections_at_each(space, source, ears, order, within)?;
        Ok(found.pop().expect("one list for the one ear"))
    }

    /// The same for each of several ears.
    pub fn reflections_at_each(
        &self,
        space: &Space,
        source: &Sounding<'_>,
        ears: &[Vector3],
        order: usize,
        within: Seconds,
    ) -> Known<Vec<Vec<Reflection>>> {
        let faces = self.faces(space)?;
        let inside = self.off_the_wall(&faces, source.at.value()).ok_or_else(|| {
            let label = crate::item_label(source.item);
            Missing::new(
                format!(
                    "a place of {label} in the air of {}: it is inside a wall or outside the room",
                    space.label()
                ),
                format!("item.{}", source.item.id),
                Means::Decide,
            )
        })?;
        let images = Images::new(&faces.enclosure, inside.map(Metres), order);
        let places: Vec<Point> = ears.iter().map(|ear| ear.value().map(Metres)).collect();
        let paths = images.paths_to_each(&places, within, SPEED_AT_20_C);
        if paths.iter().all(|paths| paths.is_empty()) {
            return Ok(vec![Vec::new(); ears.len()]);
        }
        let linings = self.linings(space)?;
        (ears.iter().zip(&paths))
            .map(|(ear, paths)| {
                let to_ear =
                    |band| source.level_to_ear(&source.spread.directivity, ear.value(), band);
                let to_ear: Vec<f64> = source.in_octaves(BANDS, to_ear).collect();
                let told = |path| {
                    let lined = (&*faces, &*linings);
                    self.reflection(space, lined, source, &to_ear, path)
                };
                paths.iter().map(told).collect()
            })
            .collect()
    }

    /// A flush loudspeaker lies in the face itself, which then mirrors it onto itself: its
    /// own wall is part of how it radiates. Anything else has to be in the room.
    fn off_the_wall(&self, faces: &RoomFaces, at: [f64; 3]) -> Option<[f64; 3]> {
        const FLUSH_M: f64 = 5e-3;
        let room = &faces.enclosure;
        let mut inside = at;
        for face in 0..room.face_count() {
            let height = room.height(face, at.map(Metres)).0;
            if height.abs() <= FLUSH_M {
                let normal = room.normal(face);
                // A hair before the face, so that it neither blocks nor mirrors.
                inside = [0, 1, 2].map(|i| inside[i] - (height - 1e-7) * normal[i]);
            }
        }
        room.contains(inside.map(Metres)).then_some(inside)
    }

    /// `to_ear`: the level that goes straight, re its axis, in each of [`BANDS`], dB.
    fn reflection(
        &self,
        space: &Space,
        (faces, linings): (&RoomFaces, &Linings),
        source: &Sounding<'_>,
        to_ear: &[f64],
        path: &ReflectedPath,
    ) -> Known<Reflection> {
        let surfaces: Vec<Surface> = (path.faces().iter())
            .map(|face| faces.surfaces[*face])
            .collect();
        let points: Vec<[f64; 3]> = (path.points().iter())
            .map(|point| point.map(|part| part.0))
            .collect();
        let absorption = (surfaces.iter().zip(&points))
            .map(|(surface, point)| self.absorption_in(linings, space, *surface, *point))
            .collect::<Known<Vec<_>>>()?;
        let spreading = path.spreading().0;
        let to_wall = |band| source.level_to_wall(&source.spread.directivity, path, band);
        let to_wall = source.in_octaves(BANDS, to_wall);
        let level = |((band, to_wall), to_ear): ((OctaveBand, f64), &f64)| {
            let kept: f64 = (absorption.iter())
                .map(|alpha| 1.0 - alpha[band.index()].unwrap_or(0.0).clamp(0.0, ALPHA_MOST))
                .product();
            let off_axis = to_wall - to_ear;
            (band, spreading + 10.0 * kept.log10() + off_axis)
        };
        let (band, level_db) = (BANDS.into_iter().zip(to_wall).zip(to_ear).map(level))
            .max_by(|one, other| one.1.total_cmp(&other.1))
            .expect("three octaves");
        Ok(Reflection {
            surfaces,
            points,
            delay: path.delay,
            band,
            level_db,
            path: *path,
        })
    }

    /// A reflection's level re the direct sound, with all that is left open of it, dB; and what
    /// it is sent back by at each point.
    pub fn reflection_level(
        &self,
        space: &Space,
        source: &Sounding<'_>,
        ear: &Vector3,
        reflection: &Reflection,
    ) -> Known<(Uncertain, Vec<Lining>)> {
        let faces = self.faces(space)?;
        let Reflection {
            surfaces,
            points,
            band,
            path,
            ..
        } = reflection;
        let linings = (surfaces.iter().zip(points))
            .map(|(surface, point)| self.lining_at(space, *surface, *point, *band))
            .collect::<Known<Vec<Lining>>>()?;
        let kept: Uncertain = (linings.iter())
            .map(|lining| (1.0 - &lining.alpha).log10() * 10.0)
            .sum();
        let spreading = self.spreading(space, surfaces, &faces, path.faces(), source, ear)?;
        let off_axis = self.off_axis(source, ear, path, *band);
        Ok((spreading + kept + off_axis, linings))
    }

    /// What the loudspeaker sends towards the first point, re what it sends to the ear, dB.
    fn off_axis(
        &self,
        source: &Sounding<'_>,
        ear: &Vector3,
        path: &ReflectedPath,
        band: OctaveBand,
    ) -> Uncertain {
        let ear = ear.value();
        let Some(coverage) = &source.spread.usual else {
            return Uncertain::exact(source.off_axis(&source.spread.directivity, ear, path, band));
        };
        uncertainty::through([coverage], |[coverage]| {
            source.off_axis(&taken_as(source.kit, coverage), ear, path, band)
        })
    }

    /// The coverage angle that stands in for one that no sheet states.
    pub fn usual_coverage(&self, kit: &LoudspeakerKit) -> Uncertain {
        self.assumed(
            &format!("the coverage angle of {}, taken as 90°", kit.common.id),
            &format!("kit.loudspeaker.{}.coverage", kit.common.id),
            90_f64.to_radians(),
            self.coverage_spread(),
        )
    }

    /// 20 log of the straight way over the way by the surfaces, with what the survey leaves
    /// open of both.
    fn spreading(
        &self,
        space: &Space,
        surfaces: &[Surface],
        faces: &RoomFaces,
        indices: &[usize],
        source: &Sounding<'_>,
        ear: &Vector3,
    ) -> Known<Uncertain> {
        let direct = (ear - &source.at).norm();
        let mut image = source.at.clone();
        for (surface, face) in surfaces.iter().zip(indices) {
            let (normal, offset) = self.plane_of(space, *surface, faces, *face)?;
            let height = normal.dot(&image) - offset;
            image = &image - &normal.scaled(&(height * 2.0));
        }
        Ok((direct / (ear - &image).norm()).log10() * 20.0)
    }

    /// A surface as n · p = d, with what the survey leaves open of it.
    fn plane_of(
        &self,
        space: &Space,
        surface: Surface,
        faces: &RoomFaces,
        face: usize,
    ) -> Known<(Vector3, Uncertain)> {
        let shape = self.shape(space);
        Ok(match surface {
            Surface::Floor => (Vector3::new(0.0, 0.0, 1.0), Uncertain::exact(0.0)),
            Surface::Wall(wall) => {
                let (left, _, inward) = shape.wall_frame(wall)?;
                let offset = inward.dot(&left);
                (inward.at_height(0.0), offset)
            }
            Surface::Ceiling(plane) => {
                let [slope_x, slope_y, level] = shape.ceiling_plane(plane)?;
                let steep = (slope_x.square() + slope_y.square() + 1.0).sqrt();
                let normal = Vector3 {
                    x: slope_x / &steep,
                    y: slope_y / &steep,
                    z: -(1.0 / &steep),
                };
                (normal, -(level / &steep))
            }
            Surface::Box(..) => {
                let [x, y, z] = faces.enclosure.normal(face);
                let offset = -faces.enclosure.height(face, [Metres(0.0); 3]).0;
                (Vector3::new(x, y, z), Uncertain::exact(offset))
            }
        })
    }
}
