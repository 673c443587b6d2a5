//! Prints a quantity in the crew's own units, never finer than it is known.

use crate::dimension::{Dimension, System};
use crate::unit;
use crate::wire;

/// Between a number and its SI unit: thin and unbreakable.
const THIN_SPACE: char = '\u{202F}';
const MINUS: char = '−';
const MILLIMETRE: f64 = 0.001;
/// What is known to this, SI, is exact: rounding leaves as much of terms that cancel.
const EXACT: f64 = 1e-9;
/// Ladders are compared with this slack, so that 1/4 in computed in metres counts as 1/4 in.
const SLACK: f64 = 1.0 + 1e-9;

/// Prints quantities in one system of units.
///
/// | dimension | metric | imperial | finest step | digits |
/// |---|---|---|---|---|
/// | length | mm, from 1 m up m | in, from 1 ft up ft and in | 1 mm, 1/8 in | all |
/// | angle | ° | ° | 0.1° | all |
/// | area | m² | ft² | 0.01 m², 0.1 ft² | 3 |
/// | volume | m³ | ft³ | 0.01 m³, 0.1 ft³ | 3 |
/// | illuminance | lx | fc | 0.01 lx, 0.001 fc | 3 |
/// | luminous flux | lm | lm | 1 lm | 3 |
/// | luminance | cd/m² | fL | 0.001 | 3 |
/// | level | dB | dB | 0.1 dB | all |
/// | power | mW, W, from 10 kW up kW | the same | 0.01 mW | 3 |
/// | voltage, current | mV, V; mA, A | the same | 0.01 mV, 0.01 mA | 3 |
/// | resistance | mΩ, Ω, kΩ, MΩ | the same | 0.01 mΩ | 3 |
/// | mass | g, from 1 kg up kg | lb | 1 g, 0.01 lb | 3 |
/// | temperature, difference | °C, K | °F | 0.1 | all |
/// | frequency | Hz, kHz, MHz, GHz | the same | 0.1 Hz | 3 |
/// | time | ms, s, then min and s, then h and min | the same | 0.01 ms | 3 |
/// | ratio | %, above 1000 % a plain number | the same | 0.01 % | 3 |
/// | data rate | bit/s, kbit/s, Mbit/s, Gbit/s, Tbit/s | the same | 1 bit/s | 4 |
/// | force | N, from 10 kN up kN | lbf | 0.1 | 3 |
/// | wire size | mm² | AWG, mm² for what is no gauge | 0.001 mm² | 3 |
/// | speed | m/s | ft/s | 0.01 | 3 |
///
/// With an uncertainty the value goes by the same [`step`] as the uncertainty, in one unit with
/// it, and every decimal of the step is printed (`3.210 m`); the digits are then the
/// uncertainty's affair. Without one the digits are limited, and trailing zeros are dropped
/// (`3.21 m`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Printer {
    /// The crew's units.
    pub system: System,
}

impl Printer {
    /// A quantity given in SI as [`Dimension`] says, with its uncertainty (SI, half
    /// width at 95 %) if it has one. The table above says in which units.
    ///
    /// ```
    /// use units::{Dimension, Printer, System};
    ///
    /// let imperial = Printer { system: System::Imperial };
    /// assert_eq!(imperial.print(3.2131, Dimension::Length, None), "10′\u{202F}6\u{202F}1/2″");
    /// let metric = Printer { system: System::Metric };
    /// assert_eq!(metric.print(3.2131, Dimension::Length, Some(0.036)), "3.21\u{202F}m");
    /// ```
    pub fn print(self, value: f64, dimension: Dimension, uncertainty: Option<f64>) -> String {
        let Printed {
            negative,
            magnitude,
            ..
        } = self.printed(value, dimension, uncertainty);
        if negative {
            format!("{MINUS}{magnitude}")
        } else {
            magnitude
        }
    }

    /// As [`print`](Self::print), always with a sign; what rounds to 0 has a +.
    pub fn print_signed(
        self,
        value: f64,
        dimension: Dimension,
        uncertainty: Option<f64>,
    ) -> String {
        let Printed {
            negative,
            magnitude,
            ..
        } = self.printed(value, dimension, uncertainty);
        format!("{}{magnitude}", if negative { MINUS } else { '+' })
    }

