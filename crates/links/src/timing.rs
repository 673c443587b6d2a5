//! Which raster does a picture format send, and how fast?
//!
//! CTA-861 timings: `pixel clock = h_total · v_total · frame rate` (half the
//! field rate times two fields for interlaced formats).

use std::sync::OnceLock;

use units::Hertz;

use units::guard::positive;
use units::table::{number, rows};

/// How the lines of a picture are sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scan {
    /// All lines in each frame.
    Progressive,
    /// Every other line in each field; the refresh is the field rate.
    Interlaced,
}

/// A CTA-861 format (confirmed in kernel source and patch text; see the table's first line).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// Video identification code.
    pub vic: u32,
    /// Active pixels across.
    pub width_px: u32,
    /// Active lines.
    pub height_px: u32,
    /// Pixels across with blanking.
    pub width_total_px: u32,
    /// Lines with blanking.
    pub height_total_px: u32,
    /// Scan.
    pub scan: Scan,
    /// Pixel clock.
    pub pixel_clock: Hertz,
    /// Frame rate, or field rate when interlaced, as printed.
    pub refresh: Hertz,
}

/// Every format of the table, by code.
pub fn timings() -> &'static [Timing] {
    static TABLE: OnceLock<Vec<Timing>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let timing = |row: Vec<&'static str>| Timing {
            vic: number(row[0]) as u32,
            width_px: number(row[2]) as u32,
            height_px: number(row[3]) as u32,
            width_total_px: number(row[4]) as u32,
            height_total_px: number(row[5]) as u32,
            scan: if row[6] == "i" {
                Scan::Interlaced
            } else {
                Scan::Progressive
            },
            pixel_clock: Hertz(number(row[7]) * 1e6),
            refresh: Hertz(number(row[8])),
        };
        rows(include_str!("cta861-timings.csv"))
            .map(timing)
            .collect()
    })
}

/// The format with this code.
pub fn timing(vic: u32) -> Option<Timing> {
    timings().iter().find(|timing| timing.vic == vic).copied()
}

/// The picture wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Picture {
    /// Active pixels across.
    pub width_px: u32,
    /// Active lines.
    pub height_px: u32,
    /// Frames per second; 59.94 finds the format of 60.
    pub refresh: Hertz,
}

/// The first progressive format with this picture, its clock divided by 1.001 when the refresh
/// asks for it; `None` when the table lacks it.
pub fn timing_of(picture: Picture) -> Option<Timing> {
    let wanted = positive(picture.refresh.0)?;
    let same_size = |timing: &&Timing| {
        timing.width_px == picture.width_px
            && timing.height_px == picture.height_px
            && timing.scan == Scan::Progressive
    };
    // 1.001 shifts a rate by 0.1 %, so 0.02 % tells the two apart at every rate.
    let near = |rate: f64| (rate / wanted - 1.0).abs() < 2e-4;
    let mut sized = timings().iter().filter(same_size);
    sized.find_map(|timing| match timing {
        timing if near(timing.refresh.0) => Some(*timing),
        timing if near(timing.refresh.0 / 1.001) => Some(timing.slowed()),
        _ => None,
    })
}

impl Timing {
    /// The variant with clock and refresh divided by 1.001 (60 → 59.94, 24 → 23.976).
    pub fn slowed(&self) -> Self {
        Self {
            pixel_clock: Hertz(self.pixel_clock.0 / 1.001),
            refresh: Hertz(self.refresh.0 / 1.001),
            ..*self
        }
    }

    /// Active pixels per second.
    pub fn active_pixel_rate(&self) -> Hertz {
        let active = f64::from(self.width_px) * f64::from(self.height_px);
        let total = f64::from(self.width_total_px) * f64::from(self.height_total_px);
        Hertz(self.pixel_clock.0 * active / total)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_agree_with_totals_and_refresh() {
        assert_eq!(timings().len(), 39);
        for timing in timings() {
            let total = f64::from(timing.width_total_px) * f64::from(timing.height_total_px);
            let fields = if timing.scan == Scan::Interlaced {
                2.0
            } else {
                1.0
            };
            let refresh = timing.pixel_clock.0 / total * fields;
            // Printed to 0.001 Hz.
            assert!(
                (refresh - timing.refresh.0).abs() <= 0.00051,
                "{timing:?} {refresh}"
            );
            assert!(timing.width_px < timing.width_total_px, "{timing:?}");
            assert!(timing.height_px < timing.height_total_px, "{timing:?}");
        }
    }

    #[test]
    fn fractional_refresh_finds_the_slowed_clock() {
        let find = |refresh| {
            timing_of(Picture {
                width_px: 3840,
                height_px: 2160,
                refresh: Hertz(refresh),
            })
        };
        assert_eq!(find(60.0).unwrap().vic, 97);
        let slow = find(59.94).unwrap();
        assert_eq!(slow.vic, 97);
        assert!((slow.pixel_clock.0 - 594e6 / 1.001).abs() < 1e-3);
        assert_eq!(find(23.976).unwrap().vic, 93);
        assert_eq!(find(61.0), None);
        assert_eq!(find(f64::NAN), None);
        assert_eq!(timing(3000), None);
    }
}
