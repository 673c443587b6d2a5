//! How loud does music outdoors arrive where the neighbours begin?

use analysis::{Analysis, Limit, Parts, Sounding, Source};
use model::{Space, SpaceKind, Zone};
use units::Dimension;

use super::background_evenness::points;
use super::garden_evenness::speakers;
use crate::garden_sound::Garden;
use crate::listening::zone_label;
use crate::{Area, Check, Finding, Known, Outcome, Published, Run, Subject};

pub(super) static BOUNDARY_LEVEL_MAX: Limit = Limit {
    name: "boundary_level_max",
    meaning: "the A-weighted level that music outdoors may make where the neighbours begin; local rules by hour come first",
    dimension: Dimension::Level,
    value: 50.0,
    source: Source::FromMemory {
        work: "WHO Guidelines for Community Noise (1999), table 4.1, outdoor living area, moderate annoyance",
    },
    regional: &[],
};

pub(super) static GARDEN_LEVEL: Limit = Limit {
    name: "garden_level",
    meaning: "the A-weighted level of music outdoors where people are, mean over the place",
    dimension: Dimension::Level,
    value: 65.0,
    source: Source::CommonPractice,
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "boundary-level",
    area: Area::Sound,
    proves: "With music at its usual level where people are, it arrives quietly enough where the neighbours begin.",
    matters: "Music in the garden is heard next door first, and a complaint ends the evenings for which the loudspeakers were bought.",
    formula: "L_b = L_g + 10 log(e_b/ē_g); e = Σ(q/r² + Σ k q_b/r_b²) over the loudspeakers, b what comes by the ground and house walls (see `garden-evenness`); e_b: the largest along the side where the neighbours begin, 1.5 m up; ē_g: mean over the place where people are; L_g: the level asked for there, dB(A); q: off-axis loss as a share of energy; r: distance, m. A fence takes little off and is left out. Local rules by hour decide, this is a caution.",
    source: Source::Derived {
        from: "sources and their images in ground and walls, added by power",
    },
    when_it_fails: "More and softer loudspeakers near the people, turned away from that side; or agree hours with the neighbours. Ask what the local rules say.",
    limits: &[&BOUNDARY_LEVEL_MAX, &GARDEN_LEVEL],
    published: &[Published {
        cite: "65 dB 2 m from one loudspeaker arrive 20 m from it with 45 dB: 65 − 20 lg 10 (computed)",
        computed: || arrives_db(65.0, 1.0 / 400.0, 1.0 / 4.0),
        expected: 45.0,
        tolerance: 1e-9,
        unit: "dB",
    }],
    run: Run::EachSpaceIn(Parts::OPENINGS.and(Parts::COVERINGS), run),
};

fn arrives_db(level_db: f64, there: f64, here: f64) -> f64 {
    level_db + 10.0 * (there / here).log10()
}

/// Ears of somebody who stands, m, and how finely a side is followed.
const EAR_M: f64 = 1.5;
const STEPS: u32 = 24;
/// As many points tell what is open of a mean.
const SOME: usize = 24;

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let Some(sides) = space.neighbours.as_ref() else {
        return Vec::new();
    };
    if space.kind != Some(SpaceKind::Outdoor) {
        return Vec::new();
    }
    let zones =
        (analysis.zones_in(space)).filter(|zone| !speakers(analysis, space, zone).is_empty());
    zones
        .flat_map(|zone| {
            sides.iter().map(move |side| {
                let subject = Subject::new(&zone.id, zone_label(zone))
                    .with(&Subject::new(side, format!("side {side}")), "at");
                CHECK.about(space, subject, || decide(analysis, space, zone, side))
            })
        })
        .collect()
}

