//! Each question that dryfit proves, one file a check.
