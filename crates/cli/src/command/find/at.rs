//! What stops a loudspeaker at a place that somebody points at?

use analysis::Analysis;
use clap::Args;
use model::Space;
use view::LoudspeakerAt;

use super::{length, listed, spot_text};
use crate::failure::Failure;
use crate::name;
use crate::report::Page;

/// A place of a loudspeaker's middle.
#[derive(Args)]
pub(super) struct Place {
    /// For a loudspeaker at a place: the wall that it is on, `ceiling` or `floor`.
    #[arg(long, value_name = "SURFACE")]
    on: Option<String>,
    /// On a wall: from its left corner as seen from inside to the loudspeaker's middle.
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "height",
        conflicts_with = "from"
    )]
    from_left: Option<String>,
    /// On a wall: from the floor to the loudspeaker's middle.
    #[arg(long, value_name = "LENGTH", requires = "from_left")]
    height: Option<String>,
    /// On ceiling or floor: a wall and how far off it the middle is; given twice.
    #[arg(long, num_args = 2, value_names = ["WALL", "LENGTH"])]
    from: Vec<String>,
}

/// What stops it there.
pub(super) fn found(
    analysis: &Analysis,
    space: &Space,
    item: Option<&str>,
    place: &Place,
) -> Result<LoudspeakerAt, Failure> {
    let loudspeakers = || {
        let zones = analysis
            .zones_in(space)
            .filter(|zone| zone.layout.is_some());
        let items = zones.flat_map(|zone| analysis.loudspeakers_of(zone));
        items.map(|(item, _)| item.id.as_str())
    };
    let item = item.ok_or_else(|| asked("which loudspeaker", "`--item ID`"))?;
    if loudspeakers().next().is_none() {
        let reason = "no loudspeaker of this space plays a channel of a layout".to_owned();
        return Err(Failure::Place { reason });
    }
    if !loudspeakers().any(|id| id == item) {
        return Err(name::unknown(
            "loudspeaker of a layout",
            item,
            loudspeakers(),
            "",
        ));
    }
    let surface = place.on.as_deref();
    let surface =
        surface.ok_or_else(|| asked("where", "`--on` with a wall, `ceiling` or `floor`"))?;
    let at = match space.wall(surface) {
        Some(_) => on_wall(place)?,
        None if ["ceiling", "floor"].contains(&surface) => in_plan(analysis, space, place)?,
        None => {
            let walls = space.walls.iter().map(|wall| wall.id.as_str());
            let surfaces = walls.chain(["ceiling", "floor"]);
            return Err(name::unknown("surface", surface, surfaces, ""));
        }
    };
    match view::loudspeaker_at(analysis, item, surface, at) {
        Some(found) => found.map_err(|needs| Failure::Place {
            reason: format!("needs {needs}"),
        }),
        None => Err(name::unknown("loudspeaker", item, loudspeakers(), "")),
    }
}

fn on_wall(place: &Place) -> Result<[f64; 2], Failure> {
    match (&place.from_left, &place.height) {
        (Some(from_left), Some(height)) => Ok([length(from_left)?, length(height)?]),
        _ => Err(asked(
            "where on the wall",
            "`--from-left LENGTH --height LENGTH`",
        )),
    }
}

fn in_plan(analysis: &Analysis, space: &Space, place: &Place) -> Result<[f64; 2], Failure> {
    let [wall_a, off_a, wall_b, off_b] = place.from.as_slice() else {
        let how = "`--from WALL LENGTH` twice, with two walls that meet";
        return Err(asked("where in plan", how));
    };
    let wall = |written: &str| {
        let walls = || space.walls.iter().map(|wall| wall.id.as_str());
        let known = space.wall(written);
        known.ok_or_else(|| name::unknown("wall", written, walls(), ""))
    };
    let walls = [
        (wall(wall_a)?, length(off_a)?),
        (wall(wall_b)?, length(off_b)?),
    ];
    view::place_in_plan(analysis, space, walls).map_err(|needs| Failure::Place {
        reason: format!("needs {needs}"),
    })
}

fn asked(what: &str, how: &str) -> Failure {
    Failure::Place {
        reason: format!("say {what}: {how}"),
    }
}

pub(super) fn text(found: &LoudspeakerAt) -> String {
    let mut page = Page::default();
    page.wrapped(0, &found.says);
    listed(&mut page, "What stops it here", &found.stops);
    spot_text(&mut page, found.spot.as_ref());
    page.text()
}
