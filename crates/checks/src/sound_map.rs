//! How loud it is over a room's plan and at its seats, and from where each seat hears each channel.

use acoustics::octave::OctaveBand;
use analysis::{Analysis, Missing, importance_of, item_label};
use model::{LoudspeakerForm, Space};
use serde::Serialize;

use crate::Known;
use crate::listening::{audience, main_seat};
use crate::room_sound::room_sound;
use crate::seat_sound::Playing;
use crate::sound::{channel_azimuth, channel_elevation};

/// The octaves that a map can be told for, Hz.
pub const MAP_HZ: [f64; 7] = [125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];

/// Levels over a room's plan at ear height in an octave.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LevelMap {
    /// Middle of each cell, m, and the level re the highest, dB.
    pub cells: Vec<([f64; 2], f64)>,
    /// Side of a cell, m.
    pub cell_m: f64,
    /// The room's corners, m.
    pub outline_m: Vec<[f64; 2]>,
    /// Each seat's level at its own ear, re the same, dB.
    pub seats: Vec<(String, f64)>,
}

/// From where a seat hears the channels of a layout.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatAngles {
    /// The zone with the layout.
    pub zone: String,
    /// The seat.
    pub seat: String,
    /// Whether the layout is meant for it.
    pub is_main: bool,
    /// How much it counts.
    pub importance: f64,
    /// Each channel that is placed and has a direction.
    pub channels: Vec<ChannelAngle>,
}

/// From where a seat hears a channel, best estimates.
#[derive(Clone, Debug, PartialEq)]
pub struct ChannelAngle {
    /// The loudspeaker.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// The layout's own label of the channel.
    pub channel: &'static str,
    /// From straight ahead, positive to the left, rad.
    pub azimuth_rad: f64,
    /// Up from the ear, rad; from straight ahead in the side view where the layout has it so.
    pub up_rad: f64,
    /// Whether it plays above the listeners.
    pub is_overhead: bool,
    /// What is allowed at this seat, from the right end to the left, rad.
    pub azimuths_rad: Option<[f64; 2]>,
    /// What is allowed upwards at this seat, rad.
    pub ups_rad: Option<[f64; 2]>,
    /// Whether both are met.
    pub is_inside: bool,
}

/// The level of one loudspeaker, or of all by power, over the plan at a height, in an octave.
/// Told are levels re the highest.
pub fn level_map(
    analysis: &Analysis,
    space: &Space,
    item: Option<&str>,
    frequency_hz: f64,
    height_m: f64,
) -> Result<LevelMap, Missing> {
    const CELLS: f64 = 24.0;
    let band = (OctaveBand::ALL.into_iter())
        .min_by(|a, b| {
            let off = |band: &OctaveBand| (band.nominal().0 / frequency_hz).ln().abs();
            off(a).total_cmp(&off(b))
        })
        .expect("there are octaves");
    let room = room_sound(analysis, space)?;
    let outline = analysis.shape(space).outline()?;
    let towards = match main_seat(space) {
        Some(seat) => analysis.seat(space, seat)?.ear.value(),
        None => [outline[0].x, outline[0].y, height_m],
    };
    let mut sources = Vec::new();
    for (one, kit) in analysis.loudspeakers_in(space) {
        let is_asked = item.is_none_or(|id| one.id == id);
        if is_asked && kit.form != Some(LoudspeakerForm::Subwoofer) {
            sources.push(analysis.sounding(space, one, kit, towards)?);
        }
    }
    let playing = (sources.iter())
        .map(|source| Playing::new(&room, source, &[band]))
        .collect::<Known<Vec<_>>>()?;
    let level = |ear: [f64; 3]| -> f64 {
        let each = playing.iter().flat_map(|source| source.energies(ear));
        let energy: f64 = each.map(|[direct, reverberant]| direct + reverberant).sum();
        10.0 * energy.log10()
    };
    let ends = |axis: fn(&geometry::Point2) -> f64| {
        let along = || outline.iter().map(axis);
        (
            along().fold(f64::INFINITY, f64::min),
            along().fold(f64::NEG_INFINITY, f64::max),
        )
    };
    let ((left, right), (low, high)) = (ends(|p| p.x), ends(|p| p.y));
    let cell_m = ((right - left).max(high - low) / CELLS).max(0.05);
    let mut cells = Vec::new();
    let count = |from: f64, to: f64| ((to - from) / cell_m).ceil() as u32;
    for row in 0..count(low, high) {
        for column in 0..count(left, right) {
            let [x, y] = [(left, column), (low, row)]
                .map(|(from, cell)| from + (f64::from(cell) + 0.5) * cell_m);
            if geometry::plan::contains(&outline, geometry::Point2::new(x, y)) {
                cells.push(([x, y], level([x, y, height_m])));
            }
        }
    }
    let most = (cells.iter().map(|cell| cell.1)).fold(f64::NEG_INFINITY, f64::max);
    for cell in &mut cells {
        cell.1 -= most;
    }
    let seats = (analysis.seats_in(space)).filter_map(|(seat, place)| {
        let ear = place.ok()?.ear.value();
        Some((seat.id.clone(), level(ear) - most))
    });
    Ok(LevelMap {
        cells,
        cell_m,
        outline_m: outline.iter().map(|corner| [corner.x, corner.y]).collect(),
        seats: seats.collect(),
    })
}

