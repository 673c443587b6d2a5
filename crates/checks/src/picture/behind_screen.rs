//! Can a loudspeaker play through the screen that it stands behind?

use analysis::{
    Analysis, Known, Limit, LimitValue, Means, Missing, Parts, Source, Uncertain, item_label,
};
use model::{Edit, Item, Kit, ScreenKit, Space};
use units::Dimension;

use crate::behind::{Behind, behind};
use crate::moves::{Placed, Round, least_change, text_of, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "behind-screen",
    area: Area::Picture,
    proves: "A loudspeaker behind a projection screen's picture plays through cloth that lets sound pass, with enough free depth between its front and the cloth.",
    matters: "Plain cloth swallows the treble of what plays behind it, and a loudspeaker that touches the cloth shows as a bulge and rattles; both are found when the screen is stretched and the wall is closed.",
    formula: "gap = c − p; c: from the wall to the cloth, m (for a drop-down screen the middle of its case, where the sheet says nothing); p: how far the loudspeaker's front stands out of the wall, m; nothing for one in the wall. The least gap is the cloth maker's, else the limit here. Loudspeakers that lie wholly within the lit picture are asked about; those that cross its edge are told by bar-width and picture-clear. What the cloth takes off the treble is a matter of its sheet and of tuning.",
    source: Source::CommonPractice,
    when_it_fails: "Choose cloth that lets sound through, hang the screen on spacers, set the loudspeaker into the wall, or move it below the picture.",
    limits: &[&GAP_MIN],
    published: &[],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

static GAP_MIN: Limit = Limit {
    name: "behind_screen_gap_min",
    meaning: "the least free depth between a loudspeaker's front and the cloth before it, where the cloth's maker states none",
    dimension: Dimension::Length,
    value: 0.050,
    source: Source::CommonPractice,
    regional: &[],
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut findings = Vec::new();
    for screen in analysis.pictures_in(space) {
        let Some(Kit::Screen(kit)) = analysis.kit_of(screen) else {
            continue;
        };
        // A screen that has no place yet is asked for by the check of its outside.
        let Ok(picture) = analysis.picture(screen) else {
            continue;
        };
        let wall = picture.lit.wall;
        let question = "may be behind a picture";
        for item in analysis.items_in_where_and(space, question, wall, may_be_behind) {
            let Some(found) = behind(analysis, space, screen, &picture, item) else {
                continue;
            };
            let subject = Subject::item(item).with(&Subject::item(screen), "behind");
            findings.push(CHECK.about(space, subject, || {
                decide(analysis, space, (screen, kit), item, &found)
            }));
        }
    }
    findings
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    (screen, kit): (&Item, &ScreenKit),
    item: &Item,
    found: &Behind,
) -> Known<Outcome> {
    let (name, shown) = (item_label(item), item_label(screen));
    let through = kit.sound_through.ok_or_else(|| {
        let what = format!("whether the cloth of {} lets sound through", screen.is);
        let at = format!("kit.screen.{}.sound_through", screen.is);
        Missing::new(what, at, Means::SpecSheet)
    })?;
    if !through {
        let sentence = format!(
            "{name} lies behind the picture of {shown}, whose cloth lets no sound through: none of its front is free."
        );
        let none = Uncertain::exact(0.0);
        let outcome = Outcome::with_margin(
            none,
            1.0,
            Uncertain::exact(-1.0),
            Dimension::Ratio,
            Source::SpecSheet,
        )
        .because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        return Ok(outcome
            .remedy(other_cloth(analysis, screen, kit))
            .remedy(below(analysis, space, screen, item)));
    }
    let cloth = analysis.cloth_off(screen)?;
    let limit = match analysis.number(kit.air_gap.as_ref()) {
        Some(gap) => LimitValue {
            value: gap.value(),
            source: Source::SpecSheet,
        },
        None => analysis.limit(&GAP_MIN),
    };
    let gap = &cloth - &found.front;
    let sentence = format!(
        "The front of {name} stands {} out of the wall and the cloth of {shown} hangs {} off it: {}; {} is the least.",
        analysis.length(&found.front),
        analysis.length(&cloth),
        if gap.value() < 0.0 {
            format!("it pushes {} into the cloth", analysis.length(&-&gap))
        } else {
            format!(
                "{} are free",
                analysis.beside(&gap, limit.value, Dimension::Length)
            )
        },
        analysis.exact(limit.value, Dimension::Length),
    );
    let outcome = Outcome::at_least(gap.clone(), &limit, Dimension::Length).because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome
        .remedy(spacers(analysis, screen, &cloth, |by| {
            to_spare(&(&gap + by - limit.value), 0.0)
        }))
        .remedy(below(analysis, space, screen, item)))
}

