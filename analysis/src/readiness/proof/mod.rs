//! How often the rule is wrong: whole courses of virtual people, judged by the rule itself.
//!
//! A [`VirtualPerson`] and a seed make a [`Course`](super::Course); [`run_course`] asks for the
//! next step after every scored session; [`count`] does so for many seeds and counts the answers
//! to each [`Question`]. Seeds are arguments and counts can be added, so a caller may spread them
//! over threads; nothing here starts one.
//!
//! What a simulation cannot tell: whether real people are like these. Their spreads come from open
//! recordings and publications where there are any (`analysis/docs/readiness.md`).

mod counts;
mod coverage;
mod figures;
mod outcome;
mod person;
mod tally;

pub use counts::{Counts, HowMuchRule, Question, count};
pub use coverage::{DaySpread, coverage};
pub use figures::{EDGE_MM, FIGURES, Figure, Held, Target};
pub use outcome::{CourseOutcome, FIRST_LOOK, LAST_LOOK, Look, run_course};
pub use person::{VirtualPerson, simulated_plan};
pub use tally::Tally;
