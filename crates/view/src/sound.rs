//! How loud it is over a room and at its seats, octave by octave, and from where each seat hears
//! each channel, as JSON.

use analysis::Analysis;
use schemars::JsonSchema;
use serde::Serialize;
use units::Dimension;

use crate::scene::{Plan, length, round};

/// A space's sound above the bass.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sound {
    /// The space.
    pub space: String,
    /// Its name for people.
    pub name: String,
    /// What must be known before levels can be told; empty where they are.
    pub missing: Option<String>,
    /// Side of a cell of the map, m.
    pub cell_m: f64,
    /// The middle of each cell of the map, m.
    pub cells: Vec<Plan>,
    /// How far above the floor they are, for people.
    pub up_text: String,
    /// Each octave.
    pub octaves: Vec<SoundOctave>,
    /// Each seat, and from where it hears each channel.
    pub dials: Vec<AngleDial>,
}

/// An octave: all loudspeakers but subwoofers by power, at equal levels 1 m before each.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SoundOctave {
    /// Its middle, Hz.
    pub hz: f64,
    /// The same for people.
    pub text: String,
    /// The level in each cell, re the loudest, dB.
    pub level_db: Vec<f64>,
    /// The level at each seat.
    pub seats: Vec<SoundSeat>,
}

/// A seat in an octave.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SoundSeat {
    /// The seat.
    pub seat: String,
    /// Its head in plan, m.
    pub at: Plan,
    /// Its level re the loudest place, dB.
    pub level_db: f64,
    /// The same for people.
    pub text: String,
}

/// From where a seat hears the channels of a layout.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AngleDial {
    /// The seat.
    pub seat: String,
    /// Whether the layout is meant for it.
    pub is_main: bool,
    /// One sentence on what it hears.
    pub says: String,
    /// Each channel.
    pub channels: Vec<DialChannel>,
}

/// A channel as a seat hears it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DialChannel {
    /// The loudspeaker.
    pub item: String,
    /// Its name for people.
    pub label: String,
    /// From straight ahead, positive to the left, rad.
    pub azimuth_rad: f64,
    /// Up from the ear, rad.
    pub up_rad: f64,
    /// Whether it plays above the listeners.
    pub is_overhead: bool,
    /// What is allowed at this seat, from the right end to the left, rad.
    pub azimuths_rad: Option<[f64; 2]>,
    /// Whether it is heard from where the layout has it, at this seat.
    pub is_inside: bool,
    /// Its direction for people.
    pub text: String,
}

/// A sitting head above the floor, m.
const EAR_M: f64 = 1.1;

/// A space's sound above the bass; none where the job has no such space.
pub fn sound(analysis: &Analysis, space: &str) -> Option<Sound> {
    let space = analysis.space(space)?;
    let mut found = Sound {
        space: space.id.clone(),
        name: space.label().to_owned(),
        missing: None,
        cell_m: 0.0,
        cells: Vec::new(),
        up_text: length(analysis, EAR_M),
        octaves: Vec::new(),
        dials: dials(analysis, space),
    };
    for hz in checks::MAP_HZ {
        let map = match checks::level_map(analysis, space, None, hz, EAR_M) {
            Ok(map) => map,
            Err(missing) => {
                found.missing = Some(crate::found::needed(&missing));
                return Some(found);
            }
        };
        found.cell_m = round(map.cell_m);
        found.cells = (map.cells.iter())
            .map(|([x, y], _)| [round(*x), round(*y)])
            .collect();
        let seats = map.seats.into_iter().filter_map(|(seat, level_db)| {
            let place = analysis
                .seats_in(space)
                .find(|(one, _)| one.id == seat)?
                .1
                .ok()?;
            Some(SoundSeat {
                seat,
                at: place.plan.value().map(round),
                level_db: tenth(level_db),
                text: analysis.exact(tenth(level_db), Dimension::Level),
            })
        });
        found.octaves.push(SoundOctave {
            hz,
            text: analysis.exact(hz, Dimension::Frequency),
            level_db: map.cells.iter().map(|(_, level)| tenth(*level)).collect(),
            seats: seats.collect(),
        });
    }
    Some(found)
}

fn tenth(level_db: f64) -> f64 {
    (level_db * 10.0).round() / 10.0 + 0.0
}

fn dials(analysis: &Analysis, space: &model::Space) -> Vec<AngleDial> {
    let angle = |angle: f64| analysis.exact(angle.abs(), Dimension::Angle);
    let dial = |seat: checks::SeatAngles| {
        let channels: Vec<DialChannel> = (seat.channels.into_iter())
            .map(|one| {
                let side = match one.azimuth_rad {
                    azimuth if azimuth.abs() < 1e-3 => "straight ahead".to_owned(),
                    azimuth if azimuth > 0.0 => format!("{} left", angle(azimuth)),
                    azimuth => format!("{} right", angle(azimuth)),
                };
                let up = match one.up_rad {
                    up if up.abs() < 1e-3 => String::new(),
                    up if up > 0.0 => format!(", {} up", angle(up)),
                    up => format!(", {} down", angle(up)),
                };
                let out = if one.is_inside {
                    ""
                } else {
                    ": out of its range here"
                };
                DialChannel {
                    text: format!("{}: {side}{up}{out}", one.label),
                    item: one.item,
                    label: one.label,
                    azimuth_rad: round(one.azimuth_rad),
                    up_rad: round(one.up_rad),
                    is_overhead: one.is_overhead,
                    azimuths_rad: one.azimuths_rad.map(|ends| ends.map(round)),
                    is_inside: one.is_inside,
                }
            })
            .collect();
        let out = channels.iter().filter(|channel| !channel.is_inside).count();
        let says = match (out, channels.len()) {
            (_, 0) => format!("Seat {} has no channel that is placed.", seat.seat),
            (0, _) => format!(
                "Seat {} hears every channel from where the layout has it.",
                seat.seat
            ),
            (out, all) => format!(
                "Seat {} hears {out} of {all} channels from elsewhere than the layout has them.",
                seat.seat
            ),
        };
        AngleDial {
            seat: seat.seat,
            is_main: seat.is_main,
            says,
            channels,
        }
    };
    checks::channel_angles(analysis, space)
        .into_iter()
        .map(dial)
        .collect()
}
