//! Evenness over seats of well-known subwoofer arrangements.

use geometry::Point3;
use units::Hertz;
use waves::{Admittance, Complex, Finish, Place};

use crate::rooms::{shoebox, solved, up_to};

#[test]
fn six_arrangements_are_as_even_as_the_exact_solution_says() {
    let room = shoebox(7.3152, 6.096, 2.7432);
    let offsets = [-0.9, -0.3, 0.3, 0.9];
    let ears: Vec<Point3> = offsets
        .iter()
        .flat_map(|x| {
            offsets
                .iter()
                .map(move |y| Point3::new(3.6576 + x, 3.048 + y, 1.1))
        })
        .collect();
    let modes = solved(&room, up_to(120.0), &ears);
    let places: Vec<Place> = ears
        .iter()
        .map(|p| modes.place(*p).expect("inside"))
        .collect();
    let frequencies: Vec<Hertz> = (0..49)
        .map(|i| Hertz(20.0 * 2f64.powf(f64::from(i) / 24.0)))
        .collect();
    let mut rows = 0;
    for line in include_str!("sub-placement-24x20x9.csv").lines().skip(2) {
        let fields: Vec<&str> = line.split(',').collect();
        let number = |i: usize| -> f64 { fields[i].parse().expect("a number") };
        let finish = Finish::new(vec![Admittance::normal(number(0)); 6]);
        let listening = modes.listening(&finish, &places, &frequencies);
        let subs: Vec<Vec<Vec<Complex>>> = fields[3]
            .split(' ')
            .map(|text| {
                let p: Vec<f64> = text
                    .split('/')
                    .map(|x| x.parse().expect("a number"))
                    .collect();
                listening.from(&modes.place(Point3::new(p[0], p[1], p[2])).expect("inside"))
            })
            .collect();
        let (mut variance, mut spread, mut level) = (0.0, 0.0, 0.0);
        for (f, hertz) in frequencies.iter().enumerate() {
            // Pressure by unit volume velocity: jωρ/(4π) times the response.
            let levels: Vec<f64> = (0..ears.len())
                .map(|ear| {
                    let sum: Complex = subs.iter().map(|s| s[ear][f]).sum();
                    20.0 * (sum.norm() * 0.5 * hertz.0 * 1.204).log10()
                })
                .collect();
            let mean = levels.iter().sum::<f64>() / levels.len() as f64;
            let square =
                levels.iter().map(|l| (l - mean).powi(2)).sum::<f64>() / levels.len() as f64;
            variance += square / 49.0;
            spread += square.sqrt() / 49.0;
            level += mean / 49.0;
        }
        level -= 20.0 * (subs.len() as f64).log10();
        let context = format!("{line}: {variance:.3} {spread:.3} {level:.2}");
        // Two printed decimals; the aim is 5 %.
        assert!(
            (variance - number(4)).abs() < 0.03 * number(4) + 0.005,
            "{context}"
        );
        assert!(
            (spread - number(5)).abs() < 0.02 * number(5) + 0.005,
            "{context}"
        );
        assert!((level - number(6)).abs() < 0.1, "{context}");
        rows += 1;
    }
    assert_eq!(rows, 18);
}
