//! One person's course: wobble, felt difficulty and pain over dates, the next step, the decision.

mod decision;
mod drawing;
mod layout;
mod model;
mod paint;
mod picture;

pub use model::{ConditionCourse, CourseView, DayOfCourse, DecisionRow, StepView};
pub use paint::{CourseCommand, CourseScreen};
