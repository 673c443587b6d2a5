//! What loudspeakers outdoors make at a place: straight, and by the ground and house walls.

use acoustics::octave::OctaveBand;
use acoustics::outdoors::{Face, Wall, way_by};
use analysis::{Analysis, Sounding};
use model::Space;

use crate::{Known, Uncertain};

/// The octave in which music outdoors is judged.
pub(crate) const BAND: OctaveBand = OctaveBand::Hz2000;

/// What the ground gives back at 2 kHz where nobody noted it, and its 95 % interval: between
/// lawn and paving; common practice, no source.
const GROUND_KEEPS: [f64; 2] = [0.6, 0.4];
/// The same of a house wall: brick, render and glass absorb 2 to 7 % (the table of finishes).
const WALL_KEEPS: [f64; 2] = [0.95, 0.05];
/// How high a house wall is taken to be, m: one storey.
const WALL_M: f64 = 3.0;

/// Loudspeakers outdoors and what gives their sound back.
pub(crate) struct Garden<'a> {
    sources: Vec<Sounding<'a>>,
    bounces: Vec<Bounce>,
}

struct Bounce {
    faces: Vec<Face>,
    /// The share of energy that they give back.
    keeps: Uncertain,
}

impl<'a> Garden<'a> {
    /// With these loudspeakers of a space outdoors.
    pub fn new(analysis: &Analysis, space: &Space, sources: Vec<Sounding<'a>>) -> Known<Self> {
        let ground = keeps(analysis, space, "floor", GROUND_KEEPS, "the ground")?;
        let mut bounces = vec![Bounce {
            faces: vec![Face::Ground],
            keeps: ground.clone(),
        }];
        let shape = analysis.shape(space);
        let walls = space.walls.iter().enumerate();
        for (index, wall) in walls.filter(|(_, wall)| !wall.open) {
            let (left, along, outward) = shape.wall_frame(index)?;
            let face = Face::Wall(Wall {
                left_m: left.value(),
                along: along.value(),
                outward: outward.value(),
                length_m: shape.wall_length(index)?.value(),
                height_m: WALL_M,
            });
            let what = format!("house wall {}", wall.id);
            let keeps = keeps(analysis, space, &wall.id, WALL_KEEPS, &what)?;
            bounces.push(Bounce {
                keeps: &keeps * &ground,
                faces: vec![face, Face::Ground],
            });
            bounces.push(Bounce {
                faces: vec![face],
                keeps,
            });
        }
        Ok(Self { sources, bounces })
    }

    /// The loudspeakers.
    pub fn sources(&self) -> &[Sounding<'a>] {
        &self.sources
    }

    /// Energy at an ear, re that 1 m before one loudspeaker, best estimate.
    pub fn energy(&self, ear: [f64; 3]) -> f64 {
        let of = |source: &Sounding<'_>| {
            let at = source.at.value();
            let direct = |way| source.direct_along(way, BAND);
            let bounced = self
                .bounces
                .iter()
                .map(|bounce| bounce.keeps.value() * arriving(&bounce.faces, at, ear, &direct));
            arriving(&[], at, ear, &direct) + bounced.sum::<f64>()
        };
        self.sources.iter().map(of).sum()
    }

    /// The same summed over several ears, with all that is left open.
    pub fn energy_over(&self, ears: &[[f64; 3]]) -> Uncertain {
        let by = |source: &Sounding<'_>, faces: &[Face]| {
            source.told_from_place(BAND, |at, direct| {
                ears.iter()
                    .map(|ear| arriving(faces, at, *ear, direct))
                    .sum()
            })
        };
        let of = |source: &Sounding<'_>| {
            let bounced = self.bounces.iter();
            let bounced = bounced.map(|bounce| by(source, &bounce.faces) * &bounce.keeps);
            by(source, &[]) + bounced.sum::<Uncertain>()
        };
        self.sources.iter().map(of).sum()
    }

    /// What ground and walls add to the direct sound at an ear, dB.
    pub fn gain(&self, ear: [f64; 3]) -> Uncertain {
        let direct: Uncertain = (self.sources.iter())
            .map(|source| source.told_from_place(BAND, |at, direct| arriving(&[], at, ear, direct)))
            .sum();
        (self.energy_over(&[ear]) / direct).log10() * 10.0
    }

    /// Which faces give sound back, in words.
    pub fn words(&self) -> &'static str {
        match self.bounces.len() {
            1 => "the ground",
            _ => "the ground and the house",
        }
    }
}

/// What arrives by faces, before what they keep.
fn arriving(
    faces: &[Face],
    source: [f64; 3],
    ear: [f64; 3],
    direct: &dyn Fn([f64; 3]) -> f64,
) -> f64 {
    way_by(faces, source, ear).map_or(0.0, direct)
}

/// The share that a face gives back: by its finish where one is noted.
fn keeps(
    analysis: &Analysis,
    space: &Space,
    surface: &str,
    [usual, open]: [f64; 2],
    what: &str,
) -> Known<Uncertain> {
    let finishes = space.finishes.as_ref();
    let is_noted = finishes.is_some_and(|finishes| match surface {
        "floor" => finishes.floor.is_some(),
        wall => finishes.walls.is_some() || finishes.wall.contains_key(wall),
    });
    if is_noted {
        let finish = analysis.finish_of(space, surface)?;
        if let Some(alpha) = finish.absorption[BAND.index()] {
            return Ok(Uncertain::exact(1.0 - alpha.clamp(0.0, 1.0)));
        }
    }
    let at = format!("space.{}.finishes", space.id);
    let words = format!(
        "what {what} of {} gives back of sound (a share)",
        space.label()
    );
    Ok(analysis.assumed(&words, &at, usual, open))
}
