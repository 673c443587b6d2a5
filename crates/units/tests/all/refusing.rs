//! What is refused: where the error points, and what it says.

use units::{Dimension, read};

/// The text that the error points at, and its message.
fn refused(text: &str, dimension: Dimension) -> (&str, String) {
    match read(text, dimension) {
        Ok(reading) => panic!("{text} is read as {reading:?}"),
        Err(error) => (&text[error.at.clone()], error.message),
    }
}

fn check(dimension: Dimension, table: &[(&str, &str, &str)]) {
    for (text, at, part) in table {
        let (found, message) = refused(text, dimension);
        assert_eq!(found, *at, "{text}: {message}");
        assert!(message.contains(part), "{text}: {message}");
    }
}

#[test]
fn lengths_without_a_unit_are_refused() {
    check(
        Dimension::Length,
        &[
            ("10", "10", "`10` has no unit: add ft, in, m, cm or mm"),
            ("3.21", "3.21", "has no unit"),
            ("6 ½", "6 ½", "has no unit"),
            ("1/2", "1/2", "has no unit"),
            ("10-1/2", "10-1/2", "has no unit"),
            ("10 6", "10", "has no unit"),
            ("10.5-6", "10.5", "has no unit"),
            ("10 laser", "10", "has no unit"),
            ("2.4 m ± 20", "20", "has no unit"),
        ],
    );
}

#[test]
fn parts_that_do_not_fit_are_pointed_at() {
    check(
        Dimension::Length,
        &[
            ("10' 14\"", "14\"", "inches after feet stay under 12"),
            ("10' 12\"", "12\"", "inches after feet stay under 12"),
            ("10-14", "14", "inches after feet stay under 12"),
            ("10.5' 6\"", "10.5'", "whole number"),
            ("10 1/2 ft 6 in", "10 1/2 ft", "whole number"),
            ("10' 20 cm", "20 cm", "can't follow ft"),
            ("3 m 5", "5", "two digits"),
            ("3 m 210", "210", "under 100"),
            ("3 m 5 ft", "5 ft", "can't follow m"),
            ("6\" 1/2", "1/2", "can't follow in"),
            ("6\" 10'", "10'", "can't follow in"),
            ("10' 6\" 3", "3", "can't follow in"),
            ("6 3/2\"", "3/2", "less than one"),
            ("6 2/2\"", "2/2", "less than one"),
            ("1/0\"", "1/0", "0 below"),
            ("6 1/0\"", "1/0", "0 below"),
            ("10' -", "", "number is missing"),
            ("10',", "", "number is missing"),
            ("-", "", "number is missing"),
            ("--3 m", "-3", "not a number"),
            ("10'''", "'", "not a number"),
            ("laser 10'", "laser", "not a number"),
            ("laser", "", "no value"),
            ("", "", "no value"),
            ("   ", "", "no value"),
            ("± 20 mm", "", "no value"),
            ("3 m ±", "", "no value"),
            ("3 m ± -2 mm", "-2 mm", "negative"),
            ("3 m ± 200 %", "200 %", "above 100 %"),
            ("3 m ± 1 mm ± 2 mm", "±", "not a number"),
            ("? ± 20 mm", " 20 mm", "still to measure"),
            ("3 m laser ± 2 mm tape", "tape", "twice"),
            ("??", "??", "not a number"),
        ],
    );
}

#[test]
fn numbers_that_two_people_read_differently_are_refused() {
    check(
        Dimension::Length,
        &[
            ("3.210,5 m", "3.210,5", "ambiguous"),
            ("3,210.5 mm", "3,210.5", "ambiguous"),
            ("3,210 mm", "3,210", "write 3210 or 3.210"),
            ("1.2.3 m", "1.2.3", "ambiguous"),
            ("1,234,567 mm", "1,234,567", "ambiguous"),
        ],
    );
    check(
        Dimension::DataRate,
        &[
            ("100 mb/s", "mb/s", "could be Mbit/s or MB/s"),
            ("100 MBPS", "MBPS", "capitals"),
        ],
    );
    check(Dimension::Voltage, &[("5 mv", "mv", "could be mV or MV")]);
    check(
        Dimension::Frequency,
        &[("600 mhz", "mhz", "could be MHz or mHz")],
    );
}

