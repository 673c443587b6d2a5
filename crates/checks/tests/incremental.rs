//! What is proved again after an edit is what a full proof of the edited job finds, for
//! every remedy of every job and for edits drawn at random; and a proof is the same twice.

use std::collections::BTreeMap;
use std::sync::Arc;

use checks::{Analysis, Change, Finding, Proof, Proved, Verdict};
use model::{Edit, Job};
use rand::{Rng, SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;

const JOBS: [(&str, &str); 6] = [
    (
        "crooked-room",
        include_str!("../../../jobs/crooked-room.toml"),
    ),
    (
        "half-filled",
        include_str!("../../../jobs/half-filled.toml"),
    ),
    (
        "harbour-lane",
        include_str!("../../../jobs/harbour-lane-surveyed.toml"),
    ),
    ("l-shaped", include_str!("../../../jobs/l-shaped.toml")),
    (
        "cellar-cinema",
        include_str!("../../../jobs/cellar-cinema.toml"),
    ),
    (
        "metric-flat",
        include_str!("../../../jobs/metric-flat.toml"),
    ),
];

/// Edits drawn for each job.
const DRAWN: usize = 60;

fn read(text: &str) -> Arc<Job> {
    Arc::new(model::read(text, &checks::limit_names()).expect("a golden job reads"))
}

/// Nothing shared with any other analysis.
fn in_full(job: &Job, edits: &[Edit]) -> Proof {
    let edited = job.edited(edits).expect("the edits can be made");
    checks::prove_without_remedies(&Analysis::new(Arc::new(edited)))
}

/// Everything that a finding says. Assumptions are numbered in the order in which they are
/// met, so that shares of uncertainty may add up in another order: those are told to nine
/// digits.
fn told(finding: &Finding) -> String {
    let deciders: Vec<String> = (finding.deciders.iter())
        .map(|decider| format!("{} {} {:.9}", decider.what, decider.path, decider.share))
        .collect();
    format!(
        "{} {:?} {:?} {:?} {:?} {:?} ±{:.9e} {:?} {} {:?} {:?} {:?} {:?} {deciders:?}",
        finding.check,
        finding.space,
        finding.subject,
        finding.value.as_ref().map(|value| value.value()),
        finding.limit,
        finding.margin.as_ref().map(|margin| margin.value()),
        finding.uncertainty().unwrap_or_default(),
        finding.verdict,
        finding.because,
        finding.source,
        finding.needs,
        finding.remedies,
        finding.cautions,
    )
}

fn all_told(proof: &Proof) -> Vec<String> {
    proof.findings.iter().map(told).collect()
}

fn assert_same(name: &str, proved: &Proved, job: &Job, edits: &[Edit]) {
    let again = checks::prove_again(proved, edits).expect("the edits can be made");
    let (quick, full) = (again.proved.proof(), in_full(job, edits));
    for (quick, full) in all_told(&quick).iter().zip(all_told(&full)) {
        assert_eq!(*quick, full, "{name}: {edits:?}");
    }
    assert_eq!(quick.counts, full.counts, "{name}: {edits:?}");
    assert_eq!(quick.measure_again, full.measure_again, "{name}: {edits:?}");

    // The findings that it names, put into the old proof, make the new one.
    let key = |finding: &Finding| {
        let id = finding.subject.id.clone();
        (finding.check, finding.space.clone(), id)
    };
    let mut patched: BTreeMap<_, _> = (proved.proof().findings.into_iter())
        .map(|finding| (key(&finding), finding))
        .collect();
    for gone in &again.gone {
        assert!(patched.remove(gone).is_some(), "{name}: {gone:?}");
    }
    patched.extend(
        again
            .changed
            .into_iter()
            .map(|finding| (key(&finding), finding)),
    );
    let expected: BTreeMap<_, _> = (quick.findings.into_iter())
        .map(|finding| (key(&finding), finding))
        .collect();
    assert!(patched == expected, "{name}: {edits:?}");
}

#[test]
fn a_remedy_tried_is_a_full_proof_of_its_job() {
    for (name, text) in JOBS {
        let job = read(text);
        let proved = Proved::new(Arc::clone(&job));
        let before = checks::prove(Arc::clone(&job));
        let mut tried = 0;
        for finding in &before.findings {
            for remedy in &finding.remedies {
                assert_same(name, &proved, &job, &remedy.edits);
                let effect = remedy.effect.as_ref().expect("every remedy is tried");
                assert_eq!(effect.refused, None, "{name}: {}", remedy.id);
                let after = in_full(&job, &remedy.edits);
                let (own, better, worse) = difference(&before, &after, finding);
                assert_eq!(effect.verdict, own, "{name}: {}", remedy.id);
                assert_eq!(effect.better, better, "{name}: {}", remedy.id);
                assert_eq!(effect.worse, worse, "{name}: {}", remedy.id);
                tried += 1;
            }
        }
        assert!(tried > 0 || name == "half-filled", "{name} has no remedy");
    }
}

/// A finding's own verdict after an edit, and whose else get better and worse.
fn difference(before: &Proof, after: &Proof, own: &Finding) -> (Verdict, Vec<Change>, Vec<Change>) {
    let key = |finding: &Finding| {
        let id = finding.subject.id.clone();
        (finding.check, finding.space.clone(), id)
    };
    let by_key = |proof: &Proof| -> BTreeMap<_, (Verdict, Option<f64>, String)> {
        let findings = proof.findings.iter();
        findings
            .map(|finding| {
                let margin = finding.margin.as_ref().map(|margin| margin.value());
                let label = finding.subject.label.clone();
                (key(finding), (finding.verdict, margin, label))
            })
            .collect()
    };
    let (before, after) = (by_key(before), by_key(after));
    let (mut better, mut worse) = (Vec::new(), Vec::new());
    let mut keys: Vec<_> = before.keys().chain(after.keys()).collect();
    keys.sort();
    keys.dedup();
    for one in keys.into_iter().filter(|one| **one != key(own)) {
        let (old, new) = (before.get(one), after.get(one));
        let change = Change {
            check: one.0,
            subject: new.or(old).expect("on one side at least").2.clone(),
            from: old.map(|side| side.0),
            to: new.map(|side| side.0),
            from_margin: old.and_then(|side| side.1),
            to_margin: new.and_then(|side| side.1),
        };
        match change.direction() {
            std::cmp::Ordering::Greater => better.push(change),
            std::cmp::Ordering::Less => worse.push(change),
            std::cmp::Ordering::Equal => {}
        }
    }
    for list in [&mut better, &mut worse] {
        list.sort_by_key(|change| change.from == change.to);
    }
    let own = after
        .get(&key(own))
        .map_or(Verdict::Fits, |(verdict, ..)| *verdict);
    (own, better, worse)
}

#[test]
fn edits_drawn_at_random_prove_as_in_full() {
    for (name, text) in JOBS {
        let job = read(text);
        let proved = Proved::new(Arc::clone(&job));
        let mut random = ChaCha8Rng::seed_from_u64(20_261_125);
        let mut made = 0;
        for _ in 0..DRAWN {
            let edits = [drawn(&job, &mut random)];
            // An edit that the job does not take is refused by both.
            if job.edited(&edits).is_ok() {
                assert_same(name, &proved, &job, &edits);
                made += 1;
            }
        }
        assert!(made > DRAWN / 4, "{name}: only {made} edits could be made");
    }
}

/// A measurement scaled, a fact of a thing, a thing taken away or added, a house's rule.
fn drawn(job: &Job, random: &mut ChaCha8Rng) -> Edit {
    let item = job.item.choose(random).map_or("none", |item| &item.id);
    let other = job.item.choose(random).map_or("none", |item| &item.id);
    let cable = job.cable.choose(random).map_or("none", |cable| &cable.id);
    let space = (job.space.choose(random)).map_or("none", |space| space.id.as_str());
    let kits: Vec<&str> = job.kit.all().map(|kit| kit.common().id.as_str()).collect();
    let kit = kits.choose(random).copied().unwrap_or("none");
    match random.random_range(0..20) {
        0 => Edit::remove(format!("item.{item}")),
        1 => Edit::remove(format!("cable.{cable}")),
        2 => Edit::set(format!("item.{item}.is"), kit),
        3 => Edit::set(format!("item.{item}.space"), space),
        4 => Edit::set(format!("cable.{cable}.to"), other),
        5 => Edit::set(format!("cable.{cable}.way"), "underfoot"),
        6 => Edit::set("job.units", "imperial"),
        7 => Edit::set("survey.by", "guess"),
        8 => Edit::set(
            "item.one-more",
            serde_json::json!({
                "id": "one-more", "is": kit, "space": space, "inside": other,
            }),
        ),
        9 => Edit::set(
            "cable.one-more",
            serde_json::json!({
                "id": "one-more", "kind": kit, "from": item, "to": other,
            }),
        ),
        10 => Edit::set(format!("space.{space}.temperature"), "31 °C"),
        _ => {
            if job.measurements.is_empty() {
                return Edit::set("job.units", "metric");
            }
            let measurement = &job.measurements[random.random_range(0..job.measurements.len())];
            let factor = random.random_range(0.8..1.25);
            let text = match measurement.reading.value {
                Some(value) => format!("{:.3} m", value * factor),
                None => "1 m".to_owned(),
            };
            Edit::set(&measurement.path, text)
        }
    }
}

#[test]
fn a_proof_is_the_same_twice() {
    for (name, text) in JOBS {
        let [one, other] = [(); 2].map(|()| format!("{:?}", checks::prove(read(text))));
        assert!(one == other, "two proofs of {name} differ");
    }
}
