//! What surrounds a screen's picture: frame, case, black drop, weight bar, and how far its
//! cloth hangs off the wall.

use model::{Item, Kit, ScreenForm, ScreenKit};
use uncertainty::Uncertain;

use crate::{Analysis, Known, Means, Missing};

/// The whole thing round a lit picture.
#[derive(Clone, Debug)]
pub(crate) struct Surround {
    /// Outside width and height, m.
    pub size: [Uncertain; 2],
    /// The lit picture's middle above the outside's middle, m.
    pub lit_up: Uncertain,
    /// How far it stands out of the wall, m, where that is more than its cloth does.
    pub out: Option<Uncertain>,
}

/// A form that rolls down out of a case.
fn drops_down(kit: &ScreenKit) -> bool {
    matches!(
        kit.form,
        Some(ScreenForm::DropDown | ScreenForm::TabTensioned)
    )
}

impl Analysis {
    /// What surrounds a lit picture of a size, m.
    ///
    /// Fixed: W = w + 2f, H = h + 2f. Drop-down: W = max(case, w + 2f), H = the sum of case,
    /// black drop, h and tail; w, h picture, f frame or black margin. A maker's outside size
    /// comes first; that of a drop-down screen is what is seen with its cloth down.
    pub(crate) fn surround(
        &self,
        item: &Item,
        kit: &ScreenKit,
        [width, height]: [&Uncertain; 2],
    ) -> Known<Surround> {
        let ask = |what: &str, fact: &str| {
            Missing::new(
                format!("{what} of {}", item.is),
                format!("kit.screen.{}.{fact}", item.is),
                Means::SpecSheet,
            )
        };
        let frame = self.number(kit.frame.as_ref());
        if !drops_down(kit) {
            let size = match (self.item_size(item), &frame) {
                (Ok([width, height, _]), _) => [width, height],
                (Err(_), Some(frame)) => [width + frame * 2.0, height + frame * 2.0],
                (Err(_), None) => {
                    return Err(ask("the width of the frame, or the outside size,", "frame"));
                }
            };
            return Ok(Surround {
                size,
                lit_up: Uncertain::exact(0.0),
                out: None,
            });
        }
        let sides = kit.case.as_ref().ok_or_else(|| ask("the case", "case"))?;
        let side = |index: usize| {
            self.number(Some(&sides[index]))
                .ok_or_else(|| ask("the case", &format!("case.{index}")))
        };
        let [case_width, case_height, case_depth] = [side(0)?, side(1)?, side(2)?];
        let drop = self
            .number(kit.black_drop.as_ref())
            .ok_or_else(|| ask("the black drop", "black_drop"))?;
        let margin = frame.unwrap_or_default();
        let tail = self
            .number(kit.tail.as_ref())
            .unwrap_or_else(|| margin.clone());
        let above = &case_height + &drop;
        let size = match self.item_size(item) {
            Ok([width, height, _]) => [width, height],
            Err(_) => [
                case_width.max(&(width + &margin * 2.0)),
                &above + height + &tail,
            ],
        };
        // From the outside's upper edge down to the picture's middle.
        let down = above + height / 2.0;
        Ok(Surround {
            lit_up: &size[1] / 2.0 - down,
            size,
            out: Some(case_depth),
        })
    }

    /// From the wall to a screen's cloth, m, where a spec sheet or the survey says so.
    pub fn cloth_off(&self, item: &Item) -> Known<Uncertain> {
        let Some(Kit::Screen(kit)) = self.kit_of(item) else {
            let what = format!("a screen: {} is none", crate::item_label(item));
            return Err(Missing::new(
                what,
                format!("item.{}.is", item.id),
                Means::Decide,
            ));
        };
        if let Some(off) = self.number(kit.cloth_off.as_ref()) {
            return Ok(off);
        }
        if drops_down(kit)
            && let Some(depth) = kit
                .case
                .as_ref()
                .and_then(|case| self.number(Some(&case[2])))
        {
            return Ok(depth / 2.0);
        }
        let standoff = self
            .mount_of(item)
            .and_then(|(_, mount)| self.number(mount.standoff.as_ref()));
        match (self.item_size(item), standoff) {
            (Ok([_, _, depth]), standoff) => Ok(standoff.unwrap_or_default() + depth),
            (Err(_), _) => Err(Missing::new(
                format!("how far the cloth of {} hangs off the wall", item.is),
                format!("kit.screen.{}.cloth_off", item.is),
                Means::SpecSheet,
            )),
        }
    }
}
