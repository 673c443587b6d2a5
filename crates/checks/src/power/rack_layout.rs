//! Does everything in a rack find its units, with weight low?

use analysis::{Analysis, Known, Means, Missing, Source, Uncertain, item_label};
use model::{CupboardKit, Edit, Item, Kit};
use units::Dimension;

use crate::{Area, Caution, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "rack-layout",
    area: Area::Power,
    proves: "Things in a rack take units that it has, no two the same, and what is heavy stands low.",
    matters: "A receiver of two hands' weight over head height tips the rack when it is pulled out; two things in one unit are found with the screws in hand.",
    formula: "Units from the slot up, each 44.45 mm (IEC 60297-3-100): 1 ≤ s and s + h − 1 ≤ S, no unit twice; the value is units used without a clash, of those asked for. Tight where the middle of all mass stands above half of the rack.",
    source: Source::Derived {
        from: "units of IEC 60297-3-100",
    },
    when_it_fails: "Move it to free units, the heaviest to the lowest.",
    limits: &[],
    published: &[],
    run: Run::House(run),
};

/// A thing with its place.
struct Slotted<'a> {
    item: &'a Item,
    slot: u32,
    units: u32,
    mass_kg: f64,
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let racks = analysis
        .items()
        .filter_map(|item| match analysis.kit_of(item) {
            Some(Kit::Cupboard(kit)) => Some((item, kit, kit.slots?)),
            _ => None,
        });
    racks
        .filter_map(|(rack, kit, slots)| {
            let things = things(analysis, rack);
            (!things.is_empty()).then(|| {
                CHECK.about_house(Subject::item(rack), || {
                    decide(analysis, (rack, kit), slots, things)
                })
            })
        })
        .collect()
}

