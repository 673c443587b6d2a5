//! Are a box room's resonances spread, or do they fall on each other?

use acoustics::listening_room::proportions_margin;
use acoustics::modes::BoxRoom;
use analysis::{Analysis, Limit, LimitValue, Means, Missing, Parts, Source};
use model::{Space, SpaceKind};
use units::{Dimension, Hertz, Metres, MetresPerSecond};

use crate::{Area, Check, Finding, Known, Outcome, Published, Run, Subject, Uncertain};

/// How far a side must keep from a whole multiple of another.
pub(super) static MODE_SPACING_MIN: Limit = Limit {
    name: "mode_spacing_min",
    meaning: "how far the ratio of two sides of the room keeps from a whole number, so that their resonances do not coincide",
    dimension: Dimension::Ratio,
    value: 0.05,
    source: Source::FromMemory {
        work: "ITU-R BS.1116-3, annex 1: no side within 5 % of a whole multiple of another",
    },
    regional: &[],
};

/// A corner further from square than this makes a room no box, rad.
const SQUARE_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;
/// A head within this share of the room's length from the middle sits in the null.
const NULL_SHARE: f64 = 0.05;

const PROPORTIONS: Source = Source::FromMemory {
    work: "ITU-R BS.1116-3, annex 1, after Walker, BBC RD 1993/8",
};

