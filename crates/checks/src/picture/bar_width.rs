//! Does a bar or centre loudspeaker stay within the picture's width and clear of it?

use analysis::{
    Analysis, Known, Limit, LimitValue, Means, Missing, Parts, Picture, Source, Uncertain,
    WallRect, item_label,
};
use model::{Edit, Item, Kit, LoudspeakerForm, LoudspeakerKit, Space};
use units::Dimension;

use crate::before_wall::{BeforeWall, rects_apart};
use crate::behind::behind;
use crate::moves::{
    Round, from_left, height, least_change, raised_together, text_of, to_spare, written_length,
};
use crate::obstacles::Thing;
use crate::seeing::{headroom, picture_with};
use crate::{Area, Caution, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "bar-width",
    area: Area::Picture,
    proves: "A bar or centre loudspeaker with its bracket ends within the picture's outside edges and keeps a gap to it, also when the display is pulled down.",
    matters: "A bar wider than the picture, or one behind its lower edge, looks like a mistake from every seat, and a display that comes down on it breaks.",
    formula: "overhang = the larger of what stands past the left and past the right outside edge, m; width is the wider of case and bracket, in the middle. gap = free distance up or along the wall between loudspeaker and the picture's outside, m; negative: one covers the other. A loudspeaker on the display's own arm moves along with it. Loudspeakers wholly behind the picture of a projection screen are asked about by behind-screen.",
    source: Source::CommonPractice,
    when_it_fails: "Centre the bar on the picture, move it down or up, hang it on the display's arm, or choose a shorter one.",
    limits: &[&OVERHANG_MAX, &GAP_MIN],
    published: &[],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

static OVERHANG_MAX: Limit = Limit {
    name: "bar_overhang_max",
    meaning: "how far a bar may stand past the picture's outside edge on either side",
    dimension: Dimension::Length,
    value: 0.0,
    source: Source::CommonPractice,
    regional: &[],
};

static GAP_MIN: Limit = Limit {
    name: "bar_gap_min",
    meaning: "the least gap between a bar or centre loudspeaker and the picture's outside",
    dimension: Dimension::Length,
    value: 0.010,
    source: Source::CommonPractice,
    regional: &[],
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut findings = Vec::new();
    for item in analysis.items_in_where(space, "goes with a picture", goes_with_a_picture) {
        let Some(Kit::Loudspeaker(kit)) = analysis.kit_of(item) else {
            continue;
        };
        let Some(shown) = picture_with(analysis, space, item, kit) else {
            continue;
        };
        let subject = Subject::item(item);
        let pair = match Pair::of(analysis, space, item, kit, shown) {
            Ok(pair) => pair,
            Err(missing) => {
                findings.push(CHECK.about(space, subject, || Err(missing)));
                continue;
            }
        };
        if pair.is_behind_screen(analysis, space) {
            continue;
        }
        let both = subject.with(&Subject::item(shown), "and");
        findings.push(CHECK.about(space, subject, || Ok(pair.within(analysis))));
        findings.push(CHECK.about(space, both, || Ok(pair.clear(analysis))));
    }
    findings
}

/// A loudspeaker and the picture that it belongs to.
struct Pair<'a> {
    item: &'a Item,
    kit: &'a LoudspeakerKit,
    shown: &'a Item,
    /// The picture where it covers most of the loudspeaker.
    positions: Vec<(&'static str, Picture)>,
    /// Case and bracket.
    bar: WallRect,
    /// The wider of case and bracket.
    width: Uncertain,
    /// Everything that moves the picture moves the loudspeaker.
    same_arm: bool,
}

impl<'a> Pair<'a> {
    fn of(
        analysis: &'a Analysis,
        space: &'a Space,
        item: &'a Item,
        kit: &'a LoudspeakerKit,
        shown: &'a Item,
    ) -> Known<Self> {
        let parked = analysis.picture(shown)?;
        let wall = parked.outside.wall;
        let thing = Thing::Item(item);
        let case = match thing.wall_rect(analysis, space) {
            Some(rect) => rect?,
            None => {
                let body = thing.body(analysis, space)?;
                BeforeWall::of(analysis, space, wall, &body)?.rect
            }
        };
        if case.wall != wall {
            let what = format!("{} and {} on one wall", item_label(item), item_label(shown));
            let at = format!("item.{}.on.wall", item.id);
            return Err(Missing::new(what, at, Means::Decide));
        }
        let bracket = analysis
            .number(kit.bracket_width.as_ref())
            .unwrap_or_default();
        let width = case.width().max(&bracket);
        let middle = case.centre_left();
        let bar = WallRect {
            left: &middle - &width / 2.0,
            right: &middle + &width / 2.0,
            ..case
        };
        let same_arm = item.mount.is_some() && item.mount == shown.mount;
        let mut positions = vec![("", parked)];
        // On one arm both keep the distance that they have parked.
        if let (false, Some(lowered)) = (same_arm, analysis.picture_pulled_down(shown)) {
            positions.push((" pulled down", lowered?));
        }
        Ok(Self {
            item,
            kit,
            shown,
            positions,
            bar,
            width,
            same_arm,
        })
    }

    fn parked(&self) -> &Picture {
        &self.positions[0].1
    }

    /// Behind a screen's picture, where another check asks about its cloth and depth.
    fn is_behind_screen(&self, analysis: &Analysis, space: &Space) -> bool {
        behind(analysis, space, self.shown, self.parked(), self.item).is_some()
    }

    /// How far the loudspeaker, moved right, stands past the picture's outside edges.
    fn overhang(&self, right_m: f64) -> Uncertain {
        let outside = &self.parked().outside;
        let left = &outside.left - (&self.bar.left + right_m);
        left.max(&(&self.bar.right + right_m - &outside.right))
    }

    fn within(&self, analysis: &Analysis) -> Outcome {
        let limit = analysis.limit(&OVERHANG_MAX);
        let overhang = self.overhang(0.0);
        let outside = &self.parked().outside;
        let by = analysis.length(&overhang.abs());
        let ends = if overhang.value() > 0.0 {
            format!("stands {by} past")
        } else {
            format!("ends {by} short of")
        };
        let sentence = format!(
            "{} with its bracket is {} wide, {} {} on the outside, and {ends} the nearer edge.",
            item_label(self.item),
            analysis.length(&self.width),
            item_label(self.shown),
            analysis.length(&outside.width()),
        );
        let outcome = Outcome::at_most(overhang, &limit, Dimension::Length).because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return outcome;
        }
        outcome
            .remedy(self.centre_it(analysis, &limit))
            .remedy(self.shorter(analysis, &limit))
    }

    fn centre_it(&self, analysis: &Analysis, limit: &LimitValue) -> Option<Remedy> {
        let spare = |right_m: f64| to_spare(&(limit.value - self.overhang(right_m)), 0.0);
        let right_m = (self.parked().outside.centre_left() - self.bar.centre_left()).value();
        // A tape's step to either side still serves.
        let step_m = 0.003;
        let serves = spare(right_m + step_m).min(spare(right_m - step_m)) >= 0.0;
        let old_m = self.item.on.as_ref()?.from_left.as_ref()?.value()?;
        if !serves {
            return None;
        }
        let edit = from_left(analysis, self.item, old_m + right_m, Round::Nearest);
        let says = format!(
            "Centre {} on {}, at {} from the left corner.",
            item_label(self.item),
            item_label(self.shown),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]))
    }

    /// Another loudspeaker that ends within both edges where this one hangs.
    fn shorter(&self, analysis: &Analysis, limit: &LimitValue) -> Option<Remedy> {
        let width_m = self.width.value();
        let shrunk = |by: f64| to_spare(&(limit.value - (self.overhang(0.0) - by / 2.0)), 0.0);
        let by_m = least_change(width_m * 0.9, shrunk)?;
        if let Some(other) = self.of_the_same_sort(analysis, width_m - by_m) {
            let says = format!("Use {} in place of {}.", other, self.item.is);
            let edit = Edit::set(format!("item.{}.is", self.item.id), other);
            return Some(Remedy::new(says, vec![edit]).caution(Caution::Drilling));
        }
        let text = written_length(analysis, width_m - by_m, Round::Down);
        let path = format!("kit.loudspeaker.{}", self.item.is);
        let mut edits = Vec::new();
        let wider =
            |length: &model::Length| length.value().is_some_and(|length| length > width_m - by_m);
        if self
            .kit
            .common
            .size
            .as_ref()
            .is_some_and(|size| wider(&size[0]))
        {
            edits.push(Edit::set(format!("{path}.size.0"), text.clone()));
        }
        if self.kit.bracket_width.as_ref().is_some_and(wider) {
            edits.push(Edit::set(format!("{path}.bracket_width"), text.clone()));
        }
        let says = format!(
            "Choose a loudspeaker and bracket no wider than {text} in place of {}.",
            self.item.is
        );
        Some(Remedy::new(says, edits))
    }

    /// The widest bar of the catalogue that may take this one's place.
    fn of_the_same_sort(&self, analysis: &'a Analysis, most_m: f64) -> Option<&'a str> {
        let width = |kit: &LoudspeakerKit| {
            let case = analysis.number(Some(&kit.common.size.as_ref()?[0]))?;
            let bracket = analysis.number(kit.bracket_width.as_ref());
            Some(
                case.value()
                    .max(bracket.map_or(0.0, |bracket| bracket.value())),
            )
        };
        (analysis.catalogue().loudspeaker.iter())
            .filter(|kit| kit.form == self.kit.form && kit.channels == self.kit.channels)
            .filter(|kit| kit.form == Some(LoudspeakerForm::Bar))
            .filter_map(|kit| Some((width(kit)?, kit.common.id.as_str())))
            .filter(|(width_m, _)| *width_m <= most_m)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, id)| id)
    }

    /// The least gap over the picture's positions with loudspeaker and picture moved up.
    fn gap(&self, bar_up_m: f64, picture_up_m: f64) -> (Uncertain, &'static str) {
        let bar = WallRect {
            bottom: &self.bar.bottom + bar_up_m,
            top: &self.bar.top + bar_up_m,
            ..self.bar.clone()
        };
        self.positions
            .iter()
            .map(|(position, picture)| {
                let outside = WallRect {
                    bottom: &picture.outside.bottom + picture_up_m,
                    top: &picture.outside.top + picture_up_m,
                    ..picture.outside.clone()
                };
                (rects_apart(&bar, &outside), *position)
            })
            .min_by(|(a, _), (b, _)| a.value().total_cmp(&b.value()))
            .expect("there is the parked position")
    }

    fn clear(&self, analysis: &Analysis) -> Outcome {
        let limit = analysis.limit(&GAP_MIN);
        let (gap, position) = self.gap(0.0, 0.0);
        let name = item_label(self.item);
        let shown = item_label(self.shown);
        let needed = analysis.exact(limit.value, Dimension::Length);
        let sentence = if gap.value() < 0.0 {
            let by = analysis.length(&-&gap);
            format!(
                "{shown}{position} and {name} cover each other by {by}; {needed} apart is the least."
            )
        } else {
            let by = analysis.beside(&gap, limit.value, Dimension::Length);
            format!("{name} is {by} from the outside of {shown}{position}; {needed} is the least.")
        };
        let spare = |(gap, _): (Uncertain, &str)| to_spare(&(gap - limit.value), 0.0);
        let outcome = Outcome::at_least(gap, &limit, Dimension::Length)
            .because(sentence)
            .caution(Caution::Drilling);
        if !outcome.asks_for_remedies(analysis) {
            return outcome;
        }
        outcome
            .remedy(self.move_bar(analysis, |up| spare(self.gap(up, 0.0))))
            .remedy(self.raise_picture(analysis, |up| spare(self.gap(0.0, up))))
            .remedy(self.on_the_arm(spare))
    }

    /// Down below the picture, or up above it, whichever side it is on.
    fn move_bar(&self, analysis: &Analysis, spare: impl Fn(f64) -> f64) -> Option<Remedy> {
        let outside = &self.parked().outside;
        let is_below = self.bar.centre_height().value() <= outside.centre_height().value();
        let (sign, most, round, word) = if is_below {
            (-1.0, self.bar.bottom.value(), Round::Down, "lower")
        } else {
            (1.0, 1.0, Round::Up, "higher")
        };
        let by_m = least_change(most.max(0.0), |by| spare(sign * by))?;
        let old_m = self.item.on.as_ref()?.height.as_ref()?.value()?;
        let edit = height(analysis, self.item, old_m + sign * by_m, round);
        let says = format!(
            "Hang {} {} {word}, at {}.",
            item_label(self.item),
            written_length(analysis, by_m, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]).caution(Caution::Drilling))
    }

    /// Lifts the picture off a loudspeaker below it.
    fn raise_picture(&self, analysis: &Analysis, spare: impl Fn(f64) -> f64) -> Option<Remedy> {
        let outside = &self.parked().outside;
        if self.bar.centre_height().value() > outside.centre_height().value() {
            return None;
        }
        let space = analysis.space_of(self.shown).ok()?;
        let room_m = headroom(analysis, space, self.parked());
        let by_m = least_change(room_m, spare)?;
        let edits = raised_together(analysis, self.shown, by_m, Some(self.item))?;
        let says = format!(
            "Hang {} {} higher, at {}.",
            item_label(self.shown),
            written_length(analysis, by_m, Round::Up),
            text_of(&edits[0]),
        );
        Some(Remedy::new(says, edits).caution(Caution::Lifting))
    }

    /// Carried by the display's arm, it gives way to the display as that comes down.
    fn on_the_arm(&self, spare: impl Fn((Uncertain, &'static str)) -> f64) -> Option<Remedy> {
        let arm = self.shown.mount.as_ref()?;
        let parked = rects_apart(&self.bar, &self.parked().outside);
        if self.same_arm || self.positions.len() < 2 || spare((parked, "")) < 0.0 {
            return None;
        }
        let says = format!(
            "Hang {} on {arm}, which carries {}, so that both come down together.",
            item_label(self.item),
            item_label(self.shown),
        );
        let edit = Edit::set(format!("item.{}.mount", self.item.id), arm.clone());
        Some(Remedy::new(says, vec![edit]).caution(Caution::Lifting))
    }
}

fn goes_with_a_picture(analysis: &Analysis, item: &Item) -> bool {
    let space = analysis.space_with(item, Parts::NONE);
    match (analysis.kit_of(item), space) {
        (Some(Kit::Loudspeaker(kit)), Ok(space)) => {
            picture_with(analysis, space, item, kit).is_some()
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    //! A bar under a display, on the wall and on the display's arm.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// Display 1.2 m by 0.7 m from 1.4 to 2.6 m, lower edge 1.15 m; bar 100 mm high.
    fn room(width: &str, from_left: &str, height: &str, extra: &str) -> String {
        format!(
            r#"
[[kit.display]]
id = "display-d1"
diagonal = "1.3 m"
size = ["1.2 m", "0.7 m", "50 mm"]
[[kit.mount]]
id = "arm-a1"
standoff = "50 mm"
reach = "400 mm"
pull_down = "300 mm"
[[kit.loudspeaker]]
id = "bar-b1"
form = "bar"
size = ["{width}", "100 mm", "90 mm"]
bracket_width = "0.9 m"
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
on = {{ wall = "west", from_left = "2 m", height = "1.5 m" }}
{extra}
[[item]]
id = "bar"
is = "bar-b1"
on = {{ wall = "west", from_left = "{from_left}", height = "{height}" }}
"#
        )
    }

    fn verdicts(text: &str) -> Vec<Verdict> {
        findings(&CHECK, text).iter().map(|f| f.verdict).collect()
    }

    #[test]
    fn a_shorter_bar_below_fits() {
        // (1.2 − 1.1) / 2 = 50 mm at either end; top edge 1.05 m, 100 mm below 1.15 m.
        let found = findings(&CHECK, &room("1.1 m", "2 m", "1.0 m", ""));
        expect![[r#"
            bar: fits +0.050: bar with its bracket is 1.1 m wide, display 1.2 m on the outside, and ends 50 mm short of the nearer edge.
            bar and display: fits +0.090: bar is 100 mm from the outside of display; 10 mm is the least.
        "#]].assert_eq(&told(&found));
    }

    #[test]
    fn both_edges_hold_from_both_sides() {
        use Verdict::{Fails, Fits};
        assert_eq!(verdicts(&room("1.198 m", "2 m", "1 m", ""))[0], Fits);
        assert_eq!(verdicts(&room("1.202 m", "2 m", "1 m", ""))[0], Fails);
        assert_eq!(verdicts(&room("1.1 m", "2.049 m", "1 m", ""))[0], Fits);
        assert_eq!(verdicts(&room("1.1 m", "1.949 m", "1 m", ""))[0], Fails);
    }

    #[test]
    fn the_bracket_counts_where_it_is_wider() {
        let text = room("1.1 m", "2 m", "1 m", "").replace("\"0.9 m\"", "\"1.25 m\"");
        assert_eq!(verdicts(&text)[0], Verdict::Fails);
    }

    #[test]
    fn the_gap_holds_from_both_sides() {
        // 10 mm below 1.15 m with half of 100 mm: 1.090 m.
        assert_eq!(
            verdicts(&room("1.1 m", "2 m", "1.089 m", ""))[1],
            Verdict::Fits
        );
        assert_eq!(
            verdicts(&room("1.1 m", "2 m", "1.091 m", ""))[1],
            Verdict::Fails
        );
        // Above: from 1.85 + 0.01 + 0.05 = 1.910 m.
        assert_eq!(
            verdicts(&room("1.1 m", "2 m", "1.911 m", ""))[1],
            Verdict::Fits
        );
        assert_eq!(
            verdicts(&room("1.1 m", "2 m", "1.909 m", ""))[1],
            Verdict::Fails
        );
    }

    #[test]
    fn a_display_that_comes_down_covers_a_bar_on_the_wall() {
        let text = room("1.1 m", "2 m", "1.0 m", "mount = \"arm\"");
        assert_eq!(verdicts(&text)[1], Verdict::Fails);
        // On the same arm both come down.
        let text = text.replace("is = \"bar-b1\"", "is = \"bar-b1\"\nmount = \"arm\"");
        assert_eq!(verdicts(&text)[1], Verdict::Fits);
    }

    #[test]
    fn a_bar_measured_by_pacing_is_tight() {
        let text = room("1.1 m", "2 m ± 60 mm", "1.06 m ± 60 mm", "");
        assert_eq!(verdicts(&text), [Verdict::Tight, Verdict::Tight]);
    }

    #[test]
    fn without_a_size_nothing_is_claimed() {
        let text = room("?", "2 m", "1 m", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.loudspeaker.bar-b1.size");
    }

    #[test]
    fn a_shorter_bar_of_the_catalogue_is_named() {
        let shorter = "[[kit.loudspeaker]]\nid = \"bar-b0\"\nform = \"bar\"\nsize = [\"1.15 m\", \"100 mm\", \"90 mm\"]\n[[item]]\nid = \"arm\"";
        let text = room("1.3 m", "2 m", "1.0 m", "").replacen("[[item]]\nid = \"arm\"", shorter, 1);
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        assert_eq!(remedy.says, "Use bar-b0 in place of bar-b1.");
        assert_eq!(
            findings_after(&CHECK, &text, &remedy.edits)[0].verdict,
            Verdict::Fits
        );
        // One with fewer channels is another thing.
        let stereo = text.replace("id = \"bar-b0\"", "id = \"bar-b0\"\nchannels = 2");
        let remedy = &findings(&CHECK, &stereo)[0].remedies[0];
        assert!(
            remedy.says.starts_with("Choose a loudspeaker"),
            "{}",
            remedy.says
        );
    }

    #[test]
    fn a_frame_before_a_centre_in_the_wall_covers_it() {
        // Picture 2 × 1.125 m, its lower edge at 0.9375 m; the frame reaches 80 mm lower.
        let screen = |height: &str| {
            format!(
                r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.loudspeaker]]
id = "centre-c1"
form = "in-wall"
size = ["500 mm", "200 mm", "90 mm"]
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.5 m" }}
[[item]]
id = "centre"
is = "centre-c1"
channel = "centre"
on = {{ wall = "west", from_left = "2 m", height = "{height}" }}
"#
            )
        };
        // Behind the cloth from 0.94 to 1.14 m; half behind the frame from 0.84 m.
        assert!(findings(&CHECK, &screen("1.04 m")).is_empty());
        let found = findings(&CHECK, &screen("0.94 m"));
        assert_eq!(found[1].verdict, Verdict::Fails, "{}", told(&found));
    }

    #[test]
    fn other_loudspeakers_are_no_question() {
        let text = room("1.1 m", "2 m", "1 m", "").replace("form = \"bar\"", "form = \"on-wall\"");
        assert!(findings(&CHECK, &text).is_empty());
        let centre = text.replace("is = \"bar-b1\"", "is = \"bar-b1\"\nchannel = \"centre\"");
        assert_eq!(findings(&CHECK, &centre).len(), 2);
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        for (text, remedies) in [
            (room("1.3 m", "2 m", "1.0 m", ""), 1),
            (room("1.1 m", "2.2 m", "1.0 m", ""), 2),
            (room("1.1 m", "2 m", "1.12 m", ""), 2),
            (room("1.1 m", "2 m", "1.06 m ± 60 mm", ""), 2),
            (room("1.1 m", "2 m", "1.9 m", ""), 1),
            (room("1.1 m", "2 m", "1.0 m", "mount = \"arm\""), 3),
        ] {
            let found = findings(&CHECK, &text);
            let total: usize = found.iter().map(|finding| finding.remedies.len()).sum();
            assert_eq!(total, remedies, "{}", told(&found));
            for (index, finding) in found.iter().enumerate() {
                for remedy in &finding.remedies {
                    let after = findings_after(&CHECK, &text, &remedy.edits);
                    let verdict = after[index].verdict;
                    assert_eq!(verdict, Verdict::Fits, "{} {}", remedy.says, told(&after));
                }
            }
        }
    }
}
