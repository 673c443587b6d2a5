//! How quantities look on the sheets.

use units::{Dimension, Printer, System, step};

const IMPERIAL: Printer = Printer {
    system: System::Imperial,
};
const METRIC: Printer = Printer {
    system: System::Metric,
};
const INCH: f64 = 0.0254;

/// No printed quantity may break over two lines: `~` and, in the expected texts of feet
/// and inches, the space are the thin no-break space.
fn check(printed: String, expected: &str) {
    assert_eq!(printed, expected.replace(['~', ' '], "\u{202F}"));
}

#[test]
fn imperial_lengths_are_feet_inches_and_eighths() {
    for (inches, expected) in [
        (126.5, "10′ 6 1/2″"),
        (6.5, "6 1/2″"),
        (0.5, "1/2″"),
        (0.0, "0″"),
        (12.0, "1′ 0″"),
        (12.5, "1′ 0 1/2″"),
        (11.875, "11 7/8″"),
        (11.9375, "1′ 0″"),
        (11.96, "1′ 0″"),
        (-126.5, "−10′ 6 1/2″"),
        (-0.01, "0″"),
        (-0.1, "−1/8″"),
        (23.99, "2′ 0″"),
        (120.25, "10′ 0 1/4″"),
    ] {
        check(
            IMPERIAL.print(inches * INCH, Dimension::Length, None),
            expected,
        );
    }
}

#[test]
fn metric_lengths_are_millimetres_then_metres() {
    for (metres, expected) in [
        (3.21, "3.21~m"),
        (3.2131, "3.213~m"),
        (2.4, "2.4~m"),
        (3.0, "3~m"),
        (0.85, "850~mm"),
        (0.0064, "6~mm"),
        (0.9996, "1~m"),
        (0.9994, "999~mm"),
        (0.0, "0~mm"),
        (-0.0004, "0~mm"),
        (-0.006, "−6~mm"),
        (-3.21, "−3.21~m"),
    ] {
        check(METRIC.print(metres, Dimension::Length, None), expected);
    }
}

#[test]
fn lengths_are_no_finer_than_their_uncertainty() {
    for (u_mm, metric, imperial) in [
        (0.5, "3.213~m", "10′ 6 1/2″"),
        (3.0, "3.213~m", "10′ 6 1/2″"),
        (29.0, "3.213~m", "10′ 6 1/2″"),
        (30.0, "3.21~m", "10′ 6 1/2″"),
        (50.0, "3.21~m", "10′ 6 1/2″"),
        (77.0, "3.21~m", "10′ 7″"),
        (305.0, "3.2~m", "10′ 7″"),
        (920.0, "3.2~m", "11′ 0″"),
        (3000.0, "3~m", "11′ 0″"),
    ] {
        check(
            METRIC.print(3.2131, Dimension::Length, Some(u_mm / 1000.0)),
            metric,
        );
        check(
            IMPERIAL.print(3.2131, Dimension::Length, Some(u_mm / 1000.0)),
            imperial,
        );
    }
    check(METRIC.print(2.4, Dimension::Length, Some(0.003)), "2.400~m");
}

#[test]
fn steps_climb_their_ladders() {
    let close = |found: f64, expected: f64| {
        assert!(
            (found / expected - 1.0).abs() < 1e-9,
            "{found}, expected {expected}"
        )
    };
    for (u_in, step_in) in [
        (0.0, 0.125),
        (0.7499, 0.125),
        (0.75, 0.25),
        (1.49, 0.25),
        (1.5, 0.5),
        (3.0, 1.0),
        (35.9, 1.0),
        (36.0, 12.0),
        (500.0, 12.0),
    ] {
        close(
            step(System::Imperial, Dimension::Length, Some(u_in * INCH)),
            step_in * INCH,
        );
    }
    for (u_mm, step_mm) in [
        (0.1, 1.0),
        (10.0, 1.0),
        (29.999, 1.0),
        (30.0, 10.0),
        (299.0, 10.0),
        (300.0, 100.0),
    ] {
        close(
            step(System::Metric, Dimension::Length, Some(u_mm / 1000.0)),
            step_mm / 1000.0,
        );
    }
    close(
        step(System::Imperial, Dimension::Length, None),
        0.125 * INCH,
    );
    close(step(System::Metric, Dimension::Level, None), 0.1);
    close(step(System::Metric, Dimension::Level, Some(2.9)), 0.1);
    close(step(System::Metric, Dimension::Level, Some(3.0)), 1.0);
    for (u_s, step_s) in [(2.9, 0.1), (3.0, 1.0), (30.0, 10.0), (180.0, 60.0)] {
        close(step(System::Metric, Dimension::Time, Some(u_s)), step_s);
    }
}

