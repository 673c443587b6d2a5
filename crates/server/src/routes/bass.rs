//! A space's bass: solved as long work, then answered at once.

use std::ops::ControlFlow;
use std::sync::Arc;

use axum::Json;
use bass::{Asked, Grid, Ready, SolveFault, Solved, planned};
use checks::{Analysis, Proved};
use model::Job;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Decibels, Hertz};
use view::{BassField, BassHeard, BassPlane, BassSolved, BassState, BassStudy, TriedSub};

use crate::bass::{Basses, Heard};
use crate::describe::{Body, Endpoint, Made, Path};
use crate::solve::{Teller, Unsolved};
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/bass",
            "What is known of a space's bass: resonances, the subs as planned, the best places",
            known,
        ),
        Endpoint::post(
            "/api/jobs/{job}/spaces/{space}/bass/solve",
            "Begins to solve a space's bass and to compare places for subs",
            solve,
        )
        .refuses(&[404, 429]),
        Endpoint::post(
            "/api/jobs/{job}/spaces/{space}/bass/heard",
            "What each seat hears of subs that are tried; nothing is saved",
            heard,
        )
        .refuses(&[404, 409]),
        Endpoint::post(
            "/api/jobs/{job}/spaces/{space}/bass/field",
            "The field of subs that are tried over a plane of the room, at one frequency",
            field,
        )
        .refuses(&[404, 409]),
    ]
}

/// The wave equation is solved up to here, Hz.
const TOP: Hertz = Hertz(200.0);

