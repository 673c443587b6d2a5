//! What stands in which unit of each rack, for lists, sheets and the page.

use analysis::{Analysis, item_label};
use model::{Item, Kit};
use units::Dimension;

/// A rack with units.
#[derive(Clone, Debug, PartialEq)]
pub struct RackTold {
    /// The rack's item.
    pub item: String,
    /// Its name.
    pub label: String,
    /// How many units it has.
    pub slots: u32,
    /// What stands in it, from the top.
    pub things: Vec<RackedTold>,
    /// What is inside and says no unit, or not how many it takes: names.
    pub loose: Vec<String>,
}

/// A thing in a rack.
#[derive(Clone, Debug, PartialEq)]
pub struct RackedTold {
    /// Its item.
    pub item: String,
    /// Its name.
    pub label: String,
    /// Mass and heat, as far as they are known.
    pub facts: String,
    /// Its lowest unit, from 1 at the bottom.
    pub slot: u32,
    /// Its height in units.
    pub units: u32,
}

/// Every rack, in the order of the job.
pub fn racks_told(analysis: &Analysis) -> Vec<RackTold> {
    let racks = analysis
        .items()
        .filter_map(|item| match analysis.kit_of(item)? {
            Kit::Cupboard(kit) => Some((item, kit.slots?)),
            _ => None,
        });
    racks
        .map(|(rack, slots)| {
            let inside = analysis
                .items()
                .filter(|item| item.inside.as_deref() == Some(&rack.id));
            let (mut things, mut loose) = (Vec::new(), Vec::new());
            for item in inside {
                match racked(analysis, item) {
                    Some(thing) => things.push(thing),
                    None => loose.push(item_label(item).to_owned()),
                }
            }
            things.sort_by_key(|thing| std::cmp::Reverse(thing.slot));
            RackTold {
                item: rack.id.clone(),
                label: item_label(rack).to_owned(),
                slots,
                things,
                loose,
            }
        })
        .collect()
}

fn racked(analysis: &Analysis, item: &Item) -> Option<RackedTold> {
    let common = analysis.kit_of(item)?.common();
    let (slot, units) = (item.slot?, common.rack_units?);
    let heat = common.heat.as_ref().or(common.watts.as_ref());
    let mass = analysis
        .number(common.mass.as_ref())
        .map(|mass| (mass, Dimension::Mass));
    let heat = analysis.number(heat).map(|heat| (heat, Dimension::Power));
    let facts: Vec<String> = [mass, heat]
        .into_iter()
        .flatten()
        .map(|(number, dimension)| analysis.exact(number.value(), dimension))
        .collect();
    Some(RackedTold {
        item: item.id.clone(),
        label: item_label(item).to_owned(),
        facts: facts.join(", "),
        slot,
        units,
    })
}

#[cfg(test)]
mod tests {
    use analysis::Analysis;

    use super::*;
    use crate::testing::{ROOM, job};

    #[test]
    fn things_stand_from_the_top_and_what_says_no_unit_is_named() {
        let text = format!(
            r#"{ROOM}
            [[kit.cupboard]]
            id = "rack-r1"
            size = ["600 mm", "1.2 m", "600 mm"]
            slots = 20
            [[kit.device]]
            id = "player-d1"
            mass = "5 kg"
            watts = 20
            rack_units = 2
            [[item]]
            id = "rack"
            is = "rack-r1"
            at = {{ from = ["north", "1 m"], and = ["east", "1 m"] }}
            [[item]]
            id = "low"
            is = "player-d1"
            in = "rack"
            slot = 1
            [[item]]
            id = "high"
            is = "player-d1"
            in = "rack"
            slot = 7
            [[item]]
            id = "somewhere"
            is = "player-d1"
            in = "rack"
            "#
        );
        let racks = racks_told(&Analysis::new(job(&text)));
        let [rack] = racks.as_slice() else {
            panic!("{racks:?}");
        };
        let told: Vec<_> = (rack.things.iter())
            .map(|one| (one.item.as_str(), one.slot, one.units))
            .collect();
        assert_eq!(told, [("high", 7, 2), ("low", 1, 2)]);
        assert_eq!(rack.loose, ["somewhere"]);
        assert_eq!(rack.things[0].facts.replace('\u{202f}', " "), "5 kg, 20 W");
    }
}
