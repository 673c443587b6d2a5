//! Jobs on disk.
