//! How long a room takes, by volume and top frequency: `cargo bench -p waves`.
//!
//! Prints wall time and processor time of both workers (Linux), so that a busy machine shows.

use std::ops::ControlFlow;
use std::time::Instant;

use geometry::Point3;
use units::Hertz;
use waves::{Admittance, Face, Finish, Place, Room, Settings, Solver};

/// A gabled room with plan 9 : 7, eaves 2.3 and ridge 4.1 at 200 m³, scaled to a volume.
fn gabled(volume_m3: f64) -> Room {
    let s = (volume_m3 / 201.6).cbrt();
    let section = [[0.0, 0.0], [7.0, 0.0], [7.0, 2.3], [3.5, 4.1], [0.0, 2.3]];
    let at = |x: f64, p: [f64; 2]| [x * s, p[0] * s, p[1] * s];
    let mut faces = vec![
        Face {
            outline: section.iter().rev().map(|p| at(0.0, *p)).collect(),
            holes: vec![],
            surface: 0,
        },
        Face {
            outline: section.iter().map(|p| at(9.0, *p)).collect(),
            holes: vec![],
            surface: 1,
        },
    ];
    for i in 0..5 {
        let (a, b) = (section[i], section[(i + 1) % 5]);
        let outline = vec![at(0.0, a), at(0.0, b), at(9.0, b), at(9.0, a)];
        faces.push(Face {
            outline,
            holes: vec![],
            surface: 2 + i,
        });
    }
    Room::new(&faces).expect("closed")
}

/// Processor time of this process, s.
fn processor_s() -> f64 {
    let Ok(text) = std::fs::read_to_string("/proc/self/stat") else {
        return 0.0;
    };
    let fields: Vec<&str> = text
        .rsplit(')')
        .next()
        .unwrap_or("")
        .split_whitespace()
        .collect();
    let ticks: f64 = [11, 12]
        .iter()
        .filter_map(|i| fields.get(*i)?.parse::<f64>().ok())
        .sum();
    ticks / 100.0
}

/// What memory gives each worker while all of them read and write, GB/s: the best of five sweeps
/// `a = b + s c` over arrays far beyond any cache (three numbers moved for each of `a`).
fn memory_gb_s() -> f64 {
    const NUMBERS: usize = 8 << 20;
    let workers = std::thread::available_parallelism().map_or(1, |count| count.get());
    let sweep = || {
        let (mut a, b, c) = (vec![0.0; NUMBERS], vec![1.0; NUMBERS], vec![2.0; NUMBERS]);
        let mut best = 0.0_f64;
        for factor in 0..5 {
            let start = Instant::now();
            let factor = f64::from(factor);
            for ((a, b), c) in a.iter_mut().zip(&b).zip(&c) {
                *a = *b + factor * *c;
            }
            let moved = 3.0 * 8.0 * NUMBERS as f64;
            best = best.max(moved / start.elapsed().as_secs_f64());
            std::hint::black_box(&a);
        }
        best / 1e9
    };
    let all: Vec<f64> = std::thread::scope(|scope| {
        let started: Vec<_> = (0..workers).map(|_| scope.spawn(sweep)).collect();
        let ended = started.into_iter().filter_map(|one| one.join().ok());
        ended.collect()
    });
    all.iter().sum::<f64>() / all.len().max(1) as f64
}

#[allow(clippy::print_stdout)]
fn main() {
    println!("memory: {:.1} GB/s for each worker", memory_gb_s());
    let chosen: Vec<f64> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let table = [
        (50.0, 200.0),
        (100.0, 200.0),
        (200.0, 120.0),
        (200.0, 200.0),
        (200.0, 250.0),
        (500.0, 150.0),
        (1000.0, 120.0),
        (2000.0, 100.0),
    ];
    let rows: Vec<(f64, f64)> = if let [volume, top] = chosen[..] {
        vec![(volume, top)]
    } else {
        table.to_vec()
    };
    println!(
        "volume m³ | top Hz | cells | cut | unknowns | basis | solve s | (processor s) | unknowns/s | bytes/unknown | 60 places × 5 ears × 90 f s | moved sub ms"
    );
    for (volume, top) in rows {
        let room = gabled(volume);
        let s = (volume / 201.6).cbrt();
        let ears: Vec<Point3> = (0..5)
            .map(|i| Point3::new(5.5 * s, (1.5 + i as f64) * s, 1.1 * s))
            .collect();
        let (start, used) = (Instant::now(), processor_s());
        let solver = Solver::new(&room, Settings::up_to(Hertz(top))).expect("fits");
        let mut stages = format!("laid {:.2}", processor_s() - used);
        let mut last = 0.0;
        let modes = solver
            .run(&ears, &mut |share| {
                if share - last > 0.1 || share > 0.7 {
                    last = share;
                    stages += &format!(", {share:.2}: {:.2}", processor_s() - used);
                }
                ControlFlow::Continue(())
            })
            .expect("settles");
        let (wall, cpu) = (start.elapsed().as_secs_f64(), processor_s() - used);
        let size = solver.size();
        let finish = Finish::new(vec![Admittance::diffuse(0.1); room.surfaces()]);
        let places: Vec<Place> = (0..60)
            .filter_map(|i| {
                modes.place(Point3::new(
                    0.2 * s + (i % 10) as f64 * 0.85 * s,
                    0.2 * s + (i / 10) as f64 * s,
                    0.2 * s,
                ))
            })
            .collect();
        let heard: Vec<Place> = ears.iter().filter_map(|e| modes.place(*e)).collect();
        let frequencies: Vec<Hertz> = (0..90)
            .map(|i| Hertz(15.0 * (top / 15.0).powf(f64::from(i) / 89.0)))
            .collect();
        let (start, used) = (Instant::now(), processor_s());
        let listening = modes.listening(&finish, &heard, &frequencies);
        let all = listening.from_each(&places);
        let (pairs, pairs_cpu) = (start.elapsed().as_secs_f64(), processor_s() - used);
        let start = Instant::now();
        let moved = listening.from(
            &modes
                .place(Point3::new(0.4 * s, 0.4 * s, 0.3 * s))
                .expect("inside"),
        );
        let one = start.elapsed().as_secs_f64() * 1e3;
        assert_eq!((all.len(), moved.len()), (places.len(), 5));
        println!(
            "{volume} | {top} | {} | {} | {} | {} | {wall:.2} | ({cpu:.2}) | {:.0} | {:.0} | {pairs:.2} ({pairs_cpu:.2}) | {one:.2}",
            size.cells,
            size.cut_cells,
            size.unknowns,
            modes.basis_len(),
            size.unknowns as f64 / wall,
            size.bytes / size.unknowns as f64,
        );
        println!("    processor s by share done: {stages}");
    }
}
