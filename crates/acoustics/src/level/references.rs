//! Levels worked apart from the engine.

use units::{CubicMetres, Decibels, Metres, Ohms, Reference, Seconds, SquareMetres, Volts, Watts};

use super::{
    LFE_GAIN, RoomLevel, RoomPath, free_field_level, full_scale_sine, in_phase_sum,
    power_for_level, power_into, power_sum, room_level, sensitivity_per_watt, sine_peak,
};
use crate::air::SPEED_AT_20_C;
use crate::reverberation::absorption_from_time;

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "2.83²/Z: 87 dB for 2.83 V at 1 m, 4 ohm: level for 1 W (computed)",
        computed: || sensitivity_per_watt(Decibels(87.0), Ohms(4.0)).0,
        expected: 83.9848712,
        tolerance: 0.01,
        unit: "dB",
    },
    Reference {
        cite: "inverse square law: 90 dB 1 W 1 m, 200 W, 3.5 m, free field (computed)",
        computed: || free_field_level(Decibels(90.0), Watts(200.0), Metres(3.5)).0,
        expected: 102.1289391,
        tolerance: 0.01,
        unit: "dB",
    },
    Reference {
        cite: "inverse square law: 105 dB at 4.0 m from 88 dB 2.83 V 1 m at 8 ohm: power (computed)",
        computed: || {
            power_for_level(
                Decibels(105.0),
                sensitivity_per_watt(Decibels(88.0), Ohms(8.0)),
                Metres(4.0),
            )
            .0
        },
        expected: 802.7916871,
        tolerance: 0.803,
        unit: "W",
    },
    Reference {
        cite: "Lw + 10 lg(Q/4 pi r² + 4/R): Lw 95 dB, Q 2, r 3 m, V 70.2 m³, S 108.6 m², T 0.40 s, c 343.2 m/s: level (computed)",
        computed: || in_room().total.0,
        expected: 85.87778938,
        tolerance: 0.01,
        unit: "dB",
    },
    Reference {
        cite: "Lw + 10 lg(Q/4 pi r² + 4/R): Lw 95 dB, Q 2, r 3 m, V 70.2 m³, S 108.6 m², T 0.40 s, c 343.2 m/s: direct less diffuse sound (computed)",
        computed: || (in_room().direct - in_room().reverberant).0,
        expected: -7.72433011,
        tolerance: 0.01,
        unit: "dB",
    },
    Reference {
        cite: "10 lg sum: 85.0, 82.0 and 79.0 dB (computed)",
        computed: || power_sum([85.0, 82.0, 79.0].map(Decibels)).0,
        expected: 87.43627266,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "20 lg 2: two equal sources in phase re one (computed)",
        computed: || in_phase_sum([Decibels(0.0); 2]).0,
        expected: 6.0206,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "10 lg 5: five unlike sources of 85 dB (computed)",
        computed: || power_sum([Decibels(85.0); 5]).0,
        expected: 91.98970004,
        tolerance: 0.001,
        unit: "dB",
    },
    Reference {
        cite: "85 dB(C) with pink noise at -20 dBFS rms (AES17): full-scale sine of a main channel (computed)",
        computed: || full_scale_sine(Decibels(85.0), Decibels(-20.0)).0,
        expected: 105.0,
        tolerance: 1e-06,
        unit: "dB",
    },
    Reference {
        cite: "the same with +10 dB in-band gain: full-scale sine of the LFE channel (computed)",
        computed: || (full_scale_sine(Decibels(85.0), Decibels(-20.0)) + LFE_GAIN).0,
        expected: 115.0,
        tolerance: 1e-06,
        unit: "dB",
    },
    Reference {
        cite: "the same main channel: instantaneous peak, +3.01 dB crest (computed)",
        computed: || sine_peak(full_scale_sine(Decibels(85.0), Decibels(-20.0))).0,
        expected: 108.0103,
        tolerance: 0.0001,
        unit: "dB",
    },
    Reference {
        cite: "the same main channel with 0 dBFS as a full-scale square (computed)",
        computed: || {
            (full_scale_sine(Decibels(85.0), Decibels(-20.0)) - sine_peak(Decibels(0.0))).0
        },
        expected: 101.9897,
        tolerance: 0.0001,
        unit: "dB",
    },
    Reference {
        cite: "LFE at 115 dB and five mains at 105 dB folded to one subwoofer, all in phase (computed)",
        computed: || in_phase_sum(folded_bass()).0,
        expected: 123.24,
        tolerance: 0.005,
        unit: "dB",
    },
    Reference {
        cite: "LFE at 115 dB and five mains at 105 dB folded to one subwoofer, by power (computed)",
        computed: || power_sum(folded_bass()).0,
        expected: 116.76,
        tolerance: 0.005,
        unit: "dB",
    },
    Reference {
        cite: "V²/Z: 2.83 V into 4 ohm (computed)",
        computed: || power_into(Volts(2.83), Ohms(4.0)).0,
        expected: 2.002,
        tolerance: 0.0005,
        unit: "W",
    },
];

fn in_room() -> RoomLevel {
    let path = RoomPath {
        directivity: 2.0,
        distance: Metres(3.0),
        absorption: absorption_from_time(Seconds(0.4), CubicMetres(70.2), SPEED_AT_20_C),
        surfaces: SquareMetres(108.6),
    };
    room_level(Decibels(95.0), &path)
}

fn folded_bass() -> [Decibels; 6] {
    [115.0, 105.0, 105.0, 105.0, 105.0, 105.0].map(Decibels)
}
