//! What a check is made of, and the list of all of them.

use analysis::{Analysis, Limit, Parts, Source};
use model::{LimitName, Space};
use serde::Serialize;
use units::Reference;

use crate::{Finding, bass, cables, picture, power, signal, sound, structure, survey};

/// A question about the job with a cited limit, and its manual.
pub struct Check {
    /// Stable name in kebab case; the file's name.
    pub id: &'static str,
    /// The folder that it lives in.
    pub area: Area,
    /// What holds when it fits.
    pub proves: &'static str,
    /// What goes wrong otherwise, and who notices.
    pub matters: &'static str,
    /// The formula in words and letters, with its symbols and where it is valid.
    pub formula: &'static str,
    /// Where the formula and the way of judging come from.
    pub source: Source,
    /// What a crew usually does about it.
    pub when_it_fails: &'static str,
    /// Limits that a job may change.
    pub limits: &'static [&'static Limit],
    /// Values from outside the project, computed anew at each test and by `dryfit verify`.
    pub published: &'static [Reference],
    /// Asks the question.
    pub run: Run,
}

/// How a check goes through the house.
pub enum Run {
    /// Once for each space: findings rest on the space, what is in it, and what is wired to that.
    EachSpace(fn(&Analysis, &Space) -> Vec<Finding>),
    /// As [`Run::EachSpace`], of a space that has these of its lists alone: edits of the
    /// others do not touch it.
    EachSpaceIn(Parts, fn(&Analysis, &Space) -> Vec<Finding>),
    /// Once for the whole house.
    House(fn(&Analysis) -> Vec<Finding>),
}

impl Run {
    /// Whether it goes through each space.
    pub(crate) fn is_of_spaces(&self) -> bool {
        !matches!(self, Self::House(_))
    }

    /// The lists of a space that it looks at.
    pub(crate) fn parts(&self) -> Parts {
        match self {
            Self::EachSpaceIn(parts, _) => *parts,
            Self::EachSpace(_) | Self::House(_) => Parts::ALL,
        }
    }

    /// Asks about a space, by its position in the job, or about the house.
    pub(crate) fn ask(&self, analysis: &Analysis, space: Option<usize>) -> Vec<Finding> {
        match (self, space) {
            (Self::EachSpace(run), Some(at)) => run(analysis, analysis.space_number(at)),
            (Self::EachSpaceIn(parts, run), Some(at)) => {
                run(analysis, analysis.space_in_parts(at, *parts))
            }
            (Self::House(run), None) => run(analysis),
            _ => Vec::new(),
        }
    }
}

/// The trades that a job falls into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Area {
    /// Does the survey itself hold together?
    Survey,
    /// Screens, projectors, displays and light.
    Picture,
    /// Loudspeakers and rooms above the bass.
    Sound,
    /// Low frequencies.
    Bass,
    /// Wires, routes and holes.
    Cables,
    /// Mains, heat and air.
    Power,
    /// Fixings and framing.
    Structure,
    /// Links, channels and zones.
    Signal,
}

impl Area {
    /// Every area, in the order of a job.
    pub const ALL: [Self; 8] = [
        Self::Survey,
        Self::Picture,
        Self::Sound,
        Self::Bass,
        Self::Cables,
        Self::Power,
        Self::Structure,
        Self::Signal,
    ];

    /// The word that selects it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Survey => "survey",
            Self::Picture => "picture",
            Self::Sound => "sound",
            Self::Bass => "bass",
            Self::Cables => "cables",
            Self::Power => "power",
            Self::Structure => "structure",
            Self::Signal => "signal",
        }
    }
}

/// Every check, by area.
pub fn all() -> impl Iterator<Item = &'static Check> {
    [
        survey::CHECKS,
        picture::CHECKS,
        sound::CHECKS,
        bass::CHECKS,
        cables::CHECKS,
        power::CHECKS,
        structure::CHECKS,
        signal::CHECKS,
    ]
    .into_iter()
    .flatten()
    .copied()
}

/// The check of that name.
pub fn find(id: &str) -> Option<&'static Check> {
    all().find(|check| check.id == id)
}

/// Every limit that a job may change.
pub fn limit_names() -> Vec<LimitName> {
    let mut names: Vec<LimitName> = all()
        .flat_map(|check| check.limits)
        .map(|limit| LimitName {
            name: limit.name,
            dimension: limit.dimension,
        })
        .collect();
    names.sort_by_key(|limit| limit.name);
    names.dedup();
    names
}

/// Every value from outside the project with what answers it: engines by name, then
/// checks by id.
pub fn references() -> Vec<(&'static str, Reference)> {
    let engines = [
        ("acoustics", acoustics::references()),
        ("light", light::references()),
        ("links", links::references()),
        ("optics", optics::references()),
        ("power", ::power::references()),
        ("structure", ::structure::references()),
        ("wiring", wiring::references()),
    ];
    let of_engines = engines
        .into_iter()
        .flat_map(|(engine, list)| list.into_iter().map(move |value| (engine, value)));
    let of_checks = all().flat_map(|check| check.published.iter().map(|value| (check.id, *value)));
    of_engines.chain(of_checks).collect()
}