    /// The diagonal of a picture as the trade states it: whole and part inches however
    /// long (`110″`), or whole centimetres (`164 cm`).
    pub fn print_diagonal(self, value_m: f64) -> String {
        if !value_m.is_finite() {
            return self.print(value_m, Dimension::Length, None);
        }
        match self.system {
            System::Imperial => format!(
                "{}″",
                inches_text(round_to(value_m / unit::INCH, 1.0 / 8.0))
            ),
            System::Metric => format!("{:.0}\u{202F}cm", value_m * 100.0),
        }
    }

    /// As [`print_signed`](Self::print_signed), with the uncertainty to the same step and in the same
    /// unit: `−520 ms` and `±220 ms`. An uncertainty that is none has no text.
    pub fn print_both(
        self,
        value: f64,
        dimension: Dimension,
        uncertainty: Option<f64>,
    ) -> (String, Option<String>) {
        let printed = self.printed(value, dimension, uncertainty);
        let sign = if printed.negative { MINUS } else { '+' };
        let spread = match uncertainty {
            Some(u) if !u.is_finite() => Some(not_finite(f64::INFINITY)),
            _ => printed.uncertainty,
        };
        (
            format!("{sign}{}", printed.magnitude),
            spread.map(|spread| format!("±{spread}")),
        )
    }

    /// An uncertainty by itself, in its own unit: `±6 mm`. What a person states of a length may be
    /// as fine as 1/16 in; what is less than can be printed is told as the finest.
    pub fn print_uncertainty(self, uncertainty: f64, dimension: Dimension) -> String {
        let u = uncertainty.abs();
        if !u.is_finite() {
            return format!("±{}", not_finite(f64::INFINITY));
        }
        let dimension = match dimension {
            Dimension::Temperature => Dimension::TemperatureDifference,
            other => other,
        };
        let inches = u / unit::INCH;
        if (dimension, self.system) == (Dimension::Length, System::Imperial)
            && inches > 0.0
            && inches < 3.0 / 32.0
        {
            return "±1/16″".to_owned();
        }
        let told = u.max(if u > EXACT {
            step(self.system, dimension, None)
        } else {
            0.0
        });
        let printed = self.printed(0.0, dimension, Some(told));
        format!("±{}", printed.uncertainty.unwrap_or(printed.magnitude))
    }

    /// A plain number such as a throw ratio or a gain: three significant digits, or
    /// what its uncertainty supports.
    pub fn print_number(self, value: f64, uncertainty: Option<f64>) -> String {
        if !value.is_finite() {
            return not_finite(value);
        }
        self.print(value, Dimension::Factor, uncertainty)
    }

    fn printed(self, value: f64, dimension: Dimension, uncertainty: Option<f64>) -> Printed {
        if !value.is_finite() {
            return Printed {
                negative: value < 0.0,
                magnitude: not_finite(value.abs()),
                uncertainty: None,
            };
        }
        let uncertainty = uncertainty
            .map(f64::abs)
            .filter(|u| u.is_finite() && *u > EXACT);
        let scale = Scale::of(dimension, self.system);
        let shifted = value - scale.offset;
        let (magnitude, spread) = match (dimension, self.system) {
            (Dimension::WireArea, System::Imperial) if wire::gauge(value).is_some() => {
                let gauge = wire::gauge(value).expect("the guard asked");
                let metric = Scale::of(dimension, System::Metric);
                (
                    format!("{} AWG", wire::gauge_text(gauge)),
                    metric.print(0.0, uncertainty).1,
                )
            }
            (Dimension::Length, _) => length(value.abs(), self.system, uncertainty),
            (Dimension::Time, _) => time(value.abs(), uncertainty),
            (Dimension::Ratio, _) if value.abs() > 10.0 => {
                Scale::of(Dimension::Factor, self.system).print(value.abs(), uncertainty)
            }
            _ => scale.print(shifted.abs(), uncertainty),
        };
        Printed {
            negative: shifted < 0.0 && !is_zero(&magnitude),
            magnitude,
            uncertainty: spread,
        }
    }
}

