//! Does each dipole surround turn its silent side to those who listen?

use acoustics::directivity::Directivity;
use acoustics::octave::OctaveBand;
use analysis::{Analysis, COVERAGE_FACTOR, Limit, Parts, SeatPlace, Sounding, Source, item_label};
use model::{Item, LoudspeakerPattern, Seat, Space};
use units::{Dimension, Radians};

use crate::listening::main_seat;
use crate::seats_apart::SEAT_APART_MIN;
use crate::track::{Track, shortest};
use crate::{Area, Check, Finding, Outcome, Published, Run};

/// How far off its null.
pub(crate) static DIPOLE_NULL_MAX: Limit = Limit {
    name: "dipole_null_max",
    meaning: "how far the main seat may be from the plane into which a dipole surround sends nothing, seen from the dipole",
    dimension: Dimension::Angle,
    // There its direct sound is 6 dB below that of its lobes.
    value: 30.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "dipole-null",
    area: Area::Sound,
    proves: "Each dipole surround has the main seat near the plane between its sides, into which it sends nothing.",
    matters: "A dipole is meant to be heard by way of the walls. A seat in one of its lobes hears the loudspeaker itself, as a spot on the wall.",
    formula: "α = 90° − acos(|d · s|/|d|); d: from the dipole to the head; s: along its sides, level along its wall, or on a stand square to the way to the main seat. Its direct sound is 20 log sin α below its lobes, as a point dipole's, that of a real one never more than 18 dB (common practice, no source). Other seats are not asked: rows before and behind hear more of one lobe, which the room's own sound evens out (`level-spread`).",
    source: Source::CommonPractice,
    when_it_fails: "Move it along its wall until it is straight beside the main seat, or turn it; or take a loudspeaker with one side.",
    limits: &[&DIPOLE_NULL_MAX, &SEAT_APART_MIN],
    published: &[
        Published {
            cite: "point dipole: 20 lg sin 30° below its lobe (computed)",
            computed: || {
                // In the lobe's plane, 30° off square to it.
                let [around, off] = [90.0, 30.0].map(Radians::from_degrees);
                let band = OctaveBand::Hz1000;
                let speed = acoustics::air::SPEED_AT_20_C;
                -Directivity::Dipole
                    .level_at(around, off, band.exact(), speed)
                    .0
            },
            expected: 6.020_599_913,
            tolerance: 1e-6,
            unit: "dB",
        },
        Published {
            cite: "seat 2 m before the wall and 1 m along it from the dipole: atan(1/2) off its null (computed)",
            computed: || off_null([1.0, -2.0, 0.0], [1.0, 0.0, 0.0]).to_degrees(),
            expected: 26.565_051_18,
            tolerance: 1e-6,
            unit: "°",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

/// From the plane square to a unit vector to a way, rad.
fn off_null(way: [f64; 3], side: [f64; 3]) -> f64 {
    let dot: f64 = (0..3).map(|axis| way[axis] * side[axis]).sum();
    let length = way[0].hypot(way[1]).hypot(way[2]).max(1e-9);
    (dot.abs() / length).min(1.0).asin()
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let Some(main) = main_seat(space) else {
        return Vec::new();
    };
    let dipoles = analysis.loudspeakers_in(space).filter(|(item, kit)| {
        let zone = analysis.zone_of(item);
        kit.pattern == Some(LoudspeakerPattern::Dipole)
            && zone.is_some_and(|zone| zone.layout.is_some())
    });
    dipoles
        .map(|(item, kit)| {
            CHECK.about_item(analysis, space, item, || {
                let place = analysis.seat(space, main)?;
                let source = analysis.sounding(space, item, kit, place.ear.value())?;
                Ok(decide(analysis, space, item, (main, &place), &source))
            })
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    (seat, place): (&Seat, &SeatPlace),
    source: &Sounding<'_>,
) -> Outcome {
    let side = source.aim.right();
    let way = &place.ear - &source.at;
    let off = uncertainty::through([&way.x, &way.y, &way.z], |way| off_null(way, side));
    let limit = analysis.limit(&DIPOLE_NULL_MAX);
    let outcome = Outcome::at_most(off.clone(), &limit, Dimension::Angle);
    if analysis.is_trial() {
        return outcome;
    }
    let level = source.level_to(&place.ear, OctaveBand::Hz1000);
    let outcome = outcome.because(format!(
        "Seat {} is {} off the null of {}: its direct sound is {} below that of its lobes there; at most {} is asked for.",
        seat.id,
        analysis.angle(&off),
        item_label(item),
        analysis.print(&(-level), Dimension::Level),
        analysis.exact(limit.value, Dimension::Angle),
    ));
    if !outcome.asks_for_remedies(analysis) {
        return outcome;
    }
    let spread = 1.25 * COVERAGE_FACTOR * outcome.margin().standard_uncertainty();
    let (ear, at) = (place.ear.value(), source.at.value());
    let good = |ear: [f64; 3], at: [f64; 3]| {
        let way = [0, 1, 2].map(|axis| ear[axis] - at[axis]);
        off_null(way, side) + spread < limit.value
    };
    let tracks = Track::of_item(analysis, item, &source.at);
    let of_item = tracks
        .iter()
        .map(|track| track.nearest(analysis, |at| good(ear, at)));
    let seats = Track::of_seat(analysis, space, seat, place);
    let of_seat = seats
        .iter()
        .map(|track| track.nearest(analysis, |ear| good(ear, at)));
    (shortest(of_item).into_iter().take(1))
        .chain(shortest(of_seat).into_iter().take(1))
        .fold(outcome, |outcome, remedy| outcome.remedy(Some(remedy)))
}

#[cfg(test)]
mod tests {
    //! A dipole on the south wall, 2 m from the head at (3, −2, 1.1) m.

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_wall};
    use crate::testing::{findings, findings_after, told};

    /// `from_left` of the south wall: the head is straight before 3 m.
    fn text(pattern: &str, from_left: &str) -> String {
        let surround = in_wall("left-surround", "south", from_left, "1.1 m");
        let kit = "form = \"in-wall\"\n";
        cinema("5.1", &surround).replacen(kit, &format!("{kit}{pattern}"), 1)
    }

    const DIPOLE: &str = "pattern = \"dipole\"\n";

    #[test]
    fn straight_beside_the_seat_its_null_is_met() {
        let found = findings(&CHECK, &text(DIPOLE, "3 m"));
        assert_eq!(found.len(), 1, "{}", told(&found));
        assert_eq!(found[0].verdict, Verdict::Fits, "{}", told(&found));
        assert!(found[0].because.contains("18"), "{}", told(&found));
    }

    #[test]
    fn thirty_degrees_decide_on_both_sides() {
        // 2 m · tan 30° = 1.1547 m.
        let verdict = |from_left: &str| findings(&CHECK, &text(DIPOLE, from_left))[0].verdict;
        assert_ne!(verdict("1.850 m"), Verdict::Fails);
        assert_eq!(verdict("1.838 m"), Verdict::Fails);
        assert_ne!(verdict("4.150 m"), Verdict::Fails);
        assert_eq!(verdict("4.162 m"), Verdict::Fails);
    }

    #[test]
    fn the_angle_is_told_by_hand() {
        // atan(1.5 / 2) = 36.87°; 20 log sin 36.87° = −4.44 dB.
        let found = findings(&CHECK, &text(DIPOLE, "1.5 m"));
        let angle = found[0].value.as_ref().unwrap().value().to_degrees();
        assert!((angle - 36.87).abs() < 0.01, "{}", told(&found));
        assert!(found[0].because.contains("4.4"), "{}", told(&found));
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text(DIPOLE, "1.5 m"), &remedy.edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
        }
        assert!(!found[0].remedies.is_empty());
    }

    #[test]
    fn what_has_one_side_or_plays_in_phase_is_not_asked() {
        assert!(findings(&CHECK, &text("", "1.5 m")).is_empty());
        assert!(findings(&CHECK, &text("pattern = \"bipole\"\n", "1.5 m")).is_empty());
    }
}
