//! The measures on open recordings of quiet standing, against values that are not ours.

#![expect(clippy::unwrap_used, reason = "a file that cannot be read fails the test")]

mod golden;
mod open_data;
mod peer;
mod published;
mod resting_place;
mod standing;
