//! Parts of a space that some checks have no use for, handed out apart.
//!
//! Most edits move a seat or a lamp, and most checks ask about one or the other alone. A
//! check that names the parts that it looks at is given a space in which the others are
//! empty: what it does not see it cannot rest on.

use std::cell::OnceCell;
use std::rc::Rc;
use std::sync::Arc;

use model::{Job, Space};

use crate::Analysis;
use crate::reads::{PARTS_MAX, Reads, Thing};

/// Parts of a space, mostly lists, beside its walls, ceiling and single facts, which are always
/// there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Parts(u8);

impl Parts {
    /// No list.
    pub const NONE: Self = Self(0);
    /// Where people sit.
    pub const SEATS: Self = Self(1);
    /// Whatever is in the way or of use.
    pub const FIXTURES: Self = Self(2);
    /// Doors, windows and archways.
    pub const OPENINGS: Self = Self(4);
    /// What walls, floor and ceiling are covered with, rugs and panels, and how long it rings.
    pub const COVERINGS: Self = Self(8);
    /// How much light walls, floor and ceiling give back.
    pub const PAINT: Self = Self(16);
    /// Every part.
    pub const ALL: Self = Self(31);

    /// These and others.
    pub const fn and(self, others: Self) -> Self {
        Self(self.0 | others.0)
    }

    const fn includes(self, part: Self) -> bool {
        self.0 & part.0 != 0
    }
}

/// The parts that edits change apart from each other: first those of [`Parts`], by their bit,
/// then what the shape rests on, then everything else.
const NAMED: usize = 5;
const SHAPE: usize = 5;
const REST: usize = 6;

/// One space with parts left out, by the parts that it has.
pub(crate) type Pruned = Rc<[OnceCell<Space>; 1 << NAMED]>;

/// The spaces of an edited copy: those that it leaves alone are shared.
pub(crate) fn shared(
    (old, pruned): (&Job, &[OnceCell<Pruned>]),
    new: &Job,
) -> Vec<OnceCell<Pruned>> {
    let shared = |(at, space): (usize, &Arc<Space>)| {
        let same = (old.space.get(at)).is_some_and(|old| Arc::ptr_eq(old, space));
        let kept = pruned.get(at).and_then(OnceCell::get).filter(|_| same);
        kept.map_or_else(OnceCell::new, |kept| OnceCell::from(Rc::clone(kept)))
    };
    new.space.iter().enumerate().map(shared).collect()
}

/// Notes the parts in which two states of a space differ.
pub(crate) fn note_changes(at: usize, old: &Space, new: &Space, changed: &mut Reads) {
    let named = [
        old.seat != new.seat,
        old.fixture != new.fixture,
        old.opening != new.opening,
        old.covering != new.covering
            || old.finishes != new.finishes
            || old.reverberation != new.reverberation,
        old.reflectance != new.reflectance,
    ];
    let shape = !have_same_shape(old, new);
    let rest = !have_same_rest(old, new);
    let parts = named.into_iter().chain([shape, rest]).enumerate();
    for (part, _) in parts.filter(|(_, differs)| *differs) {
        changed.note(Thing::SpacePart, at * PARTS_MAX + part);
    }
}

/// Whether two states of a space have every fact in common that its shape rests on.
pub(crate) fn have_same_shape(old: &Space, new: &Space) -> bool {
    old.id == new.id
        && old.name == new.name
        && old.kind == new.kind
        && old.walls == new.walls
        && old.diagonals == new.diagonals
        && old.ceiling == new.ceiling
        && old.soffit == new.soffit
}

/// Whether two states of a space are alike in everything that is not noted apart.
fn have_same_rest(old: &Space, new: &Space) -> bool {
    // Every field by name: a new one has to be told where it belongs.
    let Space {
        id,
        name: _,
        kind: _,
        walls: _,
        diagonals: _,
        ceiling: _,
        floor_level,
        first_wall_faces,
        joined,
        finishes: _,
        ambient,
        reflectance: _,
        watched,
        noise,
        neighbours,
        noise_octaves,
        reverberation: _,
        temperature,
        opening: _,
        fixture: _,
        soffit: _,
        construction,
        seat: _,
        covering: _,
    } = old;
    *id == new.id
        && *floor_level == new.floor_level
        && *first_wall_faces == new.first_wall_faces
        && *joined == new.joined
        && *ambient == new.ambient
        && *watched == new.watched
        && *noise == new.noise
        && *neighbours == new.neighbours
        && *noise_octaves == new.noise_octaves
        && *temperature == new.temperature
        && *construction == new.construction
}

fn pruned(space: &Space, parts: Parts) -> Space {
    fn list<T: Clone>(list: &[T], is_there: bool) -> Vec<T> {
        if is_there { list.to_vec() } else { Vec::new() }
    }
    // Every field by name: a new one has to be told where it belongs.
    Space {
        id: space.id.clone(),
        name: space.name.clone(),
        kind: space.kind,
        walls: space.walls.clone(),
        diagonals: space.diagonals.clone(),
        ceiling: space.ceiling.clone(),
        floor_level: space.floor_level.clone(),
        first_wall_faces: space.first_wall_faces.clone(),
        joined: space.joined.clone(),
        finishes: (space.finishes.clone()).filter(|_| parts.includes(Parts::COVERINGS)),
        ambient: space.ambient.clone(),
        reflectance: (space.reflectance.clone()).filter(|_| parts.includes(Parts::PAINT)),
        watched: space.watched.clone(),
        noise: space.noise.clone(),
        neighbours: space.neighbours.clone(),
        noise_octaves: space.noise_octaves.clone(),
        reverberation: (space.reverberation.clone()).filter(|_| parts.includes(Parts::COVERINGS)),
        temperature: space.temperature.clone(),
        opening: list(&space.opening, parts.includes(Parts::OPENINGS)),
        fixture: list(&space.fixture, parts.includes(Parts::FIXTURES)),
        soffit: space.soffit.clone(),
        construction: space.construction.clone(),
        seat: list(&space.seat, parts.includes(Parts::SEATS)),
        covering: list(&space.covering, parts.includes(Parts::COVERINGS)),
    }
}

