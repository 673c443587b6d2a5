//! Reads a bundle from somebody else's machine without trusting it.
//!
//! An archive may claim little and unpack to a disk full, name files outside its folder, or
//! carry a thousand million entries. So: only names that a bundle has, few of them, nothing
//! taken on trust from a header, every entry cut off at its limit while it is read, and
//! nothing written before all of it is proved. No name of an entry ever becomes a path.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read};

use zip::ZipArchive;
use zip::read::ZipFile;

use crate::act::{line, shown};
use crate::beside::{PHOTOGRAPH_BYTES_MAX, hash_of, is_hash};
use crate::bundle::{FORMAT, HISTORY, JOB, Kept, MANIFEST, Manifest, PHOTOGRAPHS};
use crate::{Kind, StoreError};

/// A bundle as it comes: more than any job with its photographs has.
pub(super) const BUNDLE_BYTES_MAX: usize = 500_000_000;
/// So many photographs.
pub(super) const PHOTOGRAPHS_MAX: usize = 2_000;
/// The photographs, manifest, document and history.
const ENTRIES_MAX: usize = PHOTOGRAPHS_MAX + 3;
/// Everything unpacked.
const UNPACKED_BYTES_MAX: u64 = 600_000_000;
/// The manifest or the document; the reader of jobs refuses longer ones too.
const TEXT_BYTES_MAX: u64 = 5_000_000;
/// All revisions of a long job: four thousand of twenty kilobytes.
pub(super) const HISTORY_BYTES_MAX: u64 = 100_000_000;
/// How many times longer an unpacked entry may be than its packed bytes; a job's document
/// packs to a fifth. A history repeats one document, packs to next to nothing, and is held
/// by its length alone.
const RATIO_MAX: u64 = 100;
/// Below this, a high ratio does no harm.
const RATIO_BYTES_MIN: u64 = 100_000;

/// What stood in a bundle, proved.
#[derive(Debug)]
pub(super) struct Unpacked {
    pub manifest: Manifest,
    pub text: String,
    pub kept: Option<Kept>,
    pub pictures: Vec<Vec<u8>>,
}

fn refuse<T>(message: impl Into<String>) -> Result<T, StoreError> {
    Err(StoreError::Bundle(message.into()))
}

/// The parts of a bundle, or why it is refused.
pub(super) fn unpack(bytes: &[u8]) -> Result<Unpacked, StoreError> {
    if bytes.len() > BUNDLE_BYTES_MAX {
        return refuse(format!("it is longer than {BUNDLE_BYTES_MAX} bytes"));
    }
    let mut entries = entries(bytes)?;
    let mut part = |name: &str| entries.remove(name);
    let Some(manifest) = part(MANIFEST) else {
        return refuse(format!("it has no {MANIFEST}"));
    };
    let manifest = manifest_of(&manifest)?;
    let Some(text) = part(JOB) else {
        return refuse(format!("it has no {JOB}"));
    };
    if hash_of(&text) != manifest.sha256 {
        return refuse(format!("{JOB} is not what its manifest says"));
    }
    let Ok(text) = String::from_utf8(text) else {
        return refuse(format!("{JOB} is not UTF-8"));
    };
    let kept = part(HISTORY);
    if kept.is_some() != manifest.history {
        return refuse(format!("{HISTORY} is not what its manifest says"));
    }
    let kept = kept
        .map(|kept| history_of(&kept, &manifest, &text))
        .transpose()?;
    let pictures = pictures_of(&manifest, entries)?;
    Ok(Unpacked {
        manifest,
        text,
        kept,
        pictures,
    })
}

fn entries(bytes: &[u8]) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
    let broken =
        |error: zip::result::ZipError| StoreError::Bundle(format!("it is broken: {error}"));
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
    if archive.len() > ENTRIES_MAX {
        return refuse(format!("it has more than {ENTRIES_MAX} entries"));
    }
    let mut left = UNPACKED_BYTES_MAX;
    let mut entries = BTreeMap::new();
    for place in 0..archive.len() {
        let mut entry = archive.by_index(place).map_err(broken)?;
        let name = entry.name().map_err(broken)?.into_owned();
        let Some(limit) = limit_of(&name) else {
            return refuse(format!("it holds `{}`, which no bundle has", shown(&name)));
        };
        if entry.is_dir() || entry.is_symlink() {
            return refuse(format!("`{name}` is no file"));
        }
        let content = read_at_most(&mut entry, &name, limit.min(left))?;
        left -= content.len() as u64;
        if entries.insert(name.clone(), content).is_some() {
            return refuse(format!("it holds `{name}` twice"));
        }
    }
    Ok(entries)
}

/// How long an entry may be; nothing if no bundle has one of that name.
fn limit_of(name: &str) -> Option<u64> {
    match name {
        MANIFEST | JOB => Some(TEXT_BYTES_MAX),
        HISTORY => Some(HISTORY_BYTES_MAX),
        _ => name
            .strip_prefix(PHOTOGRAPHS)
            .is_some_and(is_hash)
            .then_some(PHOTOGRAPH_BYTES_MAX as u64),
    }
}

