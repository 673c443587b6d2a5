//! Does each loudspeaker look at those who listen to it?

use acoustics::directivity::coverage_loss;
use acoustics::octave::OctaveBand;
use analysis::{Analysis, Limit, LimitValue, Parts, SeatPlace, Sounding, Source, item_label};
use model::{Edit, Item, LoudspeakerForm, LoudspeakerKit, LoudspeakerPattern, Seat, Space};
use serde_json::json;
use units::{Dimension, Radians};

use crate::listening::main_seat;
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Uncertain};

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
    formula: "cos θ = axis · way; loss at 4 kHz from polar data where the sheet has them, else of a piston of the stated diaphragm, L = 20 log|2 J1(x)/x|, x = k a sin θ; else from the coverage angle φ, L = −6.02 dB (2θ/φ)², not below −18 dB; θ: angle at the loudspeaker between its axis and the seat; k = 2πf/c; a: radius of the diaphragm, m. The axis is square to wall or ceiling, turned by the item's `aim`. A coverage angle is an average of bands; one that no sheet states is taken as 90° ± 30°. Of a bipole both sides are added; a dipole is asked by `dipole-null` instead.",
    source: Source::Derived {
        from: "angle between two directions; piston in a baffle; the coverage angle is where the level is 6 dB down",
    },
    when_it_fails: "Turn the drivers by the angles that are named, take a loudspeaker with an angled baffle or a wider coverage, or move it.",
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

fn decide(analysis: &Analysis, space: &Space, item: &Item, kit: &LoudspeakerKit) -> Known<Outcome> {
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
    let source = analysis.sounding(space, item, kit, towards)?;
    let spare = |source: &Sounding<'_>, heard: &Heard<'_>| {
        heard.limit.value + source.level_towards(heard.place.ear.value(), BAND)
    };
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
    let turned = turned(analysis, (space, item, kit), (&source, towards), |source| {
        let spares = heard.iter().map(|heard| spare(source, heard));
        spares.fold(f64::INFINITY, f64::min)
    });
    Ok(outcome.remedy(turned))
}

/// What is lost towards a seat, with what is left open of a coverage that is taken for granted.
fn loss(source: &Sounding<'_>, heard: &Heard<'_>) -> Uncertain {
    -source.level_to(&heard.place.ear, BAND)
}

/// The best aim that its drivers or its baffle allow, if it is better than now.
fn turned(
    analysis: &Analysis,
    (space, item, kit): (&Space, &Item, &LoudspeakerKit),
    (source, towards): (&Sounding<'_>, [f64; 3]),
    spare: impl Fn(&Sounding<'_>) -> f64,
) -> Option<Remedy> {
    let number = |angle: &Option<model::Angle>| angle.as_ref().and_then(|angle| angle.value());
    let degrees = |angle: f64| angle.to_degrees().round() as u32;
    let (offs, words): (Vec<u32>, &str) = match (number(&kit.turns), number(&kit.angled)) {
        (Some(most), _) => ((0..=degrees(most)).collect(), "Turn the drivers of"),
        (_, Some(angled)) => (vec![degrees(angled)], "Fit the angled baffle of"),
        _ => return None,
    };
    let square = (analysis.square_aim(space, item, kit, source.at.value(), towards)).ok()?;
    let mut best: Option<(f64, u32, u32)> = None;
    for dial in (0..360).step_by(5) {
        for &off in &offs {
            let [around, off_axis] =
                [dial, off].map(|angle| Radians::from_degrees(f64::from(angle)));
            let spare = spare(&source.aimed(square.turned(around, off_axis)));
            if best.is_none_or(|(most, ..)| spare > most + 1e-9) {
                best = Some((spare, dial, off));
            }
        }
    }
    let (most, dial, off) = best?;
    if most < spare(source) + 0.1 {
        return None;
    }
    let from = if item.on.is_some() {
        "straight up"
    } else {
        "the wall that its place is measured from first"
    };
    let says = format!(
        "{words} {} to {dial}\u{b0} on the dial, clockwise from {from} as one looks at it, and {off}\u{b0} off square.",
        item_label(item),
    );
    let table = json!({ "dial": format!("{dial} deg"), "off": format!("{off} deg") });
    let edits = vec![Edit::set(format!("item.{}.aim", item.id), table)];
    let remedy = Remedy::new(says, edits);
    Some(if source.at.value()[2] > 1.8 {
        remedy.caution(Caution::Ladder)
    } else {
        remedy
    })
}

#[cfg(test)]
mod tests {
    //! An in-ceiling loudspeaker before the head of the test cinema at (3, −2, 1.1).

    use super::CHECK;
    use crate::Verdict;
    use crate::listening::{cinema, in_ceiling};
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
    fn a_diaphragm_and_polar_data_go_before_coverage() {
        let loss = |facts: &str| {
            let found = findings(&CHECK, &text(1.3, facts, ""));
            found[0].value.as_ref().unwrap().value()
        };
        // A 25 mm dome at 3981 Hz: ka 0.911, x = 0.644; 2 J1(x)/x = 0.949: −0.455 dB.
        assert!((loss("driver = \"25 mm\"\n") - 0.455).abs() < 0.01);
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

    #[test]
    fn background_and_subwoofers_are_left_alone() {
        let text = text(1.3, "coverage = \"70 deg\"\n", "").replace("layout = \"5.1.2\"\n", "");
        assert!(findings(&CHECK, &text).is_empty());
    }
}
