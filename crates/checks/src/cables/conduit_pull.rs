//! Can the cables of a conduit be pulled through it?

use std::f64::consts::PI;

use analysis::{Analysis, Known, Limit, Means, Missing, Source, Uncertain};
use model::Edit;
use units::{Dimension, Metres, Newtons, Radians};
use wiring::conduit::{BENDS_MAX_DEG, JamBand, ThreeCables};
use wiring::pull::{Cable, FOUR_PAIR_TENSION_MAX, Piece, bend_ratio, pull};

use crate::conduits::{Filled, diameters, filled, names};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

static PULL_FOUR_PAIR_MAX: Limit = Limit {
    name: "pull_four_pair_max",
    meaning: "hardest pull on a cable whose sheet states none",
    dimension: Dimension::Force,
    value: FOUR_PAIR_TENSION_MAX.0,
    source: Source::FromMemory {
        work: "ANSI/TIA-568.0: 110 N on a cable of four pairs",
    },
    regional: &[],
};

static CONDUIT_BENDS_MAX: Limit = Limit {
    name: "conduit_bends_max",
    meaning: "all bends of a conduit between two places to pull from",
    dimension: Dimension::Angle,
    value: BENDS_MAX_DEG * PI / 180.0,
    source: Source::FromMemory {
        work: "NEC 358.26, 362.26",
    },
    regional: &[],
};

/// Friction in the pipe and its 95 % interval: PVC in PVC, dry (from memory).
const FRICTION: [f64; 2] = [0.42, 0.08];
/// The pull that a cable leaves its spool with: common practice, no source.
const FEED_N: f64 = 20.0;
/// Mass of cable by its section where its sheet states none, kg/m³: copper and plastic together
/// (common practice, no source), and its 95 % interval.
const DENSITY: [f64; 2] = [1800.0, 600.0];

pub(crate) static CHECK: Check = Check {
    id: "conduit-pull",
    area: Area::Cables,
    proves: "The bends of each conduit add up to no more than a pull allows, and its weakest cable is pulled no harder than it stands.",
    matters: "The last bend multiplies: a cable that is pulled too hard looks whole and loses its rate.",
    formula: "Σ θ ≤ 360°. Straight: T = T₀ + μ m g L; bend: T = T₀ e^(μθ); the straight length is shared out evenly between the bends. T₀ = 20 N from the spool; μ: 0.42 ± 0.08, PVC in PVC, dry; m: mass of a metre, kg; L: length of the conduit, m; θ: angle of each bend, rad. The limit is the cable's own, else 110 N. Three cables alike jam where D/d is 2.8 to 3.2: then it is tight.",
    source: Source::Published {
        work: "the capstan equation; public pages of pulling practice",
    },
    when_it_fails: "Pull from a box in the middle, take larger bends or lubricant, or pull from the end with the bends first.",
    limits: &[&PULL_FOUR_PAIR_MAX, &CONDUIT_BENDS_MAX],
    published: &[
        Published {
            cite: "45 N in, μ 0.35, two bends of 90°: 135.128 N (computed; the source states 135.1)",
            computed: || 45.0 * turned(0.35, 180.0),
            expected: 135.128,
            tolerance: 0.1, // As the source prints it.
            unit: "N",
        },
        Published {
            cite: "μ 0.5, one bend of 90°: 2.19328 times (computed)",
            computed: || turned(0.5, 90.0),
            expected: 2.19328,
            tolerance: 0.001, // Three printed places.
            unit: "1",
        },
        Published {
            cite: "0.06 kg/m, 20 m level, μ 0.4: 4.70719 N (computed)",
            computed: || tension(0.0, 0.06, 0.4, 20.0, &[]),
            expected: 4.70719,
            tolerance: 0.01, // Two printed places.
            unit: "N",
        },
    ],
    run: Run::House(run),
};

fn turned(friction: f64, angle_deg: f64) -> f64 {
    bend_ratio(friction, Radians::from_degrees(angle_deg)).unwrap_or(f64::NAN)
}

/// Tension at the end of a pull, N; the length in even parts before, between and behind the bends.
fn tension(feed_n: f64, mass_kg_per_m: f64, friction: f64, length_m: f64, bends: &[f64]) -> f64 {
    let part = Piece::Straight {
        level: Metres(length_m / (bends.len() + 1) as f64),
        rise: Metres(0.0),
    };
    let mut pieces = vec![part];
    for angle in bends {
        // The radius decides nothing but the side wall's load.
        let radius = Metres(0.1);
        let angle = Radians(*angle);
        pieces.extend([Piece::Bend { angle, radius }, part]);
    }
    let cable = Cable {
        mass_kg_per_m,
        friction,
        feed: Newtons(feed_n),
    };
    pull(&cable, &pieces).map_or(f64::INFINITY, |pulled| pulled.tension_max.0)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    let mut findings = Vec::new();
    // A conduit that holds what it holds is pulled no more.
    let new = filled(analysis).into_iter().map(|mut one| {
        let held = &one.conduit.holds;
        one.cables
            .retain(|(cable, _)| !held.contains(&cable.id) || cable.existing.is_none());
        one
    });
    for one in new.filter(|one| !one.cables.is_empty()) {
        let id = format!("pathway.{}", one.conduit.id);
        let label = one.conduit.label();
        let bends = Subject::new(format!("{id}+bends"), format!("{label}, bends"));
        let known = one.conduit.bends.is_some();
        if known {
            findings.push(CHECK.about_house(bends, || decide_bends(analysis, &one)));
        }
        let subject = Subject::new(id, label);
        findings.push(CHECK.about_house(subject, || decide_pull(analysis, &one)));
    }
    findings
}