/// A fixed value in metric and in imperial units, where nobody says which system a crew thinks
/// in; once where both are alike. An angle that its usual step would lose keeps its digits.
pub fn in_both_systems(value: f64, dimension: Dimension) -> String {
    let usual_step = 0.1_f64.to_radians();
    if dimension == Dimension::Angle && value != 0.0 && value.abs() < usual_step {
        return format!("{:.4}°", value.to_degrees());
    }
    let [metric, imperial] = [System::Metric, System::Imperial]
        .map(|system| Printer { system }.print(value, dimension, None));
    if metric == imperial {
        metric
    } else {
        format!("{metric} or {imperial}")
    }
}

/// The step, SI, to which a quantity and its uncertainty (SI, half width at 95 %) are
/// rounded: the largest of the ladder that goes three times into the uncertainty, and at least the
/// finest.
///
/// It leaves one significant digit of the uncertainty, two where the first is 1 or 2; JCGM 100:2008,
/// 7.2.6, allows two at most, and asks that the value be rounded to be consistent with it.
///
/// Ladders are powers of ten of the unit; of feet and inches 1/8, 1/4, 1/2, 1, 12 in; of long times
/// 1, 10 s, 1, 10 min, 1 h. Each step is a whole number of times the one before, so that a value
/// less its limit is the margin, as printed, up to one step. Where the table of [`Printer`] limits
/// the digits, what has no uncertainty is rounded more coarsely than this.
pub fn step(system: System, dimension: Dimension, uncertainty: Option<f64>) -> f64 {
    const INCHES: [f64; 5] = [0.125, 0.25, 0.5, 1.0, 12.0];
    const SECONDS: [f64; 5] = [1.0, 10.0, 60.0, 600.0, 3600.0];
    let u = uncertainty.filter(|u| u.is_finite()).map_or(0.0, f64::abs);
    let climb = |ladder: &[f64]| (ladder.iter().copied()).rfind(|step| step * 3.0 <= u * SLACK);
    match (dimension, system) {
        (Dimension::Length, System::Imperial) => {
            climb(&INCHES.map(|inches| inches * unit::INCH)).unwrap_or(INCHES[0] * unit::INCH)
        }
        (Dimension::Time, _) if u * SLACK >= 3.0 => {
            climb(&SECONDS).expect("the guard asked for the first")
        }
        _ => Scale::of(dimension, system).step(u),
    }
}

struct Printed {
    negative: bool,
    magnitude: String,
    /// Without its ±.
    uncertainty: Option<String>,
}

/// A magnitude and its uncertainty to one step, all SI.
struct Rounded {
    magnitude: f64,
    uncertainty: Option<f64>,
    step: f64,
}

impl Rounded {
    /// An uncertainty smaller than the step is told as the step; one much smaller is not told, since
    /// every figure of the value is sure.
    fn to(step: f64, magnitude: f64, uncertainty: Option<f64>) -> Self {
        let told = uncertainty.filter(|u| *u >= step / 10.0);
        Self {
            magnitude: round_to(magnitude, step),
            uncertainty: told.map(|u| round_to(u, step).max(step)),
            step,
        }
    }

    /// What decides the unit of both.
    fn larger(&self) -> f64 {
        self.uncertainty.unwrap_or(0.0).max(self.magnitude)
    }

    /// Both as text.
    fn texts(&self, text: impl Fn(f64) -> String) -> (String, Option<String>) {
        (text(self.magnitude), self.uncertainty.map(text))
    }
}

/// A unit, its larger and smaller relatives, and how finely it is printed.
struct Scale {
    symbol: &'static str,
    /// SI = shown × factor + offset.
    factor: f64,
    offset: f64,
    /// In the unit.
    finest: f64,
    /// Significant digits at most of what has no uncertainty; `None` for all that the step gives.
    digits: Option<i32>,
    /// From this magnitude (SI) up, that symbol and factor; ascending.
    relatives: &'static [(f64, &'static str, f64)],
}

impl Scale {
    const fn new(symbol: &'static str, factor: f64, finest: f64, digits: Option<i32>) -> Self {
        Self {
            symbol,
            factor,
            offset: 0.0,
            finest,
            digits,
            relatives: &[],
        }
    }