/// From where each seat of a space hears each channel of its layouts.
pub fn channel_angles(analysis: &Analysis, space: &Space) -> Vec<SeatAngles> {
    let mut found = Vec::new();
    for zone in analysis.zones_in(space) {
        let Some(layout) = zone.layout.as_deref() else {
            continue;
        };
        let audience = audience(analysis, space, zone, layout, false);
        for ears in &audience.seats {
            let allowance = ears.allowance(analysis);
            let wider = |[low, high]: [f64; 2]| [low - allowance, high + allowance];
            let channels = audience.channels.iter().map(|channel| {
                let two_sided = channel.is_two_sided(analysis);
                let range = channel_azimuth::allowed(analysis, &channel.position, two_sided);
                let range = range.map(|(range, _)| range);
                let heights = channel_elevation::heights(analysis, &channel.position);
                let azimuth_rad = ears.azimuth(&channel.at).value();
                let up_rad = match heights.as_ref().is_some_and(|heights| heights.side_view) {
                    true => ears.overhead(&channel.at).value(),
                    false => ears.elevation(&channel.at).value(),
                };
                let ups_rad = heights.map(|heights| wider([heights.low.value, heights.high.value]));
                let is_beside = range
                    .is_none_or(|range| range.margin(units::Radians(azimuth_rad)).0 >= -allowance);
                let is_up = ups_rad.is_none_or(|[low, high]| (low..=high).contains(&up_rad));
                ChannelAngle {
                    item: channel.item.id.clone(),
                    label: item_label(channel.item).to_owned(),
                    channel: channel.position.channel,
                    azimuth_rad,
                    up_rad,
                    is_overhead: channel.is_overhead(),
                    azimuths_rad: range.map(|range| wider([range.min.0, range.max.0])),
                    ups_rad,
                    is_inside: is_beside && is_up,
                }
            });
            found.push(SeatAngles {
                zone: zone.id.clone(),
                seat: ears.seat.id.clone(),
                is_main: ears.is_main(),
                importance: importance_of(ears.seat),
                channels: channels.collect(),
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    //! The test cinema with a surround straight to the left of its head.

    use analysis::Analysis;

    use super::*;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{ROOM, job};

    const DEAD: &str = "finishes = { walls = \"glass_fibre_50_wall\", floor = \"glass_fibre_50_wall\", ceiling = \"glass_fibre_50_wall\" }\n";

    fn den(text: &str) -> Analysis {
        Analysis::new(job(&format!("{ROOM}{DEAD}{text}")))
    }

    #[test]
    fn angles_are_those_of_the_checks() {
        let text = cinema("5.1", &in_wall("left-surround", "south", "3 m", "1.1 m"));
        let analysis = den(&text);
        let found = channel_angles(&analysis, &analysis.job().space[0]);
        assert_eq!(found.len(), 1);
        let [channel] = &found[0].channels[..] else {
            panic!("{found:?}")
        };
        assert!(found[0].is_main);
        let azimuth = channel.azimuth_rad.to_degrees();
        assert!((azimuth - 90.0).abs() < 0.05, "{azimuth}");
        // 100° to 120° of a 5.1 layout.
        assert!(!channel.is_inside);
        let farther = cinema("5.1", &in_wall("left-surround", "south", "2.2 m", "1.1 m"));
        let analysis = den(&farther);
        let found = channel_angles(&analysis, &analysis.job().space[0]);
        assert!(found[0].channels[0].is_inside, "{found:?}");
        // A dipole may be straight beside, from 80° on.
        let dipole = text.replacen(
            "form = \"in-wall\"\n",
            "form = \"in-wall\"\npattern = \"dipole\"\n",
            1,
        );
        let analysis = den(&dipole);
        let found = channel_angles(&analysis, &analysis.job().space[0]);
        assert!(found[0].channels[0].is_inside, "{found:?}");
    }

    #[test]
    fn a_seat_is_as_loud_as_the_map_around_it() {
        let text = cinema("5.1", &in_wall("left-surround", "south", "3 m", "1.1 m"));
        let analysis = den(&text);
        let space = &analysis.job().space[0];
        let map = level_map(&analysis, space, None, 1000.0, 1.1).unwrap();
        let (seat, level) = &map.seats[0];
        assert_eq!(seat, "sofa");
        // The head is at (3, −2) m: cells about it, 0.25 m wide, are within 2 dB.
        let near = map
            .cells
            .iter()
            .filter(|(at, _)| (at[0] - 3.0).hypot(at[1] + 2.0) < 0.3);
        let mut count = 0;
        for (_, cell) in near {
            assert!((cell - level).abs() < 2.0, "{cell} {level}");
            count += 1;
        }
        assert!(count >= 3);
        assert!(map.cells.iter().all(|(_, level)| *level <= 0.0));
    }
}
