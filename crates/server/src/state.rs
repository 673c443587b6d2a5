//! What every request shares.

use std::sync::Arc;

use crate::desk::{Desks, Limits};
use crate::solve::Solves;

/// What every request shares; copies share it too.
#[derive(Clone)]
pub struct State(Arc<Shared>);

struct Shared {
    desks: Desks,
    solves: Solves,
}

impl State {
    /// Nothing is open yet.
    pub fn new(limits: Limits) -> Self {
        Self(Arc::new(Shared {
            desks: Desks::new(limits),
            solves: Solves::default(),
        }))
    }

    pub(crate) fn desks(&self) -> &Desks {
        &self.0.desks
    }

    pub(crate) fn solves(&self) -> &Solves {
        &self.0.solves
    }

    /// Ends what runs: solves stop, desks answer what waits and close. Blocks until then.
    pub fn close(&self) {
        self.solves().stop();
        self.desks().close();
    }
}
