//! Where is a photograph pinned once its wall has another name?
//!
//! Rows are never changed: a pin says what its wall was called when the picture was taken. Who
//! reads it follows the names that the wall was given since, undone ones included.

use std::collections::BTreeMap;

use model::Edit;
use sqlx::AnyConnection;

use crate::beside::Photograph;
use crate::database::Fault;
use crate::jobs::{Kind, from_json, kind, number, target, text, when};

/// Another name of a wall: its space, the name before and the one after.
type Renamed = [String; 3];

/// Pins photographs to what their walls are called now.
pub(crate) async fn follow_names(
    connection: &mut AnyConnection,
    job: &str,
    photographs: &mut [Photograph],
) -> Result<(), Fault> {
    if photographs.iter().all(|one| wall_of(&one.pinned).is_none()) {
        return Ok(());
    }
    // A wall's own name is the only `id` that an edit sets. What is taken back or made again has
    // no edits of its own.
    let rows = sqlx::query(
        "SELECT number, kind, made, target, edits FROM revision WHERE job = $1 \
         AND (edits LIKE '%.walls.%.id\"%' OR target IS NOT NULL) ORDER BY number",
    )
    .bind(job)
    .fetch_all(connection)
    .await?;
    let mut renames: BTreeMap<u64, Vec<Renamed>> = BTreeMap::new();
    for row in rows {
        let edits = from_json::<Vec<Edit>>("edits", &text(&row, "edits")?)?;
        let mut own: Vec<Renamed> = edits.iter().filter_map(renamed).collect();
        if let Some(target) = target(&row)?
            && let Some(theirs) = renames.get(&target)
        {
            own = theirs.clone();
            if kind(&row)? == Kind::Undo {
                own.reverse();
                own.iter_mut()
                    .for_each(|[_, from, to]| std::mem::swap(from, to));
            }
        }
        let made = when(&row, "made")?;
        for [space, from, to] in &own {
            for one in photographs.iter_mut() {
                if one.when <= made && wall_of(&one.pinned) == Some((space.as_str(), from.as_str()))
                {
                    one.pinned = format!("space.{space}.walls.{to}");
                }
            }
        }
        renames.insert(number(&row, "number")?, own);
    }
    Ok(())
}

/// The space and the wall of a path that ends there.
fn wall_of(path: &str) -> Option<(&str, &str)> {
    let (space, wall) = path.strip_prefix("space.")?.split_once(".walls.")?;
    (!wall.contains('.')).then_some((space, wall))
}

/// What an edit that gives a wall another name changes.
fn renamed(edit: &Edit) -> Option<Renamed> {
    let (space, from) = wall_of(edit.at.strip_suffix(".id")?)?;
    let to = edit.set.as_ref()?.as_str()?;
    Some([space, from, to].map(str::to_owned))
}
