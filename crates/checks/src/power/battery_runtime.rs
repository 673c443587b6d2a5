//! How long does each battery carry what is plugged into it?

use analysis::{Analysis, Known, Limit, Means, Missing, Source, Uncertain, item_label};
use model::{DeviceKit, Item, Kit};
use power::battery::{BatteryEnergy, INVERTER_EFFICIENCY, USABLE_AGED, USABLE_FRESH};
use units::{Dimension, Watts};

use crate::{Area, Check, Finding, Outcome, Published, Run, Subject};

static BATTERY_RUNTIME_MIN: Limit = Limit {
    name: "battery_runtime_min",
    meaning: "how long a battery has to carry what is plugged into it",
    dimension: Dimension::Time,
    value: 300.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "battery-runtime",
    area: Area::Power,
    proves: "Each battery carries what is plugged into it long enough to shut it down in order, when it is three years old.",
    matters: "A projector that loses its fan with the mains bakes its lamp; a recorder loses its disc.",
    formula: "t = E η k / P ≥ 5 min; E: nominal energy, Wh; η = 0.85: efficiency of the inverter; k = 0.5: usable part after three years, 0.8 when new; P: highest mains power of all that is plugged in, W.",
    source: Source::FromMemory {
        work: "usual figures of inverter and battery",
    },
    when_it_fails: "Plug in less, or take a larger battery.",
    limits: &[&BATTERY_RUNTIME_MIN],
    published: &[Published {
        cite: "300 Wh, 180 W, η 0.85, k 0.8: 68 min (computed; constants from memory)",
        computed: || runtime_s(300.0, 180.0, USABLE_FRESH) / 60.0,
        expected: 68.0,
        tolerance: 0.01, // 300 · 0.85 · 0.8 / 180 h exactly.
        unit: "min",
    }],
    run: Run::House(run),
};

fn runtime_s(nominal_wh: f64, load_w: f64, usable: f64) -> f64 {
    let battery = BatteryEnergy {
        nominal_wh,
        inverter_efficiency: INVERTER_EFFICIENCY,
        usable,
    };
    (battery.runtime(Watts(load_w))).map_or(f64::NAN, |time| time.0)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let batteries = analysis
        .items_anywhere()
        .filter_map(|item| match analysis.kit_of(item) {
            Some(Kit::Device(kit)) => Some((item, kit, kit.battery_wh?)),
            _ => None,
        });
    batteries
        .filter(|(item, ..)| plugged(analysis, item).next().is_some())
        .map(|(item, kit, energy)| {
            CHECK.about_house(Subject::item(item), || decide(analysis, item, kit, energy))
        })
        .collect()
}

fn plugged<'a>(analysis: &'a Analysis, into: &'a Item) -> impl Iterator<Item = &'a Item> {
    let all = analysis.items_anywhere();
    all.filter(|item: &&Item| item.plugged_into.as_deref() == Some(&into.id))
}

fn decide(analysis: &Analysis, item: &Item, kit: &DeviceKit, nominal_wh: f64) -> Known<Outcome> {
    if !(nominal_wh.is_finite() && nominal_wh > 0.0) {
        return Err(Missing::new(
            format!("the energy of the battery of {}, above zero", item.is),
            format!("kit.device.{}.battery_wh", kit.common.id),
            Means::SpecSheet,
        ));
    }
    let mut load = Uncertain::exact(0.0);
    for thing in plugged(analysis, item) {
        let common = analysis.kit_of(thing).map(Kit::common);
        let watts = common.and_then(|common| analysis.number(common.watts.as_ref()));
        let watts = watts.ok_or_else(|| {
            let kind = analysis.kit_of(thing).map_or("device", Kit::kind);
            Missing::new(
                format!("the mains power of {}", thing.is),
                format!("kit.{kind}.{}.watts", thing.is),
                Means::SpecSheet,
            )
        })?;
        load = load + watts * f64::from(thing.count.unwrap_or(1));
    }
    if load.value() <= 0.0 {
        return Err(Missing::new(
            format!("what {} carries", item_label(item)),
            format!("item.{}", item.id),
            Means::Decide,
        ));
    }
    let time = uncertainty::through([&load], |[load]| runtime_s(nominal_wh, load, USABLE_AGED));
    let new = runtime_s(nominal_wh, load.value(), USABLE_FRESH);
    let limit = analysis.limit(&BATTERY_RUNTIME_MIN);
    let minutes = |seconds: f64| format!("{:.0} min", seconds / 60.0);
    let sentence = format!(
        "{} carries {} for {} when it is three years old, {} when new, and {} is asked for.",
        item_label(item),
        analysis.print(&load, Dimension::Power),
        minutes(time.value()),
        minutes(new),
        minutes(limit.value),
    );
    Ok(Outcome::at_least(time, &limit, Dimension::Time).because(sentence))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::findings;

    fn house(battery_wh: u32, watts: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "battery-b1"
battery_wh = {battery_wh}
[[kit.device]]
id = "box"
{watts}
[[item]]
id = "battery"
is = "battery-b1"
[[item]]
id = "recorder"
is = "box"
plugged_into = "battery"
"#
        )
    }

    #[test]
    fn five_minutes_when_it_is_old() {
        // 40 Wh · 0.85 · 0.5 / 200 W = 0.085 h = 306 s; 39 Wh: 298 s.
        let verdict = |wh| findings(&CHECK, &house(wh, "watts = 200"))[0].verdict;
        assert_eq!(verdict(40), Verdict::Fits);
        assert_eq!(verdict(39), Verdict::Fails);
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let found = findings(&CHECK, &house(40, ""));
        assert_eq!(found[0].needs[0].at, "kit.device.box.watts");
        assert!(findings(&CHECK, &house(40, "").replace("plugged_into", "note")).is_empty());
    }
}
