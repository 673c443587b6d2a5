//! Is every bad document refused at its place, quickly, and without a panic?

mod hostile;
mod mutated;
mod refused;
