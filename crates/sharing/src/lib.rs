//! Opening the laptop to the house's network: who is let in, under which name, how trusted.

mod certificate;
mod hosts;
mod pairing;
mod token;

pub use certificate::{Authority, CertificateError, from_files};
pub use hosts::{Hosts, house_addresses, machine_name};
pub use pairing::{Pairing, Refusal};
pub use token::{Token, random};
