//! Does the room send back the front loudspeakers' sound too soon and too strong?

mod panels;

use acoustics::arrival::{self, Wall};
use analysis::{Analysis, COVERAGE_FACTOR, Limit, Parts, SeatPlace, Source, item_label};
use geometry::Surface;
use model::{Item, LoudspeakerKit, Seat, Space};
use units::{Dimension, Metres, Seconds};

use crate::listening::{Audience, audiences};
use crate::{Area, Check, Finding, Known, Outcome, Published, Run};

const LISTENING_ROOM: Source = Source::FromMemory {
    work: "ITU-R BS.1116-3, annex 1, early reflections",
};

/// The published limit, for rooms built to listen in.
pub(super) static EARLY_REFLECTION_MAX: Limit = Limit {
    name: "early_reflection_max",
    meaning: "the strongest reflection of a front loudspeaker, against its direct sound, that may reach the main seat of a listening room within early_reflection_time, 1 to 4 kHz",
    dimension: Dimension::Level,
    value: -10.0,
    source: LISTENING_ROOM,
    regional: &[],
};

/// What a house is allowed beyond a listening room.
pub(super) static HOME_REFLECTION_EXCESS: Limit = Limit {
    name: "home_reflection_excess",
    meaning: "how much stronger than in a listening room an early reflection may be in a house",
    dimension: Dimension::Level,
    value: 4.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// How long a reflection counts as early.
pub(super) static EARLY_REFLECTION_TIME: Limit = Limit {
    name: "early_reflection_time",
    meaning: "how long after the direct sound a reflection counts as early",
    dimension: Dimension::Time,
    value: 0.015,
    source: LISTENING_ROOM,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "early-reflections",
    area: Area::Sound,
    proves: "Of each front loudspeaker, what walls, floor and ceiling send back to the main seat within 15 ms is weaker than its direct sound by enough.",
    matters: "A strong early reflection pulls voices towards the wall, blurs where things are, and colours the sound like a comb.",
    formula: "Image sources up to the second order: the loudspeaker is mirrored in each face of the room, p′ = p − 2(n·p − d)n, and heard where the line from the ear to the image meets the face within its edges and no face stands in the way. Δt = (r − r0)/c; L − L0 = 20 log(r0/r) + Σ 10 log(1 − α) + off-axis loss; r, r0: the way by the walls and straight, m; α: absorption where it is met; the strongest octave from 1 to 4 kHz. Valid for faces smooth and large against 0.3 m: what stands in the way and what scatters is not counted. A covering without a place counts by its share of the surface, and may lie there or not.",
    source: LISTENING_ROOM,
    when_it_fails: "Hang an absorbing panel at the point that is named, lay a rug there, or turn the loudspeaker so that it sends less that way.",
    limits: &[
        &EARLY_REFLECTION_MAX,
        &EARLY_REFLECTION_TIME,
        &HOME_REFLECTION_EXCESS,
    ],
    published: &[
        Published {
            cite: "floor, 4 m apart and 1 m up, α 0.5: 20 lg(4/√20) + 10 lg 0.5 (computed)",
            computed: || floor(4.0, 1.0, 0.5).1,
            expected: -3.979_400_087,
            tolerance: 1e-6,
            unit: "dB",
        },
        Published {
            cite: "the same floor, (√20 − 4) m at 343.2 m/s (computed)",
            computed: || floor(4.0, 1.0, 0.5).0,
            expected: 1.375_687_515,
            tolerance: 1e-6,
            unit: "ms",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::OPENINGS).and(Parts::COVERINGS), run),
};

/// Delay, ms, and level, dB, of a floor's reflection between two points of one height.
fn floor(apart_m: f64, height_m: f64, alpha: f64) -> (f64, f64) {
    let wall = Wall {
        point: [Metres(0.0); 3],
        normal: [0.0, 0.0, 1.0],
        alpha,
    };
    let at = |x| [x, 0.0, height_m].map(Metres);
    arrival::reflection(at(0.0), at(apart_m), &wall, acoustics::air::SPEED_AT_20_C)
        .map_or((f64::NAN, f64::NAN), |found| {
            (found.delay.0 * 1e3, found.level.0)
        })
}

/// As many orders of reflection are judged: a third meeting weakens what is left below notice.
const ORDER: usize = 2;

/// Front loudspeakers are those no farther to the side than this, rad.
const FRONT: f64 = 61.0 * std::f64::consts::PI / 180.0;

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut found = Vec::new();
    for audience in audiences(analysis, space) {
        let Some(main) = audience.seats.iter().find(|ears| ears.is_main()) else {
            continue;
        };
        let (seat, place) = (main.seat, main.place.clone());
        for channel in front(&audience) {
            let Some(model::Kit::Loudspeaker(kit)) = analysis.kit_of(channel) else {
                continue;
            };
            found.push(CHECK.about_item(analysis, space, channel, || {
                let question = Question {
                    analysis,
                    space,
                    seat,
                    place: &place,
                };
                question.decide(channel, kit)
            }));
        }
    }
    found
}

