//! Does a display mirror a window or lamp into somebody's eyes while it is watched?

use analysis::{
    Analysis, Known, Limit, Means, Missing, Parts, Picture, SkyOver, Source, Uncertain, item_label,
};
use geometry::{Point3, Vec3};
use light::contrast::DarkRoomPicture;
use light::glare::{Panel, PanelPlace, Point};
use light::horizon::{Behind, behind};
use light::mirror::Mirrored;
use light::outside::{Outside, SkyDome};
use model::{DisplayKit, Edit, Fixture, FixtureKind, Item, Kit, Space};
use units::{CandelasPerSquareMetre, Dimension, Metres};

use crate::moves::{least_change, to_spare};
use crate::shared::watching::{WEATHERS, When};
use crate::{Area, Check, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "display-glare",
    area: Area::Picture,
    proves: "Where a display mirrors a window or a lamp to a seat, white stays enough times brighter than black.",
    matters: "A dark scene shows the window behind the sofa instead of the film.",
    formula: "C = (L_w + r L_s) / (L_b + r L_s): L_w, L_b, white and black of the display, cd/m²; r, share that its front mirrors; L_s, luminance of what it mirrors: of the sky, ground or sun behind the glass times the glass's transmittance, or of a lamp, Φ / (4 π A), Φ, its light, lm, A, its outline, m². The part mirrored is the outline seen from the eye's image behind the panel, cut at the panel's edge. For flat fronts; a matt one spreads the same light wider and fainter.",
    source: Source::Derived {
        from: "the law of reflection, and light that adds up",
    },
    when_it_fails: "Tilt or turn the display, hang a blind, or turn the lamp off.",
    limits: &[&GLARE_CONTRAST_MIN],
    published: &[
        Published {
            cite: "panel in the plane x = 0, eye (3, 0, 1.1), lamp (2, 2, 1.1): the lamp shows at y = 1.2 m (computed)",
            computed: || shows_at([3.0, 0.0, 1.1], [2.0, 2.0, 1.1]),
            expected: 1.2,
            tolerance: 1e-3, // Outline of 2 mm about the lamp.
            unit: "m",
        },
        Published {
            cite: "white 400 cd/m², black 0.4, 4 % of 2500 cd/m² mirrored: (400 + 100)/(0.4 + 100) = 4.98008 (computed)",
            computed: || contrast(400.0, 1000.0, 0.04, 2500.0),
            expected: 4.980_08,
            tolerance: 1e-5, // Five printed decimals.
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::OPENINGS).and(Parts::FIXTURES), run),
};

static GLARE_CONTRAST_MIN: Limit = Limit {
    name: "glare_contrast_min",
    meaning: "the least contrast where a display mirrors a window or lamp: that of basic decision making",
    dimension: Dimension::Factor,
    value: 15.0,
    source: Source::FromMemory {
        work: "ANSI/INFOCOMM 3M-2011, basic decision making",
    },
    regional: &[],
};

/// Share of light that a display's front mirrors, 95 %: glossy 0.04 to 0.06, coated and matt
/// ones 0.01 and less (from memory).
const MIRRORS: [f64; 2] = [0.03, 0.025];
/// Solid angle of the sun's disc, sr (computed, 0.267° across its radius).
const SUN_SR: f64 = 6.8e-5;
/// How far a real sky is from its model, 95 % (from memory).
const SKY_SPREAD: f64 = 0.3;

fn panel_at(centre: Point, size: [f64; 2], across: Point, up: Point) -> Option<Panel> {
    Panel::new(PanelPlace {
        centre_m: centre,
        across,
        up,
        width: Metres(size[0]),
        height: Metres(size[1]),
    })
}

fn shows_at(eye: Point, lamp: Point) -> f64 {
    let panel = panel_at(
        [0.0, 0.0, 1.1],
        [9.0, 2.0],
        [0.0, 1.0, 0.0],
        [0.0, 0.0, 1.0],
    );
    let [x, y, z] = lamp;
    let d = 0.001;
    let outline = [
        [x, y - d, z - d],
        [x, y + d, z - d],
        [x, y + d, z + d],
        [x, y - d, z + d],
    ];
    let found = panel
        .and_then(|panel| panel.mirrored(eye, &outline))
        .flatten();
    found.map_or(f64::NAN, |mirrored| mirrored.at_m[1])
}