/// Its bends' angles, rad.
fn angles(analysis: &Analysis, one: &Filled) -> Known<Vec<f64>> {
    let bends = one.conduit.bends.as_ref().ok_or_else(|| {
        Missing::new(
            format!(
                "the bends of {}, none as an empty list",
                one.conduit.label()
            ),
            format!("pathway.{}.bends", one.conduit.id),
            Means::Look,
        )
    })?;
    (bends.iter().enumerate())
        .map(|(index, bend)| {
            let angle = analysis.number(Some(&bend.angle));
            angle.map(|angle| angle.value().abs()).ok_or_else(|| {
                Missing::new(
                    format!("the angle of a bend of {}", one.conduit.label()),
                    format!("pathway.{}.bends.{index}.angle", one.conduit.id),
                    Means::Look,
                )
            })
        })
        .collect()
}

fn decide_bends(analysis: &Analysis, one: &Filled) -> Known<Outcome> {
    let sum: f64 = angles(analysis, one)?.iter().sum();
    let limit = analysis.limit(&CONDUIT_BENDS_MAX);
    let angle = |angle| analysis.exact(angle, Dimension::Angle);
    let sentence = format!(
        "The bends of {} add up to {}, and {} is the most between two places to pull from.",
        one.conduit.label(),
        angle(sum),
        angle(limit.value),
    );
    let margin = limit.value - sum;
    // All of it may be used.
    let margin = if margin >= -1e-9 {
        margin.max(0.0) + 1e-3
    } else {
        margin
    };
    Ok(Outcome::with_margin(
        Uncertain::exact(sum),
        limit.value,
        Uncertain::exact(margin),
        Dimension::Angle,
        limit.source,
    )
    .because(sentence))
}

fn decide_pull(analysis: &Analysis, one: &Filled) -> Known<Outcome> {
    let label = one.conduit.label();
    let bends = angles(analysis, one)?;
    let path = format!("pathway.{}", one.conduit.id);
    let length = analysis
        .number(one.conduit.length.as_ref())
        .ok_or_else(|| {
            Missing::new(
                format!("the length of {label}"),
                format!("{path}.length"),
                Means::Tape,
            )
        })?;
    let sizes = diameters(analysis, &one.cables).map_err(|kit| {
        Missing::new(
            format!("the outside diameter of {}", kit.common.id),
            format!("kit.cable.{}.diameter", kit.common.id),
            Means::SpecSheet,
        )
    })?;
    let friction = analysis.assumed(
        &format!("the friction in {label}"),
        &format!("{path}.friction"),
        FRICTION[0],
        FRICTION[1],
    );
    // The cable with the least left is the one that decides; each bears its own weight.
    let mut worst: Option<(Uncertain, f64, Source, &str)> = None;
    for ((cable, kit), size) in one.cables.iter().zip(&sizes) {
        let mass = analysis
            .number(kit.mass_per_metre.as_ref())
            .unwrap_or_else(|| {
                let density = analysis.assumed(
                    &format!("the density of {}", kit.common.id),
                    &format!("kit.cable.{}.mass_per_metre", kit.common.id),
                    DENSITY[0],
                    DENSITY[1],
                );
                &(size * size) * &density * (PI / 4.0)
            });
        let pulled = uncertainty::through([&mass, &friction, &length], |[mass, mu, length]| {
            tension(FEED_N, mass, mu, length, &bends)
        });
        let own = analysis.number(kit.pull_max.as_ref());
        let (most, source) = match own {
            Some(own) => (own.value(), Source::SpecSheet),
            None => {
                let limit = analysis.limit(&PULL_FOUR_PAIR_MAX);
                (limit.value, limit.source)
            }
        };
        // Loudspeaker and video cables stand as much or more; their sheets say how much.
        let left = most - pulled.value();
        if worst
            .as_ref()
            .is_none_or(|(value, limit, ..)| left < limit - value.value())
        {
            worst = Some((pulled, most, source, &cable.id));
        }
    }
    let (pulled, most, source, id) = worst.ok_or_else(|| {
        Missing::new(
            format!("the cables in {label}"),
            format!("{path}.holds"),
            Means::Look,
        )
    })?;
    let jams = jam_words(analysis, one, &sizes);
    let sentence = format!(
        "Pulled through {label} with {} bends, {id} is pulled with {}, and stands {}{}.",
        bends.len(),
        analysis.print(&pulled, Dimension::Force),
        analysis.exact(most, Dimension::Force),
        jams.as_deref().unwrap_or_default(),
    );
    let margin = most - &pulled;
    let comfort = if jams.is_some() { f64::MAX } else { 0.0 };
    let outcome = Outcome::with_margin(pulled, most, margin, Dimension::Force, source);
    Ok(outcome
        .comfort(comfort)
        .because(sentence)
        .remedy(halved(one, bends.len())))
}

