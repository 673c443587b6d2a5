//! How large is the picture of every aspect that is watched, and what is left round it?

use analysis::{Analysis, Limit, Parts, Picture, Source, Uncertain, item_label};
use model::{Edit, Item, Kit, Masks, ScreenKit, Seat, Space};
use units::Dimension;

use super::picture_angle::ANGLE_MIN;
use crate::moves::{Round, least_change, picture_width, text_of, to_spare, written_length};
use crate::seats_apart::{SEAT_APART_MIN, moved_seat};
use crate::seeing::{Watched, moved};
use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "shown-aspect",
    area: Area::Picture,
    proves: "Films of every aspect that the job names are large enough from the farthest seat, and no great part of the screen stays grey round them without a mask.",
    matters: "A wide screen shows television small and a television screen shows wide films small; whoever was promised both notices the second on the first evening.",
    formula: "Picture of aspect a on a screen W × H: w = min(W, H a), h = w / a. φ as in picture-angle, from the seat that sees it smallest. Bars: 1 − w h / (W H) of the screen, at the sides where a is below W/H, above and below where it is more; masks on those edges hide them. Masks at the sides keep every picture as high as the screen, masks above and below as wide.",
    source: Source::Derived {
        from: "the largest rectangle of an aspect in another",
    },
    when_it_fails: "Choose the screen's aspect for what is watched most, a larger screen, or masks.",
    limits: &[&ANGLE_MIN, &BARS_MAX, &SEAT_APART_MIN],
    published: &[
        Published {
            cite: "2.39:1 within 16:9: 16/9/2.39 = 74.4 % of the height, 25.6 % left (computed)",
            computed: || bars(16.0 / 9.0, 2.39),
            expected: 0.256,
            tolerance: 5e-4, // Three printed digits.
            unit: "1",
        },
        Published {
            cite: "4:3 within 16:9: three quarters of the width, a quarter left (computed)",
            computed: || bars(16.0 / 9.0, 4.0 / 3.0),
            expected: 0.25,
            tolerance: 1e-12, // Exact.
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

static BARS_MAX: Limit = Limit {
    name: "unmasked_bars_max",
    meaning: "the greatest share of a screen that stays grey round a picture without a mask",
    dimension: Dimension::Ratio,
    value: 0.30,
    source: Source::CommonPractice,
    regional: &[],
};

/// The share of a screen of an aspect that a picture of another leaves.
fn bars(screen: f64, shown: f64) -> f64 {
    let chip = |aspect: f64| optics::Aspect::new(aspect);
    match (chip(screen), chip(shown)) {
        (Some(chip), Some(picture)) => 1.0 - optics::size::Letterbox { chip, picture }.lit().area(),
        _ => f64::NAN,
    }
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let watched = match Watched::of(analysis, space) {
        Some(Ok(watched)) => Some(watched),
        // What is faced but not placed yet is asked for by the checks of seats.
        Some(Err(_)) | None => None,
    };
    let mut findings = Vec::new();
    for item in analysis.pictures_in(space) {
        let Some(Kit::Screen(kit)) = analysis.kit_of(item) else {
            continue;
        };
        let Ok(screen) = analysis.picture(item) else {
            continue;
        };
        let watched = watched
            .as_ref()
            .filter(|watched| watched.item.id == item.id);
        for text in item.shows.iter().flatten() {
            let Some(aspect) = text.value() else {
                continue;
            };
            let shown = Shown {
                analysis,
                space,
                item,
                kit,
                screen: &screen,
                words: text.text(),
                aspect,
            };
            let subject = Subject::item(item).with(
                &Subject::new(format!("aspect-{}", text.text()), text.text()),
                "showing",
            );
            if let Some(watched) = watched {
                findings.push(CHECK.about(space, subject.clone(), || shown.size(watched)));
            }
            if !shown.is_masked() {
                let bars = subject.with(&Subject::new("bars", "grey bars"), "with");
                findings.push(CHECK.about(space, bars, || Ok(shown.bars())));
            }
        }
    }
    findings
}

/// A picture of one aspect on a screen.
struct Shown<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    item: &'a Item,
    kit: &'a ScreenKit,
    screen: &'a Picture,
    words: &'a str,
    aspect: f64,
}

impl Shown<'_> {
    /// The largest rectangle of the aspect in the middle of a screen.
    fn on(&self, screen: &Picture) -> Picture {
        let mut shown = screen.clone();
        let lit = optics::size::Letterbox {
            chip: optics::Aspect::new(screen.aspect).expect("a screen with sides"),
            picture: optics::Aspect::new(self.aspect).expect("the reader refuses others"),
        }
        .lit();
        let [across, up] = [screen.width() * lit.columns, screen.height() * lit.rows];
        let (left, height) = (screen.lit.centre_left(), screen.lit.centre_height());
        shown.lit.left = &left - &across / 2.0;
        shown.lit.right = &left + &across / 2.0;
        shown.lit.bottom = &height - &up / 2.0;
        shown.lit.top = &height + &up / 2.0;
        shown.aspect = self.aspect;
        shown
    }

    /// Whether masks hide what it leaves, or it leaves nothing.
    fn is_masked(&self) -> bool {
        /// Closer than this, nobody sees a bar.
        const SAME: f64 = 0.005;
        let ratio = self.aspect / self.screen.aspect;
        match self.kit.masks {
            _ if (ratio - 1.0).abs() < SAME => true,
            Some(Masks::All) => true,
            Some(Masks::Sides) => ratio < 1.0,
            Some(Masks::TopAndBottom) => ratio > 1.0,
            None => false,
        }
    }

    fn size(&self, watched: &Watched) -> Known<Outcome> {
        let analysis = self.analysis;
        let picture = self.on(self.screen);
        let (seat, angle) = self.smallest(watched, &picture)?;
        let limit = analysis.limit(&ANGLE_MIN);
        let sentence = format!(
            "In {} the picture on {} is {} × {} and fills {} from seat {}, which sees it smallest; {} is the least.",
            self.words,
            item_label(self.item),
            analysis.length(&picture.width()),
            analysis.length(&picture.height()),
            analysis.beside(&angle, limit.value, Dimension::Angle),
            seat.id,
            analysis.exact(limit.value, Dimension::Angle),
        );
        let outcome = Outcome::at_least(angle, &limit, Dimension::Angle).because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        let spare = |angle: &Uncertain| to_spare(&(angle - limit.value), 0.0);
        Ok(outcome
            .remedy(self.larger(watched, spare))
            .remedy(self.nearer(watched, &picture, seat, spare)))
    }

    /// The seat that sees it smallest, and under which angle.
    fn smallest<'s>(
        &'s self,
        watched: &Watched,
        picture: &Picture,
    ) -> Known<(&'s Seat, Uncertain)> {
        let mut least: Option<(&Seat, Uncertain)> = None;
        for (seat, place) in self.analysis.seats_in(self.space) {
            let angle = watched
                .angle(picture, &place?.eye, optics::Picture::horizontal_angle)
                .ok_or_else(|| crate::seeing::not_before(self.space, seat))?;
            if least.as_ref().is_none_or(|(_, least)| angle < *least) {
                least = Some((seat, angle));
            }
        }
        Ok(least.expect("a picture that is watched has seats before it"))
    }

    /// A larger screen of the same aspect.
    fn larger(&self, watched: &Watched, spare: impl Fn(&Uncertain) -> f64) -> Option<Remedy> {
        let width = self.screen.width();
        let by = least_change(1.0, |by| {
            let mut screen = self.screen.clone();
            let (across, up) = (&width * (by / 2.0), self.screen.height() * (by / 2.0));
            screen.lit.left = &screen.lit.left - &across;
            screen.lit.right = &screen.lit.right + &across;
            screen.lit.bottom = &screen.lit.bottom - &up;
            screen.lit.top = &screen.lit.top + &up;
            let smallest = self.smallest(watched, &self.on(&screen));
            smallest.map_or(-1.0, |(_, angle)| spare(&angle))
        })?;
        let (words, edits) = picture_width(
            self.analysis,
            self.item,
            self.screen,
            width.value() * (1.0 + by),
            Round::Up,
        )?;
        let says = format!("Order {} larger, with {words}.", item_label(self.item));
        Some(Remedy::new(says, edits))
    }

    /// The seat that sees it smallest moved towards it.
    fn nearer(
        &self,
        watched: &Watched,
        picture: &Picture,
        seat: &Seat,
        spare: impl Fn(&Uncertain) -> f64,
    ) -> Option<Remedy> {
        let place = self.analysis.seat(self.space, seat).ok()?;
        let [x, y] = picture.face.normal.value();
        let distance = (&place.eye - &picture.centre).norm().value();
        let by_m = least_change(distance * 0.6, |by| {
            let eye = moved(&place.eye, [-x, -y], by);
            let angle = watched.angle(picture, &eye, optics::Picture::horizontal_angle);
            angle.map_or(-1.0, |angle| spare(&angle))
        })?;
        // Whoever sits as far away is asked about next.
        let edit = moved_seat(self.analysis, (self.space, seat), [-x, -y], by_m, Round::Up)?;
        let says = format!(
            "Move seat {} {} towards the picture, to {} from the wall that it is measured from.",
            seat.id,
            written_length(self.analysis, by_m, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]))
    }

    fn bars(&self) -> Outcome {
        let analysis = self.analysis;
        let share = bars(self.screen.aspect, self.aspect);
        let limit = analysis.limit(&BARS_MAX);
        let (where_, masks) = if self.aspect < self.screen.aspect {
            ("at its sides", "sides")
        } else {
            ("above and below", "top-and-bottom")
        };
        let sentence = format!(
            "A picture in {} leaves {} of {} grey {where_}, and it has no mask there; {} is the most.",
            self.words,
            analysis.exact(share, Dimension::Ratio),
            item_label(self.item),
            analysis.exact(limit.value, Dimension::Ratio),
        );
        let outcome = Outcome::at_most(share.into(), &limit, Dimension::Ratio).because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return outcome;
        }
        let masks = if self.kit.masks.is_some() {
            "all"
        } else {
            masks
        };
        let says = format!(
            "Choose {} with masks that close {where_}.",
            item_label(self.item)
        );
        let edit = Edit::set(format!("kit.screen.{}.masks", self.item.is), masks);
        outcome.remedy(Some(Remedy::new(says, vec![edit])))
    }
}

