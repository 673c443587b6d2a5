//! What absorbs in a room and how long it rings, octave by octave.

use std::rc::Rc;

use acoustics::air::{Air, SPEED_AT_20_C};
use acoustics::coupled;
use acoustics::finishes::{Counts, Finish};
use acoustics::octave::{OctaveBand, Octaves};
use acoustics::reverberation::{
    BandRoom, Law, Method, Part, Surface as Lined, WallPairs, rooms_by_octave,
};
use analysis::{Analysis, Means, Missing, Parts, finish_named, opening_absorption};
use geometry::Surface;
use model::{Covering, OpeningKind, Space};
use uncertainty::through_many;
use units::{CubicMetres, Seconds, SquareMetres};

use crate::{Known, Uncertain};

/// What tables of absorption alone leave open of a reverberation time, 95 %: books differ
/// by that much (common practice).
const TABLES_RELATIVE: f64 = 0.2;

/// A piece of the room's surface, or a piece of furniture.
#[derive(Clone, Debug)]
pub(crate) struct Covered {
    /// `floor`, `ceiling` or a wall's name, of bare surfaces; none for what hides them.
    pub surface: Option<String>,
    /// The surface that it is or hides; none for furniture.
    pub side: Option<String>,
    /// The covering that it is, by its name in its space.
    pub covering: Option<String>,
    /// m², or a number of pieces.
    pub amount: Uncertain,
    /// What it is covered with.
    pub absorbs: Absorbs,
}

/// What a piece absorbs with.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Absorbs {
    /// A row of the table, with a surface of its own.
    Finish(&'static Finish),
    /// A row of the table, standing in the room.
    Furniture(&'static Finish),
    /// A door, a window, or an archway, through which all goes.
    Opening(Octaves<f64>),
}

/// A room's decay in one octave.
pub(crate) struct BandSound {
    /// The reverberation time, s.
    pub time: Uncertain,
    /// The absorption area, m².
    pub absorption: Uncertain,
    /// What the room's own sound adds for each watt: 4/R, 1/m².
    pub gain: Uncertain,
    /// The law that gave the time.
    pub method: Method,
    /// The room itself, best estimates.
    pub room: BandRoom,
    /// What the rooms behind its archways make of its time, as a factor; 1 without any.
    pub coupled: f64,
    /// How much longer T30 is than T20 with them, as a share.
    pub bend: f64,
    /// By Arau-Puchades' law, in a box that absorbs unevenly and was not measured, s.
    pub uneven_s: Option<f64>,
    /// What it rests on, where somebody measured it.
    pub measured: Option<Measured>,
}

/// A time that was measured in a room before the job changes it.
#[derive(Clone, Debug)]
pub(crate) struct Measured {
    /// As measured, s.
    pub time: Uncertain,
    /// What the tables say of the room once the job is done, m²: changes of it are added to what
    /// the measurement says.
    tables_m2: f64,
}

/// A room's decay.
pub(crate) struct RoomSound {
    pub volume: Uncertain,
    pub pieces: Vec<Covered>,
    pub bands: Octaves<BandSound>,
}

impl Absorbs {
    fn part(self, amount: f64) -> Part {
        match self {
            Self::Finish(finish) => finish.part(amount),
            Self::Furniture(finish) => Part::Objects(amount, finish.absorption),
            Self::Opening(absorption) => Part::Surface(SquareMetres(amount), absorption),
        }
    }

    /// The absorption coefficient in a band.
    pub fn alpha(self, band: OctaveBand) -> Option<f64> {
        match self {
            Self::Finish(finish) | Self::Furniture(finish) => finish.absorption[band.index()],
            Self::Opening(absorption) => absorption[band.index()],
        }
    }
}

/// What is hung over a bare surface: the finish, the surface, m².
pub(crate) type Hung<'a> = (&'static Finish, &'a str, f64);

/// What is taken off the surface that it hides: the covering, m².
pub(crate) type Taken<'a> = (&'a str, f64);

