//! The solver against what is known otherwise: exact solutions, other solvers, and laws.

mod decay;
mod laws;
mod modes;
mod order;
mod patches;
mod placement;
mod response;
mod rooms;
