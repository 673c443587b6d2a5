//! What loudspeakers and noise make at a seat, octave by octave.

use std::f64::consts::PI;

use acoustics::octave::OctaveBand;
use analysis::{Analysis, Means, Missing, Parts, Sounding, item_label};
use model::{FixtureKind, Level, Space};
use uncertainty::Vector3;

use crate::room_sound::RoomSound;
use crate::{Known, Uncertain};

/// The octaves of noise data.
pub(crate) const NOISE_HZ: [f64; 8] = [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];

/// 4/R of a room in an octave: what its own sound adds for each watt. Octaves that no table
/// reaches take that of the nearest.
pub(crate) fn room_gain(room: &RoomSound, band: usize) -> Known<Uncertain> {
    let near = [band, band.saturating_sub(1), band.saturating_sub(2)];
    let known = near.into_iter().find_map(|band| room.bands[band].as_ref());
    let known = known.ok_or_else(|| {
        let what = "what the room's finishes absorb";
        Missing::new(what, "space", Means::Look)
    })?;
    Ok(known.gain.clone())
}

/// What a room adds of a loudspeaker's sound at any seat, re what it would make 1 m before it on
/// its axis: 4/R for the power that it sends in all.
pub(crate) fn reverberant(
    room: &RoomSound,
    source: &Sounding<'_>,
    band: OctaveBand,
) -> Known<Uncertain> {
    let power = 4.0 * PI / source.directivity_factor(band);
    Ok(room_gain(room, band.index())? * power)
}

/// Direct and reverberant energy of a loudspeaker at an ear, re what it would make 1 m before
/// it on its axis.
pub(crate) fn loudspeaker_energy(
    room: &RoomSound,
    source: &Sounding<'_>,
    ear: &Vector3,
    band: OctaveBand,
) -> Known<(Uncertain, Uncertain)> {
    Ok((
        source.direct_to(ear, band),
        reverberant(room, source, band)?,
    ))
}

/// An octave of a loudspeaker at an ear, as energy re what it would make 1 m before it on its
/// axis.
pub(crate) struct HeardOctave {
    /// What goes straight.
    pub direct: Uncertain,
    /// The room's own sound.
    pub reverberant: Uncertain,
}

/// A loudspeaker that may be heard at many seats: what the room adds is the same at each.
pub(crate) struct Playing<'a> {
    source: &'a Sounding<'a>,
    bands: Vec<(OctaveBand, Uncertain)>,
}

impl<'a> Playing<'a> {
    /// In these octaves.
    pub fn new(room: &RoomSound, source: &'a Sounding<'a>, bands: &[OctaveBand]) -> Known<Self> {
        let with_room = |band: &OctaveBand| Ok((*band, reverberant(room, source, *band)?));
        Ok(Self {
            source,
            bands: bands.iter().map(with_room).collect::<Known<_>>()?,
        })
    }

    /// Direct and reverberant energy at an ear in each octave, best estimates, re what it would
    /// make 1 m before it on its axis.
    pub fn energies(&self, ear: [f64; 3]) -> impl Iterator<Item = [f64; 2]> {
        let directs = self.source.directs_towards(ear, self.octaves());
        (directs.zip(&self.bands)).map(|(direct, (_, room))| [direct, room.value()])
    }

    /// At an ear, octave by octave.
    pub fn at(&self, ear: &Vector3) -> Vec<HeardOctave> {
        let directs = self.source.directs_to(ear, self.octaves());
        let octave = |(direct, (_, room)): (Uncertain, &(OctaveBand, Uncertain))| HeardOctave {
            direct,
            reverberant: room.clone(),
        };
        directs.zip(&self.bands).map(octave).collect()
    }

    fn octaves(&self) -> impl Iterator<Item = OctaveBand> {
        self.bands.iter().map(|(band, _)| *band)
    }
}

/// Something that makes noise: where it is, its sound power by octave, how it spreads.
pub(crate) struct Noise {
    pub label: String,
    pub item: NoiseOf,
    pub at: Vector3,
    pub power_db: [Uncertain; 8],
    /// Directivity factor: 2 in a surface, 1 in the open.
    pub factor: f64,
}

/// Whose noise it is.
#[derive(Clone)]
pub(crate) enum NoiseOf {
    /// The fixture's id.
    Vent(String),
    /// The catalogue entry's id.
    Projector(String),
}

