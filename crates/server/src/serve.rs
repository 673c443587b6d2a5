//! The server on a socket.

use std::io;
use std::net::SocketAddr;

use axum::Router;
use tokio::net::TcpListener;

/// Answers on a socket until `stop` is ready, and then what is under way.
pub async fn serve(
    listener: TcpListener,
    app: Router,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    axum::serve(
        listener,
        app.into_make_service_with_connect_info::<SocketAddr>(),
    )
    .with_graceful_shutdown(stop)
    .await
}