/// The entry's bytes, counted as they are unpacked: what its header says is a claim.
fn read_at_most<R: Read>(
    entry: &mut ZipFile<'_, R>,
    name: &str,
    limit: u64,
) -> Result<Vec<u8>, StoreError> {
    let packed = entry.compressed_size();
    let by_ratio = match name {
        HISTORY => u64::MAX,
        _ => packed.saturating_mul(RATIO_MAX).max(RATIO_BYTES_MIN),
    };
    let limit = limit.min(by_ratio);
    let mut content = Vec::new();
    entry
        .take(limit + 1)
        .read_to_end(&mut content)
        .map_err(|error| StoreError::Bundle(format!("`{name}` is broken: {error}")))?;
    if content.len() as u64 > limit {
        return refuse(format!(
            "`{name}` unpacks to more than {limit} bytes, which no bundle's does"
        ));
    }
    Ok(content)
}

fn manifest_of(bytes: &[u8]) -> Result<Manifest, StoreError> {
    #[derive(serde::Deserialize)]
    struct Format {
        format: u32,
    }
    let broken = |error| StoreError::Bundle(format!("{MANIFEST} can't be read: {error}"));
    let Format { format } = serde_json::from_slice(bytes).map_err(broken)?;
    if format > FORMAT {
        return refuse(format!(
            "it has format {format}, and this version knows formats up to {FORMAT}; open it with \
             the version that wrote it, or a later one"
        ));
    }
    let manifest: Manifest = serde_json::from_slice(bytes).map_err(broken)?;
    for photograph in &manifest.photographs {
        line("the operation number", &photograph.op)?;
        line("the path", &photograph.pinned)?;
        line("the place", &photograph.place)?;
        line("the person's name", &photograph.who)?;
    }
    Ok(manifest)
}

fn history_of(bytes: &[u8], manifest: &Manifest, text: &str) -> Result<Kept, StoreError> {
    let kept: Kept = serde_json::from_slice(bytes)
        .map_err(|error| StoreError::Bundle(format!("{HISTORY} can't be read: {error}")))?;
    let last = kept.revisions.last();
    if last.is_none_or(|last| last.text != text || last.number != manifest.revision) {
        return refuse(format!("{HISTORY} does not end with {JOB}"));
    }
    for (expected, revision) in (1..).zip(&kept.revisions) {
        let number = revision.number;
        let first = number == 1;
        let target = revision.target.unwrap_or(2);
        let in_line = number == expected
            && first == (revision.kind == Kind::Create)
            && (revision.base < number || first && revision.base == 0)
            && (first || (2..number).contains(&target) || revision.target.is_none())
            && revision.target.is_some() == matches!(revision.kind, Kind::Undo | Kind::Redo);
        if !in_line {
            return refuse(format!("revision {number} of {HISTORY} is out of line"));
        }
        line("the person's name", &revision.who)?;
        line("the summary", &revision.summary)?;
        if revision.text.len() as u64 > TEXT_BYTES_MAX || revision.text.contains('\0') {
            return refuse(format!("revision {number} of {HISTORY} is no document"));
        }
    }
    let known = 1..=manifest.revision;
    let numbers: BTreeSet<u64> = kept
        .contested
        .iter()
        .map(|one| one.contested.number)
        .collect();
    let dense = numbers.iter().copied().eq(1..=kept.contested.len() as u64);
    let claims_known = kept.contested.iter().all(|one| {
        known.contains(&one.contested.earlier.revision)
            && known.contains(&one.contested.later.revision)
            && one.resolved_by.is_none_or(|number| known.contains(&number))
    });
    if !dense || !claims_known || kept.names.keys().any(|number| !known.contains(number)) {
        return refuse(format!("{HISTORY} speaks of revisions that it lacks"));
    }
    for name in kept.names.values() {
        line("the name", name)?;
    }
    Ok(kept)
}

fn pictures_of(
    manifest: &Manifest,
    entries: BTreeMap<String, Vec<u8>>,
) -> Result<Vec<Vec<u8>>, StoreError> {
    let named: BTreeSet<String> = manifest
        .photographs
        .iter()
        .map(|photograph| format!("{PHOTOGRAPHS}{}", photograph.hash))
        .collect();
    if let Some(missing) = named.iter().find(|name| !entries.contains_key(*name)) {
        return refuse(format!("its manifest speaks of `{}`", shown(missing)));
    }
    if let Some(extra) = entries.keys().find(|name| !named.contains(*name)) {
        return refuse(format!("its manifest does not speak of `{extra}`"));
    }
    for (name, bytes) in &entries {
        if name.strip_prefix(PHOTOGRAPHS) != Some(&hash_of(bytes)) {
            return refuse(format!("`{name}` is not what its name says"));
        }
    }
    Ok(entries.into_values().collect())
}

#[cfg(test)]
mod tests;
