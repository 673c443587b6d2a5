//! Do the holes of what hangs on a mount meet the mount's, with its adapter between them?

use analysis::{Analysis, Known, Means, Missing, Parts, Source, Uncertain, item_label};
use model::{Edit, Item, Kit, Length, MountKit, Space};
use units::Dimension;

use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "hole-pattern",
    area: Area::Structure,
    proves: "The mounting holes in the back of each display, bar and loudspeaker are a pattern that its mount, or the adapter plate between them, takes; and a display is no heavier than its pattern is made for.",
    matters: "Holes that are 100 mm off end the day at the arm on the wall: nobody drills a panel's back.",
    formula: "off = the larger of the differences across and up between the thing's pattern and the nearest one that the plate before it takes, m. An adapter that itself offers a pattern is asked about against the mount as well. Mass: the display's, against the most that its pattern is made for in the standard's table (patterns up to 200 × 100 mm); screws: as the table says.",
    source: Source::FromMemory {
        work: "VESA Flat Display Mounting Interface; masses of its smaller patterns seen in public pages",
    },
    when_it_fails: "Put an adapter plate between them, or choose a mount that takes the pattern.",
    limits: &[],
    published: &[
        Published {
            cite: "VESA FDMI part D, 100 × 100 mm: 14 kg (public pages)",
            computed: || mass_max_kg([0.1, 0.1]),
            expected: 14.0,
            tolerance: 0.0, // A table's value.
            unit: "kg",
        },
        Published {
            cite: "VESA FDMI part E, 200 × 100 mm: 50 lb = 22.7 kg (public pages)",
            computed: || mass_max_kg([0.2, 0.1]),
            expected: 22.68,
            tolerance: 0.05, // The table prints one decimal of a kilogram.
            unit: "kg",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// Holes and slots forgive this much, m: common practice.
const FORGIVES_M: f64 = 0.001;

const TABLE: &str = include_str!("hole_patterns.csv");

/// A row of the standard's table.
struct Row<'a> {
    size_m: [f64; 2],
    screw: &'a str,
    mass_kg: f64,
    /// Recalled and not seen again.
    is_recalled: bool,
}

fn rows() -> impl Iterator<Item = Row<'static>> {
    TABLE.lines().skip(2).filter_map(|line| {
        let mut cells = line.split(',');
        let mut next = || cells.next();
        let part = next()?;
        let mut number = || next()?.parse::<f64>().ok();
        let size_m = [number()? / 1000.0, number()? / 1000.0];
        let screw = next()?;
        Some(Row {
            size_m,
            screw,
            mass_kg: next()?.parse().ok()?,
            is_recalled: part.starts_with("MIS-F"),
        })
    })
}

fn row_of(pattern_m: [f64; 2]) -> Option<Row<'static>> {
    rows().find(|row| off_m(row.size_m, pattern_m) <= FORGIVES_M)
}

/// The most that a pattern is made for, kg.
fn mass_max_kg(pattern_m: [f64; 2]) -> f64 {
    row_of(pattern_m).map_or(f64::NAN, |row| row.mass_kg)
}

fn off_m(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).abs().max((a[1] - b[1]).abs())
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut findings = Vec::new();
    let hang = |_: &Analysis, item: &Item| item.mount.is_some();
    for item in analysis.items_in_where(space, "hangs on a mount", hang) {
        let Some((mount, kit)) = analysis.mount_of(item) else {
            continue;
        };
        let Some(holes) = holes_of(analysis, item) else {
            continue;
        };
        let adapter = adapter_of(analysis, item);
        let subject = Subject::item(item);
        let before = adapter.unwrap_or((mount, kit));
        findings.push(
            CHECK.about(space, subject.with(&Subject::item(before.0), "on"), || {
                meets(analysis, item, &holes.clone()?, before)
            }),
        );
        if let Some((plate, plate_kit)) = adapter {
            let subject = Subject::item(plate).with(&Subject::item(mount), "on");
            findings.push(CHECK.about(space, subject, || {
                let offers = offered(analysis, plate_kit)?;
                meets(analysis, plate, &offers, (mount, kit))
            }));
        }
        if let (Some(Kit::Display(_)), Ok(holes)) = (analysis.kit_of(item), &holes) {
            findings.extend(weight(analysis, space, item, holes));
        }
    }
    findings
}

