//! Which values could a hand have meant when it typed this one?
//!
//! Kinds of slip are common practice, no source: what people do with a tape
//! and a keyboard.

use std::f64::consts::PI;
use std::fmt;

use units::Metres;

const INCH_M: f64 = 0.0254;

/// A plausible slip of the hand or eye, with the value (m or rad) it hides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Slip {
    /// Two neighbouring digits changed places.
    DigitsSwapped(f64),
    /// A 6 for a 9 or a 9 for a 6.
    SixNine(f64),
    /// A 1 for a 7 or a 7 for a 1.
    OneSeven(f64),
    /// A 3 for an 8 or an 8 for a 3.
    ThreeEight(f64),
    /// One foot too many or too few: the foot mark nearest the inches misread.
    OneFootOff(f64),
    /// Ten feet too many or too few.
    TenFeetOff(f64),
    /// One metre too many or too few.
    OneMetreOff(f64),
    /// Ten centimetres too many or too few.
    TenCentimetresOff(f64),
    /// Feet and inches in each other's place, or `10.6 ft` for `10' 6"`.
    InchesFootMixed(f64),
    /// The angle outside the room for the one inside, or its supplement.
    OutsideAngle(f64),
    /// Ten degrees too many or too few.
    TenDegreesOff(f64),
    /// A corner left at 90° that is cut at 45°.
    CornerNotSquare(f64),
}

impl Slip {
    /// The value meant, m or rad.
    pub fn value(self) -> f64 {
        match self {
            Slip::DigitsSwapped(value)
            | Slip::SixNine(value)
            | Slip::OneSeven(value)
            | Slip::ThreeEight(value)
            | Slip::OneFootOff(value)
            | Slip::TenFeetOff(value)
            | Slip::OneMetreOff(value)
            | Slip::TenCentimetresOff(value)
            | Slip::InchesFootMixed(value)
            | Slip::OutsideAngle(value)
            | Slip::TenDegreesOff(value)
            | Slip::CornerNotSquare(value) => value,
        }
    }
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Slip::DigitsSwapped(_) => "two digits swapped",
            Slip::SixNine(_) => "6 and 9 confused",
            Slip::OneSeven(_) => "1 and 7 confused",
            Slip::ThreeEight(_) => "3 and 8 confused",
            Slip::OneFootOff(_) => "one foot off",
            Slip::TenFeetOff(_) => "ten feet off",
            Slip::OneMetreOff(_) => "one metre off",
            Slip::TenCentimetresOff(_) => "ten centimetres off",
            Slip::InchesFootMixed(_) => "feet and inches mixed up",
            Slip::OutsideAngle(_) => "the angle outside the room, or its supplement",
            Slip::TenDegreesOff(_) => "ten degrees off",
            Slip::CornerNotSquare(_) => "a corner left at 90 degrees that is not square",
        })
    }
}

/// Values that may have been meant where `typed_m` stands, in a fixed order.
pub(crate) fn length_slips(typed_m: f64) -> Vec<Slip> {
    // No wall is longer; beyond it digits would lose their meaning.
    const LONGEST_M: f64 = 1_000.0;
    if typed_m.is_nan() || typed_m > LONGEST_M {
        return vec![];
    }
    let metric = is_multiple(typed_m, 0.001);
    let imperial = is_multiple(typed_m, INCH_M / 32.0);
    let mut slips = Vec::new();
    // A value in neither spelling was averaged or converted: try both.
    if metric || !imperial {
        metric_slips(typed_m, &mut slips);
    }
    if imperial || !metric {
        imperial_slips(typed_m, &mut slips);
    }
    slips.retain(|slip| slip.value() > 0.0 && (slip.value() - typed_m).abs() > 1e-6);
    slips
}

