//! The part of a plan that the next step needs: conditions in order, and thresholds.

use thiserror::Error;

use super::course::Course;
use super::thresholds::Thresholds;
use crate::condition::Condition;

/// Conditions from easy to hard, and the thresholds the clinician set.
#[derive(Debug, Clone, PartialEq)]
pub struct StepPlan {
    /// From the easiest to the hardest.
    pub conditions: Vec<Condition>,
    /// Limits; [`Thresholds::default`] where the clinician changed nothing.
    pub thresholds: Thresholds,
}

/// Where the person stands in the plan.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) current: Condition,
    pub(crate) easier: Option<Condition>,
    pub(crate) harder: Option<Condition>,
    /// When the last decision was made that changed the condition; `None` before the first.
    pub(crate) since_us: Option<i64>,
}

/// The condition a decision names is not one of the plan's.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NotInPlan {
    /// The plan has no condition at all.
    #[error("the plan has no condition")]
    Empty,
    /// A decision sent the person to a condition that the plan does not hold.
    #[error("condition {condition} is not in the plan")]
    Condition {
        /// The condition decided on.
        condition: Condition,
    },
}

impl StepPlan {
    /// The condition in force, its neighbours, and since when.
    ///
    /// The last decision in time counts; without any, the person is at the first condition. Of two
    /// decisions at the same moment the one given later counts. Decisions dated after `now_us` do
    /// not count yet.
    pub(crate) fn place(&self, course: &Course, now_us: i64) -> Result<Place, NotInPlan> {
        let first = *self.conditions.first().ok_or(NotInPlan::Empty)?;
        let made = course.decisions.iter().filter(|decision| decision.at_us <= now_us);
        let mut decisions: Vec<_> = made.collect();
        decisions.sort_by_key(|decision| decision.at_us);
        let mut current = None;
        let mut since_us = None;
        for decision in decisions {
            if current != Some(decision.condition) {
                current = Some(decision.condition);
                since_us = Some(decision.at_us);
            }
        }
        let current = current.unwrap_or(first);
        let index = self
            .conditions
            .iter()
            .position(|&condition| condition == current)
            .ok_or(NotInPlan::Condition { condition: current })?;
        Ok(Place {
            current,
            easier: index.checked_sub(1).map(|easier| self.conditions[easier]),
            harder: self.conditions.get(index + 1).copied(),
            since_us,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::course::Decision;
    use super::*;
    use crate::condition::{Stance, Surface, Vision};

    fn conditions() -> Vec<Condition> {
        [Stance::Wide, Stance::HipWidth, Stance::Together]
            .map(|stance| Condition::unaided(Surface::Foam, stance, Vision::Open))
            .to_vec()
    }

    fn decided(at_us: i64, condition: Condition) -> Decision {
        Decision { at_us, author: "clinician-1".to_owned(), condition }
    }

    #[test]
    fn a_review_of_the_same_condition_does_not_restart_the_evidence() {
        let steps = conditions();
        let plan = StepPlan { conditions: steps.clone(), thresholds: Thresholds::default() };
        let decisions = vec![decided(30, steps[1]), decided(10, steps[0]), decided(20, steps[1])];
        let place = plan.place(&Course { sessions: Vec::new(), decisions }, 99).unwrap();
        assert_eq!(place.current, steps[1]);
        assert_eq!(place.since_us, Some(20));
        assert_eq!((place.easier, place.harder), (Some(steps[0]), Some(steps[2])));
    }

    #[test]
    fn a_condition_outside_the_plan_is_an_error_not_a_guess() {
        let elsewhere = Condition::unaided(Surface::Firm, Stance::Wide, Vision::Open);
        let plan = StepPlan { conditions: conditions(), thresholds: Thresholds::default() };
        let course = Course { sessions: Vec::new(), decisions: vec![decided(1, elsewhere)] };
        assert_eq!(
            plan.place(&course, 99).unwrap_err().to_string(),
            "condition firm/wide/open/none/none is not in the plan"
        );
        let empty = StepPlan { conditions: Vec::new(), ..plan };
        assert_eq!(empty.place(&course, 99).unwrap_err(), NotInPlan::Empty);
    }
}