/// A pattern as written and as measured.
#[derive(Clone)]
struct Pattern {
    m: [f64; 2],
    words: String,
}

impl Pattern {
    fn of(analysis: &Analysis, holes: &[Length; 2]) -> Option<Self> {
        let m = [holes[0].value()?, holes[1].value()?];
        Some(Self::at(analysis, m))
    }

    fn at(analysis: &Analysis, m: [f64; 2]) -> Self {
        // Patterns are metric wherever they are sold.
        let words = if analysis.is_trial() {
            String::new()
        } else {
            format!("{:.0} × {:.0} mm", m[0] * 1000.0, m[1] * 1000.0)
        };
        Self { m, words }
    }
}

/// The pattern in the back of a display or loudspeaker; nothing for things without one.
fn holes_of(analysis: &Analysis, item: &Item) -> Option<Known<Pattern>> {
    let (kind, holes) = match analysis.kit_of(item)? {
        Kit::Display(kit) => ("display", &kit.holes),
        Kit::Loudspeaker(kit) => ("loudspeaker", &kit.holes),
        _ => return None,
    };
    let pattern = holes
        .as_ref()
        .and_then(|holes| Pattern::of(analysis, holes));
    Some(pattern.ok_or_else(|| {
        Missing::new(
            format!("the mounting holes of {}, across and up", item.is),
            format!("kit.{kind}.{}.holes", item.is),
            Means::SpecSheet,
        )
    }))
}

fn adapter_of<'a>(analysis: &'a Analysis, item: &Item) -> Option<(&'a Item, &'a MountKit)> {
    let plate = analysis.item(item.adapter.as_deref()?)?;
    match analysis.kit_of(plate) {
        Some(Kit::Mount(kit)) => Some((plate, kit)),
        _ => None,
    }
}

fn offered(analysis: &Analysis, kit: &MountKit) -> Known<Pattern> {
    let id = &kit.common.id;
    let offers = kit.offers.as_ref();
    (offers.and_then(|offers| Pattern::of(analysis, offers))).ok_or_else(|| {
        let what = format!("the hole pattern in the back of {id}, across and up");
        Missing::new(what, format!("kit.mount.{id}.offers"), Means::SpecSheet)
    })
}

fn taken(analysis: &Analysis, kit: &MountKit) -> Option<Vec<Pattern>> {
    let takes = kit.takes.as_ref()?;
    let patterns: Vec<_> = (takes.iter())
        .filter_map(|holes| Pattern::of(analysis, holes))
        .collect();
    (!patterns.is_empty()).then_some(patterns)
}

fn meets(
    analysis: &Analysis,
    item: &Item,
    holes: &Pattern,
    (mount, kit): (&Item, &MountKit),
) -> Known<Outcome> {
    let id = &kit.common.id;
    let takes = taken(analysis, kit).ok_or_else(|| {
        let what = format!("the hole patterns that {id} takes");
        Missing::new(what, format!("kit.mount.{id}.takes"), Means::SpecSheet)
    })?;
    let nearest = takes
        .iter()
        .min_by(|a, b| off_m(a.m, holes.m).total_cmp(&off_m(b.m, holes.m)))
        .expect("a list that is not empty");
    let off = off_m(nearest.m, holes.m);
    let screw =
        row_of(holes.m).map_or_else(String::new, |row| format!(", with {} screws", row.screw));
    let sentence = if off <= FORGIVES_M {
        format!(
            "{} has holes {}, and {} takes them{screw}.",
            item_label(item),
            holes.words,
            item_label(mount),
        )
    } else {
        format!(
            "{} has holes {}; the nearest that {} takes are {}.",
            item_label(item),
            holes.words,
            item_label(mount),
            nearest.words,
        )
    };
    let outcome = Outcome::with_margin(
        Uncertain::exact(off),
        FORGIVES_M,
        Uncertain::exact(FORGIVES_M - off),
        Dimension::Length,
        Source::SpecSheet,
    )
    .because(sentence)
    .caution(Caution::Lifting);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome
        .remedy(adapter(analysis, item, holes, mount, &takes))
        .remedy(other_mount(analysis, holes, mount)))
}

