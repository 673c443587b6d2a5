//! How loud is a loudspeaker at a seat, and how much power does it take?
//!
//! | law | form | valid for |
//! | --- | --- | --- |
//! | sensitivity | `L(1 W) = L(2.83 V) − 10 log₁₀(2.83² V²/Z / 1 W)` | rated impedance |
//! | free field | `L = L(1 W, 1 m) + 10 log₁₀(P/1 W) − 20 log₁₀(r/1 m)` | outdoors, or well within r_c |
//! | in a room | `L = L_W + 10 log₁₀(Q/4πr² + 4/R)`, `R = A/(1 − ᾱ)` | diffuse field |
//! | sums | `10 log₁₀ Σ 10^(L/10)`; in phase `20 log₁₀ n` | unlike; like signals |
//!
//! | symbol | meaning | unit |
//! | --- | --- | --- |
//! | L | sound pressure level re 20 µPa | dB |
//! | L_W | sound power level re 1 pW | dB |
//! | P, Z | electrical power, rated impedance | W, Ω |
//! | r | distance | m |
//! | Q | directivity factor; 1 all round, 2 half space | 1 |
//! | R, A, ᾱ | room constant, absorption area, mean absorption | m², m², 1 |
//!
//! Small rooms fall off by 3 to 6 dB a doubling past the critical distance: free
//! field and diffuse field are bounds. Rated impedance hides dips to 3 Ω, and no
//! loudspeaker follows its sensitivity up to its last watt.

use std::f64::consts::PI;

use units::{Amperes, Decibels, Metres, Ohms, SquareMetres, Volts, Watts};

mod references;
pub(crate) use references::REFERENCES;

/// The test voltage of sensitivity: 1 W into 8 Ω, rounded.
pub const SENSITIVITY_VOLTAGE: Volts = Volts(2.83);

/// The in-band gain of the low-frequency effects channel.
pub const LFE_GAIN: Decibels = Decibels(10.0);

/// The sensitivity re 1 W from that re 2.83 V, at the same distance.
pub fn sensitivity_per_watt(per_voltage: Decibels, impedance: Ohms) -> Decibels {
    let power = power_into(SENSITIVITY_VOLTAGE, impedance);
    per_voltage - Decibels(10.0 * power.0.log10())
}

/// The sensitivity re 2.83 V from that re 1 W, at the same distance.
pub fn sensitivity_per_voltage(per_watt: Decibels, impedance: Ohms) -> Decibels {
    let power = power_into(SENSITIVITY_VOLTAGE, impedance);
    per_watt + Decibels(10.0 * power.0.log10())
}

/// The free-field level at a distance, from the sensitivity at 1 W and 1 m.
pub fn free_field_level(per_watt: Decibels, power: Watts, distance: Metres) -> Decibels {
    per_watt + Decibels(10.0 * power.0.log10()) + distance_loss(distance)
}

/// The power for a free-field level at a distance.
pub fn power_for_level(level: Decibels, per_watt: Decibels, distance: Metres) -> Watts {
    Watts(10_f64.powf((level - per_watt - distance_loss(distance)).0 / 10.0))
}

/// What the free field takes on the way, re 1 m: −6.02 dB for each doubling.
pub fn distance_loss(distance: Metres) -> Decibels {
    Decibels(-20.0 * distance.0.log10())
}

/// The sound of one source in a room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomLevel {
    /// The direct sound alone.
    pub direct: Decibels,
    /// The diffuse sound alone.
    pub reverberant: Decibels,
    /// Both by power.
    pub total: Decibels,
}

/// What a source meets in a room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomPath {
    /// The source's directivity factor towards the seat, Q.
    pub directivity: f64,
    /// Source to seat.
    pub distance: Metres,
    /// The room's absorption area A.
    pub absorption: SquareMetres,
    /// The area of the room's surfaces S.
    pub surfaces: SquareMetres,
}

/// The level at a seat from a sound power level. Where the room absorbs all
/// (A = S), only the direct sound is left and the reverberant level is −∞.
pub fn room_level(sound_power_level: Decibels, path: &RoomPath) -> RoomLevel {
    let mean_alpha = (path.absorption.0 / path.surfaces.0).min(1.0);
    let direct = path.directivity / (4.0 * PI * path.distance.0.powi(2));
    let reverberant = 4.0 * (1.0 - mean_alpha) / path.absorption.0;
    let level = |part: f64| sound_power_level + Decibels(10.0 * part.log10());
    RoomLevel {
        direct: level(direct),
        reverberant: level(reverberant),
        total: level(direct + reverberant),
    }
}

