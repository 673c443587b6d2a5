//! A job as one file to hand on: the document, its photographs, and if wanted its history.
//!
//! The file is a zip archive with `manifest.json`, `job.toml`, `history.json` and
//! `photographs/<SHA-256>`. Reading one trusts nothing: see [`read`].

mod read;
mod take;
mod write;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::Photograph;
use crate::jobs::{KeptContest, Revision};

/// The format of bundles that is written here, and the last one that is read.
const FORMAT: u32 = 1;

const MANIFEST: &str = "manifest.json";
const JOB: &str = "job.toml";
const HISTORY: &str = "history.json";
const PHOTOGRAPHS: &str = "photographs/";

/// Whether a bundle carries the job's history.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum History {
    /// Every revision, with who made it.
    With,
    /// The document as it stands; for people outside the firm.
    Without,
}

/// Whether a file's first bytes are those of a bundle, and not of a job file.
pub fn is_bundle(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04")
}

/// What a bundle says of itself.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Manifest {
    format: u32,
    /// The job's id where the bundle was made.
    job: String,
    /// The revision of the document.
    revision: u64,
    /// The document's hash.
    sha256: String,
    history: bool,
    photographs: Vec<Photograph>,
}

/// A job's history.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Kept {
    revisions: Vec<Revision>,
    names: BTreeMap<u64, String>,
    contested: Vec<KeptContest>,
}
