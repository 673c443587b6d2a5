//! How much light falls on a picture at each hour, where nobody has measured it?
//!
//! Windows, surfaces and lamps as the job has them, through `light`'s room of matt patches.
//! What a survey lacks is assumed with a stated spread, but for a blind: what it lets through
//! cannot be guessed.

use std::rc::Rc;

use geometry::{Point3, Rect, Surface};
use light::horizon::Overhang;
use light::mesh::Spot;
use light::outside::{Outside, Weather};
use light::room_light::{PictureLight, Room, RoomLight, Window, WindowLight};
use light::sun::SunPosition;
use model::{Fixture, FixtureKind, Item, Kit, Opening, OpeningKind, Ratio, Space};
use units::Metres;

use crate::pictured::Pictured;
use crate::place::WallRect;
use crate::sky_over::SkyOver;
use crate::{Analysis, Known, Means, Missing, Parts, Uncertain, item_label};

/// No patch of a room is longer, m: finer ones change a picture's light by a few percent.
const PATCH_M: f64 = 1.5;
/// How far a real clear or overcast sky is from its model, 95 % (from memory: ±25 to 30 %).
const SKY_SPREAD: f64 = 0.3;
/// Light through glass without a blind, 95 %: double panes with and without a coating.
const GLASS: [f64; 2] = [0.72, 0.12];
/// Shares of light that surfaces give back, 95 %: pale ceiling, any wall, any floor (common
/// practice: 0.8, 0.5, 0.2).
const CEILING: [f64; 2] = [0.75, 0.15];
const WALLS: [f64; 2] = [0.5, 0.3];
const FLOOR: [f64; 2] = [0.2, 0.15];
/// What a window's inside gives back, and a matt screen of gain 1.
const PANE: f64 = 0.12;
const SCREEN_MOST: f64 = 0.9;
/// Step in a reflectance over which the light's slope is taken.
const STEP: f64 = 0.02;

/// A window and what it lets through.
#[derive(Clone, Debug)]
pub struct DayWindow {
    /// The opening's id.
    pub id: String,
    /// Its glass as seen from inside: lower left, lower right, upper right, upper left.
    pub corners: [Point3; 4],
    /// The share of light that passes glass and blind.
    pub transmittance: Uncertain,
}

/// The light on one picture.
pub struct Daylight {
    way: Rc<WayOfLight>,
    lamps: Vec<(Point3, Uncertain)>,
    weather: Uncertain,
}

/// How light goes from windows, and from wherever a lamp may burn, to one picture.
struct WayOfLight {
    lets_in: Rc<LetsIn>,
    room: Rc<RoomLight>,
    light: PictureLight,
    surfaces: Vec<(Group, Uncertain)>,
    /// The light with one group of surfaces a step paler, for each that is not known exactly.
    slopes: Vec<(usize, PictureLight)>,
    screen: f64,
}

/// Surfaces that share a reflectance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Group {
    Floor,
    Ceiling,
    Walls,
    Wall(usize),
}

/// Surfaces painted otherwise, to see what that would do.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Repainted {
    /// The ceiling's share at most.
    pub ceiling: Option<f64>,
    /// The walls' share at most.
    pub walls: Option<f64>,
}

impl Daylight {
    /// The sky over the room; none where no window lets it in.
    pub fn sky(&self) -> Option<&SkyOver> {
        self.way.lets_in.sky.as_deref()
    }

    /// The windows.
    pub fn windows(&self) -> &[DayWindow] {
        &self.way.lets_in.windows
    }

    fn light(&self) -> &PictureLight {
        &self.way.light
    }

    fn room(&self) -> &RoomLight {
        &self.way.room
    }

    /// The picture's mean illuminance with the sun where it is; the lamps' light included.
    pub fn illuminance(&self, outside: Option<&Outside>) -> Uncertain {
        self.dimmed(outside, 1.0)
    }

