//! The one place where the server reads the clock for what it keeps.

use jiff::Timestamp;
use store::When;

/// Now.
pub fn now() -> When {
    When::from_timestamp(Timestamp::now())
}
