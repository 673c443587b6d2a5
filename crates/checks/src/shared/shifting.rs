//! Where along or up its wall a thing is clear of its neighbours, and whether one of them
//! can make room.

use analysis::{Analysis, Uncertain, item_label};
use geometry::Rect;
use model::{Edit, Fixture, FixtureKind, Space};
use units::{Dimension, step};

use crate::moves::{
    Placed, Round, along_together, least_change, raised_together, text_of, to_spare, written_length,
};
use crate::neighbours::{Hanging, Neighbour, best};
use crate::obstacles::Thing;
use crate::{Caution, Remedy};

/// Fixtures are not moved further than this, m: farther, and the wall is planned anew.
const FIXTURE_MOST_M: f64 = 0.5;
/// How finely a wall is searched for a free stretch, m.
const SEARCH_STEP_M: f64 = 0.01;

/// A direction along a wall.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way {
    words: &'static str,
    right: f64,
    up: f64,
}

impl Way {
    /// Whether it goes along the wall and not up or down it.
    pub fn is_along(self) -> bool {
        self.up == 0.0
    }
}

/// The four ways along a wall.
pub(crate) const WAYS: [Way; 4] = [
    Way {
        words: "to the left",
        right: -1.0,
        up: 0.0,
    },
    Way {
        words: "to the right",
        right: 1.0,
        up: 0.0,
    },
    Way {
        words: "up",
        right: 0.0,
        up: 1.0,
    },
    Way {
        words: "down",
        right: 0.0,
        up: -1.0,
    },
];

/// A thing on a wall among its neighbours.
pub(crate) struct Shifting<'a> {
    pub analysis: &'a Analysis,
    pub space: &'a Space,
    pub hanging: &'a Hanging<'a>,
    pub obstacles: &'a [Neighbour<'a>],
    /// The least gap that is asked for, m.
    pub least_m: f64,
}

impl Shifting<'_> {
    /// The gap to a neighbour that is known to be enough, m.
    pub fn target(&self, gap: &Uncertain) -> f64 {
        gap.value() - to_spare(&(gap - self.least_m), 0.0)
    }

    /// Whether the thing there spoils a gap that is good where it hangs.
    pub fn spoils(&self, outside: Rect) -> bool {
        let now = best(&self.hanging.outside);
        self.obstacles.iter().any(|obstacle| {
            let there = (obstacle.gap_of)(outside);
            there < self.least_m && there < (obstacle.gap_of)(now)
        })
    }

    /// Moves the thing that way to the nearest place that is clear, and how far that is, m.
    pub fn moved(
        &self,
        way: Way,
        most_m: f64,
        is_clear: impl Fn(Rect) -> bool,
    ) -> Option<(f64, Remedy)> {
        let analysis = self.analysis;
        let now = best(&self.hanging.outside);
        // A tape's step further still has to serve.
        let step_m = step(analysis.printer().system, Dimension::Length, None);
        let serves = |by: f64| {
            [by, by + step_m]
                .into_iter()
                .all(|by| is_clear(shifted(now, way.right * by, way.up * by)))
        };
        let strides = (most_m / SEARCH_STEP_M) as u32;
        let mut by_m = (1..=strides)
            .map(|stride| f64::from(stride) * SEARCH_STEP_M)
            .find(|by| serves(*by))?;
        let mut short = by_m - SEARCH_STEP_M;
        // 14 halvings leave less than a micrometre.
        for _ in 0..14 {
            let middle = (short + by_m) / 2.0;
            if serves(middle) {
                by_m = middle;
            } else {
                short = middle;
            }
        }
        let (edits, from) = if way.is_along() {
            let edits = along_together(analysis, self.hanging.item, way.right * by_m)?;
            (edits, "from the wall's left corner")
        } else {
            let edits = raised_together(analysis, self.hanging.item, way.up * by_m, None)?;
            (edits, "above the floor")
        };
        let says = format!(
            "Move {} {} {}, to {} {from}.",
            item_label(self.hanging.item),
            written_length(analysis, by_m, Round::Up),
            way.words,
            text_of(edits.first()?),
        );
        Some((by_m, Remedy::new(says, edits)))
    }

    /// Wall lights, switches and thermostats can be moved; the shortest way wins.
    pub fn move_fixture(&self, obstacle: &Neighbour<'_>, target_m: f64) -> Option<Remedy> {
        let Some(Thing::Fixture(fixture)) = obstacle.thing else {
            return None;
        };
        let movable = matches!(
            fixture.kind,
            FixtureKind::WallLight | FixtureKind::Switch | FixtureKind::Thermostat
        );
        let on = fixture.on.as_ref().filter(|_| movable)?;
        let wall = self.space.wall(&on.wall)?;
        let analysis = self.analysis;
        let rect = best(&analysis.fixture_rect(self.space, fixture)?.ok()?);
        let length = analysis.shape(self.space).wall_length(wall).ok()?.value();
        let on_this_wall = wall == self.hanging.outside.wall;
        let now = best(&self.hanging.outside);
        // The fixture's own place is measured anew, as well as the survey measures.
        let target_m = target_m + 0.005;
        let (by, words, edit) = WAYS
            .into_iter()
            .filter(|way| on_this_wall || way.right == 0.0)
            .filter_map(|way| {
                let by = least_change(FIXTURE_MOST_M, |by| {
                    (obstacle.gap_of)(shifted(now, -way.right * by, -way.up * by)) - target_m
                })?;
                let there = shifted(rect, way.right * by, way.up * by);
                let stays = there.left_m >= 0.0 && there.right_m <= length && there.bottom_m >= 0.0;
                let edit = self.fixture_edit(fixture, way, by)?;
                stays.then_some((by, way.words, edit))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let says = format!(
            "Have a licensed electrician move {} {} {words}.",
            fixture.id.replace('-', " "),
            written_length(analysis, by, Round::Up),
        );
        Some(Remedy::new(says, vec![edit]).caution(Caution::Mains))
    }

    fn fixture_edit(&self, fixture: &Fixture, way: Way, by_m: f64) -> Option<Edit> {
        let place = Placed::fixture(self.space, fixture);
        if way.right == 0.0 {
            return place.raised(self.analysis, way.up * by_m);
        }
        let shape = self.analysis.shape(self.space);
        let (_, along, _) = shape.wall_frame(self.hanging.outside.wall).ok()?;
        let round = if way.right > 0.0 {
            Round::Up
        } else {
            Round::Down
        };
        place.in_plan(self.analysis, along.value(), way.right * by_m, round)
    }
}

/// A rectangle elsewhere on its wall.
pub(crate) fn shifted(rect: Rect, right_m: f64, up_m: f64) -> Rect {
    Rect {
        left_m: rect.left_m + right_m,
        right_m: rect.right_m + right_m,
        bottom_m: rect.bottom_m + up_m,
        top_m: rect.top_m + up_m,
    }
}