    /// As [`Daylight::illuminance`], with blinds that let a share of the windows' light pass.
    pub fn dimmed(&self, outside: Option<&Outside>, share: f64) -> Uncertain {
        let weather = self.weather.value();
        let brought = |light: &PictureLight| {
            let windows =
                outside.map_or(Vec::new(), |outside| light.daylight(self.room(), outside));
            let day: f64 = windows
                .iter()
                .zip(self.windows())
                .map(|(w, of)| w.lux() * of.transmittance.value() * share)
                .sum();
            (windows, day * weather)
        };
        let (windows, day) = brought(self.light());
        let lamps: Vec<f64> = self
            .lamps
            .iter()
            .map(|(at, _)| self.light().lamp(self.room(), *at))
            .collect();
        let lamp_lux = |light: &PictureLight| -> f64 {
            self.lamps
                .iter()
                .map(|(at, lm)| light.lamp(self.room(), *at) * lm.value())
                .sum()
        };
        let from_lamps: f64 = lamps
            .iter()
            .zip(&self.lamps)
            .map(|(each, (_, lm))| each * lm.value())
            .sum();
        let mut parts: Vec<(f64, &Uncertain)> = vec![(day / weather, &self.weather)];
        parts.extend(
            windows
                .iter()
                .zip(self.windows())
                .map(|(w, of)| (w.lux() * share * weather, &of.transmittance)),
        );
        parts.extend(
            lamps
                .iter()
                .zip(&self.lamps)
                .map(|(each, (_, lm))| (*each, lm)),
        );
        for (group, light) in &self.way.slopes {
            let there = brought(light).1 + lamp_lux(light);
            parts.push((
                (there - day - from_lamps) / STEP,
                &self.way.surfaces[*group].1,
            ));
        }
        Uncertain::combined(day + from_lamps, &parts)
    }

    /// As [`Daylight::illuminance`], the best estimate alone, lx.
    pub fn lux(&self, outside: Option<&Outside>) -> f64 {
        self.daylight_lux(outside) + self.lamps_lux()
    }

    /// What the lamps that burn while the picture is watched bring, lx.
    pub fn lamps_lux(&self) -> f64 {
        self.lamps
            .iter()
            .map(|(at, lm)| self.light().lamp(self.room(), *at) * lm.value())
            .sum()
    }

    /// What comes in by the windows, lx.
    pub fn daylight_lux(&self, outside: Option<&Outside>) -> f64 {
        let windows = self.through_windows(outside);
        windows
            .iter()
            .zip(self.windows())
            .map(|(w, of)| w.lux() * of.transmittance.value())
            .sum::<f64>()
            * self.weather.value()
    }

    /// What each window would bring with nothing before it.
    pub fn through_windows(&self, outside: Option<&Outside>) -> Vec<WindowLight> {
        outside.map_or(Vec::new(), |outside| {
            self.light().daylight(self.room(), outside)
        })
    }

    /// Light of the picture that comes back to it from the room, lx for each lm/m² that all
    /// of it gives.
    pub fn returned(&self) -> Uncertain {
        let base = self.light().returned();
        let slope =
            |(group, light): &(usize, PictureLight)| ((light.returned() - base) / STEP, *group);
        let slopes = self.way.slopes.iter().map(slope);
        let parts: Vec<(f64, &Uncertain)> = slopes
            .map(|(slope, group)| (slope, &self.way.surfaces[group].1))
            .collect();
        Uncertain::combined(base, &parts)
    }

    /// Share of the light on it that the picture gives back in all directions.
    pub fn screen_share(&self) -> f64 {
        self.way.screen
    }

    /// The sun at a minute of a month's day; none where the clock skips it or no window lets
    /// daylight in.
    pub fn sun(&self, month: usize, minute: u16) -> Option<SunPosition> {
        self.sky()?.sun(month, minute)
    }

    /// Sun, sky and ground; none where no window lets daylight in.
    pub fn outside(&self, sun: SunPosition, weather: Weather) -> Option<Outside> {
        Some(self.sky()?.outside(sun, weather))
    }

    /// As [`Daylight::outside`], at a minute of a month's day; none where the clock skips it.
    pub fn at(&self, month: usize, minute: u16, weather: Weather) -> Option<Rc<Outside>> {
        self.sky()?.at(month, minute, weather)
    }

    /// The same room with other paint.
    pub fn repainted(&self, paint: Repainted) -> Self {
        let most = |share: &Uncertain, limit: Option<f64>| match limit {
            Some(limit) if share.value() > limit => Uncertain::exact(limit),
            _ => share.clone(),
        };
        let surfaces = self.way.surfaces.iter().map(|(group, share)| {
            let limit = match group {
                Group::Ceiling => paint.ceiling,
                Group::Walls | Group::Wall(_) => paint.walls,
                Group::Floor => None,
            };
            (*group, most(share, limit))
        });
        let surfaces: Vec<_> = surfaces.collect();
        let way = WayOfLight::new(
            Rc::clone(&self.way.lets_in),
            Rc::clone(&self.way.room),
            surfaces,
            self.way.screen,
        );
        Self {
            way: Rc::new(way),
            lamps: self.lamps.clone(),
            weather: self.weather.clone(),
        }
    }

