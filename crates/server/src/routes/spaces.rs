//! Rooms as drawings and as the walk through them, saved or not.

use axum::Json;
use checks::Proved;
use schemars::JsonSchema;
use serde::Deserialize;
use view::{FieldRead, Light, Scene, Sound, Walk};

use crate::describe::{Body, Endpoint, Path};
use crate::desk::Revision;
use crate::proved::Changes;
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/scene",
            "Where everything of a space is",
            scene,
        ),
        Endpoint::post(
            "/api/jobs/{job}/spaces/{space}/scene",
            "The scene of a changed copy; nothing is saved",
            changed_scene,
        ),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/light",
            "Contrast of a space's projected pictures by month and hour",
            light,
        ),
        Endpoint::post(
            "/api/jobs/{job}/spaces/{space}/light",
            "The light of a changed copy; nothing is saved",
            changed_light,
        ),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/sound",
            "Levels over a space by octave, and from where each seat hears each channel",
            sound,
        ),
        Endpoint::post(
            "/api/jobs/{job}/spaces/{space}/sound",
            "The sound of a changed copy; nothing is saved",
            changed_sound,
        ),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/walk",
            "What to measure in a space, and what was",
            walk,
        ),
        Endpoint::post(
            "/api/jobs/{job}/spaces/{space}/walk",
            "The walk of a changed copy; nothing is saved",
            changed_walk,
        ),
        Endpoint::post(
            "/api/jobs/{job}/field",
            "Reads what was typed into a field; nothing is saved",
            field,
        )
        .refuses(&[404]),
    ]
}

/// A change to be shown, not saved.
#[derive(Deserialize, JsonSchema)]
struct Changed {
    /// The revision that the client shows.
    base: Revision,
    #[serde(flatten)]
    changes: Changes,
}

async fn scene(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<Scene>, Error> {
    let look = move |proved: &Proved| scene_of(proved, &space);
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn changed_scene(
    state: State,
    Path((job, space)): Path<(String, String)>,
    Body(asked): Body<Changed>,
) -> Result<Json<Scene>, Error> {
    let look = move |proved: &Proved| {
        let (copy, _) = asked.changes.copy(proved)?;
        scene_of(&copy.proved, &space)
    };
    state.look(&job, asked.base, None, look).await?.map(Json)
}

async fn light(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<Light>, Error> {
    let look = move |proved: &Proved| light_of(proved, &space);
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn changed_light(
    state: State,
    Path((job, space)): Path<(String, String)>,
    Body(asked): Body<Changed>,
) -> Result<Json<Light>, Error> {
    let look = move |proved: &Proved| {
        let (copy, _) = asked.changes.copy(proved)?;
        light_of(&copy.proved, &space)
    };
    state.look(&job, asked.base, None, look).await?.map(Json)
}

fn light_of(proved: &Proved, space: &str) -> Result<Light, Error> {
    view::light(proved.analysis(), space).ok_or_else(|| no_space(space))
}

async fn sound(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<Sound>, Error> {
    let look = move |proved: &Proved| sound_of(proved, &space);
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn changed_sound(
    state: State,
    Path((job, space)): Path<(String, String)>,
    Body(asked): Body<Changed>,
) -> Result<Json<Sound>, Error> {
    let look = move |proved: &Proved| {
        let (copy, _) = asked.changes.copy(proved)?;
        sound_of(&copy.proved, &space)
    };
    state.look(&job, asked.base, None, look).await?.map(Json)
}

fn sound_of(proved: &Proved, space: &str) -> Result<Sound, Error> {
    view::sound(proved.analysis(), space).ok_or_else(|| no_space(space))
}

async fn walk(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<Walk>, Error> {
    let look = move |proved: &Proved| walk_of(proved, &space);
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn changed_walk(
    state: State,
    Path((job, space)): Path<(String, String)>,
    Body(asked): Body<Changed>,
) -> Result<Json<Walk>, Error> {
    let look = move |proved: &Proved| {
        let (copy, _) = asked.changes.copy(proved)?;
        walk_of(&copy.proved, &space)
    };
    state.look(&job, asked.base, None, look).await?.map(Json)
}

fn scene_of(proved: &Proved, space: &str) -> Result<Scene, Error> {
    let findings: Vec<_> = proved.findings().collect();
    let scene = view::scene::scene(proved.analysis(), &findings, space);
    scene.ok_or_else(|| no_space(space))
}

fn walk_of(proved: &Proved, space: &str) -> Result<Walk, Error> {
    let findings: Vec<_> = proved.findings().collect();
    let walk = view::walk(proved.analysis(), &findings, space);
    walk.ok_or_else(|| no_space(space))
}

fn no_space(space: &str) -> Error {
    Error::not_found(
        format!("the job has no space `{space}`"),
        "look in the job's list of spaces",
    )
}

/// What was typed.
#[derive(Deserialize, JsonSchema)]
struct Typed {
    /// The field's document path.
    at: String,
    /// What was typed into it.
    text: String,
}

async fn field(
    state: State,
    Path(job): Path<String>,
    Body(typed): Body<Typed>,
) -> Result<Json<FieldRead>, Error> {
    let look = move |proved: &Proved| {
        let read = view::field(proved.analysis(), &typed.at, &typed.text);
        read.map_err(|refused| refused_field(refused, &typed.at))
    };
    state.look_at_head(&job, look).await?.1.map(Json)
}

fn refused_field(refused: view::FieldRefused, at: &str) -> Error {
    let mut error = Error::refused(refused.message, refused.hint).at(at);
    error.says.column = refused.column.map(|letter| letter + 1);
    error.says.accepted = Some(refused.accepted);
    error
}
