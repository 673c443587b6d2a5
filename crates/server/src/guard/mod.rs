//! Who asks, and may they?
//!
//! Puts a [`Caller`] into every request before a route sees it. Callers at this machine are
//! the crew; all others are nobody.

use std::net::SocketAddr;

use axum::extract::{ConnectInfo, Request, State as Of};
use axum::middleware::Next;
use axum::response::Response;

use crate::caller::{Caller, Role};

/// Who is let in, and how.
#[derive(Clone, Debug)]
pub struct Access {
    /// What history calls changes made at this machine.
    here: String,
}

impl Access {
    /// Callers at this machine alone, under a name.
    pub fn here(name: impl Into<String>) -> Self {
        Self { here: name.into() }
    }

    fn caller(&self, request: &Request) -> Caller {
        let from = request.extensions().get::<ConnectInfo<SocketAddr>>();
        match from {
            Some(ConnectInfo(address)) if address.ip().is_loopback() => Caller {
                role: Some(Role::Crew),
                device: self.here.clone(),
                here: true,
                shared: false,
                secure: false,
            },
            _ => Caller {
                role: None,
                device: "unknown device".to_owned(),
                here: false,
                shared: false,
                secure: false,
            },
        }
    }
}

/// Names the caller of each request.
pub async fn identify(Of(access): Of<Access>, mut request: Request, next: Next) -> Response {
    let caller = access.caller(&request);
    request.extensions_mut().insert(caller);
    next.run(request).await
}
