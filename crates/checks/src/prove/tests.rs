//! One finding's effects, and a proof that somebody stops.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use model::Job;

use super::{Proved, prove, prove_unless};

fn demo() -> Arc<Job> {
    const DEMO: &str = include_str!("../../../../jobs/harbour-lane-surveyed.toml");
    Arc::new(model::read(DEMO, &crate::limit_names()).expect("the demo reads"))
}

#[test]
fn effects_of_one_finding_are_those_of_a_full_proof() {
    let (proof, proved) = (prove(demo()), Proved::new(demo()));
    let mut tried = 0;
    for finding in proved.findings() {
        let full = (proof.findings.iter()).find(|full| full.key() == finding.key());
        assert_eq!(Some(&proved.with_effects(finding)), full);
        tried += finding.remedies.len();
    }
    assert!(tried > 50, "{tried} remedies");
}

#[test]
fn effects_are_added_once() {
    let proved = Proved::new(demo());
    for finding in proved.findings().take(100) {
        let once = proved.with_effects(finding);
        assert_eq!(proved.with_effects(&once), once);
    }
}

#[test]
fn a_proof_stops_when_it_is_told_to() {
    assert!(prove_unless(demo(), &AtomicBool::new(true)).is_none());
    let stop = AtomicBool::new(false);
    let proof = std::thread::scope(|threads| {
        let proof = threads.spawn(|| prove_unless(demo(), &stop));
        std::thread::sleep(Duration::from_millis(2));
        stop.store(true, Ordering::Relaxed);
        proof.join().expect("the proof does not panic")
    });
    assert!(proof.is_none(), "it went on to the end");
}

#[test]
fn a_proof_that_nobody_stops_is_a_full_one() {
    let unstopped = prove_unless(demo(), &AtomicBool::new(false)).map(|proof| proof.findings);
    assert_eq!(unstopped, Some(prove(demo()).findings));
}
