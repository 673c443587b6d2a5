//! Findings as they were told, for a job that is edited step by step: a step leaves most of them
//! as they are, and telling one takes longer than proving it again.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use analysis::{Analysis, Reads};
use checks::{Again, Proved};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use serde_json::value::{RawValue, to_raw_value};

use crate::findings::{Teller, concluded, counts, key};
use crate::{Delta, Finding, Findings};

/// A finding written as JSON; copies share it.
#[derive(Clone, Debug)]
pub struct Told(Arc<RawValue>);

impl From<&Finding> for Told {
    fn from(finding: &Finding) -> Self {
        let json = to_raw_value(finding).expect("its keys are texts");
        Self(Arc::from(json))
    }
}

impl Serialize for Told {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

impl JsonSchema for Told {
    fn schema_name() -> Cow<'static, str> {
        Finding::schema_name()
    }

    fn schema_id() -> Cow<'static, str> {
        Finding::schema_id()
    }

    fn json_schema(shapes: &mut SchemaGenerator) -> Schema {
        Finding::json_schema(shapes)
    }
}

/// What was told of one proved job, each with the facts that the words rest on.
#[derive(Default)]
pub struct Tellings(BTreeMap<String, (Told, Reads)>);

impl Tellings {
    /// Goes on to an edited copy: what the step changes is told again when it is asked for.
    /// `differing` are the keys of the findings that differ.
    pub fn follow(&mut self, again: &Again, differing: &BTreeSet<String>) {
        let changed = again.proved.analysis().changed();
        self.0.retain(|key, (_, reads)| {
            let is_same = !differing.contains(key);
            is_same && !reads.touched_by(changed)
        });
    }

    /// Every finding in order, without the effects of remedies. `proved` is the job that was told
    /// before, if one was, or that it went on to.
    pub fn findings(&mut self, proved: &Proved) -> Findings<Told> {
        let mut teller = Teller::of(proved.analysis());
        let proof = proved.proof();
        let told = (proof.findings.iter())
            .map(|one| self.told(&mut teller, one, key(one)))
            .collect();
        concluded(proved.analysis(), &proof, told)
    }

    /// The findings with these keys, where those are known to be all that may differ from what
    /// the asker shows. `after` as in [`Tellings::findings`].
    pub fn delta_of(&mut self, after: &Proved, keys: &BTreeSet<String>) -> Delta {
        let mut gone: BTreeSet<&String> = keys.iter().collect();
        let mut changed = Vec::new();
        let mut teller = Teller::of(after.analysis());
        for one in after.findings() {
            let key = key(one);
            if gone.remove(&key) {
                changed.push(self.told(&mut teller, one, key));
            }
        }
        Delta {
            changed,
            gone: gone.into_iter().cloned().collect(),
            counts: counts(after.findings()),
        }
    }

    fn told(&mut self, teller: &mut Teller<'_>, one: &checks::Finding, key: String) -> Told {
        let told = self.0.entry(key).or_insert_with(|| {
            let analysis = teller.analysis();
            let (finding, reads) = analysis.noting(|| {
                let finding = teller.finding(one);
                note_inputs(analysis, &finding);
                finding
            });
            (Told::from(&finding), reads)
        });
        told.0.clone()
    }
}

/// Notes what the names of inputs and the ways in which they are known rest on.
fn note_inputs(analysis: &Analysis, finding: &Finding) {
    for input in &finding.inputs {
        let mut segments = input.at.split('.');
        match (segments.next(), segments.next()) {
            (Some("item"), Some(id)) => drop(analysis.item(id)),
            (Some("space"), Some(id)) => drop(analysis.space(id)),
            // Others are named by their paths alone.
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    //! What is told of an edited copy is what would be told of it anew.

    use model::{Edit, Job};
    use rand::seq::IndexedRandom;
    use rand::{Rng, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    const HOUSE: &str = include_str!("../../../jobs/harbour-lane-surveyed.toml");

    fn read(text: &str) -> Arc<Job> {
        Arc::new(model::read(text, &checks::limit_names()).expect("the job reads"))
    }

    fn json(findings: &impl Serialize) -> String {
        serde_json::to_string(findings).expect("findings can be written")
    }

    fn some_edit(job: &Job, random: &mut ChaCha8Rng) -> Edit {
        let item = job.item.choose(random).expect("the house has items");
        let space = job.space.choose(random).expect("the house has rooms");
        match random.random_range(0..8) {
            0 | 1 => Edit::set(
                format!("item.{}.name", item.id),
                random.random::<u8>().to_string(),
            ),
            2 => Edit::set(
                format!("item.{}.existing", item.id),
                random.random::<bool>(),
            ),
            3 => Edit::set(format!("item.{}.space", item.id), space.id.clone()),
            4 => Edit::set(
                format!("space.{}.name", space.id),
                random.random::<u8>().to_string(),
            ),
            5 => {
                let zone = job.zone.choose(random).map(|zone| zone.id.clone());
                Edit::set(format!("item.{}.zone", item.id), zone.unwrap_or_default())
            }
            6 => match space.seat.choose(random) {
                Some(seat) => {
                    let at = format!("space.{}.seat.{}.eye", space.id, seat.id);
                    Edit::set(at, format!("1.{} m", random.random_range(0..9)))
                }
                None => Edit::set("job.name", "Another"),
            },
            _ => {
                let number = random.random_range(0..job.measurements.len());
                let measured = &job.measurements[number];
                Edit::set(
                    measured.path.clone(),
                    format!("{} m", random.random_range(1..5)),
                )
            }
        }
    }

    #[test]
    fn what_is_kept_is_told_as_it_would_be_anew() {
        let mut random = ChaCha8Rng::seed_from_u64(5);
        let mut proved = Proved::new(read(HOUSE));
        let mut tellings = Tellings::default();
        let anew = |proved: &Proved| json(&crate::findings(proved.analysis(), &proved.proof()));
        assert_eq!(json(&tellings.findings(&proved)), anew(&proved));
        let (mut steps, mut kept) = (0, 0);
        while steps < 60 {
            let edit = some_edit(proved.analysis().job(), &mut random);
            let Ok(again) = checks::prove_again(&proved, std::slice::from_ref(&edit)) else {
                continue;
            };
            steps += 1;
            let gone = again.gone.iter().map(|(check, space, subject)| {
                crate::key_of(check, space.as_deref().unwrap_or_default(), subject)
            });
            let differing = again.changed.iter().map(key).chain(gone).collect();
            tellings.follow(&again, &differing);
            kept += tellings.0.len();
            proved = again.proved;
            assert_eq!(json(&tellings.findings(&proved)), anew(&proved), "{edit:?}");
        }
        assert!(kept / steps > 100, "nearly all is told again each time");
    }
}
