//! Which way a cable takes, what else there would be, and what a house's wires, racks and circuits are.

use axum::Json;
use checks::Proved;
use view::{CableWay, Conduits, Wiring};

use crate::describe::{Endpoint, Path};
use crate::{Error, State};

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/jobs/{job}/cables/{cable}/way",
            "A cable's way, the best of another kind, and what its dearest hole costs",
            way,
        ),
        Endpoint::get(
            "/api/jobs/{job}/conduits",
            "Conduits cut across, with their cables as they lie",
            conduits,
        ),
        Endpoint::get(
            "/api/jobs/{job}/wiring",
            "Racks, mains circuits, the signal diagram, what each button does, and cut-outs",
            wiring,
        ),
    ]
}

async fn conduits(state: State, Path(job): Path<String>) -> Result<Json<Conduits>, Error> {
    let look = |proved: &Proved| view::conduits(proved.analysis());
    Ok(Json(state.look_at_head(&job, look).await?.1))
}

async fn wiring(state: State, Path(job): Path<String>) -> Result<Json<Wiring>, Error> {
    let look = |proved: &Proved| view::wiring(proved.analysis(), proved.findings());
    Ok(Json(state.look_at_head(&job, look).await?.1))
}

async fn way(
    state: State,
    Path((job, cable)): Path<(String, String)>,
) -> Result<Json<CableWay>, Error> {
    let look = move |proved: &Proved| way_of(proved, &cable);
    state.look_at_head(&job, look).await?.1.map(Json)
}

fn way_of(proved: &Proved, id: &str) -> Result<CableWay, Error> {
    let analysis = proved.analysis();
    let cable = analysis.cables().find(|cable| cable.id == id);
    let way = cable.map(|cable| view::cable_way(analysis, cable));
    way.ok_or_else(|| {
        Error::not_found(
            format!("the job has no cable `{id}`"),
            "look in the job's list of cables",
        )
    })
}
