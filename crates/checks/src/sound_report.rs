//! What the sound of a room is in numbers, for drawings and lists: times by every law, what
//! comes back from where, levels at the seats, noise, and how a room rings by tracing rays.

use std::f64::consts::PI;

use acoustics::air::{Air, SPEED_AT_20_C};
use acoustics::noise::NoiseSpectrum;
use acoustics::octave::OctaveBand;
use acoustics::rays::{BANDS, RayFace, Tracing, trace};
use acoustics::reverberation::{Method, every_answer};
use analysis::{Analysis, Missing, Sounding, item_label};
use geometry::Surface;
use model::{LoudspeakerForm, Space};
use serde::Serialize;
use uncertainty::Vector3;
use units::{Metres, Seconds};

use crate::listening::main_seat;
use crate::room_sound::{RoomSound, room_sound};
use crate::seat_sound::{NOISE_HZ, loudspeaker_energy, noise_at, noises};
use crate::sound::reverberation_limits;
use crate::starting_settings::{StartingSettings, starting_settings};
use crate::{Known, Uncertain};

/// An octave of a room's decay.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DecayOctave {
    /// Nominal frequency, Hz.
    pub frequency_hz: f64,
    /// The time that is proved with, s, and what 95 % of what is open of it is.
    pub time_s: f64,
    /// ±, s.
    pub open_s: f64,
    /// The law that gave it; `measured` where it rests on a measurement.
    pub law: &'static str,
    /// Every law's time, s; those of boxes only in a box that absorbs unevenly.
    pub laws: Vec<(&'static str, f64)>,
    /// Shortest and longest time that is asked for, s.
    pub wanted_s: Option<[f64; 2]>,
    /// The absorption area, m².
    pub absorption_m2: f64,
}

/// A reflection at a seat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReflectionLine {
    /// The loudspeaker.
    pub loudspeaker: String,
    /// The loudspeaker's id.
    pub item: String,
    /// The seat.
    pub seat: String,
    /// The surfaces: walls by name, `floor`, `ceiling`, `soffit`.
    pub surfaces: Vec<String>,
    /// Where it meets them, m in the room's own axes.
    pub points_m: Vec<[f64; 3]>,
    /// The first point on its wall: from the left end and up, m; none for floor and ceiling.
    pub on_wall_m: Option<[f64; 2]>,
    /// After the direct sound, s.
    pub delay_s: f64,
    /// Re the direct sound in its strongest octave from 1 to 4 kHz, dB.
    pub level_db: f64,
    /// That octave, Hz.
    pub frequency_hz: f64,
}

/// A loudspeaker's level at a seat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeatLevels {
    /// The loudspeaker.
    pub loudspeaker: String,
    /// The seat.
    pub seat: String,
    /// Direct and room sound together by octave from 125 Hz to 4 kHz, re the level 1 m before
    /// it on its axis, dB.
    pub level_db: [f64; 6],
}

/// Noise at a seat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeatNoise {
    /// The seat.
    pub seat: String,
    /// By octave, 63 Hz to 8 kHz, dB.
    pub level_db: [f64; 8],
    /// The noise criterion, between the listed curves.
    pub nc: f64,
    /// The noise rating.
    pub nr: f64,
}

/// A room's sound.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SoundReport {
    /// The space's id.
    pub space: String,
    /// Its decay; empty where a finish is missing.
    pub decay: Vec<DecayOctave>,
    /// Reflections up to the third order within 50 ms, the strongest first for each
    /// loudspeaker and seat.
    pub reflections: Vec<ReflectionLine>,
    /// Levels of each loudspeaker at each seat.
    pub levels: Vec<SeatLevels>,
    /// Noise, where all of it is known.
    pub noise: Vec<SeatNoise>,
    /// What to enter into a receiver before anything is measured, where a layout plays.
    pub settings: Option<StartingSettings>,
    /// What is missing for the rest, in words.
    pub missing: Vec<String>,
}

/// Reverberation times by tracing rays.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RayTimes {
    /// Nominal frequency, T20 and T30, s.
    pub octaves: Vec<(f64, Option<f64>, Option<f64>)>,
    /// Rays traced.
    pub rays: u32,
    /// Faces met in all.
    pub bounces: u64,
    /// The share of energy that is neither in the air nor taken: rounding alone.
    pub imbalance: f64,
}

/// How many reflections of a loudspeaker at a seat are told.
const REFLECTIONS_TOLD: usize = 8;

/// The octaves of [`SeatLevels`].
pub const LEVEL_HZ: [f64; 6] = [125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0];

/// The octaves of [`SeatNoise`].
pub const NOISE_OCTAVES_HZ: [f64; 8] = NOISE_HZ;

