//! How long does a space ring, as somebody measured it, and how sure is that?

use acoustics::octave::{OctaveBand, Octaves};
use acoustics::reverberation::measured_interval;
use model::{DecayBy, Reverberation, Space};
use units::Seconds;

use crate::{Analysis, Uncertain};

impl Analysis {
    /// The reverberation times that were measured in a space, s; none where nobody has.
    pub fn measured_reverberation(&self, space: &Space) -> Octaves<Uncertain> {
        let mut times = Octaves::default();
        if let Some(measured) = &space.reverberation {
            for (band, (_, time)) in OctaveBand::ALL.into_iter().zip(measured.octaves()) {
                times[band.index()] = self.number(time);
            }
        }
        times
    }

    /// The 95 % interval of a measured reverberation time that does not say its own, s.
    pub(crate) fn reverberation_interval(&self, number: u32) -> Option<f64> {
        let measurement = self.variables.measurement(number)?;
        let mut path = measurement.path.split('.');
        let ("space", id, model::REVERBERATION, key) =
            (path.next()?, path.next()?, path.next()?, path.next()?)
        else {
            return None;
        };
        let measured = self.job.space(id)?.reverberation.as_ref()?;
        let mut octaves = OctaveBand::ALL.into_iter().zip(measured.octaves());
        let (band, _) = octaves.find(|(_, (octave, _))| *octave == key)?;
        let time = Seconds(measurement.reading.value.filter(|time| *time > 0.0)?);
        let interval = measured_interval(
            time,
            band.nominal(),
            measured.places.unwrap_or(1),
            decays(measured),
        );
        Some(interval.0)
    }
}

/// How many decays one excitation counts for.
fn decays(measured: &Reverberation) -> u32 {
    match measured.by.unwrap_or_default() {
        DecayBy::Clap | DecayBy::Sweep => 10,
        DecayBy::Noise => 1,
    }
}
