//! How is a place drawn, as an outline seen from above or on a wall, and what hole does it need?

use analysis::{Body, MARK_M, Uncertain, Vector2, Vector3, WallRect};
use model::{FromWall, Item, Kit, Length, Space};

use super::{Set, unbroken, words};

/// What is thinner than this is drawn this thick, m, so that it can be seen.
const SEEN_M: f64 = 0.02;

impl Set<'_> {
    /// The hole that an item asks for, across and up.
    pub fn cut_out(&self, item: &Item) -> Option<[Uncertain; 2]> {
        let size: &[Length; 2] = match self.job().kit_of(item)? {
            Kit::Loudspeaker(kit) => kit.cutout.as_ref()?,
            Kit::Plate(kit) => kit.cutout.as_ref()?,
            _ => return None,
        };
        let number = |index: usize| self.analysis.number(Some(&size[index]));
        Some([number(0)?, number(1)?])
    }

    /// "1.2 m off street".
    pub fn off_wall(&self, from: &FromWall) -> String {
        let distance = self.analysis.number(Some(&from.1));
        let distance = distance.map_or("not known".to_owned(), |distance| {
            unbroken(&self.analysis.length(&distance))
        });
        format!("{distance} off {}", words(&from.0).to_lowercase())
    }

    /// Where an item is planned, as the sheets of walls, ceiling and floor print it; none where it has no place.
    pub fn planned_at(&self, space: &Space, item: &Item) -> Option<String> {
        if let Some(on) = &item.on {
            let place = self.analysis.item_on_wall(space, item, on).ok()?;
            let length = |number: Uncertain| unbroken(&self.analysis.length(&number));
            return Some(format!(
                "{}, {} from its left corner, {} up",
                words(&on.wall),
                length(place.outside.centre_left()),
                length(place.outside.centre_height())
            ));
        }
        let off = |surface: &str, from: &FromWall, and: &FromWall| {
            format!("{surface}, {}, {}", self.off_wall(from), self.off_wall(and))
        };
        match (&item.hung, &item.at) {
            (Some(hung), _) => {
                let drop = self.analysis.number(hung.drop.as_ref());
                let drop = drop.map_or("flush".to_owned(), |drop| {
                    let drop = unbroken(&self.analysis.length(&drop));
                    format!("its top {drop} below")
                });
                let off = off("Ceiling", &hung.from, &hung.and);
                Some(format!("{off}, {drop}"))
            }
            (_, Some(at)) => Some(off("Floor", &at.from, &at.and)),
            _ => None,
        }
    }

    /// A hole's size, and how deep it must be behind the board.
    pub fn cut_words(&self, item: &Item, [across, up]: &[Uncertain; 2]) -> String {
        let length = |number: &Uncertain| unbroken(&self.analysis.length(number));
        let size = match item.hung.is_some() && (across.value() - up.value()).abs() < 1e-6 {
            true => format!("{} round", length(across)),
            false => format!("{} × {}", length(across), length(up)),
        };
        let depth = match self.job().kit_of(item) {
            Some(Kit::Loudspeaker(kit)) => kit.depth_behind.as_ref(),
            Some(Kit::Plate(kit)) => kit.depth_behind.as_ref(),
            _ => None,
        };
        match self.analysis.number(depth) {
            Some(depth) => format!("{size}, {} deep", length(&depth)),
            None => size,
        }
    }
}

/// An item's name for people, or its id made readable.
pub(super) fn label_of(item: &Item) -> String {
    item.name.clone().unwrap_or_else(|| words(&item.id))
}

/// A vector's best estimate in plan.
pub(super) fn xy(point: &Vector2) -> [f64; 2] {
    point.value()
}

/// The same of a point in space.
pub(super) fn plan_of(point: &Vector3) -> [f64; 2] {
    let [x, y, _] = point.value();
    [x, y]
}

/// A box seen from above.
pub(super) fn outline(body: &Body) -> Vec<[f64; 2]> {
    let [x, y] = plan_of(&body.centre);
    let [ax, ay] = xy(&body.along);
    let half = |size: &Uncertain| size.value().max(SEEN_M) / 2.0;
    let (a, b) = (half(&body.size[0]), half(&body.size[2]));
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(s, t)| [x + ax * a * s + ay * b * t, y + ay * a * s - ax * b * t])
        .into()
}

/// A box seen from above by which way its front looks.
pub(super) fn turned_outline(
    [x, y]: [f64; 2],
    [nx, ny]: [f64; 2],
    width_m: f64,
    depth_m: f64,
) -> Vec<[f64; 2]> {
    let length = nx.hypot(ny).max(1e-9);
    let (nx, ny) = (nx / length, ny / length);
    let (a, b) = (width_m.max(SEEN_M) / 2.0, depth_m.max(SEEN_M) / 2.0);
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(s, t)| [x + ny * a * s + nx * b * t, y - nx * a * s + ny * b * t])
        .into()
}

/// A round thing seen from above.
pub(super) fn ring([x, y]: [f64; 2], radius_m: f64) -> Vec<[f64; 2]> {
    let corner = |i: u32| {
        let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 16.0).sin_cos();
        [x + radius_m * cos, y + radius_m * sin]
    };
    (0..16).map(corner).collect()
}

/// A rectangle on a wall for the drawing, never so thin that it can't be seen.
pub(super) fn patch(rect: &WallRect) -> drawing::Patch {
    let width_m = rect.width().value().max(SEEN_M);
    let height_m = rect.height().value().max(SEEN_M);
    drawing::Patch {
        from_left_m: rect.centre_left().value() - width_m / 2.0,
        bottom_m: rect.centre_height().value() - height_m / 2.0,
        width_m,
        height_m,
    }
}

/// A square that marks a thing whose size is not known.
pub(super) fn mark(from_left_m: f64, height_m: f64) -> drawing::Patch {
    drawing::Patch {
        from_left_m: from_left_m - MARK_M / 2.0,
        bottom_m: height_m - MARK_M / 2.0,
        width_m: MARK_M,
        height_m: MARK_M,
    }
}
