//! What to enter into a receiver before anything is measured: each channel's distance, delay
//! and level at the main seat.
//!
//! d_i = r_i; t_i = (r_max − r_i)/c; g_i = min_k L_k − L_i, with L_i the level at the seat for
//! 2.83 V, direct and room sound together, mean of the octaves 500 Hz to 2 kHz by power:
//! L_i = S_i + 10 log (e_i), S_i the sensitivity at 1 m, e_i the energy re 1 m before it.
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | r | from the loudspeaker to the ear | m |
//! | c | speed of sound, 343.21 m/s at 20 °C | m/s |
//! | t | delay that lines it up with the farthest | s |
//! | g | level that brings it down to the quietest | dB |
//!
//! Equal voltages: loudspeakers with an amplifier of their own get no level. Subwoofers get
//! their distance alone; their filters' delay is measured, not reckoned.

use acoustics::air::SPEED_AT_20_C;
use acoustics::arrival::{flight_time, trims};
use acoustics::octave::OctaveBand;
use analysis::{Analysis, LoudspeakerPlace, item_label};
use model::{Item, LoudspeakerForm, LoudspeakerKit, Space};
use serde::Serialize;
use units::Metres;

use crate::Known;
use crate::listening::main_seat;
use crate::room_sound::room_sound;
use crate::seat_sound::loudspeaker_energy;

/// What to enter for the loudspeakers of a space.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct StartingSettings {
    /// The seat that it is reckoned for.
    pub seat: String,
    /// Whether levels count the room's own sound; direct sound alone where finishes are missing.
    pub with_room: bool,
    /// One line a loudspeaker.
    pub lines: Vec<StartingLine>,
    /// What is missing for the rest, in words.
    pub missing: Vec<String>,
}

/// What to enter for a loudspeaker.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StartingLine {
    /// The loudspeaker's id.
    pub item: String,
    /// What it is called.
    pub loudspeaker: String,
    /// Its channel, as the job names it.
    pub channel: String,
    /// The distance to enter, m.
    pub distance_m: f64,
    /// ±, 95 %, m.
    pub open_m: f64,
    /// How long its sound takes, s.
    pub flight_s: f64,
    /// The delay to enter where a receiver asks for that, s.
    pub delay_s: f64,
    /// The level for 2.83 V at the seat, dB; none for subwoofers and loudspeakers of their own
    /// power.
    pub level_db: Option<f64>,
    /// The level to enter, dB.
    pub trim_db: Option<f64>,
}

/// Octaves that a level is the mean of.
const OCTAVES: [OctaveBand; 3] = [OctaveBand::Hz500, OctaveBand::Hz1000, OctaveBand::Hz2000];

