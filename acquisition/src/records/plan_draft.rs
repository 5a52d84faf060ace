//! The part of a plan a clinician writes, as a TOML file; what changed from version to version.

use analysis::readiness::{THRESHOLDS, Thresholds};
use analysis::{Condition, PersonCode, Stance, Surface, UnknownKey, Vision};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::database::{Records, RecordsError};
use super::plan::{Dose, GuidedBy, Plan, PlannedCondition, Release};
use super::plan_file::{ConditionShape, ThresholdsShape, guided_by, planned, unusual};
use crate::trial_id::new_record_id;
use crate::wall_time::WallTime;

/// Longest TOML text of a plan, in bytes: our own limit.
const MAX_TOML_BYTES: usize = 64 * 1024;

/// A plan without its author, date and version.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanDraft {
    /// From the easiest to the hardest, each once.
    pub conditions: Vec<PlannedCondition>,
    /// Sessions a day that are asked for.
    pub sessions_per_day: u8,
    /// How long the person stands still before a record begins, in seconds; `None` for the
    /// program's own time.
    pub settle_s: Option<f64>,
    /// What the person is guided by at home.
    pub guided_by: GuidedBy,
    /// Whether the stance may be found at home.
    pub finds_stance_at_home: bool,
    /// Limits, the wobble window among them.
    pub thresholds: Thresholds,
}

