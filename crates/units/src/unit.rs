//! Which units each dimension is typed in, and what each is worth in SI.
//!
//! Exact by definition: the inch is 25.4 mm and the pound 0.45359237 kg
//! (international yard and pound agreement of 1959; NIST SP 811, 2008, app. B),
//! standard gravity is 9.80665 m/s² (3rd CGPM 1901; SP 811 app. B), the British
//! thermal unit (IT) is 1055.05585262 J (SP 811 app. B.8). The foot-candle is
//! 1 lm/ft² and the foot-lambert 1/π cd/ft².

use std::f64::consts::PI;

use crate::dimension::{Dimension, System};

pub(crate) const INCH: f64 = 0.0254;
pub(crate) const FOOT: f64 = 0.3048;
pub(crate) const POUND: f64 = 0.453_592_37;
pub(crate) const OUNCE: f64 = POUND / 16.0;
pub(crate) const GRAVITY: f64 = 9.806_65;
pub(crate) const POUND_FORCE: f64 = POUND * GRAVITY;
pub(crate) const FOOT_CANDLE: f64 = 1.0 / (FOOT * FOOT);
pub(crate) const FOOT_LAMBERT: f64 = 1.0 / (PI * FOOT * FOOT);
pub(crate) const FAHRENHEIT: f64 = 5.0 / 9.0;
/// A circular mil is the area of a circle one thousandth of an inch across.
const KCMIL: f64 = 1000.0 * PI / 4.0 * (INCH / 1000.0) * (INCH / 1000.0);
const BTU: f64 = 1_055.055_852_62;
const DEGREE: f64 = PI / 180.0;

/// A unit and how people spell it.
#[derive(Debug, PartialEq)]
pub(crate) struct Unit {
    /// The spelling to show.
    pub symbol: &'static str,
    /// The spellings that [`normal`] leaves, most usual first.
    pub names: &'static [&'static str],
    /// SI = typed × factor + offset.
    pub factor: f64,
    pub offset: f64,
    pub system: Option<System>,
}

/// What may follow a quantity in a larger unit: the inches after the feet.
pub(crate) struct Follow {
    pub symbol: &'static str,
    /// As in "inches after feet".
    pub phrase: &'static str,
    /// Exclusive.
    pub limit: f64,
    /// May stand without its unit.
    pub bare: bool,
}

