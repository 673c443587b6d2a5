//! Which of the ways that a fitter can turn a loudspeaker serves best?

use analysis::{Analysis, Sounding, item_label};
use model::{Angle, Edit, Item, Length, LoudspeakerKit, Space};
use serde_json::json;
use units::{Dimension, Radians};

use crate::{Caution, Remedy};

/// Turning by less than this gain is not worth the way, dB.
const GAIN_MIN_DB: f64 = 0.1;
/// Places above this are reached from a ladder, m.
const OUT_OF_REACH_M: f64 = 1.8;

/// A loudspeaker, and what one that stands free looks at unless it is turned.
pub(crate) struct Turning<'a> {
    pub analysis: &'a Analysis,
    pub space: &'a Space,
    pub item: &'a Item,
    pub kit: &'a LoudspeakerKit,
    pub towards: [f64; 3],
}

/// A way to look, as a fitter sets it.
struct Turn {
    says: String,
    edit: Edit,
}

impl Turning<'_> {
    /// The way to look whose `spare`, in decibels, is the most, if that is more than now.
    pub fn best(
        &self,
        source: &Sounding<'_>,
        spare: impl Fn(&Sounding<'_>) -> f64,
    ) -> Option<Remedy> {
        let mut most = spare(source) + GAIN_MIN_DB;
        let mut best: Option<Turn> = None;
        let mut tried = |aimed: Sounding<'_>, turn: &dyn Fn() -> Option<Turn>| {
            let spare = spare(&aimed);
            if spare > most + 1e-9
                && let Some(turn) = turn()
            {
                (most, best) = (spare, Some(turn));
            }
        };
        let number = |angle: &Option<Angle>| angle.as_ref().and_then(Angle::value);
        let degrees = |angle: f64| angle.to_degrees().round() as u32;
        let drivers = match (number(&self.kit.turns), number(&self.kit.angled)) {
            (Some(most), _) => Some(((0..=degrees(most)).collect(), "Turn the drivers of")),
            (_, Some(angled)) if !self.kit.is_two_sided() => {
                Some((vec![degrees(angled)], "Fit the angled baffle of"))
            }
            _ => None,
        };
        if let Some((offs, words)) = drivers {
            let at = source.at.value();
            let square = (self.analysis)
                .square_aim(self.space, self.item, self.kit, at, self.towards)
                .ok()?;
            let offs: Vec<u32> = offs;
            for dial in (0..360).step_by(5) {
                for off in &offs {
                    let angles = [dial, *off].map(|angle| Radians::from_degrees(f64::from(angle)));
                    let aimed = source.aimed(square.turned(angles[0], angles[1]));
                    tried(aimed, &|| Some(self.dialled(words, dial, *off)));
                }
            }
        } else if self.item.at.is_some() {
            let (wall, inward) = self.wall_behind(source)?;
            // The smallest of turns that are as good.
            for degrees in (0..=90).flat_map(|degrees| [degrees, -degrees]) {
                let by = Radians::from_degrees(f64::from(degrees));
                let aim = acoustics::directivity::Aim::off_wall(inward, by)?;
                tried(source.aimed(aim), &|| Some(self.turned(wall, degrees)));
            }
        }
        let turn = best?;
        let remedy = Remedy::new(turn.says, vec![turn.edit]);
        Some(if source.at.value()[2] > OUT_OF_REACH_M {
            remedy.caution(Caution::Ladder)
        } else {
            remedy
        })
    }

    /// The wall from which it looks away most squarely.
    fn wall_behind(&self, source: &Sounding<'_>) -> Option<(&str, [f64; 2])> {
        let at = source.at.value();
        let way = [0, 1].map(|axis| self.towards[axis] - at[axis]);
        let walls = self.space.walls.iter().filter_map(|wall| {
            let inward = self.analysis.inward(self.space, &wall.id)?;
            let along = inward[0] * way[0] + inward[1] * way[1];
            Some((along, wall.id.as_str(), inward))
        });
        let (_, wall, inward) = walls.reduce(|best, next| {
            // The first named of two as square.
            if next.0 > best.0 + 1e-9 { next } else { best }
        })?;
        Some((wall, inward))
    }

    fn dialled(&self, words: &str, dial: u32, off: u32) -> Turn {
        let from = if self.item.on.is_some() {
            "straight up"
        } else {
            "the wall that its place is measured from first"
        };
        let table = json!({ "dial": format!("{dial} deg"), "off": format!("{off} deg") });
        Turn {
            says: format!(
                "{words} {} to {dial}\u{b0} on the dial, clockwise from {from} as one looks at it, and {off}\u{b0} off square.",
                item_label(self.item),
            ),
            edit: Edit::set(format!("item.{}.aim", self.item.id), table),
        }
    }

    fn turned(&self, wall: &str, degrees: i32) -> Turn {
        let table = json!({ "wall": wall, "by": format!("{degrees} deg") });
        let (side, near, far) = match degrees {
            0.. => ("right", "right", "left"),
            _ => ("left", "left", "right"),
        };
        let width = (self.kit.common.size.as_ref()).and_then(|size| Length::value(&size[0]));
        let by = f64::from(degrees.abs()).to_radians();
        let edges = match width {
            Some(width_m) if degrees != 0 => format!(
                ": the {far} edge of its front {} farther from it than the {near} edge",
                self.analysis.exact(width_m * by.sin(), Dimension::Length)
            ),
            _ => String::new(),
        };
        let off = match degrees {
            0 => format!("straight away from wall {wall}"),
            _ => format!(
                "{}\u{b0} off straight away from wall {wall}, to the {side} as one looks at it{edges}",
                degrees.abs()
            ),
        };
        Turn {
            says: format!("Turn {} to {off}.", item_label(self.item)),
            edit: Edit::set(format!("item.{}.turned", self.item.id), table),
        }
    }
}
