//! Who asks, and may they?
//!
//! Refuses what other sites send and what asks for another machine, then puts a [`Caller`] into
//! the request before a route sees it. Callers at this machine are the crew; others are who
//! their session says, and nobody without one.

mod headers;
mod limits;
pub mod session;
mod site;
mod timing;

use std::net::SocketAddr;
use std::sync::Arc;

use axum::extract::{ConnectInfo, Request, State as Of};
use axum::http::HeaderMap;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use sharing::Hosts;

use crate::caller::{Caller, Role};
use crate::{Error, State};

pub use headers::restrict;
pub use limits::in_time;
pub use timing::timed;

/// A way that several callers' requests took together says which by such a header.
const FORWARDED: [&str; 4] = ["forwarded", "x-forwarded-for", "x-real-ip", "via"];

/// Who is let in, and how.
#[derive(Clone, Debug)]
pub struct Access {
    here: String,
    hosts: Arc<Hosts>,
}

/// Marks requests that came over TLS.
#[derive(Clone, Copy, Debug)]
pub struct Encrypted;

impl Access {
    /// Callers at this machine, under the name by which history calls them.
    pub fn here(name: impl Into<String>) -> Self {
        Self {
            here: name.into(),
            hosts: Arc::new(Hosts::loopback()),
        }
    }

    /// Answers to these names and addresses.
    pub fn known_as(self, hosts: Hosts) -> Self {
        Self {
            hosts: Arc::new(hosts),
            ..self
        }
    }
}

/// Names the caller of each request, or refuses it.
pub async fn identify(
    Of((state, access)): Of<(State, Access)>,
    mut request: Request,
    next: Next,
) -> Response {
    if let Some(error) = site::refused(&request, &access.hosts) {
        return error.into_response();
    }
    // A request's body must not be held while the store is asked.
    let way = Way::of(&request);
    match caller(&state, &access, way, request.headers().clone()).await {
        Ok(caller) => {
            request.extensions_mut().insert(caller);
            next.run(request).await
        }
        Err(error) => error.into_response(),
    }
}

/// The way that a request came.
struct Way {
    here: bool,
    secure: bool,
}

impl Way {
    fn of(request: &Request) -> Self {
        Self {
            here: is_here(request),
            secure: request.extensions().get::<Encrypted>().is_some(),
        }
    }
}

async fn caller(
    state: &State,
    access: &Access,
    Way { here, secure }: Way,
    headers: HeaderMap,
) -> Result<Caller, Error> {
    let caller = |role, device: &str, here| Caller {
        role,
        device: device.to_owned(),
        here,
        shared: state.house().is_some(),
        secure,
    };
    if here {
        return Ok(caller(Some(Role::Crew), &access.here, true));
    }
    let session = session::of(state, &headers).await?;
    Ok(match session {
        Some((role, device)) => caller(Some(role), &device, false),
        None => caller(None, "a device that is not paired", false),
    })
}

/// Whether somebody sits at this machine. Something that passes on requests of others may run
/// here too, and must not lend them its place.
fn is_here(request: &Request) -> bool {
    let from = request.extensions().get::<ConnectInfo<SocketAddr>>();
    let is_loopback =
        from.is_some_and(|ConnectInfo(address)| address.ip().to_canonical().is_loopback());
    is_loopback && !is_passed_on(request.headers())
}

fn is_passed_on(headers: &HeaderMap) -> bool {
    FORWARDED.iter().any(|name| headers.contains_key(*name))
}
