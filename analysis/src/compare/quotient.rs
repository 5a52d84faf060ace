//! Eyes closed over eyes open, foam over firm.

use crate::compare::comparison::{Comparison, compare};
use crate::compare::same_conditions::{MeasuredTrial, NotComparable};
use crate::condition::{Condition, Surface, Vision};

/// Vision quotient (also Romberg quotient) of a measure: eyes closed over eyes open, same stance,
/// surface, support and band, with its 95 % interval.
///
/// On firm ground a third of healthy people have a quotient of mean velocity below 1: it describes
/// a person there, it decides nothing (Santos & Duarte 2016, `PeerJ` 4:e2648, published table).
///
/// # Errors
/// [`NotComparable`] with the one reason why there is none.
pub fn vision_quotient(
    open: &[&MeasuredTrial],
    closed: &[&MeasuredTrial],
    measure_key: &str,
) -> Result<Comparison, NotComparable> {
    check_conditions("vision", open, closed, |before, after| {
        before.vision == Vision::Open
            && after.vision == Vision::Closed
            && Condition { vision: Vision::Open, ..after } == before
    })?;
    compare(open, closed, measure_key)
}

/// Surface quotient of a measure: foam over firm, all else the same, with its 95 % interval.
///
/// The sole stands higher on foam, so that the values must be those of the sole.
///
/// # Errors
/// [`NotComparable`] with the one reason why there is none.
pub fn surface_quotient(
    firm: &[&MeasuredTrial],
    foam: &[&MeasuredTrial],
    measure_key: &str,
) -> Result<Comparison, NotComparable> {
    check_conditions("surface", firm, foam, |before, after| {
        before.surface == Surface::Firm
            && after.surface == Surface::Foam
            && Condition { surface: Surface::Firm, ..after } == before
    })?;
    compare(firm, foam, measure_key)
}

fn check_conditions(
    quotient: &'static str,
    before: &[&MeasuredTrial],
    after: &[&MeasuredTrial],
    fit: impl Fn(Condition, Condition) -> bool,
) -> Result<(), NotComparable> {
    let (Some(before), Some(after)) = (before.first(), after.first()) else {
        return Err(NotComparable::NoTrials);
    };
    let (before, after) = (before.condition, after.condition);
    if fit(before, after) {
        Ok(())
    } else {
        Err(NotComparable::WrongConditions { quotient, before, after })
    }
}
