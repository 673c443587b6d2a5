//! How long do the image sources of a large cinema take, and how long beside a general package?
//! Fifteen loudspeakers, eight seats, three orders, in a box that is treated as any other polyhedron.
//!
//! `PYTHON=/path/to/python cargo bench -p acoustics --bench images` runs pyroomacoustics' room of
//! walls and ours in turn, in one run, and tells processor times; where python lacks it it says so.

use std::io::{Write, stdout};
use std::process::Command;
use std::time::{Duration, Instant};

use acoustics::direction::Point;
use acoustics::enclosure::{Enclosure, prism};
use acoustics::images::Images;
use units::{Metres, MetresPerSecond, Seconds};

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const PEER: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../docs/validation/images_peer.py"
);

fn main() {
    divan::main();
    // `cargo test` starts benches too, and times nothing.
    if std::env::args().any(|argument| argument == "--bench") {
        let said = beside_peer().unwrap_or_else(|why| format!("not compared: {why}"));
        writeln!(stdout(), "{said}").expect("standard output takes a line");
    }
}

/// The least and the median of both, in turn with each other.
fn beside_peer() -> Result<String, String> {
    let (room, sources, ears) = cinema();
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    let mut version = String::new();
    for _ in 0..3 {
        ours.extend((0..40).map(|_| {
            let start = Instant::now();
            divan::black_box(count(&room, &sources, &ears, 3));
            start.elapsed()
        }));
        let told = peer(&sources, &ears)?;
        version = told.0;
        theirs.extend(told.1);
    }
    let [ours, theirs] = [ours, theirs].map(|mut times: Vec<Duration>| {
        times.sort_unstable();
        [times[0], times[times.len() / 2]].map(|time| time.as_secs_f64() * 1e3)
    });
    Ok(format!(
        "order 3, least and median: ours {:.2} and {:.2} ms, pyroomacoustics {version} {:.1} and {:.1} ms: {:.0} and {:.0} times",
        ours[0],
        ours[1],
        theirs[0],
        theirs[1],
        theirs[0] / ours[0],
        theirs[1] / ours[1],
    ))
}

/// The peer's version and its times.
fn peer(sources: &[Point], ears: &[Point]) -> Result<(String, Vec<Duration>), String> {
    let list = |points: &[Point]| {
        let numbers = points.iter().flatten().map(|part| part.0.to_string());
        numbers.collect::<Vec<_>>().join(" ")
    };
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let output = (Command::new(&python).arg(PEER))
        .args([list(sources), list(ears)])
        .output()
        .map_err(|error| format!("{python} does not start: {error}"))?;
    if !output.status.success() {
        let last = String::from_utf8_lossy(&output.stderr);
        return Err(last.lines().last().unwrap_or("it says nothing").to_owned());
    }
    let text = String::from_utf8_lossy(&output.stdout);
    let mut words = text.split_whitespace();
    let version = words.next().unwrap_or_default().to_owned();
    let times = words
        .map(|word| word.parse().map(Duration::from_secs_f64))
        .collect::<Result<_, _>>()
        .map_err(|error| format!("{text:?}: {error}"))?;
    Ok((version, times))
}

fn count(room: &Enclosure, sources: &[Point], ears: &[Point], order: usize) -> usize {
    let mut count = 0;
    for source in sources {
        let images = Images::new(room, *source, order);
        let paths = images.paths_to_each(ears, Seconds(1.0), MetresPerSecond(343.2));
        count += paths.iter().map(Vec::len).sum::<usize>();
    }
    count
}

fn cinema() -> (Enclosure, Vec<Point>, Vec<Point>) {
    let plan = [[0.0, 0.0], [7.2, 0.0], [7.2, 5.4], [0.0, 5.4]];
    let room = Enclosure::new(&prism(&plan.map(|corner| corner.map(Metres)), Metres(2.7)))
        .expect("a box is closed");
    let mut sources: Vec<[f64; 3]> = [0.8, 1.6, 2.7, 3.8, 4.6].map(|y| [0.4, y, 1.1]).to_vec();
    sources.extend([
        [3.0, 0.1, 1.3],
        [3.0, 5.3, 1.3],
        [6.8, 0.6, 1.3],
        [6.8, 4.8, 1.3],
    ]);
    for x in [1.5, 3.6, 5.7] {
        sources.extend([1.4, 4.0].map(|y| [x, y, 2.65]));
    }
    let ears = [3.6, 5.2].into_iter().flat_map(|x: f64| {
        [1.2, 2.2, 3.2, 4.2].map(|y| [x, y, 1.1 + if x > 4.0 { 0.25 } else { 0.0 }])
    });
    let points = |list: Vec<[f64; 3]>| list.into_iter().map(|p| p.map(Metres)).collect();
    (room, points(sources), points(ears.collect()))
}

#[divan::bench(args = [1, 2, 3])]
fn fifteen_loudspeakers_eight_seats(bencher: divan::Bencher<'_, '_>, order: usize) {
    let (room, sources, ears) = cinema();
    bencher.bench_local(|| count(&room, &sources, &ears, order));
}
