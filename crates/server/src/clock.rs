//! The one place where the server reads the clock and the dice for what it keeps.

use jiff::Timestamp;
use store::{Act, When};

/// Now.
pub fn now() -> When {
    When::from_timestamp(Timestamp::now())
}

/// Somebody acts now, under a number that nobody had before.
pub fn act_now(who: &str) -> Result<Act, getrandom::Error> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)?;
    let op: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    Ok(Act::new(op, who, now()))
}
