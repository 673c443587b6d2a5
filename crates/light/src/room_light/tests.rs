//! The direct light against a plain double sum, the beam against its own geometry, the room
//! against the daylight factor's rule.

use geometry::Vec2;
use units::{Lux, Metres, Radians};

use super::*;
use crate::mesh::tests::{den, on_first_wall};
use crate::outside::Weather;
use crate::sky_luminance::{OVERCAST, UNIFORM};
use crate::sun::{Site, SunPosition};
use crate::window::SunOnWindow;

/// On the wall opposite the picture, x = 6, which runs from y = 4 to y = 0.
fn window(from_left: f64, sill: f64, width: f64, height: f64) -> Window {
    let at = |along: f64, z: f64| Point3::new(6.0, 4.0 - from_left - along, sill + z);
    Window {
        spot: Spot {
            corners: [
                at(0.0, 0.0),
                at(width, 0.0),
                at(width, height),
                at(0.0, height),
            ],
            surface: Surface::Wall(2),
        },
        panes: 2,
        overhang: None,
    }
}

/// The window's wall faces south.
fn compass() -> Compass {
    Compass::of(Vec2::new(1.0, 0.0), Radians::from_degrees(180.0)).unwrap()
}

fn light(windows: &[Window], horizon: &Horizon, patch_m: f64) -> RoomLight {
    let solid = den();
    RoomLight::new(&Room {
        solid: &solid,
        compass: compass(),
        horizon,
        windows,
        patch_m,
    })
    .and_then(|room| room.with_picture(picture()))
    .unwrap()
}

fn picture() -> Spot {
    on_first_wall(1.0, 0.8, 2.0, 1.125)
}

fn sun(height: f64, azimuth: f64) -> SunPosition {
    SunPosition {
        height: Radians::from_degrees(height),
        azimuth: Radians::from_degrees(azimuth),
    }
}

#[test]
fn straight_light_is_that_of_a_plain_double_sum() {
    let window = window(1.3, 0.9, 1.4, 1.2);
    let open = Horizon::default();
    let light = light(&[window], &open, 0.8);
    let black = light.on_picture(|_, _| 0.0).unwrap();
    let outside = Outside::of_sky(
        &SkyDome::new(),
        UNIFORM,
        sun(20.0, 180.0),
        Lux(1000.0 * std::f64::consts::PI),
    );
    let found = black.daylight(&light, &outside)[0].sky_lux;
    // cos cos/r² over 60 × 60 points of the glass and 12 × 12 of the picture; L = 1000 cd/m²
    // from above the horizon, nothing from below.
    let glass = Glazing::new(2, 1.0).unwrap();
    let middles = |n: usize, from: f64, size: f64| {
        (0..n).map(move |k| from + size * (k as f64 + 0.5) / n as f64)
    };
    let mut sum = 0.0;
    for (y, z) in middles(12, 1.0, 2.0).flat_map(|y| middles(12, 0.8, 1.125).map(move |z| (y, z))) {
        for (u, v) in middles(60, 1.3, 1.4).flat_map(|u| middles(60, 0.9, 1.2).map(move |v| (u, v)))
        {
            let (dy, dz) = (y - (4.0 - u), v - z);
            let r2 = 36.0 + dy * dy + dz * dz;
            if dz > 0.0 {
                let cos = 6.0 / r2.sqrt();
                sum += 1000.0 * cos * cos / r2 * glass.at(cos) / glass.at(1.0);
            }
        }
    }
    let expected = sum * 1.4 * 1.2 / 3600.0 / 144.0;
    assert!((found / expected - 1.0).abs() < 0.02, "{found} {expected}");
}

