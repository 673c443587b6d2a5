//! Do the parts of a space name its own walls, and lie on them?

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use units::Dimension;

use super::names::{Names, by_name, in_rings};
use super::{Pointer, Sense, unique};
use crate::read::shown;
use crate::{Anchor, FromWall, Length, OnWall, OpeningKind, Space, Wall};

/// More than any room has. Which of them is mistyped is searched by adjusting the room anew without
/// each in turn: of twice as many, that takes ten times as long.
const WALLS_MAX: usize = 60;

/// No house rings for longer.
const REVERBERATION_MAX_S: f64 = 30.0;

/// A space and the names inside it.
pub(super) struct Within<'a> {
    space: &'a Space,
    walls: Names<'a>,
    pub fixtures: Names<'a>,
    wall_of: HashMap<&'a str, &'a Wall>,
    openings: Names<'a>,
    /// "wall of `loft` called", for messages.
    wall_called: String,
}

impl<'a> Within<'a> {
    pub fn new(space: &'a Space) -> Self {
        Self {
            space,
            walls: space.walls.iter().map(|wall| wall.id.as_str()).collect(),
            fixtures: (space.fixture.iter())
                .map(|fixture| fixture.id.as_str())
                .collect(),
            wall_of: by_name(&space.walls, |wall| &wall.id),
            openings: (space.opening.iter())
                .map(|opening| opening.id.as_str())
                .collect(),
            wall_called: super::wall_called(&space.id),
        }
    }
}

