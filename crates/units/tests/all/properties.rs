//! What holds for every quantity: printing and reading agree, and reading never fails badly.

use proptest::prelude::*;
use units::{Dimension, Printer, System, print_money, read, read_money, step};

const CASES: u32 = 256;
const METRIC: Printer = Printer {
    system: System::Metric,
};

fn systems() -> impl Strategy<Value = System> {
    prop_oneof![Just(System::Imperial), Just(System::Metric)]
}

fn dimensions() -> impl Strategy<Value = Dimension> {
    proptest::sample::select(&Dimension::ALL[..])
}

fn signs() -> impl Strategy<Value = f64> {
    prop_oneof![Just(-1.0), Just(1.0)]
}

/// The magnitudes that each dimension is met with in a house, as powers of ten.
fn decades(dimension: Dimension) -> std::ops::Range<f64> {
    match dimension {
        Dimension::Length => -3.0..3.9,
        // Half a turn more would leave the reader's bounds when rounded to 100°.
        Dimension::Angle => -3.0..0.7,
        Dimension::Resistance => -3.0..7.0,
        Dimension::Frequency => 0.0..11.0,
        Dimension::DataRate => 1.0..13.0,
        Dimension::WireArea => -8.0..-3.0,
        Dimension::Temperature | Dimension::TemperatureDifference => -1.0..2.4,
        Dimension::Level => -2.0..2.4,
        Dimension::Time => -4.0..6.0,
        _ => -2.0..3.9,
    }
}

fn is_signed(dimension: Dimension) -> bool {
    matches!(
        dimension,
        Dimension::Length
            | Dimension::Angle
            | Dimension::Level
            | Dimension::Voltage
            | Dimension::Current
            | Dimension::Temperature
            | Dimension::TemperatureDifference
            | Dimension::Time
            | Dimension::Ratio
            | Dimension::Factor
            | Dimension::Force
            | Dimension::Speed
    )
}

/// Half a step as the printer's table gives it, without asking the printer: a share
/// of an exact value where digits are limited, the coarse steps of long times, and the
/// 0.5 % within which a wire counts as a gauge.
fn half_step(system: System, dimension: Dimension, value: f64, uncertainty: Option<f64>) -> f64 {
    let half = step(system, dimension, uncertainty) / 2.0;
    let larger = value.abs().max(uncertainty.unwrap_or(0.0));
    let share = match dimension {
        Dimension::WireArea => 0.005,
        Dimension::Time if larger >= 3569.0 => return half.max(30.0),
        Dimension::Time if larger >= 59.0 => return half.max(0.5),
        _ if uncertainty.is_some() => 0.0,
        Dimension::Length
        | Dimension::Angle
        | Dimension::Level
        | Dimension::Temperature
        | Dimension::TemperatureDifference => 0.0,
        Dimension::DataRate => 0.0005,
        _ => 0.005,
    };
    half.max(value.abs() * share)
}

