//! Changes that are saved, taken back, made again and settled, and their history.

use axum::Json;
use axum::http::StatusCode;
use checks::Proved;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::{Act, Change, Claim, Side, Turn, When};
use view::{Comparison, Delta};

use crate::clock::now;
use crate::describe::{Body, Endpoint, Path, Query};
use crate::desk::{Revision, Room};
use crate::proved::Changes;
use crate::{Caller, Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::post("/api/jobs/{job}/edits", "Saves a change", save).refuses(&[404, 409]),
        Endpoint::post("/api/jobs/{job}/undo", "Takes the last change back", undo)
            .refuses(&[404, 409]),
        Endpoint::post("/api/jobs/{job}/redo", "Makes a change again", redo).refuses(&[404, 409]),
        Endpoint::post(
            "/api/jobs/{job}/contested/{contested}",
            "Settles what two people set differently",
            settle,
        )
        .refuses(&[409]),
        Endpoint::get(
            "/api/jobs/{job}/history",
            "Every revision, or those after one, the last first",
            history,
        ),
        Endpoint::post(
            "/api/jobs/{job}/revisions/{revision}/name",
            "Names a revision; an empty name takes it away",
            name,
        ),
        Endpoint::get(
            "/api/jobs/{job}/compare",
            "What differs between two revisions",
            compare,
        ),
    ]
}

/// A change to be saved.
#[derive(Deserialize, JsonSchema)]
struct Save {
    /// The operation's own number; the same again is not done again.
    op: String,
    /// The revision that the client shows.
    base: Revision,
    #[serde(flatten)]
    changes: Changes,
    /// What it does, in a line; made up when left out.
    #[serde(default)]
    summary: Option<String>,
}

/// Taking back, or making again.
#[derive(Deserialize, JsonSchema)]
struct Again {
    /// The operation's own number.
    op: String,
    /// The revision that the client shows: `delta` tells what differs from it. The one
    /// before when left out.
    #[serde(default)]
    base: Option<Revision>,
}

/// What became of a change.
#[derive(Serialize, JsonSchema)]
struct Saved {
    /// The last revision that is proved and holds it.
    revision: Revision,
    /// What was saved, undone, merged.
    says: String,
    /// Others saved meanwhile.
    merged: bool,
    /// What both set differently, to be settled.
    contested: Vec<Contested>,
    /// How the findings differ from those of the client's revision.
    delta: Delta,
    /// What undo takes back now.
    undo: Option<String>,
    /// What redo makes again now.
    redo: Option<String>,
}

/// A fact that two people set differently.
#[derive(Serialize, JsonSchema)]
pub struct Contested {
    /// Its number within the job.
    id: String,
    /// What the fact is called: "Eye height of seat sofa in Den".
    title: String,
    /// The fact's path.
    at: String,
    /// Why it is contested.
    what: String,
    /// Which of both stands until it is settled.
    stands: Kept,
    /// What was there.
    earlier: Account,
    /// What arrived after it.
    later: Account,
}

/// One of two people's values.
#[derive(Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Kept {
    /// What was there.
    Earlier,
    /// What arrived after it.
    Later,
}

/// What one person set a fact to.
#[derive(Serialize, JsonSchema)]
struct Account {
    /// The value as written; empty when it was taken away.
    text: String,
    /// Who.
    who: String,
    /// When, RFC 3339.
    when: String,
}

impl Contested {
    /// As it is told to people who look at that job.
    pub fn of(job: &model::Job, contested: &store::Contested) -> Self {
        Self {
            title: view::name_of(job, &contested.fact),
            id: contested.number.to_string(),
            at: contested.fact.clone(),
            what: contested.reason.clone(),
            stands: match contested.stands {
                Side::Earlier => Kept::Earlier,
                Side::Later => Kept::Later,
            },
            earlier: Account::from(&contested.earlier),
            later: Account::from(&contested.later),
        }
    }
}

impl From<&Claim> for Account {
    fn from(claim: &Claim) -> Self {
        Self {
            text: match &claim.value {
                None => String::new(),
                Some(Value::String(text)) => text.clone(),
                Some(value) => value.to_string(),
            },
            who: claim.who.clone(),
            when: claim.when.to_string(),
        }
    }
}

/// Who acts, and when, under the operation's number.
pub fn act(caller: &Caller, op: String, when: When) -> Act {
    Act::new(op, caller.device.clone(), when)
}

async fn save(
    state: State,
    caller: Caller,
    Path(job): Path<String>,
    Body(asked): Body<Save>,
) -> Result<Json<Saved>, Error> {
    let Save {
        op,
        base,
        changes,
        summary,
    } = asked;
    let act = act(&caller, op, now());
    let written = state.written(&job, base, changes).await?;
    let summary = summary
        .filter(|summary| !summary.trim().is_empty())
        .or_else(|| Some(written.says.clone()).filter(|says| !says.is_empty()))
        .unwrap_or_else(|| summary_of(&written.edits));
    let change = Change {
        act,
        base,
        edits: written.edits,
        summary: one_line(&summary),
    };
    let turn = state.turns().of(&job).await;
    let saved = state.store().save(&job, &change).await?;
    finish(&state, &job, Some(base), saved, turn)
        .await
        .map(Json)
}

