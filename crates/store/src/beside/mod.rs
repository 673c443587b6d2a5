//! What is kept beside the documents: ticks, photographs, the shop's catalogue, sessions.

mod catalogue;
mod photographs;
mod pins;
mod sessions;
mod ticks;

pub use catalogue::CatalogueEntry;
pub use photographs::{NewPhotograph, Photograph};
pub(crate) use photographs::{
    PHOTOGRAPH_BYTES_MAX, hash_of, insert_photograph, is_hash, keep_file, read_photographs,
};
pub use sessions::Session;
pub use ticks::Tick;
pub(crate) use ticks::Waiting;