#[test]
fn signed_quantities_always_have_a_sign() {
    check(
        IMPERIAL.print_signed(1.5 * INCH, Dimension::Length, None),
        "+1 1/2″",
    );
    check(
        IMPERIAL.print_signed(-1.5 * INCH, Dimension::Length, None),
        "−1 1/2″",
    );
    check(
        METRIC.print_signed(-0.0001, Dimension::Length, None),
        "+0~mm",
    );
    check(
        METRIC.print_signed(-3.0, Dimension::Level, Some(0.1)),
        "−3.0~dB",
    );
    check(METRIC.print_signed(2.0, Dimension::Ratio, None), "+200~%");
    check(METRIC.print_signed(-20.0, Dimension::Ratio, None), "−20");
}

#[test]
fn uncertainties_have_one_or_two_digits() {
    for (mm, metric, imperial) in [
        (6.0, "±6~mm", "±1/4″"),
        (3.0, "±3~mm", "±1/8″"),
        (1.0, "±1~mm", "±1/16″"),
        (2.0, "±2~mm", "±1/16″"),
        (0.2, "±1~mm", "±1/16″"),
        (0.0, "±0~mm", "±0″"),
        (12.4, "±12~mm", "±1/2″"),
        (48.0, "±50~mm", "±2″"),
        (150.0, "±150~mm", "±6″"),
        (300.0, "±300~mm", "±1′ 0″"),
        (1240.0, "±1.2~m", "±4′ 0″"),
    ] {
        check(
            METRIC.print_uncertainty(mm / 1000.0, Dimension::Length),
            metric,
        );
        check(
            IMPERIAL.print_uncertainty(mm / 1000.0, Dimension::Length),
            imperial,
        );
    }
    check(METRIC.print_uncertainty(1.24, Dimension::Level), "±1.2~dB");
    check(METRIC.print_uncertainty(0.96, Dimension::Level), "±1.0~dB");
    check(
        METRIC.print_uncertainty(0.5_f64.to_radians(), Dimension::Angle),
        "±0.5°",
    );
    check(METRIC.print_uncertainty(0.031, Dimension::Ratio), "±3~%");
    check(
        IMPERIAL.print_uncertainty(5.0, Dimension::Temperature),
        "±9~°F",
    );
    check(METRIC.print_uncertainty(0.02, Dimension::Time), "±20~ms");
    check(
        METRIC.print_uncertainty(0.02e-6, Dimension::WireArea),
        "±0.020~mm²",
    );
    check(METRIC.print_uncertainty(f64::NAN, Dimension::Level), "±∞");
}

/// A signed value with its uncertainty.
fn both(printer: Printer, value: f64, dimension: Dimension, uncertainty: f64) -> String {
    let (value, uncertainty) = printer.print_both(value, dimension, Some(uncertainty));
    format!("{value}\u{202F}{}", uncertainty.expect("it has one"))
}

#[test]
fn the_guides_examples_are_rounded_as_it_rounds_them() {
    // JCGM 100:2008, 7.2.6: "if y = 10,057 62 Ω with u_c(y) = 27 mΩ, y should be rounded to
    // 10,058 Ω", and "a value such as u(x_i) = 28,05 kHz should be rounded down to 28 kHz".
    check(
        METRIC.print(10.057_62, Dimension::Resistance, Some(0.027)),
        "10.058~Ω",
    );
    check(
        METRIC.print_uncertainty(28.05e3, Dimension::Frequency),
        "±28~kHz",
    );
}