    fn of(dimension: Dimension, system: System) -> Self {
        let scale = Self::new;
        let imperial = system == System::Imperial;
        match dimension {
            // Lengths have rules of their own; this serves their offset and sign only.
            Dimension::Length => scale("m", 1.0, 0.001, None),
            Dimension::Angle => scale("°", 1_f64.to_radians(), 0.1, None),
            Dimension::Area if imperial => scale("ft²", unit::FOOT.powi(2), 0.1, Some(3)),
            Dimension::Area => scale("m²", 1.0, 0.01, Some(3)),
            Dimension::Volume if imperial => scale("ft³", unit::FOOT.powi(3), 0.1, Some(3)),
            Dimension::Volume => scale("m³", 1.0, 0.01, Some(3)),
            Dimension::Illuminance if imperial => scale("fc", unit::FOOT_CANDLE, 0.001, Some(3)),
            Dimension::Illuminance => scale("lx", 1.0, 0.01, Some(3)),
            Dimension::LuminousFlux => scale("lm", 1.0, 1.0, Some(3)),
            Dimension::Luminance if imperial => scale("fL", unit::FOOT_LAMBERT, 0.001, Some(3)),
            Dimension::Luminance => scale("cd/m²", 1.0, 0.001, Some(3)),
            Dimension::Level => scale("dB", 1.0, 0.1, None),
            Dimension::Power => Self {
                relatives: &[(0.0, "mW", 1e-3), (0.1, "W", 1.0), (1e4, "kW", 1e3)],
                ..scale("W", 1.0, 1e-5, Some(3))
            },
            Dimension::Voltage => Self {
                relatives: &[(0.0, "mV", 1e-3), (1.0, "V", 1.0)],
                ..scale("V", 1.0, 1e-5, Some(3))
            },
            Dimension::Current => Self {
                relatives: &[(0.0, "mA", 1e-3), (1.0, "A", 1.0)],
                ..scale("A", 1.0, 1e-5, Some(3))
            },
            Dimension::Resistance => Self {
                relatives: &[
                    (0.0, "mΩ", 1e-3),
                    (0.1, "Ω", 1.0),
                    (1e3, "kΩ", 1e3),
                    (1e6, "MΩ", 1e6),
                ],
                ..scale("Ω", 1.0, 1e-5, Some(3))
            },
            Dimension::Mass if imperial => scale("lb", unit::POUND, 0.01, Some(3)),
            Dimension::Mass => Self {
                relatives: &[(0.0, "g", 1e-3), (1.0, "kg", 1.0)],
                ..scale("kg", 1.0, 1e-3, Some(3))
            },
            Dimension::Temperature if imperial => Self {
                offset: -32.0 * unit::FAHRENHEIT,
                ..scale("°F", unit::FAHRENHEIT, 0.1, None)
            },
            Dimension::Temperature => scale("°C", 1.0, 0.1, None),
            Dimension::TemperatureDifference if imperial => {
                scale("°F", unit::FAHRENHEIT, 0.1, None)
            }
            Dimension::TemperatureDifference => scale("K", 1.0, 0.1, None),
            Dimension::Frequency => Self {
                relatives: &[
                    (0.0, "Hz", 1.0),
                    (1e3, "kHz", 1e3),
                    (1e6, "MHz", 1e6),
                    (1e9, "GHz", 1e9),
                ],
                ..scale("Hz", 1.0, 0.1, Some(3))
            },
            Dimension::Time => Self {
                relatives: &[(0.0, "ms", 1e-3), (1.0, "s", 1.0)],
                ..scale("s", 1.0, 1e-5, Some(3))
            },
            Dimension::Ratio => scale("%", 0.01, 0.01, Some(3)),
            Dimension::Factor => scale("", 1.0, 1e-6, Some(3)),
            Dimension::DataRate => Self {
                relatives: &[
                    (0.0, "bit/s", 1.0),
                    (1e3, "kbit/s", 1e3),
                    (1e6, "Mbit/s", 1e6),
                    (1e9, "Gbit/s", 1e9),
                    (1e12, "Tbit/s", 1e12),
                ],
                ..scale("bit/s", 1.0, 1.0, Some(4))
            },
            Dimension::Force if imperial => scale("lbf", unit::POUND_FORCE, 0.1, Some(3)),
            Dimension::Force => Self {
                relatives: &[(0.0, "N", 1.0), (1e4, "kN", 1e3)],
                ..scale("N", 1.0, 0.1, Some(3))
            },
            Dimension::WireArea => scale("mm²", 1e-6, 0.001, Some(3)),
            Dimension::Speed if imperial => scale("ft/s", unit::FOOT, 0.01, Some(3)),
            Dimension::Speed => scale("m/s", 1.0, 0.01, Some(3)),
        }
    }

