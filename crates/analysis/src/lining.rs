//! What is each surface of a room covered with, and what does a point of it absorb?

use std::rc::Rc;

use acoustics::finishes::{self, Counts, Finish};
use acoustics::octave::{OctaveBand, Octaves};
use geometry::Surface;
use model::{Covering, OpeningKind, Space};
use uncertainty::Uncertain;

use crate::reflection::ALPHA_MOST;
use crate::{Analysis, Known, Means, Missing, Parts, WallRect};

/// How far a printed absorption coefficient may be off in one octave, 95 %: books differ by
/// that much (common practice).
const TABLE_SPREAD: f64 = 0.1;

/// What a room's surfaces are covered with, best estimates.
#[derive(Debug)]
pub struct Linings {
    patches: Vec<Patch>,
    /// Coverings of which nobody says where on their surface they are.
    loose: Vec<Loose>,
    space: String,
}

/// Something with a place on a surface, in the surface's own coordinates: from a wall's left
/// end and up, or in plan.
#[derive(Debug)]
struct Patch {
    surface: Side,
    centre: [f64; 2],
    along: [f64; 2],
    half: [f64; 2],
    alpha: Octaves<f64>,
    what: String,
}

/// Middle, direction and half sizes of a rectangle on a surface.
struct Lying {
    centre: [f64; 2],
    along: [f64; 2],
    half: [f64; 2],
}

#[derive(Debug)]
struct Loose {
    surface: Side,
    id: String,
    area_m2: f64,
    alpha: Octaves<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    Floor,
    Ceiling,
    Wall(usize),
}

/// What sends a sound back at a point.
#[derive(Clone, Debug)]
pub struct Lining {
    /// The absorption coefficient.
    pub alpha: Uncertain,
    /// What it is, in words: a finish, a covering or an opening.
    pub what: String,
    /// Whether something with a place of its own is there, and not the bare finish.
    pub is_covered: bool,
}

/// A point of a surface in the surface's own coordinates.
struct PlaceOn<'a> {
    side: Side,
    name: &'a str,
    flat: [f64; 2],
}

impl Side {
    fn of(surface: Surface) -> Self {
        match surface {
            Surface::Floor => Self::Floor,
            // Soffits and beams are boarded as the ceiling is.
            Surface::Ceiling(_) | Surface::Box(..) => Self::Ceiling,
            Surface::Wall(wall) => Self::Wall(wall),
        }
    }
}

impl Linings {
    /// What lies on top at a place.
    fn patch(&self, place: &PlaceOn<'_>) -> Option<&Patch> {
        let on_top = self.patches.iter().rev();
        on_top
            .filter(|patch| patch.surface == place.side)
            .find(|patch| patch.holds(place.flat))
    }
}

impl Patch {
    fn holds(&self, point: [f64; 2]) -> bool {
        let step = [point[0] - self.centre[0], point[1] - self.centre[1]];
        let along = step[0] * self.along[0] + step[1] * self.along[1];
        let across = step[1] * self.along[0] - step[0] * self.along[1];
        along.abs() <= self.half[0] && across.abs() <= self.half[1]
    }
}

