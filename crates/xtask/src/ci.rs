//! Is the tree fit to share? Every step of CI, quickest first, stopping at the first that fails.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use crate::tidy;

type Step = fn(&Path) -> Result<(), String>;

const STEPS: &[(&str, Step)] = &[
    ("formatting", formatting),
    ("house rules", tidy::run),
    ("clippy", clippy),
    ("build the command", build),
    ("published values", verify),
    ("the page's types", page_types),
    ("the page's tests", page_tests),
    ("junk for the server", fuzz_http),
    ("doc tests", doc_tests),
    ("tests", tests),
];

pub fn run(root: &Path) -> Result<(), String> {
    run_steps(STEPS, root)
}

fn run_steps(steps: &[(&str, Step)], root: &Path) -> Result<(), String> {
    for (number, (name, step)) in (1..).zip(steps) {
        println!("\nci {number}/{} {name}", steps.len());
        let start = Instant::now();
        step(root).map_err(|reason| {
            let seconds = start.elapsed().as_secs_f64();
            format!("ci stopped at \"{name}\" after {seconds:.1} s: {reason}")
        })?;
        // Cargo's closing lines end the run, so the last step prints its own time above them.
        if number < steps.len() {
            println!("ci {name}: {:.1} s", start.elapsed().as_secs_f64());
        }
    }
    Ok(())
}

fn formatting(root: &Path) -> Result<(), String> {
    succeed(
        cargo(root).args(["fmt", "--all", "--check"]),
        "run `cargo fmt --all`",
    )
}

fn clippy(root: &Path) -> Result<(), String> {
    let mut command = cargo(root);
    command.args([
        "clippy",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]);
    succeed(&mut command, "mend what clippy lists above")
}

/// The same words as in `./run`, so that one build serves both.
fn build(root: &Path) -> Result<(), String> {
    let mut command = cargo(root);
    command.args(["build", "--workspace", "--bin", "dryfit"]);
    succeed(&mut command, "the command doesn't build")
}

/// Recomputes each published value that the checks carry.
fn verify(root: &Path) -> Result<(), String> {
    // Cargo puts the workspace's binaries side by side: no second guess at the target folder.
    let own =
        std::env::current_exe().map_err(|error| format!("can't find xtask itself: {error}"))?;
    let dryfit = own.with_file_name(format!("dryfit{}", std::env::consts::EXE_SUFFIX));
    if !dryfit.is_file() {
        return Err(format!(
            "{} is missing; run `cargo xtask` in the dev profile",
            dryfit.display()
        ));
    }
    succeed(
        Command::new(dryfit).arg("verify").current_dir(root),
        "a published value is not met, see the table above",
    )
}

/// Every type of the page and of its tests.
fn page_types(root: &Path) -> Result<(), String> {
    succeed(npm(root).args(["run", "check"]), "mend the types above")
}

/// Units of the page, and the page as a whole in a browser, against the program built above.
fn page_tests(root: &Path) -> Result<(), String> {
    succeed(npm(root).arg("test"), "a test of the page fails, see above")
}

/// Made-up and harmful requests, against the program built above. Without the library that makes
/// them up it is skipped at a desk, in words, and fails in CI.
fn fuzz_http(root: &Path) -> Result<(), String> {
    let mut command = Command::new("fuzz/http/run");
    command.current_dir(root).arg("--quick");
    succeed(&mut command, "the server answers badly, see above")
}

fn doc_tests(root: &Path) -> Result<(), String> {
    let mut command = cargo(root);
    command.args(["test", "--workspace", "--doc", "--quiet"]);
    succeed(&mut command, "an example in the docs is wrong")
}

/// All tests but the doc tests, which run first because their closing line is often "0 passed".
fn tests(root: &Path) -> Result<(), String> {
    let start = Instant::now();
    let mut command = cargo(root);
    command.args(["test", "--workspace", "--no-fail-fast"]);
    command.args(["--lib", "--bins", "--tests", "--examples"]);
    let mut child = command
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| format!("can't start cargo: {error}"))?;
    let output = BufReader::new(
        child
            .stdout
            .take()
            .expect("stdout is piped two lines above"),
    );
    forward(output, &mut std::io::stdout(), || {
        start.elapsed().as_secs_f64()
    })
    .map_err(|error| format!("can't pass on cargo's lines: {error}"))?;
    let status = child
        .wait()
        .map_err(|error| format!("can't wait for cargo: {error}"))?;
    if status.success() {
        Ok(())
    } else {
        Err("a test fails, see above".to_owned())
    }
}

