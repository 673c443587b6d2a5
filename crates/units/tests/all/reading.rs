//! Every spelling that is read, and the value it stands for.

use units::{Dimension, Method, Reading, System, Tolerance, read};

fn reading(text: &str, dimension: Dimension) -> Reading {
    read(text, dimension).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// Relative 1e-12 allows for the order of a few float operations only.
fn check(dimension: Dimension, table: &[(&str, f64)]) {
    for (text, expected) in table {
        let value = reading(text, dimension)
            .value
            .unwrap_or_else(|| panic!("{text} has no value"));
        let bound = 1e-12 * expected.abs().max(1e-3);
        assert!(
            (value - expected).abs() <= bound,
            "{text}: {value}, expected {expected}"
        );
    }
}

/// 126.5 in × 25.4 mm = 3213.1 mm, the inch being exactly 25.4 mm (international
/// yard and pound agreement of 1959; NIST SP 811, 2008, appendix B.6).
#[test]
fn one_length_is_read_in_every_imperial_spelling() {
    for text in [
        "10' 6 1/2\"",
        "10'6 1/2\"",
        "10'6-1/2\"",
        "10' 6½\"",
        "10' 6 ½\"",
        "10ft 6.5in",
        "10ft6.5in",
        "10 ft 6.5 in",
        "10 ft 6,5 in",
        "10 ft 6-1/2 in",
        "10 feet 6 1/2 inches",
        "10 foot 6 1/2 inch",
        "10 FT 6 1/2 IN",
        "10 ft. 6 1/2 in.",
        "10 ft, 6 1/2 in",
        "10-6 1/2",
        "10-6½",
        "10-6.5",
        "10-6 1/2\"",
        "10 - 6 1/2",
        "10'-6 1/2\"",
        "10' - 6 1/2\"",
        "10′-6½″",
        "10′ 6½″",
        "10′\u{202F}6\u{202F}1/2″",
        "10’ 6 1/2”",
        "10‘ 6 1/2“",
        "10' 6 1/2''",
        "10’ 6 1/2’’",
        "10′ 6 1/2′′",
        "10' 6 1⁄2\"",
        "10' 6 1/2",
        "10 ft 6 1/2",
        "10' 6 2/4\"",
        "126 1/2\"",
        "126-1/2\"",
        "126½\"",
        "126.5 in",
        "126.5\"",
        "126,5\"",
        "126.5 inches",
        "126 1/2''",
        "1.265e2 in",
        "  10' 6 1/2\"  ",
        "+10' 6 1/2\"",
        "10.541666666666666 ft",
    ] {
        let reading = reading(text, Dimension::Length);
        let value = reading.value.unwrap();
        assert!((value - 3.2131).abs() < 1e-12, "{text}: {value} m");
        assert_eq!(reading.system, Some(System::Imperial), "{text}");
    }
}

#[test]
fn one_length_is_read_in_every_metric_spelling() {
    for text in [
        "3.21 m",
        "3.21m",
        "3,21 m",
        "3.210 m",
        "3 m 21",
        "3m21",
        "3 m 21 cm",
        "3 m 210 mm",
        "321 cm",
        "321cm",
        "3210 mm",
        "3210mm",
        "3210 MM",
        "3210\u{202F}mm",
        "0.00321 km",
        "0,00321 km",
        "3.21 metres",
        "3.21 meters",
        "321 centimetres",
        "3210 millimeters",
        "3.21e3 mm",
    ] {
        let reading = reading(text, Dimension::Length);
        let value = reading.value.unwrap();
        assert!((value - 3.21).abs() < 1e-12, "{text}: {value} m");
        assert_eq!(reading.system, Some(System::Metric), "{text}");
    }
}

#[test]
fn lengths_are_read() {
    check(
        Dimension::Length,
        &[
            ("1/2\"", 0.0127),
            ("1/2 in", 0.0127),
            ("½\"", 0.0127),
            (".5 in", 0.0127),
            ("6½\"", 0.1651),
            ("6 ½ in", 0.1651),
            ("6 ½\"", 0.1651),
            ("3/2 in", 0.0381),
            ("10'", 3.048),
            ("10' 0\"", 3.048),
            ("10' 0 1/2\"", 3.0607),
            ("10' 1/2\"", 3.0607),
            ("10-0 1/2", 3.0607),
            ("10-1/2 in", 0.2667),
            ("10-1/2 ft", 3.2004),
            ("10 1/2'", 3.2004),
            ("10-6", 3.2004),
            ("6 1/8\"", 0.155575),
            ("11 15/16\"", 0.3032125),
            ("5 yd", 4.572),
            ("1/2 m", 0.5),
            ("2 1/2 m", 2.5),
            ("3 m 05", 3.05),
            ("0,125 m", 0.125),
            ("3.2105 m", 3.2105),
            ("5. cm", 0.05),
            ("10 km", 10_000.0),
            ("0", 0.0),
            ("0.0", 0.0),
            ("0\"", 0.0),
            ("0 mm", 0.0),
            ("-0", 0.0),
            ("-3.21 m", -3.21),
            ("−3.21 m", -3.21),
            ("–3.21 m", -3.21),
            ("- 3.21 m", -3.21),
            ("-10' 6 1/2\"", -3.2131),
            ("-10-6 1/2", -3.2131),
            ("-1/2\"", -0.0127),
        ],
    );
}

#[test]
fn minus_zero_is_zero() {
    assert!(
        reading("-0", Dimension::Length)
            .value
            .unwrap()
            .is_sign_positive()
    );
    assert!(
        reading("-0 mm", Dimension::Length)
            .value
            .unwrap()
            .is_sign_positive()
    );
}

#[test]
fn a_method_may_follow_a_length() {
    for (text, value, method) in [
        ("12' 3\" laser", Some(3.7338), Method::Laser),
        ("12' 3\" Laser", Some(3.7338), Method::Laser),
        ("12' 3\", laser", Some(3.7338), Method::Laser),
        ("12' 3\" (laser)", Some(3.7338), Method::Laser),
        ("12' 3\" by laser", Some(3.7338), Method::Laser),
        ("12' 3\"laser", Some(3.7338), Method::Laser),
        ("12-3 tape", Some(3.7338), Method::Tape),
        ("9' paced", Some(2.7432), Method::Paced),
        ("3.21 m drawing", Some(3.21), Method::Drawing),
        ("3.21 m guess", Some(3.21), Method::Guess),
        ("3.21 m guessed", Some(3.21), Method::Guess),
        ("0 tape", Some(0.0), Method::Tape),
        ("? laser", None, Method::Laser),
        ("?tape", None, Method::Tape),
    ] {
        let reading = reading(text, Dimension::Length);
        assert_eq!(reading.method, Some(method), "{text}");
        match (reading.value, value) {
            (Some(read), Some(expected)) => assert!((read - expected).abs() < 1e-12, "{text}"),
            (read, expected) => assert_eq!(read, expected, "{text}"),
        }
    }
}

#[test]
fn a_tolerance_may_follow() {
    let absolute = |text: &str, dimension, expected: f64| match reading(text, dimension).tolerance {
        Some(Tolerance::Absolute(tolerance)) => {
            assert!((tolerance - expected).abs() < 1e-12, "{text}: {tolerance}")
        }
        other => panic!("{text}: {other:?}"),
    };
    for text in [
        "2.4 m ± 20 mm",
        "2.4 m ±20mm",
        "2.4 m±20 mm",
        "2.4 m +/- 20 mm",
        "2.4 m +- 2 cm",
        "8' ± 0.02 m",
    ] {
        absolute(text, Dimension::Length, 0.020);
    }
    absolute("10' 6\" +/- 1/2\"", Dimension::Length, 0.0127);
    absolute("10' 6\" ± ½\"", Dimension::Length, 0.0127);
    absolute("2.4 m ± 0", Dimension::Length, 0.0);
    absolute("70 °F ± 9 °F", Dimension::Temperature, 5.0);
    absolute("21 °C ± 2 K", Dimension::Temperature, 2.0);
    absolute("85 dB ± 1.5 dB", Dimension::Level, 1.5);
    absolute("40 % ± 3 %", Dimension::Ratio, 0.03);

    let relative = reading("3.21 m ± 3 %", Dimension::Length);
    assert_eq!(relative.tolerance, Some(Tolerance::Relative(0.03)));
    assert!((relative.tolerance_si().unwrap() - 0.0963).abs() < 1e-12);
    assert_eq!(
        reading("150 lx ±10%", Dimension::Illuminance).tolerance,
        Some(Tolerance::Relative(0.10))
    );
}

#[test]
fn a_stated_tolerance_goes_before_the_method() {
    for text in [
        "12' 3\" laser ± 5 mm",
        "12' 3\" ± 5 mm laser",
        "12' 3\" ± 5 mm (laser)",
    ] {
        let reading = reading(text, Dimension::Length);
        assert_eq!(reading.method, Some(Method::Laser), "{text}");
        assert!(
            (reading.tolerance_si().unwrap() - 0.005).abs() < 1e-15,
            "{text}"
        );
    }
    assert_eq!(
        reading("9' paced", Dimension::Length).tolerance_si(),
        Some(0.150)
    );
    assert_eq!(reading("9'", Dimension::Length).tolerance_si(), None);
}

#[test]
fn a_question_mark_is_still_to_measure_in_every_dimension() {
    for dimension in Dimension::ALL {
        for text in ["?", " ? "] {
            let expected = Reading {
                value: None,
                tolerance: None,
                method: None,
                system: None,
            };
            assert_eq!(reading(text, dimension), expected, "{dimension:?}");
        }
    }
}

/// tan 18.434948822922° = 4/12.
#[test]
fn angles_are_read() {
    let deg = f64::to_radians;
    check(
        Dimension::Angle,
        &[
            ("15 deg", deg(15.0)),
            ("15°", deg(15.0)),
            ("15 °", deg(15.0)),
            ("15º", deg(15.0)),
            ("15 degrees", deg(15.0)),
            ("22 1/2°", deg(22.5)),
            ("22,5°", deg(22.5)),
            ("12° 30′", deg(12.5)),
            ("12°30'", deg(12.5)),
            ("12° 30' 36\"", deg(12.51)),
            ("12 deg 30 min", deg(12.5)),
            ("-15°", deg(-15.0)),
            ("0.2 rad", 0.2),
            ("200 mrad", 0.2),
            ("0", 0.0),
            ("4:12", deg(18.434948822922)),
            ("4/12", deg(18.434948822922)),
            ("4 : 12", deg(18.434948822922)),
            ("4 in 12", deg(18.434948822922)),
            ("-4:12", deg(-18.434948822922)),
            ("12:12", deg(45.0)),
            ("360°", deg(360.0)),
            ("-360 deg", deg(-360.0)),
            ("1/2 deg", deg(0.5)),
        ],
    );
}

/// Factors by definition: 1 fc = 1 lm/ft² = 10.763910416709722 lx, 1 fL = 1/π cd/ft²
/// = 3.4262590996353905 cd/m², 1 lbf = 4.4482216152605 N, 1 mph = 0.44704 m/s
/// (NIST SP 811, 2008, appendix B.8, to all the digits printed there).
#[test]
fn other_dimensions_are_read() {
    check(
        Dimension::Illuminance,
        &[
            ("150 lx", 150.0),
            ("150 lux", 150.0),
            ("150 Lux", 150.0),
            ("1.5 klx", 1500.0),
            ("1 fc", 10.763910416709722),
            ("1 foot-candle", 10.763910416709722),
            ("1 footcandles", 10.763910416709722),
            ("1 lm/ft²", 10.763910416709722),
        ],
    );
    check(
        Dimension::LuminousFlux,
        &[
            ("2400 lm", 2400.0),
            ("2.4 klm", 2400.0),
            ("2400 lumens", 2400.0),
        ],
    );
    check(
        Dimension::Luminance,
        &[
            ("48 cd/m²", 48.0),
            ("48 cd/m2", 48.0),
            ("48 nits", 48.0),
            ("1 nit", 1.0),
            ("1 fL", 3.4262590996353905),
            ("1 ft-L", 3.4262590996353905),
            ("1 foot-lambert", 3.4262590996353905),
        ],
    );
    check(
        Dimension::Level,
        &[
            ("85 dB", 85.0),
            ("-3 dB", -3.0),
            ("−3.5dB", -3.5),
            ("6 db", 6.0),
            ("0", 0.0),
        ],
    );
    check(
        Dimension::Power,
        &[
            ("310 W", 310.0),
            ("1.5 kW", 1500.0),
            ("1.5 KW", 1500.0),
            ("20 mW", 0.02),
            ("1000 BTU/h", 293.07107017222),
        ],
    );
    check(
        Dimension::Voltage,
        &[
            ("120 V", 120.0),
            ("120 volts", 120.0),
            ("2 mV", 0.002),
            ("1 kV", 1000.0),
        ],
    );
    check(
        Dimension::Current,
        &[
            ("15 A", 15.0),
            ("15 amps", 15.0),
            ("500 mA", 0.5),
            ("20 µA", 2e-5),
        ],
    );
    check(
        Dimension::Resistance,
        &[
            ("8 ohm", 8.0),
            ("8 ohms", 8.0),
            ("8 Ω", 8.0),
            ("8\u{2126}", 8.0),
            ("47 kΩ", 47_000.0),
            ("47 kohm", 47_000.0),
            ("50 mΩ", 0.05),
            ("1 MΩ", 1e6),
        ],
    );
    check(
        Dimension::Mass,
        &[
            ("12.5 kg", 12.5),
            ("500 g", 0.5),
            ("1 lb", 0.45359237),
            ("10 lbs", 4.5359237),
            ("16 oz", 0.45359237),
            ("12 lb 8 oz", 5.669904625),
            ("12lb8oz", 5.669904625),
            ("1 kg 200 g", 1.2),
        ],
    );
    check(
        Dimension::Temperature,
        &[
            ("21 °C", 21.0),
            ("21C", 21.0),
            ("21 deg C", 21.0),
            ("212 °F", 100.0),
            ("32 F", 0.0),
            ("-40 °F", -40.0),
            ("-40 °C", -40.0),
            ("-459.67 °F", -273.15),
            ("0 K", -273.15),
            ("300 K", 26.85),
            ("70 degrees F", 21.11111111111111),
        ],
    );
    check(
        Dimension::TemperatureDifference,
        &[
            ("12 K", 12.0),
            ("12 °C", 12.0),
            ("9 °F", 5.0),
            ("-9 F", -5.0),
            ("0", 0.0),
        ],
    );
    check(
        Dimension::Frequency,
        &[
            ("80 Hz", 80.0),
            ("2.5 kHz", 2500.0),
            ("80hz", 80.0),
            ("5 GHz", 5e9),
        ],
    );
    check(
        Dimension::Time,
        &[
            ("0.4 s", 0.4),
            ("12 ms", 0.012),
            ("50 µs", 5e-5),
            ("50 us", 5e-5),
            ("90 min", 5400.0),
            ("1 h 30 min", 5400.0),
            ("1h30", 5400.0),
            ("1.5 h", 5400.0),
            ("1 1/2 hours", 5400.0),
            ("3 min 20 s", 200.0),
            ("-2 ms", -0.002),
        ],
    );
    check(
        Dimension::Ratio,
        &[
            ("3 %", 0.03),
            ("3%", 0.03),
            ("3 percent", 0.03),
            ("0.03", 0.03),
            ("1.32", 1.32),
            ("1/2", 0.5),
            ("½", 0.5),
            ("16:9", 1.7777777777777777),
            ("2.39:1", 2.39),
            ("12000:1", 12000.0),
            ("-5 %", -0.05),
        ],
    );
    check(
        Dimension::DataRate,
        &[
            ("100 Mbit/s", 100e6),
            ("100 Mbps", 100e6),
            ("100 mbps", 100e6),
            ("100 Mb/s", 100e6),
            ("18 Gbit/s", 18e9),
            ("10 MB/s", 80e6),
            ("10 MBps", 80e6),
            ("9600 bit/s", 9600.0),
        ],
    );
    check(
        Dimension::Force,
        &[
            ("450 N", 450.0),
            ("1.2 kN", 1200.0),
            ("1 lbf", 4.4482216152605),
            ("1 lb", 4.4482216152605),
            ("1 kgf", 9.80665),
        ],
    );
    check(
        Dimension::Area,
        &[
            ("12.5 m²", 12.5),
            ("12.5 m2", 12.5),
            ("12.5 m^2", 12.5),
            ("12.5 sq m", 12.5),
            ("100 ft²", 9.290304),
            ("100 sq ft", 9.290304),
            ("100 sq. ft.", 9.290304),
            ("100 square feet", 9.290304),
            ("100 cm²", 0.01),
        ],
    );
    check(
        Dimension::Volume,
        &[
            ("52 m³", 52.0),
            ("52 m3", 52.0),
            ("40 L", 0.04),
            ("40 litres", 0.04),
            ("1000 ft³", 28.316846592),
            ("1000 cu ft", 28.316846592),
            ("1000 cubic feet", 28.316846592),
        ],
    );
    check(
        Dimension::Speed,
        &[
            ("2.5 m/s", 2.5),
            ("36 km/h", 10.0),
            ("100 ft/min", 0.508),
            ("100 fpm", 0.508),
            ("1 ft/s", 0.3048),
            ("1 mph", 0.44704),
        ],
    );
}
