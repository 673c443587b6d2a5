//! Which way does each loudspeaker look, and what does it send off its axis?

use std::rc::Rc;

use acoustics::directivity::{Aim, Bipole, Directivity, Topped};
use acoustics::polar::Balloon;
use model::{Item, LoudspeakerForm, LoudspeakerKit, LoudspeakerPattern, Space};
use units::{Metres, Radians};

use crate::{Analysis, Known, Means, Missing, item_label};

/// What a loudspeaker of unknown coverage is taken for, and the half width of that guess,
/// rad: common practice, no source.
const COVERAGE_USUAL: f64 = 90.0 * std::f64::consts::PI / 180.0;
const COVERAGE_SPREAD: f64 = 30.0 * std::f64::consts::PI / 180.0;

/// How far a bipole's sides are off square where no sheet says: common practice, no source.
const SPLAY_USUAL: f64 = 45.0 * std::f64::consts::PI / 180.0;

/// A diaphragm narrower than this is a dome that plays the top alone, and a wider one a cone
/// that plays every octave that is judged, m: common practice, no source.
const DOME_MAX_M: f64 = 0.05;

/// How an entry spreads its sound, of which no sheet tells more than its diaphragm, where the
/// whole of it is taken to cover this angle.
pub(crate) fn taken_as(kit: &LoudspeakerKit, coverage_rad: f64) -> Directivity {
    match (kit.pattern, driver_m(kit)) {
        (None | Some(LoudspeakerPattern::Monopole), Some(driver)) => Directivity::Topped(Topped {
            radius: Metres(driver / 2.0),
            coverage: Radians(coverage_rad),
            is_stated: false,
        }),
        _ => by_coverage(kit, coverage_rad),
    }
}

fn driver_m(kit: &LoudspeakerKit) -> Option<f64> {
    kit.driver.as_ref()?.value()
}

/// How an entry spreads its sound by a coverage angle of its one or of each of its sides.
pub(crate) fn by_coverage(kit: &LoudspeakerKit, coverage_rad: f64) -> Directivity {
    let coverage = Radians(coverage_rad);
    match kit.pattern {
        Some(LoudspeakerPattern::Dipole) => Directivity::Dipole,
        Some(LoudspeakerPattern::Bipole) => {
            let splay = kit.angled.as_ref().and_then(|angle| angle.value());
            Directivity::Bipole(Bipole::new(coverage, Radians(splay.unwrap_or(SPLAY_USUAL))))
        }
        Some(LoudspeakerPattern::Monopole) | None => Directivity::Coverage(coverage),
    }
}

impl Analysis {
    /// What is known of how an entry spreads its sound: polar data, else its pattern of two
    /// sides, else its coverage, in octaves where the piston of its diaphragm is narrower that,
    /// else a cone's diaphragm; `None` where the sheet says nothing of the middle octaves.
    pub fn directivity(&self, kit: &LoudspeakerKit) -> Known<Option<Rc<Directivity>>> {
        if let Some(text) = &kit.polar {
            let balloon = Balloon::read(text).map_err(|error| {
                let what = format!("polar data of {} that read: {error}", kit.common.id);
                let at = format!("kit.loudspeaker.{}.polar", kit.common.id);
                Missing::new(what, at, Means::SpecSheet)
            })?;
            return Ok(Some(Rc::new(Directivity::Measured(balloon))));
        }
        let coverage = kit.coverage.as_ref().and_then(|coverage| coverage.value());
        Ok(match (kit.pattern, driver_m(kit), coverage) {
            (Some(LoudspeakerPattern::Dipole), ..) => Some(Rc::new(Directivity::Dipole)),
            (Some(LoudspeakerPattern::Bipole), _, None) => None,
            (None | Some(LoudspeakerPattern::Monopole), Some(driver), Some(coverage)) => {
                Some(Rc::new(Directivity::Topped(Topped {
                    radius: Metres(driver / 2.0),
                    coverage: Radians(coverage),
                    is_stated: true,
                })))
            }
            (None | Some(LoudspeakerPattern::Monopole), Some(driver), None)
                if driver >= DOME_MAX_M =>
            {
                Some(Rc::new(Directivity::Piston(Metres(driver / 2.0))))
            }
            (.., Some(coverage)) => Some(Rc::new(by_coverage(kit, coverage))),
            (.., None) => None,
        })
    }

