//! Does the light reach the screen without meeting a lamp, a beam, a leaf or a head?

use analysis::{Analysis, Limit, Parts, ProjectorPlace, Source, item_label};
use geometry::{Convex, Point3};
use model::{FixtureKind, Space};
use units::Dimension;

use crate::beam::{Beam, Shape};
use crate::beam_obstacles::{BeamObstacle, beam_obstacles};
use crate::moves::{Placed, Round, text_of, to_spare, written_length};
use crate::obstacles::{Thing, oriented_box};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "beam-clear",
    area: Area::Picture,
    proves: "The beam from the lens to the picture's corners clears soffits, lamps, fans, furniture, loudspeakers, door leaves, and the heads of those who sit, stand up or walk by.",
    matters: "Whatever reaches into the beam stands as a shadow on the picture, in every scene or each time that somebody passes.",
    formula: "Beam: all straight lines from the middle of the lens to the picture (a pyramid). Gap = least distance, m, from it to the thing's box, or to a person as an upright cylinder of 0.25 m radius, less the radius of the lens; at least the margin. Negative: minus the least move that frees the beam, less the radius. A seated person ends 0.12 m above the eyes. Flat things on a wall are left to the check of the picture's outside. Gaps over 500 mm are told only when they are the nearest. Valid for the picture filled corner to corner; it changes with every change of zoom and shift.",
    source: Source::Derived {
        from: "straight lines from the lens to the picture's corners",
    },
    when_it_fails: "Hang the projector higher or elsewhere, hang the lamp on a shorter rod, move what stands in the way, or lead the walkway around the beam.",
    limits: &[&MARGIN, &STANDING_HEIGHT],
    published: &[
        Published {
            cite: "lens (0, 0, 2.30), picture corner (3.0, 1.1, 0.9): the pyramid's edge crosses x = 1.5 at y 0.55, z 1.6 (computed, straight edge of the pyramid): its distance from the beam",
            computed: || gap_of_point([1.5, 0.55, 1.6]),
            expected: 0.0,
            tolerance: 1e-3, // The point is a box of 1 mm.
            unit: "m",
        },
        Published {
            cite: "the same beam in the plane x = 1.5 ends at y 0.55 (computed): a point 1.000 m farther out at half the picture's height is 1/√(1 + (1.1/3)²) m from its upright side",
            computed: || gap_of_point([1.5, 1.55, 1.95]),
            expected: 0.938_876,
            tolerance: 1e-3, // The point is a box of 1 mm.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::FIXTURES).and(Parts::OPENINGS), run),
};

static MARGIN: Limit = Limit {
    name: "beam_margin",
    meaning: "least gap between a projector's beam, grown by the radius of its lens, and anything else",
    dimension: Dimension::Length,
    value: 0.050,
    source: Source::FromMemory {
        work: "installers' margin of 50 mm around the beam",
    },
    regional: &[],
};

static STANDING_HEIGHT: Limit = Limit {
    name: "standing_head_height",
    meaning: "height of somebody who stands, crown included",
    dimension: Dimension::Length,
    value: 2.0,
    source: Source::FromMemory {
        work: "a tall adult in shoes, tables of body heights",
    },
    regional: &[],
};

/// Wider gaps are only told of the nearest thing, m.
const REPORTED_M: f64 = 0.50;
/// Nothing is moved further than this, m.
const MOVE_MOST_M: f64 = 1.0;
/// Nor hung higher or lower by more than this, which brings it among the heads, m.
const LOWER_MOST_M: f64 = 0.5;

/// The gap that is asked for, m.
pub(crate) fn margin_m(analysis: &Analysis) -> f64 {
    analysis.limit(&MARGIN).value
}

/// How high somebody who stands reaches, m.
pub(crate) fn standing_height_m(analysis: &Analysis) -> f64 {
    analysis.limit(&STANDING_HEIGHT).value
}

/// The distance of a point from the beam of the published case, whose picture is square
/// to x, 2.2 m wide and 1.4 m high with its lower edge at 0.9 m.
fn gap_of_point(point: [f64; 3]) -> f64 {
    let corners = [
        [3.0, -1.1, 0.9],
        [3.0, 1.1, 0.9],
        [3.0, 1.1, 2.3],
        [3.0, -1.1, 2.3],
    ];
    let corners = corners.map(|[x, y, z]| Point3::new(x, y, z));
    let beam = Convex::pyramid(Point3::new(0.0, 0.0, 2.3), corners);
    let point = oriented_box(point, [1.0, 0.0], [0.0; 3]);
    match (beam, point) {
        (Ok(beam), Some(point)) => beam.clearance(&Convex::from(&point)).signed.0,
        _ => f64::NAN,
    }
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut projectors = analysis.projectors_in(space).peekable();
    if projectors.peek().is_none() {
        return Vec::new();
    }
    let everything = beam_obstacles(analysis, space, standing_height_m(analysis));
    projectors
        .flat_map(|(item, kit)| {
            let seen = analysis.projector(item, kit).and_then(|projector| {
                let beam = Beam::new(analysis, &projector)?;
                Ok(met(analysis, space, &projector, &beam, &everything))
            });
            seen.unwrap_or_else(|missing| {
                vec![CHECK.about(space, Subject::item(item), || Err(missing))]
            })
        })
        .collect()
}

fn met(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
    beam: &Beam<'_>,
    everything: &[BeamObstacle<'_>],
) -> Vec<Finding> {
    let base = Subject::item(projector.item);
    let concerned = everything
        .iter()
        .filter(|obstacle| !belongs_to(obstacle, space, projector));
    let mut findings = Vec::new();
    let mut is_answered = false;
    let mut nearest: Option<(f64, Met<'_>)> = None;
    for obstacle in concerned {
        let subject = || base.with(&obstacle.subject(), "and");
        let shapes = match &obstacle.shapes {
            Ok(shapes) => shapes,
            Err(missing) => {
                findings.push(CHECK.about(space, subject(), || Err(missing.clone())));
                continue;
            }
        };
        let worst = shapes
            .iter()
            .map(|shape| (beam.gap_value(shape), shape))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((gap, shape)) = worst else { continue };
        let met = Met {
            analysis,
            space,
            projector,
            beam,
            obstacle,
            shape,
        };
        if gap < REPORTED_M {
            is_answered = true;
            findings.push(CHECK.about(space, subject(), || Ok(met.decide())));
        } else if nearest.as_ref().is_none_or(|(least, _)| gap < *least) {
            nearest = Some((gap, met));
        }
    }
    if let Some((_, met)) = nearest.filter(|_| !is_answered) {
        findings.push(CHECK.about(space, base, || Ok(met.decide())));
    }
    findings
}

/// The projector and its screen themselves, and what lies flat beside the picture, which
/// the check of its outside speaks of.
pub(crate) fn belongs_to(
    obstacle: &BeamObstacle<'_>,
    space: &Space,
    projector: &ProjectorPlace<'_>,
) -> bool {
    let Some(thing) = obstacle.thing else {
        return false;
    };
    let own = thing
        .item_id()
        .is_some_and(|id| id == projector.item.id || id == projector.screen.id);
    let picture_wall = &space.walls[projector.picture.outside.wall].id;
    let flat = 0.1 + projector.picture.face.off.value();
    let beside = thing.wall() == Some(picture_wall)
        && match obstacle.shapes.as_deref() {
            Ok([Shape::Box(numbers)]) => numbers[7].value() <= flat,
            // Its size is asked for there.
            _ => true,
        };
    own || beside
}

/// One thing and the beam.
struct Met<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    projector: &'a ProjectorPlace<'a>,
    beam: &'a Beam<'a>,
    obstacle: &'a BeamObstacle<'a>,
    shape: &'a Shape,
}

impl Met<'_> {
    fn decide(&self) -> Outcome {
        let analysis = self.analysis;
        let gap = self.beam.gap(self.shape);
        let limit = analysis.limit(&MARGIN);
        if analysis.is_trial() {
            return Outcome::at_least(gap, &limit, Dimension::Length);
        }
        let name = item_label(self.projector.item);
        let other = self.obstacle.subject().label;
        let asked = analysis.exact(limit.value, Dimension::Length);
        let sentence = if gap.value() >= 0.0 {
            format!(
                "The beam of {name}, wider by the radius of its lens, passes {} from {other}; {asked} are asked for.",
                analysis.length(&gap)
            )
        } else {
            let when = if self.obstacle.passing {
                "each time a shadow crosses the picture"
            } else {
                "a shadow stands on the picture"
            };
            format!(
                "The beam of {name}, wider by the radius of its lens, is cut {} deep by {other}: {when}{}.",
                analysis.length(&-&gap),
                self.shadow_words()
            )
        };
        let outcome = Outcome::at_least(gap.clone(), &limit, Dimension::Length);
        // Two millimetres more, for the tolerance of the place that it is moved to.
        let target = gap.value() - to_spare(outcome.margin(), 0.0) + 0.002;
        let outcome = outcome.because(sentence).caution(Caution::BrightBeam);
        if !outcome.asks_for_remedies(analysis) {
            return outcome;
        }
        outcome
            .remedy(self.raise_projector(target, 1.0))
            .remedy(self.raise_projector(target, -1.0))
            .remedy(self.move_projector(target))
            .remedy(self.raise_thing(target))
            .remedy(self.move_thing(target))
    }

    /// Which part of the picture is dark then.
    fn shadow_words(&self) -> String {
        let Some(shadow) = self.beam.shadow(self.shape) else {
            return String::new();
        };
        let percent = |share: f64| format!("{:.0}", share * 100.0);
        let [left, right] = shadow.across.map(percent);
        let [low, high] = shadow.up.map(percent);
        let part = match percent(shadow.part).as_str() {
            "0" => "less than 1".to_owned(),
            part => part.to_owned(),
        };
        format!(
            ", on {part} % of it, from {left} to {right} % of its width and {low} to {high} % of its height"
        )
    }

    /// The least step along a direction after which the gap with the lens moved suffices.
    fn lens_step(&self, target: f64, most: f64, way: [f64; 3]) -> Option<f64> {
        let by = |step: f64| way.map(|part| part * step);
        let spare = |step: f64, shape| self.beam.gap_with_lens_moved(shape, by(step)) - target;
        let step = near_change(most, |step| spare(step, self.shape))?;
        // The other places of a thing that moves must stay clear as well.
        let shapes = self.obstacle.shapes.as_deref().unwrap_or_default();
        shapes
            .iter()
            .all(|shape| spare(step, shape) >= 0.0)
            .then_some(step)
    }

    fn raise_projector(&self, target: f64, up: f64) -> Option<Remedy> {
        let analysis = self.analysis;
        let item = self.projector.item;
        let step = self.lens_step(target, LOWER_MOST_M, [0.0, 0.0, up])?;
        let edit = Placed::item(analysis, item)?.raised(analysis, up * step)?;
        let stays = self.projector.case.bottom().value() + up * step > 0.0;
        let says = format!(
            "{} {} by {}, to a {} of {}.",
            if up > 0.0 { "Raise" } else { "Lower" },
            item_label(item),
            written_length(analysis, step, Round::Up),
            if edit.at.ends_with("drop") {
                "drop"
            } else {
                "height"
            },
            text_of(&edit),
        );
        stays.then(|| Remedy::new(says, vec![edit]).caution(Caution::Ladder))
    }

    /// Sideways, back or towards the screen: the shortest way.
    fn move_projector(&self, target: f64) -> Option<Remedy> {
        let analysis = self.analysis;
        let item = self.projector.item;
        let place = Placed::item(analysis, item)?;
        let (step, words, edit) = self
            .ways_in_plan()
            .into_iter()
            .filter_map(|(words, way)| {
                let step = self.lens_step(target, MOVE_MOST_M, [way[0], way[1], 0.0])?;
                let edit = place.in_plan(analysis, way, step, Round::Up)?;
                Some((step, words, edit))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let says = format!(
            "Move {} {} {words}, to {} from the wall that it is measured from; prove throw and shift again.",
            item_label(item),
            written_length(analysis, step, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
    }

    fn ways_in_plan(&self) -> [(&'static str, [f64; 2]); 4] {
        let [rx, ry] = self.projector.picture.face.right.value();
        let [nx, ny] = self.projector.picture.face.normal.value();
        [
            ("to the left as one faces the screen", [-rx, -ry]),
            ("to the right as one faces the screen", [rx, ry]),
            ("towards the screen", [-nx, -ny]),
            ("away from the screen", [nx, ny]),
        ]
    }

    /// Things that stand or hang free; what is fixed to walls and ceilings with mains is
    /// moved by an electrician.
    fn free_thing(&self) -> Option<(Placed<'_>, String, Option<Caution>)> {
        match self.obstacle.thing? {
            Thing::Item(item) => {
                let place = Placed::item(self.analysis, item)?;
                Some((place, format!("Move {}", item_label(item)), None))
            }
            Thing::Fixture(fixture) => {
                let place = Placed::fixture(self.space, fixture);
                let name = fixture.id.replace('-', " ");
                match fixture.kind {
                    FixtureKind::Furniture => Some((place, format!("Move {name}"), None)),
                    FixtureKind::CeilingLight | FixtureKind::Fan => Some((
                        place,
                        format!("Have a licensed electrician move {name}"),
                        Some(Caution::Mains),
                    )),
                    _ => None,
                }
            }
            Thing::Soffit(_) => None,
        }
    }

    /// A lamp or loudspeaker that hangs: a shorter drop.
    fn raise_thing(&self, target: f64) -> Option<Remedy> {
        let hangs = match self.obstacle.thing? {
            Thing::Item(item) => item.hung.is_some() || item.on.is_some(),
            Thing::Fixture(fixture) => fixture.hung.is_some(),
            Thing::Soffit(_) => false,
        };
        let (place, who, caution) = self.free_thing().filter(|_| hangs)?;
        // A rod gets no shorter than nothing: flush with the ceiling is tried last.
        let most = place
            .drop_m()
            .map_or(MOVE_MOST_M, |drop| drop.min(MOVE_MOST_M));
        let step = near_change(most, |step| {
            self.beam.gap_with_thing_moved(self.shape, [0.0, 0.0, step]) - target
        })?;
        let edit = place.raised(self.analysis, step)?;
        let says = format!(
            "{who} up by {}, to a {} of {}.",
            written_length(self.analysis, step, Round::Up),
            if edit.at.ends_with("drop") {
                "drop"
            } else {
                "height"
            },
            text_of(&edit),
        );
        let remedy = Remedy::new(says, vec![edit]).caution(Caution::Ladder);
        Some(caution.into_iter().fold(remedy, Remedy::caution))
    }

    /// Sideways, back or towards the screen: the shortest way.
    fn move_thing(&self, target: f64) -> Option<Remedy> {
        let (place, who, caution) = self.free_thing()?;
        let (step, words, edit) = self
            .ways_in_plan()
            .into_iter()
            .filter_map(|(words, way)| {
                let step = near_change(MOVE_MOST_M, |step| {
                    let by = [way[0] * step, way[1] * step, 0.0];
                    self.beam.gap_with_thing_moved(self.shape, by) - target
                })?;
                let edit = place.in_plan(self.analysis, way, step, Round::Up)?;
                Some((step, words, edit))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let says = format!(
            "{who} {} {words}, to {} from the wall that it is measured from.",
            written_length(self.analysis, step, Round::Up),
            text_of(&edit),
        );
        let remedy = Remedy::new(says, vec![edit]);
        Some(caution.into_iter().fold(remedy, Remedy::caution))
    }
}

/// A change up to `most` at which `spare` is no longer negative: the first quarter that
/// does, halved to a hundredth of a millimetre. Distances between convex bodies have few
/// turns, and each trial costs one of them.
fn near_change(most: f64, spare: impl Fn(f64) -> f64) -> Option<f64> {
    let quarter = most / 4.0;
    let enough = [1.0, 2.0, 3.0, 4.0]
        .map(|count| count * quarter)
        .into_iter()
        .find(|by| spare(*by) >= 0.0)?;
    let (mut short, mut long) = (enough - quarter, enough);
    while long - short > 1e-5 {
        let middle = (short + long) / 2.0;
        if spare(middle) >= 0.0 {
            long = middle;
        } else {
            short = middle;
        }
    }
    Some(long)
}

#[cfg(test)]
mod tests {
    //! Each kind of thing against hand-worked pyramids, both sides, and every remedy.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Finding, Verdict};

    /// A picture 1.6 × 0.9 m on the west wall, its middle 2 m from north and 1.3 m up: from
    /// 0.85 to 1.75 m. The lens, 20 mm wide, is 4 m from it, on its middle line, at
    /// 2.4 − drop − 75 mm: 1.75 m, level with the upper edge, for a drop of 575 mm.
    fn cinema(drop: &str, extra: &str) -> String {
        format!(
            r#"
[[space.seat]]
id = "far"
at = {{ from = ["west", "5.6 m"], and = ["north", "3.6 m"] }}
eye = "1.1 m"
{extra}
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "1.6 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
lens_diameter = "20 mm"
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "4.2 m"], and = ["north", "2 m"], drop = "{drop}" }}
"#
        )
    }

    fn about(found: &[Finding], other: &str) -> Finding {
        let ends = format!("+{other}");
        let found = found
            .iter()
            .find(|finding| finding.subject.id.ends_with(&ends));
        found
            .cloned()
            .unwrap_or_else(|| panic!("nothing about {other}"))
    }

    fn gap(found: &[Finding], other: &str) -> f64 {
        about(found, other).value.expect("decided").value()
    }

    fn lamp(drop: &str) -> String {
        format!(
            r#"
[[space.fixture]]
id = "pendant"
kind = "ceiling-light"
hung = {{ from = ["west", "2 m"], and = ["north", "2 m"], drop = "{drop}" }}
size = ["300 mm", "200 mm", "300 mm"]
"#
        )
    }

    fn mends_alone(text: &str, other: &str, count: usize) {
        let before = about(&findings(&CHECK, text), other);
        assert_eq!(before.verdict, Verdict::Fails, "{}", before.because);
        assert_eq!(before.remedies.len(), count, "{:#?}", before.remedies);
        for remedy in &before.remedies {
            let after = findings_after(&CHECK, text, &remedy.edits);
            let ends = format!("+{other}");
            // Beyond what is told there is no finding left.
            let left = after
                .iter()
                .find(|finding| finding.subject.id.ends_with(&ends));
            assert!(
                left.is_none_or(|finding| finding.verdict == Verdict::Fits),
                "{}: {}",
                remedy.says,
                told(&after)
            );
        }
    }

    #[test]
    fn a_beam_with_nobody_near_tells_of_the_nearest() {
        // Seat "far": 1.6 m aside and behind the lens.
        let found = findings(&CHECK, &cinema("575 mm", ""));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].subject.id, "projector");
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
    }

    #[test]
    fn a_lamp_above_the_beam_is_its_drop_away() {
        // The beam's upper side is level at 1.75 m. A lamp whose underside is at 2.4 − 0.4 −
        // 0.2 = 1.8 m is 50 mm above it, less the 10 mm of the lens: 40 mm.
        let found = findings(&CHECK, &cinema("575 mm", &lamp("400 mm")));
        assert!((gap(&found, "pendant") - 0.040).abs() < 1e-6);
        expect![[r#"
            projector and pendant: fails -0.010: The beam of projector, wider by the radius of its lens, passes 40 mm from pendant; 50 mm are asked for.
        "#]]
        .assert_eq(&told(&found));
        for (drop, verdict) in [
            ("391 mm", Verdict::Fails),
            ("389.9 mm", Verdict::Tight),
            ("370 mm", Verdict::Fits),
        ] {
            let found = findings(&CHECK, &cinema("575 mm", &lamp(drop)));
            assert_eq!(about(&found, "pendant").verdict, verdict, "{drop}");
        }
    }

    #[test]
    fn a_tape_is_not_good_enough_for_a_paced_lamp() {
        let found = findings(&CHECK, &cinema("575 mm", &lamp("370 mm ± 40 mm")));
        assert_eq!(about(&found, "pendant").verdict, Verdict::Tight);
    }

    #[test]
    fn remedies_for_a_lamp_in_the_beam() {
        // Lower the lens, or shift the lamp up or aside. Raising the lens or moving it
        // within a metre does not free a lamp in the middle of the beam.
        mends_alone(&cinema("575 mm", &lamp("420 mm")), "pendant", 3);
    }

    #[test]
    fn a_soffit_has_no_remedy_of_its_own() {
        let soffit = r#"
[[space.soffit]]
id = "beam"
from = ["west", "2 m"]
and = ["north", "0 m"]
size = ["4 m", "200 mm"]
underside = "1.74 m"
"#;
        let text = cinema("575 mm", soffit);
        let found = findings(&CHECK, &text);
        // The upper side of the beam is 1.75 m all along: 10 mm deep, and 10 mm of lens.
        assert!((gap(&found, "beam") + 0.020).abs() < 1e-6);
        mends_alone(&text, "beam", 1);
    }

    #[test]
    fn somebody_standing_in_the_beam_is_a_passing_shadow() {
        let seat = r#"
[[space.seat]]
id = "front"
at = { from = ["west", "2 m"], and = ["north", "2 m"] }
eye = "1.0 m"
"#;
        let found = findings(&CHECK, &cinema("575 mm", seat));
        // Standing, 2 m high, in the middle of it.
        let standing = about(&found, "front.standing");
        assert_eq!(standing.verdict, Verdict::Fails);
        assert!(
            standing.because.contains("each time a shadow crosses"),
            "{}",
            standing.because
        );
        // Seated: the crown at 1.12 m; at 2.25 m from the screen, on the near side of the
        // person, the beam's lower side is at 0.85 + 0.9·2.25/4 = 1.356 m, and at 1.75 m
        // 1.244 m: there it is nearest, cos(atan(0.9/4)) · (1.2438 − 1.12) − 10 mm = 110.8 mm.
        assert!(
            (gap(&found, "front") - 0.1108).abs() < 1e-3,
            "{}",
            told(&found)
        );
    }

    #[test]
    fn a_walkway_is_as_wide_as_the_people_on_it() {
        let walkway = |size: &str| {
            format!(
                r#"
[[space.fixture]]
id = "way"
kind = "walkway"
at = {{ from = ["north", "3.2 m"], and = ["west", "2 m"] }}
{size}
"#
            )
        };
        // Half way the beam is 0.4 m wide to each side: to 2.4 m from north. A person at
        // 3.2 m begins at 2.95 m: 0.55 m away, square to the slant side × cos(atan(0.8/4)).
        let found = findings(&CHECK, &cinema("575 mm", &walkway("")));
        let slant = 1.0 / (1.0f64 + 0.2 * 0.2).sqrt();
        // The cylinder's own nearest point: 0.8 m from axis to side, × slant − 0.25 − 0.01.
        let gap_m = found
            .iter()
            .find(|finding| finding.subject.id.ends_with("projector"))
            .expect("the nearest");
        let value = gap_m.value.as_ref().expect("decided").value();
        assert!((value - (0.8 * slant - 0.26)).abs() < 1e-3, "{value}");
        // An area 1 m across begins at 3.2 − 0.5 − 0.25 = 2.45 m.
        let found = findings(
            &CHECK,
            &cinema("575 mm", &walkway(r#"size = ["1 m", "1 m", "1 m"]"#)),
        );
        // Its corner nearest to the screen is 1.25 m from it, where the beam ends 2 + 0.8 ·
        // 2.75/4 = 2.55 m from north: 0.1 m inside.
        let value = gap(&found, "way");
        assert!((value - (-0.1 * slant - 0.01)).abs() < 1e-3, "{value}");
    }

    #[test]
    fn furniture_in_the_way_can_be_moved() {
        let shelf = r#"
[[space.fixture]]
id = "shelf"
kind = "furniture"
at = { from = ["west", "3 m"], and = ["north", "1.6 m"] }
size = ["400 mm", "1.6 m", "400 mm"]
"#;
        let text = cinema("575 mm", shelf);
        let found = findings(&CHECK, &text);
        assert_eq!(about(&found, "shelf").verdict, Verdict::Fails);
        let moves = about(&found, "shelf").remedies;
        assert!(
            moves
                .iter()
                .any(|remedy| remedy.says.starts_with("Move shelf")),
            "{moves:?}"
        );
        mends_alone(&text, "shelf", moves.len());
    }

    #[test]
    fn a_tall_door_leaf_is_seen_where_it_swings() {
        let door = |opens: &str| {
            format!(
                r#"
[[space.opening]]
id = "hall-door"
kind = "door"
on = {{ wall = "north", from_left = "0.2 m", height = "0 m" }}
size = ["1 m", "2 m"]
swing = {{ hinge = "right", into = "room", opens = "{opens}" }}
"#
            )
        };
        // At 90° its edge is 1 m from north and 1.2 m from west, where the beam begins
        // 2 − 0.8·2.8/4 = 1.44 m from north.
        let found = findings(&CHECK, &cinema("575 mm", &door("90 deg")));
        let slant = 1.0 / (1.0f64 + 0.2 * 0.2).sqrt();
        let value = gap(&found, "hall-door.leaf");
        assert!((value - (0.44 * slant - 0.01)).abs() < 0.02, "{value}");
    }

    #[test]
    fn what_is_not_known_is_asked_for() {
        let text = cinema(
            "575 mm",
            &lamp("400 mm").replace("size =", r#"note = "x" #"#),
        );
        let found = findings(&CHECK, &text);
        let pendant = about(&found, "pendant");
        assert_eq!(pendant.verdict, Verdict::Unknown);
        assert_eq!(pendant.needs[0].at, "space.den.fixture.pendant.size");
    }

    #[test]
    fn an_assumed_lens_is_marked_by_its_tolerance() {
        let text = cinema("575 mm", &lamp("370 mm")).replace(r#"lens_diameter = "20 mm""#, "");
        let found = findings(&CHECK, &text);
        // 80 mm less 30 mm of an assumed lens: the margin itself, ± 15 mm.
        assert!((gap(&found, "pendant") - 0.050).abs() < 1e-6);
        assert_eq!(about(&found, "pendant").verdict, Verdict::Tight);
    }
}