#[test]
fn the_beam_brings_all_its_light_and_lands_on_its_ray() {
    let window = window(1.3, 0.9, 1.4, 1.2);
    let light = light(&[window], &Horizon::default(), 0.4);
    let site = Site::new(Radians(0.9), Radians(0.0), Metres(0.0)).unwrap();
    let place = sun(35.0, 200.0);
    let outside = Outside::new(&SkyDome::new(), site, place, Weather::Clear, 0.2).unwrap();
    let lit = light.sun_through(0, &outside);
    let patches = light.enclosure().patches();
    let flux: f64 = lit
        .iter()
        .map(|(patch, lux)| lux * patches[*patch].area_m2)
        .sum();
    let on_window = SunOnWindow {
        sun_height: place.height,
        sun_azimuth: place.azimuth,
        window_azimuth: Radians::from_degrees(180.0),
    };
    let cosine = on_window.incidence().unwrap().0.cos();
    let glass = Glazing::new(2, 1.0).unwrap();
    let expected = 1.4 * 1.2 * cosine * glass.at(cosine) / glass.at(1.0);
    assert!((flux / expected - 1.0).abs() < 1e-9, "{flux} {expected}");
    // On the floor, as deep as the ray through the window's middle says.
    assert!(
        lit.iter()
            .all(|(patch, _)| patches[*patch].surface == Surface::Floor)
    );
    let landing = on_window.landing(Metres(1.5)).unwrap();
    let mean = |axis: fn(&Point3) -> f64| -> f64 {
        lit.iter()
            .map(|(patch, lux)| lux * patches[*patch].area_m2 * axis(&patches[*patch].centre))
            .sum::<f64>()
            / flux
    };
    assert!((6.0 - mean(|p| p.x) - landing.depth.0).abs() < 0.1);
    // The wall's left is y = 4 for one who looks out; its right is towards y = 0.
    assert!((2.0 - mean(|p| p.y) - landing.along.0).abs() < 0.1);
}

#[test]
fn low_sun_strikes_the_picture_and_a_neighbour_stops_it() {
    let window = window(1.0, 0.9, 2.0, 1.2);
    let site = Site::new(Radians(0.9), Radians(0.0), Metres(0.0)).unwrap();
    let outside =
        Outside::new(&SkyDome::new(), site, sun(3.0, 180.0), Weather::Clear, 0.2).unwrap();
    let open = light(&[window], &Horizon::default(), 0.8);
    let grey = open.on_picture(|_, _| 0.4).unwrap();
    let found = grey.daylight(&open, &outside)[0];
    assert!(found.sun_on_picture > 0.1 && found.sun_lux > found.sky_lux);
    let house = Horizon::new(&[(Radians(0.0), Radians::from_degrees(8.0))]).unwrap();
    let hidden = light(&[window], &house, 0.8);
    let found = hidden
        .on_picture(|_, _| 0.4)
        .unwrap()
        .daylight(&hidden, &outside)[0];
    assert_eq!((found.sun_lux, found.sun_on_picture), (0.0, 0.0));
    let deep = Window {
        overhang: Overhang::new(Metres(20.0), Metres(2.2)),
        ..window
    };
    let shaded = light(&[deep], &Horizon::default(), 0.8);
    let found = shaded
        .on_picture(|_, _| 0.4)
        .unwrap()
        .daylight(&shaded, &outside)[0];
    assert!(found.sun_lux < grey.daylight(&open, &outside)[0].sun_lux);
}

#[test]
fn an_overcast_room_has_the_mean_that_the_daylight_factor_gives() {
    // Lynes 1979 (from memory): mean over all surfaces DF = T A_w θ/(2 A (1 − R)), θ in degrees.
    let window = window(1.0, 0.9, 2.0, 1.2);
    let room = light(&[window], &Horizon::default(), 0.8);
    let rho = 0.5;
    let mut outside = Outside::of_sky(&SkyDome::new(), OVERCAST, sun(30.0, 180.0), Lux(10_000.0));
    outside.ground_cd_m2 = 0.2 * 10_000.0 / std::f64::consts::PI;
    let enclosure = room.enclosure();
    let n = enclosure.patches().len();
    let importance = enclosure
        .importance(&vec![rho; n], |patch| patch.spot != Some(0))
        .unwrap();
    let through = room.windows[0].through(&importance);
    let sky: f64 = through
        .sky
        .iter()
        .map(|(part, lux)| lux * outside.sky_cd_m2[*part])
        .sum();
    let mean = 0.68 * (sky + through.ground * outside.ground_cd_m2);
    let expected = 10_000.0 * 0.68 * 2.4 * 90.0 / (2.0 * 96.0 * (1.0 - rho)) / 100.0;
    assert!((mean / expected - 1.0).abs() < 0.10, "{mean} {expected}");
}

