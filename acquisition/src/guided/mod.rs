//! Loads put on the board one after the other, each read once it rests.
//!
//! [`GuidedReadings`] is driven by frames alone and says what the person should do next; [`follow`]
//! feeds it from a board. Calibration, the dead-weight check and the board's acceptance tests are
//! lists of [`Station`]s.

mod events;
mod follow;
mod glance;
mod reading;
mod readings;
mod station;

pub use events::{GuidedEvent, Request, Stuck};
pub use follow::{GuidedError, follow};
pub use reading::Reading;
pub use readings::GuidedReadings;
pub use station::{Course, Station};
pub(crate) use station::{REST_S, ZERO_MOVED_NEWTONS};
