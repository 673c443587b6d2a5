//! Edits that move a thing by a computed amount, written in the job's own units.

use analysis::{Analysis, COVERAGE_FACTOR, Picture, Uncertain};
use model::{Edit, Fixture, FromWall, Hung, InPlan, Item, Kit, OnWall, Seat, Space};
use units::{Dimension, step};

/// Which way a computed length may be rounded to what a tape shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Round {
    /// Never below the computed length.
    Up,
    /// Never above it.
    Down,
    /// Whichever is nearer.
    Nearest,
}

/// A length as the job writes it, rounded to the finest step that is printed.
pub(crate) fn written_length(analysis: &Analysis, length_m: f64, round: Round) -> String {
    let printer = analysis.printer();
    let step = step(printer.system, Dimension::Length, None);
    // A length that is a whole number of steps but for rounding noise stays what it is.
    let steps = length_m / step;
    let whole = match round {
        Round::Up => (steps - 1e-6).ceil(),
        Round::Down => (steps + 1e-6).floor(),
        Round::Nearest => steps.round(),
    };
    printer.print(whole * step, Dimension::Length, None)
}

/// A thing's place in the document.
pub(crate) struct Placed<'a> {
    /// The thing's path.
    path: String,
    space: &'a Space,
    on: Option<&'a OnWall>,
    at: Option<&'a InPlan>,
    hung: Option<&'a Hung>,
}

impl<'a> Placed<'a> {
    /// An item's place.
    pub fn item(analysis: &'a Analysis, item: &'a Item) -> Option<Self> {
        Some(Self {
            path: format!("item.{}", item.id),
            space: analysis.space_of(item).ok()?,
            on: item.on.as_ref(),
            at: item.at.as_ref(),
            hung: item.hung.as_ref(),
        })
    }

    /// A fixture's place.
    pub fn fixture(space: &'a Space, fixture: &'a Fixture) -> Self {
        Self {
            path: format!("space.{}.fixture.{}", space.id, fixture.id),
            space,
            on: fixture.on.as_ref(),
            at: fixture.at.as_ref(),
            hung: fixture.hung.as_ref(),
        }
    }

    /// A seat's place.
    pub fn seat(space: &'a Space, seat: &'a Seat) -> Self {
        Self {
            path: format!("space.{}.seat.{}", space.id, seat.id),
            space,
            on: None,
            at: seat.at.as_ref(),
            hung: None,
        }
    }

    /// Moves it by `by_m` along a direction in plan, if one of the two walls that it is
    /// measured from is square to that direction, or its own wall runs along it.
    pub fn in_plan(
        &self,
        analysis: &Analysis,
        direction: [f64; 2],
        by_m: f64,
        round: Round,
    ) -> Option<Edit> {
        let shape = analysis.shape(self.space);
        // Rounding away from the computed place, not from the wall.
        let towards = |share: f64| match (round, share > 0.0) {
            (Round::Up, false) => Round::Down,
            (Round::Down, false) => Round::Up,
            (round, _) => round,
        };
        if let Some(on) = self.on {
            let (_, along, _) = shape.wall_frame(self.space.wall(&on.wall)?).ok()?;
            let [x, y] = along.value();
            let share = x * direction[0] + y * direction[1];
            let moved = on.from_left.as_ref()?.value()? + by_m * share;
            let text = written_length(analysis, moved, towards(share));
            return (share.abs() > 0.999 && moved > 0.0)
                .then(|| Edit::set(format!("{}.on.from_left", self.path), text));
        }
        let (field, walls): (&str, [(&str, &FromWall); 2]) = match (self.at, self.hung) {
            (Some(at), _) => ("at", [("from", &at.from), ("and", &at.and)]),
            (_, Some(hung)) => ("hung", [("from", &hung.from), ("and", &hung.and)]),
            _ => return None,
        };
        for (which, FromWall(wall, distance)) in walls {
            let (_, _, inward) = shape.wall_frame(self.space.wall(wall)?).ok()?;
            let [x, y] = inward.value();
            let share = x * direction[0] + y * direction[1];
            if share.abs() < 0.999 {
                continue;
            }
            let moved = distance.value()? + by_m * share;
            let text = written_length(analysis, moved, towards(share));
            return (moved > 0.0)
                .then(|| Edit::set(format!("{}.{field}.{which}.1", self.path), text));
        }
        None
    }

