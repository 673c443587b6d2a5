//! Does the wall over a fireplace stay cool enough for the display?

use analysis::{
    Analysis, Known, Limit, LimitValue, Means, Missing, Parts, Source, Uncertain, WallRect,
    item_label,
};
use model::{Anchor, Edit, Fixture, FixtureKind, Item, Kit, Space};
use units::Dimension;

use crate::moves::{Round, along_together, text_of, to_spare, written};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "fire-heat",
    area: Area::Picture,
    proves: "The wall where a display hangs over a fireplace is no hotter, with the fire burning, than the display is rated for, nor than its mount is.",
    matters: "Heat ages panels and ends the maker's warranty; it shows as dark patches after the first winter.",
    formula: "margin = rated temperature − reading, K. The reading is the hottest one on the wall over the whole outline of the display, under the mantel that will stay, after the fire has burnt at its highest for the time that the limits say; the ratings are those of the display's and of the mount's spec sheet, each asked about by itself. A margin below the reserve is called tight. A reading holds for the mantel, fire and place that it was taken with.",
    source: Source::SpecSheet,
    when_it_fails: "Hang the display elsewhere, or choose one that is rated for the heat. A deeper mantel shelf turns hot air away from the wall; read again after it is fitted.",
    limits: &[&RESERVE, &BURN_TIME],
    published: &[Published {
        cite: "42 °C read over the fire, 40 °C on the spec sheet: −2 K (rating usual for displays, from memory)",
        computed: || margin_k(&Uncertain::exact(42.0), &Uncertain::exact(40.0)).value(),
        expected: -2.0,
        tolerance: 1e-9, // A difference.
        unit: "K",
    }],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

static RESERVE: Limit = Limit {
    name: "fire_heat_reserve",
    meaning: "what the reading stays below the rating before it is called tight: fires and readings differ",
    dimension: Dimension::TemperatureDifference,
    value: 5.0,
    source: Source::CommonPractice,
    regional: &[],
};

static BURN_TIME: Limit = Limit {
    name: "fire_burn_time",
    meaning: "how long the fire has to burn at its highest before the wall over it is read",
    dimension: Dimension::Time,
    value: 3600.0,
    source: Source::FromMemory {
        work: "hearth trades: walls over a fire are read after an hour",
    },
    regional: &[],
};

fn margin_k(reading: &Uncertain, rated: &Uncertain) -> Uncertain {
    rated - reading
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let fires: Vec<&Fixture> = space
        .fixture
        .iter()
        .filter(|fixture| fixture.kind == FixtureKind::Fireplace)
        .collect();
    if fires.is_empty() {
        return Vec::new();
    }
    let mut findings = Vec::new();
    for item in analysis.pictures_in(space) {
        if !matches!(analysis.kit_of(item), Some(Kit::Display(_))) {
            continue;
        }
        for fire in &fires {
            let rects = match above(analysis, space, item, fire) {
                Ok(None) => continue,
                Ok(Some(rects)) => Ok(rects),
                Err(missing) => Err(missing),
            };
            let mount = analysis.mount_of(item).map(|(mount, _)| mount);
            for rated in std::iter::once(item).chain(mount) {
                let subject = Subject::item(rated).with(&Subject::fixture(fire), "above");
                findings.push(CHECK.about(space, subject, || {
                    let rects = rects.as_ref().map_err(Clone::clone)?;
                    decide(analysis, space, (item, rated), fire, rects)
                }));
            }
        }
    }
    // Whoever takes the missing reading lights the fire too.
    for finding in &mut findings {
        finding.cautions = vec![Caution::HotFlue];
    }
    findings
}

/// Rectangles of display and fireplace on one wall.
struct Above {
    display: WallRect,
    fire: WallRect,
    /// Pulled down on its arm, the display hangs before the fireplace.
    comes_before: bool,
}

/// Both outlines if the display hangs over the fireplace.
fn above(analysis: &Analysis, space: &Space, item: &Item, fire: &Fixture) -> Known<Option<Above>> {
    let (Some(hangs), Some(on)) = (&item.on, &fire.on) else {
        return Ok(None);
    };
    if hangs.wall != on.wall {
        return Ok(None);
    }
    let [width, height, _] = analysis.item_size(item)?;
    let at = format!("item.{}.on", item.id);
    let display = analysis.wall_rect(space, hangs, [&width, &height], Anchor::Centre, &at)?;
    let fire = match analysis.fixture_rect(space, fire) {
        Some(rect) => rect?,
        None => return Ok(None),
    };
    let beside = display.right <= fire.left || display.left >= fire.right;
    let over = display.top > fire.top;
    let lowered = analysis.picture_pulled_down(item).transpose()?;
    let comes_before = lowered.is_some_and(|lowered| lowered.outside.bottom < fire.top);
    Ok((!beside && over).then_some(Above {
        display,
        fire,
        comes_before,
    }))
}

