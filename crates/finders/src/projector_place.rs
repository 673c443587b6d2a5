//! Where can a projector hang or stand with nothing that stops it?

use analysis::{Analysis, Known, Means, Missing, item_label};
use checks::Verdict;
use checks::hanging::{Hanging, findings_of_place, hanging};
use geometry::Point2;
use model::{Edit, Item, Kit, Space};
use serde_json::json;
use units::{Dimension, step};

use crate::any_place::AnyPlace;
use crate::hanging_cells::{Cells, Height, cells};
use crate::region::{Barred, Cell, Region, Shape, Stop, any_place, region};
use crate::trial::told;

/// Where a projector can be at one height.
#[derive(Clone, Debug)]
pub struct ProjectorRegion {
    /// The projector's item.
    pub item: String,
    /// What it is called.
    pub label: String,
    /// The space that it is in.
    pub space: String,
    /// How far it hangs down, or how high it stands.
    pub height: Height,
    /// Places of the case's middle at which no check of a projector's place fails.
    pub region: Region,
    /// Where there is no such place: what stops it, each alone.
    pub stopped_by: Vec<Stop>,
    /// Where there is none and no stop alone is why: some that would leave a place if none of
    /// them were there, not one of which may stay.
    pub stopped_together: Vec<Stop>,
    /// The drops at which there is a place, from the shortest, m.
    pub drops_m: Vec<[f64; 2]>,
    /// The place with the most room around it, proved.
    pub place: Option<Place>,
    /// Where it is, if it is placed.
    pub present: Option<Point2>,
    /// What its checks need to know before they say anything: nothing is kept off for it.
    pub needs: Vec<Missing>,
}

/// A place to use.
#[derive(Clone, Debug)]
pub struct Place {
    /// The case's middle in plan, m.
    pub at: Point2,
    /// To the nearest edge of the region, m.
    pub room_m: f64,
    /// What puts it there.
    pub edits: Vec<Edit>,
    /// The worst that its checks say of it there.
    pub verdict: Verdict,
    /// The sentence of the check that says so.
    pub because: String,
}

/// How finely drops are tried, m.
const DROP_STEP_M: f64 = 0.05;
/// In as many parts a stretch of drops is looked over for the roomiest.
const DROPS_MOST: f64 = 8.0;
/// Projectors hang no lower than this below the ceiling, m: people walk under them.
const DROP_MOST_M: f64 = 2.0;
/// An end of a stretch of drops is told this well, m.
const DROP_FINE_M: f64 = 1e-3;
/// Where a projector without a place is put to ask about it, m.
const DROP_FIRST_M: f64 = 0.3;

/// Where a projector of a space can be: at a height, or as far down as it hangs now; not
/// placed yet, at the drop with the most room.
pub fn projector_place(
    analysis: &Analysis,
    item: &Item,
    height: Option<Height>,
) -> Known<ProjectorRegion> {
    let wanted = height.or_else(|| present_height(analysis, item));
    let first = wanted.unwrap_or(Height::Drop(DROP_FIRST_M));
    let prepared = Prepared::new(analysis, item, first)?;
    let hanging = prepared.hanging()?;
    let drops_m = drops(&hanging);
    let height = wanted.unwrap_or_else(|| {
        Height::Drop(largest_drop_m(&hanging, &drops_m).unwrap_or(DROP_FIRST_M))
    });
    Ok(ProjectorRegion {
        drops_m,
        ..prepared.region(hanging, height)?
    })
}

/// As [`projector_place`] at a height alone, without the range of drops.
pub fn projector_region(
    analysis: &Analysis,
    item: &Item,
    height: Height,
) -> Known<ProjectorRegion> {
    let prepared = Prepared::new(analysis, item, height)?;
    let hanging = prepared.hanging()?;
    prepared.region(hanging, height)
}

/// What puts a projector's middle at a point of the plan, its distances written to the
/// micrometre: for those who hold a finder against the checks.
pub fn exact_place(
    analysis: &Analysis,
    item: &Item,
    at: Point2,
    height: Height,
) -> Known<Vec<Edit>> {
    let prepared = Prepared::new(analysis, item, height)?;
    prepared.edits(at, height, |length_m| format!("{length_m:.6} m"))
}

