//! Writes a job as one file.

use std::collections::BTreeSet;
use std::io::{Cursor, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::StoreError;
use crate::beside::{hash_of, read_photographs};
use crate::bundle::read::{BUNDLE_BYTES_MAX, HISTORY_BYTES_MAX, PHOTOGRAPHS_MAX};
use crate::bundle::{FORMAT, HISTORY, History, JOB, Kept, MANIFEST, Manifest, PHOTOGRAPHS};
use crate::database::{Fault, Store};
use crate::jobs::{head_number, history, off_thread, read_kept_contests, read_revision};

impl Store {
    /// A job as the bytes of one file. The same job gives the same bytes.
    pub async fn bundle(&self, job: &str, history: History) -> Result<Vec<u8>, StoreError> {
        self.try_bundle(job, history)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_bundle(&self, job: &str, with: History) -> Result<Vec<u8>, Fault> {
        let mut connection = self.inner.pool.acquire().await?;
        let number = head_number(&mut connection, job).await?;
        let head = read_revision(&mut connection, job, number).await?;
        let photographs = read_photographs(&mut connection, job).await?;
        let kept = match with {
            History::Without => None,
            History::With => {
                let mut kept = Kept {
                    revisions: Vec::new(),
                    names: Default::default(),
                    contested: read_kept_contests(&mut connection, job).await?,
                };
                // What is saved while this reads belongs to the next bundle.
                for number in 1..=number {
                    kept.revisions
                        .push(read_revision(&mut connection, job, number).await?);
                }
                kept.contested
                    .retain(|contest| contest.contested.later.revision <= number);
                for entry in history(&mut connection, job).await? {
                    if let Some(name) = entry.name {
                        kept.names.insert(entry.number, name);
                    }
                }
                Some(kept)
            }
        };
        drop(connection);
        let mut pictures = Vec::new();
        let hashes: BTreeSet<&String> = photographs.iter().map(|photo| &photo.hash).collect();
        for hash in hashes {
            let bytes = self.photograph(hash).await?;
            pictures.push((hash.clone(), bytes));
        }
        let manifest = Manifest {
            format: FORMAT,
            job: job.to_owned(),
            revision: number,
            sha256: hash_of(head.text.as_bytes()),
            history: kept.is_some(),
            photographs,
        };
        off_thread(move || {
            let kept = kept.map(|kept| json(serde_json::to_vec(&kept)));
            fits(kept.as_deref(), &pictures)?;
            Ok(archive(&manifest, &head.text, kept.as_deref(), &pictures))
        })
        .await
    }
}

fn json(bytes: serde_json::Result<Vec<u8>>) -> Vec<u8> {
    bytes.expect("plain data is JSON")
}

/// Whether the bundle would be taken in again.
fn fits(kept: Option<&[u8]>, pictures: &[(String, Vec<u8>)]) -> Result<(), StoreError> {
    let too_much = |message: String| Err(StoreError::Bundle(message));
    if kept.is_some_and(|kept| kept.len() as u64 > HISTORY_BYTES_MAX) {
        return too_much(format!(
            "the job's history is longer than {} MB: make one without the history",
            HISTORY_BYTES_MAX / 1_000_000
        ));
    }
    let bytes: usize = pictures.iter().map(|(_, bytes)| bytes.len()).sum();
    if pictures.len() > PHOTOGRAPHS_MAX || bytes > BUNDLE_BYTES_MAX / 2 {
        return too_much(format!(
            "the job has {} photographs of {} MB in all, and a bundle holds {PHOTOGRAPHS_MAX} of {} MB: \
             take some out of the job",
            pictures.len(),
            bytes / 1_000_000,
            BUNDLE_BYTES_MAX / 2_000_000
        ));
    }
    Ok(())
}

fn archive(
    manifest: &Manifest,
    text: &str,
    kept: Option<&[u8]>,
    pictures: &[(String, Vec<u8>)],
) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let mut put = |name: &str, bytes: &[u8], method| {
        let options = SimpleFileOptions::default()
            .compression_method(method)
            // The archive has no date of its own, so that equal jobs give equal bytes.
            .last_modified_time(DateTime::default())
            .large_file(false);
        zip.start_file(name, options)
            .and_then(|()| Ok(zip.write_all(bytes)?))
            .expect("writing to memory, below four gigabytes an entry");
    };
    let small = CompressionMethod::Deflated;
    put(MANIFEST, &json(serde_json::to_vec_pretty(manifest)), small);
    put(JOB, text.as_bytes(), small);
    if let Some(kept) = kept {
        put(HISTORY, kept, small);
    }
    for (hash, bytes) in pictures {
        // A picture is compressed already.
        let name = format!("{PHOTOGRAPHS}{hash}");
        put(&name, bytes, CompressionMethod::Stored);
    }
    zip.finish()
        .expect("writing to memory can't fail")
        .into_inner()
}
