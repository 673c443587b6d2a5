//! Circuits, heat and air.
