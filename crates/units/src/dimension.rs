//! What kinds of quantity are read and printed, and within which bounds.

/// A kind of quantity. Money is not among them: it is decimal, see
/// [`read_money`](crate::read_money).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// m.
    Length,
    /// rad.
    Angle,
    /// m².
    Area,
    /// m³.
    Volume,
    /// lx.
    Illuminance,
    /// lm.
    LuminousFlux,
    /// cd/m².
    Luminance,
    /// dB; the name beside the value says the reference.
    Level,
    /// W.
    Power,
    /// V.
    Voltage,
    /// A.
    Current,
    /// Ω.
    Resistance,
    /// kg.
    Mass,
    /// °C, as in [`Celsius`](crate::Celsius).
    Temperature,
    /// K.
    TemperatureDifference,
    /// Hz.
    Frequency,
    /// s.
    Time,
    /// 1, linear: 3 % is 0.03.
    Ratio,
    /// 1, as [`Ratio`](Self::Ratio), but printed as a plain number: throw ratios, counts.
    Factor,
    /// bit/s.
    DataRate,
    /// N.
    Force,
    /// Cross-section of a conductor, m².
    WireArea,
    /// m/s.
    Speed,
}

/// The system of units that a quantity was typed in or is printed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum System {
    /// Feet, inches, pounds, °F, foot-candles, AWG.
    Imperial,
    /// Metres, kilograms, °C, lux, mm².
    Metric,
}

/// How a length was taken, which says how far off it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Method {
    /// A laser distance meter.
    Laser,
    /// A tape.
    Tape,
    /// Read off a drawing.
    Drawing,
    /// Paced out.
    Paced,
    /// Guessed by eye.
    Guess,
}

impl Method {
    /// Every method, best first.
    pub const ALL: [Self; 5] = [
        Self::Laser,
        Self::Tape,
        Self::Drawing,
        Self::Paced,
        Self::Guess,
    ];

    /// How far off a length taken this way may be, ± m.
    ///
    /// Common practice, no source: a laser's data sheet says about ± 2 mm, and the
    /// rest is bad aim, a sagging tape, plaster that is not on the drawing, and
    /// uneven steps.
    pub fn tolerance_m(self) -> f64 {
        match self {
            Self::Laser => 0.003,
            Self::Tape => 0.006,
            Self::Drawing => 0.050,
            Self::Paced => 0.150,
            Self::Guess => 0.300,
        }
    }

    /// The word that names the method, as it is typed and printed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Laser => "laser",
            Self::Tape => "tape",
            Self::Drawing => "drawing",
            Self::Paced => "paced",
            Self::Guess => "guess",
        }
    }

    /// The method that a typed word names, in any case.
    pub fn from_word(word: &str) -> Option<Self> {
        match word.to_lowercase().as_str() {
            "laser" | "lasered" => Some(Self::Laser),
            "tape" | "taped" => Some(Self::Tape),
            "drawing" | "drawn" | "plan" => Some(Self::Drawing),
            "paced" | "pace" | "paces" => Some(Self::Paced),
            "guess" | "guessed" | "estimate" | "estimated" => Some(Self::Guess),
            _ => None,
        }
    }
}

/// What the reader says about a dimension.
pub(crate) struct Facts {
    /// With its article: `a length`.
    pub name: &'static str,
    /// The units to offer first.
    pub units: &'static str,
    /// Two or three spellings.
    pub example: &'static str,
    /// Bounds, SI.
    pub low: f64,
    pub high: f64,
    /// The bounds in words.
    pub bounds: &'static str,
}

impl Dimension {
    /// Every dimension.
    pub const ALL: [Self; 23] = [
        Self::Length,
        Self::Angle,
        Self::Area,
        Self::Volume,
        Self::Illuminance,
        Self::LuminousFlux,
        Self::Luminance,
        Self::Level,
        Self::Power,
        Self::Voltage,
        Self::Current,
        Self::Resistance,
        Self::Mass,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::Frequency,
        Self::Time,
        Self::Ratio,
        Self::Factor,
        Self::DataRate,
        Self::Force,
        Self::WireArea,
        Self::Speed,
    ];

    /// What is accepted for this dimension, with an example.
    pub fn accepted(self) -> String {
        let Facts { units, example, .. } = self.facts();
        format!("{units}, for example {example}")
    }

