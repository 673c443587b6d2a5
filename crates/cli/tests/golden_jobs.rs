//! Does every golden job still prove as it did, and print the same sheets?
//!
//! Beside each `jobs/NAME.toml` stand `NAME.findings.txt`, what `dryfit prove` prints, and
//! `NAME.sheets.txt`, the hash of each sheet's drawing and of the whole set on both
//! papers. `UPDATE_EXPECT=1` rewrites them; read the difference before committing it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::{env, fs};

use expect_test::expect_file;

fn jobs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../jobs")
}

fn dryfit(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dryfit"))
        .args(arguments)
        .env("NO_COLOR", "1")
        .output()
        .expect("the binary was built for this test")
}

/// Fowler–Noll–Vo 1a, 64 bits: enough to notice a changed byte, and the same everywhere.
fn hash(bytes: &[u8]) -> u64 {
    let step = |hash: u64, byte: &u8| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, step)
}

fn holds(name: &str, status: i32) {
    let job = jobs().join(format!("{name}.toml"));
    let job = job.to_str().expect("the project's path is text");
    let proof = dryfit(&["prove", job]);
    let told = String::from_utf8(proof.stdout).expect("findings are text");
    assert_eq!(
        proof.status.code(),
        Some(status),
        "{}",
        String::from_utf8_lossy(&proof.stderr)
    );
    expect_file![jobs().join(format!("{name}.findings.txt"))].assert_eq(&told);
    let mut hashes = String::new();
    for paper in ["a4", "letter"] {
        let folder = env::temp_dir().join(format!(
            "dryfit-golden-{}-{name}-{paper}",
            std::process::id()
        ));
        let printed = dryfit(&[
            "sheets",
            job,
            "--paper",
            paper,
            "--output",
            folder.to_str().expect("a temporary path is text"),
        ]);
        assert!(
            printed.status.code() < Some(2),
            "{}",
            String::from_utf8_lossy(&printed.stderr)
        );
        let mut files: Vec<PathBuf> = fs::read_dir(&folder)
            .expect("sheets were written")
            .map(|entry| entry.expect("readable").path())
            .collect();
        files.sort();
        for file in files {
            let bytes = fs::read(&file).expect("a sheet can be read");
            let file = file
                .file_name()
                .and_then(|name| name.to_str())
                .expect("sheets have plain names");
            hashes += &format!("{paper} {file} {:016x}\n", hash(&bytes));
        }
        fs::remove_dir_all(folder).expect("the folder is this test's own");
    }
    expect_file![jobs().join(format!("{name}.sheets.txt"))].assert_eq(&hashes);
}

#[test]
fn the_demo_house_as_surveyed_has_its_mishaps() {
    holds("harbour-lane-surveyed", 1);
}

#[test]
fn the_demo_house_as_settled_has_nothing_that_fails() {
    holds("harbour-lane-settled", 0);
}

// The wall beside its right loudspeaker throws the sound back too strongly.
#[test]
fn the_metric_flat_proves_as_it_did() {
    holds("metric-flat", 1);
}

#[test]
fn the_half_filled_survey_is_unknown_and_not_wrong() {
    holds("half-filled", 0);
}

// Bare walls beside both loudspeakers.
#[test]
fn the_crooked_room_proves_as_it_did() {
    holds("crooked-room", 1);
}

// The way through the house takes one loudspeaker cable past what its gauge allows.
#[test]
fn the_l_shaped_room_proves_as_it_did() {
    holds("l-shaped", 1);
}

#[test]
fn the_cellar_cinema_proves_as_it_did() {
    holds("cellar-cinema", 1);
}