#[test]
fn a_lamps_light_is_all_there_and_brightens_pale_rooms() {
    let room = light(&[], &Horizon::default(), 1.0);
    let lamp = Point3::new(2.0, 1.5, 2.2);
    let seen: f64 = room
        .enclosure()
        .patches()
        .iter()
        .map(|p| solid_angle(lamp, &p.corners))
        .sum();
    assert!((seen / (4.0 * std::f64::consts::PI) - 1.0).abs() < 1e-9);
    let lux = |rho: f64| room.on_picture(|_, _| rho).unwrap().lamp(&room, lamp);
    // In the dark room E = I cos θ/r², averaged over the picture.
    let mut straight = 0.0;
    for k in 0..40 {
        for m in 0..40 {
            let (y, z) = (
                1.0 + 2.0 * (f64::from(k) + 0.5) / 40.0,
                0.8 + 1.125 * (f64::from(m) + 0.5) / 40.0,
            );
            let r2 = 4.0 + (y - 1.5) * (y - 1.5) + (z - 2.2) * (z - 2.2);
            straight += 2.0 / r2.powf(1.5) / (4.0 * std::f64::consts::PI) / 1600.0;
        }
    }
    assert!(
        (lux(0.0) / straight - 1.0).abs() < 0.01,
        "{} {straight}",
        lux(0.0)
    );
    assert!(lux(0.3) > lux(0.0) && lux(0.7) > lux(0.3));
}

#[test]
fn finer_patches_change_little() {
    let windows = [window(0.4, 0.9, 1.2, 1.2), window(2.2, 0.9, 1.2, 1.2)];
    let site = Site::new(Radians(0.9), Radians(0.0), Metres(0.0)).unwrap();
    let dome = SkyDome::new();
    let lux = |patch_m: f64, height: f64, weather| {
        let room = light(&windows, &Horizon::default(), patch_m);
        let outside = Outside::new(&dome, site, sun(height, 190.0), weather, 0.2).unwrap();
        let picture = room
            .on_picture(|surface, _| if surface == Surface::Floor { 0.2 } else { 0.6 })
            .unwrap();
        picture
            .daylight(&room, &outside)
            .iter()
            .map(|w| w.lux())
            .sum::<f64>()
    };
    for (height, weather) in [
        (-3.0, Weather::Clear),
        (25.0, Weather::Clear),
        (50.0, Weather::Clear),
        (30.0, Weather::Overcast),
    ] {
        let (coarse, fine) = (lux(1.2, height, weather), lux(0.35, height, weather));
        assert!(
            (coarse / fine - 1.0).abs() < 0.06,
            "{height} {weather:?} {coarse} {fine}"
        );
    }
}

#[test]
fn a_moved_picture_finds_the_light_of_a_room_worked_out_anew() {
    let windows = [window(1.0, 0.9, 1.4, 1.2)];
    let horizon = Horizon::default();
    let first = light(&windows, &horizon, 0.8);
    let site = Site::new(Radians(0.9), Radians(0.0), Metres(0.0)).unwrap();
    let dome = SkyDome::new();
    let outside = Outside::new(&dome, site, sun(20.0, 190.0), Weather::Clear, 0.2).unwrap();
    // Windows first and the picture last: all that was cut for the picture before is cut anew.
    for moved in [
        on_first_wall(0.6, 0.7, 1.6, 0.9),
        on_first_wall(1.2, 1.0, 2.4, 1.35),
        window(0.2, 0.9, 0.7, 1.2).spot,
    ] {
        let again = first.with_picture(moved).unwrap();
        let patches = patches(first.enclosure().facets(), &[windows[0].spot, moved], 0.8);
        let anew = Enclosure::new(patches, first.enclosure().facets().to_vec()).unwrap();
        assert_eq!(again.enclosure.patches(), anew.patches());
        let n = anew.patches().len();
        for (i, j) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
            assert_eq!(again.enclosure.factor(i, j), anew.factor(i, j));
        }
        assert!(
            again
                .enclosure
                .kept(first.enclosure().patches())
                .iter()
                .flatten()
                .count()
                > n / 2
        );
        let mut seen = RoomLight {
            enclosure: anew,
            ..first.clone()
        };
        seen.look(|_| None);
        let lux = |room: &RoomLight| {
            let picture = room.on_picture(|_, _| 0.5).unwrap();
            (picture.returned(), picture.daylight(room, &outside))
        };
        assert_eq!(lux(&again), lux(&seen));
    }
}

#[test]
fn impossible_rooms_are_refused() {
    let solid = den();
    let bad = Window {
        panes: 0,
        ..window(1.0, 0.9, 1.0, 1.0)
    };
    let horizon = Horizon::default();
    let with = |windows: &[Window], patch_m: f64| {
        RoomLight::new(&Room {
            solid: &solid,
            compass: compass(),
            horizon: &horizon,
            windows,
            patch_m,
        })
        .is_none()
    };
    assert!(with(&[bad], 1.0) && with(&[], 0.0) && with(&[], f64::NAN));
    let good = light(&[], &horizon, 1.0);
    assert!(good.on_picture(|_, _| 1.0).is_none());
    assert!(good.on_picture(|_, _| f64::NAN).is_none());
}