    /// As [`Analysis::directivity`], with the usual coverage of 90° ± 30° where the sheet
    /// says nothing, below what a dome plays where it tells that alone.
    pub fn directivity_or_usual(&self, kit: &LoudspeakerKit) -> Known<(Rc<Directivity>, bool)> {
        let known = self.directivity(kit)?;
        let usual = || Rc::new(taken_as(kit, COVERAGE_USUAL));
        Ok(known.map_or_else(|| (usual(), false), |known| (known, true)))
    }

    /// The usual coverage's half width, rad.
    pub fn coverage_spread(&self) -> f64 {
        COVERAGE_SPREAD
    }

    /// Which way a loudspeaker looks with its drivers and baffle square: out of its wall, down
    /// from its ceiling, on the floor as it is turned, else level towards `towards`.
    pub fn square_aim(
        &self,
        space: &Space,
        item: &Item,
        kit: &LoudspeakerKit,
        at: [f64; 3],
        towards: [f64; 3],
    ) -> Known<Aim> {
        let ask = |what: &str| {
            Missing::new(
                format!("{what} {}", item_label(item)),
                format!("item.{}", item.id),
                Means::Decide,
            )
        };
        let holder = self.holders(item).last().unwrap_or(item);
        let aim = if let Some(on) = &holder.on {
            let wall = space.wall(&on.wall).ok_or_else(|| ask("the wall of"))?;
            let [x, y] = self.shape(space).wall_frame(wall)?.2.value();
            // Turned as a picture on its arm is.
            let (sine, cosine) = self.turn_in_use(item).sin_cos();
            let [x, y] = [x * cosine - y * sine, y * cosine + x * sine];
            let tilt = (item.tilt.as_ref()).and_then(|tilt| tilt.value());
            let (sine, cosine) = tilt.unwrap_or(0.0).sin_cos();
            Aim::new(
                [x * cosine, y * cosine, -sine],
                [x * sine, y * sine, cosine],
            )
        } else if let (Some(hung), Some(LoudspeakerForm::InCeiling)) = (&holder.hung, kit.form) {
            // Square to the ceiling's own slope; its upper side towards the first wall named.
            let wall = space.wall(&hung.from.0).ok_or_else(|| ask("the wall of"))?;
            let [x, y] = self.shape(space).wall_frame(wall)?.2.value();
            let shape = self.shape(space);
            let ceiling = shape.ceiling()?;
            let over = geometry::Point2::new(at[0], at[1]);
            let plane = ceiling.planes()[ceiling.surface_above(over)];
            Aim::new([plane.slope_x, plane.slope_y, -1.0], [-x, -y, 0.0])
        } else if let Some(turned) = &item.turned {
            let by = turned.by.value().ok_or_else(|| ask("the angle of"))?;
            let inward = self.inward(space, &turned.wall);
            Aim::off_wall(inward.ok_or_else(|| ask("the wall of"))?, Radians(by))
        } else {
            let level = [towards[0] - at[0], towards[1] - at[1], 0.0];
            Aim::new(level, [0.0, 0.0, 1.0])
        };
        aim.ok_or_else(|| ask("a place apart from the main seat for"))
    }

    /// Straight into the room from a wall, in plan, of length 1.
    pub fn inward(&self, space: &Space, wall: &str) -> Option<[f64; 2]> {
        let frame = self.shape(space).wall_frame(space.wall(wall)?);
        Some(frame.ok()?.2.value())
    }

    /// Which way a loudspeaker looks as it is set.
    pub fn aim(
        &self,
        space: &Space,
        item: &Item,
        kit: &LoudspeakerKit,
        at: [f64; 3],
        towards: [f64; 3],
    ) -> Known<Aim> {
        let square = self.square_aim(space, item, kit, at, towards)?;
        let Some(set) = &item.aim else {
            return Ok(square);
        };
        let ask = |what: &str, field: &str| {
            let what = format!("{what} of {}", item_label(item));
            Missing::new(what, format!("item.{}.aim.{field}", item.id), Means::Decide)
        };
        let dial = set.dial.value().ok_or_else(|| ask("the dial", "dial"))?;
        let off = (set.off.as_ref().or(kit.angled.as_ref()))
            .and_then(|off| off.value())
            .ok_or_else(|| ask("the angle off square", "off"))?;
        Ok(square.turned(Radians(dial), Radians(off)))
    }
}
