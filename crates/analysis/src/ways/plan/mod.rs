//! What the survey found inside walls, floors and ceilings, as the routing engine takes it.

mod builder;
mod frame;
mod reaches;

use std::sync::Arc;

use model::Cable;
use routing::{End, House, HouseGraph};
use units::{Metres, SquareMetres};
use wiring::conduit::{FillLimits, fill};

use super::Doubt;
use crate::{Analysis, Known};
use builder::Builder;
use reaches::Reaches;

pub(super) use frame::Frame;
pub(super) use reaches::Joined;

/// What a void is to its space.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum VoidKind {
    Above,
    Below,
    Behind,
    Soffit,
}

/// A void and the space that it was found in.
#[derive(Clone, Copy, Debug)]
pub(super) struct VoidPlace {
    pub space: usize,
    pub kind: VoidKind,
    /// Rafters or joists.
    pub is_roof: bool,
}

/// Spaces as a house to route through.
pub(crate) struct Planned {
    pub graph: HouseGraph,
    /// By position in the job.
    pub spaces: Vec<usize>,
    pub(super) frames: Vec<Frame>,
    /// The space of each wall of the house, and the wall's number in it.
    pub walls: Vec<(usize, usize)>,
    /// The number in the house of each space's first wall.
    pub first_wall: Vec<usize>,
    pub(super) voids: Vec<VoidPlace>,
    pub above: Vec<Option<usize>>,
    /// The pathway of each conduit of the house, by position in the job.
    pub conduits: Vec<usize>,
    pub doubts: Vec<Doubt>,
    reaches: Reaches,
}

impl Planned {
    /// Spaces by their positions in the job.
    pub fn new(analysis: &Analysis, spaces: &[usize]) -> Known<Self> {
        let mut builder = Builder {
            analysis,
            times: analysis.way_times(),
            house: House::default(),
            walls: Vec::new(),
            first_wall: Vec::new(),
            voids: Vec::new(),
            above: Vec::new(),
            doubts: Vec::new(),
            frames: Vec::new(),
            roots: Vec::new(),
        };
        let is_one = spaces.len() == 1;
        for (index, at) in spaces.iter().enumerate() {
            let space = (analysis.joined_space(&analysis.job.space[*at].id)).expect("it is there");
            let (root, frame) = match is_one {
                true => (space.id.clone(), Frame::OWN),
                false => Frame::of(analysis, space)?,
            };
            builder.frames.push(frame);
            builder.roots.push(root);
            builder.space(index, space)?;
        }
        if !is_one {
            for (index, at) in spaces.iter().enumerate() {
                builder.joined(spaces, index, *at);
            }
        }
        let conduits = builder.pathways(spaces);
        let times = builder.times;
        Ok(Self {
            graph: HouseGraph::new(Arc::new(builder.house), &times),
            spaces: spaces.to_vec(),
            frames: builder.frames,
            walls: builder.walls,
            first_wall: builder.first_wall,
            voids: builder.voids,
            above: builder.above,
            conduits,
            doubts: builder.doubts,
            reaches: Reaches::default(),
        })
    }

    /// The house with both ends of a cable.
    pub fn joined(&self, ends: &[End; 2]) -> Joined<'_> {
        self.reaches.join(&self.graph, ends)
    }

    pub fn index_of(&self, space: usize) -> usize {
        let index = self.spaces.iter().position(|at| *at == space);
        index.expect("a space of this plan")
    }

    fn voids_that(&self, is: impl Fn(VoidKind) -> bool) -> Vec<usize> {
        let voids = self.voids.iter().enumerate();
        voids
            .filter(|(_, void)| is(void.kind))
            .map(|(index, _)| index)
            .collect()
    }

    /// Voids that a cable overhead leaves alone.
    pub fn voids_underfoot(&self) -> Vec<usize> {
        self.voids_that(|kind| matches!(kind, VoidKind::Below | VoidKind::Behind))
    }

    /// Voids that a cable underfoot leaves alone.
    pub fn voids_overhead(&self) -> Vec<usize> {
        self.voids_that(|kind| matches!(kind, VoidKind::Above | VoidKind::Soffit))
    }

    /// Conduits that do not take a cable beside what lies in them.
    pub fn full_for(&self, analysis: &Analysis, cable: &Cable) -> Vec<usize> {
        let is_full = |pathway: usize| {
            let pathway = &analysis.job.pathway[pathway];
            pathway.blocked == Some(true)
                || !pathway.holds.contains(&cable.id) && analysis.is_overfull(pathway, cable)
        };
        let conduits = self.conduits.iter().enumerate();
        conduits
            .filter(|(_, pathway)| is_full(**pathway))
            .map(|(index, _)| index)
            .collect()
    }
}

impl Analysis {
    /// Whether a conduit would be fuller with a further cable than it may be. Where a diameter
    /// is not known it is taken to fit.
    pub(crate) fn is_overfull(&self, pathway: &model::Pathway, cable: &Cable) -> bool {
        let diameter = |kind: &str| match self.kit(kind) {
            Some(model::Kit::Cable(kit)) => kit.diameter.as_ref().and_then(|length| length.value()),
            _ => None,
        };
        let inside = pathway.inside.as_ref().and_then(|length| length.value());
        let held = pathway.holds.iter().chain([&cable.id]);
        let kinds = held.filter_map(|id| {
            let at = self.cable_at(id)?;
            Some(self.noted_cable(at).kind.as_str())
        });
        let diameters: Option<Vec<Metres>> = kinds.map(|kind| diameter(kind).map(Metres)).collect();
        let (Some(inside_m), Some(diameters)) = (inside, diameters) else {
            return false;
        };
        let area = SquareMetres(std::f64::consts::PI * inside_m.powi(2) / 4.0);
        let most = FillLimits::NEC.of(diameters.len());
        most.is_some_and(|most| fill(area, &diameters).is_none_or(|filled| filled > most))
    }
}