fn decide(analysis: &Analysis, space: &Space, zone: &Zone, side: &str) -> Known<Outcome> {
    let shape = analysis.shape(space);
    let wall = space.wall(side).ok_or_else(|| {
        let what = format!("a side called {side} of {}", space.label());
        let at = format!("space.{}.neighbours", space.id);
        analysis::Missing::new(what, at, analysis::Means::Decide)
    })?;
    let points = points(analysis, space)?;
    let towards = points[points.len() / 2];
    let sources = (speakers(analysis, space, zone).into_iter())
        .map(|(item, kit)| analysis.sounding(space, item, kit, towards))
        .collect::<Known<Vec<Sounding<'_>>>>()?;
    let garden = Garden::new(analysis, space, sources)?;
    // What is open of the mean is told from some of its points, its value from all.
    let mean = |points: &mut dyn Iterator<Item = &[f64; 3]>| {
        let (sum, count) = points.fold((0.0, 0.0), |(sum, count), point| {
            (sum + garden.energy(*point), count + 1.0)
        });
        sum / count
    };
    let some: Vec<[f64; 3]> = (points.iter().copied())
        .step_by((points.len() / SOME).max(1))
        .collect();
    let of_some = mean(&mut some.iter()) * some.len() as f64;
    let here = garden.energy_over(&some) / of_some * mean(&mut points.iter());
    let (left, along, _) = shape.wall_frame(wall)?;
    let ([x, y], [ax, ay]) = (left.value(), along.value());
    let length = shape.wall_length(wall)?.value();
    let loudest = (0..=STEPS)
        .map(|step| {
            let s = length * f64::from(step) / f64::from(STEPS);
            [x + ax * s, y + ay * s, EAR_M]
        })
        .max_by(|a, b| garden.energy(*a).total_cmp(&garden.energy(*b)))
        .expect("a side has ends");
    let there = garden.energy_over(&[loudest]);
    let level_here = analysis.limit(&GARDEN_LEVEL).value;
    let level = (there / here).log10() * 10.0 + level_here;
    let limit = analysis.limit(&BOUNDARY_LEVEL_MAX);
    let outcome = Outcome::at_most(level.clone(), &limit, Dimension::Level);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let most = level_here + limit.value - level.value();
    Ok(outcome.because(format!(
        "With {} where people are on {}, {} of {} arrive at its side {side}, where the neighbours begin; {} is asked for, which leaves {} here. Local rules by hour come first.",
        analysis.exact(level_here, Dimension::Level),
        space.label(),
        analysis.print(&level, Dimension::Level),
        zone_label(zone),
        analysis.exact(limit.value, Dimension::Level),
        analysis.exact(most, Dimension::Level),
    )))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    /// A garden of 30 × 6 m with one loudspeaker in the middle of its near end.
    fn garden(neighbours: &str, rules: &str) -> String {
        format!(
            "[[space]]\nid = \"garden\"\nkind = \"outdoor\"\n{neighbours}walls = [{{ id = \"a\", length = \"30 m\", open = true }}, {{ id = \"far\", length = \"6 m\", open = true }}, {{ id = \"c\", length = \"30 m\", open = true }}, {{ id = \"near\", length = \"6 m\", open = true }}]\n[[zone]]\nid = \"outside\"\nspace = \"garden\"\n[[kit.loudspeaker]]\nid = \"garden-g1\"\nform = \"landscape\"\nsize = [\"20 cm\", \"30 cm\", \"20 cm\"]\ncoverage = \"360 deg\"\nsensitivity = 86\n[[item]]\nid = \"g\"\nis = \"garden-g1\"\nspace = \"garden\"\nzone = \"outside\"\nat = {{ from = [\"a\", \"3 m\"], and = [\"near\", \"1 m\"] }}\n{rules}"
        )
    }

    #[test]
    fn the_near_side_hears_more_than_the_far_one() {
        let found = findings(&CHECK, &garden("neighbours = [\"far\", \"near\"]\n", ""));
        assert_eq!(found.len(), 2, "{}", told(&found));
        let level = |at: usize| found[at].value.as_ref().unwrap().value();
        assert!(level(1) > level(0) + 20.0, "{}", told(&found));
        assert_eq!(found[1].verdict, Verdict::Fails);
        assert!(found[0].because.contains("Local rules"), "{}", told(&found));
    }

    #[test]
    fn without_neighbours_nobody_is_asked() {
        assert!(findings(&CHECK, &garden("", "")).is_empty());
    }

    #[test]
    fn a_softer_evening_is_as_much_softer_next_door() {
        let at = |rules: &str| {
            let found = findings(&CHECK, &garden("neighbours = [\"far\"]\n", rules));
            found[0].value.as_ref().unwrap().value()
        };
        let softer = "[rules]\ngarden_level = \"55 dB\"\nreason.garden_level = \"late\"\n";
        assert!((at("") - at(softer) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn a_side_that_is_none_is_asked_for() {
        let found = findings(&CHECK, &garden("neighbours = [\"river\"]\n", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
    }
}
