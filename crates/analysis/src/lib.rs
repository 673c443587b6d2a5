//! The one place where a job meets the engines.
