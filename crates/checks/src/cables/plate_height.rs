//! Does each old plate or cable end lie behind the thing that is to use it?

use analysis::{Analysis, Means, Missing, Parts, Source, WallRect};
use model::{Edit, OnWall, Space};
use units::Dimension;

use crate::moves::{self, Round, to_spare, written_length};
use crate::plate::{Reuse, reuses};
use crate::runs::{self, NewCable};
use crate::{
    Area, Caution, Check, Cost, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

/// How far inside the outline a plate is put when it is moved anyway, m.
const INSIDE_M: f64 = 0.01;

pub(crate) static CHECK: Check = Check {
    id: "plate-height",
    area: Area::Cables,
    proves: "Each old plate or cable end that is to be used again lies behind the outline, or within the hole, of the thing that uses it.",
    matters: "A pre-wired plate at the wrong height leaves a wire hanging down the wall, or a hole to patch that nobody has priced.",
    formula: "margin = least distance from the plate's edges to the edges of the outline, negative when it shows; on another wall or in the ceiling: the distance between both, negative; m. An in-wall loudspeaker's outline is its hole.",
    source: Source::Derived {
        from: "geometry of rectangles on a wall",
    },
    when_it_fails: "Move the plate within its stud bay, pull a new cable, or put the thing where the plate is.",
    limits: &[],
    published: &[Published {
        cite: "plate from 14 to 18 in above the floor, outline from 56 to 66 in: 42 in too low (by hand)",
        computed: || inside_m([14.0, 18.0], [56.0, 66.0]),
        expected: -42.0,
        tolerance: 1e-9, // Exact.
        unit: "in",
    }],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

fn inside_m(plate: [f64; 2], outline: [f64; 2]) -> f64 {
    let [plate, outline] = [plate, outline].map(|ends| ends.map(Uncertain::exact));
    inside([&plate[0], &plate[1]], [&outline[0], &outline[1]]).value()
}

/// How far one stretch lies inside another.
fn inside(plate: [&Uncertain; 2], outline: [&Uncertain; 2]) -> Uncertain {
    (plate[0] - outline[0]).min(&(outline[1] - plate[1]))
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    reuses(analysis, space)
        .into_iter()
        .map(|reuse| {
            let subject = Subject::item(reuse.item).with(&Subject::fixture(reuse.plate), "at");
            CHECK.about(space, subject, || decide(&reuse))
        })
        .collect()
}

fn decide(reuse: &Reuse<'_>) -> Known<Outcome> {
    let plate_on = reuse.plate.on.as_ref().ok_or_else(|| {
        Missing::new(
            format!("where on its wall the {} is", reuse.plate_label()),
            format!("space.{}.fixture.{}.on", reuse.space.id, reuse.plate.id),
            Means::Tape,
        )
    })?;
    match &reuse.item.on {
        Some(on) if on.wall == plate_on.wall => on_one_wall(reuse, on, plate_on),
        _ => elsewhere(reuse),
    }
}

/// On another wall or in the ceiling: it can't lie behind.
fn elsewhere(reuse: &Reuse<'_>) -> Known<Outcome> {
    let analysis = reuse.analysis;
    let plate = analysis.fixture_point(reuse.space, reuse.plate)?;
    let item = analysis.item_point(reuse.item)?;
    let distance = (&item - &plate).norm();
    let sentence = format!(
        "The {} is {} from {}, which is not on its wall.",
        reuse.plate_label(),
        analysis.length(&distance),
        reuse.item_label(),
    );
    Ok(outcome(-distance, sentence).remedy(pull_new(reuse)))
}

fn outcome(margin: Uncertain, sentence: String) -> Outcome {
    let source = CHECK.source.clone();
    Outcome::with_margin(margin.clone(), 0.0, margin, Dimension::Length, source)
        .because(sentence)
        .caution(Caution::Drilling)
}

fn on_one_wall(reuse: &Reuse<'_>, on: &OnWall, plate_on: &OnWall) -> Known<Outcome> {
    let analysis = reuse.analysis;
    let outline = reuse.outline(on)?;
    let plate = reuse.plate_rect(plate_on)?;
    let sideways = inside([&plate.left, &plate.right], [&outline.left, &outline.right]);
    let upwards = inside([&plate.bottom, &plate.top], [&outline.bottom, &outline.top]);
    let margin = sideways.min(&upwards);
    let sentence = if margin.value() >= 0.0 {
        format!(
            "The {} lies behind {}, {} inside its outline.",
            reuse.plate_label(),
            reuse.item_label(),
            analysis.length(&margin),
        )
    } else {
        let parts = [
            (&outline.bottom - &plate.bottom, "below"),
            (&plate.top - &outline.top, "above"),
            (&outline.left - &plate.left, "to the left of"),
            (&plate.right - &outline.right, "to the right of"),
        ];
        let parts: Vec<String> = (parts.iter())
            .filter(|(by, _)| by.value() > 0.0)
            .map(|(by, side)| format!("{} {side}", analysis.length(by)))
            .collect();
        format!(
            "The {}, {} above the floor, reaches {} the outline of {}, which is from {} to {} above the floor.",
            reuse.plate_label(),
            analysis.length(&plate.centre_height()),
            parts.join(" and "),
            reuse.item_label(),
            analysis.length(&outline.bottom),
            analysis.length(&outline.top),
        )
    };
    let outcome = outcome(margin, sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let spare = outcome.margin().value() - to_spare(outcome.margin(), 0.0) + INSIDE_M;
    let moved = Moved {
        right_m: into(
            [&plate.left, &plate.right],
            [&outline.left, &outline.right],
            spare,
        ),
        up_m: into(
            [&plate.bottom, &plate.top],
            [&outline.bottom, &outline.top],
            spare,
        ),
    };
    Ok(outcome
        .remedy(move_plate(reuse, plate_on, &plate, &moved))
        .remedy(pull_new(reuse))
        .remedy(move_item(reuse, on, &moved)))
}

/// What brings a plate behind an outline; no move where it is wide enough for none.
struct Moved {
    right_m: Option<f64>,
    up_m: Option<f64>,
}

/// The least move that brings one stretch inside another with something to spare.
fn into(plate: [&Uncertain; 2], outline: [&Uncertain; 2], spare_m: f64) -> Option<f64> {
    let low = outline[0].value() + spare_m - plate[0].value();
    let high = outline[1].value() - spare_m - plate[1].value();
    (low <= high).then(|| 0.0_f64.clamp(low, high))
}

/// Moves the plate behind the thing, inside its bay.
fn move_plate(reuse: &Reuse<'_>, on: &OnWall, plate: &WallRect, moved: &Moved) -> Option<Remedy> {
    let analysis = reuse.analysis;
    let (right_m, up_m) = (moved.right_m?, moved.up_m?);
    let way = reuse.way_in_bay(plate, right_m, up_m)?;
    let cable = reuse.cable_allows(right_m, up_m)?;
    let path = format!("space.{}.fixture.{}.on", reuse.space.id, reuse.plate.id);
    let edits = places(analysis, &path, on, right_m, up_m)?;
    let says = format!(
        "Move the {} {} within its bay, to {}{}{cable}.",
        reuse.plate_label(),
        directions(analysis, right_m, up_m),
        told(&edits),
        way.words,
    );
    let remedy = Remedy::new(says, edits).costing(runs::moving_a_plate(analysis, way.blocks));
    Some(
        remedy
            .caution(Caution::Drilling)
            .caution(Caution::Structure),
    )
}

/// Puts the thing where the plate is.
fn move_item(reuse: &Reuse<'_>, on: &OnWall, moved: &Moved) -> Option<Remedy> {
    let analysis = reuse.analysis;
    /// Farther, and it hangs where nobody wants it: common practice.
    const FARTHEST_M: f64 = 0.5;
    let (right_m, up_m) = (-moved.right_m?, -moved.up_m?);
    if right_m.hypot(up_m) > FARTHEST_M {
        return None;
    }
    let path = format!("item.{}.on", reuse.item.id);
    let edits = places(analysis, &path, on, right_m, up_m)?;
    let says = format!(
        "Put {} {}, before the {}: {}.",
        reuse.item_label(),
        directions(analysis, right_m, up_m),
        reuse.plate_label(),
        told(&edits),
    );
    Some(Remedy::new(says, edits))
}

fn places(
    analysis: &Analysis,
    path: &str,
    on: &OnWall,
    right_m: f64,
    up_m: f64,
) -> Option<Vec<Edit>> {
    let parts = [
        (right_m, "from_left", &on.from_left),
        (up_m, "height", &on.height),
    ];
    let mut edits = Vec::new();
    for (by, field, now) in parts.into_iter().filter(|(by, ..)| *by != 0.0) {
        let place = now.as_ref()?.value()? + by;
        let text = written_length(analysis, place, Round::Nearest);
        (place > 0.0).then_some(())?;
        edits.push(Edit::set(format!("{path}.{field}"), text));
    }
    (!edits.is_empty()).then_some(edits)
}

/// "0.92 m up and 40 mm to the left".
fn directions(analysis: &Analysis, right_m: f64, up_m: f64) -> String {
    let parts = [
        (up_m, "up", "down"),
        (right_m, "to the right", "to the left"),
    ];
    let parts: Vec<String> = (parts.into_iter())
        .filter(|(by, ..)| *by != 0.0)
        .map(|(by, ahead, back)| {
            let word = if by > 0.0 { ahead } else { back };
            format!(
                "{} {word}",
                written_length(analysis, by.abs(), Round::Nearest)
            )
        })
        .collect();
    parts.join(" and ")
}

/// "1.36 m above the floor, 2 m from the left corner".
fn told(edits: &[Edit]) -> String {
    let part = |edit: &Edit| {
        let text = moves::text_of(edit);
        match edit.at.ends_with("height") {
            true => format!("{text} above the floor"),
            false => format!("{text} from the left corner"),
        }
    };
    let parts: Vec<String> = edits.iter().rev().map(part).collect();
    parts.join(", ")
}

/// Leaves the old plate alone and pulls a cable to where the thing is.
fn pull_new(reuse: &Reuse<'_>) -> Option<Remedy> {
    let analysis = reuse.analysis;
    let mut edits = reuse.cable.map(runs::abandon_existing).unwrap_or_default();
    if reuse.item.reuses.is_some() {
        edits.push(Edit::remove(format!("item.{}.reuses", reuse.item.id)));
    }
    let new = reuse.cable.and_then(|cable| {
        let kit = runs::kit_of(analysis, cable)?;
        Some((cable, kit, NewCable::of(analysis, cable)?))
    });
    let (what, takes, cost) = match &new {
        Some((cable, kit, new)) => (
            format!("a new {}", new.words(analysis, cable)),
            new.takes()
                .map_or_else(String::new, |takes| format!(": {takes}")),
            new.cost(analysis, kit),
        ),
        None => ("a new cable".to_owned(), String::new(), Cost::default()),
    };
    let says = format!(
        "Close the {} and pull {what} to {}{takes}.",
        reuse.plate_label(),
        reuse.item_label(),
    );
    let remedy = Remedy::new(says, edits).costing(cost);
    Some(remedy.caution(Caution::Drilling).caution(Caution::Ladder))
}

#[cfg(test)]
mod tests {
    //! Inside and outside the outline, blocks and bays in the way, and each way out.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{ROOM, findings, findings_after, job, told};
    use crate::{Finding, Verdict};

    /// A loudspeaker's case from 1.85 to 2.15 m and from 1.3 to 1.7 m on the north wall.
    fn walled(plate: &str, wall: &str, cable: &str) -> String {
        format!(
            r#"
[[space.fixture]]
id = "old-plate"
kind = "plate"
on = {plate}
size = ["70 mm ± 0", "120 mm ± 0", "5 mm"]
{wall}
[[kit.loudspeaker]]
id = "onwall-o1"
form = "on-wall"
size = ["300 mm", "400 mm", "100 mm"]
[[kit.amplifier]]
id = "amp-a2"
[[kit.cable]]
id = "wire"
carries = "loudspeaker"
price_per_metre = 2
[[item]]
id = "amp"
is = "amp-a2"
space = "den"
on = {{ wall = "south", from_left = "4 m", height = "0.3 m" }}
[[item]]
id = "left"
is = "onwall-o1"
name = "Left surround"
space = "den"
on = {{ wall = "north", from_left = "2 m", height = "1.5 m" }}
reuses = "old-plate"
[[cable]]
id = "W1"
kind = "wire"
from = "amp"
to = "left"
existing = "old-plate"
{cable}
[rates]
hour = 60
"#
        )
    }

    fn at(from_left: &str, height: &str) -> String {
        format!("{{ wall = \"north\", from_left = \"{from_left}\", height = \"{height}\" }}")
    }

    const STUDS: &str = "[[space.construction]]\nof = \"north\"\nframing = \"stud\"\nspacing = \"0.4 m\"\nfirst_from_left = \"0.2 m\"\nface = \"40 mm\"\n";
    const NO_BLOCKS: &str = "fire_block_at = []\n";

    fn studs(blocks: &str) -> String {
        format!("{STUDS}{blocks}")
    }

    fn only(text: &str) -> Finding {
        let mut found = findings(&CHECK, text);
        assert_eq!(found.len(), 1, "{}", told(&found));
        found.remove(0)
    }

    #[test]
    fn a_plate_behind_the_case_fits() {
        // Sideways 1.965 − 1.85 = 115 mm; upwards 1.44 − 1.3 = 140 mm.
        let found = only(&walled(&at("2 m", "1.5 m"), &studs(NO_BLOCKS), ""));
        expect![[r#"
            Left surround at old plate: fits +0.115: The old plate lies behind Left surround, 115 mm inside its outline.
        "#]]
        .assert_eq(&told(&[found]));
    }

    #[test]
    fn a_plate_at_the_wrong_height_fails() {
        // Its lower edge at 0.34 m is 0.96 m below 1.3 m.
        let found = only(&walled(&at("2.05 m", "0.4 m"), &studs(NO_BLOCKS), ""));
        expect![[r#"
            Left surround at old plate: fails -0.960: The old plate, 400 mm above the floor, reaches 960 mm below the outline of Left surround, which is from 1.3 m to 1.7 m above the floor.
        "#]].assert_eq(&told(&[found]));
    }

    #[test]
    fn both_sides_of_the_outline() {
        let verdict = |height: &str| only(&walled(&at("2 m", height), STUDS, "")).verdict;
        // Lower edge: h − 0.06 = 1.3 m; the tape leaves ±6 mm open.
        assert_eq!(verdict("1.359 m"), Verdict::Fails);
        assert_eq!(verdict("1.361 m"), Verdict::Tight);
        assert_eq!(verdict("1.365 m"), Verdict::Tight);
        assert_eq!(verdict("1.367 m"), Verdict::Fits);
    }

    #[test]
    fn all_three_ways_out_mend_it() {
        let text = walled(&at("2.05 m", "1 m"), &studs(NO_BLOCKS), "");
        let found = only(&text);
        let says: Vec<String> = (found.remedies.iter())
            .map(|remedy| remedy.says.replace('\u{202f}', " "))
            .collect();
        expect![[r#"
            Move the old plate 376 mm up within its bay, to 1.376 m above the floor; its cable gets shorter that way.
            Close the old plate and pull a new W1 of 11.4 m to Left surround.
            Put Left surround 376 mm down, before the old plate: 1.124 m above the floor."#]].assert_eq(&says.join("\n"));
        for remedy in &found.remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert!(
                after.iter().all(|finding| finding.verdict == Verdict::Fits),
                "{} {}",
                remedy.says,
                told(&after)
            );
        }
        // Three quarters of an hour at 60: 45.
        assert_eq!(found.remedies[0].cost.money, Some(45.0));
        // Where nothing is known of the walls: 2 min a metre, two holes of 10 min, and 2 for
        // each metre.
        let found = only(&walled(&at("2.05 m", "1 m"), "", ""));
        let pull = (found.remedies.iter()).find(|remedy| remedy.says.starts_with("Close"));
        let cost = &pull.expect("a new cable can be pulled").cost;
        let time_s = 120.0 * cost.wire_m + 1200.0;
        assert!(
            cost.time_s
                .iter()
                .all(|side_s| (side_s - time_s).abs() < 1e-9)
        );
        assert!((cost.money.unwrap() - (time_s / 60.0 + 2.0 * cost.wire_m)).abs() < 1e-9);
        assert!(
            (cost.wire_m - 8.4).abs() < 1e-9,
            "8.300 m and its tape, cut to 0.1 m"
        );
    }

    #[test]
    fn a_new_cable_takes_what_the_changed_job_says() {
        // Once with no block in the wall, once with one that may be there.
        for (blocks, holes) in [(NO_BLOCKS, [1, 1]), ("", [1, 2])] {
            let text = walled(&at("2.05 m", "1 m"), &studs(blocks), "length = \"20 m\"");
            let found = only(&text);
            let pull = (found.remedies.iter()).find(|remedy| remedy.says.starts_with("Close"));
            let pull = pull.expect("a new cable can be pulled");
            let before = analysis::Analysis::new(job(&format!("{ROOM}{text}")));
            let after = before.edited(&pull.edits).expect("the edits can be made");
            let cable = after.cable("W1").expect("it is there");
            let work = (after.route(cable).expect("it has a way").work.as_ref())
                .expect("it was found in the construction");
            let cut_m = after.cut_to(cable).expect("it can be cut");
            assert_eq!((pull.cost.holes, work.holes), (holes, holes));
            assert_eq!((pull.cost.time_s, pull.cost.wire_m), (work.time_s, cut_m));
            let length = after.exact(cut_m, units::Dimension::Length);
            let takes = match holes[0] == holes[1] {
                true => String::new(),
                false => format!(": {}", analysis::work_words(work.holes, work.time_s)),
            };
            let says = format!(
                "Close the old plate and pull a new W1 of {length} to Left surround{takes}."
            );
            assert_eq!(pull.says, says);
        }
    }

    #[test]
    fn a_hole_that_another_cable_needs_is_drilled_once() {
        let other = "length = \"20 m\"\n[[cable]]\nid = \"W2\"\nkind = \"wire\"\nfrom = \"amp\"\nto = \"left\"\n";
        let pull = |cables: &str| {
            let found = only(&walled(&at("2.05 m", "1 m"), &studs(NO_BLOCKS), cables));
            let mut remedies = found.remedies.iter();
            let pull = remedies.find(|remedy| remedy.says.starts_with("Close"));
            pull.expect("it can be pulled").clone()
        };
        let (alone, beside) = (pull("length = \"20 m\""), pull(other));
        assert_eq!((alone.cost.holes, beside.cost.holes), ([1, 1], [0, 0]));
        let spared_s = [0, 1].map(|side| alone.cost.time_s[side] - beside.cost.time_s[side]);
        assert!(
            spared_s
                .iter()
                .all(|spared_s| (spared_s - 600.0).abs() < 1e-6),
            "{spared_s:?}"
        );
        let says = &beside.says;
        assert!(
            says.contains("1 hole, ")
                && says.ends_with(" (1 hole of it for another cable anyway)."),
            "{says}"
        );
    }

    #[test]
    fn a_surround_is_not_hung_at_the_skirting() {
        let found = only(&walled(&at("2.05 m", "0.4 m"), &studs(NO_BLOCKS), ""));
        let says = found.remedies.iter().map(|remedy| &remedy.says);
        assert!(says.clone().count() > 0);
        assert!(says.into_iter().all(|says| !says.starts_with("Put ")));
    }

    #[test]
    fn a_block_between_takes_a_hole_more() {
        let holes = |wall: &str| {
            let text = walled(&at("2 m", "0.4 m"), wall, "");
            let found = only(&text);
            let mut moves = found
                .remedies
                .iter()
                .filter(|remedy| remedy.says.starts_with("Move"));
            moves
                .next()
                .map(|remedy| (remedy.cost.holes[1], remedy.cost.usual_time_s()))
        };
        // Three quarters of an hour, and ten minutes for a block.
        assert_eq!(
            holes(&studs("fire_block_at = [\"1.2 m\"]\n")),
            Some((2, 3300.0))
        );
        assert_eq!(
            holes(&studs("fire_block_at = [\"2.1 m\"]\n")),
            Some((1, 2700.0))
        );
        assert_eq!(holes(STUDS), Some((1, 2700.0)));
        assert_eq!(holes(&STUDS.replace("\"stud\"", "\"masonry\"")), None);
    }

    #[test]
    fn sideways_only_within_the_bay() {
        let moves = |place: &str, wall: &str| {
            let text = walled(&at(place, "0.4 m"), wall, "");
            let found = only(&text);
            let remedy = found
                .remedies
                .iter()
                .find(|remedy| remedy.says.starts_with("Move"))?;
            Some(findings_after(&CHECK, &text, &remedy.edits)[0].verdict)
        };
        let known = studs(NO_BLOCKS);
        // The bay from 1.82 to 2.18 m holds the place; the one from 2.22 m does not.
        assert_eq!(moves("2.13 m", &known), Some(Verdict::Fits));
        assert_eq!(moves("2.3 m", &known), None);
        assert_eq!(moves("2.13 m", ""), None);
        assert_eq!(moves("2 m", ""), Some(Verdict::Fits));
    }

    #[test]
    fn a_cable_of_known_length_decides_whether_the_plate_may_move() {
        // Up 2.1 m, along 2 − 2 m, across 4 m, down 0.9 m: 7 m, and 10 %: 7.7 m.
        let moves = |length: &str| {
            let text = walled(&at("2 m", "2 m"), &studs(NO_BLOCKS), length);
            only(&text)
                .remedies
                .iter()
                .any(|remedy| remedy.says.starts_with("Move"))
        };
        assert!(moves("length = \"8 m\""));
        assert!(!moves("length = \"7.5 m\""));
    }

    #[test]
    fn another_wall_leaves_a_new_cable_only() {
        let plate = at("1 m", "0.4 m").replace("north", "east");
        let text = walled(&plate, "", "");
        let found = only(&text);
        assert_eq!(found.verdict, Verdict::Fails);
        assert_eq!(found.remedies.len(), 1);
        assert!(findings_after(&CHECK, &text, &found.remedies[0].edits).is_empty());
    }

    #[test]
    fn missing_facts_are_named() {
        let plate = at("2 m", "?");
        let needs = only(&walled(&plate, "", "")).needs[0].at.clone();
        assert_eq!(needs, "space.den.fixture.old-plate.on.height");
        let sizeless = walled(&at("2 m", "1 m"), "", "")
            .replace("size = [\"300 mm\", \"400 mm\", \"100 mm\"]", "");
        assert_eq!(
            only(&sizeless).needs[0].at,
            "kit.loudspeaker.onwall-o1.size"
        );
    }
}
