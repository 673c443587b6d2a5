//! Copies every row of one database into another, whichever kinds they are.

use sqlx::{AnyConnection, AssertSqlSafe, Executor, Row};

use crate::database::Fault;

/// Every table, those that others point to first: columns of text, then of numbers.
const TABLES: &[(&str, &[&str], &[&str])] = &[
    (
        "job",
        &["id", "name", "changed", "removed", "removed_by"],
        &["head"],
    ),
    (
        "revision",
        &[
            "job", "kind", "body", "who", "made", "summary", "edits", "reverse", "touched", "seal",
        ],
        &["number", "base", "target"],
    ),
    ("revision_name", &["job", "name"], &["number"]),
    ("operation", &["op", "request", "answer"], &[]),
    (
        "contested",
        &[
            "job",
            "fact",
            "reason",
            "stands",
            "earlier",
            "earlier_who",
            "earlier_made",
            "later",
            "later_who",
            "later_made",
        ],
        &[
            "number",
            "earlier_revision",
            "later_revision",
            "withdrawn",
            "resolved_by",
            "resolution_undone",
        ],
    ),
    ("catalogue", &["kind", "id", "facts", "changed"], &[]),
    (
        "photograph",
        &[
            "op", "job", "hash", "pinned", "place", "caption", "who", "made", "removed",
        ],
        &[],
    ),
    ("tick", &["op", "job", "task", "who", "made"], &["done"]),
    (
        "session",
        &["token", "device", "role", "created", "expires", "revoked"],
        &[],
    ),
];

/// Rows read at a time: a revision has some ten kilobytes.
const ROWS_AT_ONCE: i64 = 500;

/// Empties every table.
pub(super) async fn clear(to: &mut AnyConnection) -> Result<(), Fault> {
    for (table, ..) in TABLES.iter().rev() {
        let statement = AssertSqlSafe(format!("DELETE FROM {table}"));
        to.execute(statement).await?;
    }
    Ok(())
}

/// Adds every row of one database to another of the same format.
pub(super) async fn copy(from: &mut AnyConnection, to: &mut AnyConnection) -> Result<(), Fault> {
    for (table, texts, numbers) in TABLES {
        let columns = [*texts, *numbers].concat();
        let listed = columns.join(", ");
        let places: Vec<String> = (1..=columns.len())
            .map(|place| format!("${place}"))
            .collect();
        let places = places.join(", ");
        // In a fixed order, so that the pages fit together.
        let read = format!("SELECT {listed} FROM {table} ORDER BY {listed} LIMIT $1 OFFSET $2");
        let write = format!("INSERT INTO {table} ({listed}) VALUES ({places})");
        let mut offset = 0_i64;
        loop {
            let rows = sqlx::query(AssertSqlSafe(read.as_str()))
                .bind(ROWS_AT_ONCE)
                .bind(offset)
                .fetch_all(&mut *from)
                .await?;
            for row in &rows {
                let mut insert = sqlx::query(AssertSqlSafe(write.as_str()));
                for column in *texts {
                    insert = insert.bind(row.try_get::<Option<String>, _>(*column)?);
                }
                for column in *numbers {
                    insert = insert.bind(row.try_get::<Option<i64>, _>(*column)?);
                }
                insert.execute(&mut *to).await?;
            }
            let count = i64::try_from(rows.len()).unwrap_or(ROWS_AT_ONCE);
            if count < ROWS_AT_ONCE {
                break;
            }
            offset += count;
        }
    }
    Ok(())
}