    /// How far it can be raised by a shorter rod, m, where it hangs from the ceiling.
    pub fn drop_m(&self) -> Option<f64> {
        let drop = self.hung?.drop.as_ref();
        drop.map_or(Some(0.0), model::Measured::value)
    }

    /// Raises it by at least `by_m`, or lowers it by at least as much where that is
    /// negative: by its height on the wall or above the floor, or its drop from the ceiling.
    pub fn raised(&self, analysis: &Analysis, by_m: f64) -> Option<Edit> {
        let (field, moved, up) = match (self.on, self.at, self.hung) {
            (Some(on), ..) => ("on.height", on.height.as_ref()?.value()? + by_m, by_m > 0.0),
            (_, Some(at), _) => {
                let height = at.height.as_ref();
                let height = height.map_or(Some(0.0), model::Measured::value)?;
                ("at.height", height + by_m, by_m > 0.0)
            }
            (.., Some(hung)) => {
                let drop = hung.drop.as_ref();
                let drop = drop.map_or(Some(0.0), model::Measured::value)?;
                ("hung.drop", drop - by_m, by_m < 0.0)
            }
            _ => return None,
        };
        let round = if up { Round::Up } else { Round::Down };
        let text = written_length(analysis, moved, round);
        (moved >= 0.0).then(|| Edit::set(format!("{}.{field}", self.path), text))
    }
}

/// Moves a standing or hanging thing by `by_m` along a direction in plan, if one of the
/// two walls that it is measured from is square to that direction.
pub(crate) fn in_plan(
    analysis: &Analysis,
    item: &Item,
    direction: [f64; 2],
    by_m: f64,
    round: Round,
) -> Option<Edit> {
    Placed::item(analysis, item)?.in_plan(analysis, direction, by_m, round)
}

/// A thing, what carries it and what else that carries, the thing itself first.
pub(crate) fn hung_together<'a>(
    analysis: &'a Analysis,
    item: &'a Item,
) -> impl Iterator<Item = &'a Item> {
    let mount = analysis.mount_of(item).map(|(mount, _)| mount);
    let carried = (mount.into_iter())
        .flat_map(|mount| analysis.carried_by(mount))
        .filter(|other| other.id != item.id);
    std::iter::once(item)
        .chain(mount.filter(|mount| mount.on.is_some()))
        .chain(carried)
}

/// Raises a thing on the wall with what hangs together with it, or lowers them where
/// `by_m` is negative; the thing's own edit is the first. `but` stays.
pub(crate) fn raised_together(
    analysis: &Analysis,
    item: &Item,
    by_m: f64,
    but: Option<&Item>,
) -> Option<Vec<Edit>> {
    hung_together(analysis, item)
        .filter(|other| but.is_none_or(|but| but.id != other.id))
        .map(|item| Placed::item(analysis, item)?.raised(analysis, by_m))
        .collect()
}

/// Moves a thing to the right along its wall with what hangs together with it, or to the
/// left where `by_m` is negative; the thing's own edit is the first.
pub(crate) fn along_together(analysis: &Analysis, item: &Item, by_m: f64) -> Option<Vec<Edit>> {
    let space = analysis.space_of(item).ok()?;
    let wall = space.wall(&item.on.as_ref()?.wall)?;
    let (_, along, _) = analysis.shape(space).wall_frame(wall).ok()?;
    let round = if by_m > 0.0 { Round::Up } else { Round::Down };
    hung_together(analysis, item)
        .map(|item| Placed::item(analysis, item)?.in_plan(analysis, along.value(), by_m, round))
        .collect()
}

/// Sets a thing's distance along its wall.
pub(crate) fn from_left(analysis: &Analysis, item: &Item, length_m: f64, round: Round) -> Edit {
    Edit::set(
        format!("item.{}.on.from_left", item.id),
        written_length(analysis, length_m, round),
    )
}

/// Sets a thing's height on its wall.
pub(crate) fn height(analysis: &Analysis, item: &Item, length_m: f64, round: Round) -> Edit {
    Edit::set(
        format!("item.{}.on.height", item.id),
        written_length(analysis, length_m, round),
    )
}

