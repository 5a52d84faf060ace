//! The list of trials, from which two sets are picked.

mod model;
mod paint;
mod selection;

pub use model::{ChooseView, GroupKey, ListedTrial, Row, RowSubject, SetSummary};
pub use paint::{ChooseCommand, ChooseScreen};
pub use selection::{InSet, Selection};
