//! Can a thing of the catalogue exist: pictures with sides, cases with size?

use super::Sense;
use crate::{Kit, Length, Ratio};

impl Sense<'_> {
    /// Sides, cut-outs and diameters below zero belong to no thing.
    pub(super) fn kit_sizes(&mut self) {
        let job = self.job;
        for kit in job.kit.all() {
            let at = format!("kit.{}.{}", kit.kind(), kit.common().id);
            if let Some([width, height, depth]) = &kit.common().size {
                self.positive(&format!("{at}.size.0"), Some(width), "a width");
                self.positive(&format!("{at}.size.1"), Some(height), "a height");
                // What is painted or let into a wall has no depth.
                self.not_below_zero(&format!("{at}.size.2"), Some(depth), "a depth");
            }
            let (cutout, behind) = match kit {
                Kit::Loudspeaker(kit) => (kit.cutout.as_ref(), kit.depth_behind.as_ref()),
                Kit::Plate(kit) => (kit.cutout.as_ref(), kit.depth_behind.as_ref()),
                _ => (None, None),
            };
            for (index, side) in cutout.into_iter().flatten().enumerate() {
                let side_at = format!("{at}.cutout.{index}");
                self.positive(&side_at, Some(side), "a side of a cut-out");
            }
            self.not_below_zero(&format!("{at}.depth_behind"), behind, "a depth");
            if let Kit::Cable(kit) = kit {
                let diameter = kit.diameter.as_ref();
                self.positive(&format!("{at}.diameter"), diameter, "a diameter");
            }
        }
    }

    /// Sizes and aspects of zero or less make no picture.
    pub(super) fn pictures(&mut self) {
        let job = self.job;
        for kit in &job.kit.screen {
            let at = format!("kit.screen.{}", kit.common.id);
            self.aspect(&format!("{at}.aspect"), kit.aspect.as_ref());
            self.positive(
                &format!("{at}.diagonal"),
                kit.diagonal.as_ref(),
                "a diagonal",
            );
            let width = kit.picture_width.as_ref();
            self.positive(&format!("{at}.picture_width"), width, "a picture's width");
            let beside = [
                ("frame", kit.frame.as_ref(), "a frame"),
                ("black_drop", kit.black_drop.as_ref(), "a black drop"),
                ("tail", kit.tail.as_ref(), "a tail"),
                (
                    "cloth_off",
                    kit.cloth_off.as_ref(),
                    "a distance from the wall",
                ),
            ];
            for (fact, length, what) in beside {
                self.not_below_zero(&format!("{at}.{fact}"), length, what);
            }
            for (index, side) in kit.case.iter().flatten().enumerate() {
                self.positive(
                    &format!("{at}.case.{index}"),
                    Some(side),
                    "a side of a case",
                );
            }
            if let Some(rail) = &kit.rail {
                self.positive(&format!("{at}.rail.length"), Some(&rail.length), "a rail");
                let pitch = rail.pitch.as_ref();
                self.positive(&format!("{at}.rail.pitch"), pitch, "from hole to hole");
            }
        }
        for kit in &job.kit.display {
            let at = format!("kit.display.{}", kit.common.id);
            self.aspect(&format!("{at}.aspect"), kit.aspect.as_ref());
            self.positive(
                &format!("{at}.diagonal"),
                kit.diagonal.as_ref(),
                "a diagonal",
            );
        }
        for item in &job.item {
            for (index, aspect) in item.shows.iter().flatten().enumerate() {
                self.aspect(&format!("item.{}.shows.{index}", item.id), Some(aspect));
            }
        }
    }

    fn aspect(&mut self, at: &str, aspect: Option<&Ratio>) {
        let Some((aspect, value)) = aspect.and_then(|aspect| Some((aspect, aspect.value()?)))
        else {
            return;
        };
        if value <= 0.0 {
            let message = format!("a picture can't be {} times as wide as high", aspect.text());
            self.found.report(
                at,
                message,
                "width to height above zero, as `16:9` or `2.39`",
            );
        }
    }

    fn not_below_zero(&mut self, at: &str, length: Option<&Length>, what: &str) {
        if let Some((length, value)) = length.and_then(|length| Some((length, length.value()?)))
            && value < 0.0
        {
            let message = format!("{what} can't be {}", length.text());
            self.found.report(at, message, "a length of zero or more");
        }
    }
}
