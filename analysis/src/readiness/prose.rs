//! Words for a verdict.