/// What edits do, in a line.
fn summary_of(edits: &[model::Edit]) -> String {
    match edits {
        [] => "nothing".to_owned(),
        [one] => match &one.set {
            Some(Value::String(text)) => format!("{}: {text}", one.at),
            Some(_) => format!("{} set", one.at),
            None => format!("{} taken away", one.at),
        },
        [one, rest @ ..] => format!("{} and {} more", one.at, rest.len()),
    }
}

/// Letters of a summary that the history shows.
const SUMMARY_LETTERS_MAX: usize = 180;

fn one_line(text: &str) -> String {
    let plain = |letter: char| if letter.is_control() { ' ' } else { letter };
    let mut line: String = text.chars().map(plain).take(SUMMARY_LETTERS_MAX).collect();
    if line.len() < text.len() {
        line.push('…');
    }
    line
}

async fn undo(
    state: State,
    caller: Caller,
    Path(job): Path<String>,
    Body(asked): Body<Again>,
) -> Result<Json<Saved>, Error> {
    let act = act(&caller, asked.op, now());
    let turn = state.turns().of(&job).await;
    let saved = state.store().undo(&job, &act).await?;
    finish(&state, &job, asked.base, saved, turn)
        .await
        .map(Json)
}

async fn redo(
    state: State,
    caller: Caller,
    Path(job): Path<String>,
    Body(asked): Body<Again>,
) -> Result<Json<Saved>, Error> {
    let act = act(&caller, asked.op, now());
    let turn = state.turns().of(&job).await;
    let saved = state.store().redo(&job, &act).await?;
    finish(&state, &job, asked.base, saved, turn)
        .await
        .map(Json)
}

/// Which of both stays.
#[derive(Deserialize, JsonSchema)]
struct Settle {
    /// The operation's own number.
    op: String,
    /// Which.
    keep: Kept,
    /// The revision that the client shows; the one before when left out.
    #[serde(default)]
    base: Option<Revision>,
}

async fn settle(
    state: State,
    caller: Caller,
    Path((job, contested)): Path<(String, u64)>,
    Body(asked): Body<Settle>,
) -> Result<Json<Saved>, Error> {
    let act = act(&caller, asked.op, now());
    let keep = match asked.keep {
        Kept::Earlier => Side::Earlier,
        Kept::Later => Side::Later,
    };
    let all = state.store().contested(&job).await?;
    let called = match all.into_iter().find(|one| one.number == contested) {
        Some(one) => {
            let named = move |proved: &Proved| view::name_of(proved.analysis().job(), &one.fact);
            Some(one_line(&state.look_at_head(&job, named).await?.1))
        }
        // The store says that there is none.
        None => None,
    };
    let turn = state.turns().of(&job).await;
    let saved = (state.store())
        .resolve(&job, contested, keep, called.as_deref(), &act)
        .await?;
    finish(&state, &job, asked.base, saved, turn)
        .await
        .map(Json)
}

/// The revision that a change is proved in, what differs from its base, and what is contested.
type Answered = (Revision, Delta, Vec<Contested>);

/// A saved change whose findings are to be told.
struct Told {
    own: Revision,
    base: Revision,
    text: String,
    contested: Vec<store::Contested>,
}

/// What a desk makes of a saved change.
enum Outcome {
    Answered(Answered),
    /// Nobody knows the steps since its base, which has to be read.
    Unknown(Told),
}

impl Told {
    /// What is answered, as far as it can be without reading the base.
    fn at(self, room: &mut Room) -> Result<Outcome, Error> {
        let revision = self.shown(room)?;
        match room.delta_since(self.base, revision) {
            Some(delta) => self.answered(room, revision, delta).map(Outcome::Answered),
            None => Ok(Outcome::Unknown(self)),
        }
    }

    /// What is answered, with the base read.
    fn beside(self, room: &mut Room, base: &str) -> Result<Answered, Error> {
        let revision = self.shown(room)?;
        room.open(self.base, base)?;
        let (before, after) = (room.both(self.base, revision))
            .ok_or_else(|| Error::fault("two revisions do not stay on a desk"))?;
        let delta = view::delta_between(before, after);
        self.answered(room, revision, delta)
    }

    /// The revision to be told, which lies at the desk then.
    fn shown(&self, room: &mut Room) -> Result<Revision, Error> {
        if let Some(revision) = room.catch_up(self.own) {
            return Ok(revision);
        }
        room.open(self.own, &self.text)?;
        Ok(self.own)
    }

    fn answered(&self, room: &mut Room, at: Revision, delta: Delta) -> Result<Answered, Error> {
        let proved =
            (room.at(at)).ok_or_else(|| Error::fault("a revision does not stay on its desk"))?;
        let job = proved.analysis().job();
        let contested = self.contested.iter().map(|one| Contested::of(job, one));
        Ok((at, delta, contested.collect()))
    }
}

