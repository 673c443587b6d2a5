//! How long does a table of the sun take beside pvlib's, in one run?
//!
//! `PYTHON=/path/to/python cargo bench -p light --bench sun_beside_pvlib`: the sun at each hour
//! of a year, the least of several runs of each, and their ratio. Where python has no pvlib it
//! says so and ends.

use std::io::{Write, stdout};
use std::process::Command;
use std::time::{Duration, Instant as Watch};

use light::sun::{Instant, Site};
use units::{Metres, Radians};

const SCRIPT: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../docs/validation/sun_table.py"
);
/// 2026-01-01 00:00 UTC.
const NEW_YEAR_S: f64 = 1_767_225_600.0;
const HOURS: u32 = 8760;
/// Below the horizon the two take the air's refraction away at other heights: half a degree
/// for a few hundred of the hours, a hundredth of a degree on the mean.
const MEAN_MOST_DEG: f64 = 0.05;

fn main() {
    // `cargo test` starts benches too, and times nothing.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let said = compare().unwrap_or_else(|why| format!("not compared with pvlib: {why}"));
    writeln!(stdout(), "{said}").expect("standard output takes a line");
}

fn compare() -> Result<String, String> {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let output = (Command::new(&python).arg(SCRIPT).output())
        .map_err(|error| format!("{python} does not start: {error}"))?;
    if !output.status.success() {
        let last = String::from_utf8_lossy(&output.stderr);
        return Err(last.lines().last().unwrap_or("it says nothing").to_owned());
    }
    let text = String::from_utf8_lossy(&output.stdout);
    let words: Vec<&str> = text.split_whitespace().collect();
    let [version, seconds, heights] = words[..] else {
        return Err(format!("it says {text:?}"));
    };
    let number = |text: &str| {
        text.parse::<f64>()
            .map_err(|error| format!("{text}: {error}"))
    };
    let (theirs_s, their_heights) = (number(seconds)?, number(heights)?);
    let (ours, our_heights) = table();
    let apart = (our_heights - their_heights).abs() / f64::from(HOURS);
    if apart > MEAN_MOST_DEG {
        return Err(format!("the mean heights differ by {apart}°"));
    }
    let ours_s = ours.as_secs_f64();
    Ok(format!(
        "{HOURS} hours: ours {:.2} ms, pvlib {version} {:.2} ms: {:.1} times; mean heights {apart:.4}° apart",
        ours_s * 1e3,
        theirs_s * 1e3,
        theirs_s / ours_s
    ))
}

/// The least time of five runs, and the sum of the heights in degrees.
fn table() -> (Duration, f64) {
    let (latitude, longitude) = (Radians::from_degrees(43.1), Radians::from_degrees(-70.8));
    let site = Site::new(latitude, longitude, Metres(20.0)).expect("a place");
    let mut least = Duration::MAX;
    let mut heights = 0.0;
    for _ in 0..5 {
        let watch = Watch::now();
        heights = (0..HOURS)
            .filter_map(|hour| site.sun(Instant(NEW_YEAR_S + 3600.0 * f64::from(hour))))
            .map(|sun| sun.height.degrees())
            .sum();
        least = least.min(watch.elapsed());
    }
    (least, heights)
}
