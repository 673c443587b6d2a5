//! Does what stands on the floor keep clear of walls, ways, seats and what they see?

use analysis::{Analysis, COVERAGE_FACTOR, LimitValue, Means, Missing, Parts, Source, item_label};
use model::{Item, Kit, LoudspeakerForm, OpeningKind, Space};
use units::Dimension;

use crate::floor_space::{
    Case, FLOOR_GAP_MIN, FLOOR_PASSAGE_MIN, FLOOR_SEAT_MIN, Floor, KeptOff, Why, off_a_wall,
};
use crate::track::{Track, shortest};
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Run};

pub(crate) static CHECK: Check = Check {
    id: "floor-clear",
    area: Area::Sound,
    proves: "Each loudspeaker and subwoofer that stands on the floor keeps clear of walls, of what stands there, of doorways, of heads, and of what each seat sees; a cupboard keeps clear of doorways and of what is seen.",
    matters: "A case in a doorway is kicked, one beside a head is all that this seat hears, and one before the picture hides it.",
    formula: "In plan, between the case, square to the wall that its place is measured from first, and each thing: gap = max over directions n of n · p − h(n) − c(n); p: the middle of the case; h, c: how far the thing and the case reach in that direction, m. Asked for: `floor_gap_min` to walls and to what comes down below its top; nothing into the floor before a door, as deep as its leaf is wide, or before an archway; `floor_seat_min` from each head; nothing below the lines from each eye, and from a projector's lens, to the picture's lower edge where these are lower than its top; nothing under a slope lower than its top. Subwoofers may stand beside a head; of cupboards, which are built against walls, only ways and sight are asked. A case is not turned in; what is told of the others' places is taken as it is.",
    source: Source::CommonPractice,
    when_it_fails: "Move it; two people carry what is heavy. Keep ways out free: local codes decide how wide.",
    limits: &[&FLOOR_GAP_MIN, &FLOOR_SEAT_MIN, &FLOOR_PASSAGE_MIN],
    published: &[Published {
        cite: "a case 0.4 m wide and 0.3 m deep, its middle 0.5 m off a wall: 0.5 − 0.3/2 m (computed)",
        computed: || off_a_wall(0.5, [0.2, 0.15]),
        expected: 0.35,
        tolerance: 1e-9,
        unit: "m",
    }],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::OPENINGS).and(Parts::FIXTURES), run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let standing = analysis.items_in_where(space, "stands on the floor", |_, item| {
        item.at.is_some() && item.inside.is_none() && !item.existing
    });
    standing
        .filter_map(|item| Some((item, asked(analysis, space, item)?)))
        .map(|(item, asked)| {
            CHECK.about(space, crate::Subject::item(item), || {
                decide(analysis, space, item, asked)
            })
        })
        .collect()
}

/// What a thing that stands has to keep clear of, if anything.
fn asked(analysis: &Analysis, space: &Space, item: &Item) -> Option<&'static [Why]> {
    match analysis.kit_of(item)? {
        Kit::Loudspeaker(kit) => {
            analysis.zone_of(item)?;
            match kit.form? {
                LoudspeakerForm::Floor | LoudspeakerForm::Stand => Some(Why::ALL),
                LoudspeakerForm::Subwoofer => Some(&[Why::Solid, Why::Way, Why::Sight]),
                _ => None,
            }
        }
        Kit::Cupboard(_) => {
            let has_way = |kind| matches!(kind, OpeningKind::Door | OpeningKind::Archway);
            let is_asked = space.opening.iter().any(|opening| has_way(opening.kind));
            is_asked.then_some(&[Why::Way, Why::Sight])
        }
        _ => None,
    }
}

fn decide(analysis: &Analysis, space: &Space, item: &Item, asked: &[Why]) -> Known<Outcome> {
    let body =
        analysis.kept_of_item("body that stands", item, || analysis.item_body(space, item))?;
    let [width, _, depth] = body.size.each_ref().map(|side| side.value());
    let case = Case {
        item,
        along: body.along.value(),
        half_m: [width / 2.0, depth / 2.0],
        top_m: body.top().value(),
    };
    let floor = Floor::new(analysis, space, &case, &[], asked)?;
    let missing = floor.needs.first().cloned();
    let at = body.centre.in_plan();
    let Some(worst) = floor.nearest(at.value()) else {
        return Err(missing.unwrap_or_else(|| {
            Missing::new(
                format!("where the doorways of {} are", space.label()),
                format!("space.{}.opening", space.id),
                Means::Tape,
            )
        }));
    };
    let gap = uncertainty::through([&at.x, &at.y], |at| worst.clearance(at));
    let limit = LimitValue {
        value: worst.gap_m,
        source: Source::CommonPractice,
    };
    let outcome = Outcome::at_least(gap.clone(), &limit, Dimension::Length);
    if outcome.margin().value() >= 0.0
        && let Some(missing) = missing
    {
        return Err(missing);
    }
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let stands = match gap.value() < 0.0 {
        true => format!("{} into", analysis.length(&gap.abs())),
        false => format!("{} from", analysis.length(&gap)),
    };
    let outcome = outcome
        .because(format!(
            "{} stands {stands} what has to be kept free for {}; at least {} is asked for.",
            item_label(item),
            worst.subject.label,
            analysis.exact(worst.gap_m, Dimension::Length),
        ))
        .caution(Caution::Lifting);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let spread = 1.25 * COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    let things: Vec<KeptOff> = floor.all().collect();
    let spare = |thing: &KeptOff, at: [f64; 2]| thing.clearance(at) - thing.gap_m;
    let good = |[x, y, _]: [f64; 3]| things.iter().all(|thing| spare(thing, [x, y]) > spread);
    let middle = at.at_height(body.centre.z.clone());
    let tracks = Track::of_item(analysis, item, &middle);
    let moves = shortest(tracks.iter().map(|track| track.nearest(analysis, good)));
    Ok((moves.into_iter().take(2)).fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy))))
}

