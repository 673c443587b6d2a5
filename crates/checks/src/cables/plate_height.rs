//! Does each old plate or cable end lie behind the thing that is to use it?

use analysis::{Analysis, COVERAGE_FACTOR, Means, Missing, Source, WallRect, item_label};
use model::{
    Anchor, Cable, Edit, Fixture, FixtureKind, Item, Kit, LoudspeakerForm, OnWall, Space, Way,
};
use units::Dimension;

use super::cut_out::{self, CutOut, Surface, bars_word};
use super::runs;
use crate::moves::{self, Round, to_spare, written_length};
use crate::{
    Area, Caution, Check, Cost, Finding, Known, Outcome, Published, Remedy, Run, Subject,
    Uncertain, Verdict,
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
    run: Run::EachSpace(run),
};

fn inside_m(plate: [f64; 2], outline: [f64; 2]) -> f64 {
    let [plate, outline] = [plate, outline].map(|ends| ends.map(Uncertain::exact));
    inside([&plate[0], &plate[1]], [&outline[0], &outline[1]]).value()
}

/// How far one stretch lies inside another.
fn inside(plate: [&Uncertain; 2], outline: [&Uncertain; 2]) -> Uncertain {
    (plate[0] - outline[0]).min(&(outline[1] - plate[1]))
}

/// A plate, the thing that is to use it, and the old cable where the job names it.
struct Reuse<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    item: &'a Item,
    plate: &'a Fixture,
    cable: Option<&'a Cable>,
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

/// Things on a wall or ceiling that take over a plate. What stands on the floor reaches its
/// plate by a lead, and what has no place of its own sits at the plate anyway.
fn reuses<'a>(analysis: &'a Analysis, space: &'a Space) -> Vec<Reuse<'a>> {
    let cables = || analysis.job().cable.iter().map(AsRef::as_ref);
    let named = analysis.items_in(space).filter_map(|item| {
        let id = item.reuses.as_deref()?;
        let cable = cables().find(|cable: &&Cable| cable.existing.as_deref() == Some(id));
        Some((item, id, cable))
    });
    let by_cable = cables().filter_map(|cable: &Cable| {
        let id = cable.existing.as_deref()?;
        let item = at_plate(analysis, cable, id)?;
        let here = analysis
            .space_of(item)
            .is_ok_and(|home| home.id == space.id);
        here.then_some((item, id, Some(cable)))
    });
    let mut found: Vec<Reuse<'a>> = Vec::new();
    for (item, id, cable) in named.chain(by_cable) {
        let placed = item.on.is_some() || item.hung.is_some();
        let known = found.iter().any(|one| one.plate.id == id);
        let plate = space.fixture(id).filter(|plate| is_an_end(plate.kind));
        if let Some(plate) = plate.filter(|_| placed && !known) {
            found.push(Reuse {
                analysis,
                space,
                item,
                plate,
                cable,
            });
        }
    }
    found
}

/// The end of an old cable that comes out at its plate: the far one, if the plate is in its
/// space, else the near one.
fn at_plate<'a>(analysis: &'a Analysis, cable: &Cable, plate: &str) -> Option<&'a Item> {
    [&cable.to, &cable.from].into_iter().find_map(|end| {
        let item = analysis.item_at_end(end)?;
        analysis.space_of(item).ok()?.fixture(plate)?;
        Some(item)
    })
}

