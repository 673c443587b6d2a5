//! The shop's own catalogue: entries, and tables that become entries.

use std::collections::BTreeMap;

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use catalogue::{Column, Entry, Fact, Rejected, Table};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use store::CatalogueEntry;

use crate::clock::now;
use crate::describe::kinds::{BYTES, CSV};
use crate::describe::{Answers, Body, Bytes, Endpoint, File, Operation, Path, Query, Shapes};
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get("/api/catalogue", "Every entry, by kind", all),
        Endpoint::put(
            "/api/catalogue/{kind}/{id}",
            "Puts an entry in the place of its id",
            put,
        ),
        Endpoint::delete("/api/catalogue/{kind}/{id}", "Takes an entry out", remove),
        Endpoint::post(
            "/api/catalogue/read",
            "Reads a CSV or XLSX table, and guesses what its columns hold",
            read,
        )
        .refuses(&[404, 422])
        .takes(TABLE_BYTES_MAX),
        Endpoint::post(
            "/api/catalogue/import",
            "Takes the rows of a table that was read as entries",
            import,
        )
        .refuses(&[404]),
        Endpoint::get(
            "/api/catalogue/export",
            "The entries of a kind as a table",
            export,
        )
        .refuses(&[404]),
    ]
}

/// The largest table that is read at once.
const TABLE_BYTES_MAX: usize = 20_000_000;

/// A kind of kit and its entries.
#[derive(Serialize, JsonSchema)]
struct CatalogueKind {
    /// The word after `kit.` in a job file.
    kind: String,
    /// Its entries.
    entries: Vec<Line>,
    /// What an entry of it may say, in the order of a spec sheet.
    facts: Vec<FactLine>,
}

/// An entry.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "CatalogueEntry")]
struct Line {
    /// Its id.
    id: String,
    /// Its name; the id when it has none.
    name: String,
    /// What its spec sheet says, as a job file writes it.
    facts: Map<String, Value>,
    /// When it was last changed, RFC 3339.
    changed: String,
}

/// A fact that an entry may have.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "CatalogueFact")]
struct FactLine {
    /// Its path in the entry.
    path: String,
    /// Its name for people.
    label: String,
    /// What it is.
    help: String,
}

async fn all(state: State) -> Result<Json<Vec<CatalogueKind>>, Error> {
    let mut entries: BTreeMap<String, Vec<Line>> = BTreeMap::new();
    for entry in state.store().catalogue().await? {
        let named = entry.facts.get("name").and_then(Value::as_str);
        entries.entry(entry.kind).or_default().push(Line {
            name: named.unwrap_or(&entry.id).to_owned(),
            id: entry.id,
            facts: entry.facts,
            changed: entry.changed.to_string(),
        });
    }
    let kinds = catalogue::kinds().into_iter().map(|kind| CatalogueKind {
        entries: entries.remove(&kind).unwrap_or_default(),
        facts: (catalogue::facts(&kind).unwrap_or_default().into_iter())
            .map(|fact| FactLine {
                path: fact.path,
                label: fact.label,
                help: fact.help,
            })
            .collect(),
        kind,
    });
    Ok(Json(kinds.collect()))
}

/// What a spec sheet says.
#[derive(Deserialize, JsonSchema)]
struct Facts {
    /// As a job file writes it.
    facts: Map<String, Value>,
}

