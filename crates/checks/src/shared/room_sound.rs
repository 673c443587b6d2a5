//! What absorbs in a room and how long it rings, octave by octave.

use std::rc::Rc;

use acoustics::air::Air;
use acoustics::finishes::{self, Counts, Finish};
use acoustics::octave::{OctaveBand, Octaves};
use acoustics::reverberation::{BandRoom, Method, Part, rooms_by_octave};
use analysis::{Analysis, Means, Missing, Parts};
use geometry::Surface;
use model::{OpeningKind, Space};
use uncertainty::through_many;
use units::CubicMetres;

use crate::{Known, Uncertain};

/// What tables of absorption alone leave open of a reverberation time, 95 %: books differ
/// by that much (common practice).
const TABLES_RELATIVE: f64 = 0.2;

/// A piece of the room's surface, or a piece of furniture.
#[derive(Clone, Debug)]
pub(crate) struct Covered {
    /// `floor`, `ceiling` or a wall's name; none for furniture and openings.
    pub surface: Option<String>,
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
    /// An archway: what goes through does not come back.
    Opening,
}

/// A room's decay in one octave.
pub(crate) struct BandSound {
    /// The reverberation time, s.
    pub time: Uncertain,
    /// The absorption area, m².
    pub absorption: Uncertain,
    /// The law that gave the time.
    pub method: Method,
    /// The room itself, best estimates.
    pub room: BandRoom,
}

/// A room's decay.
pub(crate) struct RoomSound {
    pub volume: Uncertain,
    /// Area of all surfaces, m².
    pub surfaces: Uncertain,
    pub pieces: Vec<Covered>,
    pub bands: Octaves<BandSound>,
}

impl Absorbs {
    fn part(self, amount: f64) -> Part {
        match self {
            Self::Finish(finish) => finish.part(amount),
            Self::Furniture(finish) => Part::Objects(amount, finish.absorption),
            Self::Opening => Part::Surface(units::SquareMetres(amount), [Some(1.0); 7]),
        }
    }

    /// The absorption coefficient in a band.
    pub fn alpha(self, band: OctaveBand) -> Option<f64> {
        match self {
            Self::Finish(finish) | Self::Furniture(finish) => finish.absorption[band.index()],
            Self::Opening => Some(1.0),
        }
    }
}

