//! Which condition may be stood at home, here and now.

use analysis::{Condition, Vision};

use crate::records::{Plan, PlannedCondition, not_released};

/// What is known of the circumstances; `None` while it was not asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Circumstances {
    /// A second person is there.
    pub(super) company: Option<bool>,
    /// The person confirmed in this session that they hear the sound.
    pub(super) sound: Option<bool>,
}

/// Every condition up to where the person is in the plan that may be stood now, the easiest first.
///
/// What was not asked yet counts as granted, so that the question can be asked.
pub(super) fn offered(
    plan: &Plan,
    place: Condition,
    circumstances: Circumstances,
) -> Vec<&PlannedCondition> {
    let Some(at) = plan.conditions.iter().position(|planned| planned.condition == place) else {
        return Vec::new();
    };
    let may_be_stood = |planned: &&PlannedCondition| {
        let released =
            not_released(planned.release, circumstances.company != Some(false)).is_none();
        let open = planned.condition.vision == Vision::Open;
        released && (open || circumstances.sound != Some(false))
    };
    plan.conditions[..=at].iter().filter(may_be_stood).collect()
}
