//! Do first-order margins spread as sampled ones do?
//!
//! JCGM 101:2008: every source of uncertainty of the demo house is drawn from its normal
//! distribution, the whole house is proved for each draw, and the standard deviation of
//! each margin is held against the propagated one (JCGM 100:2008 §5). They agree within
//! 6 % wherever a check is smooth; `docs/validation.md` lists those that are not.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use analysis::Analysis;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use uncertainty::SourceId;

/// Standard error of a standard deviation from n draws is 1/√(2n): 1.6 % here. Of some 260
/// margins one is off by three of them by chance, and by four, 6 %, none.
const TRIALS: usize = 2000;
const SEED: u64 = 20_260_504;
const AGREEMENT: f64 = 0.06;
/// What is listed as bent shows it by two standard errors.
const BENT_AT_LEAST: f64 = 0.03;

/// Findings whose margin bends within the spread of its inputs, so that its slope at the
/// best estimate is not the whole story. Each has one of four reasons, which
/// `docs/validation.md` explains: a value in the very middle of its range, where either
/// end may be the nearer; what is taken at its best estimate (a loudspeaker's share off its
/// axis, a doorway beside a cupboard); a choice between branches (the longer wall to follow, Sabine or Norris–Eyring, which
/// stud or thing is nearest, which way a cable takes, which seat or reflection is the worst,
/// whether the direct sound alone is loud enough); the square of a bore that a tape told.
const BENT: &[(&str, &str)] = &[
    ("cable-length", "W13"),
    ("ceiling-clear", "top-fr"),
    ("ceiling-clear", "top-rl"),
    ("channel-azimuth", "front-l+front-middle"),
    ("channel-azimuth", "front-r+front-middle"),
    ("channel-elevation", "front-l+front-left"),
    ("channel-elevation", "front-l+front-middle"),
    ("channel-elevation", "front-l+front-right"),
    ("channel-elevation", "front-r+front-left"),
    ("channel-elevation", "front-r+front-middle"),
    ("channel-elevation", "front-r+front-right"),
    ("conduit-fill", "pathway.stair-pipe"),
    ("cutout-framing", "front-r"),
    ("cutout-framing", "top-rl"),
    ("cutout-framing", "top-rr"),
    ("display-tilt", "tv"),
    ("early-reflections", "front-c"),
    ("early-reflections", "front-l"),
    ("early-reflections", "front-r"),
    ("floor-clear", "cupboard"),
    ("garden-evenness", "terrace-zone"),
    ("inside-room", "living"),
    ("lens-shift", "projector"),
    ("level-spread", "top-fl"),
    ("level-spread", "top-fr"),
    ("loudspeaker-aim", "surround-l"),
    ("loudspeaker-aim", "surround-r"),
    ("loudspeaker-aim", "top-fl"),
    ("loudspeaker-aim", "top-fr"),
    ("loudspeaker-aim", "top-rl"),
    ("loudspeaker-aim", "top-rr"),
    ("mains-run", "socket-east"),
    ("off-axis", "screen"),
    ("off-axis", "tv"),
    ("peak-level", "terrace-l+table"),
    ("projector-clearance", "projector.left"),
    ("reverberation", "loft+125Hz"),
    ("screen-rail", "screen"),
    ("shown-aspect", "screen+aspect-16:9"),
    ("shown-aspect", "screen+aspect-2.39"),
    ("spool-stock", "line-coax"),
];

type Key = (&'static str, String, String);

fn margins(analysis: &Analysis) -> BTreeMap<Key, uncertainty::Uncertain> {
    checks::prove_without_remedies(analysis)
        .findings
        .into_iter()
        .filter_map(|finding| {
            let key = (
                finding.check,
                finding.space.clone().unwrap_or_default(),
                finding.subject.id.clone(),
            );
            Some((key, finding.margin.clone()?))
        })
        .collect()
}

fn normal(random: &mut ChaCha8Rng) -> f64 {
    // Box and Muller 1958.
    let (u, v): (f64, f64) = (1.0 - random.random::<f64>(), random.random());
    (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}

/// For each margin the sum of what draws put it off, of its square, and how many there were.
type Sums = BTreeMap<Key, [f64; 3]>;

fn sampled(
    job: &Arc<model::Job>,
    draws: &[HashMap<SourceId, f64>],
    centres: &BTreeMap<Key, f64>,
) -> Sums {
    let analysis = Analysis::new(Arc::clone(job));
    let mut sums = Sums::new();
    for shifts in draws {
        for (key, margin) in margins(&analysis.shifted(shifts.clone())) {
            if let Some(centre) = centres.get(&key) {
                let off = margin.value() - centre;
                let [sum, squares, count] = sums.entry(key).or_default();
                *sum += off;
                *squares += off * off;
                *count += 1.0;
            }
        }
    }
    sums
}

#[test]
fn propagated_margins_spread_as_sampled_ones() {
    let text = include_str!("../../../jobs/harbour-lane-surveyed.toml");
    let job = Arc::new(model::read(text, &checks::limit_names()).expect("the demo reads"));
    let analysis = Analysis::new(Arc::clone(&job));
    let propagated = margins(&analysis);
    let sources: BTreeSet<SourceId> = propagated
        .values()
        .flat_map(|margin| margin.budget().iter().map(|(id, _)| *id))
        .collect();
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let draws: Vec<HashMap<SourceId, f64>> = (0..TRIALS)
        .map(|_| {
            let shift = |id: &SourceId| {
                let sigma = analysis.standard_uncertainty_of(*id).unwrap_or(0.0);
                (*id, normal(&mut random) * sigma)
            };
            sources.iter().map(shift).collect()
        })
        .collect();
    // Two at a time: an analysis stays on its thread, so each proves its own half.
    let centres: BTreeMap<Key, f64> = (propagated.iter())
        .map(|(key, margin)| (key.clone(), margin.value()))
        .collect();
    let mut sums = Sums::new();
    std::thread::scope(|scope| {
        let halves = draws.chunks(TRIALS.div_ceil(2));
        let work = halves.map(|half| scope.spawn(|| sampled(&job, half, &centres)));
        let work: Vec<_> = work.collect();
        for half in work {
            for (key, [sum, squares, count]) in half.join().expect("a half is proved") {
                let all = sums.entry(key).or_default();
                *all = [all[0] + sum, all[1] + squares, all[2] + count];
            }
        }
    });
    let mut disagreeing = Vec::new();
    let mut compared = 0;
    for (key, margin) in &propagated {
        let sigma = margin.standard_uncertainty();
        let Some([sum, squares, count]) = sums.get(key) else {
            continue;
        };
        // A margin that is known to a micrometre or a microdegree has no spread to compare.
        if sigma < 1e-6 || *count < TRIALS as f64 {
            continue;
        }
        let mean = sum / count;
        let sampled = (squares / count - mean * mean).sqrt();
        compared += 1;
        let bent = BENT.contains(&(key.0, key.2.as_str()));
        let off = (sampled / sigma - 1.0).abs();
        let surprising = if bent {
            off < BENT_AT_LEAST
        } else {
            off > AGREEMENT
        };
        if surprising {
            disagreeing.push(format!(
                "{key:?}: propagated {sigma:.3e}, sampled {sampled:.3e}"
            ));
        }
    }
    assert!(
        disagreeing.is_empty(),
        "seed {SEED}, {compared} compared:\n{}",
        disagreeing.join("\n")
    );
    assert!(
        compared >= 30,
        "only {compared} margins rest on measurements"
    );
}