impl Analysis {
    /// The space at a position of the job with some of its lists; the others are empty.
    pub fn space_in_parts(&self, at: usize, parts: Parts) -> &Space {
        if parts == Parts::ALL {
            return self.space_number(at);
        }
        self.note_parts(at, parts);
        self.note_part(at, REST);
        let by_parts = self.pruned[at].get_or_init(Rc::default);
        by_parts[usize::from(parts.0)].get_or_init(|| pruned(&self.job.space[at], parts))
    }

    /// As [`Analysis::space_in_parts`], of a space of this job.
    pub fn with_parts(&self, space: &Space, parts: Parts) -> &Space {
        let at = self.space_at(&space.id).expect("a space of this job");
        self.space_in_parts(at, parts)
    }

    /// The space at a position, noted as what its shape rests on and some of its lists; the
    /// caller looks at nothing else.
    pub(crate) fn shape_and(&self, at: usize, parts: Parts) -> &Space {
        self.note_parts(at, parts);
        &self.job.space[at]
    }

    /// A space for a caller who looks at its shape, its openings and what it joins.
    pub(crate) fn joined_space(&self, id: &str) -> Option<&Space> {
        let at = self.space_at(id)?;
        self.note_part(at, REST);
        Some(self.shape_and(at, Parts::OPENINGS))
    }

    /// Notes everything of a space.
    pub(crate) fn note_space(&self, at: usize) {
        self.note_parts(at, Parts::ALL);
        self.note_part(at, REST);
    }

    fn note_parts(&self, at: usize, parts: Parts) {
        self.note_part(at, SHAPE);
        for part in (0..NAMED).filter(|part| parts.includes(Parts(1 << part))) {
            self.note_part(at, part);
        }
    }

    fn note_part(&self, at: usize, part: usize) {
        self.ledger.note(Thing::SpacePart, at * PARTS_MAX + part);
    }
}

#[cfg(test)]
mod tests {
    //! A space in parts is only touched by edits of those.

    use std::sync::Arc;

    use model::{Edit, Space};

    use super::{Parts, have_same_rest, pruned};
    use crate::Analysis;

    const JOB: &str = r#"
format = 1
[job]
name = "Two walls of one"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
[[space.seat]]
id = "sofa"
[[space.fixture]]
id = "lamp"
kind = "ceiling-light"
"#;

    /// A space without what is noted apart.
    fn rest_of(space: &Space) -> Space {
        Space {
            name: None,
            kind: None,
            walls: Vec::new(),
            diagonals: Vec::new(),
            ceiling: None,
            soffit: Vec::new(),
            ..pruned(space, Parts::NONE)
        }
    }

    #[test]
    fn the_rest_is_told_apart_as_pruned_copies_would_be() {
        let job = model::read(JOB, &[]).expect("the job reads");
        for edit in [
            Edit::set("space.den.name", "Den"),
            Edit::set("space.den.kind", "outdoor"),
            Edit::set("space.den.walls.north.length", "6.01 m"),
            Edit::set("space.den.floor_level", "1 m"),
            Edit::set("space.den.first_wall_faces", "90 deg"),
            Edit::set("space.den.ambient", "100 lx"),
            Edit::set("space.den.reflectance.walls", 0.4),
            Edit::set("space.den.noise", "30 dB"),
            Edit::set("space.den.temperature", "20 °C"),
            Edit::set("space.den.seat.sofa.eye", "1.2 m"),
            Edit::remove("space.den.fixture.lamp"),
        ] {
            let copy = job.edited(std::slice::from_ref(&edit));
            let copy = copy.expect("the edit can be made");
            let (old, new) = (&job.space[0], &copy.space[0]);
            let plain = rest_of(old) == rest_of(new);
            assert_eq!(have_same_rest(old, new), plain, "{edit:?}");
        }
    }

    #[test]
    fn only_edits_of_its_parts_touch_a_space() {
        let job = model::read(JOB, &[]).expect("the job reads");
        let analysis = Analysis::new(Arc::new(job));
        let (lists, reads) = analysis.noting(|| {
            let space = analysis.space_in_parts(0, Parts::SEATS);
            [space.seat.len(), space.fixture.len()]
        });
        assert_eq!(lists, [1, 0]);
        for (edit, touches) in [
            (Edit::set("space.den.fixture.lamp.kind", "fan"), false),
            (Edit::set("space.den.reflectance.walls", 0.4), false),
            (Edit::set("space.den.seat.sofa.eye", "1.2 m"), true),
            (Edit::set("space.den.walls.north.length", "6.01 m"), true),
            (Edit::set("space.den.temperature", "20 °C"), true),
            (Edit::set("space.den.name", "Den"), true),
        ] {
            let copy = analysis.edited(std::slice::from_ref(&edit));
            let copy = copy.expect("the edit can be made");
            assert_eq!(reads.touched_by(copy.changed()), touches, "{edit:?}");
        }
    }
}