fn front<'a>(audience: &'a Audience<'_>) -> impl Iterator<Item = &'a Item> {
    let is_front = |channel: &&crate::listening::Channel<'_>| {
        let side = channel.position.azimuth.map(|azimuth| azimuth.0.abs());
        !channel.is_overhead() && side.is_some_and(|side| side <= FRONT)
    };
    let channels = audience.channels.iter();
    channels.filter(is_front).map(|channel| channel.item)
}

struct Question<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    seat: &'a Seat,
    place: &'a SeatPlace,
}

impl Question<'_> {
    fn decide(&self, item: &Item, kit: &LoudspeakerKit) -> Known<Outcome> {
        let Self {
            analysis, space, ..
        } = *self;
        let ear = &self.place.ear;
        let source = analysis.sounding(space, item, kit, ear.value())?;
        let within = analysis.limit(&EARLY_REFLECTION_TIME).value;
        let mut reflections = analysis.reflections(space, &source, ear, ORDER, Seconds(within))?;
        reflections.sort_by(|a, b| b.level_db.total_cmp(&a.level_db));
        let mut limit = analysis.limit(&EARLY_REFLECTION_MAX);
        let excess = analysis.limit(&HOME_REFLECTION_EXCESS);
        limit.value += excess.value;
        if excess.value != 0.0 {
            limit.source = excess.source;
        }
        let Some(worst) = reflections.first() else {
            // Nothing comes back in time, as out of doors.
            let none = crate::Uncertain::exact(-40.0);
            return Ok(
                Outcome::at_most(none, &limit, Dimension::Level).because(format!(
                    "Nothing of {} comes back to seat {} within {}.",
                    item_label(item),
                    self.seat.id,
                    analysis.exact(within, Dimension::Time)
                )),
            );
        };
        let (level, linings) = analysis.reflection_level(space, &source, ear, worst)?;
        let outcome = Outcome::at_most(level.clone(), &limit, Dimension::Level);
        if analysis.is_trial() {
            return Ok(outcome);
        }
        let places: Vec<String> = (worst.surfaces.iter().zip(&worst.points).zip(&linings))
            .map(|((surface, point), lining)| {
                format!("{} ({})", self.place_words(*surface, *point), lining.what)
            })
            .collect();
        let outcome = outcome.because(format!(
            "Of the sound of {}, {} sends the most back to seat {}: {} against the direct sound at {}, {} later; at most {} is asked for.",
            item_label(item),
            places.join(", then "),
            self.seat.id,
            analysis.exact(level.value(), Dimension::Level),
            analysis.exact(worst.band.nominal().0, Dimension::Frequency),
            analysis.exact(worst.delay.0, Dimension::Time),
            analysis.exact(limit.value, Dimension::Level),
        ));
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        let open = COVERAGE_FACTOR * level.standard_uncertainty();
        let remedy = self.panels(&reflections, limit.value - open);
        Ok(outcome.remedy(remedy))
    }

    /// Where on its surface a point is, as a fitter measures it.
    fn place_words(&self, surface: Surface, point: [f64; 3]) -> String {
        let analysis = self.analysis;
        let length = |length_m: f64| analysis.exact(length_m, Dimension::Length);
        match surface {
            Surface::Wall(wall) => {
                let from_left = self.along_wall(wall, point).unwrap_or_default();
                format!(
                    "wall {}, {} from its left end and {} up",
                    self.space.walls[wall].id,
                    length(from_left),
                    length(point[2]),
                )
            }
            Surface::Floor => format!("the floor, {}", self.plan_words(point)),
            Surface::Ceiling(_) => format!("the ceiling, {}", self.plan_words(point)),
            Surface::Box(..) => format!("the soffit, {}", self.plan_words(point)),
        }
    }

    fn plan_words(&self, point: [f64; 3]) -> String {
        let Some(from) = self.off_walls(point) else {
            return "below the point between".to_owned();
        };
        let words: Vec<String> = (from.iter())
            .map(|(wall, off)| {
                let off = self.analysis.exact(*off, Dimension::Length);
                format!("{off} from {wall}")
            })
            .collect();
        words.join(" and ")
    }

    fn along_wall(&self, wall: usize, point: [f64; 3]) -> Option<f64> {
        let (left, along, _) = self.analysis.shape(self.space).wall_frame(wall).ok()?;
        let (left, along) = (left.value(), along.value());
        Some((point[0] - left[0]) * along[0] + (point[1] - left[1]) * along[1])
    }

    /// The distances from the first wall and from the first that is not along it.
    fn off_walls(&self, point: [f64; 3]) -> Option<[(&str, f64); 2]> {
        let shape = self.analysis.shape(self.space);
        let frame = |wall: usize| shape.wall_frame(wall).ok();
        let (_, first, _) = frame(0)?;
        let across = |wall: &usize| {
            let along = frame(*wall).map(|(_, along, _)| first.cross(&along).value().abs());
            along.is_some_and(|turn| turn > 0.5)
        };
        let other = (1..self.space.walls.len()).find(across)?;
        let off = |wall: usize| {
            let (left, _, inward) = frame(wall)?;
            let (left, inward) = (left.value(), inward.value());
            let off = (point[0] - left[0]) * inward[0] + (point[1] - left[1]) * inward[1];
            Some((self.space.walls[wall].id.as_str(), off))
        };
        Some([off(0)?, off(other)?])
    }
}