async fn put(
    state: State,
    Path((kind, id)): Path<(String, String)>,
    Body(Facts { mut facts }): Body<Facts>,
) -> Result<StatusCode, Error> {
    facts_of(&kind)?;
    facts.insert("id".to_owned(), id.clone().into());
    reads(&kind, &id, &facts)?;
    let changed = now();
    let entry = CatalogueEntry {
        kind,
        id,
        facts,
        changed,
    };
    state.store().put_in_catalogue(&[entry]).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// An entry is good when a job that holds nothing else reads.
fn reads(kind: &str, id: &str, facts: &Map<String, Value>) -> Result<(), Error> {
    let mut entry = Map::new();
    entry.insert(
        kind.to_owned(),
        Value::Array(vec![Value::Object(facts.clone())]),
    );
    let document = "format = 1\n[job]\nname = \"catalogue\"\n";
    let edit = model::Edit::set("kit", Value::Object(entry));
    let text = model::edited_text(document, &[edit])?;
    match model::read(&text, &[]) {
        Ok(_) => Ok(()),
        Err(problems) => {
            let mut error = crate::error::bad_document("", &problems);
            error.says.problems.clear();
            if let Some(at) = &error.says.at {
                // The page's fields are those of the entry.
                let own = at.strip_prefix(&format!("kit.{kind}.{id}.")).unwrap_or(at);
                error.says.at = Some(own.to_owned());
            }
            Err(error)
        }
    }
}

async fn remove(
    state: State,
    Path((kind, id)): Path<(String, String)>,
) -> Result<StatusCode, Error> {
    match state.store().take_from_catalogue(&kind, &id).await? {
        true => Ok(StatusCode::NO_CONTENT),
        false => Err(Error::not_found(
            format!("the catalogue has no {kind} `{id}`"),
            "somebody may have taken it out before: load the page again",
        )),
    }
}

/// Which table.
#[derive(Deserialize, JsonSchema)]
struct Which {
    /// What its rows are.
    kind: String,
    /// The file's name.
    #[serde(default)]
    name: String,
    /// The sheet of a workbook; the first with a table when left out.
    #[serde(default)]
    sheet: Option<String>,
}

/// A table that was read, and what its columns seem to hold.
#[derive(Serialize, JsonSchema)]
struct CatalogueRead {
    /// Under which it can be imported for a while.
    key: String,
    /// The file's name.
    name: String,
    /// The sheets of a workbook.
    sheets: Vec<String>,
    /// Its columns.
    columns: Vec<CatalogueColumn>,
    /// How many rows stand below the head.
    rows: usize,
}

/// A column of a table.
#[derive(Serialize, JsonSchema)]
struct CatalogueColumn {
    /// From 0.
    index: usize,
    /// Its head.
    head: String,
    /// The fact that it seems to hold.
    fact: Option<String>,
    /// The unit of its bare numbers.
    unit: Option<String>,
    /// The unit stands neither in the head nor in the cells.
    guessed: bool,
    /// Its first cells.
    sample: Vec<String>,
}

/// Cells shown of each column.
const SAMPLE: usize = 4;

async fn read(
    state: State,
    Query(which): Query<Which>,
    Bytes(bytes): Bytes,
) -> Result<Json<CatalogueRead>, Error> {
    let facts = facts_of(&which.kind)?;
    let tables = state.tables().clone();
    let work = move || {
        let table = Table::read(&bytes, which.sheet.as_deref()).map_err(|error| {
            Error::refused(
                error.to_string(),
                "save it as CSV or XLSX and send it again",
            )
        })?;
        let columns = catalogue::guess(&table, &facts);
        let columns = (columns.into_iter()).map(|column| CatalogueColumn {
            head: table.heads.get(column.index).cloned().unwrap_or_default(),
            sample: (table.rows.iter())
                .filter_map(|row| row.cells.get(column.index))
                .filter(|cell| !cell.is_empty())
                .take(SAMPLE)
                .cloned()
                .collect(),
            index: column.index,
            fact: column.fact,
            unit: column.unit,
            guessed: column.unit_is_guessed,
        });
        Ok::<_, Error>(CatalogueRead {
            columns: columns.collect(),
            sheets: Table::sheets(&bytes),
            rows: table.rows.len(),
            name: which.name,
            key: tables.put(table),
        })
    };
    let read = tokio::task::spawn_blocking(work).await;
    read.map_err(Error::fault)?.map(Json)
}

/// How a table's rows become entries.
#[derive(Deserialize, JsonSchema)]
struct Import {
    /// The table's, as it was read.
    key: String,
    /// What its rows are.
    kind: String,
    /// What its columns hold; one that is left out holds nothing.
    columns: Vec<Chosen>,
}

/// What a column holds.
#[derive(Deserialize, JsonSchema)]
struct Chosen {
    /// The column, from 0.
    index: usize,
    /// The fact's path; nothing leaves the column out.
    #[serde(default)]
    fact: Option<String>,
    /// The unit of its bare numbers.
    #[serde(default)]
    unit: Option<String>,
}

/// What came of a table.
#[derive(Serialize, JsonSchema)]
struct CatalogueReport {
    /// Rows that are entries now.
    accepted: usize,
    /// Of those, how many took the place of an entry with the same id.
    replaced: usize,
    /// Rows that are none, and why.
    rejected: Vec<Rejected>,
}

async fn import(state: State, Body(asked): Body<Import>) -> Result<Json<CatalogueReport>, Error> {
    let facts = facts_of(&asked.kind)?;
    let table = state.tables().get(&asked.key).ok_or_else(|| {
        Error::not_found("the table was read too long ago", "choose the file again")
    })?;
    let columns: Vec<Column> = (asked.columns.into_iter())
        .map(|column| Column {
            index: column.index,
            fact: column.fact,
            unit: column.unit,
            unit_is_guessed: false,
        })
        .collect();
    let kind = asked.kind.clone();
    let work = move || catalogue::import(&table, &kind, &facts, &columns);
    let imported = tokio::task::spawn_blocking(work)
        .await
        .map_err(Error::fault)?;
    let known = state.store().catalogue().await?;
    let is_known =
        |entry: &&Entry| (known.iter()).any(|one| one.kind == asked.kind && one.id == entry.id);
    let replaced = imported.entries.iter().filter(is_known).count();
    let changed = now();
    let entries: Vec<CatalogueEntry> = (imported.entries.into_iter())
        .map(|entry| CatalogueEntry {
            kind: asked.kind.clone(),
            id: entry.id,
            facts: entry.facts,
            changed: changed.clone(),
        })
        .collect();
    state.store().put_in_catalogue(&entries).await?;
    Ok(Json(CatalogueReport {
        accepted: entries.len(),
        replaced,
        rejected: imported.rejected,
    }))
}

/// Which entries, and how.
#[derive(Deserialize, JsonSchema)]
struct Export {
    /// What they are.
    kind: String,
    /// As what.
    #[serde(rename = "as")]
    as_: Form,
}

/// A form of table.
#[derive(Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Form {
    /// Plain text.
    Csv,
    /// A workbook.
    Xlsx,
}

