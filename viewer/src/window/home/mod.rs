//! The first screen: three ways to begin, never an empty window.

mod model;
mod paint;

pub use model::{Choice, HomeView};
pub use paint::{HomeCommand, HomeScreen};
