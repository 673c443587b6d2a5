//! One finding's effects, and a proof that somebody stops.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use model::{Edit, Job};

use super::{Proved, prove, prove_again, prove_unless};

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

#[test]
fn a_renamed_thing_is_called_by_its_name_wherever_it_is_spoken_of() {
    let jobs = [
        include_str!("../../../../jobs/harbour-lane-surveyed.toml"),
        include_str!("../../../../jobs/harbour-lane-settled.toml"),
        include_str!("../../../../jobs/metric-flat.toml"),
    ];
    let (mut all, mut shared) = (0, 0);
    for text in jobs {
        let job = model::read(text, &crate::limit_names()).expect("the job reads");
        let mut proved = Proved::new(Arc::new(job.clone()));
        for (at, item) in job.item.iter().enumerate() {
            // Like another's, in part, or like nothing else.
            let name = match at % 3 {
                0 => "Lamp".to_owned(),
                1 => item.id.to_uppercase(),
                _ => format!("The {at}th thing"),
            };
            let edit = Edit::set(format!("item.{}.name", item.id), name);
            let again = prove_again(&proved, &[edit]).expect("it has a name then");
            let anew = Proved::new(Arc::new(again.proved.analysis().job().clone()));
            for (told, full) in again.proved.findings().zip(anew.findings()) {
                // An assumption keeps the words that it was first made in.
                let [told, full] = [told, full].map(|one| {
                    let mut one = one.clone();
                    one.deciders.clear();
                    one
                });
                assert_eq!(told.words(), full.words());
                assert_eq!((told.verdict, &told.subject), (full.verdict, &full.subject));
            }
            assert_eq!(again.proved.findings().count(), anew.findings().count());
            let same = |(a, b): &(&std::rc::Rc<_>, &std::rc::Rc<_>)| std::rc::Rc::ptr_eq(a, b);
            all += proved.runs.len();
            shared += proved
                .runs
                .iter()
                .zip(&again.proved.runs)
                .filter(same)
                .count();
            proved = again.proved;
        }
    }
    assert!(
        shared * 10 > all * 8,
        "only {shared} of {all} runs are left alone"
    );
}