impl Analysis {
    /// What a surface (`floor`, `ceiling` or a wall's name) is finished with.
    pub fn finish_of(&self, space: &Space, surface: &str) -> Known<&'static Finish> {
        let finishes = space.finishes.as_ref();
        let own = |wall: &str| finishes.and_then(|finishes| finishes.wall.get(wall));
        let at = || match surface {
            "floor" | "ceiling" => format!("space.{}.finishes.{surface}", space.id),
            wall if own(wall).is_some() => format!("space.{}.finishes.wall.{wall}", space.id),
            _ => format!("space.{}.finishes.walls", space.id),
        };
        let name = match surface {
            "floor" => finishes.and_then(|finishes| finishes.floor.as_ref()),
            "ceiling" => finishes.and_then(|finishes| finishes.ceiling.as_ref()),
            wall => own(wall).or_else(|| finishes?.walls.as_ref()),
        };
        let name = name.ok_or_else(|| {
            let what = match surface {
                "floor" | "ceiling" => format!("the {surface}"),
                wall => format!("wall {wall}"),
            };
            let what = format!("what {what} of {} is finished with", space.label());
            Missing::new(what, at(), Means::Look)
        })?;
        finishes::finish(name).map_err(|error| no_finish(&error, at()))
    }

    /// Openings and coverings with their places, best estimates.
    pub fn linings(&self, space: &Space) -> Known<Rc<Linings>> {
        let parts = Parts::OPENINGS.and(Parts::COVERINGS);
        self.kept_of_space("linings", space, parts, |space| {
            self.linings_anew(space).map(Rc::new)
        })
    }

    fn linings_anew(&self, space: &Space) -> Known<Linings> {
        let mut patches = Vec::new();
        let mut loose = Vec::new();
        for opening in &space.opening {
            let Some(absorption) = opening_absorption(space, opening)? else {
                continue;
            };
            let rect = self.opening_rect(space, opening)?;
            patches.push(Patch {
                surface: Side::Wall(rect.wall),
                centre: [rect.centre_left().value(), rect.centre_height().value()],
                along: [1.0, 0.0],
                half: [rect.width().value() / 2.0, rect.height().value() / 2.0],
                alpha: absorption,
                what: opening.id.replace('-', " "),
            });
        }
        for covering in space.coverings() {
            let at = format!("space.{}.covering.{}", space.id, covering.id);
            let finish = finish_named(&covering.finish, &format!("{at}.finish"))?;
            let Some(over) = covering.over.as_deref() else {
                continue;
            };
            if finish.counts == Counts::Each {
                continue;
            }
            let surface = match over {
                "floor" => Side::Floor,
                "ceiling" => Side::Ceiling,
                wall => match space.wall(wall) {
                    Some(wall) => Side::Wall(wall),
                    None => continue,
                },
            };
            let area_m2 = self.covering_area(space, covering)?.value();
            match self.placed_covering(space, covering, surface)? {
                Some(lying) => patches.push(Patch {
                    surface,
                    centre: lying.centre,
                    along: lying.along,
                    half: lying.half,
                    alpha: finish.absorption,
                    what: covering.id.replace('-', " "),
                }),
                None => loose.push(Loose {
                    surface,
                    id: covering.id.clone(),
                    area_m2,
                    alpha: finish.absorption,
                }),
            }
        }
        Ok(Linings {
            patches,
            loose,
            space: space.id.clone(),
        })
    }

    /// The area of a covering: as stated, else what its size covers.
    pub fn covering_area(&self, space: &Space, covering: &Covering) -> Known<Uncertain> {
        let sides = covering.size.as_ref();
        let size = sides
            .and_then(|[across, up]| Some(self.number(Some(across))? * self.number(Some(up))?));
        self.number(covering.area.as_ref()).or(size).ok_or_else(|| {
            let what = format!("the area of {}", covering.id.replace('-', " "));
            let at = format!("space.{}.covering.{}.area", space.id, covering.id);
            Missing::new(what, at, Means::Tape)
        })
    }

    /// The rectangle of a covering that has a place on its wall; none for any other.
    pub fn covering_rect(&self, space: &Space, covering: &Covering) -> Option<Known<WallRect>> {
        let (on, [across, up]) = covering.on.as_ref().zip(covering.size.as_ref())?;
        let path = format!("space.{}.covering.{}", space.id, covering.id);
        let side = |length| {
            self.number(Some(length)).ok_or_else(|| {
                let what = format!("the size of {}", covering.id.replace('-', " "));
                Missing::new(what, format!("{path}.size"), Means::Tape)
            })
        };
        let rect = || {
            let size = [&side(across)?, &side(up)?];
            let on_path = format_args!("{path}.on");
            self.wall_rect(space, on, size, model::Anchor::Centre, on_path)
        };
        Some(rect())
    }

    /// The corners of a covering that has a place: of one over a wall on that wall, of others in plan
    /// at the floor's height; none where its place or what it is over is not known.
    pub fn covering_corners(
        &self,
        space: &Space,
        covering: &Covering,
    ) -> Known<Option<[[f64; 3]; 4]>> {
        let surface = match covering.over.as_deref() {
            Some("floor") => Side::Floor,
            Some("ceiling") => Side::Ceiling,
            Some(wall) => match space.wall(wall) {
                Some(wall) => Side::Wall(wall),
                None => return Ok(None),
            },
            None => return Ok(None),
        };
        let Some(lying) = self.placed_covering(space, covering, surface)? else {
            return Ok(None);
        };
        let [across, up] = lying.half;
        let signs = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
        let flat = signs.map(|[one, other]| {
            let [x, y] = lying.along;
            [
                lying.centre[0] + one * across * x - other * up * y,
                lying.centre[1] + one * across * y + other * up * x,
            ]
        });
        let Side::Wall(wall) = surface else {
            return Ok(Some(flat.map(|[x, y]| [x, y, 0.0])));
        };
        let (left, along, _) = self.shape(space).wall_frame(wall)?;
        let (left, along) = (left.value(), along.value());
        Ok(Some(flat.map(|[at, height]| {
            [left[0] + along[0] * at, left[1] + along[1] * at, height]
        })))
    }

    /// The middle, direction and half sizes of a covering that has a place.
    fn placed_covering(
        &self,
        space: &Space,
        covering: &Covering,
        surface: Side,
    ) -> Known<Option<Lying>> {
        let Some([across, up]) = &covering.size else {
            return Ok(None);
        };
        let at = format!("space.{}.covering.{}", space.id, covering.id);
        let ask = || {
            let what = format!("the size of {}", covering.id.replace('-', " "));
            Missing::new(what, format!("{at}.size"), Means::Tape)
        };
        let side = |length| self.number(Some(length)).ok_or_else(ask);
        let (across, up) = (side(across)?, side(up)?);
        match (surface, &covering.on, &covering.at) {
            (Side::Wall(_), Some(_), _) => match self.covering_rect(space, covering) {
                Some(rect) => {
                    let rect = rect?;
                    Ok(Some(Lying {
                        centre: [rect.centre_left().value(), rect.centre_height().value()],
                        along: [1.0, 0.0],
                        half: [across.value() / 2.0, up.value() / 2.0],
                    }))
                }
                None => Ok(None),
            },
            (Side::Floor | Side::Ceiling, _, Some(place)) => {
                let shape = self.shape(space);
                let path = format_args!("{at}.at");
                let centre = shape.corner_from(self, space, &place.from, &place.and, path)?;
                let along = match space.wall(&place.from.0) {
                    Some(wall) => shape.wall_frame(wall)?.1.value(),
                    None => return Ok(None),
                };
                let half = [across.value() / 2.0, up.value() / 2.0];
                let centre = centre.value();
                Ok(Some(Lying {
                    centre,
                    along,
                    half,
                }))
            }
            _ => Ok(None),
        }
    }

    /// What a point of a surface absorbs by octave, best estimates. Where a covering's place on
    /// its surface is not known, it counts by its share of the surface. `linings` are its space's.
    pub(crate) fn absorption_in(
        &self,
        linings: &Linings,
        space: &Space,
        surface: Surface,
        point: [f64; 3],
    ) -> Known<Octaves<f64>> {
        let place = self.place_on(space, surface, point)?;
        if let Some(patch) = linings.patch(&place) {
            return Ok(patch.alpha);
        }
        let mut alpha = self.finish_of(space, place.name)?.absorption;
        for loose in linings
            .loose
            .iter()
            .filter(|loose| loose.surface == place.side)
        {
            let share = self.share_of(space, loose)?;
            for (alpha, covered) in alpha.iter_mut().zip(loose.alpha) {
                *alpha = alpha
                    .zip(covered)
                    .map(|(bare, covered)| bare + share * (covered - bare));
            }
        }
        Ok(alpha)
    }

    /// What a point of a surface absorbs in an octave. Where a covering's place on its
    /// surface is not known, the point may be covered or not: that much is left open.
    pub fn lining_at(
        &self,
        space: &Space,
        surface: Surface,
        point: [f64; 3],
        band: OctaveBand,
    ) -> Known<Lining> {
        let linings = self.linings(space)?;
        let place = self.place_on(space, surface, point)?;
        if let Some(patch) = linings.patch(&place) {
            let alpha = self.table_alpha(&linings, place.name, patch.alpha, band, &patch.what)?;
            return Ok(Lining {
                alpha,
                what: patch.what.clone(),
                is_covered: true,
            });
        }
        let finish = self.finish_of(space, place.name)?;
        let mut alpha =
            self.table_alpha(&linings, place.name, finish.absorption, band, finish.key)?;
        let mut what = finish.key.replace('_', " ");
        for loose in linings
            .loose
            .iter()
            .filter(|loose| loose.surface == place.side)
        {
            let share = self.share_of(space, loose)?;
            let covered = loose.alpha[band.index()].unwrap_or(alpha.value());
            let label = loose.id.replace('-', " ");
            let difference = covered.min(ALPHA_MOST) - alpha.value();
            // Where all of it is covered there is no question.
            let open = if share > 0.95 {
                0.0
            } else {
                share.max(1.0 - share)
            };
            let here = self.assumed(
                &format!("whether {label} lies where sound is reflected"),
                &format!("space.{}.covering.{}.at", linings.space, loose.id),
                share,
                open,
            );
            alpha = alpha + here * difference;
            what = format!("{what}, in part {label}");
        }
        Ok(Lining {
            alpha,
            what,
            is_covered: false,
        })
    }

    fn place_on<'a>(
        &self,
        space: &'a Space,
        surface: Surface,
        point: [f64; 3],
    ) -> Known<PlaceOn<'a>> {
        let side = Side::of(surface);
        let (name, flat) = match side {
            Side::Floor => ("floor", [point[0], point[1]]),
            Side::Ceiling => ("ceiling", [point[0], point[1]]),
            Side::Wall(wall) => {
                let (left, along, _) = self.shape(space).wall_frame(wall)?;
                let (left, along) = (left.value(), along.value());
                let from_left = (point[0] - left[0]) * along[0] + (point[1] - left[1]) * along[1];
                (space.walls[wall].id.as_str(), [from_left, point[2]])
            }
        };
        Ok(PlaceOn { side, name, flat })
    }

    fn share_of(&self, space: &Space, loose: &Loose) -> Known<f64> {
        Ok((loose.area_m2 / self.area_of(space, loose.surface)?).clamp(0.0, 1.0))
    }

    fn area_of(&self, space: &Space, side: Side) -> Known<f64> {
        let areas = self.shape(space).areas()?.iter();
        let here = areas.filter(|(surface, _)| Side::of(*surface) == side);
        Ok(here.map(|(_, area)| area.value()).sum())
    }

    fn table_alpha(
        &self,
        linings: &Linings,
        surface: &str,
        absorption: Octaves<f64>,
        band: OctaveBand,
        what: &str,
    ) -> Known<Uncertain> {
        let at = match surface {
            "floor" | "ceiling" => format!("space.{}.finishes.{surface}", linings.space),
            wall => format!("space.{}.finishes.wall.{wall}", linings.space),
        };
        let alpha = absorption[band.index()].ok_or_else(|| {
            let hertz = band.nominal().0;
            let what = format!("what {what} absorbs at {hertz:.0} Hz");
            Missing::new(what, at.clone(), Means::SpecSheet)
        })?;
        let off = self.assumed(
            &format!(
                "what the printed absorption of {} is worth",
                what.replace('_', " ")
            ),
            &at,
            0.0,
            TABLE_SPREAD,
        );
        let none = Uncertain::exact(0.0);
        Ok((off + alpha.min(ALPHA_MOST))
            .max(&none)
            .min(&Uncertain::exact(ALPHA_MOST)))
    }
}

/// A finish by a name that the job gives at `at`.
pub fn finish_named(name: &str, at: &str) -> Known<&'static Finish> {
    finishes::finish(name).map_err(|error| no_finish(&error, at.to_owned()))
}

fn no_finish(error: &finishes::UnknownFinish, at: String) -> Missing {
    let what = format!("a finish of the absorption table: {error}");
    Missing::new(what, at, Means::Look)
}

/// What an opening absorbs: a door as wood, a window as its glass, an archway all of it; a
/// recess is part of its wall.
pub fn opening_absorption(space: &Space, opening: &model::Opening) -> Known<Option<Octaves<f64>>> {
    let at = format!("space.{}.opening.{}.glazing", space.id, opening.id);
    Ok(match opening.kind {
        OpeningKind::Door => Some(finish_named("wooden_door", "")?.absorption),
        OpeningKind::Window => {
            Some(finish_named(opening.glazing.as_deref().unwrap_or("window"), &at)?.absorption)
        }
        OpeningKind::Archway => Some([Some(1.0); 7]),
        OpeningKind::Recess => None,
    })
}
