//! Whether a trial is fit to be believed.

mod events;
mod flags;

pub use events::{
    FootShift, LoadChange, LoadedCop, foot_shifts, load_changes, standing_still_s, step_off_s,
    step_on_s,
};
pub use flags::{Quality, QualityFlag, RecordFacts};