fn allowed(hanging: &Hanging, height: Height, without: Option<&Stop>) -> Region {
    let cells = cells(hanging, height, without);
    region(&hanging.corners, &cells.cells, &cells.stops)
}

/// What would leave a place if it were not there.
fn stopped_by(hanging: &Hanging, height: Height) -> Vec<Stop> {
    let Cells {
        cells: found,
        stops,
    } = cells(hanging, height, None);
    let leaves_a_place = |(at, stop): &(usize, &Stop)| {
        let of_it = |barred: &&Barred| barred.stop == *at;
        let mut own = found.iter().flat_map(|cell| &cell.barred).filter(of_it);
        // Where it bounds the whole cell, what lies beyond it has not been looked at.
        if own.any(|barred| matches!(barred.shape, Shape::Outside(_))) {
            return !allowed(hanging, height, Some(stop)).parts.is_empty();
        }
        found.iter().any(|cell| {
            let others = cell.barred.iter().filter(|barred| !of_it(barred));
            let without = Cell {
                sides: cell.sides.clone(),
                barred: others.cloned().collect(),
            };
            any_place(&hanging.corners, &without).is_some()
        })
    };
    let leaving = (stops.iter().enumerate()).filter(leaves_a_place);
    leaving.map(|(_, stop)| stop.clone()).collect()
}

/// Stops that leave a place if none of them is there, and none if any one stays.
fn stopped_together(hanging: &Hanging, height: Height) -> Vec<Stop> {
    let Cells {
        cells: found,
        stops,
    } = cells(hanging, height, None);
    let leaves_a_place = |gone: &[bool]| {
        found.iter().any(|cell| {
            let others = cell.barred.iter().filter(|barred| !gone[barred.stop]);
            let without = Cell {
                sides: cell.sides.clone(),
                barred: others.cloned().collect(),
            };
            any_place(&hanging.corners, &without).is_some()
        })
    };
    let mut gone = vec![true; stops.len()];
    if !leaves_a_place(&gone) {
        return Vec::new();
    }
    for at in 0..stops.len() {
        gone[at] = false;
        gone[at] = !leaves_a_place(&gone);
    }
    let left = stops.into_iter().zip(gone);
    left.filter_map(|(stop, gone)| gone.then_some(stop))
        .collect()
}

/// Stretches of drops at which there is a place.
fn drops(hanging: &Hanging) -> Vec<[f64; 2]> {
    if hanging.ceiling.is_none() {
        return Vec::new();
    }
    let mut any = AnyPlace::new(hanging);
    let tries = (DROP_MOST_M / DROP_STEP_M).round() as u32;
    let tried: Vec<(f64, bool)> = (0..=tries)
        .map(|count| f64::from(count) * DROP_STEP_M)
        .map(|drop_m| (drop_m, any.is_at(Height::Drop(drop_m))))
        .collect();
    // Between a drop with a place and one without it.
    let mut end = |with: f64, without: f64| {
        let (mut with, mut without) = (with, without);
        while (with - without).abs() > DROP_FINE_M {
            let middle = (with + without) / 2.0;
            if any.is_at(Height::Drop(middle)) {
                with = middle;
            } else {
                without = middle;
            }
        }
        with
    };
    let mut stretches: Vec<[f64; 2]> = Vec::new();
    let mut before: Option<(f64, bool)> = None;
    for (drop_m, has) in tried {
        match (before, has) {
            (None, true) => stretches.push([drop_m, drop_m]),
            (Some((last, false)), true) => stretches.push([end(drop_m, last), drop_m]),
            (Some((last, true)), false) => {
                if let Some(stretch) = stretches.last_mut() {
                    stretch[1] = end(last, drop_m);
                }
            }
            (Some((_, true)), true) => {
                if let Some(stretch) = stretches.last_mut() {
                    stretch[1] = drop_m;
                }
            }
            _ => {}
        }
        before = Some((drop_m, has));
    }
    stretches
}

