//! The inverse questions about a space: where a projector can be, how large a picture, how
//! high a display, where loudspeakers go.

use axum::Json;
use checks::Proved;
use schemars::JsonSchema;
use serde::Deserialize;
use view::{
    DisplayPlaces, LargestPictures, LayoutPlaces, LoudspeakerAt, LoudspeakerPlaces, ProjectorPlaces,
};

use crate::describe::{Endpoint, Path, Query};
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/find/projector-place",
            "Where the projectors of a space can be, and what stops them",
            projector_place,
        ),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/find/largest-picture",
            "How large the pictures of a space can be, and what stops them",
            largest_picture,
        ),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/find/display-place",
            "How high the displays of a space can hang, and what stops them",
            display_place,
        ),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/find/loudspeaker-place",
            "Where each loudspeaker of a space's layouts can go, and what stops it",
            loudspeaker_place,
        ),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/find/loudspeaker-at",
            "What stops a loudspeaker at one place, and the nearest place that it can go",
            loudspeaker_at,
        )
        .refuses(&[422]),
        Endpoint::get(
            "/api/jobs/{job}/spaces/{space}/find/layout-places",
            "Where all loudspeakers of a space's layouts should go together",
            layout_places,
        ),
    ]
}

async fn projector_place(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<ProjectorPlaces>, Error> {
    let look = move |proved: &Proved| {
        let found = view::projector_places(proved.analysis(), &space, None);
        found.ok_or_else(|| no_space(&space))
    };
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn largest_picture(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<LargestPictures>, Error> {
    let look = move |proved: &Proved| {
        let found = view::largest_pictures(proved.analysis(), &space);
        found.ok_or_else(|| no_space(&space))
    };
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn display_place(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<DisplayPlaces>, Error> {
    let look = move |proved: &Proved| {
        let found = view::display_places(proved.analysis(), &space);
        found.ok_or_else(|| no_space(&space))
    };
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn loudspeaker_place(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<LoudspeakerPlaces>, Error> {
    let look = move |proved: &Proved| {
        let found = view::loudspeaker_places(proved.analysis(), &space, None);
        found.ok_or_else(|| no_space(&space))
    };
    state.look_at_head(&job, look).await?.1.map(Json)
}

/// A place on a surface.
#[derive(Deserialize, JsonSchema)]
struct AtPlace {
    /// The loudspeaker's item.
    item: String,
    /// The wall's id, `ceiling` or `floor`.
    surface: String,
    /// On a wall from its left corner; else in plan, m.
    x: f64,
    /// On a wall above the floor; else in plan, m.
    y: f64,
}

async fn loudspeaker_at(
    state: State,
    Path((job, space)): Path<(String, String)>,
    Query(asked): Query<AtPlace>,
) -> Result<Json<LoudspeakerAt>, Error> {
    let look = move |proved: &Proved| {
        let AtPlace {
            item,
            surface,
            x,
            y,
        } = &asked;
        if proved.analysis().space(&space).is_none() {
            return Err(no_space(&space));
        }
        if ![x, y].into_iter().all(|part| part.abs() < 1e4) {
            return Err(Error::refused(
                "a place is two lengths in metres, within 10 km",
                "point at the drawing again",
            ));
        }
        match view::loudspeaker_at(proved.analysis(), item, surface, [*x, *y]) {
            Some(Ok(found)) => Ok(found),
            Some(Err(missing)) => Err(Error::refused(
                format!("where `{item}` can go is not known: needs {missing}"),
                "enter what is named, then ask again",
            )),
            None => Err(Error::not_found(
                format!("the job has no item `{item}`"),
                "look in the job's list of items",
            )),
        }
    };
    state.look_at_head(&job, look).await?.1.map(Json)
}

async fn layout_places(
    state: State,
    Path((job, space)): Path<(String, String)>,
) -> Result<Json<LayoutPlaces>, Error> {
    let look = move |proved: &Proved| {
        let found = view::layout_places(proved.analysis(), &space);
        found.ok_or_else(|| no_space(&space))
    };
    state.look_at_head(&job, look).await?.1.map(Json)
}

fn no_space(space: &str) -> Error {
    Error::not_found(
        format!("the job has no space `{space}`"),
        "look in the job's list of spaces",
    )
}
