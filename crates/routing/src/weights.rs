//! What the shop counts: how long each kind of work takes, and what else it would rather avoid.
//!
//! Every default is common practice without a source; a shop replaces them by its own record.

use crate::graph::{Holes, Obstacle};
use crate::medium::{Hazard, Media, Medium};
use units::{Metres, Seconds};

/// How long each kind of work takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Times {
    /// To pull each metre through framing, s/m.
    pub pull_s_per_m: f64,
    /// More for each metre that is crawled, s/m.
    pub crawl_s_per_m: f64,
    /// More for each metre through insulation, s/m.
    pub insulation_s_per_m: f64,
    /// To take each metre of baseboard off and put it on again, s/m.
    pub baseboard_s_per_m: f64,
    /// To lay or fix each metre that is seen, s/m.
    pub surface_s_per_m: f64,
    /// To cut and close each metre of slot in masonry, s/m.
    pub masonry_s_per_m: f64,
    /// To drill one hole that is in reach.
    pub hole: Seconds,
    /// To fish the cable through one hole that is there.
    pub fish: Seconds,
    /// To open a board at one place and close it again.
    pub open: Seconds,
    /// To pass one doorway.
    pub doorway: Seconds,
}

impl Times {
    /// 2 min/m, 1 min/m, 2 min/m, 3 min/m, 2.5 min/m, 30 min/m; a hole 10 min and 1 min to fish
    /// through it, a board 15 min, a doorway 10 min (common practice, no source).
    pub const PRACTICE: Self = Self {
        pull_s_per_m: 120.0,
        crawl_s_per_m: 60.0,
        insulation_s_per_m: 120.0,
        baseboard_s_per_m: 180.0,
        surface_s_per_m: 150.0,
        masonry_s_per_m: 1800.0,
        hole: Seconds(600.0),
        fish: Seconds(60.0),
        open: Seconds(900.0),
        doorway: Seconds(600.0),
    };

    /// What a length of cable takes in a medium, holes and openings aside.
    pub fn along(&self, medium: Medium, length: Metres) -> Seconds {
        let more = match medium {
            Medium::Attic | Medium::CrawlSpace => self.crawl_s_per_m,
            Medium::Baseboard => self.baseboard_s_per_m,
            Medium::Rug | Medium::Surface => self.surface_s_per_m,
            Medium::Masonry => self.masonry_s_per_m,
            _ => 0.0,
        };
        Seconds((self.pull_s_per_m + more) * length.0)
    }
}

/// What is avoided besides time, as the time that the shop would give to be spared it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weights {
    /// A metre of cable, s/m.
    pub metre_s_per_m: f64,
    /// A hole.
    pub hole: Seconds,
    /// A metre that people see or walk on, s/m.
    pub seen_s_per_m: f64,
    /// A place with a hazard that is not barred.
    pub hazard: Seconds,
}

impl Weights {
    /// A metre as 1 min, a hole as 2 min, a metre that is seen as 30 min, a hazard as 5 min
    /// (common practice, no source).
    pub const PRACTICE: Self = Self {
        metre_s_per_m: 60.0,
        hole: Seconds(120.0),
        seen_s_per_m: 1800.0,
        hazard: Seconds(300.0),
    };
}

/// What may not be used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bars {
    /// Media.
    pub media: Media,
    /// Obstacles that may not be drilled.
    pub obstacles: Vec<Obstacle>,
    /// Voids, by index.
    pub voids: Vec<usize>,
    /// Hazards; a rated wall unless the job's own licensed trade does it.
    pub hazards: Vec<Hazard>,
}

impl Bars {
    /// What a crew without a licence leaves alone: rated walls, and slots in masonry.
    pub fn usual() -> Self {
        Self {
            media: Media::of([Medium::Masonry]),
            hazards: vec![Hazard::RatedWall],
            ..Self::default()
        }
    }

    /// These and a medium.
    #[must_use]
    pub fn and_medium(&self, medium: Medium) -> Self {
        Self {
            media: self.media.with(medium),
            ..self.clone()
        }
    }

    /// These and an obstacle.
    #[must_use]
    pub fn and_obstacle(&self, obstacle: Obstacle) -> Self {
        let mut bars = self.clone();
        bars.obstacles.push(obstacle);
        bars
    }

    pub(crate) fn bar(
        &self,
        medium: Medium,
        holes: Option<&Holes>,
        hazard: Option<Hazard>,
    ) -> bool {
        self.media.holds(medium)
            || holes.is_some_and(|holes| self.obstacles.contains(&holes.obstacle))
            || hazard.is_some_and(|hazard| self.hazards.contains(&hazard))
    }
}