/// Moves the desk to what was saved, and says how its findings differ from the client's. The turn
/// ends once the desk knows: the next change is saved while this one is proved. Changes that wait
/// are proved as one, so that the answer may be of a later revision that others saved.
async fn finish(
    state: &State,
    job: &str,
    base: Option<Revision>,
    saved: store::Saved,
    turn: Turn,
) -> Result<Saved, Error> {
    let own = saved.revision;
    let base = base.unwrap_or(own.saturating_sub(1)).max(1);
    let last = state.store().revision(job, own).await?;
    let count = saved.contested.len();
    state.desks().note(job, own, last.edits.clone());
    let told = Told {
        own,
        base,
        text: saved.text,
        contested: saved.contested,
    };
    let answer = (state.desks()).post(job, None, move |room: &mut Room| told.at(room));
    drop(turn);
    let (revision, delta, contested) = match answer.wait().await?? {
        Outcome::Answered(answered) => answered,
        // Somebody comes back from so long ago that nobody knows the steps between.
        Outcome::Unknown(told) => {
            let base = state.store().revision(job, base).await?;
            let again = move |room: &mut Room| told.beside(room, &base.text);
            state.desks().ask(job, None, again).await??
        }
    };
    let undoable = state.store().undoable(job).await?;
    Ok(Saved {
        revision,
        says: says(&last.summary, &saved.merged_over, count),
        merged: revision > own || !saved.merged_over.is_empty(),
        contested,
        delta,
        undo: undoable.undo.map(|entry| entry.summary),
        redo: undoable.redo.map(|entry| entry.summary),
    })
}

fn says(summary: &str, merged: &[store::MergedOver], contested: usize) -> String {
    let mut says = format!("saved: {summary}");
    if !merged.is_empty() {
        let mut others: Vec<&str> = merged.iter().map(|one| one.who.as_str()).collect();
        others.sort_unstable();
        others.dedup();
        says.push_str(&format!(
            "; put together with what {} saved",
            others.join(", ")
        ));
    }
    match contested {
        0 => {}
        1 => says.push_str("; one fact was set differently by both: choose which stays"),
        count => says.push_str(&format!(
            "; {count} facts were set differently by both: choose which stay"
        )),
    }
    says
}

/// One line of a job's history.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Revision")]
struct Line {
    /// The revision's number.
    n: Revision,
    /// Who made it.
    who: String,
    /// When, RFC 3339.
    when: String,
    /// How it came about: `create`, `edit`, `merge`, `import`, `undo`, `redo`, `resolve`.
    kind: &'static str,
    /// What it does.
    summary: String,
    /// Its name, if somebody gave it one.
    name: Option<String>,
    /// It is taken back.
    undone: bool,
}

/// Which revisions.
#[derive(Deserialize, JsonSchema)]
struct Later {
    /// Those after this one alone; all when left out.
    #[serde(default)]
    since: Option<Revision>,
}

async fn history(
    state: State,
    Path(job): Path<String>,
    Query(Later { since }): Query<Later>,
) -> Result<Json<Vec<Line>>, Error> {
    let since = since.unwrap_or(0);
    // Pages that lie open ask every few seconds, mostly for nothing.
    if since > 0 && state.store().head(&job).await?.number <= since {
        return Ok(Json(Vec::new()));
    }
    let entries = state.store().history(&job).await?;
    let later = entries
        .into_iter()
        .rev()
        .filter(|entry| entry.number > since);
    let lines = later.map(|entry| Line {
        n: entry.number,
        who: entry.who,
        when: entry.when.to_string(),
        kind: entry.kind.as_str(),
        summary: entry.summary,
        name: entry.name,
        undone: entry.undone,
    });
    Ok(Json(lines.collect()))
}

/// A revision's name.
#[derive(Deserialize, JsonSchema)]
struct Name {
    /// Such as "as quoted"; empty takes it away.
    name: String,
}

async fn name(
    state: State,
    Path((job, revision)): Path<(String, Revision)>,
    Body(Name { name }): Body<Name>,
) -> Result<StatusCode, Error> {
    let name = Some(name.trim()).filter(|name| !name.is_empty());
    state.store().name(&job, revision, name).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// Which two revisions.
#[derive(Deserialize, JsonSchema)]
struct Between {
    /// The earlier one.
    from: Revision,
    /// The later one.
    to: Revision,
}

async fn compare(
    state: State,
    Path(job): Path<String>,
    Query(Between { from, to }): Query<Between>,
) -> Result<Json<Comparison>, Error> {
    let before = state.store().revision(&job, from).await?;
    let after = state.store().revision(&job, to).await?;
    let work = move |room: &mut Room| {
        room.open(from, &before.text)?;
        room.open(to, &after.text)?;
        let (before, after) = (room.both(from, to))
            .ok_or_else(|| Error::fault("two revisions do not stay on a desk"))?;
        Ok::<_, Error>(view::compare(before, after))
    };
    state.desks().ask(&job, None, work).await?.map(Json)
}
