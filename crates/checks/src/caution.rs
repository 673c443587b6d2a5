//! The usual cautions where the work can hurt someone.

use serde::Serialize;

/// A danger that comes with a task.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Caution {
    /// Work above the floor.
    Ladder,
    /// Heavy or awkward things.
    Lifting,
    /// Mains wiring.
    Mains,
    /// Holes into walls, ceilings and floors.
    Drilling,
    /// Trenches for cables.
    Digging,
    /// Studs, joists and what they carry.
    Structure,
    /// Fireplaces and flues.
    HotFlue,
    /// Projector light in eyes.
    BrightBeam,
    /// Test signals and loud playback.
    LoudSweep,
    /// Cupboards that get hot.
    Heat,
}

impl Caution {
    /// What the screen and the sheet say.
    pub fn words(self) -> &'static str {
        match self {
            Self::Ladder => {
                "Ladder work: one person holds; foot out a quarter of the height; belt buckle between the rails. Follow local rules for work at height."
            }
            Self::Lifting => {
                "Heavy or awkward lift: two people, path cleared first; follow local lifting rules."
            }
            Self::Mains => {
                "Mains: switched off, locked and proved dead. Mains wiring is a licensed electrician's work; local code decides."
            }
            Self::Drilling => {
                "Before cutting or drilling: scan for cables, pipes and studs, and look behind with a small hole. Eye protection, and dust control in old houses (lead, asbestos: stop and ask)."
            }
            Self::Digging => {
                "Before digging: have buried cables and pipes located and marked, and dig by hand near them. Depth and kind of a cable in the ground are set by local code."
            }
            Self::Structure => {
                "Framing that carries load: limits here are general. Local code and the building's engineer decide; rated walls are a licensed trade's work."
            }
            Self::HotFlue => {
                "Hot flue and firebox: clearances to combustibles are set by the fire's label and local code; ask a licensed hearth trade."
            }
            Self::BrightBeam => {
                "Bright beam: nobody looks into the lens; warn everybody before the lamp is struck."
            }
            Self::LoudSweep => {
                "Loud sweep: start low, clear the room of people and animals, wear ear protection above 85 dB(A)."
            }
            Self::Heat => {
                "Heat builds up in closed cupboards: keep vents free, and follow each maker's clearances."
            }
        }
    }
}