/// Whether three cables alike may wedge side by side.
fn jam_words(analysis: &Analysis, one: &Filled, sizes: &[Uncertain]) -> Option<String> {
    let inside = analysis.number(one.conduit.inside.as_ref())?;
    let [first, second, third] = sizes else {
        return None;
    };
    let alike = (first.value() - second.value()).abs() < 1e-6
        && (first.value() - third.value()).abs() < 1e-6;
    let ratio = ThreeCables {
        inside_diameter: Metres(inside.value()),
        outside_diameter: Metres(first.value()),
    }
    .jam_ratio()?;
    (alike && JamBand::PRACTICE.contains(ratio)).then(|| {
        format!(
            "; {} are alike, and at {ratio:.2} times their diameter the conduit may jam them",
            names(&one.cables)
        )
    })
}

/// A box to pull from in the middle.
fn halved(one: &Filled, bends: usize) -> Option<Remedy> {
    let keep = one.conduit.bends.as_ref()?.get(..bends.div_ceil(2))?;
    let half = one.conduit.length.as_ref()?.value()? / 2.0;
    let says = format!(
        "Set a box in the middle of {} and pull from there.",
        one.conduit.label()
    );
    let path = format!("pathway.{}", one.conduit.id);
    let bends = serde_json::to_value(keep).ok()?;
    Some(Remedy::new(
        says,
        vec![
            Edit::set(format!("{path}.bends"), bends),
            Edit::set(format!("{path}.length"), format!("{half:.3} m")),
        ],
    ))
}

#[cfg(test)]
mod tests {
    use super::super::conduit_fill::conduit;
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after};

    const CABLE: &str = "diameter = \"6.2 mm\"\nmass_per_metre = \"0.04 kg\"";

    fn bent(count: usize, angle: u32, length: &str) -> String {
        let bends = vec![format!("{{ angle = \"{angle} deg\" }}"); count].join(", ");
        conduit(
            &format!("length = \"{length}\"\nbends = [{bends}]\ninside = \"30 mm\""),
            CABLE,
            1,
        )
    }

    #[test]
    fn the_bends_add_up_to_a_full_turn_at_most() {
        let verdict = |count, angle| findings(&CHECK, &bent(count, angle, "5 m"))[0].verdict;
        assert_eq!(verdict(4, 90), Verdict::Fits);
        assert_eq!(verdict(4, 91), Verdict::Fails);
    }

    #[test]
    fn the_last_bend_multiplies() {
        // By hand, μ 0.42, 10 m in three parts of 3.33 m with 0.04 kg/m: (20 + 0.55)·e^(0.66)
        // = 39.7; (39.7 + 0.55)·1.934 = 77.9; + 0.55 = 78.4 N of 110.
        let found = findings(&CHECK, &bent(2, 90, "10 m"));
        let value = found[1].value.as_ref().map(|value| value.value());
        assert!((value.unwrap() - 78.4).abs() < 0.3, "{value:?}");
        assert_eq!(found[1].verdict, Verdict::Fits);
        let text = bent(3, 90, "10 m");
        let found = findings(&CHECK, &text);
        assert_eq!(found[1].verdict, Verdict::Fails, "{}", found[1].because);
        let after = findings_after(&CHECK, &text, &found[1].remedies[0].edits);
        assert_eq!(after[1].verdict, Verdict::Fits);
    }

    #[test]
    fn three_alike_may_jam() {
        // 18.6 / 6.2 = 3.0.
        let jam = |inside: &str| {
            let text = conduit(
                &format!("length = \"5 m\"\nbends = []\ninside = \"{inside}\""),
                CABLE,
                3,
            );
            findings(&CHECK, &text)[1].verdict
        };
        assert_eq!(jam("18.6 mm"), Verdict::Tight);
        assert_eq!(jam("25 mm"), Verdict::Fits);
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let found = findings(&CHECK, &conduit("", CABLE, 1));
        assert_eq!(found[0].needs[0].at, "pathway.pipe.bends");
        let found = findings(&CHECK, &conduit("bends = []", CABLE, 1));
        assert_eq!(found[1].needs[0].at, "pathway.pipe.length");
    }
}
