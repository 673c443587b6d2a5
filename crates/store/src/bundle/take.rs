//! Takes a bundle in as a job of its own.

use crate::beside::{Photograph, hash_of, insert_photograph, keep_file};
use crate::bundle::read::{Unpacked, unpack};
use crate::database::{Fault, Store};
use crate::document::{check, facts, name_of};
use crate::jobs::{
    Kind, Revision, Saved, answer, answered, digest, free_id, insert_job, insert_kept_contest,
    insert_revision, off_thread, read_revision, shown_number,
};
use crate::{Act, StoreError};

impl Store {
    /// Takes a bundle in as a job of its own, with its photographs and, if it brings one, its
    /// history. A bundle that is more than a bundle should be is refused, and nothing of it
    /// is kept.
    pub async fn take_bundle(&self, bytes: Vec<u8>, act: &Act) -> Result<Saved, StoreError> {
        act.check()?;
        self.try_take_bundle(bytes, act)
            .await
            .map_err(|fault| self.told(fault))
    }

    async fn try_take_bundle(&self, bytes: Vec<u8>, act: &Act) -> Result<Saved, Fault> {
        let store = self.clone();
        let (unpacked, name, hash) = off_thread(move || {
            let hash = hash_of(&bytes);
            let unpacked = unpack(&bytes)?;
            check(&unpacked.text, &store.inner.limits)?;
            for revision in unpacked.kept.iter().flat_map(|kept| &kept.revisions) {
                facts(&revision.text)?;
            }
            let name = name_of(&*facts(&unpacked.text)?);
            for picture in &unpacked.pictures {
                keep_file(&store.inner.place.photographs, picture)?;
            }
            Ok((unpacked, name, hash))
        })
        .await?;
        let request = digest(&("bundle", hash, &act.who));
        let mut work = self.write().await?;
        if let Some(mut saved) = answered::<Saved>(&mut work, &act.op, &request).await? {
            let revision = read_revision(&mut work, &saved.job, saved.revision).await?;
            saved.text = revision.text;
            return Ok(saved);
        }
        let Unpacked {
            manifest,
            text,
            kept,
            ..
        } = unpacked;
        let id = free_id(&mut work, &name).await?;
        let head = kept.as_ref().map_or(1, |_| manifest.revision);
        insert_job(&mut work, &id, &name, head, act).await?;
        let (revisions, names, contested) = match kept {
            Some(kept) => (kept.revisions, kept.names, kept.contested),
            None => (
                vec![first(&text, &name, act)],
                Default::default(),
                Vec::new(),
            ),
        };
        for revision in revisions {
            let job = id.clone();
            insert_revision(&mut work, &Revision { job, ..revision }).await?;
        }
        for (number, name) in names {
            sqlx::query("INSERT INTO revision_name (job, number, name) VALUES ($1, $2, $3)")
                .bind(&id)
                .bind(shown_number(number))
                .bind(name)
                .execute(&mut *work)
                .await?;
        }
        for contest in &contested {
            insert_kept_contest(&mut work, &id, contest).await?;
        }
        for photograph in manifest.photographs {
            // The same bundle may be taken in twice; a photograph's number is its own.
            let op = format!("{id}/{}", photograph.op);
            insert_photograph(&mut work, &id, &Photograph { op, ..photograph }).await?;
        }
        let mut saved = Saved {
            job: id,
            revision: head,
            text: String::new(),
            merged_over: Vec::new(),
            contested: Vec::new(),
        };
        answer(&mut work, &act.op, &request, &saved).await?;
        work.commit().await?;
        saved.text = text;
        Ok(saved)
    }
}

fn first(text: &str, name: &str, act: &Act) -> Revision {
    Revision {
        job: String::new(),
        number: 1,
        kind: Kind::Create,
        text: text.to_owned(),
        who: act.who.clone(),
        when: act.when.clone(),
        summary: format!("Begin {name} from a bundle"),
        base: 0,
        target: None,
        edits: Vec::new(),
        reverse: Vec::new(),
        touched: Vec::new(),
    }
}
