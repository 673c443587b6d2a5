//! Lines that nothing should be in the way of: sight, beams, sound.

use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;

use analysis::ProjectorPlace;
use checks::hanging::{PictureShadow, picture_shadows};
use model::{Item, LoudspeakerForm, LoudspeakerKit, LoudspeakerPattern};

use super::ground::Ground;
use super::place::{round, rounded};
use super::route::routes;
use super::{Beam, BeamShadow, Cone, Overlays, Point, SightLine};
use crate::about::bodies_of;

/// All of them, as far as both ends are known.
pub(crate) fn overlays(ground: &Ground<'_>) -> Overlays {
    if !ground.closed {
        return Overlays::default();
    }
    Overlays {
        sight_lines: sight_lines(ground),
        beams: beams(ground),
        cones: cones(ground),
        routes: routes(ground),
    }
}

fn sight_lines(ground: &Ground<'_>) -> Vec<SightLine> {
    let (analysis, space) = (ground.analysis, ground.space);
    let Ok(item) = analysis.picture_faced(space) else {
        return Vec::new();
    };
    let Ok(picture) = analysis.picture(item) else {
        return Vec::new();
    };
    (analysis.seats_in(space))
        .filter_map(|(seat, place)| Some((seat, place.ok()?)))
        .map(|(seat, place)| SightLine {
            seat: format!("seat:{}", seat.id),
            item: format!("item:{}", item.id),
            from: rounded(place.eye.value()),
            to: rounded(picture.centre.value()),
        })
        .collect()
}

fn beams(ground: &Ground<'_>) -> Vec<Beam> {
    let analysis = ground.analysis;
    let projectors: Vec<_> = analysis.projectors_in(ground.space).collect();
    (projectors.into_iter())
        .filter_map(|(item, kit)| {
            let place = analysis.projector(item, kit).ok()?;
            let corner = |across, up| rounded(place.picture.point(across, up).value());
            Some(Beam {
                item: format!("item:{}", item.id),
                lens: rounded(place.lens.at.value()),
                corners: vec![
                    corner(-1.0, 1.0),
                    corner(1.0, 1.0),
                    corner(1.0, -1.0),
                    corner(-1.0, -1.0),
                ],
                shadows: shadows(ground, &place),
            })
        })
        .collect()
}

fn shadows(ground: &Ground<'_>, projector: &ProjectorPlace<'_>) -> Vec<BeamShadow> {
    let (analysis, space) = (ground.analysis, ground.space);
    let shadows = picture_shadows(analysis, space, projector).into_iter();
    let shown = |shadow: PictureShadow| {
        let percent = match shadow.part * 100.0 {
            part if part < 0.5 => "less than 1".to_owned(),
            part => format!("{part:.0}"),
        };
        BeamShadow {
            of: bodies_of(analysis, space, &shadow.of),
            says: format!("{}: shadow on {percent} %", shadow.label),
            passing: shadow.passing,
            outline: shadow.outline_m.into_iter().map(rounded).collect(),
        }
    };
    shadows.map(shown).collect()
}

fn cones(ground: &Ground<'_>) -> Vec<Cone> {
    let analysis = ground.analysis;
    let ears = ears(ground);
    let loudspeakers: Vec<_> = analysis.loudspeakers_in(ground.space).collect();
    (loudspeakers.into_iter())
        .filter_map(|(item, kit)| {
            let apex = analysis.loudspeaker(item, kit).ok()?.at.value();
            let square = axis(ground, item, kit, apex)?;
            let coverage = analysis.number(kit.coverage.as_ref());
            let (splay, half_angle_rad) = match (kit.pattern, coverage) {
                // The lobes of a point dipole are 6 dB down at 60° off their axes.
                (Some(LoudspeakerPattern::Dipole), _) => (Some(FRAC_PI_2), FRAC_PI_2 * 2.0 / 3.0),
                (Some(LoudspeakerPattern::Bipole), Some(coverage)) => {
                    let angled = analysis.number(kit.angled.as_ref());
                    let splay = angled.map_or(FRAC_PI_2 / 2.0, |angle| angle.value());
                    (Some(splay), coverage.value() / 2.0)
                }
                (_, Some(coverage)) => (None, coverage.value() / 2.0),
                (_, None) => return None,
            };
            let reach = ears
                .iter()
                .map(|ear| distance(*ear, apex))
                .fold(0.0, f64::max);
            let axes = match splay {
                Some(splay) => [1.0, -1.0]
                    .map(|side| beside(square, side * splay))
                    .to_vec(),
                None => vec![square],
            };
            let cone = move |axis| Cone {
                item: format!("item:{}", item.id),
                apex: rounded(apex),
                axis,
                half_angle_rad,
                reach_m: if reach > 0.0 { round(reach) } else { 1.0 },
            };
            Some(axes.into_iter().map(cone))
        })
        .flatten()
        .collect()
}

