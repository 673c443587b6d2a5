//! What every request shares.

use std::sync::{Arc, OnceLock};

use store::{Store, Turns};

use crate::bass::{Basses, Shelf};
use crate::card::Cards;
use crate::desk::{Desks, Limits};
use crate::house::House;
use crate::kept::{Sizes, Tables};
use crate::print::Sets;
use crate::said::Sayings;
use crate::solve::Solves;

/// What every request shares; copies share it too.
#[derive(Clone)]
pub struct State(Arc<Shared>);

struct Shared {
    store: Store,
    desks: Desks,
    solves: Solves,
    basses: Basses,
    cards: Cards,
    sets: Sets,
    sizes: Sizes,
    tables: Tables,
    sayings: Sayings,
    turns: Turns,
    house: OnceLock<House>,
}

impl State {
    /// Over an open store; no desk is open yet.
    pub fn new(store: Store, limits: Limits) -> Self {
        Self(Arc::new(Shared {
            store,
            desks: Desks::new(limits),
            solves: Solves::default(),
            basses: Basses::default(),
            cards: Cards::default(),
            sets: Sets::default(),
            sizes: Sizes::default(),
            tables: Tables::default(),
            sayings: Sayings::default(),
            turns: Turns::default(),
            house: OnceLock::new(),
        }))
    }

    /// Lets devices of the house's network in, by a code. A second call changes nothing.
    pub fn open_to(&self, house: House) {
        let _ = self.0.house.set(house);
    }

    /// Keeps solves of bass on a shelf, so that none is done twice. A second call changes nothing.
    pub fn keep_solves(&self, shelf: Shelf) {
        self.0.basses.keep(shelf);
    }

    /// What is known of the house's network; none while the program answers this machine alone.
    pub(crate) fn house(&self) -> Option<&House> {
        self.0.house.get()
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

    pub(crate) fn basses(&self) -> &Basses {
        &self.0.basses
    }

    pub(crate) fn cards(&self) -> &Cards {
        &self.0.cards
    }

    pub(crate) fn sets(&self) -> &Sets {
        &self.0.sets
    }

    pub(crate) fn sizes(&self) -> &Sizes {
        &self.0.sizes
    }

    /// Whose turn it is to save: a desk follows from one revision to the next, and saves that
    /// overtook each other on their way there would have it read each anew.
    pub(crate) fn turns(&self) -> &Turns {
        &self.0.turns
    }

    pub(crate) fn sayings(&self) -> &Sayings {
        &self.0.sayings
    }

    pub(crate) fn tables(&self) -> &Tables {
        &self.0.tables
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
