//! How long a room's year takes.
//!
//! Goal: every hour of a day of each month in a room with four windows ≤ 50 ms on one core,
//! the room's own working out included.

use divan::Bencher;
use geometry::{Ceiling, Plan, Point2, Point3, Solid, Surface, Vec2};
use light::clock::Clock;
use light::compass::Compass;
use light::horizon::Horizon;
use light::mesh::Spot;
use light::outside::{Outside, SkyDome, Weather};
use light::room_light::{PictureLight, Room, RoomLight, Window};
use light::sun::{Instant, Site};
use light::year::Year;
use units::{Metres, Radians};

fn main() {
    divan::main();
}

fn solid() -> Solid {
    let corners = [(0.0, 0.0), (0.0, 4.0), (6.0, 4.0), (6.0, 0.0)];
    let plan = Plan::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec()).expect("a box");
    let ceiling = Ceiling::flat(Metres(2.4)).expect("a height");
    Solid::new(plan, ceiling, vec![]).expect("a closed box")
}

fn spot(wall: usize, corner: Point3, along: Point2, size: [f64; 2]) -> Spot {
    let at =
        |u: f64, v: f64| Point3::new(corner.x + along.x * u, corner.y + along.y * u, corner.z + v);
    Spot {
        corners: [
            at(0.0, 0.0),
            at(size[0], 0.0),
            at(size[0], size[1]),
            at(0.0, size[1]),
        ],
        surface: Surface::Wall(wall),
    }
}

fn windows() -> Vec<Window> {
    let along_x = Point2::new(1.0, 0.0);
    let along_y = Point2::new(0.0, 1.0);
    [
        spot(1, Point3::new(1.0, 4.0, 0.9), along_x, [1.2, 1.2]),
        spot(1, Point3::new(3.5, 4.0, 0.9), along_x, [1.2, 1.2]),
        spot(2, Point3::new(6.0, 1.2, 0.9), along_y, [1.6, 1.2]),
        spot(3, Point3::new(2.0, 0.0, 0.9), along_x, [1.2, 1.2]),
    ]
    .map(|spot| Window {
        spot,
        panes: 2,
        overhang: None,
    })
    .to_vec()
}

fn light(solid: &Solid, windows: &[Window]) -> RoomLight {
    RoomLight::new(&Room {
        solid,
        compass: Compass::of(Vec2::new(1.0, 0.0), Radians::from_degrees(200.0))
            .expect("a direction"),
        horizon: &Horizon::default(),
        windows,
        patch_m: 1.0,
    })
    .expect("a room")
    .with_picture(picture(0.8))
    .expect("patches")
}

fn picture(height: f64) -> Spot {
    let corner = Point3::new(0.0, 0.8, height);
    spot(0, corner, Point2::new(0.0, 1.0), [2.2, 1.24])
}

fn grey(light: &RoomLight) -> PictureLight {
    let share = |surface, _| if surface == Surface::Floor { 0.2 } else { 0.7 };
    light.on_picture(share).expect("grey surfaces")
}

fn site() -> Site {
    let (latitude, longitude) = (Radians::from_degrees(43.1), Radians::from_degrees(-70.8));
    Site::new(latitude, longitude, Metres(20.0)).expect("a place")
}

fn year(room: &RoomLight, picture: &PictureLight, dome: &SkyDome) -> f64 {
    let clock = Clock::of("America/New_York").expect("a zone");
    let year = Year {
        site: site(),
        clock: &clock,
        year: 2026,
    };
    let map = year.map(|sun| {
        let outside = Outside::new(dome, site(), sun, Weather::Clear, 0.2).expect("a sky");
        picture
            .daylight(room, &outside)
            .iter()
            .map(|window| window.lux())
            .sum::<f64>()
    });
    map.iter().flatten().flatten().sum()
}

#[divan::bench]
fn room_of_four_windows(bencher: Bencher) {
    let (solid, windows) = (solid(), windows());
    bencher.bench_local(|| light(&solid, &windows));
}

#[divan::bench]
fn moved_picture(bencher: Bencher) {
    let (solid, windows) = (solid(), windows());
    let light = light(&solid, &windows);
    bencher.bench_local(|| light.with_picture(picture(0.9)));
}

#[divan::bench]
fn other_paint(bencher: Bencher) {
    let (solid, windows) = (solid(), windows());
    let light = light(&solid, &windows);
    bencher.bench_local(|| grey(&light).returned());
}

#[divan::bench]
fn year_map(bencher: Bencher) {
    let (solid, windows) = (solid(), windows());
    let light = light(&solid, &windows);
    let picture = grey(&light);
    let dome = SkyDome::new();
    bencher.bench_local(|| year(&light, &picture, &dome));
}

#[divan::bench]
fn room_and_year_map(bencher: Bencher) {
    let (solid, windows) = (solid(), windows());
    bencher.bench_local(|| {
        let light = light(&solid, &windows);
        year(&light, &grey(&light), &SkyDome::new())
    });
}

/// The sun at each hour of a year.
#[divan::bench]
fn sun_table_of_8760_hours(bencher: Bencher) {
    let site = site();
    bencher.bench_local(|| {
        let hours = (0..8760).map(|hour| Instant(1_767_225_600.0 + 3600.0 * f64::from(hour)));
        hours
            .filter_map(|at| site.sun(at))
            .map(|sun| sun.height.0)
            .sum::<f64>()
    });
}
