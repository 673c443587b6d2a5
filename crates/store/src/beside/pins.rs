//! Where is a photograph pinned once its wall has another name?
//!
//! Rows are never changed: a pin says what its wall was called when the picture was taken. Who
//! reads it follows the names that the wall was given since, undone ones included.

use model::Edit;
use sqlx::{AnyConnection, Row};

use crate::beside::Photograph;
use crate::database::Fault;
use crate::jobs::{from_json, text};

/// Pins photographs to what their walls are called now.
pub(crate) async fn follow_names(
    connection: &mut AnyConnection,
    job: &str,
    photographs: &mut [Photograph],
) -> Result<(), Fault> {
    let pinned = photographs
        .iter()
        .filter(|one| wall_of(&one.pinned).is_some());
    let Some(since) = pinned.map(|one| &one.when).min().cloned() else {
        return Ok(());
    };
    // A wall's own name is the only `id` that an edit sets.
    let rows = sqlx::query(
        "SELECT made, edits FROM revision WHERE job = $1 AND made >= $2 \
         AND edits LIKE '%.walls.%.id\"%' ORDER BY number",
    )
    .bind(job)
    .bind(since.as_str())
    .fetch_all(connection)
    .await?;
    for row in rows {
        let made: String = row.try_get("made")?;
        for edit in from_json::<Vec<Edit>>("edits", &text(&row, "edits")?)? {
            let Some((wall, name)) = renamed(&edit) else {
                continue;
            };
            for one in photographs.iter_mut() {
                if one.when.as_str() <= made.as_str()
                    && let Some((space, pinned)) = wall_of(&one.pinned)
                    && (space, pinned) == wall
                {
                    one.pinned = format!("space.{space}.walls.{name}");
                }
            }
        }
    }
    Ok(())
}

/// The space and the wall of a path that ends there.
fn wall_of(path: &str) -> Option<(&str, &str)> {
    let (space, wall) = path.strip_prefix("space.")?.split_once(".walls.")?;
    (!wall.contains('.')).then_some((space, wall))
}

/// The wall of an edit that gives one another name, and the name.
fn renamed(edit: &Edit) -> Option<((&str, &str), &str)> {
    let wall = wall_of(edit.at.strip_suffix(".id")?)?;
    Some((wall, edit.set.as_ref()?.as_str()?))
}
