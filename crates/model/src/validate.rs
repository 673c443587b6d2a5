//! Does the document make sense: names that point somewhere, places that exist?

use std::collections::{BTreeMap, BTreeSet};

use units::{Dimension, Printer, System};

use crate::read::{LimitName, Problem};
use crate::{Anchor, FORMAT, FromWall, Item, Job, Length, OnWall, Space, Units};

/// Longest list of known names that a message prints.
const NAMES_PRINTED: usize = 12;

/// Everything in a well-formed job that points nowhere or cannot be.
pub(crate) fn problems(job: &Job, limits: &[LimitName]) -> Vec<Problem> {
    let mut sense = Sense {
        job,
        found: Vec::new(),
    };
    sense.format();
    sense.ids();
    for space in &job.space {
        sense.space(space);
    }
    for item in &job.item {
        sense.item(item);
    }
    sense.containment();
    sense.zones_and_signals();
    sense.cables();
    sense.rules(limits);
    sense.found
}

struct Sense<'a> {
    job: &'a Job,
    found: Vec<Problem>,
}

impl Sense<'_> {
    fn report(&mut self, at: impl Into<String>, message: String, accepted: impl Into<String>) {
        self.found.push(Problem::at(at, message, accepted));
    }

    /// Reports a name that is not among the known ones.
    fn known<'n>(
        &mut self,
        at: String,
        what: &str,
        written: &str,
        names: impl Iterator<Item = &'n str>,
    ) {
        let names: Vec<&str> = names.collect();
        if names.contains(&written) {
            return;
        }
        let mut accepted: Vec<String> = names
            .iter()
            .take(NAMES_PRINTED)
            .map(|name| format!("`{name}`"))
            .collect();
        if names.len() > NAMES_PRINTED {
            accepted.push(format!("and {} more", names.len() - NAMES_PRINTED));
        }
        let accepted = if accepted.is_empty() {
            format!("nothing yet: the job has no {what}")
        } else {
            accepted.join(", ")
        };
        self.found.push(
            Problem::at(at, format!("there is no {what} `{written}`"), accepted)
                .suggesting(written, names),
        );
    }

    fn format(&mut self) {
        if self.job.format != FORMAT {
            self.report(
                "format",
                format!("format {} is not known to this program", self.job.format),
                format!("format = {FORMAT}"),
            );
        }
    }

    fn ids(&mut self) {
        let job = self.job;
        self.unique("space", job.space.iter().map(|space| space.id.as_str()));
        self.unique("item", job.item.iter().map(|item| item.id.as_str()));
        self.unique("cable", job.cable.iter().map(|cable| cable.id.as_str()));
        self.unique("zone", job.zone.iter().map(|zone| zone.id.as_str()));
        self.unique(
            "circuit",
            job.circuit.iter().map(|circuit| circuit.id.as_str()),
        );
        self.unique("spool", job.spool.iter().map(|spool| spool.id.as_str()));
        self.unique("signal", job.signal.iter().map(|signal| signal.id.as_str()));
        self.unique("kit", job.kit.all().map(|kit| kit.common().id.as_str()));
    }

    fn unique<'n>(&mut self, path: &str, ids: impl Iterator<Item = &'n str>) {
        let mut seen = BTreeSet::new();
        let mut told = BTreeSet::new();
        for (index, id) in ids.enumerate() {
            if id.is_empty() || id.contains(['.', ' ', '"']) || id.chars().any(char::is_control) {
                self.report(
                    format!("{path}.{index}"),
                    format!("`{id}` can't be an id"),
                    "a short name without spaces, dots or quotes, such as `left-surround`",
                );
            }
            if !seen.insert(id) && told.insert(id) {
                self.report(
                    format!("{path}.{id}"),
                    format!("`{id}` is used twice"),
                    "an id of its own for each",
                );
            }
        }
    }

    fn space(&mut self, space: &Space) {
        let path = format!("space.{}", space.id);
        self.unique(
            &format!("{path}.walls"),
            space.walls.iter().map(|wall| wall.id.as_str()),
        );
        self.unique(
            &format!("{path}.opening"),
            space.opening.iter().map(|opening| opening.id.as_str()),
        );
        self.unique(
            &format!("{path}.fixture"),
            space.fixture.iter().map(|fixture| fixture.id.as_str()),
        );
        self.unique(
            &format!("{path}.seat"),
            space.seat.iter().map(|seat| seat.id.as_str()),
        );
        self.unique(
            &format!("{path}.soffit"),
            space.soffit.iter().map(|soffit| soffit.id.as_str()),
        );
        self.unique(
            &format!("{path}.covering"),
            space.covering.iter().map(|covering| covering.id.as_str()),
        );
        if space.walls.len() < 3 {
            self.report(
                format!("{path}.walls"),
                format!("`{}` has {} walls", space.id, space.walls.len()),
                "three walls or more, in the order in which they were walked",
            );
        }
        for wall in &space.walls {
            let at = format!("{path}.walls.{}", wall.id);
            self.positive(&format!("{at}.length"), wall.length.as_ref(), "a wall");
            if let Some(corner) = wall.corner.as_ref().and_then(|corner| corner.value())
                && !(corner > 0.0 && corner < std::f64::consts::TAU)
            {
                self.report(
                    format!("{at}.corner"),
                    "a corner can't have that inside angle".into(),
                    "more than 0° and less than 360°",
                );
            }
        }
        for (index, diagonal) in space.diagonals.iter().enumerate() {
            for (part, corner) in [&diagonal.0, &diagonal.1].into_iter().enumerate() {
                let at = format!("{path}.diagonals.{index}.{part}");
                match corner.rsplit_once('.') {
                    Some((wall, "left" | "right")) => self.wall(&at, space, wall),
                    _ => self.report(
                        at,
                        format!("`{corner}` does not name a corner"),
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
        if let Some(ceiling) = &space.ceiling {
            for wall in ceiling.ridge.iter().flatten().chain(&ceiling.low) {
                self.wall(&format!("{path}.ceiling"), space, wall);
            }
            for (field, length) in [
                ("height", &ceiling.height),
                ("eaves", &ceiling.eaves),
                ("top", &ceiling.top),
            ] {
                self.positive(
                    &format!("{path}.ceiling.{field}"),
                    length.as_ref(),
                    "a ceiling",
                );
            }
            for (index, point) in ceiling
                .planes
                .iter()
                .flat_map(|plane| &plane.through)
                .enumerate()
            {
                let at = format!("{path}.ceiling.planes.{}.through.{}", index / 3, index % 3);
                self.two_walls(&at, space, &point.from, &point.and);
            }
        }
        for opening in &space.opening {
            let at = format!("{path}.opening.{}", opening.id);
            self.sizes(&at, &opening.size);
            self.on_wall(
                &format!("{at}.on"),
                space,
                &opening.on,
                opening.size.first(),
                Anchor::LowerLeft,
                &opening.id,
            );
            if let Some(into) = &opening.into {
                self.known(
                    format!("{at}.into"),
                    "space",
                    into,
                    self.job.space.iter().map(|space| space.id.as_str()),
                );
            }
        }
        for fixture in &space.fixture {
            let at = format!("{path}.fixture.{}", fixture.id);
            if let Some(size) = &fixture.size {
                self.sizes(&at, size);
            }
            if let Some(on) = &fixture.on {
                let width = fixture.size.as_ref().map(|size| &size[0]);
                self.on_wall(
                    &format!("{at}.on"),
                    space,
                    on,
                    width,
                    Anchor::Centre,
                    &fixture.id,
                );
            }
            self.in_plan(
                &at,
                space,
                fixture.at.as_ref().map(|at| (&at.from, &at.and)),
                "at",
            );
            self.in_plan(
                &at,
                space,
                fixture.hung.as_ref().map(|hung| (&hung.from, &hung.and)),
                "hung",
            );
            if let Some(circuit) = &fixture.circuit {
                self.known(
                    format!("{at}.circuit"),
                    "circuit",
                    circuit,
                    self.job.circuit.iter().map(|circuit| circuit.id.as_str()),
                );
            }
        }
        for soffit in &space.soffit {
            let at = format!("{path}.soffit.{}", soffit.id);
            self.sizes(&at, &soffit.size);
            self.two_walls(&at, space, &soffit.from, &soffit.and);
        }
        for (index, construction) in space.construction.iter().enumerate() {
            let at = format!("{path}.construction.{index}");
            if !matches!(construction.of.as_str(), "ceiling" | "floor") {
                self.wall(&format!("{at}.of"), space, &construction.of);
            }
            if let Some(along) = &construction.along {
                self.wall(&format!("{at}.along"), space, along);
            }
            self.positive(
                &format!("{at}.spacing"),
                construction.spacing.as_ref(),
                "a spacing",
            );
            self.positive(&format!("{at}.face"), construction.face.as_ref(), "a stud");
        }
        for seat in &space.seat {
            let at = format!("{path}.seat.{}", seat.id);
            self.in_plan(
                &at,
                space,
                seat.at.as_ref().map(|at| (&at.from, &at.and)),
                "at",
            );
        }
        for covering in &space.covering {
            if let Some(over) = covering
                .over
                .as_deref()
                .filter(|over| !matches!(*over, "floor" | "ceiling"))
            {
                self.wall(
                    &format!("{path}.covering.{}.over", covering.id),
                    space,
                    over,
                );
            }
        }
        for wall in space
            .finishes
            .iter()
            .flat_map(|finishes| finishes.wall.keys())
        {
            self.wall(&format!("{path}.finishes.wall.{wall}"), space, wall);
        }
        if let Some(joined) = &space.joined {
            self.known(
                format!("{path}.joined.opening"),
                "opening",
                &joined.opening,
                space.opening.iter().map(|opening| opening.id.as_str()),
            );
            let other = joined.to.split_once('.').and_then(|(other, opening)| {
                self.job
                    .space(other)?
                    .opening
                    .iter()
                    .find(|candidate| candidate.id == opening)
            });
            if other.is_none() {
                self.report(
                    format!("{path}.joined.to"),
                    format!("`{}` does not name another space's opening", joined.to),
                    "`space.opening`, such as `hall.archway`",
                );
            }
        }
        self.joined_in_a_ring(space);
    }

    /// Each space may lean on another; following them must come to an end.
    fn joined_in_a_ring(&mut self, space: &Space) {
        let mut here = space;
        for _ in 0..=self.job.space.len() {
            let Some(next) = here
                .joined
                .as_ref()
                .and_then(|joined| self.job.space(joined.to.split('.').next()?))
            else {
                return;
            };
            if next.id == space.id {
                self.report(
                    format!("space.{}.joined", space.id),
                    format!("`{}` is joined to itself round a ring", space.id),
                    "a chain of joined spaces that ends",
                );
                return;
            }
            here = next;
        }
    }

    fn wall(&mut self, at: &str, space: &Space, wall: &str) {
        self.known(
            at.to_owned(),
            &format!("wall of `{}` called", space.id),
            wall,
            space.walls.iter().map(|wall| wall.id.as_str()),
        );
    }

    fn two_walls(&mut self, at: &str, space: &Space, from: &FromWall, and: &FromWall) {
        self.wall(&format!("{at}.from"), space, &from.0);
        self.wall(&format!("{at}.and"), space, &and.0);
        if from.0 == and.0 {
            self.report(
                format!("{at}.and"),
                format!("both distances are from `{}`", from.0),
                "distances from two different walls",
            );
        }
    }

    fn in_plan(
        &mut self,
        at: &str,
        space: &Space,
        place: Option<(&FromWall, &FromWall)>,
        field: &str,
    ) {
        if let Some((from, and)) = place {
            self.two_walls(&format!("{at}.{field}"), space, from, and);
        }
    }

    fn positive(&mut self, at: &str, length: Option<&Length>, what: &str) {
        if let Some(value) = length.and_then(Length::value)
            && value <= 0.0
        {
            let text = length.map(Length::text).unwrap_or_default();
            self.report(at, format!("{what} can't be {text}"), "a length above zero");
        }
    }

    fn sizes(&mut self, at: &str, sizes: &[Length]) {
        for (index, size) in sizes.iter().enumerate() {
            if let Some(value) = size.value()
                && value < 0.0
            {
                self.report(
                    format!("{at}.size.{index}"),
                    format!("a size can't be {}", size.text()),
                    "a length of zero or more",
                );
            }
        }
    }

    /// A thing on a wall lies between the wall's ends, survey tolerance aside.
    fn on_wall(
        &mut self,
        at: &str,
        space: &Space,
        on: &OnWall,
        width: Option<&Length>,
        default: Anchor,
        id: &str,
    ) {
        self.wall(&format!("{at}.wall"), space, &on.wall);
        let Some(wall) = space.walls.iter().find(|wall| wall.id == on.wall) else {
            return;
        };
        let (Some(from_left), Some(length)) = (
            on.from_left.as_ref().and_then(Length::value),
            wall.length.as_ref().and_then(Length::value),
        ) else {
            return;
        };
        let half = width.and_then(Length::value).unwrap_or(0.0) / 2.0;
        let centre = from_left - on.to.unwrap_or(default).offset()[0] * half;
        // Both the wall and the place may be off by what a tape misses.
        let slack = 0.025;
        if centre - half < -slack || centre + half > length + slack {
            let printer = self.printer();
            let print = |value: f64| printer.print(value, Dimension::Length, None);
            self.report(
                format!("{at}.from_left"),
                format!(
                    "`{id}` reaches from {} to {} along `{}`, which is {} long",
                    print(centre - half),
                    print(centre + half),
                    on.wall,
                    print(length)
                ),
                format!("a place between 0 and {}", print(length)),
            );
        }
        if let Some(height) = on.height.as_ref().and_then(Length::value)
            && height < -slack
            && default == Anchor::Centre
        {
            self.report(
                format!("{at}.height"),
                format!("`{id}` is below the floor"),
                "a height above the finished floor",
            );
        }
    }

    fn printer(&self) -> Printer {
        Printer {
            system: if self.job.units() == Units::Imperial {
                System::Imperial
            } else {
                System::Metric
            },
        }
    }

    fn item(&mut self, item: &Item) {
        let path = format!("item.{}", item.id);
        let job = self.job;
        self.known(
            format!("{path}.is"),
            "catalogue entry",
            &item.is,
            job.kit.all().map(|kit| kit.common().id.as_str()),
        );
        if let Some(space) = &item.space {
            self.known(
                format!("{path}.space"),
                "space",
                space,
                job.space.iter().map(|space| space.id.as_str()),
            );
        }
        let links = [
            ("mount", &item.mount),
            ("lights", &item.lights),
            ("under", &item.under),
            ("in", &item.inside),
            ("driven_by", &item.driven_by),
        ];
        for (field, link) in links {
            if let Some(link) = link {
                self.known(
                    format!("{path}.{field}"),
                    "item",
                    link,
                    job.item.iter().map(|item| item.id.as_str()),
                );
            }
        }
        if let Some(zone) = &item.zone {
            self.known(
                format!("{path}.zone"),
                "zone",
                zone,
                job.zone.iter().map(|zone| zone.id.as_str()),
            );
        }
        if let Some(circuit) = &item.circuit {
            self.known(
                format!("{path}.circuit"),
                "circuit",
                circuit,
                job.circuit.iter().map(|circuit| circuit.id.as_str()),
            );
        }
        let places = [
            item.on.is_some(),
            item.at.is_some(),
            item.hung.is_some(),
            item.inside.is_some(),
        ];
        if places.iter().filter(|given| **given).count() > 1 {
            self.report(
                path.clone(),
                format!("`{}` is in two places at once", item.id),
                "one of `on`, `at`, `hung` and `in`",
            );
        }
        let Some(space) = job.space_of(item) else {
            if item.is_placed() && item.space.is_none() {
                self.report(
                    path,
                    format!("`{}` has a place but no space", item.id),
                    "`space = \"…\"`, one of the job's spaces",
                );
            }
            return;
        };
        if let Some(reuses) = &item.reuses {
            self.known(
                format!("{path}.reuses"),
                &format!("fixture of `{}` called", space.id),
                reuses,
                space.fixture.iter().map(|fixture| fixture.id.as_str()),
            );
        }
        if let Some(on) = &item.on {
            // The width may hang on other facts (a screen's diagonal): the checks look at it.
            self.on_wall(
                &format!("{path}.on"),
                space,
                on,
                None,
                Anchor::Centre,
                &item.id,
            );
        }
        self.in_plan(
            &path,
            space,
            item.at.as_ref().map(|at| (&at.from, &at.and)),
            "at",
        );
        self.in_plan(
            &path,
            space,
            item.hung.as_ref().map(|hung| (&hung.from, &hung.and)),
            "hung",
        );
    }

    /// Nothing is inside itself, however many cupboards are between.
    fn containment(&mut self) {
        let holder: BTreeMap<&str, &str> = self
            .job
            .item
            .iter()
            .filter_map(|item| Some((item.id.as_str(), item.inside.as_deref()?)))
            .collect();
        for start in holder.keys() {
            let mut here = *start;
            for _ in 0..=holder.len() {
                match holder.get(here) {
                    Some(next) if next == start => {
                        self.report(
                            format!("item.{start}.in"),
                            format!("`{start}` is inside itself"),
                            "a cupboard or rack that is not inside it",
                        );
                        break;
                    }
                    Some(next) => here = next,
                    None => break,
                }
            }
        }
    }

    fn zones_and_signals(&mut self) {
        let job = self.job;
        for zone in &job.zone {
            let path = format!("zone.{}", zone.id);
            self.known(
                format!("{path}.space"),
                "space",
                &zone.space,
                job.space.iter().map(|space| space.id.as_str()),
            );
            for item in zone.amplifiers.iter().chain(&zone.faces) {
                self.known(
                    path.clone(),
                    "item",
                    item,
                    job.item.iter().map(|item| item.id.as_str()),
                );
            }
        }
        for signal in &job.signal {
            let path = format!("signal.{}", signal.id);
            for (index, item) in signal.through.iter().enumerate() {
                self.known(
                    format!("{path}.through.{index}"),
                    "item",
                    item,
                    job.item.iter().map(|item| item.id.as_str()),
                );
            }
            if signal.through.len() < 2 {
                self.report(
                    format!("{path}.through"),
                    "a signal goes from one item to another".into(),
                    "two items or more, from source to picture",
                );
            }
        }
    }

    fn cables(&mut self) {
        let job = self.job;
        let cable_kinds = || job.kit.cable.iter().map(|kit| kit.common.id.as_str());
        for cable in &job.cable {
            let path = format!("cable.{}", cable.id);
            self.known(
                format!("{path}.kind"),
                "kind of cable",
                &cable.kind,
                cable_kinds(),
            );
            for (field, end) in [("from", &cable.from), ("to", &cable.to)] {
                let item = end.split('.').next().unwrap_or_default();
                self.known(
                    format!("{path}.{field}"),
                    "item",
                    item,
                    job.item.iter().map(|item| item.id.as_str()),
                );
            }
            if let Some(spool) = &cable.spool {
                self.known(
                    format!("{path}.spool"),
                    "spool",
                    spool,
                    job.spool.iter().map(|spool| spool.id.as_str()),
                );
            }
            if let Some(existing) = &cable.existing {
                let fixtures = job
                    .space
                    .iter()
                    .flat_map(|space| &space.fixture)
                    .map(|fixture| fixture.id.as_str());
                self.known(format!("{path}.existing"), "fixture", existing, fixtures);
            }
        }
        for spool in &job.spool {
            self.known(
                format!("spool.{}.kind", spool.id),
                "kind of cable",
                &spool.kind,
                cable_kinds(),
            );
        }
    }

    fn rules(&mut self, limits: &[LimitName]) {
        for (name, text) in &self.job.rules.limits {
            let at = format!("rules.{name}");
            match limits.iter().find(|limit| limit.name == name) {
                None => self.known(at, "limit", name, limits.iter().map(|limit| limit.name)),
                Some(limit) => {
                    if let Err(error) = units::read(text, limit.dimension) {
                        self.report(at, error.message, error.accepted);
                    }
                }
            }
        }
        for name in self.job.rules.reason.keys() {
            if !self.job.rules.limits.contains_key(name) {
                let names: Vec<&str> = self.job.rules.limits.keys().map(String::as_str).collect();
                self.known(
                    format!("rules.reason.{name}"),
                    "changed limit",
                    name,
                    names.into_iter(),
                );
            }
        }
    }
}
