//! The measures on open recordings of quiet standing, against values that are not ours.

mod golden;
mod open_data;
mod published;
