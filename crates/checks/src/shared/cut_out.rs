//! What is cut into walls and ceilings, and what is behind the board there.

use analysis::{Analysis, Limit, Means, Missing, Source, item_label};
use model::{Construction, Framing, Hung, Item, Kit, Length, LoudspeakerForm, OnWall, Space};
use units::Dimension;

use crate::{Known, Uncertain};

/// Free board between a cut-out and the framing beside it: room for the saw, and for
/// clamps to swing out.
pub(crate) static CUTOUT_CLEARANCE: Limit = Limit {
    name: "cutout_clearance",
    meaning: "least distance from a cut-out to a stud, joist or block",
    dimension: Dimension::Length,
    value: 0.25 * 0.0254,
    source: Source::CommonPractice,
    regional: &[],
};

/// Face of a light steel stud, 1 1/4 in (from memory).
const STEEL_FACE_M: f64 = 1.25 * 0.0254;
/// How far the face of framing is off its usual width, 95 % (common practice, no source).
const FACE_TOLERANCE_M: f64 = 0.0016;

/// A thing that is cut into a wall or ceiling.
#[derive(Clone, Copy)]
pub(crate) struct CutOut<'a> {
    pub item: &'a Item,
    pub kit: Kit<'a>,
    pub surface: Surface<'a>,
}

/// What it is cut into.
#[derive(Clone, Copy)]
pub(crate) enum Surface<'a> {
    Wall(&'a OnWall),
    Ceiling(&'a Hung),
}

/// Things of a space that are still to be cut in.
pub(crate) fn cut_outs<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = CutOut<'a>> {
    let items = analysis.items_in_where(space, "to be cut in", |analysis, item| {
        cut_out(analysis, item).is_some()
    });
    items.filter_map(|item| cut_out(analysis, item))
}

fn cut_out<'a>(analysis: &'a Analysis, item: &'a Item) -> Option<CutOut<'a>> {
    let kit = analysis.kit_of(item)?;
    let surface = match (&item.on, &item.hung) {
        (Some(on), _) => Surface::Wall(on),
        (_, Some(hung)) => Surface::Ceiling(hung),
        _ => return None,
    };
    (!item.existing && is_cut_in(kit, surface)).then_some(CutOut { item, kit, surface })
}

pub(crate) fn is_cut_in(kit: Kit<'_>, surface: Surface<'_>) -> bool {
    match (kit, surface) {
        (Kit::Loudspeaker(kit), Surface::Wall(_)) => match kit.form {
            Some(LoudspeakerForm::Subwoofer) => kit.cutout.is_some(),
            Some(form) => form == LoudspeakerForm::InWall,
            None => kit.cutout.is_some(),
        },
        (Kit::Loudspeaker(kit), Surface::Ceiling(_)) => match kit.form {
            Some(form) => form == LoudspeakerForm::InCeiling,
            None => kit.cutout.is_some(),
        },
        // A plate without a cut-out sits on the surface.
        (Kit::Plate(kit), _) => kit.cutout.is_some(),
        _ => false,
    }
}

/// The cut-out of a catalogue entry, where it has one.
pub(crate) fn cutout_of(kit: Kit<'_>) -> Option<&[Length; 2]> {
    match kit {
        Kit::Loudspeaker(kit) => kit.cutout.as_ref(),
        Kit::Plate(kit) => kit.cutout.as_ref(),
        _ => None,
    }
}

/// The depth that a catalogue entry needs behind the board's face.
pub(crate) fn depth_of(kit: Kit<'_>) -> Option<&Length> {
    match kit {
        Kit::Loudspeaker(kit) => kit.depth_behind.as_ref(),
        Kit::Plate(kit) => kit.depth_behind.as_ref(),
        _ => None,
    }
}

/// Catalogue entries of the same kind and form, itself left out.
pub(crate) fn alike<'a>(
    analysis: &'a Analysis,
    cut_out: &CutOut<'a>,
) -> impl Iterator<Item = Kit<'a>> {
    let own = cut_out.kit;
    let form = |kit: Kit<'_>| match kit {
        Kit::Loudspeaker(kit) => kit.form,
        _ => None,
    };
    analysis.catalogue().all().filter(move |kit| {
        kit.kind() == own.kind() && form(*kit) == form(own) && kit.common().id != own.common().id
    })
}