/// What the spec sheet of display or mount says.
fn rating(analysis: &Analysis, item: &Item) -> Known<Uncertain> {
    let kit = analysis.kit_of(item);
    let own = kit.and_then(|kit| analysis.number(kit.common().rated_to.as_ref()));
    own.ok_or_else(|| {
        Missing::new(
            format!(
                "the highest surrounding temperature that {} is rated for",
                item.is
            ),
            format!("kit.{}.{}.rated_to", kit.map_or("?", Kit::kind), item.is),
            Means::SpecSheet,
        )
    })
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    (item, rated_item): (&Item, &Item),
    fire: &Fixture,
    rects: &Above,
) -> Known<Outcome> {
    let name = item_label(item);
    let of = &rated_item.is;
    let fire_name = Subject::fixture(fire).label;
    let rated = rating(analysis, rated_item)?;
    let burnt = analysis.exact(analysis.limit(&BURN_TIME).value, Dimension::Time);
    let reading = analysis.number(fire.reading.as_ref()).ok_or_else(|| {
        let what = format!(
            "the hottest temperature on the wall where {name} hangs, from its lower to its upper edge and over its whole width, after {fire_name} has burnt for {burnt} at its highest with the mantel in place; a licensed hearth trade lights it where nobody of the house does"
        );
        let at = format!("space.{}.fixture.{}.reading", space.id, fire.id);
        Missing::new(what, at, Means::Thermometer)
    })?;
    let reserve = analysis.limit(&RESERVE).value;
    let margin = margin_k(&reading, &rated);
    let sentence = format!(
        "The wall at {name} reads {} after {burnt} of fire in {fire_name}; {of} is rated to {}, and {} below that is a safe reserve{}.",
        analysis.print(&reading, Dimension::Temperature),
        analysis.print(&rated, Dimension::Temperature),
        analysis.exact(reserve, Dimension::TemperatureDifference),
        if rects.comes_before {
            "; pulled down it hangs before the fire, where no reading holds: park it before the fire is lit"
        } else {
            ""
        },
    );
    let limit = LimitValue {
        value: rated.value(),
        source: Source::SpecSheet,
    };
    let spare = to_spare(&margin, reserve);
    let outcome = Outcome::with_margin(
        reading,
        limit.value,
        margin,
        Dimension::Temperature,
        limit.source,
    );
    Ok(outcome
        .comfort(reserve)
        .because(sentence)
        .mended(analysis, || {
            [
                hang_beside(analysis, space, item, rects),
                other_rating(analysis, rated_item, rated.value() - spare),
            ]
        }))
}

/// Moves the display along the wall, past the nearer side of the fireplace.
fn hang_beside(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    Above { display, fire, .. }: &Above,
) -> Option<Remedy> {
    /// Clear of the hot air over the opening: common practice, no source.
    const ASIDE_M: f64 = 0.3;
    let wall_m = analysis
        .shape(space)
        .wall_length(display.wall)
        .ok()?
        .value();
    let left_m = display.right.value() - fire.left.value() + ASIDE_M;
    let right_m = fire.right.value() - display.left.value() + ASIDE_M;
    let fits_left = display.left.value() - left_m >= 0.0;
    let fits_right = display.right.value() + right_m <= wall_m;
    let by_m = match (fits_left, fits_right) {
        (true, right) if !right || left_m <= right_m => -left_m,
        (_, true) => right_m,
        _ => return None,
    };
    let edits = along_together(analysis, item, by_m)?;
    let says = format!(
        "Hang {} beside the fireplace, {} from the left corner, and read the wall there as well.",
        item_label(item),
        text_of(&edits[0]),
    );
    Some(
        Remedy::new(says, edits)
            .caution(Caution::Lifting)
            .caution(Caution::Drilling),
    )
}

/// Another display or mount, of a rating that leaves the reserve.
fn other_rating(analysis: &Analysis, item: &Item, needed_c: f64) -> Option<Remedy> {
    let text = written(analysis, needed_c, Dimension::Temperature, 1.0, Round::Up);
    let kind = analysis.kit_of(item)?.kind();
    let says = format!(
        "Choose a {kind} that its maker rates for {text} or more in place of {}.",
        item.is
    );
    let edit = Edit::set(format!("kit.{kind}.{}.rated_to", item.is), text);
    Some(Remedy::new(says, vec![edit]).caution(Caution::HotFlue))
}

#[cfg(test)]
mod tests {
    //! A display over a fireplace on the west wall.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Caution, Means, Verdict};

