//! Does what is hot in a rack have air above it?

use analysis::{Analysis, Known, Limit, Source, Uncertain, item_label};
use model::{Edit, Item, Kit};
use units::Dimension;

use crate::{Area, Caution, Check, Finding, Outcome, Remedy, Run, Subject};

static HOT_FROM: Limit = Limit {
    name: "rack_hot_from",
    meaning: "heat of a thing in a rack from which it counts as hot",
    dimension: Dimension::Power,
    value: 60.0,
    source: Source::CommonPractice,
    regional: &[],
};

static HOT_GAP: Limit = Limit {
    name: "rack_hot_gap",
    meaning: "free units of a rack above what is hot",
    dimension: Dimension::Factor,
    value: 1.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "rack-heat",
    area: Area::Power,
    proves: "Above each hot thing in a rack a unit stays free before the next thing that is cooler.",
    matters: "A receiver heats what stands on it, whatever the air of the room does: the player above it stops in the second film.",
    formula: "n ≥ 1 free unit between a thing of 60 W of heat or more and the next one above it that gives less; n = s₂ − (s₁ + h₁), s: lowest unit, h: height in units. Heat, else mains power, by the sheet. The value is the fewest free units above anything hot. Things whose heat nobody knows are not counted: cupboard-heat asks for them.",
    source: Source::CommonPractice,
    when_it_fails: "Leave a unit free above it, or put it at the top, as long as the weight stays low.",
    limits: &[&HOT_FROM, &HOT_GAP],
    published: &[],
    run: Run::House(run),
};

/// A thing with its place and its heat.
struct Placed<'a> {
    item: &'a Item,
    slot: u32,
    units: u32,
    heat_w: f64,
}

impl Placed<'_> {
    /// The unit above it.
    fn end(&self) -> u32 {
        self.slot.saturating_add(self.units)
    }
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let racks = analysis
        .items()
        .filter_map(|item| match analysis.kit_of(item) {
            Some(Kit::Cupboard(kit)) => Some((item, kit.slots?)),
            _ => None,
        });
    racks
        .filter_map(|(rack, slots)| {
            let things = things(analysis, rack);
            let worst = worst(analysis, &things)?;
            Some(CHECK.about_house(Subject::item(rack), || {
                decide(analysis, (rack, slots), &things, worst)
            }))
        })
        .collect()
}

/// What stands in units of a rack, from below; heat of what is not known is nothing.
fn things<'a>(analysis: &'a Analysis, rack: &Item) -> Vec<Placed<'a>> {
    let mut things: Vec<Placed> = (analysis.items_anywhere())
        .filter(|item| item.inside.as_deref() == Some(&rack.id))
        .filter_map(|item| {
            let common = analysis.kit_of(item)?.common();
            let heat = (analysis.number(common.heat.as_ref()))
                .or_else(|| analysis.number(common.watts.as_ref()));
            Some(Placed {
                item,
                slot: item.slot?,
                units: common.rack_units?.max(1),
                heat_w: heat.map_or(0.0, |heat| heat.value()),
            })
        })
        .collect();
    things.sort_by_key(|one| one.slot);
    things
}

/// The hot thing with the fewest free units before a cooler one above it: both, and how many;
/// none where nothing hot is below anything cooler.
fn worst(analysis: &Analysis, things: &[Placed]) -> Option<(usize, usize, i64)> {
    let hot_from = analysis.limit(&HOT_FROM).value;
    let pairs = (1..things.len()).filter_map(|above| {
        let (hot, cool) = (&things[above - 1], &things[above]);
        let free = i64::from(cool.slot) - i64::from(hot.end());
        (hot.heat_w >= hot_from && cool.heat_w < hot.heat_w).then_some((above - 1, above, free))
    });
    pairs.min_by_key(|(below, _, free)| (*free, *below))
}