/// The sound power level of a loudspeaker, from the free-field level it makes at
/// 1 m on axis and its directivity factor on that axis: `L_W = L + 10 log₁₀(4π/Q)`.
pub fn sound_power_level(at_one_metre: Decibels, directivity: f64) -> Decibels {
    at_one_metre + Decibels(10.0 * (4.0 * PI / directivity).log10())
}

/// The sum of unlike signals, by power; −∞ for none.
pub fn power_sum(levels: impl IntoIterator<Item = Decibels>) -> Decibels {
    let power: f64 = levels
        .into_iter()
        .map(|level| 10_f64.powf(level.0 / 10.0))
        .sum();
    Decibels(10.0 * power.log10())
}

/// The sum of like signals that arrive in phase, by pressure; −∞ for none. The
/// most that subwoofers or folded-down bass can add up to.
pub fn in_phase_sum(levels: impl IntoIterator<Item = Decibels>) -> Decibels {
    let pressure: f64 = levels
        .into_iter()
        .map(|level| 10_f64.powf(level.0 / 20.0))
        .sum();
    Decibels(20.0 * pressure.log10())
}

/// The level of a full-scale sine, from the level that noise of `noise_dbfs` rms
/// is set to. Full scale is the rms of a full-scale sine (AES17): with 0 dBFS as a
/// full-scale square the answer is 3.01 dB too high.
pub fn full_scale_sine(set_to: Decibels, noise_dbfs: Decibels) -> Decibels {
    set_to - noise_dbfs
}

/// The instantaneous peak of a sine re 20 µPa, from its rms level: +3.01 dB.
pub fn sine_peak(level: Decibels) -> Decibels {
    level + Decibels(10.0 * 2_f64.log10())
}

/// The rms level of a sine whose instants reach a peak re 20 µPa: −3.01 dB.
pub fn sine_of_peak(peak: Decibels) -> Decibels {
    peak - sine_peak(Decibels(0.0))
}

/// The power of a sine whose instants reach a peak power: half of it, since `p = P (1 − cos 2ωt)`.
pub fn sine_power_of_peak(peak: Watts) -> Watts {
    Watts(peak.0 / 2.0)
}

/// The power of the sine that clips where a programme does, when the programme's mean heats as
/// much as a steady power: `P_sine = P 10^(C/10)/2`, C its crest, peak over rms, dB.
///
/// At a sine's own crest of 3.01 dB that is the steady power itself.
pub fn sine_power_by_heat(steady: Watts, crest: Decibels) -> Watts {
    Watts(steady.0 * 10_f64.powf(crest.0 / 10.0) / 2.0)
}

/// The power a voltage gives into a load, V²/Z.
pub fn power_into(voltage: Volts, load: Ohms) -> Watts {
    Watts(voltage.0.powi(2) / load.0)
}

/// The voltage at which a load takes a power, √(P Z).
pub fn voltage_for(power: Watts, load: Ohms) -> Volts {
    Volts((power.0 * load.0).sqrt())
}

/// The current that a load draws at a power, √(P/Z).
pub fn current_for(power: Watts, load: Ohms) -> Amperes {
    Amperes((power.0 / load.0).sqrt())
}

/// What an amplifier, rated for one load, gives into another: between the two.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AmplifierPower {
    /// What can be counted on: never more than the rating (its current and heat
    /// may allow no more).
    pub sure: Watts,
    /// What an amplifier of unlimited current gives, P_rated Z_rated / Z.
    pub at_most: Watts,
}

/// The power of an amplifier into a load other than its rating's.
pub fn amplifier_power(rated: Watts, rated_load: Ohms, load: Ohms) -> AmplifierPower {
    let at_most = Watts(rated.0 * rated_load.0 / load.0);
    AmplifierPower {
        sure: Watts(rated.0.min(at_most.0)),
        at_most,
    }
}

