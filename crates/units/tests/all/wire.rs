//! Conductor sizes, typed as gauges or as square millimetres.

use units::{Dimension, Printer, System, read};

const TABLE: &str = include_str!("awg.csv");

fn area_mm2(text: &str) -> f64 {
    let reading = read(text, Dimension::WireArea).unwrap_or_else(|error| panic!("{text}: {error}"));
    reading.value.expect("a wire size typed in full") * 1e6
}

/// The table prints four decimals of a mm², so half of the last is the bound.
#[test]
fn gauges_have_the_tabulated_area() {
    let rows = TABLE.lines().skip(2);
    assert_eq!(rows.clone().count(), 19);
    for row in rows {
        let [gauge, _, area] = row.split(',').collect::<Vec<_>>()[..] else {
            panic!("{row}")
        };
        let area: f64 = area.parse().unwrap();
        let read = area_mm2(&format!("{gauge} AWG"));
        assert!(
            (read - area).abs() <= 0.5e-4,
            "{gauge} AWG: {read} mm², tabulated {area} mm²"
        );
    }
}

/// ASTM B258 fixes two diameters, from which the ratio 92 over 39 steps follows:
/// No. 36 is 0.0050 in and No. 4/0 is 0.4600 in.
#[test]
fn gauges_pass_through_the_two_fixed_diameters() {
    let diameter_in = |text: &str| (area_mm2(text) * 4.0 / std::f64::consts::PI).sqrt() / 25.4;
    assert!((diameter_in("36 AWG") - 0.0050).abs() < 1e-12);
    assert!((diameter_in("4/0 AWG") - 0.4600).abs() < 1e-12);
}

/// NEC chapter 9 table 8 (from memory) gives 1/0 to 4/0 as 105 600, 133 100,
/// 167 800 and 211 600 circular mils. It squares diameters rounded to 0.0001 in
/// (3e-4 of the area at most) and prints four digits (5e-4 at most).
#[test]
fn aughts_have_their_circular_mils() {
    for (text, kcmil) in [
        ("1/0 AWG", 105.6),
        ("2/0 AWG", 133.1),
        ("3/0 AWG", 167.8),
        ("4/0 AWG", 211.6),
    ] {
        let ratio = area_mm2(text) / area_mm2(&format!("{kcmil} kcmil"));
        assert!(
            (ratio - 1.0).abs() < 8e-4,
            "{text} over {kcmil} kcmil is {ratio}"
        );
    }
}

#[test]
fn spellings_of_one_gauge_agree() {
    let expected = area_mm2("14 AWG");
    for text in [
        "AWG 14", "14AWG", "14 awg", "14 ga", "14ga.", "14 gauge", "#14", "#14 AWG", "awg14",
    ] {
        assert_eq!(area_mm2(text), expected, "{text}");
    }
    let expected = area_mm2("2/0 AWG");
    for text in ["AWG 2/0", "2/0AWG", "00 AWG", "#2/0", "2/0 ga"] {
        assert_eq!(area_mm2(text), expected, "{text}");
    }
    assert_eq!(area_mm2("0 AWG"), area_mm2("1/0 AWG"));
}

#[test]
fn square_millimetres_are_read_as_they_are() {
    for text in [
        "2.5 mm²",
        "2.5 mm2",
        "2,5mm²",
        "2.5 mm^2",
        "2.5 sq mm",
        "2 1/2 mm2",
    ] {
        assert!((area_mm2(text) - 2.5).abs() < 1e-12, "{text}");
    }
}

#[test]
fn the_system_follows_the_spelling() {
    let system = |text| read(text, Dimension::WireArea).unwrap().system;
    assert_eq!(system("14 AWG"), Some(System::Imperial));
    assert_eq!(system("2.5 mm²"), Some(System::Metric));
}

#[test]
fn imperial_crews_see_gauges_where_the_wire_is_one() {
    let imperial = Printer {
        system: System::Imperial,
    };
    let metric = Printer {
        system: System::Metric,
    };
    let print = |printer: Printer, text: &str| {
        printer.print(
            read(text, Dimension::WireArea).unwrap().value.unwrap(),
            Dimension::WireArea,
            None,
        )
    };
    assert_eq!(print(imperial, "14 ga"), "14 AWG");
    assert_eq!(print(imperial, "00 AWG"), "2/0 AWG");
    assert_eq!(print(imperial, "2.5 mm2"), "2.5\u{202F}mm²");
    assert_eq!(print(metric, "14 AWG"), "2.08\u{202F}mm²");
}