/// Angles that may have been meant where `typed_rad` stands.
pub(crate) fn angle_slips(typed_rad: f64) -> Vec<Slip> {
    let degrees = typed_rad.to_degrees();
    let whole = degrees.round().clamp(0.0, 360.0) as u32;
    let mut slips = Vec::new();
    digit_slips(whole, &mut |changed, kind| {
        slips.push(kind(
            (degrees + f64::from(changed) - f64::from(whole)).to_radians(),
        ));
    });
    slips.push(Slip::OutsideAngle(2.0 * PI - typed_rad));
    slips.push(Slip::OutsideAngle(PI - typed_rad));
    slips.push(Slip::TenDegreesOff((degrees + 10.0).to_radians()));
    slips.push(Slip::TenDegreesOff((degrees - 10.0).to_radians()));
    if (degrees - 90.0).abs() < 1e-6 {
        slips.extend([45.0_f64, 135.0, 225.0].map(|d| Slip::CornerNotSquare(d.to_radians())));
    }
    slips.retain(|slip| {
        let value = slip.value();
        value > 0.0 && value < 2.0 * PI && (value - typed_rad).abs() > 1e-6
    });
    slips
}

fn is_multiple(value: f64, unit: f64) -> bool {
    (value / unit - (value / unit).round()).abs() * unit < 1e-6
}

fn metric_slips(typed_m: f64, slips: &mut Vec<Slip>) {
    // The digits are the same in `3.21 m`, `321 cm` and `3210 mm`; zeros at the
    // end are not typed in the first two and stay out of it.
    let mut digits = (typed_m * 1000.0).round() as u32;
    let mut unit_m = 0.001;
    while unit_m < 0.9 && digits > 0 && digits.is_multiple_of(10) {
        digits /= 10;
        unit_m *= 10.0;
    }
    digit_slips(digits, &mut |changed, kind| {
        slips.push(kind(
            typed_m + (f64::from(changed) - f64::from(digits)) * unit_m,
        ));
    });
    slips.extend([1.0, -1.0].map(|off| Slip::OneMetreOff(typed_m + off)));
    slips.extend([0.1, -0.1].map(|off| Slip::TenCentimetresOff(typed_m + off)));
}

fn imperial_slips(typed_m: f64, slips: &mut Vec<Slip>) {
    let total = (Metres(typed_m).inches() + 1e-6).floor() as u32;
    let (feet, inches) = (total / 12, total % 12);
    let moved = |whole_inches: u32| typed_m + (f64::from(whole_inches) - f64::from(total)) * INCH_M;
    digit_slips(feet, &mut |changed, kind| {
        slips.push(kind(moved(12 * changed + inches)))
    });
    digit_slips(inches, &mut |changed, kind| {
        if changed < 12 {
            slips.push(kind(moved(12 * feet + changed)));
        }
    });
    // The same length typed in inches alone.
    digit_slips(total, &mut |changed, kind| slips.push(kind(moved(changed))));
    slips.extend([1.0, -1.0].map(|off| Slip::OneFootOff(typed_m + off * 12.0 * INCH_M)));
    slips.extend([10.0, -10.0].map(|off| Slip::TenFeetOff(typed_m + off * 12.0 * INCH_M)));
    if feet < 12 {
        slips.push(Slip::InchesFootMixed(moved(12 * inches + feet)));
    }
    // `10.6` typed as feet for 10' 6", and 10' 6" typed for 10.6 ft.
    let tenths = (Metres(typed_m).inches() / 1.2 + 1e-6).floor() as u32;
    let decimal = f64::from(tenths) * 1.2 * INCH_M;
    if (decimal - typed_m).abs() < 1e-6 {
        let meant = Metres::from_inches(f64::from(12 * (tenths / 10) + tenths % 10));
        slips.push(Slip::InchesFootMixed(meant.0));
    }
    if inches < 10 {
        let meant = Metres::from_inches(f64::from(12 * feet) + 1.2 * f64::from(inches));
        slips.push(Slip::InchesFootMixed(meant.0));
    }
}