fn is_an_end(kind: FixtureKind) -> bool {
    matches!(
        kind,
        FixtureKind::Plate | FixtureKind::CableEnd | FixtureKind::ConduitEnd
    )
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
    if outcome.verdict() == Verdict::Fits {
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

/// What a plate meets when it moves within its bay.
struct WayInBay {
    /// Blocks to drill for its cable.
    blocks: u32,
    /// The rest of the sentence.
    words: String,
}

impl WayInBay {
    fn unsure(words: &str) -> Self {
        Self {
            blocks: 0,
            words: words.to_owned(),
        }
    }
}

impl<'a> Reuse<'a> {
    fn plate_label(&self) -> String {
        Subject::fixture(self.plate).label
    }

    fn item_label(&self) -> &'a str {
        item_label(self.item)
    }

    fn plate_rect(&self, on: &OnWall) -> Known<WallRect> {
        let nothing = || [0.0, 0.0].map(Uncertain::exact);
        // A loose cable end has no size.
        let [width, height] = match (&self.plate.size, on.to) {
            (None, None | Some(Anchor::Centre)) => nothing(),
            _ => (self.analysis.fixture_size(self.space, self.plate))
                .map(|[width, height, _]| [width, height])?,
        };
        let at = format!("space.{}.fixture.{}.on", self.space.id, self.plate.id);
        let size = [&width, &height];
        self.analysis
            .wall_rect(self.space, on, size, Anchor::Centre, &at)
    }

    /// What hides the plate: a picture's outside, an in-wall loudspeaker's hole, else the case.
    fn outline(&self, on: &OnWall) -> Known<WallRect> {
        let analysis = self.analysis;
        let kit = analysis.job().kit_of(self.item);
        let at = format!("item.{}.on", self.item.id);
        match kit {
            Some(Kit::Screen(_) | Kit::Display(_)) => Ok(analysis.picture(self.item)?.outside),
            Some(Kit::Loudspeaker(own)) if own.form == Some(LoudspeakerForm::InWall) => {
                let hole = CutOut {
                    item: self.item,
                    kit: Kit::Loudspeaker(own),
                    surface: Surface::Wall(on),
                };
                let [width, height] = hole.size(analysis)?;
                let [left, up] = hole.middle_on_wall(analysis, self.space, on)?;
                Ok(WallRect {
                    wall: self.space.wall(&on.wall).expect("its middle has a wall"),
                    left: &left - &width / 2.0,
                    right: &left + &width / 2.0,
                    bottom: &up - &height / 2.0,
                    top: &up + &height / 2.0,
                    out: None,
                })
            }
            _ => {
                let [width, height, _] = analysis.item_size(self.item)?;
                analysis.wall_rect(self.space, on, [&width, &height], Anchor::Centre, &at)
            }
        }
    }

    /// What a plate meets on its way to another place inside its bay; `None` when that place
    /// is in another bay, or the wall has none.
    fn way_in_bay(&self, plate: &WallRect, right_m: f64, up_m: f64) -> Option<WayInBay> {
        let wall = &self.space.walls[plate.wall].id;
        let Some(built) = self.space.construction_of(wall) else {
            let unsure = "; look behind the board first, what the wall is made of is not known";
            return (right_m == 0.0).then(|| WayInBay::unsure(unsure));
        };
        bars_word(built.framing)?;
        if right_m != 0.0 {
            let first = built.first_from_left.as_ref()?.value()?;
            let spacing = built.spacing.as_ref()?.value()?;
            let face = cut_out::face(self.analysis, built, "").value();
            let bay = ((plate.centre_left().value() - first) / spacing).floor();
            let low = (first + bay * spacing + face / 2.0).max(0.0);
            let high = first + (bay + 1.0) * spacing - face / 2.0;
            let fits = plate.left.value() + right_m >= low && plate.right.value() + right_m <= high;
            fits.then_some(())?;
        }
        let Some(blocks) = &built.fire_block_at else {
            return Some(WayInBay::unsure("; look for a block between first"));
        };
        let from = plate.centre_height().value();
        let (low, high) = (from.min(from + up_m), from.max(from + up_m));
        let between =
            |block: &&model::Length| block.value().is_some_and(|at| at > low && at < high);
        let between: Vec<String> = (blocks.iter().filter(between))
            .filter_map(|block| self.analysis.number(Some(block)))
            .map(|block| self.analysis.length(&block))
            .collect();
        Some(WayInBay {
            blocks: u32::try_from(between.len()).ok()?,
            words: match between.len() {
                0 => String::new(),
                _ => format!(
                    "; its cable has to go through the block at {}: drill it, and seal the hole against fire",
                    between.join(" and ")
                ),
            },
        })
    }

    /// Whether the old cable allows the plate to move, in words; `None` when it is too short.
    fn cable_allows(&self, right_m: f64, up_m: f64) -> Option<String> {
        let analysis = self.analysis;
        let unknown = || {
            let overhead = self
                .cable
                .is_none_or(|cable| cable.way != Some(Way::Underfoot));
            // From above, a lower place takes more cable; from below, a higher one.
            let more = right_m.abs() + if overhead { -up_m } else { up_m };
            if more <= 0.0 {
                return "; its cable gets shorter that way".to_owned();
            }
            let more = written_length(analysis, more, Round::Up);
            format!(
                "; pull its cable out first and see whether {more} are to spare, which nobody has measured"
            )
        };
        let Some(cable) = self.cable else {
            return Some(unknown());
        };
        let (Some(length), Ok(route)) = (
            analysis.number(cable.length.as_ref()),
            analysis.route(cable),
        ) else {
            return Some(unknown());
        };
        let need = &route.length * (1.0 + analysis.slack(cable));
        let spare = &length - &need;
        (to_spare(&spare, 0.0) >= 0.0).then(|| {
            format!(
                "; its cable of {} reaches, {} are needed",
                analysis.length(&length),
                analysis.length(&need)
            )
        })
    }
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
    let (right_m, up_m) = (-moved.right_m?, -moved.up_m?);
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
        let kit = runs::kit_of(analysis.job(), cable)?;
        Some((cable, kit, analysis.cut_length(cable).ok()?))
    });
    let (what, cost) = match &new {
        Some((cable, kit, length)) => (
            format!("a new {} of {}", cable.id, analysis.length(length)),
            runs::pulling(
                analysis,
                kit,
                length.value() + COVERAGE_FACTOR * length.standard_uncertainty(),
            ),
        ),
        None => ("a new cable".to_owned(), Cost::default()),
    };
    let says = format!(
        "Close the {} and pull {what} to {}.",
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
    use crate::testing::{findings, findings_after, told};
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
        let text = walled(&at("2.05 m", "0.4 m"), &studs(NO_BLOCKS), "");
        let found = only(&text);
        let says: Vec<String> = (found.remedies.iter())
            .map(|remedy| remedy.says.replace('\u{202f}', " "))
            .collect();
        expect![[r#"
            Move the old plate 976 mm up within its bay, to 1.376 m above the floor; its cable gets shorter that way.
            Close the old plate and pull a new W1 of 8.30 m to Left surround.
            Put Left surround 976 mm down, before the old plate: 524 mm above the floor."#]].assert_eq(&says.join("\n"));
        for remedy in &found.remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert!(
                after.iter().all(|finding| finding.verdict == Verdict::Fits),
                "{} {}",
                remedy.says,
                told(&after)
            );
        }
        // Three quarters of an hour at 60: 45. Pulling: 2 min a metre, two holes of 10 min,
        // and 2 for each metre.
        assert_eq!(found.remedies[0].cost.money, Some(45.0));
        let pulled = &found.remedies[1].cost;
        assert!((pulled.time_s - (120.0 * pulled.wire_m + 1200.0)).abs() < 1e-9);
        assert!(
            (pulled.money.unwrap() - (pulled.time_s / 60.0 + 2.0 * pulled.wire_m)).abs() < 1e-9
        );
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
                .map(|remedy| (remedy.cost.holes, remedy.cost.time_s))
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