fn contrast(white: f64, native: f64, mirrors: f64, source: f64) -> f64 {
    let picture = DarkRoomPicture {
        white: CandelasPerSquareMetre(white),
        native_contrast: native,
    };
    let veil = CandelasPerSquareMetre((mirrors * source).max(0.0));
    picture.system_contrast(veil).unwrap_or(f64::NAN)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    let displays = analysis
        .pictures_in(space)
        .filter_map(|item| match analysis.kit_of(item) {
            Some(Kit::Display(kit)) => Some((item, kit)),
            _ => None,
        });
    let find = |(item, kit): (&Item, &DisplayKit)| {
        let picture = analysis.picture(item).ok()?;
        let sights = sights(analysis, space, &picture, item_tilt(analysis, item));
        // Nothing shows in it from any seat: there is nothing to judge.
        if sights.is_empty() {
            return None;
        }
        Some(CHECK.about(space, Subject::item(item), || {
            decide(analysis, space, &Shown { item, kit, picture }, sights)
        }))
    };
    displays.filter_map(find).collect()
}

struct Shown<'a> {
    item: &'a Item,
    kit: &'a DisplayKit,
    picture: Picture,
}

/// Something that a seat sees mirrored.
struct Sight {
    seat: String,
    eye: Point,
    panel: Panel,
    of: Mirror,
    mirrored: Mirrored,
}

#[derive(Clone)]
enum Mirror {
    Window(usize, [Point; 4]),
    Lamp(usize, f64),
}

fn item_tilt(analysis: &Analysis, item: &Item) -> f64 {
    analysis
        .number(item.tilt.as_ref())
        .map_or(0.0, |tilt| tilt.value())
}

/// The panel, tilted downwards by an angle.
fn panel_of(picture: &Picture, tilt: f64) -> Option<Panel> {
    let [rx, ry] = picture.face.right.value();
    let [nx, ny] = picture.face.normal.value();
    let (sin, cos) = tilt.sin_cos();
    // The engine's normal is across × up: to the right as seen from the seats.
    let up = [nx * sin, ny * sin, cos];
    let size = [picture.width().value(), picture.height().value()];
    panel_at(picture.centre.value(), size, [rx, ry, 0.0], up)
}

fn point([x, y, z]: Point) -> Point3 {
    Point3::new(x, y, z)
}

fn sights(analysis: &Analysis, space: &Space, picture: &Picture, tilt: f64) -> Vec<Sight> {
    let Some(panel) = panel_of(picture, tilt) else {
        return Vec::new();
    };
    let windows = space
        .opening
        .iter()
        .enumerate()
        .filter_map(|(index, opening)| {
            let is_window = !matches!(analysis.transmittance(space, opening), Ok(None));
            let corners = analysis
                .opening_corners(space, opening)
                .ok()
                .filter(|_| is_window)?;
            Some((Mirror::Window(index, corners), corners))
        });
    let [rx, ry] = picture.face.right.value();
    let lamps = space
        .fixture
        .iter()
        .enumerate()
        .filter_map(|(index, fixture)| {
            let is_lamp = matches!(
                fixture.kind,
                FixtureKind::WallLight | FixtureKind::CeilingLight
            );
            let body = analysis
                .fixture_body(space, fixture)
                .ok()
                .filter(|_| is_lamp)?;
            let [x, y, z] = body.centre.value();
            let half = body.size[0].value().max(body.size[2].value()) / 2.0;
            let rise = body.size[1].value() / 2.0;
            let at = |a: f64, u: f64| [x + rx * half * a, y + ry * half * a, z + rise * u];
            let corners = [at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)];
            Some((Mirror::Lamp(index, 4.0 * half * rise), corners))
        });
    let sources: Vec<(Mirror, [Point; 4])> = windows.chain(lamps).collect();
    let mut sights = Vec::new();
    for (seat, place) in analysis.seats_in(space) {
        let Ok(place) = place else { continue };
        let eye = place.eye.value();
        for (of, corners) in &sources {
            if let Some(Some(mirrored)) = panel.mirrored(eye, corners) {
                sights.push(Sight {
                    seat: seat.id.clone(),
                    eye,
                    panel,
                    of: of.clone(),
                    mirrored,
                });
            }
        }
    }
    sights
}

