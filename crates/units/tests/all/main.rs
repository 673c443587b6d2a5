//! The reader and the printer, through their public functions alone.

mod money;
mod printing;
mod properties;
mod reading;
mod refusing;
mod wire;
