//! Everything CI does, and code generation.

fn main() {}
