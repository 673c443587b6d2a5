//! Directions worked out apart from the engine.

use units::{Metres, Reference};

use super::{Direction, Listener, angle_at};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(-dx, dy): ear (2.25 2.0 1.1) m, facing +y, left main (0.6 5.0 1.1) m: azimuth (computed)",
        computed: || heard([0.6, 5.0, 1.1]).azimuth.degrees(),
        expected: 28.81079374,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "norm of the difference: ear (2.25 2.0 1.1) m, facing +y, left main (0.6 5.0 1.1) m: distance (computed)",
        computed: || heard([0.6, 5.0, 1.1]).distance.0,
        expected: 3.423813663,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(-dx, dy): ear (2.25 2.0 1.1) m, facing +y, right main (3.9 5.0 1.25) m: azimuth (computed)",
        computed: || heard([3.9, 5.0, 1.25]).azimuth.degrees(),
        expected: -28.81079374,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(dz, hypot(dx, dy)): ear (2.25 2.0 1.1) m, facing +y, right main (3.9 5.0 1.25) m: elevation (computed)",
        computed: || heard([3.9, 5.0, 1.25]).elevation.degrees(),
        expected: 2.508569525,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "norm of the difference: ear (2.25 2.0 1.1) m, facing +y, right main (3.9 5.0 1.25) m: distance (computed)",
        computed: || heard([3.9, 5.0, 1.25]).distance.0,
        expected: 3.427097898,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(-dx, dy): ear (2.25 2.0 1.1) m, facing +y, left surround (1.0 1.0 1.3) m: azimuth (computed)",
        computed: || heard([1.0, 1.0, 1.3]).azimuth.degrees(),
        expected: 128.6598083,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(dz, hypot(dx, dy)): ear (2.25 2.0 1.1) m, facing +y, left surround (1.0 1.0 1.3) m: elevation (computed)",
        computed: || heard([1.0, 1.0, 1.3]).elevation.degrees(),
        expected: 7.121575587,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "norm of the difference: ear (2.25 2.0 1.1) m, facing +y, left surround (1.0 1.0 1.3) m: distance (computed)",
        computed: || heard([1.0, 1.0, 1.3]).distance.0,
        expected: 1.61322658,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(-dx, dy): ear (2.25 2.0 1.1) m, facing +y, left front height (1.1 3.6 2.6) m: azimuth (computed)",
        computed: || heard([1.1, 3.6, 2.6]).azimuth.degrees(),
        expected: 35.7066914,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(dz, hypot(dx, dy)): ear (2.25 2.0 1.1) m, facing +y, left front height (1.1 3.6 2.6) m: elevation (computed)",
        computed: || heard([1.1, 3.6, 2.6]).elevation.degrees(),
        expected: 37.28072729,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "norm of the difference: ear (2.25 2.0 1.1) m, facing +y, left front height (1.1 3.6 2.6) m: distance (computed)",
        computed: || heard([1.1, 3.6, 2.6]).distance.0,
        expected: 2.476388499,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(-dx, dy): ear (2.25 2.0 1.1) m, facing +y, centre back (2.25 0.4 1.2) m: azimuth (computed)",
        computed: || heard([2.25, 0.4, 1.2]).azimuth.degrees(),
        expected: 180.0,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 convention, atan2(dz, hypot(dx, dy)): ear (2.25 2.0 1.1) m, facing +y, centre back (2.25 0.4 1.2) m: elevation (computed)",
        computed: || heard([2.25, 0.4, 1.2]).elevation.degrees(),
        expected: 3.576334375,
        tolerance: 0.01,
        unit: "deg",
    },
    Reference {
        cite: "norm of the difference: ear (2.25 2.0 1.1) m, facing +y, centre back (2.25 0.4 1.2) m: distance (computed)",
        computed: || heard([2.25, 0.4, 1.2]).distance.0,
        expected: 1.603121954,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "dot product: loudspeaker (0 0 2.4) m aimed at (3 0 1.1) m, ear (3.2 1.1 1.1) m: off-axis angle (computed)",
        computed: || off_axis([0.0, 0.0, 2.4], [3.0, 0.0, 1.1], [3.2, 1.1, 1.1]),
        expected: 17.71289229,
        tolerance: 0.01,
        unit: "deg",
    },
];

fn heard(loudspeaker: [f64; 3]) -> Direction {
    let listener = Listener {
        ear: [2.25, 2.0, 1.1].map(Metres),
        facing: [0.0, 1.0],
    };
    Direction::heard(&listener, loudspeaker.map(Metres)).expect("two different places")
}

fn off_axis(loudspeaker: [f64; 3], aim: [f64; 3], ear: [f64; 3]) -> f64 {
    angle_at(loudspeaker.map(Metres), aim.map(Metres), ear.map(Metres))
        .expect("three different places")
        .degrees()
}
