//! The server: jobs proved at their desks, behind routes that the page asks.
//!
//! [`app`] answers requests and can be called without a socket; [`serve`] puts it on one.
//! What is computed and how it is said comes from the crates above; here it is decided who
//! may ask, in which order, and when the answer is nobody's business any more.

mod bass;
mod blank;
mod caller;
mod card;
mod clock;
mod describe;
mod desk;
mod error;
mod guard;
mod house;
mod kept;
mod page;
#[cfg_attr(
    not(feature = "sheets"),
    expect(dead_code, reason = "the shapes of sheets are described all the same")
)]
mod print;
mod proved;
mod routes;
mod said;
mod serve;
mod solve;
mod state;
mod stored;

use std::any::Any;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use axum::response::{IntoResponse, Response};
use serde_json::Value;
use tower_http::catch_panic::CatchPanicLayer;

pub use bass::Shelf;
#[cfg(feature = "sheets")]
pub use bass::bass_sheet;
pub use caller::{Caller, Needs, Role};
pub use clock::act_now;
pub use desk::Limits;
pub use error::{Error, Says};
pub use guard::Access;
pub use house::House;
pub use serve::{Secured, serve};
pub use state::State;

/// More than any job file has, less than hurts; routes of photographs allow more.
const BODY_BYTES_MAX: usize = 6_000_000;

/// The whole server, without a socket.
pub fn app(state: State, access: Access) -> Router {
    layered(describe::router(routes::all()), state, access)
}

/// What stands around every route: who asks, how much, and what a panic looks like.
fn layered(routes: Router<State>, state: State, access: Access) -> Router {
    routes
        .method_not_allowed_fallback(page::not_allowed)
        .fallback(page::serve)
        .layer(DefaultBodyLimit::max(BODY_BYTES_MAX))
        .layer(middleware::from_fn_with_state(
            (state.clone(), access),
            guard::identify,
        ))
        .layer(middleware::from_fn(guard::in_time))
        .layer(CatchPanicLayer::custom(panicked))
        .layer(middleware::from_fn(guard::restrict))
        .layer(middleware::from_fn(guard::timed))
        .with_state(state)
}

/// What the routes take and answer, as an OpenAPI 3.1 document.
pub fn description() -> Value {
    describe::document(&routes::all())
}

fn panicked(panic: Box<dyn Any + Send>) -> Response {
    let words = (panic.downcast_ref::<String>().map(String::as_str))
        .or_else(|| panic.downcast_ref::<&str>().copied())
        .unwrap_or("no words");
    Error::fault(format!("a request panicked: {words}")).into_response()
}

#[cfg(test)]
mod tests;
