//! The server on a socket.

use std::io;
use std::net::{SocketAddr, TcpListener as StdListener};
use std::sync::Arc;
use std::time::Duration;

use axum::serve::ListenerExt;
use axum::{Extension, Router};
use axum_server::Handle;
use axum_server::accept::NoDelayAcceptor;
use axum_server::tls_rustls::{RustlsAcceptor, RustlsConfig};
use hyper_util::rt::TokioTimer;
use rustls::ServerConfig;

use tokio::net::TcpListener;
use tokio::sync::oneshot;

use crate::guard::Encrypted;
use crate::{Access, State, app};

/// How long answers under way may take once the server is asked to stop.
const ENDING: Duration = Duration::from_secs(5);

/// A connection of the house's network that has not said what it wants by then is shut: a device
/// that only holds connections open would keep others out.
const HEADERS_LAST: Duration = Duration::from_secs(15);

/// A socket of the house's network, where everything is encrypted.
pub struct Secured {
    /// Where devices connect.
    pub listener: StdListener,
    /// Certificate and key.
    pub config: Arc<ServerConfig>,
}

/// Answers on a socket of this machine, and on one of the house's network where there is one,
/// until `stop` is ready, then what is under way; then closes the desks and the store.
pub async fn serve(
    listener: TcpListener,
    secured: Option<Secured>,
    state: State,
    access: Access,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let routes = app(state.clone(), access);
    let house = Handle::new();
    let shared = secured.map(|secured| share(secured, routes.clone(), house.clone()));
    let app = routes.into_make_service_with_connect_info::<SocketAddr>();
    let (ending, ended) = oneshot::channel::<()>();
    let solves = state.clone();
    let stop = async move {
        stop.await;
        house.graceful_shutdown(Some(ENDING));
        // Somebody who listens to one would hold his connection open until it ends.
        solves.solves().stop();
        drop(ending);
    };
    let too_long = async {
        let _ = ended.await;
        tokio::time::sleep(ENDING).await;
    };
    // An answer's last packet must not wait until the client confirms the one before, which it puts
    // off by some 40 ms (RFC 9293, 3.7.4 and 3.8.6.3).
    let listener = listener.tap_io(|connection| {
        if let Err(error) = connection.set_nodelay(true) {
            tracing::debug!("a connection waits before it sends: {error}");
        }
    });
    let here = axum::serve(listener, app).with_graceful_shutdown(stop);
    let both = async {
        match shared {
            Some(shared) => tokio::try_join!(here, shared).map(|_| ()),
            None => here.await,
        }
    };
    let served = tokio::select! {
        served = both => served,
        () = too_long => Ok(()),
    };
    state.close().await;
    served
}

async fn share(secured: Secured, routes: Router, handle: Handle<SocketAddr>) -> io::Result<()> {
    secured.listener.set_nonblocking(true)?;
    let config = RustlsConfig::from_config(secured.config);
    let app = routes
        .layer(Extension(Encrypted))
        .into_make_service_with_connect_info::<SocketAddr>();
    let acceptor = RustlsAcceptor::new(config).acceptor(NoDelayAcceptor);
    let mut server = (axum_server::from_tcp(secured.listener)?)
        .acceptor(acceptor)
        .handle(handle);
    server
        .http_builder()
        .http1()
        .timer(TokioTimer::new())
        .header_read_timeout(HEADERS_LAST);
    server.serve(app).await
}
