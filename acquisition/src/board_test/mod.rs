//! Acceptance tests of a board: what is asked for, what it gives, and the limit for it.
//!
//! Each test is a guided [`course`] of loads and a pure function from what was read to
//! [`Finding`]s: a value, its limit, and whether it is within. The limits and where they come from
//! are told in `acquisition/docs/board-tests.md`.

mod clock;
mod course;
mod creep;
mod drift;
mod finding;
mod frequency;
mod goertzel;
mod load;
mod noise;
mod overload;
mod placing;
mod pull;
mod skew;
mod software;
mod steps;
mod test;

pub use clock::{ClockRecord, clock};
pub use course::{course, judge};
pub use creep::{creep, zero_return};
pub use drift::drift;
pub use finding::{Finding, Limit};
pub use frequency::resonance;
pub use load::Load;
pub use noise::{DeadWeight, NoiseRefused, dead_weight, noise};
pub use overload::overload;
pub use placing::{Marked, corner_load, hold_out, repeatability};
pub use pull::{Pull, contact_plane};
pub use skew::{largest_skew_ms, skew};
pub use software::software;
pub use steps::{small_swing, up_and_down};
pub use test::BoardTest;
