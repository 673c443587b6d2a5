//! Studs, joists and plates that are drilled or notched: how deep they are and what they carry.

use analysis::{Analysis, LegKind, Uncertain};
use model::{Beyond, Cable, Construction, Framing, Space, SpaceKind};
use routing::Medium;
use wiring::holes::Bearing;

/// A hole over its cable: common practice, no source.
pub(crate) const HOLE_ROOM: f64 = 1.5;

/// Where the European rule stands that nobody here has read.
pub(crate) const TIMBER_ASK: &str =
    "the national code for timber houses; ask the building's engineer";

/// What a cable's way is drilled through in a space.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Through<'a> {
    pub framing: Framing,
    /// The wall, where it is known which.
    pub wall: Option<&'a str>,
}

/// Studs wall by wall and joists that a cable's way is drilled through in a space, each once.
pub(crate) fn drilled<'a>(
    analysis: &'a Analysis,
    space: &Space,
    cable: &Cable,
) -> Vec<Through<'a>> {
    let Ok(route) = analysis.route(cable) else {
        return Vec::new();
    };
    let mut found: Vec<Through> = Vec::new();
    for leg in &route.legs {
        let LegKind::Through(passage) = &leg.along else {
            continue;
        };
        let through = match (passage.medium, &passage.drilled) {
            (Medium::Joist, _) => Through {
                framing: Framing::Joist,
                wall: None,
            },
            (Medium::Stud, Some(drilled)) if drilled.space == space.id => Through {
                framing: Framing::Stud,
                wall: Some(&drilled.wall),
            },
            _ => continue,
        };
        if !found.contains(&through) {
            found.push(through);
        }
    }
    found
}

/// What a wall's studs carry, as far as the survey says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Load {
    /// It stands between the house and the open air.
    Outside,
    /// It carries load.
    Bears,
    /// It carries itself.
    BearsNone,
    /// Nobody looked.
    NotKnown,
}

impl Load {
    /// Of a wall with this construction.
    pub fn of(analysis: &Analysis, construction: Option<&Construction>) -> Self {
        let Some(it) = construction else {
            return Self::NotKnown;
        };
        let outdoors = it.behind.as_deref().and_then(|id| analysis.space(id));
        if it.beyond == Some(Beyond::Outside)
            || outdoors.is_some_and(|space| space.kind == Some(SpaceKind::Outdoor))
        {
            return Self::Outside;
        }
        match it.bearing {
            Some(true) => Self::Bears,
            Some(false) => Self::BearsNone,
            None => Self::NotKnown,
        }
    }

    /// How the code counts it: outside walls, and what nobody knows, as carrying load.
    pub fn bearing(self) -> Bearing {
        match self {
            Self::BearsNone => Bearing::NonBearing,
            Self::Outside | Self::Bears | Self::NotKnown => Bearing::Bearing,
        }
    }

    /// "wall north, an outside wall": behind a wall's name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Outside => ", an outside wall",
            Self::Bears => ", which carries load",
            Self::BearsNone => ", which carries none",
            Self::NotKnown => ", which may carry load",
        }
    }
}

/// Depth of a stud, or of the shallowest joist of a space: measured, else what is usual.
pub(crate) fn depth(
    analysis: &Analysis,
    space: &Space,
    construction: Option<&Construction>,
    framing: Framing,
) -> Uncertain {
    let measured = construction.and_then(|one| analysis.number(one.cavity.as_ref()));
    measured.unwrap_or_else(|| {
        let (what, value, tolerance) = match framing {
            Framing::Joist => ("joists", 0.235, 0.045),
            _ => ("studs", 0.089, 0.003),
        };
        analysis.assumed(
            &format!("the depth of the {what} of {}", space.label()),
            &format!("space.{}.construction", space.id),
            value,
            tolerance,
        )
    })
}

/// The construction of the shallowest framing of its kind in a space, where any is measured.
pub(crate) fn shallowest(space: &Space, framing: Framing) -> Option<&Construction> {
    let depth = |one: &Construction| one.cavity.as_ref().and_then(|cavity| cavity.value());
    (space.construction.iter())
        .filter(|one| one.framing == framing && depth(one).is_some())
        .min_by(|a, b| {
            let [a, b] = [depth(a), depth(b)].map(|depth| depth.unwrap_or(f64::INFINITY));
            a.total_cmp(&b)
        })
}