#[test]
fn absurd_numbers_are_refused_with_their_bound() {
    let long = format!("{} m", "9".repeat(400));
    assert_eq!(
        refused(&long, Dimension::Length),
        (
            &long[..400],
            "a number of 400 characters is too long".to_owned()
        )
    );
    check(
        Dimension::Length,
        &[
            ("1e308 m", "1e308 m", "between −10 km and 10 km"),
            ("1e999 m", "1e999 m", "out of range"),
            ("-1e999 m", "-1e999 m", "out of range"),
            ("10001 m", "10001 m", "out of range"),
            ("7 km 1", "1", "can't follow km"),
            ("NaN m", "NaN", "not a number"),
            ("NaN", "NaN", "not a number"),
            ("inf m", "inf", "not a number"),
            ("-inf", "inf", "not a number"),
            ("infinity", "infinity", "not a number"),
        ],
    );
    check(
        Dimension::Temperature,
        &[
            ("-300 °C", "-300 °C", "−273.15 °C"),
            ("-1 K", "-1 K", "out of range"),
        ],
    );
    check(Dimension::Mass, &[("-3 kg", "-3 kg", "between 0 and")]);
    check(
        Dimension::Angle,
        &[
            ("361°", "361°", "360°"),
            ("3:0", "0", "can't be 0"),
            ("12° 60′", "60′", "under 60"),
        ],
    );
    for dimension in Dimension::ALL {
        for text in [
            "NaN", "inf", "1e308", "1e308 m", "-1e308 W", "1e999 %", "1e400",
        ] {
            refused(text, dimension);
        }
    }
}

#[test]
fn long_texts_are_refused_unread() {
    let text = "1 ".repeat(5_000_000);
    let (at, message) = refused(&text, Dimension::Length);
    assert_eq!(at.len(), text.len());
    assert!(message.contains("too long"));
}

#[test]
fn misspelt_units_get_an_offer() {
    check(
        Dimension::Length,
        &[
            ("10 fete", "fete", "did you mean `feet`?"),
            ("10 metrs", "metrs", "did you mean `metres`?"),
            ("10 inchs", "inchs", "did you mean `inches`?"),
            ("12' 3\" lazer", "lazer", "did you mean `laser`?"),
            ("12' 3\" (lazer)", "(lazer)", "did you mean `laser`?"),
            ("9 lazer", "lazer", "did you mean `laser`?"),
            ("12 ft lazer", "lazer", "did you mean `laser`?"),
            (
                "10 parsecs",
                "parsecs",
                "`parsecs` is not a unit of a length",
            ),
        ],
    );
    check(
        Dimension::Illuminance,
        &[("150 luxx", "luxx", "did you mean `lux`?")],
    );
    check(
        Dimension::Mass,
        &[("3 kilgrams", "kilgrams", "did you mean `kilograms`?")],
    );
}

#[test]
fn units_of_another_dimension_are_named() {
    check(
        Dimension::Length,
        &[(
            "10 kg",
            "kg",
            "`kg` is the unit of a mass, and this is a length",
        )],
    );
    check(Dimension::Level, &[("10 m", "m", "unit of a length")]);
    check(
        Dimension::Level,
        &[("85 dB laser", "laser", "says how a length was taken")],
    );
    check(Dimension::Power, &[("3 m", "m", "unit of a length")]);
}

#[test]
fn bare_numbers_stand_only_for_ratios_and_zero() {
    for dimension in Dimension::ALL {
        let bare_is_fine = matches!(dimension, Dimension::Ratio | Dimension::Factor);
        assert_eq!(read("10", dimension).is_ok(), bare_is_fine, "{dimension:?}");
        let zero_is_plain = !matches!(dimension, Dimension::Temperature | Dimension::WireArea);
        assert_eq!(read("0", dimension).is_ok(), zero_is_plain, "{dimension:?}");
    }
}

#[test]
fn gauges_that_do_not_exist_are_refused() {
    check(
        Dimension::WireArea,
        &[
            ("14.5 AWG", "14.5 AWG", "`14.5` is not a gauge"),
            ("5/0 AWG", "5/0 AWG", "is not a gauge"),
            ("2/1 AWG", "2/1 AWG", "is not a gauge"),
            ("41 AWG", "41 AWG", "is not a gauge"),
            ("-1 AWG", "-1 AWG", "is not a gauge"),
            ("AWG", "AWG", "is not a gauge"),
            ("14", "14", "add AWG, mm² or kcmil"),
            ("-2.5 mm²", "-2.5 mm²", "out of range"),
            ("2.5 mm² ± 0.1 mm²", "0.1 mm²", "write it in %"),
        ],
    );
}

#[test]
fn errors_say_what_is_accepted() {
    let error = read("10", Dimension::Length).unwrap_err();
    assert_eq!(
        error.accepted,
        "ft, in, m, cm or mm, for example 10' 6 1/2\", 126 1/2 in, 3.21 m, 3210 mm or ?"
    );
    assert_eq!(
        error.to_string(),
        "`10` has no unit: add ft, in, m, cm or mm \
         (accepted: ft, in, m, cm or mm, for example 10' 6 1/2\", 126 1/2 in, 3.21 m, 3210 mm or ?)"
    );
}

/// Every example that an error offers must itself be read.
#[test]
fn offered_examples_are_read() {
    for dimension in Dimension::ALL {
        let accepted = dimension.accepted();
        let (_, examples) = accepted.split_once("for example ").unwrap();
        for example in examples
            .split(", ")
            .flat_map(|example| example.split(" or "))
        {
            read(example, dimension).unwrap_or_else(|error| panic!("{example}: {error}"));
        }
    }
}