/// Passes cargo's lines on as they come, and puts our own sum before the last `test result:`.
fn forward(
    lines: impl BufRead,
    out: &mut impl Write,
    elapsed_s: impl Fn() -> f64,
) -> std::io::Result<()> {
    let (mut passed, mut failed) = (0, 0);
    // A result, and the blank lines behind it, wait here until something follows.
    let mut held: Vec<String> = Vec::new();
    for line in lines.lines() {
        let line = line?;
        if held.is_empty() && !line.starts_with("test result:") {
            writeln!(out, "{line}")?;
            continue;
        }
        if !line.trim().is_empty() {
            for line in held.drain(..) {
                writeln!(out, "{line}")?;
            }
        }
        if line.starts_with("test result:") || line.trim().is_empty() {
            passed += count_before(&line, " passed;");
            failed += count_before(&line, " failed;");
            held.push(line);
        } else {
            writeln!(out, "{line}")?;
        }
    }
    writeln!(
        out,
        "ci tests: {passed} passed, {failed} failed, {:.1} s",
        elapsed_s()
    )?;
    for line in held {
        writeln!(out, "{line}")?;
    }
    out.flush()
}

/// 12 before ` passed;` in `test result: ok. 12 passed; 0 failed; …`; zero in any other line.
fn count_before(line: &str, word: &str) -> u64 {
    line.split_once(word)
        .and_then(|(before, _)| before.rsplit(' ').next())
        .and_then(|count| count.parse().ok())
        .unwrap_or(0)
}

pub fn cargo(root: &Path) -> Command {
    // Cargo names itself to what it runs; a bare `xtask` takes the one on the path.
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(root);
    command
}

/// Runs a script of `web/package.json`; `./test` fetches the packages that it needs.
pub fn npm(root: &Path) -> Command {
    let mut command = Command::new("npm");
    command.current_dir(root.join("web")).arg("--silent");
    command
}

pub fn succeed(command: &mut Command, otherwise: &str) -> Result<(), String> {
    let name = command.get_program().to_string_lossy().into_owned();
    let status = command
        .status()
        .map_err(|error| format!("can't start {name}: {error}"))?;
    if status.success() {
        Ok(())
    } else {
        Err(otherwise.to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn forwarded(lines: &str) -> String {
        let mut out = Vec::new();
        forward(lines.as_bytes(), &mut out, || 1.5).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn the_sum_stands_before_cargos_closing_line() {
        let cargo = "running 2 tests\n\n\
            test result: ok. 2 passed; 0 failed; 0 ignored\n\n\
            running 3 tests\n\
            test result: ok. 3 passed; 0 failed; 0 ignored\n\n";
        let expected = "running 2 tests\n\n\
            test result: ok. 2 passed; 0 failed; 0 ignored\n\n\
            running 3 tests\n\
            ci tests: 5 passed, 0 failed, 1.5 s\n\
            test result: ok. 3 passed; 0 failed; 0 ignored\n\n";
        assert_eq!(forwarded(cargo), expected);
    }

    #[test]
    fn two_results_in_a_row_keep_their_order() {
        let cargo = "test result: FAILED. 1 passed; 2 failed; a\ntest result: ok. 4 passed; b\n";
        let expected = "test result: FAILED. 1 passed; 2 failed; a\n\
            ci tests: 5 passed, 2 failed, 1.5 s\ntest result: ok. 4 passed; b\n";
        assert_eq!(forwarded(cargo), expected);
    }

    #[test]
    fn a_failing_step_stops_the_run_and_is_named() {
        let steps: &[(&str, Step)] = &[
            ("first", |_| Ok(())),
            ("second", |_| Err("a wall is open".to_owned())),
            ("third", |_| panic!("reached")),
        ];
        let message = run_steps(steps, Path::new(".")).unwrap_err();
        assert!(
            message.starts_with("ci stopped at \"second\" after "),
            "{message}"
        );
        assert!(message.ends_with(" s: a wall is open"), "{message}");
    }

    #[test]
    fn a_program_that_fails_or_is_missing_is_an_error() {
        let mut failing = Command::new("false");
        assert_eq!(succeed(&mut failing, "why").unwrap_err(), "why");
        let mut missing = Command::new("/nonexistent/program");
        assert!(
            succeed(&mut missing, "why")
                .unwrap_err()
                .contains("can't start")
        );
        assert!(succeed(&mut Command::new("true"), "why").is_ok());
    }
}
