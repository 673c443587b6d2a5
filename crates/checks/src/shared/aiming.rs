//! Which of the ways that a fitter can turn a loudspeaker serves best?

use analysis::{Analysis, Sounding, item_label};
use model::{Angle, Edit, Item, Kit, Length, LoudspeakerKit, Space};
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
        let table = json!({ "dial": format!("{dial} deg"), "off": format!("{off} deg") });
        let [dial, off] = [dial, off].map(|angle| f64::from(angle).to_radians());
        Turn {
            says: format!(
                "{words} {} to {}.",
                item_label(self.item),
                dial_words(self.analysis, self.item, dial, Some(off))
            ),
            edit: Edit::set(format!("item.{}.aim", self.item.id), table),
        }
    }

    fn turned(&self, wall: &str, degrees: i32) -> Turn {
        let table = json!({ "wall": wall, "by": format!("{degrees} deg") });
        let by = f64::from(degrees).to_radians();
        Turn {
            says: format!(
                "Turn {} to {}.",
                item_label(self.item),
                off_wall_words(self.analysis, self.kit, wall, by)
            ),
            edit: Edit::set(format!("item.{}.turned", self.item.id), table),
        }
    }
}

/// How a loudspeaker is set, as a fitter reads it: its dial, or what it makes with a wall; nothing
/// where neither is written.
pub fn turn_words(analysis: &Analysis, item: &Item) -> Option<String> {
    let Some(Kit::Loudspeaker(kit)) = analysis.kit_of(item) else {
        return None;
    };
    if let Some(aim) = &item.aim {
        let off = (aim.off.as_ref().or(kit.angled.as_ref())).and_then(Angle::value);
        return Some(dial_words(analysis, item, aim.dial.value()?, off));
    }
    let turned = item.turned.as_ref()?;
    Some(off_wall_words(
        analysis,
        kit,
        &turned.wall,
        turned.by.value()?,
    ))
}

fn dial_words(analysis: &Analysis, item: &Item, dial: f64, off: Option<f64>) -> String {
    let from = if item.on.is_some() {
        "straight up"
    } else {
        "the wall that its place is measured from first"
    };
    let angle = |angle: f64| analysis.exact(angle, Dimension::Angle);
    let off = off.map_or_else(String::new, |off| {
        format!(", and {} off square", angle(off))
    });
    format!(
        "{} on the dial, clockwise from {from} as one looks at it{off}",
        angle(dial)
    )
}

fn off_wall_words(analysis: &Analysis, kit: &LoudspeakerKit, wall: &str, by: f64) -> String {
    if by.abs() < 1e-6 {
        return format!("straight away from wall {wall}");
    }
    let (near, far) = match by > 0.0 {
        true => ("right", "left"),
        false => ("left", "right"),
    };
    let width = (kit.common.size.as_ref()).and_then(|size| Length::value(&size[0]));
    let edges = width.map_or_else(String::new, |width_m| {
        let farther = analysis.exact(width_m * by.abs().sin(), Dimension::Length);
        format!(": the {far} edge of its front {farther} farther from it than the {near} edge")
    });
    format!(
        "{} off straight away from wall {wall}, to the {near} as one looks at it{edges}",
        analysis.exact(by.abs(), Dimension::Angle)
    )
}