/// An adapter plate of the catalogue that takes the one and offers the other; else one to get.
fn adapter(
    analysis: &Analysis,
    item: &Item,
    holes: &Pattern,
    mount: &Item,
    takes: &[Pattern],
) -> Option<Remedy> {
    // One adapter is what the trade puts between them.
    if item.adapter.is_some()
        || !matches!(
            analysis.kit_of(item),
            Some(Kit::Display(_) | Kit::Loudspeaker(_))
        )
    {
        return None;
    }
    let suits = |kit: &&MountKit| {
        let takes_it = taken(analysis, kit)
            .is_some_and(|all| all.iter().any(|one| off_m(one.m, holes.m) <= FORGIVES_M));
        let offers = offered(analysis, kit);
        takes_it
            && offers
                .is_ok_and(|offers| takes.iter().any(|one| off_m(one.m, offers.m) <= FORGIVES_M))
    };
    let kit = analysis.catalogue().mount.iter().find(suits)?;
    let plate = format!("{}-adapter", item.id);
    let mut placed = serde_json::json!({ "id": plate, "is": kit.common.id });
    if let Some(space) = &mount.space {
        placed["space"] = serde_json::json!(space);
    }
    let says = format!(
        "Put {} between {} and {}; its depth and mass come on top.",
        kit.common.name.as_deref().unwrap_or(&kit.common.id),
        item_label(item),
        item_label(mount),
    );
    let edits = vec![
        Edit::set(format!("item.{plate}"), placed),
        Edit::set(format!("item.{}.adapter", item.id), plate),
    ];
    Some(Remedy::new(says, edits).caution(Caution::Lifting))
}

/// A mount that takes the pattern as well.
fn other_mount(analysis: &Analysis, holes: &Pattern, mount: &Item) -> Option<Remedy> {
    let Some(Kit::Mount(kit)) = analysis.kit_of(mount) else {
        return None;
    };
    let texts = |pattern: &[Length; 2]| pattern.each_ref().map(|side| side.text().to_owned());
    let mut takes: Vec<[String; 2]> = kit.takes.iter().flatten().map(texts).collect();
    takes.push(holes.m.map(|side| format!("{:.0} mm", side * 1000.0)));
    let says = format!(
        "Choose a mount that takes holes {} in place of {}, or its maker's longer arms for them.",
        holes.words, mount.is
    );
    let edit = Edit::set(
        format!("kit.mount.{}.takes", mount.is),
        serde_json::json!(takes),
    );
    Some(Remedy::new(says, vec![edit]))
}

/// The display against what its pattern is made for.
fn weight(analysis: &Analysis, space: &Space, item: &Item, holes: &Pattern) -> Option<Finding> {
    let row = row_of(holes.m)?;
    let subject = Subject::item(item).with(&Subject::new("pattern", "its hole pattern"), "on");
    Some(CHECK.about(space, subject, || {
        let mass = analysis
            .kit_of(item)
            .and_then(|kit| analysis.number(kit.common().mass.as_ref()));
        let mass = mass.ok_or_else(|| {
            Missing::new(
                format!("the mass of {}", item.is),
                format!("kit.display.{}.mass", item.is),
                Means::SpecSheet,
            )
        })?;
        let sentence = format!(
            "{} has a mass of {}; holes {} are made for {} at the most.",
            item_label(item),
            analysis.print(&mass, Dimension::Mass),
            holes.words,
            analysis.exact(row.mass_kg, Dimension::Mass),
        );
        let source = if row.is_recalled {
            Source::FromMemory {
                work: "VESA FDMI part F",
            }
        } else {
            CHECK.source.clone()
        };
        let margin = row.mass_kg - &mass;
        Ok(
            Outcome::with_margin(mass, row.mass_kg, margin, Dimension::Mass, source)
                .because(sentence)
                .caution(Caution::Lifting),
        )
    }))
}