/// The worst of what a seat sees, and why.
struct Worst {
    source: Uncertain,
    found: Uncertain,
    sight: usize,
    when: Option<When>,
    is_sun: bool,
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    shown: &Shown<'_>,
    sights: Vec<Sight>,
) -> Known<Outcome> {
    let (id, label) = (&shown.kit.common.id, item_label(shown.item));
    let white = analysis
        .number(shown.kit.luminance.as_ref())
        .ok_or_else(|| {
            let at = format!("kit.display.{id}.luminance");
            Missing::new(
                format!("the luminance of white on {id}"),
                at,
                Means::SpecSheet,
            )
        })?;
    let mirrors = analysis
        .number(shown.kit.mirrors.as_ref())
        .unwrap_or_else(|| {
            let what = format!("the share of light that the front of {id} mirrors");
            analysis.assumed(
                &what,
                &format!("kit.display.{id}.mirrors"),
                MIRRORS[0],
                MIRRORS[1],
            )
        });
    // Without a word from its sheet its black counts as black.
    let native = shown.kit.native_contrast.unwrap_or(1e6);
    let of = |source: &Uncertain| {
        uncertainty::through([&white, &mirrors, source], |[white, mirrors, source]| {
            contrast(white, native, mirrors.max(0.0), source)
        })
    };
    let worst = worst(analysis, space, &sights, of)?;
    let sight = &sights[worst.sight];
    let least = analysis.limit(&GLARE_CONTRAST_MIN);
    let name = match &sight.of {
        Mirror::Window(index, _) => space.opening[*index].id.replace('-', " "),
        Mirror::Lamp(index, _) => space.fixture[*index].id.replace('-', " "),
    };
    let [across, up] = middle_words(shown, &sight.mirrored);
    let sentence = format!(
        "From seat {}, {label} mirrors {}{name} on {:.0} % of its picture, {across} {up} of its middle{}: {} behind the glass of its front leave a white of {} {:.0} times as bright as black there; {:.0} is the least.",
        sight.seat,
        if worst.is_sun { "the sun through " } else { "" },
        (sight.mirrored.share * 100.0).max(1.0),
        worst.when.map_or(String::new(), |when| format!(
            ", at its brightest on {}",
            when.words()
        )),
        analysis.print(&worst.source, Dimension::Luminance),
        analysis.print(&white, Dimension::Luminance),
        worst.found.value(),
        least.value,
    );
    let spare = |found: &Uncertain| to_spare(&(found - least.value), 0.0);
    let outcome =
        Outcome::at_least(worst.found.clone(), &least, Dimension::Factor).because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let tilted = (1..=10)
        .map(|degrees| f64::from(degrees).to_radians())
        .find(|by| {
            let tilt = item_tilt(analysis, shown.item) + by;
            let sights = self::sights(analysis, space, &shown.picture, tilt);
            sights.is_empty()
        });
    let tilt = tilted.map(|by| {
        let tilt = analysis.exact(item_tilt(analysis, shown.item) + by, Dimension::Angle);
        let says =
            format!("Tilt {label} {tilt} downwards: then no seat sees a window or lamp in it.");
        Remedy::new(
            says,
            vec![Edit::set(format!("item.{}.tilt", shown.item.id), tilt)],
        )
    });
    Ok(outcome
        .remedy(tilt)
        .remedy(dimmer(space, &sights, &worst, |source| spare(&of(source)))))
}

/// Where the mirrored part's middle lies, in words.
fn middle_words(shown: &Shown<'_>, mirrored: &Mirrored) -> [&'static str; 2] {
    let centre = shown.picture.centre.value();
    let [rx, ry] = shown.picture.face.right.value();
    let across = (mirrored.at_m[0] - centre[0]) * rx + (mirrored.at_m[1] - centre[1]) * ry;
    [
        if across > 0.0 { "right" } else { "left" },
        if mirrored.at_m[2] > centre[2] {
            "and above"
        } else {
            "and below"
        },
    ]
}