#[cfg(test)]
mod tests {
    //! The test room (6 × 4 × 2.4 m), a loudspeaker 3 m before the head.

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{findings, findings_after, told};

    const HARD: &str = "finishes = { walls = \"gypsum-on-studs\", floor = \"carpet-on-pad\", ceiling = \"gypsum-on-studs\" }\n";
    const DEAD: &str = "finishes = { walls = \"porous_100_sigma10k\", floor = \"carpet-on-pad\", ceiling = \"porous_100_sigma10k\" }\n";

    /// A centre loudspeaker in the middle of the west wall at ear height, all round alike.
    fn text(finishes: &str, more: &str) -> String {
        let kit = "form = \"in-wall\"\n";
        let wide = "form = \"in-wall\"\ncoverage = \"179 deg\"\n";
        let items = in_wall("centre", "west", "2 m", "1.1 m");
        format!(
            "{finishes}{}{more}",
            cinema("5.1", &items).replacen(kit, wide, 1)
        )
    }

    fn level(text: &str) -> f64 {
        findings(&CHECK, text)[0].value.as_ref().unwrap().value()
    }

    #[test]
    fn the_strongest_reflection_is_told_by_hand() {
        // Head at (3, −2, 1.1), loudspeaker 3 m before it. Side walls 2 m to either side:
        // way √(3² + 4²) = 5 m, −4.437 dB; off-axis 53.13° of 179°: −6.02 (53.13/89.5)² =
        // −2.122 dB; gypsum at 1 kHz α 0.04: −0.177 dB: −6.736 dB. The ceiling 1.3 m up: way
        // √(9 + 2.6²) = 3.970 m, −2.433 dB; 40.91°: −1.258 dB; −0.177: −3.868 dB, which is
        // the most; 0.970 m more are 2.83 ms.
        let found = findings(&CHECK, &text(HARD, ""));
        assert_eq!(found.len(), 1, "{}", told(&found));
        assert!(
            (level(&text(HARD, "")) + 3.868).abs() < 0.01,
            "{}",
            told(&found)
        );
        assert!(found[0].because.contains("the ceiling"), "{}", told(&found));
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!((found[0].limit.unwrap() + 6.0).abs() < 1e-9);
    }