impl RoomSound {
    /// The time in each octave, s, with areas of bare surfaces covered, and coverings taken off
    /// what they hide. The rooms behind archways count as they do now.
    pub fn times_with(&self, hung: &[Hung<'_>], taken: &[Taken<'_>]) -> Option<Octaves<f64>> {
        let taken_of = |piece: &Covered| -> f64 {
            let named = |(id, _): &&Taken<'_>| piece.covering.as_deref() == Some(*id);
            taken.iter().filter(named).map(|(_, area_m2)| area_m2).sum()
        };
        // What of a piece goes, of a bare surface less what comes to light again.
        let goes = |piece: &Covered| -> f64 {
            let Some(surface) = &piece.surface else {
                return taken_of(piece);
            };
            let here = |(_, over, _): &&Hung<'_>| over == surface;
            let covered: f64 = hung.iter().filter(here).map(|(.., area_m2)| area_m2).sum();
            let over_it =
                |other: &&Covered| other.surface.is_none() && other.side.as_ref() == Some(surface);
            let bared: f64 = self.pieces.iter().filter(over_it).map(taken_of).sum();
            covered - bared
        };
        let mut parts: Vec<Part> = (self.pieces.iter())
            .map(|piece| {
                let left = piece.amount.value() - goes(piece);
                piece.absorbs.part(left.max(0.0))
            })
            .collect();
        parts.extend(
            hung.iter()
                .map(|(finish, _, area_m2)| finish.part(*area_m2)),
        );
        let rooms =
            rooms_by_octave(CubicMetres(self.volume.value()), &parts, &Air::indoors()).ok()?;
        let mut times = Octaves::default();
        for ((time, room), band) in times.iter_mut().zip(rooms).zip(&self.bands) {
            let (Some(room), Some(band)) = (room, band) else {
                continue;
            };
            let alone = match &band.measured {
                None => room.reverberation_time().time.0,
                Some(measured) => {
                    let more_m2 = room.absorption().0 - measured.tables_m2;
                    let absorption_m2 = (band.room.absorption().0 + more_m2).max(0.0);
                    let absorption = SquareMetres(absorption_m2);
                    let room = room.with_absorption(absorption, band.room.law());
                    room.reverberation_time().time.0
                }
            };
            *time = Some(alone * band.coupled);
        }
        Some(times)
    }
}

/// How a room rings, from its finishes, openings and coverings.
pub(crate) fn room_sound(analysis: &Analysis, space: &Space) -> Known<Rc<RoomSound>> {
    let parts = Parts::OPENINGS.and(Parts::COVERINGS);
    analysis.kept_of_space("room sound", space, parts, |space| {
        room_sound_anew(analysis, space).map(Rc::new)
    })
}

