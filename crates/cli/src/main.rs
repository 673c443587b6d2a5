//! The dryfit command.

fn main() {}
