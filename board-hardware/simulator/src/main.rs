//! Entry point, to be written.
fn main() {}
