//! The octave bands in which rooms are described.

use std::sync::LazyLock;

use units::Hertz;

/// An octave band of IEC 61260-1, by its nominal mid-band frequency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OctaveBand {
    /// 125 Hz.
    Hz125,
    /// 250 Hz.
    Hz250,
    /// 500 Hz.
    Hz500,
    /// 1 kHz.
    Hz1000,
    /// 2 kHz.
    Hz2000,
    /// 4 kHz.
    Hz4000,
    /// 8 kHz.
    Hz8000,
}

/// One value for each band of [`OctaveBand::ALL`]; `None` where nothing is known.
pub type Octaves<T> = [Option<T>; 7];

impl OctaveBand {
    /// The bands from 125 Hz to 8 kHz.
    pub const ALL: [Self; 7] = [
        Self::Hz125,
        Self::Hz250,
        Self::Hz500,
        Self::Hz1000,
        Self::Hz2000,
        Self::Hz4000,
        Self::Hz8000,
    ];

    /// The place of the band in an [`Octaves`] array.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The frequency that names the band.
    pub fn nominal(self) -> Hertz {
        Hertz(125.0 * f64::from(1_u32 << self.index()))
    }

    /// The exact mid-band frequency, `f_m = 1000 G^x` with `G = 10^0.3` and x = 0
    /// at 1 kHz (IEC 61260-1:2014, base ten): 125.893 Hz where 125 Hz is printed.
    pub fn exact(self) -> Hertz {
        // Asked for with every direction in which a loudspeaker is heard.
        static EXACT: LazyLock<[Hertz; 7]> = LazyLock::new(|| {
            OctaveBand::ALL.map(|band| third_octave(3 * (band.index() as i32 - 3)).exact)
        });
        EXACT[self.index()]
    }
}

/// A third-octave band of IEC 61260-1:2014, base ten.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThirdOctave {
    /// The frequency that names the band.
    pub nominal: Hertz,
    /// The exact mid-band frequency.
    pub exact: Hertz,
    /// Lower edge.
    pub lower: Hertz,
    /// Upper edge.
    pub upper: Hertz,
}

/// The third octave `index` bands above 1 kHz (negative: below):
/// `f_m = 1000 · 10^(index/10)`, edges `f_m · 10^(±1/20)`. Every third index is an
/// octave's mid-band too.
pub fn third_octave(index: i32) -> ThirdOctave {
    const NOMINAL: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];
    let at = |twentieths: i32| Hertz(1000.0 * 10_f64.powf(f64::from(twentieths) / 20.0));
    let decade = 10_f64.powi(index.div_euclid(10));
    ThirdOctave {
        nominal: Hertz(1000.0 * NOMINAL[index.rem_euclid(10) as usize] * decade),
        exact: at(2 * index),
        lower: at(2 * index - 1),
        upper: at(2 * index + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_are_the_base_ten_ones() {
        // IEC 61260-1:2014, base ten.
        assert!((OctaveBand::Hz125.exact().0 - 125.8925).abs() < 1e-4);
        assert!((OctaveBand::Hz1000.exact().0 - 1000.0).abs() < 1e-12);
        assert!((OctaveBand::Hz8000.exact().0 - 7943.2823).abs() < 1e-4);
    }

    #[test]
    fn names_are_the_printed_ones() {
        let names = OctaveBand::ALL.map(|band| band.nominal().0);
        assert_eq!(names, [125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0]);
    }

    #[test]
    fn third_octaves_are_the_printed_ones() {
        // IEC 61260-1:2014, base ten: 31.5 Hz from 28.1838 to 35.4813 Hz.
        let band = third_octave(-15);
        assert!((band.nominal.0 - 31.5).abs() < 1e-9);
        assert!((band.lower.0 - 28.1838).abs() < 1e-4);
        assert!((band.upper.0 - 35.4813).abs() < 1e-4);
        assert_eq!(third_octave(0).nominal, Hertz(1000.0));
        assert_eq!(third_octave(-1).upper, third_octave(0).lower);
    }
}