fn worst(
    analysis: &Analysis,
    space: &Space,
    sights: &[Sight],
    contrast_of: impl Fn(&Uncertain) -> Uncertain,
) -> Known<Worst> {
    let mut worst: Option<Worst> = None;
    let mut missing: Option<Missing> = None;
    for (index, sight) in sights.iter().enumerate() {
        let brightest = match &sight.of {
            Mirror::Lamp(lamp, area) => {
                lamp_luminance(analysis, space, &space.fixture[*lamp], *area)
                    .map(|l| (l, None, false))
            }
            Mirror::Window(window, corners) => {
                window_luminance(analysis, space, sight, *window, corners)
            }
        };
        match brightest {
            Err(fact) => missing = missing.or(Some(fact)),
            Ok((source, when, is_sun)) => {
                let found = contrast_of(&source);
                if worst
                    .as_ref()
                    .is_none_or(|worst| found.value() < worst.found.value())
                {
                    worst = Some(Worst {
                        source,
                        found,
                        sight: index,
                        when,
                        is_sun,
                    });
                }
            }
        }
    }
    let least = analysis.limit(&GLARE_CONTRAST_MIN).value;
    match (worst, missing) {
        // What is known to fail does so whatever else is learned.
        (Some(worst), Some(missing)) if worst.found.value() >= least => Err(missing),
        (Some(worst), _) => Ok(worst),
        (None, Some(missing)) => Err(missing),
        (None, None) => unreachable_sights(space),
    }
}

fn unreachable_sights(space: &Space) -> Known<Worst> {
    let what = format!("what the displays of {} mirror", space.label());
    Err(Missing::new(
        what,
        format!("space.{}", space.id),
        Means::OutsideModel,
    ))
}

fn lamp_luminance(
    analysis: &Analysis,
    space: &Space,
    lamp: &Fixture,
    area: f64,
) -> Known<Uncertain> {
    let lumens = analysis.number(lamp.lumens.as_ref()).ok_or_else(|| {
        let what = format!(
            "the light that {} gives while the picture is watched, in lumens (0 lm when it is off)",
            lamp.id.replace('-', " ")
        );
        let at = format!("space.{}.fixture.{}.lumens", space.id, lamp.id);
        Missing::new(what, at, Means::Look)
    })?;
    Ok(lumens / (4.0 * std::f64::consts::PI * area.max(1e-4)))
}

/// The brightest that the mirrored part of a window gets while the picture is watched.
fn window_luminance(
    analysis: &Analysis,
    space: &Space,
    sight: &Sight,
    window: usize,
    corners: &[Point; 4],
) -> Known<(Uncertain, Option<When>, bool)> {
    let opening = &space.opening[window];
    let glass = analysis.transmittance(space, opening)?.unwrap_or_default();
    let hours = space
        .watched
        .as_ref()
        .and_then(|watched| watched.minutes())
        .ok_or_else(|| {
            let what = format!(
                "from when until when pictures are watched in {}",
                space.label()
            );
            Missing::new(what, format!("space.{}.watched", space.id), Means::Decide)
        })?;
    let sky = analysis.sky_over(space)?;
    let outward = outward(corners);
    let mut brightest = (0.0, None, false);
    for when in moments(hours) {
        let sun = sky.sun(when.month, when.minute);
        let Some(outside) = sun
            .filter(|sun| sun.height.0 > -0.1)
            .and_then(|_| sky.at(when.month, when.minute, when.weather))
        else {
            continue;
        };
        let (luminance, is_sun) = seen(&sky, &outside, sight, corners, outward);
        if luminance > brightest.0 {
            brightest = (luminance, Some(when), is_sun);
        }
    }
    let what = format!(
        "how far a real sky over {} is from its model",
        space.label()
    );
    let weather = analysis.assumed(
        &what,
        &format!("space.{}.ambient", space.id),
        1.0,
        SKY_SPREAD,
    );
    Ok((glass * weather * brightest.0, brightest.1, brightest.2))
}

/// Full hours of each month's day, under each sky.
fn moments([from, until]: [u16; 2]) -> impl Iterator<Item = When> {
    let minutes = move || (from..until).step_by(60).chain([until]);
    (0..12).flat_map(move |month| {
        minutes().flat_map(move |minute| {
            WEATHERS.map(|weather| When {
                month,
                minute,
                weather,
            })
        })
    })
}

