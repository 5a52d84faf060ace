//! A person's plan: shown, edited, and stored as its next version.

mod condition;
mod limits;
mod model;
mod paint;

pub use paint::{PlanCommand, PlanScreen};