    #[test]
    fn both_sides_of_the_limit_decide() {
        let verdict = |excess: &str| {
            let rules = format!("[rules]\nhome_reflection_excess = \"{excess} dB\"\n");
            findings(&CHECK, &text(HARD, &rules))[0].verdict
        };
        // −3.87 dB with some 0.5 dB left open by the tables.
        assert_eq!(verdict("5.5"), Verdict::Fails);
        assert_eq!(verdict("6.3"), Verdict::Tight);
        assert_eq!(verdict("9"), Verdict::Fits);
    }

    #[test]
    fn a_dead_room_sends_nothing_back() {
        assert_eq!(findings(&CHECK, &text(DEAD, ""))[0].verdict, Verdict::Fits);
    }

    #[test]
    fn panels_at_the_points_mend_it() {
        let text = text(HARD, "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].remedies.len(), 1, "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_ne!(
                after[0].verdict,
                Verdict::Fails,
                "{}: {}",
                remedy.says,
                told(&after)
            );
            assert!(
                remedy.says.contains("with its middle on"),
                "{}",
                remedy.says
            );
        }
    }

    #[test]
    fn a_covering_without_a_place_leaves_it_open() {
        let loose = "[[space.covering]]\nid = \"cloud\"\nfinish = \"porous_100_sigma10k\"\nover = \"ceiling\"\narea = \"8 m²\"\n";
        let with_place = loose.replace(
            "area = \"8 m²\"",
            "size = [\"1 m\", \"1 m\"]\nat = { from = [\"west\", \"1.5 m\"], and = [\"north\", \"2 m\"] }",
        );
        let opened = text(&format!("{HARD}{loose}"), "");
        let found = findings(&CHECK, &opened);
        assert!(found[0].uncertainty().unwrap() > 2.0, "{}", told(&found));
        // Right in the middle between both: nothing comes back from there.
        let found = findings(&CHECK, &text(&format!("{HARD}{with_place}"), ""));
        assert!(
            !found[0].because.contains("the ceiling"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn missing_finishes_are_asked_for() {
        let found = findings(&CHECK, &text("", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert!(found[0].needs[0].at.starts_with("space.den.finishes"));
    }

    #[test]
    fn a_loudspeaker_inside_a_wall_is_told() {
        let kit = "form = \"in-wall\"\n";
        let wide = "form = \"stand\"\nsize = [\"20 cm\", \"30 cm\", \"20 cm\"]\n";
        let item = "[[item]]\nid = \"centre\"\nis = \"in-wall-w1\"\nzone = \"film\"\nchannel = \"centre\"\nat = { from = [\"west\", \"0.1 m\"], and = [\"north\", \"9 m\"] }\nspace = \"den\"\n";
        let text = format!("{HARD}{}", cinema("5.1", item).replacen(kit, wide, 1));
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown, "{}", told(&found));
        assert!(
            found[0].because.contains("inside a wall"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn surrounds_and_heights_are_left_alone() {
        let items = in_wall("left-surround", "south", "2 m", "1.1 m");
        assert!(findings(&CHECK, &format!("{HARD}{}", cinema("5.1", &items))).is_empty());
    }
}