#[cfg(test)]
mod tests {
    //! A case 0.4 × 0.9 × 0.3 m on the floor of the test cinema: 6 × 4 m, screen in the middle of
    //! the west wall, the head at (3, −2, 1.1) m.

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::cinema;
    use crate::testing::{findings, findings_after, told};

    fn text(from_west: &str, from_north: &str, more: &str) -> String {
        cinema(
            "5.1",
            &format!(
                "{more}[[kit.loudspeaker]]\nid = \"tower-t1\"\nform = \"floor\"\nsize = [\"0.4 m\", \"0.9 m\", \"0.3 m\"]\n[[item]]\nid = \"left\"\nis = \"tower-t1\"\nzone = \"film\"\nchannel = \"left\"\nat = {{ from = [\"west\", \"{from_west}\"], and = [\"north\", \"{from_north}\"] }}\n"
            ),
        )
    }

    fn verdict(from_west: &str, from_north: &str) -> Verdict {
        findings(&CHECK, &text(from_west, from_north, ""))[0].verdict
    }

    #[test]
    fn a_place_beside_the_picture_is_clear() {
        // The picture is 2 m wide from 1 m to 3 m: the case ends 0.5 m beside it.
        let found = findings(&CHECK, &text("0.4 m", "3.5 m", ""));
        assert_eq!(found.len(), 1, "{}", told(&found));
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
    }

    #[test]
    fn the_gap_to_the_wall_decides_on_both_sides() {
        // 0.15 m of the case and 0.05 m of air.
        assert_ne!(verdict("0.201 m", "3.5 m"), Verdict::Fails);
        assert_eq!(verdict("0.199 m", "3.5 m"), Verdict::Fails);
    }

    #[test]
    fn a_head_is_kept_clear_of_by_hand() {
        // From the head at 3 m: 0.45 m and half the depth.
        assert_eq!(verdict("3.59 m", "2 m"), Verdict::Fails);
        assert_ne!(verdict("3.61 m", "2 m"), Verdict::Fails);
    }

    #[test]
    fn what_stands_before_the_picture_is_told_and_mended() {
        // Lower edge: 1.3 − 0.5625 = 0.7375 m, below the top at 0.9 m.
        let text = text("1 m", "2 m", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(
            found[0].because.contains("what seat sofa sees"),
            "{}",
            told(&found)
        );
        assert!(!found[0].remedies.is_empty());
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
        }
    }

    #[test]
    fn what_hangs_is_not_asked() {
        let hung = text("1 m", "2 m", "").replace("form = \"floor\"", "form = \"on-wall\"");
        assert!(findings(&CHECK, &hung).is_empty());
    }

    #[test]
    fn a_subwoofer_may_stand_beside_a_head_and_not_in_a_doorway() {
        let sub = |from_west: &str, from_north: &str, more: &str| {
            let text = text(from_west, from_north, more);
            findings(
                &CHECK,
                &text.replace("form = \"floor\"", "form = \"subwoofer\""),
            )
        };
        assert_ne!(sub("3.4 m", "2 m", "")[0].verdict, Verdict::Fails);
        // The case ends 0.2 m short of the middle of a doorway 0.9 m wide in the north wall.
        let door = "[[space.opening]]\nid = \"door\"\nkind = \"door\"\non = { wall = \"north\", from_left = \"3 m\", height = \"0\" }\nsize = [\"0.9 m\", \"2 m\"]\n";
        let found = sub("3.4 m", "0.4 m", door);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        assert!(found[0].because.contains("door"), "{}", told(&found));
    }

    #[test]
    fn a_cupboard_before_a_door_is_told() {
        let cupboard = "[[kit.cupboard]]\nid = \"cupboard-k1\"\nsize = [\"0.6 m\", \"1.5 m\", \"0.5 m\"]\n[[item]]\nid = \"rack\"\nis = \"cupboard-k1\"\nspace = \"den\"\nat = { from = [\"west\", \"3.4 m\"], and = [\"north\", \"0.25 m\"] }\n";
        let about = |more: &str| {
            let found = findings(&CHECK, &text("0.4 m", "3.5 m", more));
            let mut found = found.into_iter().filter(|one| one.subject.id == "rack");
            found.next().map(|one| one.verdict)
        };
        // Against the wall without a gap: nothing is asked where there is no doorway.
        assert_eq!(about(cupboard), None);
        let door = |from_left: &str| {
            about(&format!(
                "[[space.opening]]\nid = \"door\"\nkind = \"door\"\non = {{ wall = \"north\", from_left = \"{from_left}\", height = \"0\" }}\nsize = [\"0.9 m\", \"2 m\"]\n{cupboard}"
            ))
        };
        assert_eq!(door("3 m"), Some(Verdict::Fails));
        // The case ends at 3.7 m.
        assert_eq!(door("4 m"), Some(Verdict::Fits));
    }
}
