//! The board by itself: who it is, whether it answers, and the load on each corner.

mod link;
mod model;
mod paint;

pub(crate) use link::{BoardLink, LinkProblem};
pub use model::{BoardView, CornerView, LinkState};
pub use paint::{BoardCommand, BoardScreen};