/// Why text is no plan.
#[derive(Debug, Error)]
pub enum BadPlanDraft {
    /// More text than any plan has.
    #[error("it has {n_bytes} bytes, a plan has at most {limit}")]
    TooLong {
        /// How many bytes it has.
        n_bytes: usize,
        /// How many it may have.
        limit: usize,
    },
    /// Not TOML, or not of a plan's shape.
    #[error(transparent)]
    Toml(#[from] toml::de::Error),
    /// A word that means nothing here.
    #[error(transparent)]
    UnknownWord(#[from] UnknownKey),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DraftShape {
    sessions_per_day: u8,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    settle_s: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    guided_by: Option<String>,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    finds_stance_at_home: bool,
    conditions: Vec<ConditionShape>,
    #[serde(default)]
    thresholds: ThresholdsShape,
}

impl PlanDraft {
    /// The draft in TOML text. Limits that are left out have their defaults.
    ///
    /// # Errors
    /// [`BadPlanDraft`]. Whether the plan can be followed is checked when it is recorded.
    pub fn from_toml(text: &str) -> Result<Self, BadPlanDraft> {
        if MAX_TOML_BYTES < text.len() {
            return Err(BadPlanDraft::TooLong { n_bytes: text.len(), limit: MAX_TOML_BYTES });
        }
        let shape: DraftShape = toml::from_str(text)?;
        Ok(Self {
            conditions: planned(shape.conditions)?,
            sessions_per_day: shape.sessions_per_day,
            settle_s: shape.settle_s,
            guided_by: guided_by(shape.guided_by.as_deref())?,
            finds_stance_at_home: shape.finds_stance_at_home,
            thresholds: shape.thresholds.into(),
        })
    }

    /// A plan to begin with, to be edited: from two feet on foam with open eyes to feet together
    /// with closed eyes. Repeats of 15 to 30 s are common practice, no source; here 35 s, the
    /// length that home trials are judged at.
    pub fn to_begin_with() -> Self {
        let dose = Dose { holds: 3, hold_s: 35.0, rest_s: 30.0 };
        let step = |stance, vision, release| PlannedCondition {
            condition: Condition::unaided(Surface::Foam, stance, vision),
            dose,
            release,
        };
        Self {
            conditions: vec![
                step(Stance::HipWidth, Vision::Open, Release::Alone),
                step(Stance::HipWidth, Vision::Closed, Release::Clinic),
                step(Stance::Together, Vision::Open, Release::Alone),
                step(Stance::Together, Vision::Closed, Release::Clinic),
            ],
            sessions_per_day: 1,
            settle_s: None,
            guided_by: GuidedBy::Sound,
            finds_stance_at_home: false,
            thresholds: Thresholds::default(),
        }
    }

    /// The part of a recorded plan that can be edited.
    pub fn of(plan: &Plan) -> Self {
        Self {
            conditions: plan.conditions.clone(),
            sessions_per_day: plan.sessions_per_day,
            settle_s: plan.settle_s,
            guided_by: plan.guided_by,
            finds_stance_at_home: plan.finds_stance_at_home,
            thresholds: plan.thresholds,
        }
    }

    /// What this would change of a recorded plan.
    pub fn changes_since(&self, plan: &Plan) -> Vec<PlanChange> {
        let draft = self.clone();
        Plan {
            conditions: draft.conditions,
            sessions_per_day: draft.sessions_per_day,
            settle_s: draft.settle_s,
            guided_by: draft.guided_by,
            finds_stance_at_home: draft.finds_stance_at_home,
            thresholds: draft.thresholds,
            ..plan.clone()
        }
        .changes_since(plan)
    }

    /// The draft of a recorded plan as TOML text, to be edited.
    ///
    /// # Panics
    /// Never: text, finite numbers and lists of them can always be written.
    pub fn to_toml(plan: &Plan) -> String {
        let shape = DraftShape {
            sessions_per_day: plan.sessions_per_day,
            settle_s: plan.settle_s,
            guided_by: unusual(plan.guided_by),
            finds_stance_at_home: plan.finds_stance_at_home,
            conditions: plan.conditions.iter().map(ConditionShape::from).collect(),
            thresholds: plan.thresholds.into(),
        };
        toml::to_string(&shape).expect("text, finite numbers and lists of them")
    }
}

/// One difference between two versions of a plan.
#[derive(Debug, Clone, PartialEq)]
pub enum PlanChange {
    /// A condition that was not in the earlier version.
    Added(Condition),
    /// A condition that is in it no more.
    Removed(Condition),
    /// The same conditions in another order.
    Order,
    /// Another dose at a condition.
    Dose {
        /// The condition.
        condition: Condition,
        /// The dose before.
        from: Dose,
        /// The dose now.
        to: Dose,
    },
    /// Another release of a condition.
    Release {
        /// The condition.
        condition: Condition,
        /// Where it could be done before.
        from: Release,
        /// Where it may be done now.
        to: Release,
    },
    /// Another number of sessions a day.
    SessionsPerDay {
        /// How many before.
        from: u8,
        /// How many now.
        to: u8,
    },
    /// Another time of standing before a record.
    Settle {
        /// How long before, in seconds; `None` for the program's own.
        from: Option<f64>,
        /// How long now.
        to: Option<f64>,
    },
    /// Guided by something else.
    GuidedBy {
        /// By what before.
        from: GuidedBy,
        /// By what now.
        to: GuidedBy,
    },
    /// The stance may be found at home now, or no longer.
    FindsStanceAtHome(bool),
    /// Another limit.
    Threshold {
        /// Its key in [`THRESHOLDS`].
        key: &'static str,
        /// Its value before.
        from: f64,
        /// Its value now.
        to: f64,
    },
}

impl Plan {
    /// What is different here from an `earlier` version.
    pub fn changes_since(&self, earlier: &Self) -> Vec<PlanChange> {
        let in_plan = |plan: &Self, condition| {
            plan.conditions.iter().find(|planned| planned.condition == condition).copied()
        };
        let mut changes = Vec::new();
        for planned in &earlier.conditions {
            if in_plan(self, planned.condition).is_none() {
                changes.push(PlanChange::Removed(planned.condition));
            }
        }
        for planned in &self.conditions {
            let condition = planned.condition;
            let Some(before) = in_plan(earlier, condition) else {
                changes.push(PlanChange::Added(condition));
                continue;
            };
            if before.dose != planned.dose {
                let (from, to) = (before.dose, planned.dose);
                changes.push(PlanChange::Dose { condition, from, to });
            }
            if before.release != planned.release {
                let (from, to) = (before.release, planned.release);
                changes.push(PlanChange::Release { condition, from, to });
            }
        }
        let kept = |plan: &Self, other: &Self| -> Vec<Condition> {
            let conditions = plan.conditions.iter().map(|planned| planned.condition);
            conditions.filter(|&condition| in_plan(other, condition).is_some()).collect()
        };
        if kept(self, earlier) != kept(earlier, self) {
            changes.push(PlanChange::Order);
        }
        if earlier.sessions_per_day != self.sessions_per_day {
            let (from, to) = (earlier.sessions_per_day, self.sessions_per_day);
            changes.push(PlanChange::SessionsPerDay { from, to });
        }
        if earlier.settle_s.map(f64::to_bits) != self.settle_s.map(f64::to_bits) {
            changes.push(PlanChange::Settle { from: earlier.settle_s, to: self.settle_s });
        }
        if earlier.guided_by != self.guided_by {
            changes.push(PlanChange::GuidedBy { from: earlier.guided_by, to: self.guided_by });
        }
        if earlier.finds_stance_at_home != self.finds_stance_at_home {
            changes.push(PlanChange::FindsStanceAtHome(self.finds_stance_at_home));
        }
        for limit in THRESHOLDS {
            let (from, to) = ((limit.value)(&earlier.thresholds), (limit.value)(&self.thresholds));
            if from.to_bits() != to.to_bits() {
                changes.push(PlanChange::Threshold { key: limit.key, from, to });
            }
        }
        changes
    }
}

impl Records {
    /// Records a draft as the next version of a person's plan.
    ///
    /// # Errors
    /// [`RecordsError`]: a plan that cannot be followed; `ClinicOnly` at home.
    pub fn put_next_plan(
        &mut self,
        person: &PersonCode,
        draft: PlanDraft,
        author: &str,
        made: WallTime,
    ) -> Result<Plan, RecordsError> {
        self.only_the_clinic()?;
        let person = person.clone();
        self.change(&person.clone(), |connection| {
            let last = super::plan::all(connection, &person)?.last().map_or(0, |plan| plan.version);
            let plan = Plan {
                id: new_record_id(),
                person,
                version: last.saturating_add(1),
                author: author.to_owned(),
                made,
                conditions: draft.conditions,
                sessions_per_day: draft.sessions_per_day,
                settle_s: draft.settle_s,
                guided_by: draft.guided_by,
                finds_stance_at_home: draft.finds_stance_at_home,
                thresholds: draft.thresholds,
            };
            super::plan::put(connection, &plan)?;
            Ok(plan)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    fn plan_of(draft: PlanDraft) -> (Plan, Plan) {
        let folder = tempfile::tempdir().unwrap();
        let mut records = Records::open(&Library::open(folder.path()).unwrap()).unwrap();
        let person: PersonCode = "P-01".parse().unwrap();
        let made = "2026-03-01T09:00:00+01:00".parse().unwrap();
        let first = PlanDraft::to_begin_with();
        let first = records.put_next_plan(&person, first, "clinician-1", made).unwrap();
        records.put_next_plan(&person, draft, "clinician-1", made).unwrap();
        (first, records.current_plan(&person).unwrap().unwrap())
    }

    /// Through TOML, the records' JSON and back.
    #[test]
    fn what_holds_at_home_is_kept_told_and_left_out_where_it_is_the_usual() {
        let usual = PlanDraft::to_begin_with();
        let (usual_plan, same) = plan_of(usual.clone());
        assert_eq!(same.changes_since(&usual_plan), []);
        for word in ["guided_by", "finds_stance_at_home"] {
            assert!(!PlanDraft::to_toml(&usual_plan).contains(word), "{word}");
        }
        let by_sight =
            PlanDraft { guided_by: GuidedBy::Sight, finds_stance_at_home: true, ..usual };
        let (first, plan) = plan_of(by_sight.clone());
        assert_eq!(PlanDraft::of(&plan), by_sight);
        assert_eq!(PlanDraft::from_toml(&PlanDraft::to_toml(&plan)).unwrap(), by_sight);
        let (from, to) = (GuidedBy::Sound, GuidedBy::Sight);
        let changes = [PlanChange::GuidedBy { from, to }, PlanChange::FindsStanceAtHome(true)];
        assert_eq!(plan.changes_since(&first), changes);
    }
}