/// What to enter for the loudspeakers of a space's layouts; none where nobody listens or no
/// layout plays.
pub fn starting_settings(analysis: &Analysis, space: &Space) -> Option<StartingSettings> {
    let seat = main_seat(space)?;
    let loudspeakers: Vec<(&Item, &LoudspeakerKit)> = (analysis.zones_in(space))
        .filter(|zone| zone.layout.is_some())
        .flat_map(|zone| analysis.loudspeakers_of(zone))
        .filter(|(item, _)| analysis.is_in(item, space))
        .collect();
    if loudspeakers.is_empty() {
        return None;
    }
    let mut found = StartingSettings {
        seat: seat.id.clone(),
        ..StartingSettings::default()
    };
    let ear = match analysis.seat(space, seat) {
        Ok(place) => place.ear,
        Err(missing) => {
            found.missing.push(missing.to_string());
            return Some(found);
        }
    };
    let room = match room_sound(analysis, space) {
        Ok(room) => Some(room),
        Err(missing) => {
            found.missing.push(missing.to_string());
            None
        }
    };
    found.with_room = room.is_some();
    let mut lines = Vec::new();
    for (item, kit) in loudspeakers {
        let line = || -> Known<StartingLine> {
            let LoudspeakerPlace { at, .. } = analysis.loudspeaker(item, kit)?;
            let distance = (&ear - &at).norm();
            let distance_m = distance.value();
            let is_low = kit.form == Some(LoudspeakerForm::Subwoofer);
            let sensitivity = analysis
                .number(kit.sensitivity.as_ref())
                .filter(|_| !is_low);
            let level_db = match sensitivity {
                None => None,
                Some(sensitivity) => {
                    let source = analysis.sounding(space, item, kit, ear.value())?;
                    let mut energy = 0.0;
                    for band in OCTAVES {
                        energy += match &room {
                            Some(room) => {
                                let (direct, reverberant) =
                                    loudspeaker_energy(room, &source, &ear, band)?;
                                (direct + reverberant).value()
                            }
                            None => source.direct_towards(ear.value(), band),
                        } / OCTAVES.len() as f64;
                    }
                    Some(sensitivity.value() + 10.0 * energy.log10())
                }
            };
            Ok(StartingLine {
                item: item.id.clone(),
                loudspeaker: item_label(item).to_owned(),
                channel: item.channel.clone().unwrap_or_default(),
                distance_m,
                open_m: analysis::COVERAGE_FACTOR * distance.standard_uncertainty(),
                flight_s: flight_time(Metres(distance_m), SPEED_AT_20_C).0,
                delay_s: 0.0,
                level_db,
                trim_db: None,
            })
        };
        match line() {
            Ok(line) => lines.push(line),
            Err(missing) => found.missing.push(missing.to_string()),
        }
    }
    let distances: Vec<Metres> = lines.iter().map(|line| Metres(line.distance_m)).collect();
    let quietest = (lines.iter().filter_map(|line| line.level_db)).fold(f64::INFINITY, f64::min);
    for (line, trim) in lines.iter_mut().zip(trims(&distances, SPEED_AT_20_C)) {
        line.delay_s = trim.delay.0;
        line.trim_db = line.level_db.map(|level| quietest - level);
    }
    found.lines = lines;
    Some(found)
}

#[cfg(test)]
mod tests {
    //! Two loudspeakers at 2 m and 3 m from the ear in a room without finishes: by hand.

    use analysis::Analysis;

    use super::*;
    use crate::listening::cinema;
    use crate::testing::{ROOM, job};

    fn settings(extra: &str) -> StartingSettings {
        // The ear is at (3, −2, 1.1) m.
        let item = |id: &str, kit: &str, wall: &str, from_left: &str| {
            format!(
                "[[item]]\nid = \"{id}\"\nis = \"{kit}\"\nzone = \"film\"\nchannel = \"{id}\"\non = {{ wall = \"{wall}\", from_left = \"{from_left}\", height = \"1.1 m\" }}\n"
            )
        };
        let text = cinema(
            "5.1",
            &format!(
                "{}{}{extra}",
                item("centre", "box-b1", "west", "2 m"),
                item("left-surround", "box-b1", "south", "3 m"),
            ),
        ) + "[[kit.loudspeaker]]\nid = \"box-b1\"\nform = \"in-wall\"\nsensitivity = \"88 dB\"\nimpedance = \"8 ohm\"\n";
        let analysis = Analysis::new(job(&format!("{ROOM}{text}")));
        starting_settings(&analysis, &analysis.job().space[0]).expect("a layout plays")
    }

    #[test]
    fn the_nearer_one_waits_for_the_farther_and_plays_softer() {
        let found = settings("");
        assert_eq!(found.seat, "sofa");
        assert!(!found.with_room);
        let [centre, surround] = &found.lines[..] else {
            panic!("{found:?}")
        };
        assert!((centre.distance_m - 3.0).abs() < 1e-3);
        assert!((surround.distance_m - 2.0).abs() < 1e-3);
        assert!(centre.delay_s.abs() < 1e-9);
        // 1 m / 343.21 m/s.
        assert!(
            (surround.delay_s * 1e3 - 2.914).abs() < 2e-3,
            "{}",
            surround.delay_s
        );
        assert_eq!(centre.trim_db, Some(0.0));
        // The same loudspeaker, aimed or not: at least 20 log 1.5 by distance.
        let trim = surround.trim_db.expect("it is passive");
        let level = |line: &StartingLine| line.level_db.expect("it is passive");
        assert!((trim - (level(centre) - level(surround))).abs() < 1e-9);
        assert!(trim < 0.0);
    }
}