/// An axis turned in plan; one that hangs straight down is turned about the plan's first side.
fn beside([x, y, z]: Point, by: f64) -> Point {
    let (sin, cos) = by.sin_cos();
    if x.hypot(y) < 1e-6 {
        return rounded([sin, 0.0, z * cos]);
    }
    rounded([x * cos - y * sin, x * sin + y * cos, z])
}

fn ears(ground: &Ground<'_>) -> Vec<Point> {
    let seats = ground.analysis.seats_in(ground.space);
    seats
        .filter_map(|(_, place)| Some(place.ok()?.ear.value()))
        .collect()
}

/// Where a loudspeaker points: square off its wall, down from the ceiling, at the listeners
/// from where it stands; less its tilt downwards. As its drivers are set or it is turned, where
/// that is written.
fn axis(ground: &Ground<'_>, item: &Item, kit: &LoudspeakerKit, at: Point) -> Option<Point> {
    let form = kit.form;
    if item.aim.is_some() || item.turned.is_some() {
        let towards = ears(ground).first().copied().unwrap_or_default();
        let aim = (ground.analysis).aim(ground.space, item, kit, at, towards);
        return Some(rounded(aim.ok()?.axis()));
    }
    let tilt = ground.analysis.number(item.tilt.as_ref());
    let tilt = tilt.map_or(0.0, |tilt| tilt.value());
    let level = |[x, y]: [f64; 2]| [x * tilt.cos(), y * tilt.cos(), -tilt.sin()];
    let hangs_flush = item.hung.as_ref().is_some_and(|hung| hung.drop.is_none());
    if form == Some(LoudspeakerForm::InCeiling) || hangs_flush {
        return Some([0.0, 0.0, -1.0]);
    }
    if let Some(on) = &item.on {
        return Some(rounded(level(ground.wall(&on.wall)?.inward)));
    }
    let ears = ears(ground);
    if ears.is_empty() {
        return None;
    }
    let mean = |k: usize| ears.iter().map(|ear| ear[k]).sum::<f64>() / ears.len() as f64;
    let way = [mean(0) - at[0], mean(1) - at[1], mean(2) - at[2]];
    let length = distance(way, [0.0; 3]);
    (length > 1e-6).then(|| way.map(|part| round(part / length)))
}

fn distance(a: Point, b: Point) -> f64 {
    (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
}

/// The direction in which each item throws light or sound, or looks.
pub(crate) fn aims(ground: &Ground<'_>, overlays: &Overlays) -> BTreeMap<String, Point> {
    let mut aims = BTreeMap::new();
    for cone in &overlays.cones {
        // Between both sides of one that has two.
        let both = overlays
            .cones
            .iter()
            .filter(|other| other.item == cone.item);
        let sum = both.fold([0.0; 3], |sum, other| {
            [0, 1, 2].map(|k| sum[k] + other.axis[k])
        });
        let length = distance(sum, [0.0; 3]);
        if length > 1e-6 {
            aims.insert(cone.item.clone(), sum.map(|part| round(part / length)));
        }
    }
    for beam in &overlays.beams {
        let mean = |k: usize| beam.corners.iter().map(|corner| corner[k]).sum::<f64>() / 4.0;
        let way = [0, 1, 2].map(|k| mean(k) - beam.lens[k]);
        let length = distance(way, [0.0; 3]);
        if length > 1e-6 {
            aims.insert(beam.item.clone(), way.map(|part| round(part / length)));
        }
    }
    for item in ground.analysis.pictures_in(ground.space) {
        if let Ok(picture) = ground.analysis.picture(item) {
            let [x, y] = picture.face.normal.value();
            aims.insert(format!("item:{}", item.id), rounded([x, y, 0.0]));
        }
    }
    aims
}