/// The last place, SI, that an exact number is printed to.
fn step_of_exact(system: System, dimension: Dimension, printed: f64, unit: f64) -> f64 {
    let finest = step(system, dimension, None);
    let digits = match dimension {
        Dimension::Length | Dimension::Angle | Dimension::Level => return finest,
        Dimension::DataRate => 4,
        _ => 3,
    };
    if printed == 0.0 {
        return finest;
    }
    let decade = (printed.abs() / unit * (1.0 + 1e-9)).log10().floor();
    finest.max(unit * 10_f64.powf(decade - f64::from(digits - 1)))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(1959), ..ProptestConfig::default() })]

    #[test]
    fn lengths_come_back_within_half_a_step(
        system in systems(),
        metres in -9990.0..9990.0_f64,
        exponent in 0..5,
        uncertainty in proptest::option::of(0.0001..1.0_f64),
    ) {
        let metres = metres / 10_f64.powi(exponent);
        let text = Printer { system }.print(metres, Dimension::Length, uncertainty);
        let back = read(&text, Dimension::Length).unwrap().value.unwrap();
        let half = step(system, Dimension::Length, uncertainty) / 2.0;
        prop_assert!((back - metres).abs() <= half * (1.0 + 1e-6), "{metres} m → {text} → {back} m");
    }

    #[test]
    fn every_quantity_comes_back_within_its_digits(
        system in systems(),
        dimension in dimensions(),
        place in 0.0..1.0_f64,
        sign in signs(),
        share in proptest::option::of(0.0001..0.5_f64),
    ) {
        let decades = decades(dimension);
        let magnitude = 10_f64.powf(decades.start + place * (decades.end - decades.start));
        let value = if is_signed(dimension) { sign * magnitude } else { magnitude };
        let uncertainty = share.map(|share| share * magnitude);
        let text = Printer { system }.print(value, dimension, uncertainty);
        let back = read(&text, dimension).unwrap_or_else(|error| panic!("{text}: {error}")).value.unwrap();
        let half = half_step(system, dimension, value, uncertainty);
        prop_assert!((back - value).abs() <= half * (1.0 + 1e-6), "{value} → {text} → {back}");
    }

    #[test]
    fn a_margin_is_the_value_less_its_limit_as_printed(
        system in systems(),
        dimension in proptest::sample::select(&[
            Dimension::Length,
            Dimension::Angle,
            Dimension::Level,
            Dimension::Ratio,
            Dimension::Voltage,
            Dimension::Force,
        ][..]),
        value in -3.0..3.0_f64,
        limit in -3.0..3.0_f64,
        uncertainty in 0.0001..5.0_f64,
    ) {
        // Units of 1 where the table has one unit of that size or none; % and lbf else.
        let unit = match (dimension, system) {
            (Dimension::Ratio, _) => 0.01,
            (Dimension::Angle, _) => 1_f64.to_radians(),
            (Dimension::Force, System::Imperial) => 4.448_221_615_260_5,
            _ => 1.0,
        };
        let printer = Printer { system };
        let back = |text: &str| read(text.trim_start_matches('+'), dimension).unwrap().value.unwrap();
        let told = back(&printer.print(value, dimension, Some(uncertainty)));
        let bound = back(&printer.print(limit, dimension, None));
        let (margin, spread) = printer.print_both(value - limit, dimension, Some(uncertainty));
        let coarser = step(system, dimension, Some(uncertainty))
            .max(step_of_exact(system, dimension, bound, unit));
        let apart = (told - bound - back(&margin)).abs();
        prop_assert!(
            apart <= coarser * (1.0 + 1e-6),
            "{told} less {bound} is not {margin} {spread:?}: {apart} apart, a step is {coarser}"
        );
    }

    #[test]
    fn an_uncertainty_has_two_digits_at_most(
        dimension in dimensions(),
        place in 0.0..1.0_f64,
        value in -1.0..1.0_f64,
    ) {
        let decades = decades(dimension);
        let u = 10_f64.powf(decades.start + place * (decades.end - decades.start));
        let (told, spread) = METRIC.print_both(value * u * 100.0, dimension, Some(u));
        prop_assert!(spread.is_some() || u < step(System::Metric, dimension, None) / 10.0);
        let Some(spread) = spread else { return Ok(()) };
        let is_long = matches!(dimension, Dimension::Time) && u * 100.0 > 59.0;
        let figures: String = spread.chars().filter(|c| c.is_ascii_digit()).collect();
        let digits = figures.trim_start_matches('0').trim_end_matches('0').len();
        prop_assert!(is_long || digits <= 2, "{told} {spread}");
        let decimals = |text: &str| text.split_once('.').map_or(0, |(_, after)| {
            after.chars().take_while(char::is_ascii_digit).count()
        });
        prop_assert_eq!(decimals(&told), decimals(&spread), "{} {}", &told, &spread);
        let unit = |text: &str| text.trim_start_matches(|c: char| !c.is_alphabetic() && !"%°".contains(c)).to_owned();
        prop_assert!(is_long || unit(&told) == unit(&spread), "{told} {spread}");
    }

    #[test]
    fn signed_text_is_the_text_with_its_sign(system in systems(), dimension in dimensions(), value in -300.0..300.0_f64) {
        let printer = Printer { system };
        let (plain, signed) = (printer.print(value, dimension, None), printer.print_signed(value, dimension, None));
        prop_assert_eq!(signed.trim_start_matches('+'), plain.as_str());
        prop_assert!(signed.starts_with(['+', '−']));
        prop_assert!(!plain.contains('-'));
        if plain.starts_with('−') {
            prop_assert!(plain.contains(|c: char| ('1'..='9').contains(&c)));
        }
    }

    #[test]
    fn printing_never_panics(
        system in systems(),
        dimension in dimensions(),
        value in any::<f64>(),
        uncertainty in proptest::option::of(any::<f64>()),
    ) {
        let printer = Printer { system };
        prop_assert!(!printer.print(value, dimension, uncertainty).is_empty());
        prop_assert!(!printer.print_uncertainty(value, dimension).is_empty());
        prop_assert!(!printer.print_number(value, uncertainty).is_empty());
    }

    #[test]
    fn arbitrary_text_is_read_or_refused_in_place(text in any::<String>(), dimension in dimensions()) {
        in_place(&text, dimension)?;
    }

    #[test]
    fn almost_right_text_is_read_or_refused_in_place(
        pieces in proptest::collection::vec(proptest::sample::select(&PIECES[..]), 0..12),
        dimension in dimensions(),
    ) {
        in_place(&pieces.concat(), dimension)?;
        in_place(&pieces.concat(), Dimension::Length)?;
    }

    #[test]
    fn money_comes_back_to_the_hundredth(cents in -99_999_999_999_i64..99_999_999_999, code in proptest::sample::select(&["$", "€", "EUR", ""][..])) {
        let amount = rust_decimal::Decimal::new(cents, 2);
        let text = print_money(amount, code);
        let money = read_money(&text).unwrap();
        prop_assert_eq!(money.amount, amount);
        prop_assert_eq!(money.currency.unwrap_or_default(), code);
    }
}

const PIECES: [&str; 44] = [
    "0", "1", "6", "10", "12", "14", "21", "126", ".", ",", "1/2", "½", "⅝", "/", "⁄", "-", "−",
    "+", " ", "\u{202F}", "'", "\"", "′", "″", "’", "”", "ft", "in", "m", "cm", "mm", "°", "deg",
    "kg", "Ω", "µ", "²", "AWG", "%", "±", "+/-", "?", "laser", "e9",
];

fn in_place(text: &str, dimension: Dimension) -> Result<(), TestCaseError> {
    if let Ok(reading) = read(text, dimension) {
        prop_assert!(
            reading.value.is_none_or(f64::is_finite),
            "{text:?}: {reading:?}"
        );
        prop_assert!(
            reading
                .tolerance_si()
                .is_none_or(|tolerance| tolerance >= 0.0),
            "{text:?}: {reading:?}"
        );
    } else if let Err(error) = read(text, dimension) {
        prop_assert!(text.get(error.at.clone()).is_some(), "{text:?}: {error:?}");
        let first = error.message.chars().next();
        prop_assert!(first.is_some_and(|c| !c.is_uppercase()), "{error}");
    }
    if let Err(error) = read_money(text) {
        prop_assert!(text.get(error.at.clone()).is_some(), "{text:?}: {error:?}");
    }
    Ok(())
}
