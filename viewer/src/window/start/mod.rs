//! The first screen: three ways to begin, never an empty window.

mod model;
mod paint;

pub use model::{Choice, StartView};
pub use paint::{StartCommand, StartScreen};