fn decide(
    analysis: &Analysis,
    (rack, slots): (&Item, u32),
    things: &[Placed],
    (below, above, free): (usize, usize, i64),
) -> Known<Outcome> {
    let (hot, cool) = (&things[below], &things[above]);
    let gap = analysis.limit(&HOT_GAP);
    let watts = |heat_w: f64| analysis.exact(heat_w, Dimension::Power);
    let free_words = match free {
        ..=0 => "stands right".to_owned(),
        1 => "stands one unit".to_owned(),
        free => format!("stands {free} units"),
    };
    let sentence = format!(
        "In {}, {} ({}) {free_words} above {} ({}).",
        item_label(rack),
        item_label(cool.item),
        watts(cool.heat_w),
        item_label(hot.item),
        watts(hot.heat_w),
    );
    let spare = free.max(0) as f64 - gap.value;
    // The gap itself is enough.
    let margin = if spare < 0.0 { spare } else { spare + 0.5 };
    let outcome = Outcome::with_margin(
        Uncertain::exact(free.max(0) as f64),
        gap.value,
        Uncertain::exact(margin),
        Dimension::Factor,
        gap.source,
    );
    let outcome = outcome
        .because(sentence)
        .caution(Caution::Heat)
        .caution(Caution::Lifting);
    let remedy = outcome
        .asks_for_remedies(analysis)
        .then(|| spaced(analysis, things, slots, gap.value.ceil() as u32))
        .flatten();
    Ok(outcome.remedy(remedy))
}

/// Everything in its order, with the gap above what is hot where something cooler follows.
fn spaced(analysis: &Analysis, things: &[Placed], slots: u32, gap: u32) -> Option<Remedy> {
    let hot_from = analysis.limit(&HOT_FROM).value;
    let (mut edits, mut says) = (Vec::new(), Vec::new());
    let mut least = 1;
    for (index, one) in things.iter().enumerate() {
        let slot = one.slot.max(least);
        let end = slot.checked_add(one.units)?;
        if end - 1 > slots {
            return None;
        }
        if slot != one.slot {
            says.push(format!("{} from unit {slot}", item_label(one.item)));
            edits.push(Edit::set(format!("item.{}.slot", one.item.id), slot));
        }
        let is_under = (things.get(index + 1))
            .is_some_and(|next| one.heat_w >= hot_from && next.heat_w < one.heat_w);
        least = end + if is_under { gap } else { 0 };
    }
    (!edits.is_empty()).then(|| {
        let says = format!("Leave air above what is hot: {}.", says.join(", "));
        Remedy::new(says, edits)
    })
}

#[cfg(test)]
mod tests {
    //! A receiver of 260 W with a player of 20 W above it.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn rack(slots: u32, player: u32, heat: &str) -> String {
        format!(
            r#"
[[kit.cupboard]]
id = "rack-r1"
slots = {slots}
[[kit.amplifier]]
id = "receiver-a7"
rack_units = 4
{heat}
[[kit.device]]
id = "player-d1"
rack_units = 2
heat = "20 W"
[[item]]
id = "rack"
is = "rack-r1"
[[item]]
id = "receiver"
is = "receiver-a7"
in = "rack"
slot = 1
[[item]]
id = "player"
is = "player-d1"
in = "rack"
slot = {player}
"#
        )
    }

    #[test]
    fn one_free_unit_is_enough() {
        // The receiver takes units 1 to 4.
        let heat = "heat = \"260 W\"";
        let found = findings(&CHECK, &rack(12, 5, heat));
        expect![[r#"
            rack: fails -1.000: In rack, player (20 W) stands right above receiver (260 W).
        "#]]
        .assert_eq(&told(&found));
        let found = findings(&CHECK, &rack(12, 6, heat));
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", found[0].because);
    }

    #[test]
    fn sixty_watts_are_hot_and_what_is_hotter_may_stand_above() {
        let verdict = |heat: &str| {
            let text = rack(12, 5, &format!("heat = \"{heat}\""));
            findings(&CHECK, &text).first().map(|one| one.verdict)
        };
        assert_eq!(verdict("60 W"), Some(Verdict::Fails));
        assert_eq!(verdict("59.9 W"), None);
        // Nobody knows its heat: cupboard-heat asks.
        assert!(findings(&CHECK, &rack(12, 5, "")).is_empty());
        let text = rack(12, 5, "heat = \"80 W\"").replace("\"20 W\"", "\"90 W\"");
        assert!(findings(&CHECK, &text).is_empty());
    }

    #[test]
    fn moving_up_mends_it_where_there_is_room() {
        let text = rack(12, 5, "heat = \"260 W\"");
        let found = findings(&CHECK, &text);
        assert_eq!(
            found[0].remedies[0].says,
            "Leave air above what is hot: player from unit 6."
        );
        let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
        // 4 + 2 units fill a rack of 6.
        let full = findings(&CHECK, &rack(6, 5, "heat = \"260 W\""));
        assert!(full[0].remedies.is_empty());
    }
}