#[cfg(test)]
mod tests {
    //! A wide screen and a television screen, with and without masks.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// 2.39 m × 1 m, seen from 3 m.
    fn room(shows: &str, masks: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
[[kit.screen]]
id = "screen-s1"
aspect = "2.39"
picture_width = "2.39 m"
frame = "20 mm"
{masks}
[[item]]
id = "screen"
is = "screen-s1"
shows = [{shows}]
on = {{ wall = "west", from_left = "2 m", height = "1.1 m" }}
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "3 m laser"], and = ["north", "2 m"] }}
eye = "1.1 m laser"
"#
        )
    }

    #[test]
    fn both_aspects_on_a_screen_of_constant_height() {
        // 2.39: 2 atan(1.195/3) = 43.45°; 16:9: 1.7778 m wide, 2 atan(0.8889/3) = 33.01°.
        let text = room(r#""2.39", "16:9""#, "masks = \"sides\"");
        expect![[r#"
            screen showing 2.39: fits +0.235: In 2.39 the picture on screen is 2.39 m × 1 m and fills 43.4° from seat sofa, which sees it smallest; 30° is the least.
            screen showing 16:9: fits +0.053: In 16:9 the picture on screen is 1.778 m × 1 m and fills 33.0° from seat sofa, which sees it smallest; 30° is the least.
        "#]].assert_eq(&told(&findings(&CHECK, &text)));
    }

    #[test]
    fn bars_without_a_mask_hold_from_both_sides() {
        let about = |shows: &str, masks: &str| {
            let found = findings(&CHECK, &room(shows, masks));
            let bars = found
                .into_iter()
                .find(|one| one.subject.id.ends_with("bars"));
            bars.map(|one| (one.verdict, one.value.clone().expect("decided").value()))
        };
        // 16:9 on 2.39 leaves 1 − 1.7778/2.39 = 25.6 %; 1.66 30.5 %.
        let (verdict, share) = about("\"16:9\"", "").expect("bars");
        assert!(verdict == Verdict::Fits && (share - 0.256).abs() < 5e-4);
        assert_eq!(about("\"1.68\"", "").expect("bars").0, Verdict::Fits);
        assert_eq!(about("\"1.66\"", "").expect("bars").0, Verdict::Fails);
        assert_eq!(about("\"1.66\"", "masks = \"sides\""), None);
        assert!(about("\"1.66\"", "masks = \"top-and-bottom\"").is_some());
    }

    #[test]
    fn a_small_aspect_from_far_away_fails_and_each_remedy_mends_it() {
        // 4:3 on 2.39 × 1 m: 1.3333 m wide, 2 atan(0.6667/3) = 25.06°, and 44 % grey.
        let text = room("\"4:3\"", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found.len(), 2);
        for finding in &found {
            assert_eq!(finding.verdict, Verdict::Fails, "{}", told(&found));
            assert!(!finding.remedies.is_empty());
            for remedy in &finding.remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                let left = after
                    .iter()
                    .find(|one| one.subject.id == finding.subject.id);
                assert!(
                    left.is_none_or(|one| one.verdict == Verdict::Fits),
                    "{}: {}",
                    remedy.says,
                    told(&after)
                );
            }
        }
    }

    #[test]
    fn a_seat_that_nobody_placed_is_asked_for() {
        let text = room("\"16:9\"", "masks = \"sides\"").replace("3 m laser", "?");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.seat.sofa.at.from.1");
    }
}