    /// The ceiling's share, and the palest wall's.
    pub fn paint(&self) -> [f64; 2] {
        let greatest = |picks: fn(&Group) -> bool| {
            let picked = self.way.surfaces.iter().filter(|(group, _)| picks(group));
            picked.map(|(_, share)| share.value()).fold(0.0, f64::max)
        };
        [
            greatest(|group| *group == Group::Ceiling),
            greatest(|group| matches!(group, Group::Walls | Group::Wall(_))),
        ]
    }
}

/// A room, its windows and the sky over them, without a picture.
struct LetsIn {
    sky: Option<Rc<SkyOver>>,
    windows: Vec<DayWindow>,
    room: Rc<RoomLight>,
    pictured: Pictured,
}

fn no_walls(space: &Space) -> Missing {
    let what = format!("walls of {} that light can go round between", space.label());
    Missing::new(what, format!("space.{}", space.id), Means::OutsideModel)
}

impl WayOfLight {
    /// For the surfaces as they are, and with each group a step paler.
    fn new(
        lets_in: Rc<LetsIn>,
        room: Rc<RoomLight>,
        surfaces: Vec<(Group, Uncertain)>,
        screen: f64,
    ) -> Self {
        let (light, slopes) = lights(&room, &surfaces, lets_in.windows.len(), screen);
        Self {
            lets_in,
            room,
            light,
            surfaces,
            slopes,
            screen,
        }
    }
}

/// The light for the surfaces as they are, and with each group a step paler.
fn lights(
    room: &RoomLight,
    surfaces: &[(Group, Uncertain)],
    windows: usize,
    screen: f64,
) -> (PictureLight, Vec<(usize, PictureLight)>) {
    let with = |paler: Option<Group>| {
        let share = |surface: Surface, spot: Option<usize>| match spot {
            Some(spot) if spot == windows => screen,
            Some(_) => PANE,
            None => {
                let of = |group: Group| surfaces.iter().find(|(known, _)| *known == group);
                let group = match surface {
                    Surface::Floor => of(Group::Floor),
                    Surface::Ceiling(_) | Surface::Box(..) => of(Group::Ceiling),
                    Surface::Wall(wall) => of(Group::Wall(wall)).or_else(|| of(Group::Walls)),
                };
                group.map_or(0.5, |(group, share)| {
                    let step = if paler == Some(*group) { STEP } else { 0.0 };
                    // A stated share of 1 would let light go round for ever.
                    share.value().clamp(0.0, 0.95) + step
                })
            }
        };
        room.on_picture(share)
            .expect("shares below 1, and a picture that lies on its wall")
    };
    let slopes = surfaces.iter().enumerate();
    let uncertain = slopes.filter(|(_, (_, share))| share.standard_uncertainty() > 0.0);
    let slopes = uncertain.map(|(index, (group, _))| (index, with(Some(*group))));
    (with(None), slopes.collect())
}

impl Analysis {
    /// The light on a screen's or display's picture.
    pub fn daylight(&self, item: &Item) -> Known<Rc<Daylight>> {
        self.kept_of_item("daylight", item, || self.daylight_anew(item).map(Rc::new))
    }

    fn daylight_anew(&self, item: &Item) -> Known<Daylight> {
        let space = self.with_parts(self.room_of(item)?, Parts::FIXTURES);
        // A fixture that is moved leaves all but the lamps as it is.
        let way = self.kept_of_item("way of light to a picture", item, || {
            self.way_of_light_anew(item).map(Rc::new)
        })?;
        let ambient = format!("space.{}.ambient", space.id);
        let what = format!(
            "how far a real sky over {} is from its model",
            space.label()
        );
        Ok(Daylight {
            way,
            lamps: self.lamps(space),
            weather: self.assumed(&what, &ambient, 1.0, SKY_SPREAD),
        })
    }

