//! Every route, one file a group.

mod bass;
mod cables;
mod catalogue;
mod edits;
mod find;
mod findings;
mod jobs;
mod me;
mod photographs;
mod schema;
mod sharing;
mod sheets;
mod solves;
mod spaces;
mod ticks;

use crate::describe::Endpoint;

/// Every route, in the order in which the description lists them.
pub fn all() -> Vec<Endpoint> {
    let groups = [
        jobs::routes(),
        edits::routes(),
        findings::routes(),
        spaces::routes(),
        cables::routes(),
        find::routes(),
        bass::routes(),
        sheets::routes(),
        solves::routes(),
        ticks::routes(),
        photographs::routes(),
        catalogue::routes(),
        me::routes(),
        schema::routes(),
        sharing::routes(),
    ];
    groups.into_iter().flatten().collect()
}