/// The cloth farther off the wall.
fn spacers(
    analysis: &Analysis,
    screen: &Item,
    cloth: &Uncertain,
    spare: impl Fn(f64) -> f64,
) -> Option<Remedy> {
    /// Farther, and the frame needs a wall of its own: common practice, no source.
    const MOST_M: f64 = 0.4;
    let by_m = least_change(MOST_M, spare)?;
    let text = written_length(analysis, cloth.value() + by_m, Round::Up);
    let says = format!(
        "Hang {} on spacers or a false wall {} deeper, so that its cloth is {text} off the wall.",
        item_label(screen),
        written_length(analysis, by_m, Round::Up),
    );
    let edit = Edit::set(format!("kit.screen.{}.cloth_off", screen.is), text);
    Some(
        Remedy::new(says, vec![edit])
            .caution(Caution::Drilling)
            .caution(Caution::Lifting),
    )
}

/// A screen of the catalogue that lets sound through, nearest in size; else the same one with
/// other cloth.
fn other_cloth(analysis: &Analysis, screen: &Item, kit: &ScreenKit) -> Option<Remedy> {
    let diagonal = |kit: &ScreenKit| Some(analysis.number(kit.diagonal.as_ref())?.value());
    let aspect = |kit: &ScreenKit| Some(analysis.number(kit.aspect.as_ref())?.value());
    let now = diagonal(kit);
    let other = (analysis.catalogue().screen.iter())
        .filter(|other| other.sound_through == Some(true) && aspect(other) == aspect(kit))
        .filter_map(|other| Some((other, (diagonal(other)? - now?).abs())))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((other, _)) = other {
        let id = &other.common.id;
        let says = format!(
            "Choose {}, whose cloth lets sound through, in place of {}.",
            other.common.name.as_deref().unwrap_or(id),
            screen.is
        );
        let edit = Edit::set(format!("item.{}.is", screen.id), id.clone());
        return Some(Remedy::new(says, vec![edit]).caution(Caution::Lifting));
    }
    let says = format!(
        "Order {} with cloth that lets sound through; its sheet then says gain and the depth that it needs.",
        screen.is
    );
    let edit = Edit::set(format!("kit.screen.{}.sound_through", screen.is), true);
    Some(Remedy::new(says, vec![edit]))
}

/// Below the outside of the screen, where it has room.
fn below(analysis: &Analysis, space: &Space, screen: &Item, item: &Item) -> Option<Remedy> {
    /// Clear of the frame: common practice, no source.
    const CLEAR_M: f64 = 0.02;
    let outside = analysis.picture(screen).ok()?.outside;
    let rect = crate::obstacles::Thing::Item(item)
        .wall_rect(analysis, space)?
        .ok()?;
    let by_m = rect.top.value() - outside.bottom.value() + CLEAR_M;
    if by_m <= 0.0 || rect.bottom.value() < by_m {
        return None;
    }
    let edit = Placed::item(analysis, item)?.raised(analysis, -by_m)?;
    let says = format!(
        "Move {} below the screen, {} down, to {}.",
        item_label(item),
        written_length(analysis, by_m, Round::Up),
        text_of(&edit),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Drilling))
}

/// Whether it is a loudspeaker on the picture's wall, or one that stands: of others that alone is
/// noted.
fn may_be_behind(analysis: &Analysis, item: &Item, wall: usize) -> bool {
    let is_there = match &item.on {
        Some(on) => (analysis.space_with(item, Parts::NONE))
            .is_ok_and(|space| space.wall(&on.wall) == Some(wall)),
        None => item.at.is_some(),
    };
    is_there && matches!(analysis.kit_of(item), Some(Kit::Loudspeaker(_)))
}