    fn way_of_light_anew(&self, item: &Item) -> Known<WayOfLight> {
        let space = self.with_parts(self.room_of(item)?, Parts::OPENINGS.and(Parts::PAINT));
        let picture = self.picture(item)?;
        let at = format!("item.{}.on", item.id);
        let lit = self.spot_on_wall(space, &picture.lit, (at, item_label(item)))?;
        let lets_in = self.lets_in(space)?;
        let room = lets_in.pictured.room(&lets_in.room, lit);
        let room = room.ok_or_else(|| no_walls(space))?;
        let (surfaces, screen) = (self.surfaces(space), self.screen_reflectance(item));
        Ok(WayOfLight::new(lets_in, room, surfaces, screen))
    }

    /// The room without a picture, kept: every picture and every place of one starts from it.
    fn lets_in(&self, space: &Space) -> Known<Rc<LetsIn>> {
        self.kept_of_space("lets light in", space, Parts::OPENINGS, |space| {
            self.lets_in_anew(space).map(Rc::new)
        })
    }

    fn lets_in_anew(&self, space: &Space) -> Known<LetsIn> {
        let mut windows = Vec::new();
        let mut engine = Vec::new();
        for opening in &space.opening {
            let Some(transmittance) = self.transmittance(space, opening)? else {
                continue;
            };
            let rect = self.opening_rect(space, opening)?;
            let at = format!("space.{}.opening.{}.on", space.id, opening.id);
            let spot = self.spot_on_wall(space, &rect, (at, &opening.id))?;
            engine.push(Window {
                spot,
                panes: 2,
                overhang: self.overhang(opening, &rect),
            });
            windows.push(DayWindow {
                id: opening.id.clone(),
                corners: spot.corners,
                transmittance,
            });
        }
        let sky = if windows.is_empty() {
            None
        } else {
            Some(self.sky_over(space)?)
        };
        let open = light::horizon::Horizon::default();
        let anywhere =
            light::compass::Compass::of(geometry::Vec2::new(1.0, 0.0), units::Radians(0.0));
        let anywhere = anywhere.expect("a direction");
        let room = Room {
            solid: self.shape(space).solid()?,
            compass: sky.as_ref().map_or(anywhere, |sky| sky.compass),
            horizon: sky.as_ref().map_or(&open, |sky| &sky.horizon),
            windows: &engine,
            patch_m: PATCH_M,
        };
        // A blind or a door's swing changes openings, and not how light goes round.
        let asked = format!("{room:?}");
        let found = self.remembered_in_trials("room light", (&[&asked], &[], &[]), || {
            RoomLight::new(&room).map(Rc::new)
        });
        Ok(LetsIn {
            room: found.ok_or_else(|| no_walls(space))?,
            sky,
            windows,
            pictured: Pictured::default(),
        })
    }

    /// A rectangle's corners, where nearly all of it lies on its wall.
    fn spot_on_wall(
        &self,
        space: &Space,
        rect: &WallRect,
        (at, what): (String, &str),
    ) -> Known<Spot> {
        let spot = self.spot(space, rect)?;
        let whole = rect.width().value() * rect.height().value();
        let metres = |number: &Uncertain| Metres(number.value());
        let rect_on_wall = Rect::new(
            metres(&rect.left),
            metres(&rect.right),
            metres(&rect.bottom),
            metres(&rect.top),
        );
        let solid = self.shape(space).solid()?;
        let there = rect_on_wall.map_or(0.0, |on_wall| {
            solid.opening_area_on_wall(rect.wall, &on_wall).0
        });
        if whole > 0.0 && there > 0.98 * whole {
            return Ok(spot);
        }
        let what = format!("a place of {what} that lies wholly on its wall");
        Err(Missing::new(what, at, Means::Tape))
    }

    fn spot(&self, space: &Space, rect: &WallRect) -> Known<Spot> {
        let (left, along, _) = self.shape(space).wall_frame(rect.wall)?;
        let ([x, y], [ax, ay]) = (left.value(), along.value());
        let at = |from_left: &Uncertain, height: &Uncertain| {
            let d = from_left.value();
            Point3::new(x + ax * d, y + ay * d, height.value())
        };
        Ok(Spot {
            corners: [
                at(&rect.left, &rect.bottom),
                at(&rect.right, &rect.bottom),
                at(&rect.right, &rect.top),
                at(&rect.left, &rect.top),
            ],
            surface: Surface::Wall(rect.wall),
        })
    }