    /// The step, SI, of a magnitude without uncertainty: no more than the allowed digits.
    fn step_at(&self, magnitude: f64) -> f64 {
        let finest = self.finest * self.factor;
        match self.digits {
            Some(digits) if magnitude > 0.0 => {
                finest.max(self.factor * decade(magnitude / self.factor, digits))
            }
            _ => finest,
        }
    }

    /// The step, SI, that goes three times into an uncertainty (SI).
    fn step(&self, u: f64) -> f64 {
        let third = u / 3.0 / self.factor;
        if third > 0.0 {
            decade(third, 1).max(self.finest) * self.factor
        } else {
            self.finest * self.factor
        }
    }

    fn rounded(&self, magnitude: f64, uncertainty: Option<f64>) -> Rounded {
        if let Some(u) = uncertainty {
            return Rounded::to(self.step(u), magnitude, uncertainty);
        }
        let rounded = round_to(magnitude, self.step_at(magnitude));
        // 999.6 Hz carries into the next decade, which has a coarser step.
        Rounded::to(self.step_at(rounded), rounded, None)
    }

    /// A magnitude (SI without the offset) and its uncertainty as texts of one unit.
    fn print(&self, magnitude: f64, uncertainty: Option<f64>) -> (String, Option<String>) {
        self.texts(&self.rounded(magnitude, uncertainty), uncertainty.is_none())
    }

    fn texts(&self, rounded: &Rounded, trim: bool) -> (String, Option<String>) {
        let larger = rounded.larger();
        let relative = (self.relatives.iter())
            .rfind(|(from, ..)| larger > 0.0 && (*from == 0.0 || larger * SLACK >= *from));
        let (symbol, factor) = relative
            .map_or((self.symbol, self.factor), |(_, symbol, factor)| {
                (*symbol, *factor)
            });
        rounded.texts(|magnitude| {
            let number = decimal(magnitude / factor, rounded.step / factor, trim);
            match symbol {
                "" => number,
                "°" => format!("{number}°"),
                _ => format!("{number}{THIN_SPACE}{symbol}"),
            }
        })
    }
}

/// A length and its uncertainty: `850 mm`, `3.21 m`, `10′ 6 1/2″`.
fn length(magnitude: f64, system: System, uncertainty: Option<f64>) -> (String, Option<String>) {
    let step = step(system, Dimension::Length, uncertainty);
    let rounded = Rounded::to(step, magnitude, uncertainty);
    match system {
        System::Imperial => rounded.texts(|length| feet_and_inches(length / unit::INCH)),
        System::Metric if rounded.larger() * SLACK >= 1.0 => rounded.texts(|length| {
            let number = decimal(length, step, uncertainty.is_none());
            format!("{number}{THIN_SPACE}m")
        }),
        System::Metric => {
            rounded.texts(|length| format!("{:.0}{THIN_SPACE}mm", length / MILLIMETRE))
        }
    }
}

/// `6 1/2″`, `10′ 6 1/2″`, from inches in whole sixteenths.
fn feet_and_inches(rounded_in: f64) -> String {
    const PER_INCH: u64 = 16;
    const PER_FOOT: u64 = 12 * PER_INCH;
    // A cast saturates, so that an absurd length prints as a long one.
    let sixteenths = (rounded_in * PER_INCH as f64).round() as u64;
    let (feet, rest) = (sixteenths / PER_FOOT, sixteenths % PER_FOOT);
    if feet == 0 {
        format!("{}″", sixteenths_of_an_inch(rest, true))
    } else {
        format!("{feet}′{THIN_SPACE}{}″", sixteenths_of_an_inch(rest, false))
    }
}

