//! The job: its facts, its file and changes to it.