    /// The corners of an opening as seen from inside: lower left, lower right, upper right,
    /// upper left, m.
    pub fn opening_corners(&self, space: &Space, opening: &Opening) -> Known<[[f64; 3]; 4]> {
        let spot = self.spot(space, &self.opening_rect(space, opening)?)?;
        Ok(spot.corners.map(|corner| [corner.x, corner.y, corner.z]))
    }

    /// What an opening lets through; none where it is no window.
    pub fn transmittance(&self, space: &Space, opening: &Opening) -> Known<Option<Uncertain>> {
        let at = format!("space.{}.opening.{}.transmittance", space.id, opening.id);
        if let Some(stated) = self.number(opening.transmittance.as_ref()) {
            return Ok((stated.value() > 0.0).then_some(stated));
        }
        if opening.kind != OpeningKind::Window {
            return Ok(None);
        }
        if let Some(blind) = &opening.blind {
            let what = format!(
                "the share of light that passes {} with its {blind} down (light inside the glass over light outside)",
                opening.id.replace('-', " ")
            );
            return Err(Missing::new(what, at, Means::LightMeter));
        }
        let what = format!(
            "the share of light that passes the glass of {}",
            opening.id.replace('-', " ")
        );
        Ok(Some(self.assumed(&what, &at, GLASS[0], GLASS[1])))
    }

    fn overhang(&self, opening: &Opening, rect: &WallRect) -> Option<Overhang> {
        let overhang = opening.overhang.as_ref()?;
        let out = self.number(Some(&overhang.out))?;
        let above = self.number(overhang.above.as_ref()).unwrap_or_default();
        Overhang::new(Metres(out.value()), Metres((&rect.top + above).value()))
    }

    /// Stated reflectances, and assumed ones with their spread.
    fn surfaces(&self, space: &Space) -> Vec<(Group, Uncertain)> {
        let stated = space.reflectance.as_ref();
        let share = |fact: Option<&Ratio>, what: &str, [usual, spread]: [f64; 2]| {
            self.number(fact).unwrap_or_else(|| {
                let at = format!("space.{}.reflectance.{what}", space.id);
                let what = format!(
                    "the share of light that the {what} of {} gives back",
                    space.label()
                );
                self.assumed(&what, &at, usual, spread)
            })
        };
        let mut surfaces = vec![
            (
                Group::Floor,
                share(stated.and_then(|s| s.floor.as_ref()), "floor", FLOOR),
            ),
            (
                Group::Ceiling,
                share(stated.and_then(|s| s.ceiling.as_ref()), "ceiling", CEILING),
            ),
            (
                Group::Walls,
                share(stated.and_then(|s| s.walls.as_ref()), "walls", WALLS),
            ),
        ];
        for (wall, fact) in stated.into_iter().flat_map(|stated| &stated.wall) {
            if let (Some(wall), Some(share)) = (space.wall(wall), self.number(Some(fact))) {
                surfaces.push((Group::Wall(wall), share));
            }
        }
        surfaces
    }

    fn screen_reflectance(&self, item: &Item) -> f64 {
        let share = match self.kit_of(item) {
            Some(Kit::Screen(kit)) => self
                .number(kit.ambient_reflectance.as_ref())
                .or_else(|| self.number(kit.gain.as_ref())),
            Some(Kit::Display(kit)) => {
                let share = self.number(kit.ambient_reflectance.as_ref());
                Some(share.unwrap_or(Uncertain::exact(0.05)))
            }
            _ => None,
        };
        share.map_or(SCREEN_MOST, |share| share.value().clamp(0.0, SCREEN_MOST))
    }

    /// Lamps that say what they give while the picture is watched; others are off then.
    fn lamps(&self, space: &Space) -> Vec<(Point3, Uncertain)> {
        let lit = |fixture: &Fixture| {
            let is_lamp = matches!(
                fixture.kind,
                FixtureKind::WallLight | FixtureKind::CeilingLight
            );
            let lumens = self
                .number(fixture.lumens.as_ref())
                .filter(|lm| is_lamp && lm.value() > 0.0)?;
            let body = self.fixture_body(space, fixture).ok()?;
            let [x, y, z] = body.centre.value();
            Some((Point3::new(x, y, z), lumens))
        };
        space.fixture.iter().filter_map(lit).collect()
    }
}