fn room_sound_anew(analysis: &Analysis, space: &Space) -> Known<RoomSound> {
    let volume = analysis.shape(space).volume()?;
    let times = analysis.measured_reverberation(space);
    let is_measured = times.iter().any(Option::is_some);
    let is_changed = space.has_planned_coverings();
    let (pieces, rooms, stood) = match pieces(analysis, space, Space::coverings) {
        Ok(pieces) => {
            let rooms = rooms(space, volume.value(), &pieces)?;
            let stood = match is_measured && is_changed {
                true => Some(self::pieces(analysis, space, Space::coverings_before)?),
                false => None,
            };
            (pieces, rooms, stood)
        }
        // What was measured needs no tables, unless something changes.
        Err(_) if is_measured && !is_changed => (Vec::new(), Octaves::default(), None),
        Err(missing) => return Err(missing),
    };
    // Nor does an octave of which a table says nothing.
    let rooms = match is_measured && !is_changed {
        false => rooms,
        true => {
            let bare = bare_rooms(analysis, space, volume.value())?;
            let by_octave = rooms.into_iter().zip(bare).zip(&times);
            let all =
                by_octave.map(|((room, bare), time)| room.or(bare.filter(|_| time.is_some())));
            let all: Vec<_> = all.collect();
            all.try_into().expect("as many octaves as before")
        }
    };
    let tables = analysis.assumed(
        &format!(
            "what the printed absorption tables are worth in {} (a factor on the reverberation time)",
            space.label()
        ),
        &format!("space.{}.reverberation", space.id),
        1.0,
        TABLES_RELATIVE,
    );
    let neighbours = neighbours(analysis, space)?;
    let coupling: Octaves<(f64, f64)> = std::array::from_fn(|index| {
        let room = rooms[index].as_ref()?;
        let neighbours = neighbours.as_ref()?;
        coupled_time(room, neighbours, OctaveBand::ALL[index])
    });
    // The law is chosen once: between two trials it must not jump from one to the other.
    let stood_rooms = match &stood {
        Some(stood) => self::rooms(space, volume.value(), stood)?,
        None => rooms.clone(),
    };
    let reckoned: Octaves<Reckoned> = std::array::from_fn(|index| {
        let room = rooms[index].as_ref()?;
        let coupled = coupling[index].map_or(1.0, |(factor, _)| factor);
        let measured = (times[index].as_ref()).zip(stood_rooms[index].as_ref());
        Some(match measured {
            None => Reckoned::by_tables(room),
            Some((time, stood)) => Reckoned::by_measurement(room, stood, time.value() / coupled),
        })
    });
    let mut inputs = vec![&volume, &tables];
    inputs.extend(pieces.iter().map(|piece| &piece.amount));
    inputs.extend(stood.iter().flatten().map(|piece| &piece.amount));
    let first_time = inputs.len();
    inputs.extend(times.iter().flatten());
    let mut results = through_many(&inputs, |x| {
        let with = |pieces: &[Covered], amounts: &[f64], else_rooms: &Octaves<BandRoom>| {
            let parts: Vec<Part> = (pieces.iter().zip(amounts))
                .map(|(piece, amount)| piece.absorbs.part(amount.max(0.0)))
                .collect();
            let moved = rooms_by_octave(CubicMetres(x[0]), &parts, &Air::indoors());
            let mut moved = moved.unwrap_or_default();
            for (room, known) in moved.iter_mut().zip(else_rooms) {
                let known = || Some(known.as_ref()?.with_volume(CubicMetres(x[0])));
                *room = room.take().or_else(known);
            }
            moved
        };
        let (amounts, others) = x[2..].split_at(pieces.len());
        let moved = with(&pieces, amounts, &rooms);
        let before = stood
            .as_ref()
            .map(|stood| with(stood, others, &stood_rooms));
        let before = before.as_ref().unwrap_or(&moved);
        let area = moved
            .iter()
            .flatten()
            .next()
            .map_or(0.0, |room| room.area().0);
        let mut taken = x[first_time..].iter();
        let bands = (0..moved.len()).flat_map(|index| {
            let time = times[index].as_ref().and_then(|_| taken.next());
            let coupled = coupling[index].map_or(1.0, |(factor, _)| factor);
            match (&moved[index], &before[index], &reckoned[index]) {
                (Some(room), Some(before), Some(reckoned)) => {
                    let time = time.map(|time| time / coupled);
                    let [alone, absorption] = reckoned.at(room, before, time, x[1]);
                    [alone * coupled, absorption]
                }
                _ => [0.0, 0.0],
            }
        });
        let mut results: Vec<f64> = bands.collect();
        results.push(area);
        results
    });
    let surfaces = results.pop().unwrap_or_default();
    let mut results = results.into_iter();
    let opposite = opposite_walls(analysis, space);
    let mut bands = Octaves::default();
    for (index, room) in rooms.into_iter().enumerate() {
        let time = results.next().unwrap_or_default();
        let absorption = results.next().unwrap_or_default();
        let (Some(room), Some(reckoned)) = (room, reckoned[index]) else {
            continue;
        };
        let band = OctaveBand::ALL[index];
        let (coupled, bend) = coupling[index].unwrap_or((1.0, 0.0));
        let pairs = opposite.and_then(|walls| pairs(space, &pieces, walls, band));
        let tables_m2 = room.absorption().0;
        let measured = times[index]
            .clone()
            .map(|time| Measured { time, tables_m2 });
        let room = match &measured {
            None => room,
            Some(_) => room.with_absorption(SquareMetres(absorption.value()), reckoned.law),
        };
        bands[index] = Some(BandSound {
            time,
            gain: gain(&absorption, &surfaces),
            absorption,
            method: reckoned.law.method(),
            uneven_s: (pairs.filter(|pairs| measured.is_none() && pairs.unevenness() > UNEVEN))
                .map(|pairs| room.arau(&pairs).0),
            room,
            coupled,
            bend,
            measured,
        });
    }
    Ok(RoomSound {
        volume,
        pieces,
        bands,
    })
}