#[cfg(test)]
mod tests {
    //! A display and a bar on one arm, with and without an adapter.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn room(holes: &str, takes: &str, adapter: &str) -> String {
        format!(
            r#"
[[kit.display]]
id = "display-d1"
diagonal = "1.2 m"
size = ["1.2 m", "0.7 m", "50 mm"]
mass = "20 kg"
{holes}
[[kit.mount]]
id = "arm-a1"
{takes}
[[kit.mount]]
id = "plate-p1"
takes = [["300 mm", "200 mm"], ["400 mm", "400 mm"]]
offers = ["200 mm", "200 mm"]
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "plate"
is = "plate-p1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
mount = "arm"
{adapter}
on = {{ wall = "west", from_left = "2 m", height = "1.4 m" }}
"#
        )
    }

    const TAKES: &str = r#"takes = [["100 mm", "100 mm"], ["200 mm", "200 mm"]]"#;

    #[test]
    fn a_pattern_that_the_arm_takes() {
        let text = room(r#"holes = ["200 mm", "200 mm"]"#, TAKES, "");
        expect![[r#"
            display on arm: fits +0.001: display has holes 200 × 200 mm, and arm takes them, with M6 screws.
            display on its hole pattern: fits +30.000: display has a mass of 20 kg; holes 200 × 200 mm are made for 50 kg at the most.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &text)));
    }

    #[test]
    fn another_pattern_needs_an_adapter() {
        let text = room(r#"holes = ["300 mm", "200 mm"]"#, TAKES, "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!((found[0].value.as_ref().expect("decided").value() - 0.1).abs() < 1e-12);
        assert_eq!(found[0].remedies.len(), 2, "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            let failed = after.iter().filter(|one| one.verdict != Verdict::Fits);
            assert_eq!(failed.count(), 0, "{} {}", remedy.says, told(&after));
        }
        // With it both joints are asked about.
        let text = room(
            r#"holes = ["300 mm", "200 mm"]"#,
            TAKES,
            "adapter = \"plate\"",
        );
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].subject.id, "display+plate");
        assert_eq!(found[1].subject.id, "plate+arm");
        assert!(
            found.iter().all(|one| one.verdict == Verdict::Fits),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn a_millimetre_is_forgiven_and_two_are_not() {
        let verdict = |across: &str| {
            let text = room(&format!(r#"holes = ["{across}", "200 mm"]"#), TAKES, "");
            findings(&CHECK, &text)[0].verdict
        };
        assert_eq!(verdict("200.9 mm"), Verdict::Fits);
        assert_eq!(verdict("201.1 mm"), Verdict::Fails);
    }

    #[test]
    fn a_heavy_display_on_small_holes_fails() {
        // 100 × 100 mm is made for 14 kg.
        let text = room(r#"holes = ["100 mm", "100 mm"]"#, TAKES, "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[1].verdict, Verdict::Fails, "{}", told(&found));
        let light = text.replace("mass = \"20 kg\"", "mass = \"13.9 kg\"");
        assert_eq!(findings(&CHECK, &light)[1].verdict, Verdict::Fits);
    }

    #[test]
    fn a_bar_on_the_arm_has_holes_too() {
        let text = format!(
            r#"{}
[[kit.loudspeaker]]
id = "bar-b1"
form = "bar"
size = ["1 m", "80 mm", "80 mm"]
holes = ["400 mm", "50 mm"]
[[item]]
id = "bar"
is = "bar-b1"
mount = "arm"
on = {{ wall = "west", from_left = "2 m", height = "0.9 m" }}
"#,
            room(r#"holes = ["200 mm", "200 mm"]"#, TAKES, "")
        );
        let found = findings(&CHECK, &text);
        let bar = found.iter().find(|one| one.subject.id == "bar+arm");
        assert_eq!(bar.expect("asked about").verdict, Verdict::Fails);
    }

    #[test]
    fn what_the_sheets_do_not_say_is_asked_for() {
        let asked = |text: &str| {
            let found = findings(&CHECK, text);
            assert_eq!(found[0].verdict, Verdict::Unknown);
            found[0].needs[0].at.clone()
        };
        assert_eq!(asked(&room("", TAKES, "")), "kit.display.display-d1.holes");
        let holes = r#"holes = ["200 mm", "200 mm"]"#;
        assert_eq!(asked(&room(holes, "", "")), "kit.mount.arm-a1.takes");
    }
}