    /// The bounds only catch slips of the finger: each lies well outside anything
    /// found in a house.
    pub(crate) fn facts(self) -> Facts {
        let facts = |name, units, example, low, high, bounds| Facts {
            name,
            units,
            example,
            low,
            high,
            bounds,
        };
        let turn = std::f64::consts::TAU;
        match self {
            Self::Length => facts(
                "a length",
                "ft, in, m, cm or mm",
                "10' 6 1/2\", 126 1/2 in, 3.21 m, 3210 mm or ?",
                -1e4,
                1e4,
                "between −10 km and 10 km",
            ),
            Self::Angle => facts(
                "an angle",
                "deg, rad or a slope",
                "15 deg, 15°, 12° 30′ or 4:12",
                -turn,
                turn,
                "between −360° and 360°",
            ),
            Self::Area => facts(
                "an area",
                "m² or ft²",
                "12.5 m² or 135 sq ft",
                0.0,
                1e6,
                "between 0 and 1 km²",
            ),
            Self::Volume => facts(
                "a volume",
                "m³, L or ft³",
                "52 m³ or 1840 cu ft",
                0.0,
                1e7,
                "between 0 and 10⁷ m³",
            ),
            Self::Illuminance => facts(
                "an illuminance",
                "lx or fc",
                "150 lx or 14 fc",
                0.0,
                2e5,
                "between 0 and 200 000 lx",
            ),
            Self::LuminousFlux => facts(
                "a luminous flux",
                "lm or klm",
                "2400 lm",
                0.0,
                1e7,
                "between 0 and 10⁷ lm",
            ),
            Self::Luminance => facts(
                "a luminance",
                "cd/m², nits or fL",
                "48 cd/m² or 14 fL",
                0.0,
                1e7,
                "between 0 and 10⁷ cd/m²",
            ),
            Self::Level => facts(
                "a level",
                "dB",
                "85 dB or -3 dB",
                -300.0,
                300.0,
                "between −300 dB and 300 dB",
            ),
            Self::Power => facts(
                "a power",
                "W, kW or BTU/h",
                "310 W or 1.5 kW",
                0.0,
                1e7,
                "between 0 and 10 MW",
            ),
            Self::Voltage => facts(
                "a voltage",
                "V, mV or kV",
                "120 V or 2 mV",
                -1e5,
                1e5,
                "between −100 kV and 100 kV",
            ),
            Self::Current => facts(
                "a current",
                "A or mA",
                "15 A or 500 mA",
                -1e5,
                1e5,
                "between −100 kA and 100 kA",
            ),
            Self::Resistance => facts(
                "a resistance",
                "ohm, kohm or Ω",
                "8 ohm or 47 kΩ",
                0.0,
                1e12,
                "between 0 and 10⁶ MΩ",
            ),
            Self::Mass => facts(
                "a mass",
                "kg, g, lb or oz",
                "12.5 kg or 12 lb 6 oz",
                0.0,
                1e5,
                "between 0 and 100 t",
            ),
            Self::Temperature => facts(
                "a temperature",
                "°C, °F or K",
                "21 °C or 70 °F",
                -273.15,
                5000.0,
                "between −273.15 °C and 5000 °C",
            ),
            Self::TemperatureDifference => facts(
                "a temperature difference",
                "K, °C or °F",
                "12 K or 20 °F",
                -5000.0,
                5000.0,
                "between −5000 K and 5000 K",
            ),
            Self::Frequency => facts(
                "a frequency",
                "Hz, kHz, MHz or GHz",
                "80 Hz or 2.5 kHz",
                0.0,
                1e12,
                "between 0 and 1000 GHz",
            ),
            Self::Time => facts(
                "a time",
                "s, ms, min or h",
                "0.4 s, 12 ms or 1 h 30 min",
                -1e9,
                1e9,
                "within 10⁹ s",
            ),
            Self::Ratio => facts(
                "a ratio",
                "% or a plain number",
                "3 %, 0.03, 1.32 or 16:9",
                -1e9,
                1e9,
                "between −10⁹ and 10⁹",
            ),
            Self::Factor => facts(
                "a factor",
                "% or a plain number",
                "1.32, 4 or 16:9",
                -1e9,
                1e9,
                "between −10⁹ and 10⁹",
            ),
            Self::DataRate => facts(
                "a data rate",
                "bit/s, kbit/s, Mbit/s, Gbit/s or MB/s",
                "100 Mbit/s or 18 Gbit/s",
                0.0,
                1e15,
                "between 0 and 1000 Tbit/s",
            ),
            Self::Force => facts(
                "a force",
                "N, kN, lbf or kgf",
                "450 N or 100 lbf",
                -1e7,
                1e7,
                "between −10 MN and 10 MN",
            ),
            Self::WireArea => facts(
                "a wire size",
                "AWG, mm² or kcmil",
                "14 AWG, 2/0 AWG or 2.5 mm²",
                1e-10,
                1e-2,
                "between 0.0001 mm² and 10 000 mm²",
            ),
            Self::Speed => facts(
                "a speed",
                "m/s, km/h, ft/s or ft/min",
                "2.5 m/s or 500 ft/min",
                -1e4,
                1e4,
                "between −10 km/s and 10 km/s",
            ),
        }
    }
}