#[test]
fn a_value_and_its_uncertainty_have_one_step_and_one_unit() {
    for (value, dimension, uncertainty, metric, imperial) in [
        (
            -0.521,
            Dimension::Time,
            0.22,
            "−520~ms ±220~ms",
            "−520~ms ±220~ms",
        ),
        (0.0, Dimension::Time, 0.07, "+0~ms ±70~ms", "+0~ms ±70~ms"),
        (
            1.234,
            Dimension::Time,
            0.07,
            "+1.23~s ±0.07~s",
            "+1.23~s ±0.07~s",
        ),
        (
            0.31,
            Dimension::Time,
            1.96,
            "+0.3~s ±2.0~s",
            "+0.3~s ±2.0~s",
        ),
        (
            200.0,
            Dimension::Time,
            7.0,
            "+3~min~20~s ±7~s",
            "+3~min~20~s ±7~s",
        ),
        (
            45.0,
            Dimension::Time,
            90.0,
            "+50~s ±1~min~30~s",
            "+50~s ±1~min~30~s",
        ),
        (
            3.2131,
            Dimension::Length,
            0.012,
            "+3.213~m ±0.012~m",
            "+10′~6~1/2″ ±1/2″",
        ),
        (0.2, Dimension::Length, 0.048, "+200~mm ±50~mm", "+8″ ±2″"),
        (
            -0.4,
            Dimension::Length,
            1.24,
            "−0.4~m ±1.2~m",
            "−1′~0″ ±4′~0″",
        ),
        (
            -0.4,
            Dimension::Length,
            0.0004,
            "−400~mm ±1~mm",
            "−1′~3~3/4″ ±1/8″",
        ),
        (
            83.26,
            Dimension::Level,
            2.96,
            "+83.3~dB ±3.0~dB",
            "+83.3~dB ±3.0~dB",
        ),
        (
            83.26,
            Dimension::Level,
            0.02,
            "+83.3~dB ±0.1~dB",
            "+83.3~dB ±0.1~dB",
        ),
        (12.3, Dimension::Ratio, 0.5, "+12.3 ±0.5", "+12.3 ±0.5"),
        (
            5.0,
            Dimension::Temperature,
            5.0,
            "+5~°C ±5~°C",
            "+41~°F ±9~°F",
        ),
    ] {
        check(both(METRIC, value, dimension, uncertainty), metric);
        check(both(IMPERIAL, value, dimension, uncertainty), imperial);
    }
    let endless = METRIC.print_both(1.0, Dimension::Level, Some(f64::INFINITY));
    assert_eq!(endless.1.as_deref(), Some("±∞"));
    assert_eq!(METRIC.print_both(1.0, Dimension::Level, Some(0.0)).1, None);
    // Every figure of what is known so well is sure.
    let sure = METRIC.print_both(1.0, Dimension::Level, Some(0.005));
    assert_eq!(sure, ("+1.0\u{202F}dB".to_owned(), None));
}

