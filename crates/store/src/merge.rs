//! Merges one person's change with what others changed meanwhile, fact by fact.

use std::sync::Arc;

use model::{Edit, LimitName};
use serde_json::Value;

use crate::StoreError;
use crate::document::{
    FactChange, check, check_edited, differences, edited, facts, replaced, rewritten, touches,
    value_at, within,
};
use crate::jobs::Side;

/// Three states of a document.
pub(crate) struct Sides<'a> {
    /// What the change began from.
    pub base: &'a str,
    /// What the change made of it.
    pub mine: Mine<'a>,
    /// What others made of it meanwhile.
    pub head: &'a str,
}

/// A document that a change made of its base.
pub(crate) enum Mine<'a> {
    Text(&'a str),
    /// The base with these edits, whose text is made only where it is needed.
    Edits(&'a [Edit]),
}

impl Mine<'_> {
    fn text(&self, base: &str) -> Result<String, StoreError> {
        match self {
            Mine::Text(text) => Ok((*text).to_owned()),
            Mine::Edits(edits) => edited(base, edits),
        }
    }

    fn facts(&self, base: &str, base_facts: &Value) -> Result<Arc<Value>, StoreError> {
        if let Mine::Edits(edits) = self
            && let Some(mine) = replaced(base_facts, edits)
        {
            return Ok(Arc::new(mine));
        }
        facts(&self.text(base)?)
    }
}

/// What came of it.
#[derive(Debug, PartialEq)]
pub(crate) struct Merged {
    pub text: String,
    pub contests: Vec<Contest>,
}

/// A fact on which two people disagree.
#[derive(Debug, PartialEq)]
pub(crate) struct Contest {
    pub fact: String,
    /// What others set.
    pub earlier: Option<Value>,
    /// What the change at hand sets.
    pub later: Option<Value>,
    /// Which of both stands in the merged text.
    pub stands: Side,
    pub reason: String,
}

/// Makes the change on top of the others'. A fact that both set to different values gets the
/// later one; what can't be made any more is set aside. Either way both values are told.
pub(crate) fn merge(sides: &Sides, limits: &[LimitName]) -> Result<Merged, StoreError> {
    let base = facts(sides.base)?;
    let mine = sides.mine.facts(sides.base, &base)?;
    let head = facts(sides.head)?;
    let theirs = differences(&base, &head);
    let mut made = Vec::new();
    let mut contests: Vec<Contest> = Vec::new();
    for change in differences(&base, &mine) {
        match meet(&change, &theirs, &base, &head) {
            Meeting::Equal => {}
            Meeting::Apart => made.push(change),
            Meeting::Against => {
                contests.push(Contest {
                    fact: change.at.clone(),
                    earlier: value_at(&head, &change.at).cloned(),
                    later: change.after.clone(),
                    stands: Side::Later,
                    reason: "both set this fact".to_owned(),
                });
                made.push(change);
            }
            Meeting::Gone(other) => {
                // One contest for all that was changed in the thing that went.
                if contests.iter().all(|contest| contest.fact != other.at) {
                    contests.push(Contest {
                        fact: other.at.clone(),
                        earlier: other.after.clone(),
                        later: value_at(&mine, &other.at).cloned(),
                        stands: Side::Earlier,
                        reason: "one took away what the other changed".to_owned(),
                    });
                }
            }
        }
    }
    let attempt = |text: &str, changes: &[FactChange]| {
        let (better, edits) = rewritten(text, changes, &mine)?;
        check_edited(&better, text, &edits, limits).map(|()| better)
    };
    let text = match attempt(sides.head, &made) {
        Ok(text) => text,
        Err(_) => {
            // What does not even read where it began is refused, not set aside.
            check(&sides.mine.text(sides.base)?, limits)?;
            one_by_one(sides.head, made, &head, attempt, &mut contests)?
        }
    };
    Ok(Merged { text, contests })
}

/// How a change meets those of others.
enum Meeting<'a> {
    Apart,
    Equal,
    Against,
    Gone(&'a FactChange),
}

fn meet<'a>(
    change: &FactChange,
    theirs: &'a [FactChange],
    base: &Value,
    head: &Value,
) -> Meeting<'a> {
    let mut touching = theirs
        .iter()
        .filter(|other| touches(&other.at, &change.at))
        .peekable();
    let Some(first) = touching.peek().copied() else {
        return Meeting::Apart;
    };
    let now = value_at(head, &change.at);
    if now == change.after.as_ref() {
        return Meeting::Equal;
    }
    let inside = change.at != first.at && within(&change.at, &first.at);
    if !inside {
        return Meeting::Against;
    }
    // They replaced or removed something around the fact.
    if now == value_at(base, &change.at) && now.is_some() {
        return Meeting::Apart;
    }
    let around = change.at.rsplit_once('.').map(|(around, _)| around);
    match around.and_then(|around| value_at(head, around)) {
        Some(Value::Object(_)) => Meeting::Against,
        _ => Meeting::Gone(first),
    }
}

/// Makes the changes on the text; those with which it would not read as a job are set aside.
fn one_by_one(
    head_text: &str,
    made: Vec<FactChange>,
    head: &Value,
    attempt: impl Fn(&str, &[FactChange]) -> Result<String, StoreError>,
    contests: &mut Vec<Contest>,
) -> Result<String, StoreError> {
    let mut text = head_text.to_owned();
    let mut waiting = made;
    loop {
        let mut refused = Vec::new();
        let count = waiting.len();
        for change in waiting {
            match attempt(&text, std::slice::from_ref(&change)) {
                Ok(better) => text = better,
                Err(error) => refused.push((change, error)),
            }
        }
        // One may need another that stood behind it; again, until nothing comes of it.
        if refused.is_empty() {
            return Ok(text);
        }
        if refused.len() < count {
            waiting = refused.into_iter().map(|(change, _)| change).collect();
            continue;
        }
        for (change, error) in refused {
            contests.retain(|contest| contest.fact != change.at);
            contests.push(Contest {
                earlier: value_at(head, &change.at).cloned(),
                later: change.after,
                fact: change.at,
                stands: Side::Earlier,
                reason: reason_of(&error),
            });
        }
        return Ok(text);
    }
}

fn reason_of(error: &StoreError) -> String {
    match error {
        StoreError::Refused(problems) => problems
            .first()
            .map(|problem| format!("with it the job would not read: {problem}"))
            .unwrap_or_default(),
        StoreError::Edit { message, .. } => message.clone(),
        other => other.to_string(),
    }
}
