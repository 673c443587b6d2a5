//! Every route, one file a group.

mod edits;
mod findings;
mod jobs;
mod me;
mod schema;
mod sheets;
mod solves;
mod spaces;

use crate::describe::Endpoint;

/// Every route, in the order in which the description lists them.
pub fn all() -> Vec<Endpoint> {
    let groups = [
        jobs::routes(),
        edits::routes(),
        findings::routes(),
        spaces::routes(),
        sheets::routes(),
        solves::routes(),
        me::routes(),
        schema::routes(),
    ];
    groups.into_iter().flatten().collect()
}
