//! Does every example in `docs/job-file.md` still read, and mean what is said there?

use std::process::{Command, Stdio};
use std::{io::Write, sync::Arc};

use checks::Verdict;
use units::Dimension;

const GUIDE: &str = include_str!("../../../docs/job-file.md");

/// The fenced blocks in a language.
fn blocks(language: &str) -> Vec<&'static str> {
    let fence = format!("```{language}\n");
    let behind = GUIDE.split(fence.as_str()).skip(1);
    let blocks: Vec<&str> = behind
        .map(|rest| rest.split("```").next().expect("split gives one part"))
        .collect();
    assert!(!blocks.is_empty(), "no block of {language}");
    blocks
}

fn command(arguments: &[&str]) -> bool {
    let status = Command::new(env!("CARGO_BIN_EXE_dryfit"))
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::inherit())
        .status();
    status.expect("the command starts").code() == Some(0)
}

#[test]
fn the_pieces_together_are_a_job_that_proves() {
    let text = blocks("toml").concat();
    let job = model::read(&text, &checks::limit_names())
        .unwrap_or_else(|problems| panic!("{problems:#?}"));
    let proof = checks::prove(Arc::new(job));
    let found = |check: &str, subject: &str| {
        let mut findings = proof.findings.iter();
        findings
            .find(|finding| finding.check == check && finding.subject.id.starts_with(subject))
            .unwrap_or_else(|| panic!("no {check} of {subject}"))
    };
    assert_eq!(found("walls-close", "living").verdict, Verdict::Fits);
    assert_eq!(found("picture-clear", "tv").verdict, Verdict::Fits);
    // A blank is named, and nothing is guessed in its place.
    let circuit = found("circuit-load", "circuit.A1");
    assert_eq!(circuit.verdict, Verdict::Unknown);
    assert_eq!(circuit.needs[0].at, "circuit.A1.existing");
    let mut child = Command::new(env!("CARGO_BIN_EXE_dryfit"))
        .args(["prove", "-", "--worst", "1"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .expect("the command starts");
    let mut stdin = child.stdin.take().expect("piped above");
    stdin.write_all(text.as_bytes()).expect("it reads");
    drop(stdin);
    let status = child.wait().expect("it ends").code();
    assert!(matches!(status, Some(0 | 1)), "{status:?}");
}

#[test]
fn both_sides_of_each_line_of_lengths_are_one_length() {
    let metres = |text: &str| {
        let reading = units::read(text.trim(), Dimension::Length);
        let reading = reading.unwrap_or_else(|error| panic!("{text}: {}", error.message));
        reading.value.expect("a number")
    };
    let lines: Vec<&str> = blocks("lengths").concat().leak().lines().collect();
    assert!(lines.len() > 3);
    for line in lines {
        let (left, right) = line.split_once('=').expect("two sides");
        assert!((metres(left) - metres(right)).abs() < 1e-9, "{line}");
    }
}

#[test]
fn methods_have_the_tolerances_that_are_told() {
    let told = GUIDE.split('`').collect::<Vec<_>>();
    for method in ["laser", "tape", "drawing", "paced", "guess"] {
        let tolerance = told
            .windows(2)
            .find(|pair| pair[0] == method && pair[1].starts_with(" (±"))
            .and_then(|pair| pair[1][" (±".len()..].split(')').next())
            .unwrap_or_else(|| panic!("no tolerance of {method}"));
        let by_method = units::read(&format!("2 m {method}"), Dimension::Length).expect("reads");
        let stated = format!("2 m ± {tolerance}");
        let stated = units::read(&stated, Dimension::Length).expect("reads");
        assert_eq!(by_method.tolerance_si(), stated.tolerance_si(), "{method}");
    }
}

#[test]
fn every_command_that_is_named_runs() {
    let named: Vec<&str> = GUIDE
        .split('`')
        .filter_map(|text| text.strip_prefix("dryfit "))
        .filter(|text| text.starts_with("explain ") || text.starts_with("schema "))
        .collect();
    assert!(named.len() > 3, "{named:?}");
    for line in named {
        let words: Vec<&str> = line.split_whitespace().collect();
        assert!(command(&words), "dryfit {line}");
    }
}