    fn room(reading: &str, from_left: &str, rated: &str) -> String {
        format!(
            r#"
[[space.fixture]]
id = "fireplace"
kind = "fireplace"
on = {{ wall = "west", from_left = "2.6 m", height = "0.4 m" }}
size = ["0.9 m", "0.8 m", "0 m"]
{reading}
[[kit.display]]
id = "display-d1"
diagonal = "1.3768 m"
size = ["1.22 m", "0.7 m", "50 mm"]
{rated}
[[kit.mount]]
id = "mount-m1"
rated_to = "60 °C"
[[item]]
id = "mount"
is = "mount-m1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
mount = "mount"
on = {{ wall = "west", from_left = "{from_left}", height = "1.7 m" }}
"#
        )
    }

    const RATED: &str = "rated_to = \"40 °C\"";

    fn verdict(celsius: &str) -> Verdict {
        let text = room(&format!("reading = \"{celsius}\""), "2.6 m", RATED);
        findings(&CHECK, &text)[0].verdict
    }

    #[test]
    fn a_cool_wall_fits() {
        let found = findings(&CHECK, &room("reading = \"33 °C\"", "2.6 m", RATED));
        expect![[r#"
            display above fireplace: fits +7.000: The wall at display reads 33 °C after 1 h 0 min of fire in fireplace; display-d1 is rated to 40 °C, and 5 K below that is a safe reserve.
            mount above fireplace: fits +27.000: The wall at display reads 33 °C after 1 h 0 min of fire in fireplace; mount-m1 is rated to 60 °C, and 5 K below that is a safe reserve.
        "#]].assert_eq(&told(&found));
        assert_eq!(found[0].cautions, [Caution::HotFlue]);
    }

    #[test]
    fn a_display_that_comes_down_before_the_fire_is_to_be_parked() {
        // Fireplace up to 0.8 m; the display's lower edge is at 1.35 m.
        let pulled = |by: &str| {
            let text = room("reading = \"33 °C\"", "2.6 m", RATED).replace(
                "rated_to = \"60 °C\"",
                &format!("pull_down = \"{by}\"\nrated_to = \"60 °C\""),
            );
            findings(&CHECK, &text)[0].because.contains("park it")
        };
        assert!(pulled("600 mm"));
        assert!(!pulled("500 mm"));
    }

    #[test]
    fn rating_and_reserve_hold_from_both_sides() {
        assert_eq!(verdict("34.9 °C"), Verdict::Fits);
        assert_eq!(verdict("35.1 °C"), Verdict::Tight);
        assert_eq!(verdict("40 °C"), Verdict::Tight);
        assert_eq!(verdict("40.1 °C"), Verdict::Fails);
    }

    #[test]
    fn a_coarse_thermometer_leaves_it_tight() {
        assert_eq!(verdict("34 °C ± 8 °C"), Verdict::Tight);
    }

    #[test]
    fn the_mount_may_bear_less_than_the_display() {
        let text = room("reading = \"50 °C\"", "2.6 m", "rated_to = \"70 °C\"");
        let found = findings(&CHECK, &text);
        assert_eq!(found[1].limit, Some(60.0));
        assert_eq!(found[1].verdict, Verdict::Fits);
        let hot = findings(
            &CHECK,
            &text.replace("reading = \"50 °C\"", "reading = \"61 °C\""),
        );
        assert_eq!(hot[0].verdict, Verdict::Fits);
        assert_eq!(hot[1].verdict, Verdict::Fails);
        // A mount whose sheet does not say is asked about by itself.
        let unsaid = findings(&CHECK, &text.replace("rated_to = \"60 °C\"", ""));
        assert_eq!(unsaid[1].verdict, Verdict::Unknown);
        assert_eq!(unsaid[1].needs[0].at, "kit.mount.mount-m1.rated_to");
    }

    #[test]
    fn without_a_reading_the_fire_is_to_be_lit() {
        let found = findings(&CHECK, &room("", "2.6 m", RATED));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].means, Means::Thermometer);
        assert_eq!(found[0].needs[0].at, "space.den.fixture.fireplace.reading");
        assert!(
            found[0].because.contains("has burnt for"),
            "{}",
            found[0].because
        );
        assert_eq!(found[0].cautions, [Caution::HotFlue]);
        let found = findings(&CHECK, &room("reading = \"33 °C\"", "2.6 m", ""));
        assert_eq!(found[0].needs[0].at, "kit.display.display-d1.rated_to");
    }

    #[test]
    fn a_display_beside_the_fire_is_no_question() {
        // Fireplace from 2.15 m, display up to 0.9 + 0.61 = 1.51 m.
        assert!(findings(&CHECK, &room("", "0.9 m", RATED)).is_empty());
    }

    #[test]
    fn each_remedy_mends_it() {
        for reading in ["45 °C", "38 °C", "34 °C ± 8 °C"] {
            let text = room(&format!("reading = \"{reading}\""), "2.6 m", RATED);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 2, "{}", told(&found));
            // Beside the fire the question is gone; with other kit it is answered.
            assert!(findings_after(&CHECK, &text, &found[0].remedies[0].edits).is_empty());
            let after = findings_after(&CHECK, &text, &found[0].remedies[1].edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
        }
    }
}