/// What makes noise in a space: vents and projectors. `Err` names the first fact that is
/// missing.
pub(crate) fn noises(analysis: &Analysis, space: &Space) -> Known<Vec<Noise>> {
    let octaves = |levels: &[Level; 8]| -> Option<[Uncertain; 8]> {
        let levels: Option<Vec<Uncertain>> = levels
            .iter()
            .map(|level| analysis.number(Some(level)))
            .collect();
        levels?.try_into().ok()
    };
    let mut found = Vec::new();
    let full = analysis.with_parts(space, Parts::ALL);
    let vents = full
        .fixture
        .iter()
        .filter(|fixture| fixture.kind == FixtureKind::Vent);
    for vent in vents {
        let label = vent.id.replace('-', " ");
        let levels = vent.noise_power.as_ref().and_then(octaves).ok_or_else(|| {
            let what = format!(
                "the sound power of {label} by octave, 63 Hz to 8 kHz, at the air flow in use"
            );
            let at = format!("space.{}.fixture.{}.noise_power", space.id, vent.id);
            Missing::new(what, at, Means::SpecSheet)
        })?;
        found.push(Noise {
            at: analysis.fixture_point(full, vent)?,
            item: NoiseOf::Vent(vent.id.clone()),
            label,
            power_db: levels,
            factor: 2.0,
        });
    }
    for (item, kit) in analysis.projectors_in(space) {
        let levels = kit
            .noise_octaves
            .as_ref()
            .and_then(octaves)
            .ok_or_else(|| {
                let what = format!("the noise of {} at 1 m by octave, 63 Hz to 8 kHz", item.is);
                let at = format!("kit.projector.{}.noise_octaves", kit.common.id);
                Missing::new(what, at, Means::SpecSheet)
            })?;
        // L_W = L(1 m) + 10 log 4π in the free field.
        let to_power = 10.0 * (4.0 * PI).log10();
        found.push(Noise {
            label: item_label(item).to_owned(),
            item: NoiseOf::Projector(kit.common.id.clone()),
            at: analysis.item_point(item)?,
            power_db: levels.map(|level| level + to_power),
            factor: 1.0,
        });
    }
    Ok(found)
}

/// The noise at an ear by octave, 63 Hz to 8 kHz, dB: what was measured with all off, and each
/// source direct and by the room.
pub(crate) fn noise_at(
    analysis: &Analysis,
    space: &Space,
    room: &RoomSound,
    noises: &[Noise],
    ear: &Vector3,
) -> Known<[Uncertain; 8]> {
    let to_power = std::f64::consts::LN_10 / 10.0;
    let mut levels = Vec::with_capacity(8);
    for octave in 0..8 {
        let mut energy = Uncertain::exact(1e-6);
        if let Some(background) = &space.noise_octaves
            && let Some(level) = analysis.number(Some(&background[octave]))
        {
            energy = energy + (level * to_power).exp();
        }
        // 63 Hz takes what the tables say of 125 Hz.
        let gain = room_gain(room, octave.saturating_sub(1))?;
        for noise in noises {
            let distance = (ear - &noise.at).norm();
            let direct = Uncertain::exact(noise.factor / (4.0 * PI)) / distance.square();
            energy = energy + (&noise.power_db[octave] * to_power).exp() * (direct + &gain);
        }
        levels.push(energy.log10() * 10.0);
    }
    Ok(levels.try_into().expect("eight octaves"))
}

#[cfg(test)]
mod tests {
    //! A loudspeaker of each law of directivity in the test cinema.

    use super::*;
    use crate::listening::{cinema, in_wall};
    use crate::room_sound::room_sound;
    use crate::testing::{ROOM, job};

    const FINISHES: &str = "finishes = { walls = \"gypsum-on-studs\", floor = \"carpet-on-pad\", ceiling = \"gypsum-on-studs\" }\n";

    /// Every octave is what it is by itself, whether octaves are alike or not.
    #[test]
    fn octaves_together_are_those_one_by_one() {
        for sheet in [
            "",
            "coverage = \"100 deg\"\n",
            "driver = \"130 mm\"\n",
            "driver = \"25 mm\"\n",
            "driver = \"130 mm\"\ncoverage = \"100 deg\"\n",
            "pattern = \"dipole\"\n",
            "pattern = \"bipole\"\n",
        ] {
            let items = in_wall("left-surround", "south", "3.7 m", "1.4 m");
            let form = "form = \"in-wall\"\n";
            let film = cinema("5.1", &items).replacen(form, &format!("{form}{sheet}"), 1);
            let analysis = Analysis::new(job(&format!("{ROOM}{FINISHES}{film}")));
            let space = analysis.space("den").expect("the room");
            let room = room_sound(&analysis, space).expect("its finishes are known");
            let place = analysis.seats_in(space).next().expect("the seat").1;
            let ear = place.expect("its place is known").ear;
            let (item, kit) = (analysis.loudspeakers_in(space).next()).expect("the surround");
            let source = analysis.sounding(space, item, kit, ear.value());
            let source = source.expect("it has a place");
            let playing = Playing::new(&room, &source, &OctaveBand::ALL).expect("a known room");
            let energies: Vec<[f64; 2]> = playing.energies(ear.value()).collect();
            for (index, heard) in playing.at(&ear).into_iter().enumerate() {
                let band = OctaveBand::ALL[index];
                let alone = loudspeaker_energy(&room, &source, &ear, band);
                let alone = alone.expect("a known room");
                assert_eq!((heard.direct, heard.reverberant), alone, "{sheet}{band:?}");
                let values = [source.direct_towards(ear.value(), band), alone.1.value()];
                assert_eq!(energies[index], values, "{sheet}{band:?}");
            }
        }
    }
}
