//! The house's network, once the program is open to it.

use std::sync::{Mutex, MutexGuard, PoisonError};

use sharing::{Authority, Pairing};

use crate::Role;

/// What the laptop shows to those who pair a device, and the code that it shows at the moment.
pub struct House {
    addresses: Vec<String>,
    authority: Option<Trust>,
    pairing: Mutex<Pairing<Role>>,
}

/// What a device is given to trust, and how its owner sees that it is the right one.
#[derive(Clone, Debug)]
pub struct Trust {
    /// A certificate, PEM.
    pub pem: String,
    /// Its SHA-256 in pairs of hex digits.
    pub fingerprint: String,
}

impl House {
    /// Devices reach the program at these addresses. Without an authority the certificate is one
    /// that devices trust already.
    pub fn new(addresses: Vec<String>, authority: Option<&Authority>) -> Self {
        let authority = authority.map(|authority| Trust {
            pem: authority.pem().to_owned(),
            fingerprint: authority.fingerprint(),
        });
        Self {
            addresses,
            authority,
            pairing: Mutex::default(),
        }
    }

    /// Where devices reach the program.
    pub fn addresses(&self) -> &[String] {
        &self.addresses
    }

    /// What a device must be told to trust.
    pub fn trust(&self) -> Option<&Trust> {
        self.authority.as_ref()
    }

    /// The code and its tries. A panic while it was held left nothing half done.
    pub fn pairing(&self) -> MutexGuard<'_, Pairing<Role>> {
        self.pairing.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
