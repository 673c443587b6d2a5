//! The command as a person or a script runs it: status, streams, files.

use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// A room in which one thing fails: the screen is a foot wider than its wall.
const FAILING: &str = include_str!("failing.toml");

fn dryfit(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryfit"));
    command.args(arguments).env_remove("NO_COLOR");
    command
}

fn run(arguments: &[&str]) -> Output {
    run_with(arguments, "")
}

fn run_with(arguments: &[&str], input: &str) -> Output {
    let mut child = dryfit(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    let mut stdin = child.stdin.take().expect("piped above");
    let input = input.to_owned();
    // A command that never reads its input closes it.
    let writer = std::thread::spawn(move || drop(stdin.write_all(input.as_bytes())));
    let output = child.wait_with_output().expect("the command ends");
    writer.join().expect("the writer ends");
    output
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("the command is not killed")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a scratch folder")
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a plain path")
}

#[test]
fn status_is_0_when_nothing_fails_and_1_when_something_does() {
    let fresh = out(&run(&["new", "-"]));
    let fits = run_with(&["prove", "-"], &fresh);
    assert_eq!(status(&fits), 0, "{}", err(&fits));
    let fails = run_with(&["prove", "-"], FAILING);
    assert_eq!(status(&fails), 1, "{}", err(&fails));
    assert!(out(&fails).contains("⧄ fails"), "{}", out(&fails));
}

#[test]
fn status_is_2_when_the_input_is_bad() {
    for (arguments, message) in [
        (
            vec!["prove", "no-such.toml"],
            "failed to open job \"no-such.toml\": no such file",
        ),
        (
            vec!["prove", "/"],
            "failed to open job \"/\": it is a folder",
        ),
        (vec!["prove"], "required"),
        (vec!["prvoe", "x"], "unrecognized subcommand"),
        (
            vec!["prove", "-", "--only", "garden"],
            "invalid value 'garden'",
        ),
        (vec!["prove", "-", "--worst", "-1"], "error:"),
        (vec!["prove", "-", "--write"], "--apply"),
        (
            vec!["prove", "-", "--apply", "x", "--write"],
            "can't be changed in place",
        ),
        (
            vec!["prove", "-", "--apply", "x", "--write", "--output", "y"],
            "cannot be used with",
        ),
        (
            vec!["explain", "no-such-check"],
            "there is no check or limit `no-such-check`",
        ),
        (vec!["schema", "house"], "invalid value 'house'"),
    ] {
        let output = run_with(&arguments, "format = 1\n[job]\nname = \"x\"\n");
        assert_eq!(status(&output), 2, "{arguments:?}");
        assert!(
            err(&output).contains(message),
            "{arguments:?}: {}",
            err(&output)
        );
        assert_eq!(out(&output), "", "{arguments:?}");
    }
}

#[test]
fn a_bad_job_is_reported_on_standard_error_and_proves_nothing() {
    let output = run_with(
        &["prove", "-", "--json"],
        "format = 1\n[job]\nnmae = \"x\"\n",
    );
    assert_eq!((status(&output), out(&output).as_str()), (2, ""));
    assert!(
        err(&output).contains("did you mean `name`?"),
        "{}",
        err(&output)
    );
    assert!(
        err(&output).contains("--> standard input:3:1"),
        "{}",
        err(&output)
    );
}

#[test]
fn a_file_that_is_no_text_is_refused_by_its_first_bad_byte() {
    let folder = folder();
    let path = folder.path().join("photo.toml");
    fs::write(&path, b"format\xff\xfe\x00").expect("written");
    let output = run(&["prove", text(&path)]);
    assert_eq!(status(&output), 2);
    assert!(
        err(&output).contains("is not text: byte 7"),
        "{}",
        err(&output)
    );
}

#[test]
fn colour_is_for_terminals_only() {
    let output = run_with(&["prove", "-"], FAILING);
    assert!(!out(&output).contains('\u{1b}'));
    assert!(!err(&run(&["prove", "no-such.toml"])).contains('\u{1b}'));
}

/// `script` gives the command a terminal to write to.
#[test]
fn a_terminal_gets_colour_unless_no_color_is_set() {
    let folder = folder();
    let job = folder.path().join("job.toml");
    fs::write(&job, FAILING).expect("written");
    let on_terminal = |no_color: &str| -> Option<String> {
        let line = format!("{} prove {}", env!("CARGO_BIN_EXE_dryfit"), text(&job));
        let output = Command::new("script")
            .args(["-qec", &line, "/dev/null"])
            .env("NO_COLOR", no_color)
            .env("TERM", "xterm")
            .stdin(Stdio::null())
            .output()
            .ok()?;
        Some(String::from_utf8_lossy(&output.stdout).into_owned())
    };
    let (Some(coloured), Some(plain)) = (on_terminal(""), on_terminal("1")) else {
        assert!(
            std::env::var_os("CI").is_none(),
            "CI needs the program `script`"
        );
        eprintln!("skipped: the program `script` is missing");
        return;
    };
    assert!(coloured.contains("\u{1b}["), "{coloured}");
    assert!(!plain.contains('\u{1b}'), "{plain}");
    assert!(plain.contains("⧄ fails"), "{plain}");
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    for arguments in [["schema", "job"], ["prove", "-"], ["new", "-"]] {
        let mut child = dryfit(&arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the command starts");
        drop(child.stdout.take());
        let mut stdin = child.stdin.take().expect("piped above");
        let _ = stdin.write_all(FAILING.as_bytes());
        drop(stdin);
        let mut message = String::new();
        let mut stderr = child.stderr.take().expect("piped above");
        stderr.read_to_string(&mut message).expect("text");
        let code = child.wait().expect("the command ends").code();
        assert!(
            matches!(code, Some(0 | 1)),
            "{arguments:?}: {code:?} {message}"
        );
        assert_eq!(message, "", "{arguments:?}");
    }
}

#[test]
fn lines_are_a_hundred_columns_wide_at_most() {
    let job = format!("{}/../../jobs/metric-flat.toml", env!("CARGO_MANIFEST_DIR"));
    for arguments in [
        vec!["prove", &job],
        vec!["explain"],
        vec!["verify"],
        vec!["--help"],
        vec!["prove", "--help"],
    ] {
        for line in out(&run(&arguments)).lines() {
            let columns = unicode_width::UnicodeWidthStr::width(line);
            assert!(columns <= 100, "{arguments:?}: {columns} columns: {line}");
        }
    }
}

#[test]
fn findings_can_be_narrowed() {
    let json = |more: &[&str]| -> serde_json::Value {
        let arguments: Vec<&str> = ["prove", "-", "--json"]
            .iter()
            .chain(more)
            .copied()
            .collect();
        serde_json::from_str(&out(&run_with(&arguments, FAILING))).expect("JSON")
    };
    let findings = |more: &[&str]| json(more)["findings"].as_array().expect("a list").clone();
    let all = findings(&[]);
    let picture = findings(&["--only", "picture"]);
    assert!(!picture.is_empty() && picture.len() < all.len());
    assert!(picture.iter().all(|finding| finding["area"] == "picture"));
    let both = findings(&["--only", "picture,survey"]);
    assert!(both.len() > picture.len() && both.iter().any(|finding| finding["area"] == "survey"));
    assert!(
        findings(&["--space", "den"])
            .iter()
            .all(|finding| finding["space"] == "den")
    );
    let worst = findings(&["--worst", "1", "--space", "den"]);
    assert_eq!(worst.len(), 1);
    assert_eq!(worst[0]["verdict"], "fails");
    // What is left out is still counted.
    assert_eq!(json(&["--worst", "1"])["counts"], json(&[])["counts"]);
    let output = run_with(&["prove", "-", "--space", "dne"], FAILING);
    assert_eq!(status(&output), 2);
    assert!(
        err(&output).contains("did you mean `den`?"),
        "{}",
        err(&output)
    );
}

#[test]
fn a_missing_fact_is_told_once_for_all_that_waits_for_it() {
    let text = out(&run_with(&["prove", "-"], &out(&run(&["new", "-"]))));
    let told = "needs the picture's diagonal of screen-s1";
    assert_eq!(text.matches(&format!("Can't tell yet: {told}")).count(), 1);
    for check in ["throw-ratio: projector", "picture-clear: screen"] {
        assert!(text.contains(&format!("          {check}\n")), "{text}");
    }
    // Each is still counted.
    let counted = text.lines().last().expect("the counts");
    assert!(!counted.contains("unknown 1 "), "{counted}");
}

#[test]
fn words_and_limits_are_explained_as_checks_are() {
    for (about, holds) in [
        ("limits", "beam_margin = 50"),
        ("beam_margin", "[rules]"),
        ("layouts", "4+5+0, as 5.1.4"),
        ("finishes", "plasterboard"),
        ("woods", "spruce-pine-fir"),
    ] {
        let output = run(&["explain", about]);
        assert_eq!(status(&output), 0, "{about}");
        assert!(out(&output).contains(holds), "{about}: {}", out(&output));
    }
}

#[test]
fn new_writes_a_job_that_proves_and_never_overwrites() {
    let folder = folder();
    let path = folder.path().join("mill-lane.toml");
    assert_eq!(status(&run(&["new", text(&path)])), 0);
    let written = fs::read_to_string(&path).expect("the file");
    assert!(written.contains("name = \"mill lane\""), "{written}");
    assert_eq!(status(&run(&["prove", text(&path)])), 0);
    let again = run(&["new", text(&path)]);
    assert_eq!(status(&again), 2);
    assert!(err(&again).contains("exists already"), "{}", err(&again));
    assert_eq!(fs::read_to_string(&path).expect("the file"), written);
}

#[test]
fn a_remedy_is_applied_and_comments_stay() {
    let folder = folder();
    let path = folder.path().join("job.toml");
    fs::write(&path, FAILING).expect("written");
    let json = out(&run(&["prove", text(&path), "--json"]));
    let proof: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let remedy = proof["findings"]
        .as_array()
        .expect("a list")
        .iter()
        .flat_map(|finding| finding["remedies"].as_array().expect("a list"))
        .find(|remedy| remedy["effect"]["refused"].is_null())
        .expect("a failing finding that can be mended");
    let id = remedy["id"].as_str().expect("text");

    let printed = run(&["prove", text(&path), "--apply", id]);
    assert_eq!(status(&printed), 0, "{}", err(&printed));
    assert_ne!(out(&printed), FAILING);
    assert_eq!(
        out(&printed).matches('#').count(),
        FAILING.matches('#').count()
    );
    assert!(err(&printed).contains("fails 1 → 0"), "{}", err(&printed));
    assert_eq!(fs::read_to_string(&path).expect("the file"), FAILING);

    let other = folder.path().join("other.toml");
    let written = run(&[
        "prove",
        text(&path),
        "--apply",
        id,
        "--output",
        text(&other),
    ]);
    assert_eq!((status(&written), out(&written).as_str()), (0, ""));
    assert_eq!(fs::read_to_string(&other).expect("the file"), out(&printed));
    let again = run(&[
        "prove",
        text(&path),
        "--apply",
        id,
        "--output",
        text(&other),
    ]);
    assert_eq!(status(&again), 2);

    assert_eq!(
        status(&run(&["prove", text(&path), "--apply", id, "--write"])),
        0
    );
    assert_eq!(fs::read_to_string(&path).expect("the file"), out(&printed));
    assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 2);
    assert_eq!(status(&run(&["prove", text(&path)])), 0);

    let slip = run(&["prove", text(&other), "--apply", "no/such/1"]);
    assert_eq!(status(&slip), 2);
    assert!(
        err(&slip).contains("there is no remedy `no/such/1`"),
        "{}",
        err(&slip)
    );
}

#[test]
fn manuals_are_printed_and_a_slip_in_a_name_is_guessed() {
    let list = out(&run(&["explain"]));
    let id = list
        .lines()
        .find_map(|line| {
            line.strip_prefix("  ")?
                .split(' ')
                .next()
                .filter(|id| !id.is_empty())
        })
        .expect("a check");
    let manual = run(&["explain", id]);
    assert_eq!(status(&manual), 0);
    for heading in ["proves", "matters", "formula", "source", "when it fails"] {
        assert!(
            out(&manual).contains(&format!("\n{heading}\n")),
            "{}",
            out(&manual)
        );
    }
    let slip = run(&["explain", &format!("{id}s")]);
    assert_eq!(status(&slip), 2);
    assert!(
        err(&slip).contains(&format!("did you mean `{id}`?")),
        "{}",
        err(&slip)
    );
}

#[test]
fn every_published_value_is_met() {
    let output = run(&["verify"]);
    assert_eq!(status(&output), 0, "{}", out(&output));
    assert!(out(&output).contains("values are met"));
}

#[test]
fn the_demo_proves_and_something_fails_there() {
    let folder = folder();
    let output = dryfit(&["demo"])
        .current_dir(folder.path())
        .output()
        .expect("the command starts");
    assert_eq!(status(&output), 1, "{}", err(&output));
    if cfg!(feature = "sheets") {
        let pdf = fs::read(folder.path().join("out/sheets.pdf")).expect("the sheets");
        assert!(pdf.starts_with(b"%PDF-"));
    }
}

#[cfg(feature = "sheets")]
#[test]
fn sheets_are_written_alike_each_time() {
    let folder = folder();
    let job = folder.path().join("job.toml");
    fs::write(&job, FAILING).expect("written");
    let sheets = |name: &str| -> Vec<(String, Vec<u8>)> {
        let to = folder.path().join(name);
        let output = run(&[
            "sheets",
            text(&job),
            "-o",
            text(&to),
            "--paper",
            "letter",
            "--date",
            "2026-05-04",
        ]);
        assert_eq!(status(&output), 0, "{}", err(&output));
        let mut files: Vec<_> = fs::read_dir(&to)
            .expect("the folder")
            .map(|entry| {
                let path = entry.expect("a file").path();
                let name = path
                    .file_name()
                    .expect("a name")
                    .to_string_lossy()
                    .into_owned();
                (name, fs::read(&path).expect("a file"))
            })
            .collect();
        files.sort();
        files
    };
    let first = sheets("a");
    assert!(first.iter().any(|(name, _)| name == "sheets.pdf"));
    assert!(first.iter().any(|(name, _)| name.ends_with(".svg")));
    assert!(first == sheets("b"), "the sheets differ");
    let file = folder.path().join("job.toml/out");
    let refused = run(&["sheets", text(&job), "-o", text(&file)]);
    assert_eq!(status(&refused), 2);
    assert!(
        err(&refused).contains("failed to write"),
        "{}",
        err(&refused)
    );
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let bytes = || run_with(&["prove", "-", "--json"], FAILING).stdout;
    assert_eq!(bytes(), bytes());
}

#[test]
fn a_comparison_tells_what_turned() {
    let jobs = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../jobs");
    let job = |name: &str| jobs.join(format!("harbour-lane-{name}.toml"));
    let (surveyed, settled) = (job("surveyed"), job("settled"));
    let told = run(&["compare", text(&surveyed), text(&settled)]);
    let said = out(&told);
    assert!(
        said.starts_with("Harbour Lane 9, revision 1 → Harbour Lane 9, revision 2\n"),
        "{said}"
    );
    assert!(
        said.contains("⧄ fails → ‖ tight  Arm studs: Arm over the fire"),
        "{said}"
    );
    let same = run(&["compare", text(&settled), text(&settled)]);
    assert!(out(&same).contains("none differs") && out(&same).contains("none turns"));
}

#[test]
fn a_scene_of_no_space_names_those_there_are() {
    let output = run_with(&["scene", "-", "--space", "dne"], FAILING);
    assert_eq!(status(&output), 2);
    assert!(
        err(&output).contains("there is no space `dne`"),
        "{}",
        err(&output)
    );
}

#[test]
fn a_job_is_put_away_and_back() {
    let folder = folder();
    let data = text(folder.path());
    let job = format!("{}/../../jobs/metric-flat.toml", env!("CARGO_MANIFEST_DIR"));
    let taken = run(&["import", &job, "--data", data]);
    assert_eq!(status(&taken), 0, "{}", err(&taken));
    let jobs = |more: &[&str]| {
        let all: Vec<&str> = ["jobs"]
            .iter()
            .chain(more)
            .chain(&["--data", data])
            .copied()
            .collect();
        run(&all)
    };
    let id = out(&jobs(&[]))
        .split(' ')
        .next()
        .expect("a line")
        .to_owned();
    let removed = jobs(&["remove", &id]);
    assert!(out(&removed).contains("puts it back"), "{}", err(&removed));
    assert!(out(&jobs(&[])).starts_with("no job is kept"));
    let away = out(&jobs(&["--removed"]));
    assert!(
        away.starts_with(&id) && away.contains("put away by"),
        "{away}"
    );
    assert_eq!(status(&jobs(&["restore", &id])), 0);
    assert!(out(&jobs(&[])).starts_with(&id));
    let nobody = jobs(&["remove", "nobody"]);
    assert_eq!(status(&nobody), 2);
    assert!(
        err(&nobody).contains("there is no job `nobody`"),
        "{}",
        err(&nobody)
    );
}

#[test]
fn bass_is_solved_once_and_kept() {
    let folder = folder();
    let data = text(folder.path());
    let flat = concat!(env!("CARGO_MANIFEST_DIR"), "/../../jobs/metric-flat.toml");
    let bass = |more: &[&str]| {
        let fixed = [
            "bass", flat, "--space", "main", "--subs", "1", "--data", data,
        ];
        run(&fixed.iter().chain(more).copied().collect::<Vec<_>>())
    };
    let first = bass(&[]);
    assert_eq!(status(&first), 0, "{}", err(&first));
    let told = out(&first);
    for words in [
        "solved up to 200 Hz, for 2 seats",
        "As planned",
        "Best place for one sub",
        "How long each third octave rings",
        "CAUTION: Loud sweeps",
    ] {
        assert!(told.contains(words), "{words} is missing: {told}");
    }
    let kept = || fs::read_dir(folder.path().join("solves")).expect("solves are kept");
    assert_eq!(kept().count(), 1);
    let again = bass(&["--json"]);
    assert_eq!(kept().count(), 1);
    let shown: serde_json::Value = serde_json::from_str(&out(&again)).expect("it is JSON");
    assert_eq!(shown["space"], "main");
    assert_eq!(shown["seats"].as_array().map(Vec::len), Some(2));

    // What is damaged on the disk is solved again, and says the same.
    let file = kept().next().expect("one is kept").expect("it can be read");
    fs::write(file.path(), b"no solve").expect("it can be written");
    assert_eq!(out(&bass(&[])), told);
    let nowhere = run(&["bass", flat, "--space", "attic", "--data", data]);
    assert_eq!(status(&nowhere), 2);
    assert!(err(&nowhere).contains("attic"), "{}", err(&nowhere));
}

#[test]
fn a_cable_takes_another_of_its_ways_and_goes_back() {
    let house = include_str!("../../../jobs/harbour-lane-settled.toml");
    let folder = folder();
    let path = folder.path().join("house.toml");
    fs::write(&path, house).expect("written");
    let of = |way: &str| {
        let asked = [
            "routes",
            text(&path),
            "--cable",
            "W18",
            "--apply",
            way,
            "--write",
        ];
        let output = run(&asked);
        let file = fs::read_to_string(&path).expect("still there");
        (status(&output), err(&output), file)
    };
    let (code, said, file) = of("other");
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("fails 0 → 0"), "{said}");
    assert!(file.contains("keeps_out_of = ["), "{said}");
    let (code, _, file) = of("back");
    assert_eq!((code, file.contains("keeps_out_of")), (0, false));
    // There is nothing to go back from.
    let (code, said, _) = of("back");
    assert_eq!(code, 2);
    assert!(said.contains("which ways there are"), "{said}");
}
