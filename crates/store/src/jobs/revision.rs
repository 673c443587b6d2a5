//! Revisions as rows, each sealed by a hash of all that it says.

use model::Edit;
use serde::Serialize;
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, Row};

use crate::database::Fault;
use crate::jobs::{Kind, Revision};
use crate::{StoreError, When};

/// A number as the database keeps it.
pub(crate) fn shown_number(number: u64) -> i64 {
    // More revisions than that are never asked for in earnest: such a number finds nothing.
    i64::try_from(number).unwrap_or(i64::MAX)
}

pub(crate) fn json<T: Serialize>(value: &T) -> String {
    serde_json::to_string(value).expect("facts and edits are plain JSON")
}

pub(crate) fn from_json<T: DeserializeOwned>(what: &str, text: &str) -> Result<T, Fault> {
    serde_json::from_str(text).map_err(|error| Fault::Damage(format!("{what}: {error}")))
}

pub(crate) fn number(row: &AnyRow, column: &str) -> Result<u64, Fault> {
    let number: i64 = row.try_get(column)?;
    u64::try_from(number).map_err(|_| Fault::Damage(format!("{column} is {number}")))
}

pub(crate) fn text(row: &AnyRow, column: &str) -> Result<String, Fault> {
    Ok(row.try_get(column)?)
}

pub(crate) fn when(row: &AnyRow, column: &str) -> Result<When, Fault> {
    let text = text(row, column)?;
    When::parse(&text).map_err(|error| Fault::Damage(error.to_string()))
}

pub(crate) fn kind(row: &AnyRow) -> Result<Kind, Fault> {
    let word = text(row, "kind")?;
    Kind::of(&word).ok_or_else(|| Fault::Damage(format!("no kind of revision is `{word}`")))
}

/// A revision as it is kept, with the seal proved.
pub(crate) async fn read_revision(
    connection: &mut AnyConnection,
    job: &str,
    number: u64,
) -> Result<Revision, Fault> {
    let row = sqlx::query("SELECT * FROM revision WHERE job = $1 AND number = $2")
        .bind(job)
        .bind(shown_number(number))
        .fetch_optional(&mut *connection)
        .await?;
    let Some(row) = row else {
        return Err(missing(connection, job, number).await);
    };
    of_row(&row)
}

async fn missing(connection: &mut AnyConnection, job: &str, asked: u64) -> Fault {
    let head = sqlx::query("SELECT head FROM job WHERE id = $1")
        .bind(job)
        .fetch_optional(connection)
        .await;
    let row = match head {
        Ok(Some(row)) => row,
        Ok(None) => return StoreError::NoSuchJob(job.to_owned()).into(),
        Err(error) => return error.into(),
    };
    match number(&row, "head") {
        Ok(head) if asked > head || asked == 0 => StoreError::NoSuchRevision {
            job: job.to_owned(),
            number: asked,
            head,
        }
        .into(),
        Ok(_) => Fault::Damage(format!("revision {asked} of `{job}` is missing")),
        Err(fault) => fault,
    }
}

pub(crate) fn of_row(row: &AnyRow) -> Result<Revision, Fault> {
    let job = text(row, "job")?;
    let number_of = number(row, "number")?;
    let kept: String = text(row, "seal")?;
    let columns = Columns {
        job: &job,
        number: number_of,
        kind: &text(row, "kind")?,
        body: &text(row, "body")?,
        who: &text(row, "who")?,
        made: &text(row, "made")?,
        summary: &text(row, "summary")?,
        base: number(row, "base")?,
        target: target(row)?,
        edits: &text(row, "edits")?,
        reverse: &text(row, "reverse")?,
        touched: &text(row, "touched")?,
    };
    if columns.seal() != kept {
        return Err(Fault::Damage(format!(
            "revision {number_of} of `{job}` is not what was saved"
        )));
    }
    Ok(Revision {
        kind: kind(row)?,
        when: when(row, "made")?,
        number: number_of,
        text: columns.body.to_owned(),
        who: columns.who.to_owned(),
        summary: columns.summary.to_owned(),
        base: columns.base,
        target: columns.target,
        edits: from_json::<Vec<Edit>>("edits", columns.edits)?,
        reverse: from_json::<Vec<Edit>>("reverse edits", columns.reverse)?,
        touched: from_json("touched facts", columns.touched)?,
        job,
    })
}

pub(crate) fn target(row: &AnyRow) -> Result<Option<u64>, Fault> {
    let target: Option<i64> = row.try_get("target")?;
    Ok(target.and_then(|target| u64::try_from(target).ok()))
}

/// Adds a revision and makes it the job's last one. Two that race for a number: the second
/// is refused by the primary key.
pub(crate) async fn insert_revision(
    connection: &mut AnyConnection,
    revision: &Revision,
) -> Result<(), Fault> {
    let [edits, reverse] = [&revision.edits, &revision.reverse].map(json);
    let touched = json(&revision.touched);
    let columns = Columns {
        job: &revision.job,
        number: revision.number,
        kind: revision.kind.as_str(),
        body: &revision.text,
        who: &revision.who,
        made: revision.when.as_str(),
        summary: &revision.summary,
        base: revision.base,
        target: revision.target,
        edits: &edits,
        reverse: &reverse,
        touched: &touched,
    };
    sqlx::query(
        "INSERT INTO revision (job, number, kind, body, who, made, summary, base, target, edits, \
         reverse, touched, seal) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)",
    )
    .bind(columns.job)
    .bind(shown_number(columns.number))
    .bind(columns.kind)
    .bind(columns.body)
    .bind(columns.who)
    .bind(columns.made)
    .bind(columns.summary)
    .bind(shown_number(columns.base))
    .bind(columns.target.map(shown_number))
    .bind(columns.edits)
    .bind(columns.reverse)
    .bind(columns.touched)
    .bind(columns.seal())
    .execute(connection)
    .await?;
    Ok(())
}

/// A revision's row, in the order in which it is sealed.
struct Columns<'a> {
    job: &'a str,
    number: u64,
    kind: &'a str,
    body: &'a str,
    who: &'a str,
    made: &'a str,
    summary: &'a str,
    base: u64,
    target: Option<u64>,
    edits: &'a str,
    reverse: &'a str,
    touched: &'a str,
}

impl Columns<'_> {
    fn seal(&self) -> String {
        let mut hash = Sha256::new();
        let numbers = [self.number, self.base, self.target.unwrap_or(0)];
        for number in numbers {
            hash.update(number.to_be_bytes());
        }
        let texts = [
            self.job,
            self.kind,
            self.body,
            self.who,
            self.made,
            self.summary,
            self.edits,
            self.reverse,
            self.touched,
        ];
        for text in texts {
            // With its length, so that no letter can move from one column to the next.
            hash.update((text.len() as u64).to_be_bytes());
            hash.update(text);
        }
        hex(&hash.finalize())
    }
}

/// Bytes as lower-case hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