/// 4/R of a room that absorbs so much of so many square metres, m².
fn gain(absorption: &Uncertain, surfaces: &Uncertain) -> Uncertain {
    let mean = (absorption / surfaces).min(&Uncertain::exact(0.99));
    (1.0 - mean) * 4.0 / absorption
}

/// How the time of an octave is reckoned.
#[derive(Clone, Copy)]
struct Reckoned {
    /// The law once the job is done.
    law: Law,
    /// The law of the measurement, where there is one.
    before: Option<Law>,
}

impl Reckoned {
    fn by_tables(room: &BandRoom) -> Self {
        Self {
            law: room.law(),
            before: None,
        }
    }

    /// Of a room as measured, `stood`, and as it will be.
    fn by_measurement(room: &BandRoom, stood: &BandRoom, time_s: f64) -> Self {
        let before = stood.law_of_measured(Seconds(time_s));
        let absorption = stood.absorption_measured(before, Seconds(time_s)).0;
        let absorption = (absorption + room.absorption().0 - stood.absorption().0).max(0.0);
        Self {
            law: room.with_absorption(SquareMetres(absorption), before).law(),
            before: Some(before),
        }
    }

    /// Time, s, and absorption area, m². Of a measured room the area is what the measurement says
    /// and what the tables say of the change; else all of it is the tables'. `tables` is what they
    /// are worth, as a factor on the time.
    fn at(&self, room: &BandRoom, stood: &BandRoom, time_s: Option<f64>, tables: f64) -> [f64; 2] {
        match (self.before, time_s) {
            (Some(before), Some(time_s)) => {
                let measured = stood.absorption_measured(before, Seconds(time_s)).0;
                let more = (room.absorption().0 - stood.absorption().0) / tables;
                let absorption = (measured + more).max(0.0);
                let time = room.time_with(self.law, SquareMetres(absorption));
                [time.0, absorption]
            }
            _ => {
                let time = match self.law {
                    Law::Sabine => room.sabine().0,
                    Law::NorrisEyring => room.eyring().0,
                };
                [time * tables, room.absorption().0 / tables]
            }
        }
    }
}

/// A room of whose finishes nobody knows: its surfaces, absorbing nothing.
fn bare_rooms(analysis: &Analysis, space: &Space, volume_m3: f64) -> Known<Octaves<BandRoom>> {
    let areas = analysis.shape(space).areas()?.iter();
    let area_m2: f64 = areas.map(|(_, area)| area.value()).sum();
    let whole = [Part::Surface(SquareMetres(area_m2), [Some(0.0); 7])];
    of_parts(space, volume_m3, &whole)
}

fn rooms(space: &Space, volume_m3: f64, pieces: &[Covered]) -> Known<Octaves<BandRoom>> {
    let parts: Vec<Part> = (pieces.iter())
        .map(|piece| piece.absorbs.part(piece.amount.value()))
        .collect();
    of_parts(space, volume_m3, &parts)
}

fn of_parts(space: &Space, volume_m3: f64, parts: &[Part]) -> Known<Octaves<BandRoom>> {
    rooms_by_octave(CubicMetres(volume_m3), parts, &Air::indoors()).map_err(|error| {
        Missing::new(
            format!("a room that can ring in {}: {error}", space.label()),
            format!("space.{}.finishes", space.id),
            Means::Look,
        )
    })
}