/// The impedance of loads side by side on one channel; infinite for none.
pub fn parallel(loads: impl IntoIterator<Item = Ohms>) -> Ohms {
    Ohms(1.0 / loads.into_iter().map(|load| 1.0 / load.0).sum::<f64>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sensitivity_goes_there_and_back() {
        let there = sensitivity_per_watt(Decibels(87.0), Ohms(4.0));
        let back = sensitivity_per_voltage(there, Ohms(4.0));
        assert!((back.0 - 87.0).abs() < 1e-12);
    }

    #[test]
    fn power_for_a_level_gives_that_level() {
        let power = power_for_level(Decibels(105.0), Decibels(88.0), Metres(4.0));
        let level = free_field_level(Decibels(88.0), power, Metres(4.0));
        assert!((level.0 - 105.0).abs() < 1e-12);
    }

    #[test]
    fn doubling_the_distance_costs_six_decibels() {
        let step = distance_loss(Metres(4.0)) - distance_loss(Metres(2.0));
        assert!((step.0 + 6.0206).abs() < 1e-4);
    }

    #[test]
    fn direct_and_diffuse_meet_at_the_critical_distance() {
        let [absorption, surfaces] = [28.0, 1e9].map(SquareMetres);
        let distance = crate::reverberation::critical_distance(2.0, absorption);
        let path = RoomPath {
            directivity: 2.0,
            distance,
            absorption,
            surfaces,
        };
        let level = room_level(Decibels(90.0), &path);
        assert!((level.direct.0 - level.reverberant.0).abs() < 1e-6);
        assert!((level.total.0 - level.direct.0 - 3.0103).abs() < 1e-4);
    }

    #[test]
    fn a_dead_room_leaves_the_direct_sound() {
        let area = SquareMetres(50.0);
        let path = RoomPath {
            directivity: 1.0,
            distance: Metres(2.0),
            absorption: area,
            surfaces: area,
        };
        let level = room_level(Decibels(90.0), &path);
        assert_eq!(
            (level.total, level.reverberant.0),
            (level.direct, f64::NEG_INFINITY)
        );
    }

    #[test]
    fn sound_power_and_level_at_one_metre_agree() {
        let power = sound_power_level(Decibels(90.0), 2.0);
        let outdoors = RoomPath {
            directivity: 2.0,
            distance: Metres(1.0),
            absorption: SquareMetres(1.0),
            surfaces: SquareMetres(1.0),
        };
        assert!((room_level(power, &outdoors).total.0 - 90.0).abs() < 1e-9);
    }

    #[test]
    fn an_amplifier_is_never_trusted_past_its_rating() {
        let into = |load| amplifier_power(Watts(100.0), Ohms(8.0), Ohms(load));
        assert_eq!(
            (into(4.0).sure, into(4.0).at_most),
            (Watts(100.0), Watts(200.0))
        );
        assert_eq!(
            (into(16.0).sure, into(16.0).at_most),
            (Watts(50.0), Watts(50.0))
        );
    }

    #[test]
    fn a_sine_heats_and_peaks_as_it_does() {
        let crest = sine_peak(Decibels(0.0));
        assert!((sine_power_by_heat(Watts(80.0), crest).0 - 80.0).abs() < 1e-9);
        assert!((sine_of_peak(sine_peak(Decibels(105.0))).0 - 105.0).abs() < 1e-12);
        // 8 Ω at 40 V peak: 200 W in the instant, 28.28 V and 100 W of a sine.
        let sine = power_into(Volts(40.0 / 2_f64.sqrt()), Ohms(8.0));
        let peak = power_into(Volts(40.0), Ohms(8.0));
        assert!((sine_power_of_peak(peak).0 - sine.0).abs() < 1e-9);
    }

    #[test]
    fn ohms_law_closes() {
        let (power, load) = (Watts(50.0), Ohms(8.0));
        let product = voltage_for(power, load).0 * current_for(power, load).0;
        assert!((product - 50.0).abs() < 1e-9);
        assert!((parallel([Ohms(8.0), Ohms(8.0)]).0 - 4.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_sums_to_silence() {
        assert_eq!(power_sum([]).0, f64::NEG_INFINITY);
        assert_eq!(in_phase_sum([]).0, f64::NEG_INFINITY);
    }
}
