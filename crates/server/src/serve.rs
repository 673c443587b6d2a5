//! The server on a socket.

use std::io;
use std::net::SocketAddr;
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::sync::oneshot;

use crate::{Access, State, app};

/// How long answers under way may take once the server is asked to stop.
const ENDING: Duration = Duration::from_secs(5);

/// Answers on a socket until `stop` is ready, then what is under way; then closes the desks
/// and the store.
pub async fn serve(
    listener: TcpListener,
    state: State,
    access: Access,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let app = app(state.clone(), access).into_make_service_with_connect_info::<SocketAddr>();
    let (ending, ended) = oneshot::channel::<()>();
    let solves = state.clone();
    let stop = async move {
        stop.await;
        // Somebody who listens to one would hold his connection open until it ends.
        solves.solves().stop();
        drop(ending);
    };
    let too_long = async {
        let _ = ended.await;
        tokio::time::sleep(ENDING).await;
    };
    let served = tokio::select! {
        served = axum::serve(listener, app).with_graceful_shutdown(stop) => served,
        () = too_long => Ok(()),
    };
    state.close().await;
    served
}