pub(crate) static CHECK: Check = Check {
    id: "room-modes",
    area: Area::Bass,
    proves: "The sides of a box room are in proportions that spread its low resonances, and no two sides resonate together.",
    matters: "Where resonances of two directions fall on one frequency, that note booms at some seats and is missing at others, and no equaliser mends both.",
    formula: "f = c/2 √((n_x/L_x)² + (n_y/L_y)² + (n_z/L_z)²). Proportions: 1.1 w/h ≤ l/h ≤ 4.5 w/h − 4, l/h < 3, w/h < 3; l ≥ w: length and width, h: height, m. Coincidence: |r/n − 1| for the ratio r of two sides and the nearest whole number n. Valid for four walls square within 2°, a level ceiling and no soffits, all rigid: light walls and doors shift resonances by 3 to 8 %. Other rooms need the wave equation.",
    source: PROPORTIONS,
    when_it_fails: "The house stays as it is: place subwoofers at the middles of opposite walls, keep seats out of the middle of the room, and equalise peaks alone. A false wall or a stage changes a side.",
    limits: &[&MODE_SPACING_MIN],
    published: &[
        Published {
            cite: "6.0 × 4.5 × 2.6 m, c 343 m/s: mode 1 0 0 (computed)",
            computed: || mode_hz([6.0, 4.5, 2.6], [1, 0, 0]),
            expected: 28.583_333_33,
            tolerance: 1e-6, // Printed digits of the computed value.
            unit: "Hz",
        },
        Published {
            cite: "6.0 × 4.5 × 2.6 m, c 343 m/s: mode 1 1 0 (computed)",
            computed: || mode_hz([6.0, 4.5, 2.6], [1, 1, 0]),
            expected: 47.638_888_89,
            tolerance: 1e-6,
            unit: "Hz",
        },
        Published {
            cite: "5.0 × 4.8 × 2.4 m: l/h 2.0833 is 0.1167 below 1.1 w/h = 2.2 (rule from memory, computed)",
            computed: || proportions_margin(Metres(5.0), Metres(4.8), Metres(2.4)),
            expected: -0.116_666_666_7,
            tolerance: 1e-9,
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

fn mode_hz(sides_m: [f64; 3], order: [u32; 3]) -> f64 {
    BoxRoom::new(sides_m.map(Metres), MetresPerSecond(343.0))
        .map_or(f64::NAN, |room| room.mode(order).frequency.0)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut zones = analysis.zones();
    let is_cinema = zones.any(|zone| zone.space == space.id && zone.layout.is_some());
    if !is_cinema || space.kind == Some(SpaceKind::Outdoor) {
        return Vec::new();
    }
    let sides = match box_sides(analysis, space) {
        Ok(sides) => sides,
        Err(missing) => return vec![CHECK.about(space, Subject::space(space), || Err(missing))],
    };
    let subject = |what: &str| {
        let id = format!("{}+{}", space.id, what.replace(' ', "-"));
        Subject::new(id, format!("{} {what}", space.label()))
    };
    vec![
        CHECK.about(space, subject("proportions"), || {
            Ok(proportions(analysis, space, &sides))
        }),
        CHECK.about(space, subject("coincident modes"), || {
            Ok(coincident(analysis, space, &sides))
        }),
    ]
}

/// The sides of a box room, m.
struct Sides {
    length: Uncertain,
    width: Uncertain,
    height: Uncertain,
    /// The wall that the length runs along.
    along: usize,
}

impl Sides {
    fn named(&self) -> [(&'static str, &Uncertain); 3] {
        [
            ("length", &self.length),
            ("width", &self.width),
            ("height", &self.height),
        ]
    }
}

fn box_sides(analysis: &Analysis, space: &Space) -> Known<Sides> {
    let shape = analysis.shape(space);
    let no_box = |why: String| {
        Missing::new(
            format!(
                "the wave equation for the resonances of {}, which is no box: {why} (`dryfit bass JOB --space {}`, or Bass on the Fit page, solves it and says where they leave a gap or fall on each other)",
                space.label(),
                space.id,
            ),
            format!("space.{}", space.id),
            Means::OutsideModel,
        )
    };
    let count = shape.corners()?.len();
    if count != 4 {
        return Err(no_box(format!("it has {count} walls")));
    }
    for wall in 0..4 {
        let (_, here, _) = shape.wall_frame(wall)?;
        let (_, next, _) = shape.wall_frame((wall + 1) % 4)?;
        // Unit vectors: the scalar product is the sine of what the corner lacks of square.
        let off = here.dot(&next).value().abs().asin();
        if off > SQUARE_RAD {
            return Err(no_box(format!(
                "the corner between walls {} and {} is {} off square",
                space.walls[wall].id,
                space.walls[(wall + 1) % 4].id,
                analysis.exact(off, Dimension::Angle)
            )));
        }
    }
    if !shape.has_level_ceiling()? {
        return Err(no_box("its ceiling slopes".to_owned()));
    }
    if !shape.boxes()?.is_empty() {
        return Err(no_box("soffits hang from its ceiling".to_owned()));
    }
    let side = |wall: usize| -> Known<Uncertain> {
        Ok((shape.wall_length(wall)? + shape.wall_length(wall + 2)?) / 2.0)
    };
    let (first, second) = (side(0)?, side(1)?);
    let height = shape.ceiling_at(&shape.corners()?[0])?;
    let (length, width, along) = if first.value() >= second.value() {
        (first, second, 0)
    } else {
        (second, first, 1)
    };
    Ok(Sides {
        length,
        width,
        height,
        along,
    })
}

fn proportions(analysis: &Analysis, space: &Space, sides: &Sides) -> Outcome {
    let inputs = [&sides.length, &sides.width, &sides.height];
    let margin = uncertainty::through(inputs, |[l, w, h]| {
        proportions_margin(Metres(l), Metres(w), Metres(h))
    });
    let sentence = format!(
        "{} is {} long, {} wide and {} high: length to height {:.2}, width to height {:.2}; the length should be from 1.1 times the width up to 4.5 times the width less 4 heights, and both below 3 heights.{}",
        space.label(),
        analysis.length(&sides.length),
        analysis.length(&sides.width),
        analysis.length(&sides.height),
        (&sides.length / &sides.height).value(),
        (&sides.width / &sides.height).value(),
        in_the_null(analysis, space, sides),
    );
    Outcome::with_margin(margin.clone(), 0.0, margin, Dimension::Ratio, PROPORTIONS)
        .because(sentence)
}

fn coincident(analysis: &Analysis, space: &Space, sides: &Sides) -> Outcome {
    let named = sides.named();
    let pairs = [(0, 1), (0, 2), (1, 2)];
    let worst = pairs.map(|(a, b)| {
        let (long, short) = if named[a].1.value() >= named[b].1.value() {
            (named[a], named[b])
        } else {
            (named[b], named[a])
        };
        let ratio = long.1 / short.1;
        let order = ratio.value().round();
        ((ratio / order - 1.0).abs(), long, short, order)
    });
    let [first, rest @ ..] = worst;
    let (apart, long, short, order) =
        (rest.into_iter()).fold(first, |a, b| if b.0.value() < a.0.value() { b } else { a });
    let limit: LimitValue = analysis.limit(&MODE_SPACING_MIN);
    let hertz = |side: &Uncertain, order: f64| {
        let frequency = acoustics::air::SPEED_AT_20_C.0 * order / (2.0 * side.value());
        analysis.exact(Hertz(frequency).0, Dimension::Frequency)
    };
    let sentence = format!(
        "The {} resonance along the {} ({}) and the first along the {} ({}) of {} are {} apart; {} or more keep them from booming together.",
        ordinal(order),
        long.0,
        hertz(long.1, order),
        short.0,
        hertz(short.1, 1.0),
        space.label(),
        analysis.print(&apart, Dimension::Ratio),
        analysis.exact(limit.value, Dimension::Ratio),
    );
    Outcome::at_least(apart, &limit, Dimension::Ratio).because(sentence)
}

fn ordinal(order: f64) -> String {
    match order.round() as u32 {
        1 => "first".to_owned(),
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        other => format!("{other}th"),
    }
}

/// The seats that miss the first resonance along the room: its pressure is
/// |cos(π x / L)|, nothing in the middle.
fn in_the_null(analysis: &Analysis, space: &Space, sides: &Sides) -> String {
    let shape = analysis.shape(space);
    let missing: Vec<&str> = (analysis.seats_in(space))
        .filter_map(|(seat, place)| {
            let (from_left, _) = shape.on_wall(sides.along, &place.ok()?.plan).ok()?;
            let share = (from_left / &sides.length).value();
            ((share - 0.5).abs() < NULL_SHARE).then_some(seat.id.as_str())
        })
        .collect();
    if missing.is_empty() {
        return String::new();
    }
    let first = acoustics::air::SPEED_AT_20_C.0 / (2.0 * sides.length.value());
    format!(
        " Seat {} is in the middle of the length and hears nothing of the first resonance, {}.",
        missing.join(", "),
        analysis.exact(first, Dimension::Frequency)
    )
}

#[cfg(test)]
mod tests {
    //! Boxes that are told by hand, and rooms that are none.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_of, told};

    const ZONE: &str = "[[zone]]\nid = \"film\"\nspace = \"den\"\nlayout = \"5.1\"\n";

    /// The test room with another height, and a change to its text.
    fn in_room(change: impl Fn(&str) -> String) -> Vec<crate::Finding> {
        let text = change(&format!("{}{ZONE}", crate::testing::ROOM));
        findings_of(&CHECK, &text)
    }

    fn of_height(height: &str) -> Vec<crate::Finding> {
        in_room(|text| text.replace("\"2.4 m\"", &format!("\"{height}\"")))
    }

    #[test]
    fn the_test_room_keeps_its_sides_apart_and_its_proportions() {
        // l/h 2.5, w/h 1.667: 1.1 · 1.667 = 1.833 ≤ 2.5 ≤ 4.5 · 1.667 − 4 = 3.5; least margin
        // 3 − 2.5 = 0.5. 6/4 = 1.5, 25 % from 2; 6/2.4 = 2.5, 16.7 % from 3; 4/2.4 = 1.667,
        // 16.7 % from 2.
        expect![[r#"
            den proportions: fits +0.500: den is 6.000 m long, 4.000 m wide and 2.400 m high: length to height 2.50, width to height 1.67; the length should be from 1.1 times the width up to 4.5 times the width less 4 heights, and both below 3 heights.
            den coincident modes: fits +0.117: The second resonance along the width (85.8 Hz) and the first along the height (71.5 Hz) of den are 16.67 % apart; 5 % or more keep them from booming together.
        "#]]
        .assert_eq(&told(&findings(&CHECK, ZONE)));
    }

    #[test]
    fn a_height_of_half_the_width_makes_two_sides_boom_together() {
        let found = of_height("2 m");
        // 4 m / 2 m = 2: coincident; l/h = 3 is not below 3.
        assert_eq!(found[1].verdict, Verdict::Fails);
        assert!((found[1].margin.as_ref().unwrap().value() + 0.05).abs() < 1e-3);
    }

    #[test]
    fn five_per_cent_is_the_end() {
        // 6 m / (2 · 1.05) = 2.857 m: 6/2.857 = 2.1, 5 % above 2. 4/2.857 = 1.4 is far away.
        assert_ne!(of_height("2.852 m")[1].verdict, Verdict::Fails);
        assert_eq!(of_height("2.862 m")[1].verdict, Verdict::Fails);
        // A paced height leaves it open.
        assert_eq!(of_height("2.82 m paced")[1].verdict, Verdict::Tight);
    }

    #[test]
    fn a_room_three_heights_long_is_out_of_proportion() {
        assert_eq!(of_height("1.98 m")[0].verdict, Verdict::Fails);
        assert_eq!(of_height("2.02 m")[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_seat_in_the_middle_is_told() {
        let seat = "[[space.seat]]\nid = \"sofa\"\nat = { from = [\"west\", \"3.1 m\"], and = [\"north\", \"2 m\"] }\n";
        let found = findings(&CHECK, &format!("{seat}{ZONE}"));
        // 343.2 / 12 = 28.6 Hz.
        assert!(
            told(&found).contains("Seat sofa is in the middle of the length and hears nothing of the first resonance, 28.6 Hz."),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn a_room_that_is_no_box_is_not_judged() {
        let sloping = in_room(|text| {
            text.replace(
                "{ shape = \"flat\", height = \"2.4 m\" }",
                "{ shape = \"shed\", low = \"west\", eaves = \"2 m\", top = \"3 m\" }",
            )
        });
        assert_eq!(sloping.len(), 1);
        assert_eq!(sloping[0].verdict, Verdict::Unknown);
        assert!(sloping[0].because.contains("its ceiling slopes"));
        let unmeasured = in_room(|text| text.replace("height = \"2.4 m\"", "height = \"?\""));
        assert_eq!(unmeasured[0].needs[0].at, "space.den.ceiling.height");
    }

    #[test]
    fn a_room_without_a_layout_is_left_alone() {
        assert!(findings(&CHECK, "").is_empty());
    }
}
