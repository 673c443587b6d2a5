//! How long do the image sources of a large cinema take? Fifteen loudspeakers, eight seats,
//! three orders, in a box that is treated as any other polyhedron.

use acoustics::direction::Point;
use acoustics::enclosure::{Enclosure, prism};
use acoustics::images::Images;
use units::{Metres, MetresPerSecond, Seconds};

fn main() {
    divan::main();
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
    bencher.bench_local(|| {
        let mut count = 0;
        for source in &sources {
            let images = Images::new(&room, *source, order);
            for ear in &ears {
                count += images
                    .paths(*ear, Seconds(1.0), MetresPerSecond(343.2))
                    .len();
            }
        }
        count
    });
}
