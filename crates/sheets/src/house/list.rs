//! Which sheets does a proven job have, and how is each one made, without making the others?

use analysis::Missing;
use model::{Item, Space};

use super::{
    Set, activities, cable, ceiling, conduits, elevation, findings, hanging, light, loudspeakers,
    measure, parts, pictures, plan, racks, sound, space, templates,
};
use crate::{Listed, Sheet, SheetKind};

/// A sheet before it is made.
pub(super) struct Planned<'a> {
    pub listed: Listed,
    pub of: Of<'a>,
}

/// What a sheet is of.
pub(super) enum Of<'a> {
    Findings,
    MeasureAgain,
    NotDrawn(&'a Space, Missing),
    /// With the walls that are drawn, their letters, and what is to be said of the others.
    Plan(&'a Space, Vec<(usize, String)>, Vec<String>),
    Wall(&'a Space, usize, String),
    Ceiling(&'a Space),
    Light(&'a Space),
    Sound(&'a Space),
    Hanging(&'a Space, &'a Item),
    Pictures(&'a Space),
    Activities,
    Racks,
    Conduits,
    Templates,
    Loudspeakers(&'a Space),
    Cables,
    Labels,
    Parts,
}

impl<'a> Set<'a> {
    /// The whole set, in order; nothing is drawn.
    pub fn planned(&self) -> Vec<Planned<'a>> {
        let words = |kind, id: &str, title: &str, of| Planned {
            listed: Listed {
                id: id.to_owned(),
                title: title.to_owned(),
                kind,
            },
            of,
        };
        let mut planned = vec![words(
            SheetKind::Findings,
            "findings",
            "What was proved",
            Of::Findings,
        )];
        if !self.proof.measure_again.is_empty() {
            planned.push(words(
                SheetKind::MeasureAgain,
                "measure-again",
                "Measure again",
                Of::MeasureAgain,
            ));
        }
        for one in &self.job().space {
            planned.extend(space::planned(self, one));
        }
        if !self.job().cable.is_empty() {
            let labels = words(SheetKind::Labels, "labels", "Cable labels", Of::Labels);
            planned.push(words(
                SheetKind::Cables,
                "cables",
                "Cable schedule",
                Of::Cables,
            ));
            planned.push(labels);
        }
        for (has, kind, id, title, of) in [
            (
                activities::has_something(self),
                SheetKind::Activities,
                "activities",
                "What each button does",
                Of::Activities,
            ),
            (
                racks::has_something(self),
                SheetKind::Racks,
                "racks",
                "Racks and circuits",
                Of::Racks,
            ),
            (
                conduits::has_something(self),
                SheetKind::Conduits,
                "conduits",
                "Conduits, cut across",
                Of::Conduits,
            ),
            (
                templates::has_something(self),
                SheetKind::Templates,
                "templates",
                "Cut-outs at their true size",
                Of::Templates,
            ),
        ] {
            if has {
                planned.push(words(kind, id, title, of));
            }
        }
        if !parts::sheet(self).contents.is_empty() {
            planned.push(words(SheetKind::Parts, "parts", "Parts", Of::Parts));
        }
        planned
    }

    /// A sheet with its contents.
    pub fn made(&self, planned: Planned<'a>) -> Sheet {
        let sheet = match planned.of {
            Of::Findings => findings::sheet(self),
            Of::MeasureAgain => measure::sheet(self),
            Of::NotDrawn(space, missing) => space::not_drawn(self, space, &missing),
            Of::Plan(space, views, remarks) => plan::sheet(self, space, &views, remarks),
            Of::Wall(space, wall, letter) => elevation::sheet(self, space, wall, &letter),
            Of::Ceiling(space) => ceiling::sheet(self, space),
            Of::Light(space) => light::sheet(self, space),
            Of::Sound(space) => sound::sheet(self, space),
            Of::Hanging(space, item) => hanging::sheet(self, space, item),
            Of::Pictures(space) => pictures::sheet(self, space),
            Of::Activities => activities::sheet(self),
            Of::Racks => racks::sheet(self),
            Of::Conduits => conduits::sheet(self),
            Of::Templates => templates::sheet(self),
            Of::Loudspeakers(space) => loudspeakers::sheet(self, space),
            Of::Cables => cable::sheet(self),
            Of::Labels => cable::label_sheet(self),
            Of::Parts => parts::sheet(self),
        };
        Sheet {
            id: planned.listed.id,
            title: planned.listed.title,
            ..sheet
        }
    }
}