/// The sound of a room.
pub fn sound_report(analysis: &Analysis, space: &Space) -> SoundReport {
    let mut report = SoundReport {
        space: space.id.clone(),
        decay: Vec::new(),
        reflections: Vec::new(),
        levels: Vec::new(),
        noise: Vec::new(),
        settings: starting_settings(analysis, space),
        missing: Vec::new(),
    };
    let room = match room_sound(analysis, space) {
        Ok(room) => room,
        Err(missing) => {
            report.missing.push(missing.to_string());
            return report;
        }
    };
    report.decay = decay(analysis, space, &room);
    let towards = main_seat(space).and_then(|seat| analysis.seat(space, seat).ok());
    if let Some(towards) = towards {
        for (item, kit) in analysis.loudspeakers_in(space) {
            if kit.form == Some(LoudspeakerForm::Subwoofer) {
                continue;
            }
            let told = (analysis.sounding(space, item, kit, towards.ear.value()))
                .and_then(|source| of_loudspeaker(analysis, space, &room, &source, &mut report));
            if let Err(missing) = told {
                report.missing.push(missing.to_string());
            }
        }
    }
    match noises(analysis, space) {
        Ok(noises) if space.noise_octaves.is_some() || !noises.is_empty() => {
            for (seat, place) in analysis.seats_in(space) {
                let levels =
                    place.and_then(|place| noise_at(analysis, space, &room, &noises, &place.ear));
                if let Ok(levels) = levels {
                    let level_db = levels.each_ref().map(Uncertain::value);
                    let spectrum = NoiseSpectrum::from_63_hz(level_db);
                    report.noise.push(SeatNoise {
                        seat: seat.id.clone(),
                        level_db,
                        nc: spectrum.nc_between().map_or(f64::NAN, |rated| rated.number),
                        nr: spectrum.nr().map_or(f64::NAN, |rated| rated.number),
                    });
                }
            }
        }
        Ok(_) => {}
        Err(missing) => report.missing.push(missing.to_string()),
    }
    report
}