/// Everything that absorbs: surfaces less what hides them, openings, coverings, furniture.
fn pieces<'a, C: Iterator<Item = &'a Covering>>(
    analysis: &Analysis,
    space: &'a Space,
    coverings: impl Fn(&'a Space) -> C,
) -> Known<Vec<Covered>> {
    let mut bare: Vec<(String, Uncertain)> = Vec::new();
    for (surface, area) in analysis.shape(space).areas()? {
        let name = match surface {
            Surface::Floor => "floor",
            // Soffits and beams are boarded as the ceiling is.
            Surface::Ceiling(_) | Surface::Box(..) => "ceiling",
            Surface::Wall(wall) => &space.walls[*wall].id,
        };
        // Walls and sides first: a wall may be called as it likes, even "floor".
        let is_wall = matches!(surface, Surface::Wall(_));
        match bare.iter_mut().find(|(known, _)| known == name && !is_wall) {
            Some((_, total)) => *total = &*total + area,
            None => bare.push((name.to_owned(), area.clone())),
        }
    }
    let mut pieces = Vec::new();
    for opening in &space.opening {
        let Some(absorption) = opening_absorption(space, opening)? else {
            continue;
        };
        let rect = analysis.opening_rect(space, opening)?;
        let area = rect.width() * rect.height();
        let wall = &space.walls[rect.wall].id;
        hide(&mut bare, wall, &area);
        pieces.push(Covered {
            surface: None,
            side: Some(wall.clone()),
            covering: None,
            amount: area,
            absorbs: Absorbs::Opening(absorption),
        });
    }
    for covering in coverings(space) {
        let path = format!("space.{}.covering.{}", space.id, covering.id);
        let finish = finish_named(&covering.finish, &format!("{path}.finish"))?;
        let count = Uncertain::exact(f64::from(covering.count.unwrap_or(1)));
        let (amount, side) = match (&covering.over, finish.counts) {
            (_, Counts::Each) => (count, None),
            (over, _) => {
                let area = analysis.covering_area(space, covering)? * count;
                if let Some(over) = over {
                    hide(&mut bare, over, &area);
                }
                (area, over.clone())
            }
        };
        let absorbs = match side {
            Some(_) => Absorbs::Finish(finish),
            None => Absorbs::Furniture(finish),
        };
        pieces.push(Covered {
            surface: None,
            side,
            covering: Some(covering.id.clone()),
            amount,
            absorbs,
        });
    }
    for (surface, area) in bare {
        let finish = (analysis.finish_of(space, &surface))
            .map_err(|missing| offering_the_usual(analysis, space, &surface, missing))?;
        pieces.push(Covered {
            side: Some(surface.clone()),
            surface: Some(surface),
            covering: None,
            amount: area,
            absorbs: Absorbs::Finish(finish),
        });
    }
    Ok(pieces)
}

/// Says what a missing finish usually is, and how far off the result is then.
fn offering_the_usual(
    analysis: &Analysis,
    space: &Space,
    surface: &str,
    missing: Missing,
) -> Missing {
    let is_noted = (space.finishes.as_ref()).is_some_and(|finishes| match surface {
        "floor" => finishes.floor.is_some(),
        "ceiling" => finishes.ceiling.is_some(),
        wall => finishes.walls.is_some() || finishes.wall.contains_key(wall),
    });
    // A finish of an unknown name says what is wrong with it already.
    if is_noted {
        return missing;
    }
    // Common practice, no source.
    let usual = match surface {
        "floor" => "wood-on-joists",
        _ => "gypsum-on-studs",
    };
    let spread = analysis.exact(TABLES_RELATIVE, units::Dimension::Ratio);
    Missing {
        what: format!(
            "{}; houses usually have {usual}, with which the reverberation time is open by at least \u{b1}{spread}; a clap and a recording tell it better (space.{}.reverberation)",
            missing.what, space.id
        ),
        ..missing
    }
}

/// How many times more a pair of walls has to absorb than another for a box to be uneven
/// (common practice, no source).
const UNEVEN: f64 = 3.0;

/// In a box with a level ceiling, its pairs of opposite walls.
fn opposite_walls(analysis: &Analysis, space: &Space) -> Option<[[usize; 2]; 2]> {
    let shape = analysis.shape(space);
    let corners = shape.corners().ok()?;
    let is_square = |wall: usize| {
        let (_, along, _) = shape.wall_frame(wall).ok()?;
        let (_, next, _) = shape.wall_frame((wall + 1) % 4).ok()?;
        // Within 3°.
        Some(along.dot(&next).value().abs() < 0.05)
    };
    let is_box = corners.len() == 4
        && shape.has_level_ceiling().ok()?
        && shape.boxes().ok()?.is_empty()
        && (0..4).all(|wall| is_square(wall) == Some(true));
    is_box.then_some([[0, 2], [1, 3]])
}

/// A box's three pairs of opposite sides in a band.
fn pairs(
    space: &Space,
    pieces: &[Covered],
    walls: [[usize; 2]; 2],
    band: OctaveBand,
) -> Option<WallPairs> {
    let pair = |names: [&str; 2]| -> Option<Lined> {
        let (mut area, mut absorption) = (0.0, 0.0);
        let is_here =
            |piece: &&Covered| (piece.side.as_deref()).is_some_and(|side| names.contains(&side));
        for piece in pieces.iter().filter(is_here) {
            area += piece.amount.value();
            absorption += piece.amount.value() * piece.absorbs.alpha(band)?.min(1.0);
        }
        Some(Lined {
            area: SquareMetres(area),
            alpha: absorption / area,
        })
    };
    let name = |wall: usize| space.walls[wall].id.as_str();
    let [one, other] = walls.map(|walls| pair(walls.map(name)));
    WallPairs::new([pair(["floor", "ceiling"])?, one?, other?]).ok()
}

/// A room behind an archway.
struct Neighbour {
    rooms: Octaves<BandRoom>,
    /// Area of all archways to it, m².
    opening_m2: f64,
    /// Area of all its archways, which it counts as absorbing, m².
    own_openings_m2: f64,
}

/// The rooms behind archways that say where they lead, where their finishes are known. One
/// whose finishes nobody noted stays an open window.
fn neighbours(analysis: &Analysis, space: &Space) -> Known<Option<Vec<Neighbour>>> {
    let mut found: Vec<(&str, f64)> = Vec::new();
    for opening in &space.opening {
        let (OpeningKind::Archway, Some(into)) = (opening.kind, opening.into.as_deref()) else {
            continue;
        };
        let rect = analysis.opening_rect(space, opening)?;
        let area = (rect.width() * rect.height()).value();
        match found.iter_mut().find(|(id, _)| *id == into) {
            Some((_, sum)) => *sum += area,
            None => found.push((into, area)),
        }
    }
    let mut neighbours = Vec::new();
    for (id, opening_m2) in found {
        let parts = Parts::OPENINGS.and(Parts::COVERINGS);
        let Some(other) = analysis.space(id).filter(|other| other.id != space.id) else {
            continue;
        };
        let other = analysis.with_parts(other, parts);
        let own = self::pieces(analysis, other, Space::coverings).and_then(|pieces| {
            let volume = analysis.shape(other).volume()?.value();
            Ok((rooms(other, volume, &pieces)?, pieces))
        });
        let Ok((rooms, pieces)) = own else {
            continue;
        };
        let is_open = |piece: &&Covered| matches!(piece.absorbs, Absorbs::Opening(alpha) if alpha == [Some(1.0); 7]);
        let own_openings_m2 = (pieces.iter().filter(is_open))
            .map(|piece| piece.amount.value())
            .sum();
        neighbours.push(Neighbour {
            rooms,
            opening_m2,
            own_openings_m2,
        });
    }
    Ok((!neighbours.is_empty()).then_some(neighbours))
}

/// What a room's time becomes with the rooms behind its archways, as a factor on the time with
/// the archways as open windows; and how bent the decay is.
fn coupled_time(room: &BandRoom, neighbours: &[Neighbour], band: OctaveBand) -> Option<(f64, f64)> {
    let all_m2: f64 = neighbours.iter().map(|one| one.opening_m2).sum();
    let mut rooms = vec![coupled::Room {
        volume: room.volume(),
        absorption: SquareMetres((room.equivalent_absorption().0 - all_m2).max(0.0)),
    }];
    let mut openings = Vec::new();
    for (index, neighbour) in neighbours.iter().enumerate() {
        let other = neighbour.rooms[band.index()].as_ref()?;
        // Its other openings stay open windows; the one between the two must not count twice.
        let shared = neighbour.opening_m2.min(neighbour.own_openings_m2);
        rooms.push(coupled::Room {
            volume: other.volume(),
            absorption: SquareMetres((other.equivalent_absorption().0 - shared).max(0.0)),
        });
        openings.push(coupled::Opening {
            between: [0, index + 1],
            area: SquareMetres(neighbour.opening_m2),
        });
    }
    let decay = coupled::decay(&rooms, &openings, SPEED_AT_20_C)?;
    let alone = room.reverberation_time().time.0;
    Some((decay.t20().0 / alone, decay.bend()))
}

/// Takes what is hidden off a surface; nothing hides more than there is.
fn hide(bare: &mut [(String, Uncertain)], surface: &str, hidden: &Uncertain) {
    if let Some((_, area)) = bare.iter_mut().find(|(name, _)| name == surface) {
        *area = (&*area - hidden).max(&Uncertain::exact(0.0));
    }
}
