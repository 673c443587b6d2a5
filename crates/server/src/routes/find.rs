//! The inverse questions about a space: where a projector can be, how large a picture, how
//! high a display, where loudspeakers go.

use axum::Json;
use checks::Proved;
use view::{DisplayPlaces, LargestPictures, LayoutPlaces, LoudspeakerPlaces, ProjectorPlaces};

use crate::describe::{Endpoint, Path};
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