fn decay(analysis: &Analysis, space: &Space, room: &RoomSound) -> Vec<DecayOctave> {
    let told = |band: OctaveBand| {
        let here = room.bands[band.index()].as_ref()?;
        // The other laws have nothing to say of what was measured.
        let answers = match here.measured {
            None => every_answer(&here.room, None),
            Some(_) => Vec::new(),
        };
        let mut laws: Vec<(&'static str, f64)> = (answers.iter())
            .map(|answer| (answer.method.name(), answer.time.0))
            .collect();
        laws.extend(
            here.uneven_s
                .map(|time| (Method::ArauPuchades.name(), time)),
        );
        Some(DecayOctave {
            frequency_hz: band.nominal().0,
            time_s: here.time.value(),
            open_s: analysis::COVERAGE_FACTOR * here.time.standard_uncertainty(),
            law: match here.measured {
                None => here.method.name(),
                Some(_) => "measured",
            },
            laws,
            wanted_s: reverberation_limits(analysis, space, &room.volume, band),
            absorption_m2: here.absorption.value(),
        })
    };
    OctaveBand::ALL.into_iter().filter_map(told).collect()
}

fn of_loudspeaker(
    analysis: &Analysis,
    space: &Space,
    room: &RoomSound,
    source: &Sounding<'_>,
    report: &mut SoundReport,
) -> Known<()> {
    let seats: Vec<_> = analysis.seats_in(space).collect();
    let known = seats.iter().map_while(|(_, place)| place.as_ref().ok());
    let ears: Vec<Vector3> = known.map(|place| place.ear.clone()).collect();
    let mut reflections = analysis
        .reflections_at_each(space, source, &ears, 3, Seconds(0.05))?
        .into_iter();
    for (seat, place) in seats {
        let ear = place?.ear;
        let mut level_db = [0.0; 6];
        for (level, band) in level_db.iter_mut().zip(OctaveBand::ALL) {
            let (direct, reverberant) = loudspeaker_energy(room, source, &ear, band)?;
            *level = 10.0 * (direct + reverberant).value().log10();
        }
        report.levels.push(SeatLevels {
            loudspeaker: item_label(source.item).to_owned(),
            seat: seat.id.clone(),
            level_db,
        });
        let mut found = reflections.next().expect("a list for each known ear");
        found.sort_by(|a, b| b.level_db.total_cmp(&a.level_db));
        for one in found.into_iter().take(REFLECTIONS_TOLD) {
            let on_wall_m = match (one.surfaces.first(), one.points.first()) {
                (Some(Surface::Wall(wall)), Some(point)) => {
                    let (left, along, _) = analysis.shape(space).wall_frame(*wall)?;
                    let (left, along) = (left.value(), along.value());
                    let step = [point[0] - left[0], point[1] - left[1]];
                    Some([step[0] * along[0] + step[1] * along[1], point[2]])
                }
                _ => None,
            };
            report.reflections.push(ReflectionLine {
                loudspeaker: item_label(source.item).to_owned(),
                item: source.item.id.clone(),
                seat: seat.id.clone(),
                surfaces: one
                    .surfaces
                    .iter()
                    .map(|s| surface_name(space, *s))
                    .collect(),
                points_m: one.points.clone(),
                on_wall_m,
                delay_s: one.delay.0,
                level_db: one.level_db,
                frequency_hz: one.band.nominal().0,
            });
        }
    }
    Ok(())
}

fn surface_name(space: &Space, surface: Surface) -> String {
    match surface {
        Surface::Floor => "floor".to_owned(),
        Surface::Ceiling(_) => "ceiling".to_owned(),
        Surface::Wall(wall) => space.walls[wall].id.clone(),
        Surface::Box(..) => "soffit".to_owned(),
    }
}

/// How a room rings by tracing rays from its main seat's height in its middle: for rooms that no
/// formula is valid for. Furniture without a surface is taken as part of the floor. `stop` is
/// asked now and then and ends it.
pub fn ray_times(
    analysis: &Analysis,
    space: &Space,
    rays: u32,
    scattering: f64,
    stop: impl FnMut(u32) -> bool,
) -> Result<Option<RayTimes>, Missing> {
    let room = room_sound(analysis, space)?;
    let faces = analysis.faces(space)?;
    let surfaces: Vec<String> = faces
        .surfaces
        .iter()
        .map(|s| surface_name(space, *s))
        .collect();
    let mean = |surface: &str| {
        let name = if surface == "soffit" {
            "ceiling"
        } else {
            surface
        };
        let mut alpha = [0.0; BANDS];
        let mut area = 0.0;
        for piece in &room.pieces {
            let on_it = piece.side.as_deref() == Some(name);
            let stands_there = piece.side.is_none() && name == "floor";
            if !on_it && !stands_there {
                continue;
            }
            let amount = piece.amount.value();
            area += if on_it { amount } else { 0.0 };
            for (band, sum) in alpha.iter_mut().enumerate() {
                let band = OctaveBand::ALL[band];
                let near = OctaveBand::ALL[band.index().saturating_sub(1)];
                let known = piece.absorbs.alpha(band).or(piece.absorbs.alpha(near));
                *sum += amount * known.unwrap_or(0.0);
            }
        }
        alpha.map(|sum| (sum / area.max(1e-9)).clamp(0.0, 1.0))
    };
    let linings: Vec<RayFace> = (surfaces.iter())
        .map(|surface| RayFace {
            alpha: mean(surface),
            scattering,
        })
        .collect();
    let longest = (room.bands.iter().flatten())
        .map(|band| band.time.value())
        .fold(0.3, f64::max);
    let tracing = Tracing {
        rays,
        until: Seconds((1.2 * longest).min(6.0)),
        air: OctaveBand::ALL.map(|band| Air::indoors().attenuation(band.exact())),
        speed: SPEED_AT_20_C,
        seed: 1,
    };
    let source = middle(&faces.enclosure);
    let told = trace(&faces.enclosure, &linings, source, &tracing, stop);
    Ok(told.map(|told| RayTimes {
        octaves: (OctaveBand::ALL.into_iter())
            .map(|band| {
                let time = |time: Option<Seconds>| time.map(|time| time.0);
                let at = band.index();
                (band.nominal().0, time(told.t20(at)), time(told.t30(at)))
            })
            .collect(),
        rays,
        bounces: told.bounces,
        imbalance: (told.taken_by_faces[3] + told.taken_by_air[3] + told.left[3] - 1.0).abs(),
    }))
}

/// A point in the air: the first of a row of tries about the middle.
fn middle(room: &acoustics::enclosure::Enclosure) -> [Metres; 3] {
    let [low, high] = room.bounds();
    let at = |share: [f64; 3]| [0, 1, 2].map(|i| low[i] + (high[i] - low[i]) * share[i]);
    let tries = (0..200).map(|step| {
        let turn = f64::from(step) * 0.618_033_988_75 * 2.0 * PI;
        let out = 0.45 * (f64::from(step) / 200.0).sqrt();
        at([0.5 + out * turn.cos(), 0.5 + out * turn.sin(), 0.4])
    });
    let mut inside = tries.filter(|point| room.contains(*point));
    inside.next().unwrap_or_else(|| at([0.5; 3]))
}

/// The noise criterion curve of a number, straight between the two listed curves that enclose it,
/// 63 Hz to 8 kHz, dB.
pub fn noise_curve_db(number: f64) -> [f64; 8] {
    acoustics::noise::nc_curve_between(number)
}
