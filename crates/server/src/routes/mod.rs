//! Every route, one file a group.

mod solves;

use crate::describe::Endpoint;

/// Every route, in the order in which the description lists them.
pub fn all() -> Vec<Endpoint> {
    [solves::routes()].into_iter().flatten().collect()
}
