//! Who asks?

use axum::extract::FromRequestParts;
use axum::http::StatusCode;
use axum::http::request::Parts;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Error, State};

/// What a device may do.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Look, but change nothing.
    View,
    /// Everything.
    Crew,
}

/// Who asks; the guard puts it into each request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caller {
    /// Nothing yet for a device that is not paired.
    pub role: Option<Role>,
    /// The device's name, as history shows it.
    pub device: String,
    /// On the machine that the program runs on.
    pub here: bool,
    /// The program is open to other devices.
    pub shared: bool,
    /// The connection is encrypted.
    pub secure: bool,
}

/// Who may ask for something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Needs {
    /// Anyone, paired or not.
    Nobody,
    /// A device that may look at least.
    View,
    /// A device of the crew.
    Crew,
    /// Somebody at this machine.
    Here,
}

impl Caller {
    /// Nothing when the caller may, else why not.
    pub fn refused(&self, needs: Needs) -> Option<Error> {
        let unpaired = || {
            Error::new(
                StatusCode::UNAUTHORIZED,
                "this device is not paired",
                "open the pairing page and type the code that the laptop shows",
            )
        };
        match needs {
            Needs::Nobody => None,
            Needs::Here if self.here => None,
            Needs::Here => Some(Error::new(
                StatusCode::FORBIDDEN,
                "sharing is set up on the laptop only",
                "open this page on the machine that runs dryfit",
            )),
            Needs::View => self.role.is_none().then(unpaired),
            Needs::Crew => match self.role {
                Some(Role::Crew) => None,
                Some(Role::View) => Some(Error::new(
                    StatusCode::FORBIDDEN,
                    "this device may look, not change",
                    "pair it again as crew on the laptop's sharing page",
                )),
                None => Some(unpaired()),
            },
        }
    }
}

impl FromRequestParts<State> for Caller {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, _: &State) -> Result<Self, Error> {
        let caller = parts.extensions.get::<Self>().cloned();
        caller.ok_or_else(|| Error::fault("a request came past the guard"))
    }
}
