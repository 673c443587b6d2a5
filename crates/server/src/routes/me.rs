//! Who asks, as the page greets him.

use axum::Json;
use schemars::JsonSchema;
use serde::Serialize;

use crate::caller::{Needs, Role};
use crate::describe::Endpoint;
use crate::{Caller, Error};

pub fn routes() -> Vec<Endpoint> {
    vec![Endpoint::get("/api/me", "Who asks, and what the device may do", me).needs(Needs::Nobody)]
}

/// Who asks.
#[derive(Serialize, JsonSchema)]
struct Me {
    /// Null for a device that is not paired.
    role: Option<Role>,
    /// The device's name, as history shows it.
    device: String,
    /// On the machine that the program runs on.
    here: bool,
    /// Other devices may be let in.
    shared: bool,
    /// The connection is encrypted.
    secure: bool,
    /// The program's version.
    version: &'static str,
}

async fn me(caller: Caller) -> Result<Json<Me>, Error> {
    Ok(Json(Me {
        role: caller.role,
        device: caller.device,
        here: caller.here,
        shared: caller.shared,
        secure: caller.secure,
        version: env!("CARGO_PKG_VERSION"),
    }))
}
