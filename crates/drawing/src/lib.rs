//! Drawings to scale in millimetres of paper, written as SVG.
