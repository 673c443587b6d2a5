//! Numbers that know which measurements they came from.