impl RoomSound {
    /// The time in each octave, s, with areas of bare surfaces covered with a finish, m².
    pub fn times_with(
        &self,
        finish: &'static Finish,
        over: &[(&str, f64)],
    ) -> Option<Octaves<f64>> {
        let covered = |piece: &Covered| -> f64 {
            let here = |(surface, _): &&(&str, f64)| piece.surface.as_deref() == Some(*surface);
            over.iter().find(here).map_or(0.0, |(_, area_m2)| *area_m2)
        };
        let mut parts: Vec<Part> = (self.pieces.iter())
            .map(|piece| {
                let left = piece.amount.value() - covered(piece);
                piece.absorbs.part(left.max(0.0))
            })
            .collect();
        parts.extend(over.iter().map(|(_, area_m2)| finish.part(*area_m2)));
        let rooms =
            rooms_by_octave(CubicMetres(self.volume.value()), &parts, &Air::indoors()).ok()?;
        Some(rooms.map(|room| room.map(|room| room.reverberation_time().time.0)))
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
    let pieces = pieces(analysis, space)?;
    let volume = analysis.shape(space).volume()?;
    let rooms = rooms(space, volume.value(), &pieces)?;
    // The law is chosen once: between two trials it must not jump from one to the other.
    let methods = rooms
        .each_ref()
        .map(|room| room.as_ref().map(|room| room.reverberation_time().method));
    let mut inputs = vec![&volume];
    inputs.extend(pieces.iter().map(|piece| &piece.amount));
    let mut results = through_many(&inputs, |x| {
        let parts: Vec<Part> = (pieces.iter().zip(&x[1..]))
            .map(|(piece, amount)| piece.absorbs.part(amount.max(0.0)))
            .collect();
        let moved = rooms_by_octave(CubicMetres(x[0]), &parts, &Air::indoors());
        let moved = moved.unwrap_or_else(|_| rooms.clone());
        let area = moved
            .iter()
            .flatten()
            .next()
            .map_or(0.0, |room| room.area().0);
        let bands = moved.iter().zip(methods).flat_map(|(room, method)| {
            let time = match (room, method) {
                (Some(room), Some(Method::Sabine)) => room.sabine().0,
                (Some(room), _) => room.eyring().0,
                _ => 0.0,
            };
            let absorption = room.as_ref().map_or(0.0, |room| room.absorption().0);
            [time, absorption]
        });
        bands.chain([area]).collect()
    })
    .into_iter();
    let tables = analysis.assumed(
        &format!(
            "what the printed absorption tables are worth in {} (a factor on the reverberation time)",
            space.label()
        ),
        &format!("space.{}.finishes", space.id),
        1.0,
        TABLES_RELATIVE,
    );
    let mut bands = Octaves::default();
    for (index, (room, method)) in rooms.into_iter().zip(methods).enumerate() {
        let time = results.next().unwrap_or_default();
        let absorption = results.next().unwrap_or_default();
        if let (Some(room), Some(method)) = (room, method) {
            bands[index] = Some(BandSound {
                time: time * &tables,
                absorption: absorption / &tables,
                method,
                room,
            });
        }
    }
    let surfaces = results.next().unwrap_or_default();
    Ok(RoomSound {
        volume,
        surfaces,
        pieces,
        bands,
    })
}

fn rooms(space: &Space, volume_m3: f64, pieces: &[Covered]) -> Known<Octaves<BandRoom>> {
    let parts: Vec<Part> = (pieces.iter())
        .map(|piece| piece.absorbs.part(piece.amount.value()))
        .collect();
    rooms_by_octave(CubicMetres(volume_m3), &parts, &Air::indoors()).map_err(|error| {
        Missing::new(
            format!("a room that can ring in {}: {error}", space.label()),
            format!("space.{}.finishes", space.id),
            Means::Look,
        )
    })
}

/// Everything that absorbs: surfaces less what hides them, openings, coverings, furniture.
fn pieces(analysis: &Analysis, space: &Space) -> Known<Vec<Covered>> {
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
        let absorbs = match opening.kind {
            OpeningKind::Door => Absorbs::Finish(named("wooden_door", "")?),
            OpeningKind::Window => Absorbs::Finish(named(
                opening.glazing.as_deref().unwrap_or("window"),
                &format!("space.{}.opening.{}.glazing", space.id, opening.id),
            )?),
            OpeningKind::Archway => Absorbs::Opening,
            OpeningKind::Recess => continue,
        };
        let rect = analysis.opening_rect(space, opening)?;
        let area = rect.width() * rect.height();
        hide(&mut bare, &space.walls[rect.wall].id, &area);
        pieces.push(Covered {
            surface: None,
            amount: area,
            absorbs,
        });
    }
    for covering in &space.covering {
        let path = format!("space.{}.covering.{}", space.id, covering.id);
        let finish = named(&covering.finish, &format!("{path}.finish"))?;
        let area = analysis.number(covering.area.as_ref()).ok_or_else(|| {
            let what = format!("the area of {}", covering.id.replace('-', " "));
            Missing::new(what, format!("{path}.area"), Means::Tape)
        });
        let (amount, absorbs) = match (&covering.over, finish.counts) {
            (_, Counts::Each) => (Uncertain::exact(1.0), Absorbs::Furniture(finish)),
            (None, _) => (area?, Absorbs::Furniture(finish)),
            (Some(over), _) => {
                let area = area?;
                hide(&mut bare, over, &area);
                (area, Absorbs::Finish(finish))
            }
        };
        pieces.push(Covered {
            surface: None,
            amount,
            absorbs,
        });
    }
    for (surface, area) in bare {
        let finish = finish_of(space, &surface)?;
        pieces.push(Covered {
            surface: Some(surface),
            amount: area,
            absorbs: Absorbs::Finish(finish),
        });
    }
    Ok(pieces)
}

/// Takes what is hidden off a surface; nothing hides more than there is.
fn hide(bare: &mut [(String, Uncertain)], surface: &str, hidden: &Uncertain) {
    if let Some((_, area)) = bare.iter_mut().find(|(name, _)| name == surface) {
        *area = (&*area - hidden).max(&Uncertain::exact(0.0));
    }
}

fn finish_of(space: &Space, surface: &str) -> Known<&'static Finish> {
    let finishes = space.finishes.clone().unwrap_or_default();
    let path = format!("space.{}.finishes", space.id);
    let (name, at) = match surface {
        "floor" => (finishes.floor, format!("{path}.floor")),
        "ceiling" => (finishes.ceiling, format!("{path}.ceiling")),
        wall => match finishes.wall.get(wall) {
            Some(own) => (Some(own.clone()), format!("{path}.wall.{wall}")),
            None => (finishes.walls, format!("{path}.walls")),
        },
    };
    let what = match surface {
        "floor" | "ceiling" => format!("the {surface}"),
        wall => format!("wall {wall}"),
    };
    let name = name.ok_or_else(|| {
        let what = format!("what {what} of {} is finished with", space.label());
        Missing::new(what, at.clone(), Means::Look)
    })?;
    named(&name, &at)
}

fn named(name: &str, at: &str) -> Known<&'static Finish> {
    finishes::finish(name).map_err(|error| {
        Missing::new(
            format!("a finish of the absorption table: {error}"),
            at.to_owned(),
            Means::Look,
        )
    })
}
