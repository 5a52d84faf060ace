//! What the records forbid a person: standing at all, or at one condition.

use analysis::readiness::{NotInPlan, StepPlan, Verdict, next_step};
use analysis::{Condition, PersonCode};

use super::database::{Records, RecordsError};
use super::plan::{Plan, Release};
use super::session::Place;
use crate::wall_time::WallTime;

/// Why a person with a plan may not stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Forbidden {
    /// Something was reported, or went so badly, that the clinician looks at it first: until a
    /// decision that is newer.
    StopAndReview,
    /// At home only conditions of the plan are stood; a new one is first tried in the clinic.
    NotInPlan,
    /// The plan keeps the condition for the clinic.
    ClinicOnly,
    /// The plan wants a second person at home, and nobody said that there is one.
    Alone,
}

/// Where somebody is to stand, and with whom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Whereabouts {
    /// The place of the session; `None` for a stand outside any, of which the place is not known
    /// and nothing about it is judged.
    pub place: Option<Place>,
    /// A second person is there.
    pub accompanied: bool,
}

impl Records {
    /// Why `person` may not stand at `condition`; `None` if the records say nothing against it, or
    /// there is no plan.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn forbids(
        &self,
        person: &PersonCode,
        condition: Condition,
        at: Whereabouts,
        now: WallTime,
    ) -> Result<Option<Forbidden>, RecordsError> {
        let Some(plan) = self.current_plan(person)? else { return Ok(None) };
        if self.is_stopped(&plan, now)? {
            return Ok(Some(Forbidden::StopAndReview));
        }
        Ok(match at.place {
            Some(Place::Home) => not_at_home(&plan, condition, at.accompanied),
            Some(Place::Clinic) | None => None,
        })
    }

    /// Whether a stop is latched: whatever condition the plan is at, and if it is no longer in it.
    fn is_stopped(&self, plan: &Plan, now: WallTime) -> Result<bool, RecordsError> {
        let course = self.course(&plan.person)?.course;
        let whole = plan.step_plan();
        let verdict = |plan: &StepPlan| next_step(&course, plan, now.moment());
        let step = match verdict(&whole) {
            Err(NotInPlan::Condition { condition }) => {
                let mut with_it = whole.clone();
                with_it.conditions.push(condition);
                verdict(&with_it)
            }
            step => step,
        };
        Ok(step.is_ok_and(|step| step.verdict == Verdict::StopAndReview))
    }

    /// A number that differs once another program, or another part of this one, has changed the
    /// records; cheap enough to ask every second.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn changes_elsewhere(&self) -> Result<i64, RecordsError> {
        Ok(self.connection.pragma_query_value(None, "data_version", |row| row.get(0))?)
    }
}

fn not_at_home(plan: &Plan, condition: Condition, accompanied: bool) -> Option<Forbidden> {
    let planned = plan.conditions.iter().find(|planned| planned.condition == condition);
    match planned.map(|planned| planned.release) {
        None => Some(Forbidden::NotInPlan),
        Some(Release::Clinic) => Some(Forbidden::ClinicOnly),
        Some(Release::Accompanied) => (!accompanied).then_some(Forbidden::Alone),
        Some(Release::Alone) => None,
    }
}