#[cfg(test)]
mod tests {
    //! A centre loudspeaker behind the middle of a screen.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// A 2 m wide 16:9 picture round 1.3 m: lit from 0.7375 to 1.8625 m.
    fn room(form: &str, screen: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
{screen}
[[kit.loudspeaker]]
id = "centre-c1"
form = "{form}"
size = ["500 mm", "200 mm", "120 mm"]
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "north", from_left = "3 m", height = "1.3 m" }}
[[item]]
id = "centre"
is = "centre-c1"
channel = "centre"
on = {{ wall = "north", from_left = "3 m", height = "1.1 m" }}
"#
        )
    }

    const WOVEN: &str = "sound_through = true\ncloth_off = \"180 mm\"";

    #[test]
    fn an_on_wall_loudspeaker_with_room_before_it() {
        expect![[r#"
            centre behind screen: fits +0.010: The front of centre stands 120 mm out of the wall and the cloth of screen hangs 180 mm off it: 60 mm are free; 50 mm is the least.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &room("on-wall", WOVEN))));
        // In the wall its front stands nowhere: 180 − 0 mm.
        let found = findings(&CHECK, &room("in-wall", WOVEN));
        assert!((found[0].value.as_ref().expect("decided").value() - 0.18).abs() < 1e-9);
    }

    #[test]
    fn the_gap_holds_from_both_sides_and_the_makers_comes_first() {
        let verdict = |screen: &str| findings(&CHECK, &room("on-wall", screen))[0].verdict;
        assert_eq!(
            verdict("sound_through = true\ncloth_off = \"171 mm\""),
            Verdict::Fits
        );
        assert_eq!(
            verdict("sound_through = true\ncloth_off = \"169 mm\""),
            Verdict::Fails
        );
        assert_eq!(
            verdict("sound_through = true\ncloth_off = \"171 mm ± 5 mm\""),
            Verdict::Tight
        );
        let asked = format!("{WOVEN}\nair_gap = \"61 mm\"");
        assert_eq!(verdict(&asked), Verdict::Fails);
    }

    #[test]
    fn a_drop_down_screen_hangs_in_the_middle_of_its_case() {
        // Case 140 mm deep: the cloth at 70 mm, the loudspeaker's front at 120 mm.
        let case = "form = \"drop-down\"\nsound_through = true\nblack_drop = \"200 mm\"\ncase = [\"2.2 m\", \"120 mm\", \"140 mm\"]";
        let found = findings(&CHECK, &room("on-wall", case));
        let value = found[0].value.as_ref().expect("decided").value();
        assert!((value + 0.05).abs() < 1e-9, "{}", told(&found));
    }

    #[test]
    fn what_the_sheet_does_not_say_is_asked_for() {
        let asked = |screen: &str| {
            let found = findings(&CHECK, &room("on-wall", screen));
            assert_eq!(found[0].verdict, Verdict::Unknown);
            found[0].needs[0].at.clone()
        };
        assert_eq!(asked(""), "kit.screen.screen-s1.sound_through");
        assert_eq!(
            asked("sound_through = true"),
            "kit.screen.screen-s1.cloth_off"
        );
    }

    #[test]
    fn a_loudspeaker_beside_the_picture_is_no_question() {
        let text = room("on-wall", WOVEN).replace("height = \"1.1 m\"", "height = \"0.8 m\"");
        assert!(findings(&CHECK, &text).is_empty());
    }

    #[test]
    fn each_remedy_mends_it_or_ends_the_question() {
        for screen in [
            "sound_through = false\ncloth_off = \"180 mm\"",
            "sound_through = true\ncloth_off = \"120 mm\"",
        ] {
            let text = room("on-wall", screen);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].verdict, Verdict::Fails);
            assert_eq!(found[0].remedies.len(), 2, "{}", told(&found));
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                let mended = after.iter().all(|after| after.verdict == Verdict::Fits);
                assert!(mended, "{}: {}", remedy.says, told(&after));
            }
        }
    }
}