#[test]
fn other_dimensions_have_their_units_and_digits() {
    for (value, dimension, metric, imperial) in [
        (15_f64.to_radians(), Dimension::Angle, "15°", "15°"),
        (-0.2618, Dimension::Angle, "−15°", "−15°"),
        (12.26_f64.to_radians(), Dimension::Angle, "12.3°", "12.3°"),
        (12.5, Dimension::Area, "12.5~m²", "135~ft²"),
        (52.0, Dimension::Volume, "52~m³", "1840~ft³"),
        (150.0, Dimension::Illuminance, "150~lx", "13.9~fc"),
        (0.05, Dimension::Illuminance, "0.05~lx", "0.005~fc"),
        (2345.0, Dimension::LuminousFlux, "2350~lm", "2350~lm"),
        (48.0, Dimension::Luminance, "48~cd/m²", "14~fL"),
        (85.04, Dimension::Level, "85~dB", "85~dB"),
        (-3.25, Dimension::Level, "−3.3~dB", "−3.3~dB"),
        (310.0, Dimension::Power, "310~W", "310~W"),
        (1454.0, Dimension::Power, "1450~W", "1450~W"),
        (12_300.0, Dimension::Power, "12.3~kW", "12.3~kW"),
        (0.02, Dimension::Power, "20~mW", "20~mW"),
        (120.0, Dimension::Voltage, "120~V", "120~V"),
        (0.002, Dimension::Voltage, "2~mV", "2~mV"),
        (0.0, Dimension::Voltage, "0~V", "0~V"),
        (0.5, Dimension::Current, "500~mA", "500~mA"),
        (8.0, Dimension::Resistance, "8~Ω", "8~Ω"),
        (47_000.0, Dimension::Resistance, "47~kΩ", "47~kΩ"),
        (4.5359237, Dimension::Mass, "4.54~kg", "10~lb"),
        (0.25, Dimension::Mass, "250~g", "0.55~lb"),
        (21.0, Dimension::Temperature, "21~°C", "69.8~°F"),
        (-20.0, Dimension::Temperature, "−20~°C", "−4~°F"),
        (-17.78, Dimension::Temperature, "−17.8~°C", "0~°F"),
        (5.0, Dimension::TemperatureDifference, "5~K", "9~°F"),
        (57.34, Dimension::Frequency, "57.3~Hz", "57.3~Hz"),
        (999.6, Dimension::Frequency, "1~kHz", "1~kHz"),
        (2500.0, Dimension::Frequency, "2.5~kHz", "2.5~kHz"),
        (0.0123, Dimension::Time, "12.3~ms", "12.3~ms"),
        (0.714, Dimension::Time, "714~ms", "714~ms"),
        (12.34, Dimension::Time, "12.3~s", "12.3~s"),
        (59.97, Dimension::Time, "1~min 0~s", "1~min 0~s"),
        (200.0, Dimension::Time, "3~min 20~s", "3~min 20~s"),
        (3599.8, Dimension::Time, "1~h 0~min", "1~h 0~min"),
        (9310.0, Dimension::Time, "2~h 35~min", "2~h 35~min"),
        (0.031, Dimension::Ratio, "3.1~%", "3.1~%"),
        (1.12, Dimension::Ratio, "112~%", "112~%"),
        (12_000.0, Dimension::Ratio, "12000", "12000"),
        (17.82e9, Dimension::DataRate, "17.82~Gbit/s", "17.82~Gbit/s"),
        (444.82216152605, Dimension::Force, "445~N", "100~lbf"),
        (2.5, Dimension::Speed, "2.5~m/s", "8.2~ft/s"),
    ] {
        check(METRIC.print(value, dimension, None), metric);
        check(IMPERIAL.print(value, dimension, None), imperial);
    }
}

#[test]
fn other_dimensions_are_no_finer_than_their_uncertainty() {
    check(METRIC.print(83.26, Dimension::Level, Some(1.2)), "83.3~dB");
    check(METRIC.print(83.26, Dimension::Level, Some(3.5)), "83~dB");
    check(METRIC.print(83.26, Dimension::Level, Some(0.1)), "83.3~dB");
    check(METRIC.print(83.0, Dimension::Level, Some(0.1)), "83.0~dB");
    check(
        METRIC.print(999.6, Dimension::Frequency, Some(0.5)),
        "999.6~Hz",
    );
    check(
        METRIC.print(999.96, Dimension::Frequency, Some(0.5)),
        "1.0000~kHz",
    );
    check(
        METRIC.print(147.0, Dimension::Illuminance, Some(35.0)),
        "150~lx",
    );
    check(METRIC.print(0.4, Dimension::Time, Some(0.02)), "400~ms");
    check(
        METRIC.print(9310.0, Dimension::Time, Some(1800.0)),
        "2~h 40~min",
    );
    check(METRIC.print(9310.0, Dimension::Time, Some(10_800.0)), "3~h");
    check(METRIC.print_number(1.3234, Some(0.03)), "1.32");
    check(METRIC.print_number(1.3, Some(0.03)), "1.30");
    check(METRIC.print_number(-1.3, None), "−1.3");
}

#[test]
fn what_is_not_finite_is_still_printed() {
    for printer in [METRIC, IMPERIAL] {
        for dimension in Dimension::ALL {
            assert_eq!(printer.print(f64::INFINITY, dimension, None), "∞");
            assert_eq!(printer.print(f64::NEG_INFINITY, dimension, None), "−∞");
            assert_eq!(printer.print(f64::NAN, dimension, None), "undefined");
        }
    }
}

#[test]
fn diagonals_stay_in_inches_or_centimetres() {
    check(IMPERIAL.print_diagonal(110.0 * INCH), "110″");
    check(IMPERIAL.print_diagonal(64.5 * INCH), "64 1/2″");
    check(METRIC.print_diagonal(1.6383), "164~cm");
}