fn outward(corners: &[Point; 4]) -> Vec3 {
    let [a, b, _, d] = corners.map(point);
    // Seen from inside, right × up points into the room.
    let inward = (b - a).cross(d - a).unit().unwrap_or(Vec3::UP);
    -inward
}

/// Luminance of what shows: the sun where it falls on the panel through this window, else
/// what lies behind the mirrored part's middle.
fn seen(
    sky: &SkyOver,
    outside: &Outside,
    sight: &Sight,
    corners: &[Point; 4],
    outward: Vec3,
) -> (f64, bool) {
    let sun = outside.sun;
    let to_sun = sky.compass.direction(sun.azimuth, sun.height);
    let free = sun.height.0 > sky.horizon.height(sun.azimuth).0.max(0.0);
    if outside.direct.0 > 0.0 && free && through(sight, corners, to_sun) {
        return (outside.direct.0 / SUN_SR, true);
    }
    let [x, y, z] = sight.mirrored.towards;
    let ray = (point(sight.mirrored.at_m), outward, Vec3::new(x, y, z));
    let luminance = match behind(sky.compass, &sky.horizon, None, ray) {
        Behind::Sky(part) => outside.sky_cd_m2[SkyDome::part(part)],
        Behind::Ground(share) => outside.ground_cd_m2 * share,
    };
    (luminance, false)
}

/// Whether the panel mirrors the sun to the eye through this window.
fn through(sight: &Sight, corners: &[Point; 4], to_sun: Vec3) -> bool {
    let direction = [to_sun.x, to_sun.y, to_sun.z];
    let Some(Some((at, outside))) = sight.panel.mirrored_sun(sight.eye, direction) else {
        return false;
    };
    let [a, b, _, d] = corners.map(point);
    let (side, rise) = (b - a, d - a);
    let normal = side.cross(rise);
    let towards = to_sun.dot(normal);
    if outside > 0.0 || towards.abs() < 1e-12 {
        return false;
    }
    let way = (a - point(at)).dot(normal) / towards;
    let hit = point(at) + to_sun * way - a;
    let (u, v) = (
        hit.dot(side) / side.dot(side),
        hit.dot(rise) / rise.dot(rise),
    );
    way > 0.0 && (0.0..=1.0).contains(&u) && (0.0..=1.0).contains(&v)
}

/// A blind before the window, or the lamp turned down.
fn dimmer(
    space: &Space,
    sights: &[Sight],
    worst: &Worst,
    spare: impl Fn(&Uncertain) -> f64,
) -> Option<Remedy> {
    let by = least_change(1.0, |by| spare(&(&worst.source * (1.0 - by))))?;
    let same = |sight: &Sight| match (&sight.of, &sights[worst.sight].of) {
        (Mirror::Window(a, _), Mirror::Window(b, _)) | (Mirror::Lamp(a, _), Mirror::Lamp(b, _)) => {
            a == b
        }
        _ => false,
    };
    // Another window or lamp would stay.
    if !sights.iter().all(same) {
        return None;
    }
    match &sights[worst.sight].of {
        Mirror::Window(index, _) => {
            let opening = &space.opening[*index];
            let now = opening
                .transmittance
                .as_ref()
                .and_then(|t| t.value())
                .unwrap_or(1.0);
            let share = (now * (1.0 - by) * 0.7 * 1000.0).floor() / 1000.0;
            let says = format!(
                "Hang a blind at {} that lets no more than {:.1} % of the light through, glass and blind together.",
                opening.id.replace('-', " "),
                share * 100.0
            );
            let at = format!("space.{}.opening.{}.transmittance", space.id, opening.id);
            Some(Remedy::new(says, vec![Edit::set(at, share)]))
        }
        Mirror::Lamp(index, _) => {
            let lamp = &space.fixture[*index];
            let says = format!(
                "Turn {} off while the picture is watched.",
                lamp.id.replace('-', " ")
            );
            let at = format!("space.{}.fixture.{}.lumens", space.id, lamp.id);
            Some(Remedy::new(says, vec![Edit::set(at, "0 lm")]))
        }
    }
}

#[cfg(test)]
mod tests;