/// The text that an edit writes, for the sentence that describes it.
pub(crate) fn text_of(edit: &Edit) -> &str {
    edit.set
        .as_ref()
        .and_then(serde_json::Value::as_str)
        .unwrap_or_default()
}

/// A quantity as the job writes it, rounded to whole multiples of `step` (SI).
pub(crate) fn written(
    analysis: &Analysis,
    value: f64,
    dimension: Dimension,
    step: f64,
    round: Round,
) -> String {
    /// As many steps as print alike in the coarsest unit, and some.
    const STEPS_MAX: i32 = 20;
    let steps = value / step;
    let (whole, onwards) = match round {
        Round::Up => ((steps - 1e-6).ceil(), 1.0),
        Round::Down => ((steps + 1e-6).floor(), -1.0),
        Round::Nearest => (steps.round(), 0.0),
    };
    let text = |count: i32| {
        let stepped = (whole + onwards * f64::from(count)) * step;
        analysis.printer().print(stepped, dimension, None)
    };
    // What is printed in another unit, and to few digits, may read back on the wrong side.
    let reads_beyond = |text: &String| {
        let read = units::read(text, dimension).ok();
        let read = read.and_then(|reading| reading.value);
        read.is_some_and(|read| onwards * (read - value) >= -1e-6 * step)
    };
    (0..STEPS_MAX)
        .map(text)
        .find(reads_beyond)
        .unwrap_or_else(|| text(0))
}

/// Orders a screen or display with its picture in another width: the edits, and the size
/// in words, as "a picture width of 2.1 m".
pub(crate) fn picture_width(
    analysis: &Analysis,
    item: &Item,
    picture: &Picture,
    width_m: f64,
    round: Round,
) -> Option<(String, Vec<Edit>)> {
    let kit = analysis.kit_of(item)?;
    let stated_by_width = match kit {
        Kit::Screen(kit) => kit.picture_width.is_some(),
        Kit::Display(_) => false,
        _ => return None,
    };
    let aspect = picture.aspect;
    let (fact, size_m) = if stated_by_width {
        ("picture_width", width_m)
    } else {
        (
            "diagonal",
            width_m * (1.0 + aspect * aspect).sqrt() / aspect,
        )
    };
    let text = written_length(analysis, size_m, round);
    let words = if stated_by_width {
        format!("a picture width of {text}")
    } else {
        let ordered = units::read(&text, Dimension::Length)
            .ok()
            .and_then(|reading| reading.value);
        format!(
            "a picture diagonal of {}",
            analysis.diagonal(ordered.unwrap_or(size_m))
        )
    };
    let path = format!("kit.{}.{}", kit.kind(), item.is);
    let mut edits = vec![Edit::set(format!("{path}.{fact}"), text)];
    // What surrounds the picture stays as wide as it is.
    if let Some(size) = &kit.common().size {
        let wider = width_m - picture.width().value();
        for (index, growth) in [wider, wider / aspect].into_iter().enumerate() {
            let outside = written_length(analysis, size[index].value()? + growth, round);
            edits.push(Edit::set(format!("{path}.size.{index}"), outside));
        }
    }
    Some((words, edits))
}

/// What a margin has over what a fit asks for: its own uncertainty and the comfort band.
pub(crate) fn to_spare(margin: &Uncertain, comfort: f64) -> f64 {
    // A hair more than the verdict asks for, so that rounding of sums decides nothing.
    let expanded = COVERAGE_FACTOR * margin.standard_uncertainty() * 1.001;
    margin.value() - expanded.max(comfort) - 1e-7
}

/// The least change, above zero and up to `most`, at which `spare` is no longer negative.
pub(crate) fn least_change(most: f64, spare: impl Fn(f64) -> f64) -> Option<f64> {
    const STRIDES: i32 = 32;
    let stride = most / f64::from(STRIDES);
    let enough = (1..=STRIDES)
        .map(|count| stride * f64::from(count))
        .find(|by| spare(*by) >= 0.0)?;
    let (mut short, mut long) = (enough - stride, enough);
    // 20 halvings leave a millionth of a stride.
    for _ in 0..20 {
        let middle = (short + long) / 2.0;
        if spare(middle) >= 0.0 {
            long = middle;
        } else {
            short = middle;
        }
    }
    Some(long)
}