/// The drop whose roomiest place has the most room.
fn largest_drop_m(hanging: &Hanging, drops_m: &[[f64; 2]]) -> Option<f64> {
    let tried = drops_m.iter().flat_map(|[short, long]| {
        let count = ((long - short) / DROP_STEP_M).ceil().clamp(1.0, DROPS_MOST) as u32;
        (0..=count).map(move |at| short + (long - short) * f64::from(at) / f64::from(count))
    });
    tried
        .filter_map(|drop_m| {
            let (_, room) = allowed(hanging, Height::Drop(drop_m), None).roomiest()?;
            Some((drop_m, room))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(drop_m, _)| drop_m)
}

fn present_height(analysis: &Analysis, item: &Item) -> Option<Height> {
    if let Some(stands) = &item.at {
        let height = analysis.number(stands.height.as_ref());
        return Some(Height::Above(height.map_or(0.0, |height| height.value())));
    }
    let drop = analysis.number(item.hung.as_ref()?.drop.as_ref());
    Some(Height::Drop(drop.map_or(0.0, |drop| drop.value())))
}

fn present(analysis: &Analysis, item: &Item) -> Option<Point2> {
    let Some(Kit::Projector(kit)) = analysis.kit_of(item) else {
        return None;
    };
    let [x, y, _] = analysis.projector(item, kit).ok()?.case.centre.value();
    Some(Point2::new(x, y))
}

/// A projector that has a place, so that all about it can be asked.
struct Prepared<'a> {
    analysis: &'a Analysis,
    item: &'a Item,
    /// With the projector put somewhere, where it had no place or another kind of place.
    placed: Option<Analysis>,
}

impl<'a> Prepared<'a> {
    fn new(analysis: &'a Analysis, item: &'a Item, height: Height) -> Known<Self> {
        let mut prepared = Self {
            analysis,
            item,
            placed: None,
        };
        let placed = match height {
            Height::Drop(_) => item.hung.is_some() && item.at.is_none(),
            Height::Above(_) => item.at.is_some(),
        };
        if placed && present(analysis, item).is_some() {
            return Ok(prepared);
        }
        let space = analysis.space_of(item)?;
        let outline = analysis.shape(space).outline()?;
        let middle = geometry::plan::centroid(&outline);
        let edits = prepared.edits(middle, height, |length_m| format!("{length_m:.6} m"))?;
        let placed = analysis.edited(&edits).map_err(|error| {
            let what = format!("a place for {}: {error}", item_label(item));
            Missing::new(what, format!("item.{}", item.id), Means::Decide)
        })?;
        prepared.placed = Some(placed);
        Ok(prepared)
    }

    fn region(&self, hanging: Hanging, height: Height) -> Known<ProjectorRegion> {
        let (analysis, item) = (self.analysis, self.item);
        let found = allowed(&hanging, height, None);
        let stopped_by = if found.parts.is_empty() {
            stopped_by(&hanging, height)
        } else {
            Vec::new()
        };
        let stopped_together = if found.parts.is_empty() && stopped_by.is_empty() {
            stopped_together(&hanging, height)
        } else {
            Vec::new()
        };
        let place = match found.roomiest() {
            Some((at, room_m)) => Some(self.proved(at, room_m, height)?),
            None => None,
        };
        Ok(ProjectorRegion {
            item: item.id.clone(),
            label: item_label(item).to_owned(),
            space: self.space()?.id.clone(),
            height,
            region: found,
            stopped_by,
            stopped_together,
            drops_m: Vec::new(),
            place,
            present: present(analysis, item),
            needs: hanging.needs,
        })
    }

    fn analysis(&self) -> &Analysis {
        self.placed.as_ref().unwrap_or(self.analysis)
    }

    fn space(&self) -> Known<&Space> {
        self.analysis.space_of(self.item)
    }

    fn hanging(&self) -> Known<Hanging> {
        let analysis = self.analysis();
        let ask =
            |what: String| Missing::new(what, format!("item.{}.is", self.item.id), Means::Decide);
        let item = analysis
            .item(&self.item.id)
            .ok_or_else(|| ask(format!("an item called {}", self.item.id)))?;
        let Some(Kit::Projector(kit)) = analysis.kit_of(item) else {
            return Err(ask(format!("a projector: {} is none", item_label(item))));
        };
        let projector = analysis.projector(item, kit)?;
        let space = analysis.space_of(item)?;
        hanging(analysis, space, &projector)
    }