const fn unit(symbol: &'static str, names: &'static [&'static str], factor: f64) -> Unit {
    Unit {
        symbol,
        names,
        factor,
        offset: 0.0,
        system: None,
    }
}

const fn metric(symbol: &'static str, names: &'static [&'static str], factor: f64) -> Unit {
    Unit {
        symbol,
        names,
        factor,
        offset: 0.0,
        system: Some(System::Metric),
    }
}

const fn imperial(symbol: &'static str, names: &'static [&'static str], factor: f64) -> Unit {
    Unit {
        symbol,
        names,
        factor,
        offset: 0.0,
        system: Some(System::Imperial),
    }
}

const fn shifted(unit: Unit, offset: f64) -> Unit {
    Unit { offset, ..unit }
}

const LENGTH: &[Unit] = &[
    imperial("ft", &["ft", "'", "foot", "feet"], FOOT),
    imperial("in", &["in", "\"", "inch", "inches", "ins"], INCH),
    metric("m", &["m", "metre", "metres", "meter", "meters"], 1.0),
    metric(
        "cm",
        &[
            "cm",
            "centimetre",
            "centimetres",
            "centimeter",
            "centimeters",
        ],
        0.01,
    ),
    metric(
        "mm",
        &[
            "mm",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
        ],
        0.001,
    ),
    metric(
        "km",
        &["km", "kilometre", "kilometres", "kilometer", "kilometers"],
        1000.0,
    ),
    imperial("yd", &["yd", "yds", "yard", "yards"], 3.0 * FOOT),
];
const ANGLE: &[Unit] = &[
    unit("deg", &["deg", "°", "degs", "degree", "degrees"], DEGREE),
    unit(
        "arcmin",
        &["arcmin", "'", "min", "arcminute", "arcminutes"],
        DEGREE / 60.0,
    ),
    unit(
        "arcsec",
        &["arcsec", "\"", "sec", "arcsecond", "arcseconds"],
        DEGREE / 3600.0,
    ),
    unit("rad", &["rad", "radian", "radians"], 1.0),
    unit("mrad", &["mrad"], 1e-3),
];
const AREA: &[Unit] = &[
    metric(
        "m²",
        &[
            "m2",
            "sqm",
            "squaremetres",
            "squaremeters",
            "squaremetre",
            "squaremeter",
        ],
        1.0,
    ),
    imperial(
        "ft²",
        &["ft2", "sqft", "squarefeet", "squarefoot"],
        FOOT * FOOT,
    ),
    metric("cm²", &["cm2", "sqcm"], 1e-4),
    metric("mm²", &["mm2", "sqmm"], 1e-6),
    imperial(
        "in²",
        &["in2", "sqin", "squareinches", "squareinch"],
        INCH * INCH,
    ),
    imperial("yd²", &["yd2", "sqyd"], 9.0 * FOOT * FOOT),
];
const VOLUME: &[Unit] = &[
    metric(
        "m³",
        &[
            "m3",
            "cum",
            "cubicmetres",
            "cubicmeters",
            "cubicmetre",
            "cubicmeter",
        ],
        1.0,
    ),
    metric("L", &["L", "l", "litre", "litres", "liter", "liters"], 1e-3),
    imperial(
        "ft³",
        &["ft3", "cuft", "cubicfeet", "cubicfoot"],
        FOOT * FOOT * FOOT,
    ),
    metric("cm³", &["cm3", "cc"], 1e-6),
    imperial(
        "in³",
        &["in3", "cuin", "cubicinches", "cubicinch"],
        INCH * INCH * INCH,
    ),
];
const ILLUMINANCE: &[Unit] = &[
    metric("lx", &["lx", "lux", "lm/m2"], 1.0),
    imperial(
        "fc",
        &["fc", "ftc", "footcandle", "footcandles", "lm/ft2"],
        FOOT_CANDLE,
    ),
    metric("klx", &["klx", "klux"], 1e3),
];
const LUMINOUS_FLUX: &[Unit] = &[
    unit("lm", &["lm", "lumen", "lumens"], 1.0),
    unit("klm", &["klm", "kilolumen", "kilolumens"], 1e3),
];
const LUMINANCE: &[Unit] = &[
    metric("cd/m²", &["cd/m2", "nit", "nits", "nt"], 1.0),
    imperial(
        "fL",
        &["fL", "ftL", "footlambert", "footlamberts"],
        FOOT_LAMBERT,
    ),
];
const LEVEL: &[Unit] = &[unit("dB", &["dB", "decibel", "decibels"], 1.0)];
const POWER: &[Unit] = &[
    unit("W", &["W", "watt", "watts"], 1.0),
    unit("kW", &["kW", "kilowatt", "kilowatts"], 1e3),
    imperial("BTU/h", &["BTU/h", "BTU/hr", "BTUh"], BTU / 3600.0),
    unit("mW", &["mW", "milliwatt", "milliwatts"], 1e-3),
    unit("MW", &["MW", "megawatt", "megawatts"], 1e6),
];
const VOLTAGE: &[Unit] = &[
    unit("V", &["V", "volt", "volts"], 1.0),
    unit("mV", &["mV", "millivolt", "millivolts"], 1e-3),
    unit("kV", &["kV", "kilovolt", "kilovolts"], 1e3),
    unit("µV", &["uV", "microvolt", "microvolts"], 1e-6),
    unit("MV", &["MV"], 1e6),
];
const CURRENT: &[Unit] = &[
    unit("A", &["A", "amp", "amps", "ampere", "amperes"], 1.0),
    unit(
        "mA",
        &["mA", "milliamp", "milliamps", "milliampere", "milliamperes"],
        1e-3,
    ),
    unit("µA", &["uA", "microamp", "microamps"], 1e-6),
    unit("kA", &["kA"], 1e3),
    unit("MA", &["MA"], 1e6),
];
const RESISTANCE: &[Unit] = &[
    unit("Ω", &["ohm", "ohms"], 1.0),
    unit("kΩ", &["kohm", "kohms"], 1e3),
    unit("mΩ", &["mohm", "mohms", "milliohm", "milliohms"], 1e-3),
    unit("MΩ", &["Mohm", "Mohms", "megohm", "megohms"], 1e6),
];
const MASS: &[Unit] = &[
    metric(
        "kg",
        &["kg", "kgs", "kilogram", "kilograms", "kilo", "kilos"],
        1.0,
    ),
    metric("g", &["g", "gram", "grams"], 1e-3),
    imperial("lb", &["lb", "lbs", "pound", "pounds"], POUND),
    imperial("oz", &["oz", "ounce", "ounces"], OUNCE),
    metric("t", &["t", "tonne", "tonnes"], 1e3),
];
const TEMPERATURE: &[Unit] = &[
    metric(
        "°C",
        &["°C", "C", "degC", "degreesC", "celsius", "degreescelsius"],
        1.0,
    ),
    shifted(
        imperial(
            "°F",
            &[
                "°F",
                "F",
                "degF",
                "degreesF",
                "fahrenheit",
                "degreesfahrenheit",
            ],
            FAHRENHEIT,
        ),
        -32.0 * FAHRENHEIT,
    ),
    shifted(metric("K", &["K", "kelvin", "kelvins"], 1.0), -273.15),
];
const TEMPERATURE_DIFFERENCE: &[Unit] = &[
    metric("K", &["K", "kelvin", "kelvins"], 1.0),
    metric(
        "°C",
        &["°C", "C", "degC", "degreesC", "celsius", "degreescelsius"],
        1.0,
    ),
    imperial(
        "°F",
        &[
            "°F",
            "F",
            "degF",
            "degreesF",
            "fahrenheit",
            "degreesfahrenheit",
        ],
        FAHRENHEIT,
    ),
];
const FREQUENCY: &[Unit] = &[
    unit("Hz", &["Hz", "hertz"], 1.0),
    unit("kHz", &["kHz", "kilohertz"], 1e3),
    unit("MHz", &["MHz", "megahertz"], 1e6),
    unit("GHz", &["GHz", "gigahertz"], 1e9),
    unit("mHz", &["mHz", "millihertz"], 1e-3),
];
const TIME: &[Unit] = &[
    unit("s", &["s", "sec", "secs", "second", "seconds"], 1.0),
    unit("ms", &["ms", "msec", "millisecond", "milliseconds"], 1e-3),
    unit("min", &["min", "mins", "minute", "minutes"], 60.0),
    unit("h", &["h", "hr", "hrs", "hour", "hours"], 3600.0),
    unit("µs", &["us", "usec", "microsecond", "microseconds"], 1e-6),
    unit("d", &["d", "day", "days"], 86_400.0),
];
const RATIO: &[Unit] = &[unit("%", &["%", "percent", "pct"], 0.01)];
const DATA_RATE: &[Unit] = &[
    unit("bit/s", &["bit/s", "bits/s", "b/s", "bps"], 1.0),
    unit("kbit/s", &["kbit/s", "kb/s", "kbps", "Kbps"], 1e3),
    unit(
        "Mbit/s",
        &["Mbit/s", "Mb/s", "Mbps", "mbps", "mbit/s", "MBit/s"],
        1e6,
    ),
    unit(
        "Gbit/s",
        &["Gbit/s", "Gb/s", "Gbps", "gbps", "gbit/s", "GBit/s"],
        1e9,
    ),
    unit("Tbit/s", &["Tbit/s", "Tb/s", "Tbps"], 1e12),
    unit("kB/s", &["kB/s", "kBps", "kbyte/s"], 8e3),
    unit("MB/s", &["MB/s", "MBps", "Mbyte/s"], 8e6),
    unit("GB/s", &["GB/s", "GBps", "Gbyte/s"], 8e9),
];
const FORCE: &[Unit] = &[
    metric("N", &["N", "newton", "newtons"], 1.0),
    metric("kN", &["kN", "kilonewton", "kilonewtons"], 1e3),
    imperial(
        "lbf",
        &["lbf", "lb", "lbs", "poundforce", "poundsforce"],
        POUND_FORCE,
    ),
    metric("kgf", &["kgf"], GRAVITY),
];
const WIRE_AREA: &[Unit] = &[
    metric("mm²", &["mm2", "sqmm"], 1e-6),
    imperial("kcmil", &["kcmil", "MCM"], KCMIL),
    imperial("AWG", &["AWG", "ga", "gauge", "gage"], f64::NAN),
];
const SPEED: &[Unit] = &[
    metric("m/s", &["m/s", "mps"], 1.0),
    metric("km/h", &["km/h", "kmh", "kph"], 1000.0 / 3600.0),
    imperial("ft/s", &["ft/s", "fps"], FOOT),
    imperial("ft/min", &["ft/min", "fpm"], FOOT / 60.0),
    imperial("mph", &["mph"], 5280.0 * FOOT / 3600.0),
];

/// The units of a dimension. AWG has no factor: see [`wire`](crate::wire).
pub(crate) fn units(dimension: Dimension) -> &'static [Unit] {
    match dimension {
        Dimension::Length => LENGTH,
        Dimension::Angle => ANGLE,
        Dimension::Area => AREA,
        Dimension::Volume => VOLUME,
        Dimension::Illuminance => ILLUMINANCE,
        Dimension::LuminousFlux => LUMINOUS_FLUX,
        Dimension::Luminance => LUMINANCE,
        Dimension::Level => LEVEL,
        Dimension::Power => POWER,
        Dimension::Voltage => VOLTAGE,
        Dimension::Current => CURRENT,
        Dimension::Resistance => RESISTANCE,
        Dimension::Mass => MASS,
        Dimension::Temperature => TEMPERATURE,
        Dimension::TemperatureDifference => TEMPERATURE_DIFFERENCE,
        Dimension::Frequency => FREQUENCY,
        Dimension::Time => TIME,
        Dimension::Ratio | Dimension::Factor => RATIO,
        Dimension::DataRate => DATA_RATE,
        Dimension::Force => FORCE,
        Dimension::WireArea => WIRE_AREA,
        Dimension::Speed => SPEED,
    }
}

/// True for a dimension whose quantities are typed in two or three units at once.
pub(crate) fn is_compound(dimension: Dimension) -> bool {
    matches!(
        dimension,
        Dimension::Length | Dimension::Angle | Dimension::Mass | Dimension::Time
    )
}

/// What may follow a whole number of `unit`.
pub(crate) fn follow(dimension: Dimension, unit: &Unit) -> &'static [Follow] {
    const fn next(symbol: &'static str, phrase: &'static str, limit: f64, bare: bool) -> Follow {
        Follow {
            symbol,
            phrase,
            limit,
            bare,
        }
    }
    match (dimension, unit.symbol) {
        (Dimension::Length, "ft") => const { &[next("in", "inches after feet", 12.0, true)] },
        (Dimension::Length, "m") => {
            const {
                &[
                    next("cm", "centimetres after metres", 100.0, true),
                    next("mm", "millimetres after metres", 1000.0, false),
                ]
            }
        }
        (Dimension::Angle, "deg") => {
            const { &[next("arcmin", "minutes after degrees", 60.0, true)] }
        }
        (Dimension::Angle, "arcmin") => {
            const { &[next("arcsec", "seconds after minutes", 60.0, true)] }
        }
        (Dimension::Mass, "lb") => const { &[next("oz", "ounces after pounds", 16.0, true)] },
        (Dimension::Mass, "kg") => const { &[next("g", "grams after kilograms", 1000.0, false)] },
        (Dimension::Time, "d") => const { &[next("h", "hours after days", 24.0, false)] },
        (Dimension::Time, "h") => const { &[next("min", "minutes after hours", 60.0, true)] },
        (Dimension::Time, "min") => const { &[next("s", "seconds after minutes", 60.0, true)] },
        _ => &[],
    }
}

/// A spelling without what people leave out or write in several ways: spaces,
/// dots, hyphens, `^`, raised digits, the two micros and the two ohms.
pub(crate) fn normal(spelling: &str) -> String {
    let mut out = String::with_capacity(spelling.len());
    for c in spelling.chars() {
        match c {
            '.' | '^' | '·' => {}
            c if c.is_whitespace() || crate::scan::is_hyphen(c) => {}
            '²' => out.push('2'),
            '³' => out.push('3'),
            'µ' | 'μ' => out.push('u'),
            'Ω' | '\u{2126}' => out.push_str("ohm"),
            'º' | '˚' => out.push('°'),
            '\u{2044}' | '\u{2215}' => out.push('/'),
            '℃' => out.push_str("°C"),
            '℉' => out.push_str("°F"),
            c => out.push(c),
        }
    }
    out
}

/// The outcome of looking a spelling up.
pub(crate) enum Found {
    Unit(&'static Unit),
    /// It is two units but for its capitals.
    Either(&'static Unit, &'static Unit),
    Nothing,
}

/// Finds a normal spelling among a dimension's units: as it stands, then in any
/// case if only one unit is meant.
pub(crate) fn find(name: &str, dimension: Dimension) -> Found {
    let units = units(dimension);
    if let Some(unit) = units.iter().find(|unit| unit.names.contains(&name)) {
        return Found::Unit(unit);
    }
    let mut loose = units.iter().filter(|unit| {
        unit.names
            .iter()
            .any(|known| known.eq_ignore_ascii_case(name))
    });
    match (loose.next(), loose.next()) {
        (None, _) => Found::Nothing,
        (Some(unit), None) => Found::Unit(unit),
        (Some(one), Some(other)) => Found::Either(one, other),
    }
}

/// The dimension other than `dimension` that knows this spelling as it stands.
pub(crate) fn home(name: &str, dimension: Dimension) -> Option<Dimension> {
    let knows = |other: &Dimension| units(*other).iter().any(|unit| unit.names.contains(&name));
    Dimension::ALL
        .into_iter()
        .filter(|other| *other != dimension)
        .find(knows)
}

/// The known spelling nearest to a mistyped one, if near enough to offer.
pub(crate) fn nearest(name: &str, dimension: Dimension) -> Option<&'static str> {
    nearest_of(
        name,
        units(dimension)
            .iter()
            .flat_map(|unit| unit.names.iter().copied()),
    )
}

/// The word nearest to a mistyped one, if near enough to offer.
pub(crate) fn nearest_of(
    name: &str,
    spellings: impl Iterator<Item = &'static str>,
) -> Option<&'static str> {
    const WORD_BYTES_MAX: usize = 24;
    if name.len() > WORD_BYTES_MAX || name.chars().count() < 2 {
        return None;
    }
    let allowed = if name.chars().count() <= 4 { 1 } else { 2 };
    let name = name.to_lowercase();
    // Of equally distant spellings the one that shares more letters is meant: `metres` by `metrs`.
    let likeness = |known: &str| strsim::jaro_winkler(&name, &known.to_lowercase());
    spellings
        .filter(|known| known.chars().count() >= 2)
        .map(|known| {
            (
                strsim::damerau_levenshtein(&name, &known.to_lowercase()),
                known,
            )
        })
        .filter(|(distance, _)| *distance <= allowed)
        .min_by(|(a, one), (b, other)| a.cmp(b).then(likeness(other).total_cmp(&likeness(one))))
        .map(|(_, known)| known)
}
