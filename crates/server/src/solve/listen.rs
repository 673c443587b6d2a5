//! Somebody who listens to a solve, which stops when the last of them goes.

use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::task::{Context, Poll};

use tokio_stream::Stream;
use tokio_stream::wrappers::WatchStream;

use super::{Progress, Solve};

/// The progress of a solve as it comes, ending with its last word.
pub struct Listening {
    solve: Arc<Solve>,
    progress: WatchStream<Progress>,
    ended: bool,
}

impl Listening {
    pub(super) fn to(solve: Arc<Solve>) -> Self {
        solve.listeners.fetch_add(1, Ordering::SeqCst);
        Self {
            progress: WatchStream::new(solve.progress.subscribe()),
            solve,
            ended: false,
        }
    }
}

impl Stream for Listening {
    type Item = Progress;

    fn poll_next(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Option<Progress>> {
        if self.ended {
            return Poll::Ready(None);
        }
        let next = Pin::new(&mut self.progress).poll_next(context);
        if let Poll::Ready(Some(progress)) = &next {
            self.ended = progress.is_last();
        }
        next
    }
}

/// A dropped request does not stop work on another thread: this does.
impl Drop for Listening {
    fn drop(&mut self) {
        let others = self.solve.listeners.fetch_sub(1, Ordering::SeqCst) - 1;
        if others == 0 && !self.solve.progress.borrow().is_last() {
            self.solve.stop.store(true, Ordering::Relaxed);
        }
    }
}