/// Every number one slip of a digit away from `number`.
fn digit_slips(number: u32, found: &mut dyn FnMut(u32, fn(f64) -> Slip)) {
    type Alike = (u8, u8, fn(f64) -> Slip);
    const ALIKE: [Alike; 6] = [
        (b'6', b'9', Slip::SixNine),
        (b'9', b'6', Slip::SixNine),
        (b'1', b'7', Slip::OneSeven),
        (b'7', b'1', Slip::OneSeven),
        (b'3', b'8', Slip::ThreeEight),
        (b'8', b'3', Slip::ThreeEight),
    ];
    let digits = number.to_string().into_bytes();
    let value = |digits: &[u8]| {
        digits
            .iter()
            .fold(0, |sum, digit| 10 * sum + u32::from(digit - b'0'))
    };
    for i in 1..digits.len() {
        if digits[i] != digits[i - 1] {
            let mut swapped = digits.clone();
            swapped.swap(i - 1, i);
            found(value(&swapped), Slip::DigitsSwapped);
        }
    }
    for i in 0..digits.len() {
        for (read, meant, kind) in ALIKE {
            if digits[i] == read {
                let mut changed = digits.clone();
                changed[i] = meant;
                found(value(&changed), kind);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finds(slips: &[Slip], wanted: Slip) -> bool {
        slips.iter().any(|slip| {
            std::mem::discriminant(slip) == std::mem::discriminant(&wanted)
                && (slip.value() - wanted.value()).abs() < 1e-9
        })
    }

    fn feet(feet: f64, inches: f64) -> f64 {
        Metres::from_inches(12.0 * feet + inches).0
    }

    #[test]
    fn metric_digits_swap_and_look_alike() {
        let slips = length_slips(3.21);
        assert!(finds(&slips, Slip::DigitsSwapped(3.12)));
        assert!(finds(&slips, Slip::DigitsSwapped(2.31)));
        assert!(finds(&slips, Slip::OneSeven(3.27)));
        assert!(finds(&slips, Slip::ThreeEight(8.21)));
        assert!(finds(&slips, Slip::TenCentimetresOff(3.11)));
    }

    #[test]
    fn zeros_nobody_types_are_not_swapped() {
        assert!(!finds(&length_slips(3.2), Slip::DigitsSwapped(3.02)));
    }

    #[test]
    fn imperial_fields_keep_the_fraction() {
        let slips = length_slips(feet(16.0, 3.875));
        assert!(finds(&slips, Slip::SixNine(feet(19.0, 3.875))));
        assert!(finds(&slips, Slip::ThreeEight(feet(16.0, 8.875))));
        assert!(finds(&slips, Slip::OneFootOff(feet(15.0, 3.875))));
        assert!(finds(&slips, Slip::TenFeetOff(feet(6.0, 3.875))));
    }

    #[test]
    fn decimal_feet_are_read_as_feet_and_inches() {
        assert!(finds(
            &length_slips(feet(10.6, 0.0)),
            Slip::InchesFootMixed(feet(10.0, 6.0))
        ));
        assert!(finds(
            &length_slips(feet(10.0, 6.0)),
            Slip::InchesFootMixed(feet(10.6, 0.0))
        ));
        assert!(finds(
            &length_slips(feet(5.0, 10.0)),
            Slip::InchesFootMixed(feet(10.0, 5.0))
        ));
    }

    #[test]
    fn a_metric_value_has_no_foot_slips() {
        assert!(
            length_slips(3.21)
                .iter()
                .all(|slip| !matches!(slip, Slip::OneFootOff(_)))
        );
    }

    #[test]
    fn angles_turn_outside_in() {
        let slips = angle_slips(153_f64.to_radians());
        assert!(finds(&slips, Slip::DigitsSwapped(135_f64.to_radians())));
        assert!(finds(&slips, Slip::OutsideAngle(207_f64.to_radians())));
        let square = angle_slips(PI / 2.0);
        assert!(finds(&square, Slip::CornerNotSquare(135_f64.to_radians())));
    }
}
