//! How long does the plan of a hundred cables take, and beside CP-SAT in one run?
//!
//! `PYTHON=/path/to/python cargo bench -p wiring --bench spools`: the least of several runs of
//! ours, one of OR-tools with one worker, and the length of spool that each opens. Where python
//! has no ortools only ours is timed.

use std::io::{Write, stdout};
use std::process::Command;
use std::time::{Duration, Instant as Watch};

use units::Metres;
use wiring::cut::{Cut, CutPlan, Spool, plan};

const SCRIPT: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../docs/validation/spool_plan.py"
);
const TABLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/cutting-stock.csv");
const SETS: &str = include_str!("../src/cutting-stock.csv");
const SET: &str = "cs6_100_cables";
const FOOT_M: f64 = 0.3048;

fn main() {
    // `cargo test` starts benches too, and times nothing.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let (least, found) = ours();
    let feet = |length: Metres| length.0 / FOOT_M;
    let said = format!(
        "100 cables: ours {:.2} ms, {:.0} ft opened, at least {:.0} ft would be; {}",
        least.as_secs_f64() * 1e3,
        feet(found.length_opened),
        feet(found.length_bound),
        theirs().unwrap_or_else(|why| format!("not compared with OR-tools: {why}")),
    );
    writeln!(stdout(), "{said}").expect("standard output takes a line");
}

fn theirs() -> Result<String, String> {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let output = (Command::new(&python).args([SCRIPT, TABLE]).output())
        .map_err(|error| format!("{python} does not start: {error}"))?;
    if !output.status.success() {
        let last = String::from_utf8_lossy(&output.stderr);
        return Err(last.lines().last().unwrap_or("it says nothing").to_owned());
    }
    let text = String::from_utf8_lossy(&output.stdout);
    let words: Vec<&str> = text.split_whitespace().collect();
    let [version, seconds, opened, bound] = words[..] else {
        return Err(format!("it says {text:?}"));
    };
    Ok(format!(
        "OR-tools {version} {seconds} s, {opened} ft opened, at least {bound} ft would be"
    ))
}

/// The least time of five runs, and the plan.
fn ours() -> (Duration, CutPlan) {
    let row = SETS.lines().find(|line| line.starts_with(SET));
    let fields: Vec<&str> = row.expect("the table has it").split(',').collect();
    let metres = |feet: &str| Metres(feet.parse::<f64>().expect("a length in feet") * FOOT_M);
    let spools: Vec<Spool> = (fields[1].split(' '))
        .map(|spool| Spool {
            kind: String::new(),
            length: metres(spool.split('x').next().expect("a length")),
            available: None,
        })
        .collect();
    let cuts: Vec<Cut> = (fields[3].split(' '))
        .map(|feet| Cut {
            kind: String::new(),
            length: metres(feet),
        })
        .collect();
    let mut least = Duration::MAX;
    let mut found = None;
    for _ in 0..5 {
        let watch = Watch::now();
        found = plan(&spools, &cuts).ok();
        least = least.min(watch.elapsed());
    }
    (least, found.expect("spools enough are there"))
}
