//! American wire gauge and the conductor's cross-section.
//!
//! ASTM B258: d = 0.127 mm · 92^((36 − n)/39), A = π d²/4, with the gauge number n;
//! 1/0 is n = 0, 2/0 is −1, 3/0 is −2, 4/0 is −3.

use std::f64::consts::PI;

/// 4/0, the thickest gauge.
pub(crate) const GAUGE_MIN: i32 = -3;
/// The thinnest gauge that ASTM B258 gives a number up to here.
pub(crate) const GAUGE_MAX: i32 = 40;

/// Cross-section of a solid conductor, m².
pub(crate) fn area_m2(gauge: i32) -> f64 {
    let d = 0.127e-3 * 92_f64.powf(f64::from(36 - gauge) / 39.0);
    PI / 4.0 * d * d
}

/// The gauge whose cross-section this is within 0.5 %; neighbours are 26 % apart.
pub(crate) fn gauge(area_m2: f64) -> Option<i32> {
    (GAUGE_MIN..=GAUGE_MAX).find(|n| (area_m2 / self::area_m2(*n) - 1.0).abs() < 0.005)
}

/// `14`, `1/0`, `2/0`, as it stands before `AWG`.
pub(crate) fn gauge_text(gauge: i32) -> String {
    if gauge <= 0 {
        format!("{}/0", 1 - gauge)
    } else {
        gauge.to_string()
    }
}

/// The gauge that `14`, `2/0`, `0` or `00` means.
pub(crate) fn read_gauge(text: &str) -> Option<i32> {
    let text = text.trim();
    if text.is_empty() || text.len() > 4 {
        return None;
    }
    if let Some((aught, zero)) = text.split_once('/') {
        let aught: i32 = aught.trim().parse().ok()?;
        return (zero.trim() == "0" && (1..=4).contains(&aught)).then_some(1 - aught);
    }
    if text.bytes().all(|byte| byte == b'0') {
        return i32::try_from(text.len()).ok().map(|zeros| 1 - zeros);
    }
    if !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let gauge: i32 = text.parse().ok()?;
    (1..=GAUGE_MAX).contains(&gauge).then_some(gauge)
}
