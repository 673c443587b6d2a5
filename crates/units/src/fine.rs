//! How is a quantity printed that is smaller than what is worth printing?
//!
//! A margin that fails by a hair must not read as 0: its sign and its first digit are told,
//! whatever the survey supports.

use crate::unit::INCH;
use crate::{Dimension, Printer, System};

impl Printer {
    /// A margin: signed, to the step of its uncertainty, and to its first digit where it falls
    /// short by less than that. The difference of two temperatures is no temperature.
    pub fn print_margin(
        self,
        margin: f64,
        dimension: Dimension,
        uncertainty: Option<f64>,
    ) -> PrintedMargin {
        let dimension = match dimension {
            Dimension::Temperature => Dimension::TemperatureDifference,
            other => other,
        };
        let (rounded, uncertainty) = self.print_both(margin, dimension, uncertainty);
        let margin = match margin < 0.0 && rounded.starts_with('+') {
            true => print(self, margin, dimension),
            false => rounded,
        };
        PrintedMargin {
            margin,
            uncertainty,
        }
    }
}

/// A margin as it is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrintedMargin {
    /// With its sign.
    pub margin: String,
    /// With its ±; none of what is exact.
    pub uncertainty: Option<String>,
}

impl std::fmt::Display for PrintedMargin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.margin)?;
        match &self.uncertainty {
            Some(uncertainty) => write!(f, " {uncertainty}"),
            None => Ok(()),
        }
    }
}

/// A signed quantity that is not 0, to its first digit.
fn print(printer: Printer, value: f64, dimension: Dimension) -> String {
    let plain = printer.print_signed(value, dimension, None);
    if value == 0.0 || !value.is_finite() || holds_digit(&plain) {
        return plain;
    }
    let sign = if value < 0.0 { '−' } else { '+' };
    if dimension == Dimension::Length && printer.system == System::Imperial {
        let sixty_fourths = (value.abs() / INCH * 64.0).round();
        for (parts, unit) in [(4.0, 16), (2.0, 32), (1.0, 64)] {
            if sixty_fourths >= parts && sixty_fourths % parts == 0.0 {
                return format!("{sign}{}/{unit}″", sixty_fourths / parts);
            }
        }
        return format!("{sign}{}″", first_digit(value.abs() / INCH));
    }
    // The same quantity enlarged has a digit and the unit: both are then taken down again.
    for power in 1..=15 {
        let enlarged = printer.print(value.abs() * 10_f64.powi(power), dimension, None);
        let end = enlarged
            .find(|letter: char| !letter.is_ascii_digit() && letter != '.')
            .unwrap_or(enlarged.len());
        let (number, unit) = enlarged.split_at(end);
        if let Some(number) = number.parse::<f64>().ok().filter(|number| *number > 0.0) {
            let number = first_digit(number / 10_f64.powi(power));
            return format!("{sign}{number}{unit}");
        }
    }
    plain
}

/// Whether a printed quantity is more than 0.
fn holds_digit(text: &str) -> bool {
    text.contains(|letter: char| matches!(letter, '1'..='9'))
}

/// A number below 10 to its first digit that is not 0.
fn first_digit(value: f64) -> String {
    let decimals = (-value.log10().floor()).max(0.0) as usize;
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn printed(system: System, value: f64, dimension: Dimension) -> String {
        print(Printer { system }, value, dimension).replace('\u{202f}', " ")
    }

    #[test]
    fn a_margin_that_fails_by_a_hair_keeps_its_sign() {
        let printer = Printer {
            system: System::Imperial,
        };
        let told = |margin| {
            let printed = printer.print_margin(margin, Dimension::Length, Some(0.006));
            printed.to_string()
        };
        assert_eq!(told(-0.0012), "−3/64″ ±1/4″");
        assert_eq!(told(0.0012), "+0″ ±1/4″");
        assert_eq!(told(0.0), "+0″ ±1/4″");
        assert_eq!(told(-0.0508), "−2″ ±1/4″");
    }

    #[test]
    fn a_hair_is_told_to_its_first_digit() {
        use Dimension::{Angle, Length, Level, Ratio, Resistance};
        for (value, dimension, metric, imperial) in [
            (-0.0004, Length, "−0.4 mm", "−1/64″"),
            (-0.0014, Length, "−1 mm", "−1/16″"),
            (-0.0008, Length, "−1 mm", "−1/32″"),
            (-0.00001, Length, "−0.01 mm", "−0.0004″"),
            (-0.004, Level, "−0.004 dB", "−0.004 dB"),
            (-0.0002, Angle, "−0.01°", "−0.01°"),
            (-0.00002, Ratio, "−0.002 %", "−0.002 %"),
            (-1.7, Resistance, "−1.7 Ω", "−1.7 Ω"),
            (-1e-30, Level, "+0 dB", "+0 dB"),
        ] {
            assert_eq!(printed(System::Metric, value, dimension), metric, "{value}");
            assert_eq!(
                printed(System::Imperial, value, dimension),
                imperial,
                "{value}"
            );
        }
    }
}
