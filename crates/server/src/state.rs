//! What every request shares.

use std::sync::Arc;

use store::Store;

use crate::card::Cards;
use crate::desk::{Desks, Limits};
use crate::print::Sets;
use crate::solve::Solves;

/// What every request shares; copies share it too.
#[derive(Clone)]
pub struct State(Arc<Shared>);

struct Shared {
    store: Store,
    desks: Desks,
    solves: Solves,
    cards: Cards,
    sets: Sets,
}

impl State {
    /// Over an open store; no desk is open yet.
    pub fn new(store: Store, limits: Limits) -> Self {
        Self(Arc::new(Shared {
            store,
            desks: Desks::new(limits),
            solves: Solves::default(),
            cards: Cards::default(),
            sets: Sets::default(),
        }))
    }

    pub(crate) fn store(&self) -> &Store {
        &self.0.store
    }

    pub(crate) fn desks(&self) -> &Desks {
        &self.0.desks
    }

    pub(crate) fn solves(&self) -> &Solves {
        &self.0.solves
    }

    pub(crate) fn cards(&self) -> &Cards {
        &self.0.cards
    }

    pub(crate) fn sets(&self) -> &Sets {
        &self.0.sets
    }

    /// Ends what runs: solves stop, desks answer what waits and close, and the store folds
    /// its log into its file.
    pub async fn close(&self) {
        self.solves().stop();
        let state = self.clone();
        // A desk may still be proving.
        let closed = tokio::task::spawn_blocking(move || state.desks().close()).await;
        if let Err(panicked) = closed {
            tracing::error!("{panicked}");
        }
        self.store().close().await;
    }
}