impl Sense<'_> {
    pub(super) fn space(&mut self, space: &Space) {
        let within = Within::new(space);
        let path = format!("space.{}", space.id);
        self.ids_within(space, &path);
        self.walls(space, &path);
        self.diagonals(&within, &path);
        self.ceiling(&within, &path);
        self.openings(&within, &path);
        self.fixtures(&within, &path);
        for soffit in &space.soffit {
            let at = format!("{path}.soffit.{}", soffit.id);
            self.sizes(&at, &soffit.size);
            self.two_walls(&at, &within, &soffit.from, &soffit.and);
        }
        self.constructions(&within, &path);
        for seat in &space.seat {
            if let Some(place) = &seat.at {
                let at = format!("{path}.seat.{}.at", seat.id);
                self.two_walls(&at, &within, &place.from, &place.and);
            }
        }
        for covering in &space.covering {
            if let Some(over) = covering.over.as_deref()
                && !matches!(over, "floor" | "ceiling")
            {
                let at = format!("{path}.covering.{}.over", covering.id);
                self.wall(at, &within, over);
            }
        }
        for wall in (space.finishes.iter()).flat_map(|finishes| finishes.wall.keys()) {
            let at = format!("{path}.finishes.wall.{wall}");
            let pointer = Pointer::new(at, &within.wall_called, wall).in_key();
            self.found.unless_known(pointer, &within.walls);
        }
        for wall in (space.reflectance.iter()).flat_map(|shares| shares.wall.keys()) {
            let at = format!("{path}.reflectance.wall.{wall}");
            let pointer = Pointer::new(at, &within.wall_called, wall).in_key();
            self.found.unless_known(pointer, &within.walls);
        }
        self.reverberation(space, &path);
        if let Some(watched) = space.watched.as_ref().filter(|w| w.minutes().is_none()) {
            let written = format!("{} to {}", shown(&watched.0), shown(&watched.1));
            let message = format!("`{written}` is not a part of one day");
            let accepted = "two times of day, the second one later, as `[\"19:00\", \"23:30\"]`";
            self.found
                .report(format!("{path}.watched"), message, accepted);
        }
        self.joined(&within, &path);
    }

    fn ids_within(&mut self, space: &Space, path: &str) {
        let found = &mut self.found;
        let part = |name: &str| format!("{path}.{name}");
        unique(
            found,
            &part("walls"),
            space.walls.iter().map(|part| &part.id),
        );
        unique(
            found,
            &part("opening"),
            space.opening.iter().map(|part| &part.id),
        );
        unique(
            found,
            &part("fixture"),
            space.fixture.iter().map(|part| &part.id),
        );
        unique(found, &part("seat"), space.seat.iter().map(|part| &part.id));
        unique(
            found,
            &part("soffit"),
            space.soffit.iter().map(|part| &part.id),
        );
        unique(
            found,
            &part("covering"),
            space.covering.iter().map(|part| &part.id),
        );
    }

    fn walls(&mut self, space: &Space, path: &str) {
        if space.walls.len() < 3 {
            let count = match space.walls.len() {
                0 => "no walls".to_owned(),
                1 => "one wall".to_owned(),
                count => format!("{count} walls"),
            };
            self.found.report(
                format!("{path}.walls"),
                format!("`{}` has {count}", space.id),
                "three walls or more, in the order in which they were walked",
            );
        }
        if space.walls.len() > WALLS_MAX {
            self.found.report(
                format!("{path}.walls"),
                format!("`{}` has {} walls", space.id, space.walls.len()),
                "sixty walls or fewer; leave out niches that nothing stands in",
            );
        }
        for wall in &space.walls {
            let at = format!("{path}.walls.{}", wall.id);
            self.positive(&format!("{at}.length"), wall.length.as_ref(), "a wall");
            if let Some(corner) = wall.corner.as_ref().and_then(|corner| corner.value())
                && !(corner > 0.0 && corner < std::f64::consts::TAU)
            {
                self.found.report(
                    format!("{at}.corner"),
                    "a corner can't have that inside angle".into(),
                    "more than 0° and less than 360°",
                );
            }
        }
    }

    fn diagonals(&mut self, within: &Within, path: &str) {
        for (index, diagonal) in within.space.diagonals.iter().enumerate() {
            for (part, corner) in [&diagonal.0, &diagonal.1].into_iter().enumerate() {
                let at = format!("{path}.diagonals.{index}.{part}");
                match corner.rsplit_once('.') {
                    Some((wall, end @ ("left" | "right"))) => {
                        let behind = format!(".{end}");
                        let pointer =
                            Pointer::new(at, &within.wall_called, wall).followed_by(&behind);
                        self.found.unless_known(pointer, &within.walls);
                    }
                    _ => self.found.report(
                        at,
                        format!("`{}` does not name a corner", shown(corner)),
                        "`wall.left` or `wall.right`, such as `street.left`",
                    ),
                }
            }
            self.positive(
                &format!("{path}.diagonals.{index}.2"),
                Some(&diagonal.2),
                "a diagonal",
            );
        }
    }

    fn ceiling(&mut self, within: &Within, path: &str) {
        let Some(ceiling) = &within.space.ceiling else {
            return;
        };
        let path = format!("{path}.ceiling");
        for (index, wall) in ceiling.ridge.iter().flatten().enumerate() {
            self.wall(format!("{path}.ridge.{index}"), within, wall);
        }
        if let Some(wall) = &ceiling.low {
            self.wall(format!("{path}.low"), within, wall);
        }
        for (field, length) in [
            ("height", &ceiling.height),
            ("eaves", &ceiling.eaves),
            ("top", &ceiling.top),
        ] {
            self.positive(&format!("{path}.{field}"), length.as_ref(), "a ceiling");
        }
        for (index, plane) in ceiling.planes.iter().enumerate() {
            for (point_index, point) in plane.through.iter().enumerate() {
                let at = format!("{path}.planes.{index}.through.{point_index}");
                self.two_walls(&at, within, &point.from, &point.and);
            }
        }
    }

    fn openings(&mut self, within: &Within, path: &str) {
        for opening in &within.space.opening {
            let at = format!("{path}.opening.{}", opening.id);
            self.sizes(&at, &opening.size);
            self.on_wall(
                &format!("{at}.on"),
                within,
                &opening.on,
                opening.size.first(),
                Anchor::LowerLeft,
                &opening.id,
            );
            if opening.stands_open == Some(true) && opening.kind != OpeningKind::Door {
                self.found.report(
                    format!("{at}.stands_open"),
                    format!("`{}` is no door", opening.id),
                    "`stands_open` with doors alone: an archway is open, a window is taken as shut",
                );
            }
            if let Some(into) = &opening.into {
                let pointer = Pointer::new(format!("{at}.into"), "space", into);
                self.found.unless_known(pointer, &self.known.space);
            }
        }
    }

    fn fixtures(&mut self, within: &Within, path: &str) {
        for fixture in &within.space.fixture {
            let at = format!("{path}.fixture.{}", fixture.id);
            if let Some(size) = &fixture.size {
                self.sizes(&at, size);
            }
            if let Some(on) = &fixture.on {
                let width = fixture.size.as_ref().map(|size| &size[0]);
                self.on_wall(
                    &format!("{at}.on"),
                    within,
                    on,
                    width,
                    Anchor::Centre,
                    &fixture.id,
                );
            }
            if let Some(place) = &fixture.at {
                self.two_walls(&format!("{at}.at"), within, &place.from, &place.and);
            }
            if let Some(place) = &fixture.hung {
                self.two_walls(&format!("{at}.hung"), within, &place.from, &place.and);
            }
            if let Some(circuit) = &fixture.circuit {
                let pointer = Pointer::new(format!("{at}.circuit"), "circuit", circuit);
                self.found.unless_known(pointer, &self.known.circuit);
            }
        }
    }

    fn constructions(&mut self, within: &Within, path: &str) {
        for (index, construction) in within.space.construction.iter().enumerate() {
            let at = format!("{path}.construction.{index}");
            if !matches!(construction.of.as_str(), "ceiling" | "floor") {
                self.wall(format!("{at}.of"), within, &construction.of);
            }
            if let Some(along) = &construction.along {
                self.wall(format!("{at}.along"), within, along);
            }
            let spacing = construction.spacing.as_ref();
            self.positive(&format!("{at}.spacing"), spacing, "a spacing");
            self.framing_meets(within.space, construction, &at);
            self.framing_leaves_bays(construction, &at);
            self.positive(&format!("{at}.face"), construction.face.as_ref(), "a stud");
            let notch = construction.notch.as_ref();
            self.positive(&format!("{at}.notch"), notch, "a notch");
        }
    }

    fn joined(&mut self, within: &Within, path: &str) {
        let Some(joined) = &within.space.joined else {
            return;
        };
        let at = format!("{path}.joined.opening");
        let pointer = Pointer::new(at, "opening", &joined.opening);
        self.found.unless_known(pointer, &within.openings);
        let other = joined.to.split_once('.');
        if !other.is_some_and(|other| self.known.openings.contains(&other)) {
            self.found.report(
                format!("{path}.joined.to"),
                format!(
                    "`{}` does not name another space's opening",
                    shown(&joined.to)
                ),
                "`space.opening`, such as `hall.archway`",
            );
        }
    }

    /// Each space may lean on another; following them must come to an end.
    pub(super) fn rings_of_spaces(&mut self) {
        fn leans_on(space: &Arc<Space>) -> Option<(&str, &str)> {
            let (other, _) = space.joined.as_ref()?.to.split_once('.')?;
            Some((&space.id, other))
        }
        let job = self.job;
        let next: BTreeMap<&str, &str> = job.space.iter().filter_map(leans_on).collect();
        for id in in_rings(&next) {
            self.found.report(
                format!("space.{id}.joined"),
                format!("`{id}` is joined to itself round a ring"),
                "a chain of joined spaces that ends",
            );
        }
    }

    pub(super) fn wall(&mut self, at: String, within: &Within, wall: &str) {
        let pointer = Pointer::new(at, &within.wall_called, wall);
        self.found.unless_known(pointer, &within.walls);
    }

    pub(super) fn two_walls(&mut self, at: &str, within: &Within, from: &FromWall, and: &FromWall) {
        self.wall(format!("{at}.from.0"), within, &from.0);
        self.wall(format!("{at}.and.0"), within, &and.0);
        if from.0 == and.0 {
            self.found.report(
                format!("{at}.and"),
                format!("both distances are from `{}`", shown(&from.0)),
                "distances from two different walls",
            );
        }
    }

    fn reverberation(&mut self, space: &Space, path: &str) {
        let Some(measured) = &space.reverberation else {
            return;
        };
        for (key, time) in measured.octaves() {
            let value = time.and_then(|time| time.value());
            if let (Some(time), Some(value)) = (time, value)
                && !(value > 0.0 && value <= REVERBERATION_MAX_S)
            {
                self.found.report(
                    format!("{path}.reverberation.{key}"),
                    format!("a room does not ring for {}", shown(time.text())),
                    "a time of more than 0 s and up to 30 s, such as `0.62 s`",
                );
            }
        }
        if measured.places == Some(0) {
            self.found.report(
                format!("{path}.reverberation.places"),
                "a reverberation time is measured from one place at least".to_owned(),
                "a number of places, 1 or more",
            );
        }
    }

    fn sizes(&mut self, at: &str, sizes: &[Length]) {
        for (index, size) in sizes.iter().enumerate() {
            if let Some(value) = size.value()
                && value < 0.0
            {
                self.found.report(
                    format!("{at}.size.{index}"),
                    format!("a size can't be {}", size.text()),
                    "a length of zero or more",
                );
            }
        }
    }

    /// A thing on a wall lies between the wall's ends, survey tolerance aside.
    pub(super) fn on_wall(
        &mut self,
        at: &str,
        within: &Within,
        on: &OnWall,
        width: Option<&Length>,
        default: Anchor,
        id: &str,
    ) {
        self.wall(format!("{at}.wall"), within, &on.wall);
        let Some(wall) = within.wall_of.get(on.wall.as_str()) else {
            return;
        };
        let (Some(from_left), Some(length)) = (
            on.from_left.as_ref().and_then(Length::value),
            wall.length.as_ref().and_then(Length::value),
        ) else {
            return;
        };
        let half = width.and_then(Length::value).unwrap_or(0.0) / 2.0;
        let to_centre = on.to.unwrap_or(default).offset()[0] * half;
        let centre = from_left - to_centre;
        // Both the wall and the place may be off by what a tape misses.
        let slack = 0.025;
        if centre - half < -slack || centre + half > length + slack {
            let printer = self.printer();
            let print = |value: f64| printer.print(value, Dimension::Length, None);
            let reach = if half > 0.0 {
                format!(
                    "reaches from {} to {}",
                    print(centre - half),
                    print(centre + half)
                )
            } else {
                format!("is {} from the left corner", print(centre))
            };
            self.found.report(
                format!("{at}.from_left"),
                format!(
                    "`{id}` {reach} along `{}`, which is {} long",
                    on.wall,
                    print(length)
                ),
                match length >= 2.0 * half {
                    true => format!(
                        "a place from {} to {}, or a longer wall `{}`",
                        match half + to_centre {
                            least if least < 1e-9 => "0".to_owned(),
                            least => print(least),
                        },
                        print(length - half + to_centre),
                        on.wall
                    ),
                    false => format!(
                        "a width of {} at most, or a longer wall `{}`",
                        print(length),
                        on.wall
                    ),
                },
            );
        }
        if let Some(height) = on.height.as_ref().and_then(Length::value)
            && height < -slack
            && default == Anchor::Centre
        {
            self.found.report(
                format!("{at}.height"),
                format!("`{id}` is below the floor"),
                "a height above the finished floor",
            );
        }
    }
}
