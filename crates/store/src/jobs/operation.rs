//! Does each operation once, and gives the same answer when it is sent again.

use serde::Serialize;
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use sqlx::AnyConnection;

use crate::StoreError;
use crate::database::Fault;
use crate::jobs::revision::{from_json, hex, json, text};

/// A digest of what is asked, to tell a repetition from a number used twice. When it is asked
/// is left out: a phone that had no answer asks again later.
pub(crate) fn digest<T: Serialize>(request: &T) -> String {
    hex(&Sha256::digest(json(request)))
}

/// The answer that was given to this operation before, if it was done.
pub(crate) async fn answered<T: DeserializeOwned>(
    connection: &mut AnyConnection,
    op: &str,
    request: &str,
) -> Result<Option<T>, Fault> {
    let row = sqlx::query("SELECT request, answer FROM operation WHERE op = $1")
        .bind(op)
        .fetch_optional(connection)
        .await?;
    let Some(row) = row else {
        return Ok(None);
    };
    if text(&row, "request")? != request {
        return Err(StoreError::OpReused(op.to_owned()).into());
    }
    from_json("an answer", &text(&row, "answer")?).map(Some)
}

/// Keeps the answer, in the transaction of what was done.
pub(crate) async fn answer<T: Serialize>(
    connection: &mut AnyConnection,
    op: &str,
    request: &str,
    answer: &T,
) -> Result<(), Fault> {
    sqlx::query("INSERT INTO operation (op, request, answer) VALUES ($1, $2, $3)")
        .bind(op)
        .bind(request)
        .bind(json(answer))
        .execute(connection)
        .await?;
    Ok(())
}
