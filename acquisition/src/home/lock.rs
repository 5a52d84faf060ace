//! Whether a person may exercise at all: the rule's first part, as it holds at home.

use analysis::readiness::{Course, Moment, Rule, StepPlan, Which, next_step_in_any_plan};

/// Reports that no review of the clinic has answered yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lock {
    /// What was reported, the gravest first.
    pub reasons: Vec<Which>,
}

impl Lock {
    /// Whether a sign of an emergency is among the reports.
    pub fn is_emergency(&self) -> bool {
        self.reasons.contains(&Which::WarningSign)
    }

    /// The reports that lock a course at `now`; `None` if there is none.
    pub(super) fn of(course: &Course, plan: &StepPlan, now: Moment) -> Option<Self> {
        let step = next_step_in_any_plan(course, plan, now).ok()?;
        let stops =
            step.criteria.iter().filter(|found| found.which.rule() == Rule::Stop && found.holds());
        let reasons: Vec<Which> = stops.map(|found| found.which).collect();
        (!reasons.is_empty()).then_some(Self { reasons })
    }
}
