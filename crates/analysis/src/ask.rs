//! What is still to measure, decide or look up, and how.

use std::fmt;

/// A value, or what must be learned before there is one.
pub type Known<T> = Result<T, Missing>;

/// A fact that nobody knows yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What it is, in words that finish "can't tell yet: …".
    pub what: String,
    /// Where it belongs in the job document.
    pub at: String,
    /// How to get it.
    pub means: Means,
}

/// How a missing fact is got.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Means {
    /// With a tape or laser, on site.
    Tape,
    /// With a stud finder, or by looking behind the board.
    StudFinder,
    /// With a light meter at the screen.
    LightMeter,
    /// With a thermometer.
    Thermometer,
    /// With a sound level meter.
    SoundLevelMeter,
    /// By looking or asking on site.
    Look,
    /// From the maker's spec sheet.
    SpecSheet,
    /// By deciding what is to be fitted and where.
    Decide,
    /// From the local code, or from the authority or licensed trade that goes by it.
    LocalCode,
    /// Nothing to measure: the model does not cover the case.
    OutsideModel,
}

impl Means {
    /// The tool or place, for a list.
    pub fn tool(self) -> &'static str {
        match self {
            Self::Tape => "tape or laser",
            Self::StudFinder => "stud finder",
            Self::LightMeter => "light meter",
            Self::Thermometer => "thermometer",
            Self::SoundLevelMeter => "sound level meter",
            Self::Look => "look and ask on site",
            Self::SpecSheet => "maker's spec sheet",
            Self::Decide => "to be decided",
            Self::LocalCode => "local code or licensed trade",
            Self::OutsideModel => "outside the model",
        }
    }
}

impl Missing {
    /// Names a fact that is not known.
    pub fn new(what: impl Into<String>, at: impl Into<String>, means: Means) -> Self {
        Self {
            what: what.into(),
            at: at.into(),
            means,
        }
    }
}

impl fmt::Display for Missing {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} ({})", self.what, self.means.tool())
    }
}
