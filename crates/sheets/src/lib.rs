//! Printed sheets: PDF bytes from a proven job.