    /// What puts it at a point of the plan.
    fn edits(
        &self,
        at: Point2,
        height: Height,
        written: impl Fn(f64) -> String,
    ) -> Known<Vec<Edit>> {
        let (analysis, item) = (self.analysis, self.item);
        let space = analysis.space_of(item)?;
        let shape = analysis.shape(space);
        // From the walls that it is measured from now, if it is.
        let named = match (&item.at, &item.hung) {
            (Some(at), _) => Some([&at.from.0, &at.and.0]),
            (_, Some(hung)) => Some([&hung.from.0, &hung.and.0]),
            _ => None,
        };
        let named = named.and_then(|[a, b]| Some([space.wall(a)?, space.wall(b)?]));
        let walls = match named {
            Some(walls) => walls,
            None => two_walls(analysis, item, space)?,
        };
        let off = |wall: usize| -> Known<f64> {
            let (left, _, inward) = shape.wall_frame(wall)?;
            let ([lx, ly], [ix, iy]) = (left.value(), inward.value());
            Ok((at.x - lx) * ix + (at.y - ly) * iy)
        };
        let from = json!([space.walls[walls[0]].id, written(off(walls[0])?)]);
        let and = json!([space.walls[walls[1]].id, written(off(walls[1])?)]);
        let path = |field: &str| format!("item.{}.{field}", item.id);
        let mut edits = Vec::new();
        let (field, other, table) = match height {
            Height::Drop(drop_m) => (
                "hung",
                item.at.as_ref().map(|_| "at"),
                json!({ "from": from, "and": and, "drop": written(drop_m) }),
            ),
            Height::Above(height_m) => (
                "at",
                item.hung.as_ref().map(|_| "hung"),
                json!({ "from": from, "and": and, "height": written(height_m) }),
            ),
        };
        edits.extend(other.map(|other| Edit::remove(path(other))));
        edits.push(Edit::set(path(field), table));
        Ok(edits)
    }

    /// A place with what its checks say of it.
    fn proved(&self, at: Point2, room_m: f64, height: Height) -> Known<Place> {
        let analysis = self.analysis;
        let printer = analysis.printer();
        let fine = step(printer.system, Dimension::Length, None);
        let written = |length_m: f64| {
            let whole = (length_m / fine).round() * fine;
            printer.print(whole, Dimension::Length, None)
        };
        let edits = self.edits(at, height, written)?;
        let refused = |error: model::EditError| {
            let what = format!("a place for {}: {error}", item_label(self.item));
            Missing::new(what, format!("item.{}", self.item.id), Means::Decide)
        };
        let tried = analysis.tried(&edits).map_err(refused)?;
        let item = tried.item(&self.item.id).unwrap_or(self.item);
        let findings = findings_of_place(&tried, tried.space_of(item)?, item);
        let worst = findings.iter().min_by_key(|finding| finding.verdict);
        let because = match worst {
            Some(worst) => told(analysis, &edits, worst),
            None => String::new(),
        };
        Ok(Place {
            at,
            room_m,
            edits,
            verdict: worst.map_or(Verdict::Unknown, |finding| finding.verdict),
            because,
        })
    }
}

/// The screen's wall and one that is square to it, or as near as there is.
fn two_walls(analysis: &Analysis, item: &Item, space: &Space) -> Known<[usize; 2]> {
    let screen = analysis.screen_of(item)?;
    let shape = analysis.shape(space);
    let first = analysis.picture(screen)?.lit.wall;
    let (_, along, _) = shape.wall_frame(first)?;
    let mut best = (first, 1.0);
    for wall in 0..space.walls.len() {
        let (_, other, _) = shape.wall_frame(wall)?;
        let parallel = along.dot(&other).value().abs();
        if parallel < best.1 - 1e-6 {
            best = (wall, parallel);
        }
    }
    Ok([first, best.0])
}
