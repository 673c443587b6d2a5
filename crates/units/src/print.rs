//! Prints a quantity in the crew's own units, never finer than it is known.

use crate::dimension::{Dimension, System};
use crate::unit;
use crate::wire;

/// Between a number and its SI unit: thin and unbreakable.
const THIN_SPACE: char = '\u{202F}';
const MINUS: char = '−';
const MILLIMETRE: f64 = 0.001;
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
/// The step is the largest of the ladder that does not exceed the uncertainty, and
/// at least the finest; of levels no more than 1 dB, since ±2.5 dB does not tell apart
/// what 2 dB steps would round away. With an uncertainty every decimal that the step gives is
/// printed (`3.210 m`); without one trailing zeros are dropped (`3.21 m`).
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
    /// assert_eq!(metric.print(3.2131, Dimension::Length, Some(0.012)), "3.21\u{202F}m");
    /// ```
    pub fn print(self, value: f64, dimension: Dimension, uncertainty: Option<f64>) -> String {
        let Printed {
            negative,
            magnitude,
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

    /// `±6 mm`: one significant digit, two where the first is 1 or 2 (the Guide to
    /// the expression of uncertainty, JCGM 100:2008, 7.2.6, allows two at most).
    /// Lengths go no finer than 1 mm or 1/16 in, and never down to 0.
    pub fn print_uncertainty(self, uncertainty: f64, dimension: Dimension) -> String {
        let u = uncertainty.abs();
        if !u.is_finite() {
            return "±∞".to_owned();
        }
        let dimension = match dimension {
            Dimension::Temperature => Dimension::TemperatureDifference,
            other => other,
        };
        let magnitude = match (dimension, self.system) {
            (Dimension::Length, System::Imperial) => {
                let inches = u / unit::INCH;
                let step = match inches {
                    i if i < 3.0 / 32.0 => 1.0 / 16.0,
                    i if i < 3.0 => 1.0 / 8.0,
                    i if i < 12.0 => 1.0 / 2.0,
                    _ => 1.0,
                };
                let shown = if u > 0.0 {
                    round_to(inches, step).max(step)
                } else {
                    0.0
                };
                feet_and_inches(shown)
            }
            (Dimension::Length, System::Metric) => {
                let step = leading_digits(u, MILLIMETRE).max(MILLIMETRE);
                let shown = if u > 0.0 {
                    round_to(u, step).max(step)
                } else {
                    0.0
                };
                metres(shown, step, true)
            }
            (Dimension::WireArea, _) => {
                Scale::of(dimension, System::Metric).text(u, leading_digits(u, 1e-6), true)
            }
            _ => {
                let scale = Scale::of(dimension, self.system);
                scale.text(u, leading_digits(u, scale.factor), true)
            }
        };
        format!("±{magnitude}")
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
            };
        }
        // An exact number that went through sums is as good as exact.
        let uncertainty = uncertainty.filter(|u| u.abs() > 1e-12);
        let scale = Scale::of(dimension, self.system);
        let shifted = value - scale.offset;
        let magnitude = match (dimension, self.system) {
            (Dimension::Length, System::Imperial) => {
                let step = step(self.system, dimension, uncertainty) / unit::INCH;
                feet_and_inches(round_to(value.abs() / unit::INCH, step))
            }
            (Dimension::Length, System::Metric) => {
                let step = step(self.system, dimension, uncertainty);
                metres(round_to(value.abs(), step), step, uncertainty.is_none())
            }
            (Dimension::WireArea, System::Imperial) if wire::gauge(value).is_some() => {
                let gauge = wire::gauge(value).expect("the guard asked");
                format!("{} AWG", wire::gauge_text(gauge))
            }
            (Dimension::Time, _) => time(value.abs(), uncertainty),
            (Dimension::Ratio, _) if value.abs() > 10.0 => {
                Scale::of(Dimension::Factor, self.system)
                    .print(value.abs(), uncertainty)
                    .0
            }
            _ => scale.print(shifted.abs(), uncertainty).0,
        };
        Printed {
            negative: shifted < 0.0 && !is_zero(&magnitude),
            magnitude,
        }
    }
}

/// The step, SI, to which a quantity with this uncertainty (SI, half width at
/// 95 %) is rounded: the largest of the ladder that does not exceed it, and at
/// least the finest.
///
/// Lengths climb 1/8, 1/4, 1/2, 1, 3, 6, 12 in or 1, 2, 5, 10, 20, 50, 100, … mm,
/// times 1, 2, 5 per decade up to 10 s and then 30 s, 1, 5, 10, 30 min and 1 h, levels
/// 0.1, 0.2, 0.5, 1 dB, all others 1, 2, 5 per decade of their unit. Where the table of [`Printer`] limits the
/// digits, a large value is rounded more coarsely than this.
pub fn step(system: System, dimension: Dimension, uncertainty: Option<f64>) -> f64 {
    const INCHES: [f64; 7] = [0.125, 0.25, 0.5, 1.0, 3.0, 6.0, 12.0];
    const SECONDS: [f64; 7] = [10.0, 30.0, 60.0, 300.0, 600.0, 1800.0, 3600.0];
    let u = uncertainty.filter(|u| u.is_finite()).map_or(0.0, f64::abs);
    let climb = |ladder: &[f64]| ladder.iter().copied().rfind(|step| *step <= u * SLACK);
    match (dimension, system) {
        (Dimension::Length, System::Imperial) => {
            climb(&INCHES.map(|inches| inches * unit::INCH)).unwrap_or(INCHES[0] * unit::INCH)
        }
        (Dimension::Length, System::Metric) => MILLIMETRE * one_two_five(u / MILLIMETRE).max(1.0),
        (Dimension::Time, _) if u * SLACK >= SECONDS[0] => {
            climb(&SECONDS).expect("the guard asked for the first")
        }
        _ => Scale::of(dimension, system).step(u),
    }
}