/// A table in either form.
enum Exported {
    Csv(File<CSV>),
    Xlsx(File<BYTES>),
}

impl IntoResponse for Exported {
    fn into_response(self) -> Response {
        match self {
            Self::Csv(file) => file.into_response(),
            Self::Xlsx(file) => file.into_response(),
        }
    }
}

impl Answers for Exported {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        File::<CSV>::describe(operation, shapes);
        File::<BYTES>::describe(operation, shapes);
    }
}

async fn export(state: State, Query(asked): Query<Export>) -> Result<Exported, Error> {
    let facts = facts_of(&asked.kind)?;
    let entries: Vec<Entry> = (state.store().catalogue().await?.into_iter())
        .filter(|entry| entry.kind == asked.kind)
        .map(|entry| Entry {
            id: entry.id,
            facts: entry.facts,
        })
        .collect();
    let kind = asked.kind;
    Ok(match asked.as_ {
        Form::Csv => {
            let bytes = catalogue::csv(&entries, &facts);
            Exported::Csv(File::named(bytes, format!("{kind}.csv")))
        }
        Form::Xlsx => {
            let bytes = catalogue::xlsx(&entries, &facts, &kind).map_err(Error::fault)?;
            Exported::Xlsx(File::named(bytes, format!("{kind}.xlsx")))
        }
    })
}

fn facts_of(kind: &str) -> Result<Vec<Fact>, Error> {
    catalogue::facts(kind).ok_or_else(|| {
        Error::not_found(
            format!("there is no kind of kit `{kind}`"),
            format!("there are: {}", catalogue::kinds().join(", ")),
        )
    })
}
