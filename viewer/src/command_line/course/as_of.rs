//! What was known of a person at the time of a question, and the plan that was in force then.

use acquisition::WallTime;
use acquisition::records::{PersonCourse, Plan, Records};
use analysis::PersonCode;

use super::known;
use crate::command_line::problem::Problem;

/// What a question about a person is answered from.
pub(crate) struct AsOf {
    /// The time of the question.
    pub(crate) until: WallTime,
    /// What was known by then.
    pub(crate) course: PersonCourse,
    /// The version of the plan that was in force.
    pub(crate) plan: Plan,
}

impl AsOf {
    /// At the end of a day, as in `2026-03-01`, by this computer's zone; now, if none is given.
    pub(crate) fn read(
        records: &Records,
        person: &PersonCode,
        date: Option<&str>,
    ) -> Result<Self, Problem> {
        known(records, person)?;
        let now = WallTime::now();
        let course = records.course(person)?;
        let (until, course, plan) = match date {
            Some(date) => {
                let until = WallTime::end_of(date, now.offset_s)?;
                (until, course.until(until), records.plan_as_of(person, until)?)
            }
            // Not cut at the moment of the question: a clock that runs ahead must hide no warning.
            None => (now, course, records.current_plan(person)?),
        };
        let plan = plan.ok_or_else(|| Problem::NoPlan { person: person.clone() })?;
        Ok(Self { until, course, plan })
    }
}
