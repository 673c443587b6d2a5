//! Do the walls close, and which measurement would explain it if they do not?

use analysis::{Closure, Observation, Suspect};
use serde_json::json;
use units::Dimension;

use super::{Closes, WalkSuspect};
use crate::Edit;
use crate::fact;
use crate::moves::written_like;
use crate::scene::{self, Ground};
use crate::words::{list, words};

/// More than these can't be told apart by anybody.
const SUSPECTS_SHOWN: usize = 4;

/// How well the walls close, or what must be measured before that can be tried.
pub(super) fn closes(ground: &Ground<'_>) -> (Option<Closes>, Option<String>) {
    let (analysis, shape, space) = (ground.analysis, ground.shape, ground.space);
    let failed = shape.failed_closure();
    let closure = match (failed, shape.closure()) {
        (Some(failed), _) => &failed.closure,
        (None, Ok(closure)) => closure,
        (None, Err(missing)) => return (None, Some(format!("Needs {missing}."))),
    };
    if !closure.inferred.is_empty() {
        let names = closure
            .inferred
            .iter()
            .map(|wall| words(&space.walls[*wall].id));
        let names: Vec<String> = names.collect();
        let [are, them] = match names.len() {
            1 => ["is", "it"],
            _ => ["are", "them"],
        };
        let over = closure.distance() / closure.limit();
        let rest = match over > 1.0 {
            true => format!(
                ", and these can't be right: with corners as told they disagree by {over:.1} times what chance explains. Look for a corner that is not square and for a wall that is left out, and measure {them} too."
            ),
            false => format!(", so nothing proves the survey: measure {them} too."),
        };
        return (
            None,
            Some(format!(
                "{} {are} worked out from the other walls{rest}",
                list(&names)
            )),
        );
    }
    let [miss_m, limit_m] = scene::misclosure_m(closure);
    let closed = failed.is_none() && closure.distance() <= closure.limit();
    let miss = scene::length(analysis, miss_m);
    let limit = scene::length(analysis, limit_m);
    let mut says = format!(
        "The walk ends {miss} from where it begins; measured as well as it says, it may by {limit}."
    );
    if let Some(failed) = failed {
        says += &format!(" The walls enclose no room: {}.", failed.fault.words(space));
    } else if closed {
        says += " The walls close.";
    } else {
        says += &format!(
            " Walls, corners and diagonals together disagree by {:.1} times what chance explains.",
            closure.distance() / closure.limit()
        );
    }
    let first = closure
        .suspects
        .first()
        .and_then(|suspect| suspect.decide_with);
    let decide_with = first.filter(|_| closure.suspects.len() > 1);
    if let Some([from, to]) = decide_with {
        // Corner `i` is the left end of wall `i`.
        let end = |corner: usize| format!("the left end of wall {}", space.walls[corner].id);
        says += &format!(
            " To tell which is wrong, measure the diagonal from {} to {}.",
            end(from),
            end(to)
        );
    }
    let closes = Closes {
        closed,
        misclosure_text: miss,
        limit_text: limit,
        decide_with: decide_with
            .map(|corners| corners.map(|corner| format!("{}.left", space.walls[corner].id))),
        says,
        suspects: (closure.suspects.iter())
            .take(SUSPECTS_SHOWN)
            .map(|suspect| told(ground, closure, suspect))
            .collect(),
    };
    (Some(closes), None)
}

fn told(ground: &Ground<'_>, closure: &Closure, suspect: &Suspect) -> WalkSuspect {
    let (analysis, space) = (ground.analysis, ground.space);
    let meant = suspect.slip.map_or(suspect.needed, |slip| slip.value());
    let (wall, name, dimension) = match suspect.observation {
        Observation::Length(wall) => {
            let id = &space.walls[wall].id;
            (Some(id), format!("wall {id}"), Dimension::Length)
        }
        Observation::Angle(wall) => {
            let id = &space.walls[wall].id;
            (
                Some(id),
                format!("the corner at the right end of wall {id}"),
                Dimension::Angle,
            )
        }
        Observation::Diagonal(index) => {
            (None, format!("diagonal {}", index + 1), Dimension::Length)
        }
    };
    let at = closure.path_of(space, suspect);
    let like = fact::measurement(analysis.job(), &at);
    let text = match dimension {
        Dimension::Angle => format!("{:.1} deg", meant.to_degrees()),
        _ => written_like(
            analysis.printer(),
            meant,
            like.map(|like| like.text.as_str()),
        ),
    };
    let slip = suspect
        .slip
        .map_or(String::new(), |slip| format!(" ({slip})"));
    WalkSuspect {
        wall: wall.cloned(),
        says: format!(
            "Measure {name} again; if it is {}{slip}, write that.",
            analysis.exact(meant, dimension)
        ),
        edit: Edit {
            at,
            set: Some(json!(text)),
        },
    }
}