struct Printed {
    negative: bool,
    magnitude: String,
}

/// A unit, its larger and smaller relatives, and how finely it is printed.
struct Scale {
    symbol: &'static str,
    /// SI = shown × factor + offset.
    factor: f64,
    offset: f64,
    /// In the unit.
    finest: f64,
    /// In the unit; a step beyond it would hide more than the uncertainty does.
    coarsest: f64,
    /// Significant digits at most; `None` for all that the step gives.
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
            coarsest: f64::INFINITY,
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
            Dimension::Level => Self {
                coarsest: 1.0,
                ..scale("dB", 1.0, 0.1, None)
            },
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

    /// The step, SI, that an uncertainty (SI) supports.
    fn step(&self, u: f64) -> f64 {
        let step = one_two_five(u / self.factor);
        step.clamp(self.finest, self.coarsest) * self.factor
    }

    /// The step, SI, for this magnitude: no more than the allowed digits.
    fn step_at(&self, magnitude: f64, u: f64) -> f64 {
        let step = self.step(u);
        match self.digits {
            Some(digits) if magnitude > 0.0 => {
                step.max(self.factor * decade(magnitude / self.factor, digits))
            }
            _ => step,
        }
    }

    /// A magnitude (SI without the offset) as text, and as it is after rounding.
    fn print(&self, magnitude: f64, uncertainty: Option<f64>) -> (String, f64) {
        let u = uncertainty.filter(|u| u.is_finite()).map_or(0.0, f64::abs);
        let rounded = round_to(magnitude, self.step_at(magnitude, u));
        // 999.6 Hz carries into the next decade, which has a coarser step.
        let step = self.step_at(rounded, u);
        (self.text(rounded, step, uncertainty.is_none()), rounded)
    }

    /// A magnitude to the given step; both SI.
    fn text(&self, magnitude: f64, step: f64, trim: bool) -> String {
        let rounded = round_to(magnitude, step);
        let unit = |from: f64| from == 0.0 || rounded * SLACK >= from;
        let relative = self
            .relatives
            .iter()
            .rfind(|(from, ..)| unit(*from) && rounded > 0.0);
        let (symbol, factor) = relative
            .map_or((self.symbol, self.factor), |(_, symbol, factor)| {
                (*symbol, *factor)
            });
        let number = decimal(rounded / factor, step / factor, trim);
        match symbol {
            "" => number,
            "°" => format!("{number}°"),
            _ => format!("{number}{THIN_SPACE}{symbol}"),
        }
    }
}

/// `850 mm`, `3.21 m`, from a rounded length.
fn metres(rounded_m: f64, step_m: f64, trim: bool) -> String {
    if rounded_m * SLACK >= 1.0 {
        format!("{}{THIN_SPACE}m", decimal(rounded_m, step_m, trim))
    } else {
        format!("{:.0}{THIN_SPACE}mm", rounded_m / MILLIMETRE)
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

/// `12.3 ms`, `45 s`, `3 min 20 s`, `2 h 35 min`.
fn time(magnitude: f64, uncertainty: Option<f64>) -> String {
    let scale = Scale::of(Dimension::Time, System::Metric);
    let u_step = step(System::Metric, Dimension::Time, uncertainty);
    let (text, rounded) = scale.print(magnitude, uncertainty);
    if rounded < 60.0 && u_step < 10.0 {
        return text;
    }
    let seconds = round_to(magnitude, u_step.max(1.0));
    if seconds < 60.0 {
        return format!("{seconds:.0}{THIN_SPACE}s");
    }
    if seconds < 3600.0 {
        let (minutes, seconds) = ((seconds / 60.0).floor(), seconds % 60.0);
        return match u_step {
            step if step < 60.0 => {
                format!("{minutes:.0}{THIN_SPACE}min{THIN_SPACE}{seconds:.0}{THIN_SPACE}s")
            }
            _ => format!("{minutes:.0}{THIN_SPACE}min"),
        };
    }
    let minutes = round_to(magnitude, u_step.max(60.0)) / 60.0;
    let (hours, minutes) = ((minutes / 60.0).floor(), minutes % 60.0);
    match u_step {
        step if step < 3600.0 => {
            format!("{hours:.0}{THIN_SPACE}h{THIN_SPACE}{minutes:.0}{THIN_SPACE}min")
        }
        _ => format!("{hours:.0}{THIN_SPACE}h"),
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

/// The largest of …, 0.1, 0.2, 0.5, 1, 2, 5, 10, … that does not exceed `x`; 0 for 0.
fn one_two_five(x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let decade = decade(x * SLACK, 1);
    let leading = x * SLACK / decade;
    decade
        * if leading >= 5.0 {
            5.0
        } else if leading >= 2.0 {
            2.0
        } else {
            1.0
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

/// The step, SI, that leaves one significant digit of `u`, two if the first is 1 or 2.
fn leading_digits(u: f64, factor: f64) -> f64 {
    if u <= 0.0 {
        return factor;
    }
    let decade = decade(u / factor, 1);
    let leading = u / factor / decade;
    factor * if leading < 3.0 { decade / 10.0 } else { decade }
}
