//! Damped boxes against the exact Green function with Robin walls, in level and phase.

use geometry::Point3;
use units::Hertz;
use waves::{Admittance, Complex, Finish, Place, level_db};

use crate::rooms::{shoebox, solved, up_to};

struct Row {
    f: f64,
    ear: usize,
    at: Point3,
    pressure: Complex,
    level_db: f64,
}

fn rows(text: &str) -> Vec<Row> {
    let numbers = |line: &str| -> Vec<f64> {
        line.split(',')
            .skip(1)
            .map(|x| x.parse().expect("a number"))
            .collect()
    };
    text.lines()
        .skip(2)
        .map(|line| {
            let n = numbers(line);
            Row {
                f: n[0],
                ear: n[1] as usize,
                at: Point3::new(n[2], n[3], n[4]),
                pressure: Complex::new(n[5], n[6]),
                level_db: n[7],
            }
        })
        .collect()
}

/// The table's α by wall x0, x1, y0, y1, z0, z1 in the prism's order.
fn finish(alpha: [f64; 6]) -> Finish {
    let order = [4, 5, 2, 1, 3, 0];
    Finish::new(
        order
            .iter()
            .map(|i| Admittance::normal(alpha[*i]))
            .collect(),
    )
}

/// Root mean square error in dB above −20 dB of the mean level, and the largest relative error of
/// the complex pressure there.
fn errors(text: &str, size: [f64; 3], alpha: [f64; 6], source: Point3) -> (f64, f64) {
    let rows = rows(text);
    let ears: Vec<Point3> = {
        let count = rows.iter().map(|r| r.ear + 1).max().expect("rows");
        (0..count)
            .map(|e| rows.iter().find(|r| r.ear == e).expect("each ear").at)
            .collect()
    };
    let room = shoebox(size[0], size[1], size[2]);
    let modes = solved(&room, up_to(200.0), &ears);
    let places: Vec<Place> = ears
        .iter()
        .map(|p| modes.place(*p).expect("inside"))
        .collect();
    let mut frequencies: Vec<f64> = rows.iter().map(|r| r.f).collect();
    frequencies.dedup();
    let hertz: Vec<Hertz> = frequencies.iter().map(|f| Hertz(*f)).collect();
    let finish = finish(alpha);
    let responses = modes
        .listening(&finish, &places, &hertz)
        .from(&modes.place(source).expect("inside"));
    let mean = rows.iter().map(|r| r.level_db).sum::<f64>() / rows.len() as f64;
    let (mut square, mut count, mut worst) = (0.0, 0, 0.0f64);
    for row in rows.iter().filter(|r| r.level_db > mean - 20.0) {
        let f = frequencies
            .iter()
            .position(|f| *f == row.f)
            .expect("listed");
        let response = responses[row.ear][f];
        square += (level_db(response) - row.level_db).powi(2);
        count += 1;
        // p/Q = jωρ · response/(4π), ρ = 1.204 kg/m³.
        let pressure = Complex::new(0.0, 0.5 * row.f * 1.204) * response;
        worst = worst.max((pressure - row.pressure).norm() / row.pressure.norm());
    }
    ((square / f64::from(count)).sqrt(), worst)
}

/// The aim is 1 dB.
#[test]
fn six_different_walls_give_the_exact_response() {
    let source = Point3::new(0.35, 0.45, 0.25);
    let alpha = [0.1, 0.25, 0.08, 0.12, 0.05, 0.15];
    let (rms_db, complex) = errors(
        include_str!("response-box.csv"),
        [7.0, 5.0, 2.7],
        alpha,
        source,
    );
    assert!(rms_db < 0.2 && complex < 0.2, "{rms_db} dB, {complex}");
}

#[test]
fn a_lightly_damped_room_gives_the_exact_response() {
    let source = Point3::new(0.25, 0.25, 0.2);
    let (rms_db, complex) = errors(
        include_str!("response-24x20x9.csv"),
        [7.3152, 6.096, 2.7432],
        [0.05; 6],
        source,
    );
    assert!(rms_db < 0.1 && complex < 0.1, "{rms_db} dB, {complex}");
}
