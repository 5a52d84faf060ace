//! Somebody stands: the session's questions, what is to be stood, the stand live, and its result.

mod find;
mod form;
mod live;
mod model;
mod paint;
mod result;
mod session;
mod strip;

pub(crate) use live::now_text;
pub use model::{BoardPick, Errand, StandAsk, StandView};
pub use paint::{StandCommand, StandScreen};
