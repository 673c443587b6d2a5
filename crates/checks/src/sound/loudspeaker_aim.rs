//! Does each loudspeaker look at those who listen to it?

use acoustics::directivity::coverage_loss;
use acoustics::octave::OctaveBand;
use analysis::{Analysis, Limit, LimitValue, Parts, SeatPlace, Sounding, Source, item_label};
use model::{Item, LoudspeakerForm, LoudspeakerKit, LoudspeakerPattern, Seat, Space};
use units::{Dimension, Radians};

use crate::aiming::Turning;
use crate::listening::main_seat;
use crate::{Area, Check, Finding, Known, Outcome, Published, Remedy, Run, Uncertain};

/// At the main seat.
pub(super) static OFF_AXIS_LOSS_MAIN_MAX: Limit = Limit {
    name: "off_axis_loss_main_max",
    meaning: "the most that a loudspeaker may be quieter at 4 kHz towards the main seat than on its axis",
    dimension: Dimension::Level,
    value: 6.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// At the others.
pub(super) static OFF_AXIS_LOSS_MAX: Limit = Limit {
    name: "off_axis_loss_max",
    meaning: "the most that a loudspeaker may be quieter at 4 kHz towards any seat than on its axis",
    dimension: Dimension::Level,
    value: 9.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "loudspeaker-aim",
    area: Area::Sound,
    proves: "Each loudspeaker sends its top octaves to every seat without losing too much off its axis.",
    matters: "Off the axis a loudspeaker loses its top first: voices grow dull and heights vanish at the seats beside.",
    formula: "cos θ = axis · way; loss at 4 kHz from polar data where the sheet has them, else from the coverage angle φ, L = −6.02 dB (2θ/φ)², not below −18 dB, or of a piston of the stated diaphragm, L = 20 log|2 J1(x)/x|, x = k a sin θ: of that where it is narrower than the stated φ, or where no φ is stated and the diaphragm plays that octave: a cone of 50 mm and more every octave, a smaller dome from k a = 0.5 on (common practice, no source); θ: angle at the loudspeaker between its axis and the seat; k = 2πf/c; a: radius of the diaphragm, m. The axis is square to wall or ceiling, turned by the item's `aim`; of what stands it is as `turned` says, else level to the main seat. A coverage angle is an average of bands; one that no sheet states is taken as 90° ± 30°. Of a bipole both sides are added; a dipole is asked by `dipole-null` instead.",
    source: Source::Derived {
        from: "angle between two directions; piston in a baffle; the coverage angle is where the level is 6 dB down",
    },
    when_it_fails: "Turn the drivers, or what stands on the floor, by the angles that are named, take a loudspeaker with an angled baffle or a wider coverage, or move it.",
    limits: &[&OFF_AXIS_LOSS_MAIN_MAX, &OFF_AXIS_LOSS_MAX],
    published: &[
        Published {
            cite: "coverage 90°: 45° off the axis is 6.02 dB down, by its definition (computed)",
            computed: || -coverage_loss(Radians::from_degrees(90.0), Radians::from_degrees(45.0)).0,
            expected: 6.020_599_913,
            tolerance: 1e-6,
            unit: "dB",
        },
        Published {
            cite: "loudspeaker (0 0 2.4) aimed at (3 0 1.1), ear (3.2 1.1 1.1): angle off the axis (computed)",
            computed: || {
                let aim = acoustics::directivity::Aim::new([3.0, 0.0, -1.3], [0.0, 0.0, 1.0]);
                aim.map_or(f64::NAN, |aim| aim.off([3.2, 1.1, -1.3]).degrees())
            },
            expected: 17.713,
            tolerance: 0.0005, // Printed digits.
            unit: "°",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

/// The octave in which aim is judged.
const BAND: OctaveBand = OctaveBand::Hz4000;

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    if space.seat.is_empty() {
        return Vec::new();
    }
    let loudspeakers = analysis.loudspeakers_in(space).filter(|(item, kit)| {
        let zone = analysis.zone_of(item);
        // What plays in the background reaches ears by the room.
        let is_listened_to = zone.is_some_and(|zone| zone.layout.is_some());
        is_listened_to
            && kit.form != Some(LoudspeakerForm::Subwoofer)
            // It looks past them on purpose.
            && kit.pattern != Some(LoudspeakerPattern::Dipole)
    });
    loudspeakers
        .map(|(item, kit)| {
            CHECK.about_item(analysis, space, item, || decide(analysis, space, item, kit))
        })
        .collect()
}

/// A seat, what is lost towards it, and what may be.
struct Heard<'a> {
    seat: &'a Seat,
    place: SeatPlace,
    limit: LimitValue,
}

/// Every seat that has a place, and what one that stands free looks at: the main seat.
fn audience<'a>(analysis: &'a Analysis, space: &'a Space) -> Known<(Vec<Heard<'a>>, [f64; 3])> {
    let main = main_seat(space).map_or("", |seat| &seat.id);
    let heard: Vec<Heard<'_>> = (analysis.seats_in(space))
        .filter_map(|(seat, place)| {
            let limit = if seat.id == main {
                &OFF_AXIS_LOSS_MAIN_MAX
            } else {
                &OFF_AXIS_LOSS_MAX
            };
            Some(Heard {
                seat,
                place: place.ok()?,
                limit: analysis.limit(limit),
            })
        })
        .collect();
    let towards = match heard.iter().find(|heard| heard.seat.id == main) {
        Some(main) => main.place.ear.value(),
        // The main seat's own question is asked by what places it.
        None => analysis.seat(space, &space.seat[0])?.ear.value(),
    };
    Ok((heard, towards))
}

/// What may still be lost towards a listener, dB.
fn spare(source: &Sounding<'_>, heard: &Heard<'_>) -> f64 {
    heard.limit.value + source.level_towards(heard.place.ear.value(), BAND)
}

/// The way to look at which the seat that is worst off is best off, if it is another than now.
pub(crate) fn best_turn(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    kit: &LoudspeakerKit,
) -> Option<Remedy> {
    let looks_past = kit.pattern == Some(LoudspeakerPattern::Dipole);
    if space.seat.is_empty() || looks_past || kit.form == Some(LoudspeakerForm::Subwoofer) {
        return None;
    }
    let (heard, towards) = audience(analysis, space).ok()?;
    let source = analysis.sounding(space, item, kit, towards).ok()?;
    turned(
        &Turning {
            analysis,
            space,
            item,
            kit,
            towards,
        },
        &source,
        &heard,
    )
}

fn turned(turning: &Turning<'_>, source: &Sounding<'_>, heard: &[Heard<'_>]) -> Option<Remedy> {
    turning.best(source, |source| {
        let spares = heard.iter().map(|heard| spare(source, heard));
        spares.fold(f64::INFINITY, f64::min)
    })
}

fn decide(analysis: &Analysis, space: &Space, item: &Item, kit: &LoudspeakerKit) -> Known<Outcome> {
    let (heard, towards) = audience(analysis, space)?;
    let source = analysis.sounding(space, item, kit, towards)?;
    let worst = (heard.iter())
        .min_by(|a, b| spare(&source, a).total_cmp(&spare(&source, b)))
        .expect("a seat with a place");
    let loss = loss(&source, worst);
    let outcome = Outcome::at_most(loss.clone(), &worst.limit, Dimension::Level);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let at = source.at.value();
    let ear = worst.place.ear.value();
    let off = source.aim.off([0, 1, 2].map(|i| ear[i] - at[i]));
    let outcome = outcome.because(format!(
        "Seat {} is {} off the axis of {}: there it is {} quieter at {} than on its axis; at most {} is asked for.",
        worst.seat.id,
        analysis.exact(off.0, Dimension::Angle),
        item_label(item),
        analysis.print(&loss, Dimension::Level),
        analysis.exact(BAND.nominal().0, Dimension::Frequency),
        analysis.exact(worst.limit.value, Dimension::Level),
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let turning = Turning {
        analysis,
        space,
        item,
        kit,
        towards,
    };
    Ok(outcome.remedy(turned(&turning, &source, &heard)))
}

/// What is lost towards a seat, with what is left open of a coverage that is taken for granted.
fn loss(source: &Sounding<'_>, heard: &Heard<'_>) -> Uncertain {
    -source.level_to(&heard.place.ear, BAND)
}

#[cfg(test)]
mod tests {
    //! An in-ceiling loudspeaker before the head of the test cinema at (3, −2, 1.1).

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_ceiling, in_wall};
    use crate::testing::{findings, findings_after, told};

    /// 2.4 m up, `ahead` m before the head.
    fn text(ahead: f64, facts: &str, item: &str) -> String {
        let placed = in_ceiling("top-middle-left", &format!("{:.2} m", 3.0 - ahead), "2 m");
        let kit = "form = \"in-ceiling\"\n";
        cinema("5.1.2", &format!("{placed}{item}")).replacen(kit, &format!("{kit}{facts}"), 1)
    }

    #[test]
    fn the_loss_is_told_by_hand() {
        // 1.3 m down and 1.3 m back: 45° off the axis, half of 90°: 6.02 dB.
        let found = findings(&CHECK, &text(1.3, "coverage = \"90 deg\"\n", ""));
        assert_eq!(found.len(), 1, "{}", told(&found));
        let loss = found[0].value.as_ref().unwrap().value();
        assert!((loss - 6.0206).abs() < 1e-3, "{}", told(&found));
        assert_ne!(found[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_wider_one_fits_and_a_narrow_one_fails() {
        let verdict = |facts: &str| findings(&CHECK, &text(1.3, facts, ""))[0].verdict;
        assert_eq!(verdict("coverage = \"120 deg\"\n"), Verdict::Fits);
        assert_eq!(verdict("coverage = \"70 deg\"\n"), Verdict::Fails);
        // 42.7° of 90° ± 30°: nobody can say.
        let unknown = findings(&CHECK, &text(1.2, "", ""));
        assert_eq!(unknown[0].verdict, Verdict::Tight, "{}", told(&unknown));
    }

    #[test]
    fn a_diaphragm_and_polar_data_stand_in_for_a_coverage() {
        let loss = |facts: &str| {
            let found = findings(&CHECK, &text(1.3, facts, ""));
            found[0].value.as_ref().unwrap().value()
        };
        // A 25 mm dome at 3981 Hz: ka 0.911, x = 0.644; 2 J1(x)/x = 0.949: −0.455 dB.
        assert!((loss("driver = \"25 mm\"\n") - 0.455).abs() < 0.01);
        // What is stated of the whole is narrower, but for a wide cone: 130 mm at 3981 Hz is
        // 55.9° wide, ka 4.737, x = 3.350; 2 J1(x)/x = 0.119: −18.46 dB.
        let covered = "coverage = \"90 deg\"\n";
        let dome = loss(&format!("{covered}driver = \"25 mm\"\n"));
        assert!((dome - 6.0206).abs() < 1e-3, "{dome}");
        let cone = loss(&format!("{covered}driver = \"130 mm\"\n"));
        assert!((cone - 18.457).abs() < 0.01, "{cone}");
        let polar = "polar = \"\"\"\nfrequency_hz, around_deg, off_deg, level_db\n4000, 0, 0, 90\n4000, 0, 30, 88\n4000, 0, 60, 82\n4000, 0, 90, 70\n\"\"\"\n";
        // Half way from −2 to −8 dB.
        assert!((loss(polar) - 5.0).abs() < 1e-6);
    }

    #[test]
    fn polar_data_with_a_gap_are_told() {
        let polar = "polar = \"\"\"\nfrequency_hz, around_deg, off_deg, level_db\n4000, 0, 0, 90\n4000, 0, 60, 82\n\"\"\"\n";
        let found = findings(&CHECK, &text(1.3, polar, ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert!(
            found[0].because.contains("from 0° to 60°"),
            "{}",
            told(&found)
        );
    }

    #[test]
    fn the_best_aim_mends_it() {
        let text = text(2.0, "coverage = \"90 deg\"\nturns = \"20 deg\"\n", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        let remedy = &found[0].remedies[0];
        // Measured from the west wall first; the head lies to the east: 180°.
        assert!(remedy.says.contains("180°"), "{}", remedy.says);
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
    }

    /// A tower before the west wall, 1 m from the south one, with seats at (3, −2) and (2.5, −0.3).
    fn tower(turned: &str) -> String {
        let placed = in_wall("front-left", "west", "2 m", "1.1 m").replace(
            "on = { wall = \"west\", from_left = \"2 m\", height = \"1.1 m\" }",
            &format!(
                "at = {{ from = [\"west\", \"0.5 m\"], and = [\"south\", \"1 m\"] }}\n{turned}"
            ),
        );
        let second = "[[space.seat]]\nid = \"chair\"\nat = { from = [\"west\", \"2.5 m\"], and = [\"north\", \"0.3 m\"] }\neye = \"1.1 m\"\n";
        let film = cinema("5.1", &placed).replacen(
            "form = \"in-wall\"\n",
            "form = \"floor\"\nsounds_up = \"1.1 m\"\nsize = [\"25 cm\", \"1.2 m\", \"30 cm\"]\ncoverage = \"40 deg\"\n",
            1,
        );
        format!("{film}{second}")
    }

    #[test]
    fn what_stands_looks_at_the_main_seat_until_it_is_turned() {
        let loss = |turned: &str| {
            let found = findings(&CHECK, &tower(turned));
            assert_eq!(found.len(), 1, "{}", told(&found));
            found[0].value.as_ref().unwrap().value()
        };
        // From the tower at (0.5, −3) the main seat is 21.80° off the west wall's square, the
        // chair 53.47°: 31.67° apart, 6.0206 · (2 · 31.67/40)² = 15.10 dB.
        assert!((loss("") - 15.10).abs() < 0.01, "{}", loss(""));
        // Straight away from the west wall 53.47° take all that may be taken.
        let straight = "turned = { wall = \"west\", by = \"0 deg\" }\n";
        assert!((loss(straight) - 18.0).abs() < 1e-6, "{}", loss(straight));
        // Who looks at it from the room has the north on the right: now the main seat loses
        // 6.0206 · (2 · 31.20/40)² = 14.65 dB.
        let at_the_chair = "turned = { wall = \"west\", by = \"53 deg\" }\n";
        assert!((loss(at_the_chair) - 14.65).abs() < 0.01);
    }

    #[test]
    fn a_turned_tower_mends_it() {
        let found = findings(&CHECK, &tower(""));
        assert_eq!(found[0].verdict, Verdict::Fails, "{}", told(&found));
        let remedy = &found[0].remedies[0];
        // 6 − k x² = 9 − k (31.67 − x)² with k = 0.01505: x = 12.7°, of whole degrees from the
        // wall 35°; 25 cm · sin 35° = 143 mm.
        assert_eq!(
            remedy.says,
            "Turn front-left to 35\u{b0} off straight away from wall west, to the right as one looks at it: the left edge of its front 143\u{202f}mm farther from it than the right edge."
        );
        let after = findings_after(&CHECK, &tower(""), &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
    }

    #[test]
    fn background_and_subwoofers_are_left_alone() {
        let text = text(1.3, "coverage = \"70 deg\"\n", "").replace("layout = \"5.1.2\"\n", "");
        assert!(findings(&CHECK, &text).is_empty());
    }
}
