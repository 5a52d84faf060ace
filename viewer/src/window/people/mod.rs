//! The list of people: whoever needs the clinician first stands first.

mod model;
mod paint;

pub use model::{Attention, PersonRow, Standing};
pub(crate) use paint::attention_mark;
pub use paint::{PeopleCommand, PeopleScreen};