async fn known(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<BassState>, Error> {
    let at_hand = state.basses().get(&job, &space);
    let basses = state.basses().clone();
    let look =
        move |proved: &Proved| state_of(proved.analysis(), &space, at_hand.as_deref(), &basses);
    state.look_at_head(&job, look).await?.1.map(Json)
}

fn state_of(
    analysis: &Analysis,
    id: &str,
    at_hand: Option<&Heard>,
    basses: &Basses,
) -> Result<BassState, Error> {
    let space = analysis.space(id).ok_or_else(|| no_space(id))?;
    let told = |state: BassSolved, says: String, study| BassState {
        space: space.id.clone(),
        label: space.label().to_owned(),
        state,
        says,
        study,
    };
    let (key, mark) = match Ready::mark_of(analysis, space, TOP) {
        Ok(marks) => marks,
        Err(fault) => return Ok(told(BassSolved::Impossible, fault.to_string(), None)),
    };
    let is_kept = basses.shelf().is_some_and(|shelf| shelf.has(&key));
    Ok(match at_hand {
        Some(heard) if heard.ready.mark() == mark => {
            let (subs, _) = planned(analysis, space);
            let study = heard.ready.renewed(&heard.study, &subs, heard.asked.crossover);
            let top = heard.ready.holds_up_to().0;
            told(
                BassSolved::Solved,
                format!("The wave equation is solved in {} up to {top:.0} Hz.", space.label()),
                Some(view::bass_study(analysis, space, &study)),
            )
        }
        Some(heard) if heard.ready.key() == key => told(
            BassSolved::Stale,
            "Finishes, seats' weight or what stands in the way changed since places were compared; the room's modes still hold, so comparing again takes moments.".to_owned(),
            None,
        ),
        Some(_) if !is_kept => told(
            BassSolved::Stale,
            "The room or its seats changed since it was solved.".to_owned(),
            None,
        ),
        _ if is_kept => told(
            BassSolved::Unsolved,
            "This room was solved before and its modes are kept, so comparing places takes moments.".to_owned(),
            None,
        ),
        _ => told(
            BassSolved::Unsolved,
            "Nobody solved the wave equation in this room yet; it takes some seconds.".to_owned(),
            None,
        ),
    })
}

/// What is to be compared.
#[derive(Debug, Default, Deserialize, JsonSchema)]
struct BassAsked {
    /// The level that all subs together should reach, dB; 115 when left out.
    #[serde(default)]
    level_db: Option<f64>,
    /// The frequency at which subs and mains part, Hz; 80 when left out.
    #[serde(default)]
    crossover_hz: Option<f64>,
    /// Whether gain, delay and polarity can be set for each sub; true when left out.
    #[serde(default)]
    settings: Option<bool>,
}

/// Work that was begun.
#[derive(Serialize, JsonSchema)]
struct BassBegun {
    /// Its key: `/api/solves/{key}/events` tells how far it is.
    key: String,
}

impl BassAsked {
    fn read(&self) -> Result<Asked, Error> {
        let within = |value: Option<f64>, usual: f64, [low, high]: [f64; 2], what: &str| {
            let value = value.unwrap_or(usual);
            match (low..=high).contains(&value) {
                true => Ok(value),
                false => Err(Error::refused(
                    format!("{what} of {value}"),
                    format!("from {low} to {high} can be asked for"),
                )),
            }
        };
        Ok(Asked {
            wanted: Decibels(within(
                self.level_db,
                115.0,
                [60.0, 140.0],
                "a level in dB",
            )?),
            crossover: Hertz(within(
                self.crossover_hz,
                80.0,
                [30.0, 160.0],
                "a crossover in Hz",
            )?),
            grid: match self.settings.unwrap_or(true) {
                true => Grid::usual(),
                false => Grid::fixed(),
            },
            ..Asked::usual()
        })
    }
}

async fn solve(
    state: State,
    Path((job, id)): Path<(String, String)>,
    Body(asked): Body<BassAsked>,
) -> Result<Made<BassBegun>, Error> {
    let asked = asked.read()?;
    let space = id.clone();
    let look = move |proved: &Proved| {
        let analysis = proved.analysis();
        let found = analysis.space(&space).ok_or_else(|| no_space(&space))?;
        let (_, mark) = Ready::mark_of(analysis, found, TOP).map_err(refused)?;
        Ok::<_, Error>((Arc::new(analysis.job().clone()), mark))
    };
    let (document, mark) = state.look_at_head(&job, look).await?.1?;
    let basses = state.basses().clone();
    // Who asks again while it runs shares the work; once it is done it is other work.
    let inputs = format!("bass {job} {id} {mark} {asked:?} {}", basses.count());
    let key = state.solves().start(&inputs, move |teller| {
        let heard = solved(&document, &id, asked, &basses, teller)?;
        basses.put(&job, &id, heard);
        Ok(Vec::new())
    })?;
    Ok(Made(BassBegun { key }))
}

/// Hundredths are told; the first so many are the solve's.
const SOLVING: f64 = 40.0;
const LISTENING: f64 = 15.0;

fn solved(
    job: &Arc<Job>,
    id: &str,
    asked: Asked,
    basses: &Basses,
    teller: &Teller,
) -> Result<Heard, Unsolved> {
    let analysis = Analysis::new(Arc::clone(job));
    let space = analysis
        .space(id)
        .ok_or_else(|| Unsolved::Refused(format!("the job has no space `{id}`")))?;
    let told = |from: f64, of: f64, share: f64, stage: &str| match teller.tell(
        (from + of * share) as usize,
        100,
        stage,
    ) {
        Ok(()) => ControlFlow::Continue(()),
        Err(_) => ControlFlow::Break(()),
    };
    let key = Solved::key_of(&analysis, space, TOP)?;
    let kept = basses.shelf().and_then(|shelf| shelf.get(&key));
    let kept = kept.map(|bytes| Solved::from_kept(&analysis, space, TOP, &bytes));
    let solved = match kept.transpose()?.flatten() {
        Some(solved) => solved,
        None => {
            let solved = Solved::new(&analysis, space, TOP, &mut |share| {
                told(0.0, SOLVING, share, "solving the wave equation")
            })?;
            if let Some(shelf) = basses.shelf()
                && let Err(error) = shelf.put(&key, &solved.kept())
            {
                tracing::warn!("a solve could not be kept: {error}");
            }
            solved
        }
    };
    let ready = Ready::new(solved, &analysis, space, asked.wanted, &|share| {
        told(SOLVING, LISTENING, share, "letting each seat listen")
    })?;
    let (subs, _) = planned(&analysis, space);
    let from = SOLVING + LISTENING;
    let study = ready.study(&asked, &subs, &|share| {
        told(from, 100.0 - from, share, "comparing places")
    })?;
    Ok(Heard {
        ready,
        study,
        asked,
    })
}

/// The studies of a job's cinemas that are at hand or whose modes are kept: nothing is solved anew
/// for a sheet.
pub(super) fn kept(
    job: &Arc<Job>,
    id: &str,
    basses: &Basses,
    teller: &Teller,
) -> Result<Vec<BassStudy>, Unsolved> {
    let analysis = Analysis::new(Arc::clone(job));
    let mut studies = Vec::new();
    for space in &job.space {
        let is_cinema = analysis.zones_in(space).any(|zone| zone.layout.is_some());
        let Some((key, mark)) = Ready::mark_of(&analysis, space, TOP)
            .ok()
            .filter(|_| is_cinema)
        else {
            continue;
        };
        let at_hand = basses.get(id, &space.id);
        let study = match at_hand.filter(|heard| heard.ready.mark() == mark) {
            Some(heard) => {
                let (subs, _) = planned(&analysis, space);
                heard
                    .ready
                    .renewed(&heard.study, &subs, heard.asked.crossover)
            }
            None if basses.shelf().is_some_and(|shelf| shelf.has(&key)) => {
                solved(job, &space.id, Asked::usual(), basses, teller)?.study
            }
            None => continue,
        };
        studies.push(view::bass_study(&analysis, space, &study));
    }
    Ok(studies)
}

impl From<SolveFault> for Unsolved {
    fn from(fault: SolveFault) -> Self {
        match fault.is_stop() {
            true => Self::Stopped,
            false => Self::Refused(fault.to_string()),
        }
    }
}

/// Subs that are tried.
#[derive(Deserialize, JsonSchema)]
struct BassTried {
    /// The subs; one to eight.
    subs: Vec<TriedSub>,
}

/// A field that is asked for.
#[derive(Deserialize, JsonSchema)]
struct BassFieldAsked {
    /// The subs; one to eight.
    subs: Vec<TriedSub>,
    /// The frequency, Hz.
    hz: f64,
    /// The plane; from above when left out.
    #[serde(default)]
    plane: BassPlane,
}

/// More than anybody buys.
const SUBS_MAX: usize = 8;

async fn heard(
    state: State,
    Path((job, space)): Path<(String, String)>,
    Body(tried): Body<BassTried>,
) -> Result<Json<BassHeard>, Error> {
    let at_hand = at_hand(&state, &job, &space, &tried.subs)?;
    let heard = view::bass_heard(&at_hand.ready, &tried.subs);
    heard.map(Json).ok_or_else(outside)
}

async fn field(
    state: State,
    Path((job, space)): Path<(String, String)>,
    Body(asked): Body<BassFieldAsked>,
) -> Result<Json<BassField>, Error> {
    let at_hand = at_hand(&state, &job, &space, &asked.subs)?;
    let top = at_hand.ready.holds_up_to().0;
    if !(10.0..=top).contains(&asked.hz) {
        return Err(Error::refused(
            format!("{} Hz is not within what was solved", asked.hz),
            format!("from 10 Hz to {top:.0} Hz can be shown"),
        ));
    }
    let work = move || view::bass_field(&at_hand.ready, &asked.subs, asked.plane, Hertz(asked.hz));
    let field = tokio::task::spawn_blocking(work)
        .await
        .map_err(Error::fault)?;
    field.map(Json).ok_or_else(outside)
}

fn at_hand(state: &State, job: &str, space: &str, subs: &[TriedSub]) -> Result<Arc<Heard>, Error> {
    if subs.is_empty() || subs.len() > SUBS_MAX {
        return Err(Error::refused(
            format!("{} subs", subs.len()),
            format!("from 1 to {SUBS_MAX} can be tried"),
        ));
    }
    state.basses().get(job, space).ok_or_else(|| {
        Error::new(
            axum::http::StatusCode::CONFLICT,
            "the bass of this space is not solved",
            "solve it first",
        )
    })
}

fn outside() -> Error {
    Error::refused(
        "a sub stands outside the room's air",
        "put it within the walls",
    )
}

fn refused(fault: SolveFault) -> Error {
    Error::refused(fault.to_string(), "measure or choose what is missing")
}

fn no_space(space: &str) -> Error {
    Error::not_found(
        format!("the job has no space `{space}`"),
        "look in the job's list of spaces",
    )
}
