//! Ceiling grids worked apart from the engine.

use units::{Metres, Radians, Reference};

use super::{Grid, Overlap, covered_diameter, spacing, variation_modelled};

pub(crate) const REFERENCES: &[Reference] = &[
    Reference {
        cite: "2(h - e) tan(c/2): ceiling 2.70 m, ear 1.10 m, 90° (computed)",
        computed: || diameter(2.7, 1.1, 90.0),
        expected: 3.2,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "2(h - e) tan(c/2): ceiling 3.00 m, ear 1.65 m, 110° (computed)",
        computed: || diameter(3.0, 1.65, 110.0),
        expected: 3.855999618,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "printed layout guides, common practice: diameter 3.20 m, square, edge to edge: spacing (computed)",
        computed: || spacing(Metres(3.2), Grid::Square, Overlap::EdgeToEdge).0,
        expected: 3.2,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "printed layout guides, common practice: diameter 3.20 m, square, minimum overlap: spacing (computed)",
        computed: || spacing(Metres(3.2), Grid::Square, Overlap::Minimum).0,
        expected: 2.2627417,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "printed layout guides, common practice: diameter 3.20 m, square, centre to centre: spacing (computed)",
        computed: || spacing(Metres(3.2), Grid::Square, Overlap::CentreToCentre).0,
        expected: 1.6,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "printed layout guides, common practice: diameter 3.20 m, hexagonal, edge to edge: spacing (computed)",
        computed: || spacing(Metres(3.2), Grid::Hexagonal, Overlap::EdgeToEdge).0,
        expected: 3.2,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "printed layout guides, common practice: diameter 3.20 m, hexagonal, minimum overlap: spacing (computed)",
        computed: || spacing(Metres(3.2), Grid::Hexagonal, Overlap::Minimum).0,
        expected: 2.771281292,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "printed layout guides, common practice: diameter 3.20 m, hexagonal, centre to centre: spacing (computed)",
        computed: || spacing(Metres(3.2), Grid::Hexagonal, Overlap::CentreToCentre).0,
        expected: 1.6,
        tolerance: 0.001,
        unit: "m",
    },
    Reference {
        cite: "power sum of 51 x 51 sources (1 + (r/h)²)^-2: square, edge to edge: highest less lowest (computed)",
        computed: || variation_modelled(Grid::Square, Overlap::EdgeToEdge).0,
        expected: 3.571986464,
        tolerance: 0.02,
        unit: "dB",
    },
    Reference {
        cite: "power sum of 51 x 51 sources (1 + (r/h)²)^-2: square, minimum overlap: highest less lowest (computed)",
        computed: || variation_modelled(Grid::Square, Overlap::Minimum).0,
        expected: 1.155766742,
        tolerance: 0.02,
        unit: "dB",
    },
    Reference {
        cite: "power sum of 51 x 51 sources (1 + (r/h)²)^-2: square, centre to centre: highest less lowest (computed)",
        computed: || variation_modelled(Grid::Square, Overlap::CentreToCentre).0,
        expected: 0.21557245,
        tolerance: 0.02,
        unit: "dB",
    },
    Reference {
        cite: "power sum of 51 x 51 sources (1 + (r/h)²)^-2: hexagonal, edge to edge: highest less lowest (computed)",
        computed: || variation_modelled(Grid::Hexagonal, Overlap::EdgeToEdge).0,
        expected: 2.546087139,
        tolerance: 0.02,
        unit: "dB",
    },
    Reference {
        cite: "power sum of 51 x 51 sources (1 + (r/h)²)^-2: hexagonal, minimum overlap: highest less lowest (computed)",
        computed: || variation_modelled(Grid::Hexagonal, Overlap::Minimum).0,
        expected: 1.580134642,
        tolerance: 0.02,
        unit: "dB",
    },
    Reference {
        cite: "power sum of 51 x 51 sources (1 + (r/h)²)^-2: hexagonal, centre to centre: highest less lowest (computed)",
        computed: || variation_modelled(Grid::Hexagonal, Overlap::CentreToCentre).0,
        expected: 0.09775677989,
        tolerance: 0.02,
        unit: "dB",
    },
];

fn diameter(ceiling_m: f64, ear_m: f64, coverage_deg: f64) -> f64 {
    covered_diameter(
        Metres(ceiling_m),
        Metres(ear_m),
        Radians::from_degrees(coverage_deg),
    )
    .expect("an ear below the ceiling")
    .0
}
