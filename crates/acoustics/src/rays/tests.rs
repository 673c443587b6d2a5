//! Balance, known decays, and the mean free path.

use super::*;
use crate::air::SPEED_AT_20_C;
use crate::enclosure::prism;
use crate::reverberation::{BandRoom, Surface};
use units::{CubicMetres, SquareMetres};

fn shoebox(sides: [f64; 3]) -> Enclosure {
    let [x, y, z] = sides;
    let plan = [[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]];
    Enclosure::new(&prism(&plan.map(|c| c.map(Metres)), Metres(z))).unwrap()
}

fn tracing(rays: u32, until: f64) -> Tracing {
    Tracing {
        rays,
        until: Seconds(until),
        air: [Attenuation::default(); BANDS],
        speed: SPEED_AT_20_C,
        seed: 7,
    }
}

fn told(room: &Enclosure, faces: &[RayFace], tracing: &Tracing) -> EnergyDecay {
    trace(room, faces, [1.1, 0.9, 1.3].map(Metres), tracing, |_| false).unwrap()
}

#[test]
fn no_energy_is_made_or_lost() {
    let room = shoebox([6.0, 4.0, 2.4]);
    let faces: Vec<RayFace> = (0..6)
        .map(|face| RayFace {
            alpha: [0.02, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0].map(|a: f64| a / f64::from(face + 1)),
            scattering: 0.1 * f64::from(face),
        })
        .collect();
    let mut tracing = tracing(2000, 0.6);
    tracing.air = [Attenuation::from_db_per_m(0.03); BANDS];
    let told = told(&room, &faces, &tracing);
    assert_eq!(told.lost, 0);
    for band in 0..BANDS {
        let sum = told.taken_by_faces[band] + told.taken_by_air[band] + told.left[band];
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        assert!((told.in_air[0][band] - 1.0).abs() < 1e-9);
        assert!(told.taken_by_air[band] > 0.0);
    }
}

#[test]
fn a_scattering_room_decays_as_eyring_has_it() {
    // Even absorption and full scattering: a diffuse field, whose decay is known.
    let room = shoebox([6.0, 5.0, 3.5]);
    let alphas = [0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4];
    let faces = [RayFace {
        alpha: alphas,
        scattering: 1.0,
    }; 6];
    let told = told(&room, &faces, &tracing(8000, 3.0));
    let area = 2.0 * (30.0 + 21.0 + 17.5);
    for (band, alpha) in alphas.into_iter().enumerate() {
        let surface = Surface {
            area: SquareMetres(area),
            alpha,
        };
        let eyring = BandRoom::new(CubicMetres(105.0), vec![surface])
            .unwrap()
            .eyring();
        let found = told.t20(band).unwrap();
        // Ways between faces are not all alike: Kuttruff's correction of Eyring's exponent,
        // 1 + γ²/2 ln(1 − α) with γ² about 0.4 (H. Kuttruff, Room Acoustics, from memory).
        let corrected = eyring.0 / (1.0 + 0.2 * (1.0 - alpha).ln());
        assert!(
            (found.0 / corrected - 1.0).abs() < 0.03,
            "{alpha}: {} {corrected}",
            found.0
        );
    }
}

#[test]
fn the_air_alone_decays_as_its_attenuation_says() {
    let room = shoebox([6.0, 4.0, 2.4]);
    let faces = [RayFace {
        alpha: [0.0; BANDS],
        scattering: 0.3,
    }; 6];
    let mut tracing = tracing(200, 1.0);
    let air = Attenuation::from_db_per_m(0.1);
    tracing.air = [air; BANDS];
    let told = told(&room, &faces, &tracing);
    // 0.1 dB/m · 343.2 m/s is 34.32 dB/s: 60 dB in 1.748 s.
    assert!(
        (told
            .time_between(0, Decibels(-2.0), Decibels(-20.0))
            .unwrap()
            .0
            - 1.7483)
            .abs()
            < 1e-3
    );
}

#[test]
fn the_mean_way_is_four_volumes_over_the_area() {
    for sides in [[6.0, 5.0, 3.5], [8.0, 4.0, 2.5]] {
        let room = shoebox(sides);
        let faces = [RayFace {
            alpha: [0.0; BANDS],
            scattering: 0.5,
        }; 6];
        let tracing = tracing(2000, 0.5);
        let told = told(&room, &faces, &tracing);
        let [x, y, z] = sides;
        let exact = 4.0 * x * y * z / (2.0 * (x * y + y * z + z * x));
        let found = mean_free_path(&told, 2000, Seconds(0.5), SPEED_AT_20_C);
        assert!((found.0 / exact - 1.0).abs() < 0.02, "{} {exact}", found.0);
    }
}

#[test]
fn the_same_seed_gives_the_same_answer_and_it_can_be_stopped() {
    let room = shoebox([4.0, 3.0, 2.4]);
    let faces = [RayFace {
        alpha: [0.2; BANDS],
        scattering: 0.4,
    }; 6];
    let once = told(&room, &faces, &tracing(1500, 0.3));
    assert_eq!(once, told(&room, &faces, &tracing(1500, 0.3)));
    let source = [1.0; 3].map(Metres);
    assert!(
        trace(&room, &faces, source, &tracing(5000, 0.3), |ray| ray
            >= 2000)
        .is_none()
    );
}

#[test]
fn an_uneven_box_of_mirrors_rings_longer_than_eyring() {
    // A dead floor and ceiling, live walls: sound between the walls lives on.
    let room = shoebox([6.0, 5.0, 3.0]);
    let face = |alpha, scattering| RayFace {
        alpha: [alpha; BANDS],
        scattering,
    };
    let alphas = [0.05, 0.05, 0.05, 0.05, 0.6, 0.6];
    let time = |scattering| {
        let faces = alphas.map(|alpha| face(alpha, scattering));
        told(&room, &faces, &tracing(4000, 2.0)).t30(0).unwrap().0
    };
    assert!(time(0.05) > 1.3 * time(0.9));
}