/// `6 1/2` or `110`, from inches in whole sixteenths.
fn inches_text(rounded_in: f64) -> String {
    sixteenths_of_an_inch((rounded_in.abs() * 16.0).round() as u64, true)
}

/// `6 1/2`; a fraction alone stands without its zero where `alone`.
fn sixteenths_of_an_inch(sixteenths: u64, alone: bool) -> String {
    const PER_INCH: u64 = 16;
    let (inches, part) = (sixteenths / PER_INCH, sixteenths % PER_INCH);
    let common = if part == 0 {
        PER_INCH
    } else {
        1 << part.trailing_zeros()
    };
    let fraction = format!("{}/{}", part / common, PER_INCH / common);
    match (inches, part) {
        (inches, 0) => inches.to_string(),
        (0, _) if alone => fraction,
        (inches, _) => format!("{inches}{THIN_SPACE}{fraction}"),
    }
}

/// `12.3 ms`, `45 s`, `3 min 20 s`, `2 h 35 min`, and the uncertainty.
fn time(magnitude: f64, uncertainty: Option<f64>) -> (String, Option<String>) {
    const MINUTE: f64 = 60.0;
    const HOUR: f64 = 3600.0;
    let scale = Scale::of(Dimension::Time, System::Metric);
    let short = scale.rounded(magnitude, uncertainty);
    let known = step(System::Metric, Dimension::Time, uncertainty);
    if short.larger() < MINUTE && known < 10.0 {
        return scale.texts(&short, uncertainty.is_none());
    }
    let mut rounded = Rounded::to(known.max(1.0), magnitude, uncertainty);
    if rounded.larger() >= HOUR {
        rounded = Rounded::to(known.max(MINUTE), magnitude, uncertainty);
    }
    let (hours, minutes) = (rounded.larger() >= HOUR, rounded.larger() >= MINUTE);
    rounded.texts(|time| clock(time, rounded.step, hours, minutes))
}

/// A rounded time in the parts that its step leaves.
fn clock(time: f64, step: f64, hours: bool, minutes: bool) -> String {
    let hour = format!("{:.0}{THIN_SPACE}h", (time / 3600.0).floor());
    let minute = |minutes: f64| format!("{:.0}{THIN_SPACE}min", minutes.floor());
    let second = |seconds: f64| format!("{seconds:.0}{THIN_SPACE}s");
    match () {
        () if hours && step >= 3600.0 => hour,
        () if hours && time >= 3600.0 => {
            format!("{hour}{THIN_SPACE}{}", minute(time % 3600.0 / 60.0))
        }
        () if minutes && step >= 60.0 => minute(time / 60.0),
        () if minutes && time >= 60.0 => {
            format!("{}{THIN_SPACE}{}", minute(time / 60.0), second(time % 60.0))
        }
        () => second(time),
    }
}

fn not_finite(value: f64) -> String {
    if value.is_nan() {
        "undefined".to_owned()
    } else if value < 0.0 {
        format!("{MINUS}∞")
    } else {
        "∞".to_owned()
    }
}

fn is_zero(magnitude: &str) -> bool {
    !magnitude.contains(|c: char| ('1'..='9').contains(&c) || c == '∞')
}

fn round_to(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// A number in steps of `step`, with the decimals that the step has.
fn decimal(value: f64, step: f64, trim: bool) -> String {
    const DECIMALS_MAX: usize = 12;
    let is_whole = |decimals: &usize| {
        let scaled = step * 10_f64.powi(*decimals as i32);
        (scaled - scaled.round()).abs() < 1e-6 * scaled
    };
    let decimals = (0..DECIMALS_MAX).find(is_whole).unwrap_or(DECIMALS_MAX);
    let text = format!("{value:.decimals$}");
    if trim && text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// The value of the last of `digits` significant digits of `x` > 0.
fn decade(x: f64, digits: i32) -> f64 {
    let exponent = (x * SLACK).log10().floor() as i32 - (digits - 1);
    // Dividing gives the float nearest to 0.001, multiplying by 10⁻³ may not.
    if exponent < 0 {
        1.0 / 10_f64.powi(-exponent)
    } else {
        10_f64.powi(exponent)
    }
}
