//! Which brightness and contrast do the published works ask for?
//!
//! Data with marks: a job may set its own limits in their place.

use units::CandelasPerSquareMetre;

use crate::Mark;
use crate::luminance::FOOT_LAMBERT;

/// A published luminance of white.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LuminanceTarget {
    /// What is measured, in words.
    pub what: &'static str,
    /// The target.
    pub luminance: CandelasPerSquareMetre,
    /// Allowed difference either way, where the work states one.
    pub tolerance: Option<CandelasPerSquareMetre>,
    /// The work, with its year or number; empty for common practice.
    pub source: &'static str,
    /// How well it is backed.
    pub mark: Mark,
}

/// Digital cinema, theatre: 48 cd/m² ± 10.2 at the screen's centre.
pub const CINEMA_THEATRE: LuminanceTarget = LuminanceTarget {
    what: "white at the centre of the screen, open gate, theatre",
    luminance: CandelasPerSquareMetre(48.0),
    tolerance: Some(CandelasPerSquareMetre(10.2)),
    source: "SMPTE ST 431-1",
    mark: Mark::FromMemory,
};

/// Digital cinema, review room: 48 cd/m² ± 3.5 at the screen's centre.
pub const CINEMA_REVIEW: LuminanceTarget = LuminanceTarget {
    what: "white at the centre of the screen, open gate, review room",
    luminance: CandelasPerSquareMetre(48.0),
    tolerance: Some(CandelasPerSquareMetre(3.5)),
    source: "SMPTE ST 431-1",
    mark: Mark::FromMemory,
};

/// Film: 16 fL, open gate.
pub const FILM_OPEN_GATE: LuminanceTarget = LuminanceTarget {
    what: "open gate without film, centre of the screen",
    luminance: CandelasPerSquareMetre(16.0 * FOOT_LAMBERT.0),
    tolerance: None,
    source: "SMPTE 196M",
    mark: Mark::FromMemory,
};

/// High dynamic range at home by projector: 100 cd/m² or more.
pub const HIGH_DYNAMIC_RANGE_HOME: LuminanceTarget = LuminanceTarget {
    what: "white of a projected high-dynamic-range picture at home, at least",
    luminance: CandelasPerSquareMetre(100.0),
    tolerance: None,
    source: "",
    mark: Mark::CommonPractice,
};

/// A class of viewing and the system contrast it asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContrastClass {
    /// The class.
    pub name: &'static str,
    /// Least contrast, to one.
    pub contrast: f64,
    /// How well the number is backed. That there are these four classes is
    /// confirmed by the abstract of the work.
    pub mark: Mark,
}

/// Where [`CONTRAST_CLASSES`] come from. Measured with a 16-zone chequer at
/// five viewing places (from memory).
pub const CONTRAST_CLASSES_SOURCE: &str = "ANSI/INFOCOMM 3M-2011";

/// The four classes of system contrast, from the least demanding up.
pub const CONTRAST_CLASSES: [ContrastClass; 4] = [
    ContrastClass {
        name: "passive viewing",
        contrast: 7.0,
        mark: Mark::FromMemory,
    },
    ContrastClass {
        name: "basic decision making",
        contrast: 15.0,
        mark: Mark::FromMemory,
    },
    ContrastClass {
        name: "analytical decision making",
        contrast: 50.0,
        mark: Mark::FromMemory,
    },
    ContrastClass {
        name: "full-motion video",
        contrast: 80.0,
        mark: Mark::FromMemory,
    },
];

/// The most demanding class that a contrast reaches; `None` below the least
/// and for a contrast that is not a number.
pub fn contrast_class(contrast: f64) -> Option<ContrastClass> {
    CONTRAST_CLASSES
        .into_iter()
        .rev()
        .find(|class| contrast >= class.contrast)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_takes_the_highest_class_it_reaches() {
        let name = |contrast| contrast_class(contrast).map(|class| class.name);
        assert_eq!(name(6.9), None);
        assert_eq!(name(7.0), Some("passive viewing"));
        assert_eq!(name(49.9), Some("basic decision making"));
        assert_eq!(name(50.0), Some("analytical decision making"));
        assert_eq!(name(1e6), Some("full-motion video"));
        assert_eq!(name(f64::NAN), None);
    }

    #[test]
    fn classes_rise() {
        assert!(CONTRAST_CLASSES.is_sorted_by(|a, b| a.contrast < b.contrast));
    }
}