impl<'a> CutOut<'a> {
    pub fn label(&self) -> &'a str {
        item_label(self.item)
    }

    /// Size of the hole across and up.
    pub fn size(&self, analysis: &Analysis) -> Known<[Uncertain; 2]> {
        self.size_of(analysis, self.kit)
    }

    /// Size of the hole with another catalogue entry in the same place.
    pub fn size_of(&self, analysis: &Analysis, kit: Kit<'_>) -> Known<[Uncertain; 2]> {
        let ask = || {
            let id = &kit.common().id;
            Missing::new(
                format!("the cut-out of {id}"),
                format!("kit.{}.{id}.cutout", kit.kind()),
                Means::SpecSheet,
            )
        };
        let cutout = cutout_of(kit).ok_or_else(ask)?;
        let part = |index: usize| analysis.number(Some(&cutout[index])).ok_or_else(ask);
        Ok([part(0)?, part(1)?])
    }

    /// The middle of the hole on its wall: from the left corner, and above the floor.
    pub fn middle_on_wall(
        &self,
        analysis: &Analysis,
        space: &Space,
        on: &OnWall,
    ) -> Known<[Uncertain; 2]> {
        let nothing = Uncertain::exact(0.0);
        let size = match on.to {
            None | Some(model::Anchor::Centre) => [nothing.clone(), nothing],
            // Measured to an edge of the thing itself, not of its hole.
            Some(_) => analysis
                .item_size(self.item)
                .map(|[width, height, _]| [width, height])?,
        };
        let at = format!("item.{}.on", self.item.id);
        let rect =
            analysis.wall_rect(space, on, [&size[0], &size[1]], model::Anchor::Centre, &at)?;
        Ok([rect.centre_left(), rect.centre_height()])
    }
}

impl Surface<'_> {
    /// As constructions name it: a wall's name or `ceiling`.
    pub fn name(&self) -> &str {
        match self {
            Self::Wall(on) => &on.wall,
            Self::Ceiling(_) => "ceiling",
        }
    }

    /// "wall north", "the ceiling".
    pub fn words(&self) -> String {
        match self {
            Self::Wall(on) => format!("wall {}", on.wall),
            Self::Ceiling(_) => "the ceiling".to_owned(),
        }
    }
}

/// A construction and its path in the document.
pub(crate) fn construction<'a>(
    space: &'a Space,
    surface: Surface<'_>,
) -> Known<(&'a Construction, String)> {
    let path = construction_path(space, surface.name());
    let built = space.construction_of(surface.name()).ok_or_else(|| {
        Missing::new(
            format!("what {} of {} is made of", surface.words(), space.label()),
            path.clone(),
            Means::StudFinder,
        )
    })?;
    Ok((built, path))
}

/// Where the document says what a surface is made of; the whole list where it does not.
pub(crate) fn construction_path(space: &Space, of: &str) -> String {
    let place = space.construction.iter().position(|one| one.of == of);
    match place {
        Some(place) => format!("space.{}.construction.{place}", space.id),
        None => format!("space.{}.construction", space.id),
    }
}

/// A construction's name for the things to keep away from; `None` where there are none.
pub(crate) fn bars_word(framing: Framing) -> Option<&'static str> {
    match framing {
        Framing::Stud | Framing::SteelStud => Some("stud"),
        Framing::Joist => Some("joist"),
        Framing::Masonry | Framing::Concrete => None,
    }
}

/// Width of a stud's or joist's face: its own, else the usual one with its spread.
pub(crate) fn face(analysis: &Analysis, construction: &Construction, path: &str) -> Uncertain {
    analysis
        .number(construction.face.as_ref())
        .unwrap_or_else(|| {
            let usual = match construction.framing {
                Framing::SteelStud => STEEL_FACE_M,
                _ => structure::framing::FACE_WIDTH.0,
            };
            let what = format!("the face of the framing of {}", construction.of);
            analysis.assumed(&what, &format!("{path}.face"), usual, FACE_TOLERANCE_M)
        })
}
