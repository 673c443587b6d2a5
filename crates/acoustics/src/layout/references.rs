//! Positions inside and outside the printed ranges.

use units::{Metres, Radians, Reference};

use super::position;
use crate::direction::Direction;

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 0+5+0 M+110 azimuth 100 to 120: margin at 95, 0 (confirmed)",
        computed: || margin("0+5+0", "M+110", 95.0, 0.0).azimuth,
        expected: -5.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 0+5+0 M+110 azimuth 100 to 120: margin at 112, 10 (confirmed)",
        computed: || margin("0+5+0", "M+110", 112.0, 10.0).azimuth,
        expected: 8.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 0+5+0 M+110 elevation 0 to 15: margin at 112, 10 (confirmed)",
        computed: || margin("0+5+0", "M+110", 112.0, 10.0).elevation,
        expected: 5.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 4+7+0 M+090 azimuth 85 to 110: margin at 88, 0 (confirmed)",
        computed: || margin("4+7+0", "M+090", 88.0, 0.0).azimuth,
        expected: 3.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 4+7+0 U+045 elevation 30 to 55: margin at 40, 58 (confirmed)",
        computed: || margin("4+7+0", "U+045", 40.0, 58.0).elevation,
        expected: -3.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 4+7+0 U+135 azimuth 100 to 150: margin at 100, 30 (confirmed)",
        computed: || margin("4+7+0", "U+135", 100.0, 30.0).azimuth,
        expected: 0.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 4+7+0 U+135 elevation 30 to 55: margin at 100, 30 (confirmed)",
        computed: || margin("4+7+0", "U+135", 100.0, 30.0).elevation,
        expected: 0.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.2051 table as kept in ebu/ebu_adm_renderer 2051_layouts.yaml: 9+10+3 U+045 azimuth 45 to 60: margin at 40, 35 (confirmed)",
        computed: || margin("9+10+3", "U+045", 40.0, 35.0).azimuth,
        expected: -5.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.775-3 fig. 1: LS 100 to 120: margin of a surround at 90 (confirmed)",
        computed: || margin("BS.775-3", "LS", 90.0, 0.0).azimuth,
        expected: -10.0,
        tolerance: 1e-09,
        unit: "deg",
    },
    Reference {
        cite: "ITU-R BS.775-3 fig. 1: L and R seen 60 apart from the seat (confirmed)",
        computed: || left_right_angle(),
        expected: 60.0,
        tolerance: 1e-09,
        unit: "deg",
    },
];

/// Margins in degrees.
struct MarginsDeg {
    azimuth: f64,
    elevation: f64,
}

fn margin(system: &str, channel: &str, azimuth_deg: f64, elevation_deg: f64) -> MarginsDeg {
    let heard = Direction {
        azimuth: Radians::from_degrees(azimuth_deg),
        elevation: Radians::from_degrees(elevation_deg),
        distance: Metres(2.0),
    };
    let margins = position(system, channel)
        .expect("a row of the table")
        .margins(&heard);
    let degrees = |margin: Option<Radians>| margin.expect("the row has both limits").degrees();
    MarginsDeg {
        azimuth: degrees(margins.azimuth),
        elevation: degrees(margins.elevation),
    }
}

fn left_right_angle() -> f64 {
    let at = |channel| {
        let row = position("BS.775-3", channel).expect("a channel of figure 1");
        Direction {
            azimuth: row.azimuth.expect("figure 1 sets it"),
            elevation: row.elevation.expect("figure 1 sets it"),
            distance: Metres(2.0),
        }
    };
    at("L").angle_to(&at("R")).degrees()
}
