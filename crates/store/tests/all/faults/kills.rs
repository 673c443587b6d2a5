//! A server killed at any moment, a thousand times: is everything acknowledged there?

use std::collections::BTreeSet;
use std::env;
use std::thread;
use std::time::{Duration, Instant};

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::child::{Said, Server, command};
use crate::scratch::{Scratch, on_both, run};

/// Printed, so that a failing run can be looked at again.
const SEED: u64 = 20_261_125;

#[test]
fn a_thousand_kills_lose_nothing_acknowledged() {
    let begun = Instant::now();
    // Two at a time: a machine has two cores, and a round is mostly a process starting.
    let rounds: Vec<_> = (0..2_u64)
        .map(|lane| {
            thread::spawn(move || {
                let mut saves = 0;
                for round in 0..10 {
                    saves += round_of_kills(&Scratch::file(), SEED + 100 * lane + round, 50);
                }
                saves
            })
        })
        .collect();
    let saves: usize = rounds.into_iter().map(|lane| lane.join().unwrap()).sum();
    let took = begun.elapsed().as_secs_f64();
    eprintln!("seed {SEED}: 1000 kills, {saves} acknowledged saves, none lost, {took:.0} s");
    assert!(
        saves > 1_000,
        "a kill before every save proves nothing: {saves}"
    );
}

#[test]
fn a_server_of_either_database_may_be_killed() {
    on_both(async |scratch| {
        tokio::task::spawn_blocking(move || round_of_kills(&scratch, SEED, 10))
            .await
            .unwrap();
    });
}

/// Kills so many servers of one store and looks at what is left; how many saves they
/// acknowledged.
fn round_of_kills(scratch: &Scratch, seed: u64, kills: u32) -> usize {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let program = env::current_exe().unwrap();
    let mut acknowledged = Vec::new();
    for kill in 0..kills {
        let name = format!("{seed}-{kill}");
        let place = scratch.parsable();
        let place = [place[0].as_str(), place[1].as_str()];
        let mut server = Server::start(command(&[], &program, &place, &name, 10_000));
        // One in five dies while it opens, the others after some saves, in the midst of one.
        if random.random_range(0..5) > 0 {
            let saves = random.random_range(0..=5);
            for step in 0..=saves {
                match (step, server.next()) {
                    (0, Some(Said::Open)) => {}
                    (1.., Some(Said::Saved { op, revision })) => acknowledged.push((op, revision)),
                    other => panic!("seed {seed}, kill {kill}: it stopped by itself, {other:?}"),
                }
            }
        }
        let wait = Duration::from_micros(random.random_range(0..12_000));
        thread::sleep(wait);
        server.kill();
        for said in server.rest() {
            match said {
                Said::Saved { op, revision } => acknowledged.push((op, revision)),
                Said::Open => {}
                other => panic!("seed {seed}, kill {kill}: {other:?}"),
            }
        }
        server.wait();
    }
    run(async {
        let store = scratch.open().await;
        if store.jobs().await.unwrap().is_empty() {
            assert!(acknowledged.is_empty(), "seed {seed}");
            return;
        }
        let revisions = store.prove().await.unwrap();
        let history = store.history("mill-lane").await.unwrap();
        assert_eq!(revisions, history.len() as u64, "seed {seed}");
        let ops: BTreeSet<&str> = history.iter().map(|entry| entry.summary.as_str()).collect();
        assert_eq!(
            ops.len(),
            history.len(),
            "seed {seed}: nothing is saved twice"
        );
        for (op, revision) in &acknowledged {
            let at = usize::try_from(*revision).unwrap() - 1;
            let stands = history.get(at).is_some_and(|entry| entry.summary == *op);
            assert!(
                stands,
                "seed {seed}: {op} was acknowledged as revision {revision}"
            );
        }
    });
    acknowledged.len()
}
