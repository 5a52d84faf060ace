//! What may be compared with what, and how sure the comparison is.

mod comparison;
mod quotient;
mod repeatability;
mod same_conditions;
mod summary;

pub use comparison::{Comparison, DetectableChange, Interval, IntervalBasis, Scale, Side, compare};
pub use quotient::{surface_quotient, vision_quotient};
pub(crate) use repeatability::TWO_SIDED_95;
pub use repeatability::{Repeatability, repeatability};
pub use same_conditions::{MeasuredTrial, NotComparable, check_comparable};
pub use summary::{Summary, summarise};