/// Things inside that say how many units they take.
fn things<'a>(analysis: &'a Analysis, rack: &Item) -> Vec<(&'a Item, u32, f64)> {
    (analysis.items_anywhere())
        .filter(|item| item.inside.as_deref() == Some(&rack.id))
        .filter_map(|item| {
            let common = analysis.kit_of(item)?.common();
            let mass = analysis.number(common.mass.as_ref());
            let units = common.rack_units?;
            (item.slot.is_some()).then_some((item, units, mass.map_or(0.0, |mass| mass.value())))
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    (rack, kit): (&Item, &CupboardKit),
    slots: u32,
    things: Vec<(&Item, u32, f64)>,
) -> Known<Outcome> {
    if slots == 0 {
        return Err(Missing::new(
            format!("the units of {}, above zero", rack.is),
            format!("kit.cupboard.{}.slots", kit.common.id),
            Means::SpecSheet,
        ));
    }
    let things: Vec<Slotted> = (things.into_iter())
        .filter_map(|(item, units, mass_kg)| {
            Some(Slotted {
                item,
                slot: item.slot?,
                units: units.max(1),
                mass_kg,
            })
        })
        .collect();
    let end = |one: &Slotted| u64::from(one.slot) + u64::from(one.units) - 1;
    let mut wrong: Vec<String> = Vec::new();
    let mut clashing = 0;
    for (index, one) in things.iter().enumerate() {
        let before = wrong.len();
        let label = item_label(one.item);
        if one.slot == 0 || end(one) > u64::from(slots) {
            wrong.push(format!("{label} takes units {} to {}", one.slot, end(one)));
        }
        for other in &things[..index] {
            if u64::from(one.slot) <= end(other) && u64::from(other.slot) <= end(one) {
                wrong.push(format!(
                    "{label} and {} take the same",
                    item_label(other.item)
                ));
            }
        }
        if wrong.len() > before {
            clashing += one.units;
        }
    }
    let asked: u32 = things.iter().map(|one| one.units).sum();
    let mass: f64 = things.iter().map(|one| one.mass_kg).sum();
    let moment: f64 = (things.iter())
        .map(|one| one.mass_kg * (f64::from(one.slot) - 1.0 + f64::from(one.units) / 2.0))
        .sum();
    let middle = if mass > 0.0 { moment / mass } else { 0.0 };
    let high = middle > f64::from(slots) / 2.0;
    let sentence = match (wrong.as_slice(), high) {
        ([], false) => format!(
            "{asked} of the {slots} units of {} are taken, each once, and the middle of the mass stands in unit {:.0}.",
            item_label(rack),
            middle.ceil()
        ),
        ([], true) => format!(
            "{asked} of the {slots} units of {} are taken, each once, but the middle of the mass stands in unit {:.0}, above half of it.",
            item_label(rack),
            middle.ceil()
        ),
        (wrong, _) => format!(
            "In {} of {slots} units, {}.",
            item_label(rack),
            wrong.join("; ")
        ),
    };
    let margin = if clashing == 0 {
        0.5
    } else {
        -f64::from(clashing)
    };
    let outcome = Outcome::with_margin(
        Uncertain::exact(f64::from(asked - clashing)),
        f64::from(asked),
        Uncertain::exact(margin),
        Dimension::Factor,
        CHECK.source.clone(),
    );
    let outcome = outcome
        .comfort(if high { 1.0 } else { 0.0 })
        .because(sentence)
        .caution(Caution::Lifting);
    let remedy = outcome
        .asks_for_remedies(analysis)
        .then(|| stacked(&things, slots))
        .flatten();
    Ok(outcome.remedy(remedy))
}

/// The heaviest lowest, a free unit above each where there is room for air.
fn stacked(things: &[Slotted], slots: u32) -> Option<Remedy> {
    let mut order: Vec<&Slotted> = things.iter().collect();
    order.sort_by(|a, b| b.mass_kg.total_cmp(&a.mass_kg).then(a.slot.cmp(&b.slot)));
    let asked: u32 = order.iter().map(|one| one.units).sum();
    let gap = u32::from(asked + order.len() as u32 - 1 <= slots);
    let (mut slot, mut edits, mut says) = (1, Vec::new(), Vec::new());
    for one in &order {
        if slot + one.units - 1 > slots {
            return None;
        }
        says.push(format!("{} from unit {slot}", item_label(one.item)));
        edits.push(Edit::set(format!("item.{}.slot", one.item.id), slot));
        slot += one.units + gap;
    }
    Some(Remedy::new(
        format!("Stack by mass: {}.", says.join(", ")),
        edits,
    ))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn rack(receiver: u32, amp: u32) -> String {
        format!(
            r#"
[[kit.cupboard]]
id = "rack-r1"
slots = 12
[[kit.amplifier]]
id = "receiver-a7"
mass = "14 kg"
rack_units = 4
[[kit.amplifier]]
id = "amp-a2"
mass = "5 kg"
rack_units = 2
[[item]]
id = "rack"
is = "rack-r1"
[[item]]
id = "receiver"
is = "receiver-a7"
in = "rack"
slot = {receiver}
[[item]]
id = "amp"
is = "amp-a2"
in = "rack"
slot = {amp}
"#
        )
    }

    #[test]
    fn each_unit_once() {
        assert_eq!(findings(&CHECK, &rack(1, 5))[0].verdict, Verdict::Fits);
        assert_eq!(findings(&CHECK, &rack(1, 4))[0].verdict, Verdict::Fails);
        assert_eq!(findings(&CHECK, &rack(1, 11))[0].verdict, Verdict::Fits);
        assert_eq!(findings(&CHECK, &rack(1, 12))[0].verdict, Verdict::Fails);
    }

    #[test]
    fn weight_above_the_middle_is_tight_and_stacking_mends_both() {
        let text = rack(9, 1);
        let found = findings(&CHECK, &text);
        expect![[r#"
            rack: tight +0.500: 6 of the 12 units of rack are taken, each once, but the middle of the mass stands in unit 8, above half of it.
        "#]]
        .assert_eq(&told(&found));
        for text in [text, rack(1, 2)] {
            let found = findings(&CHECK, &text);
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", after[0].because);
        }
    }
}
