//! A plan as JSON: in the database, and in a person's plain file.

use analysis::UnknownKey;
use analysis::readiness::Thresholds;
use serde::{Deserialize, Serialize};

use super::person_file::BadPersonFile;
use super::plan::{Dose, GuidedBy, Plan, PlannedCondition};

/// The shape of a plan in files; it is versioned with the file that holds it.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlanShape {
    id: String,
    person: String,
    version: u32,
    author: String,
    made: String,
    sessions_per_day: u8,
    /// Left out where there is none, so that files written earlier stay what they were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    settle_s: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    guided_by: Option<String>,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    finds_stance_at_home: bool,
    conditions: Vec<ConditionShape>,
    thresholds: ThresholdsShape,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ConditionShape {
    condition: String,
    holds: u16,
    hold_s: f64,
    rest_s: f64,
    release: String,
}

/// Writes and reads each limit under its own name; one that a file leaves out has its default.
macro_rules! thresholds_shape {
    ($($field:ident: $kind:ty,)+) => {
        #[derive(Debug, Serialize, Deserialize)]
        #[serde(default, deny_unknown_fields)]
        pub(super) struct ThresholdsShape {
            $($field: $kind,)+
        }

        impl Default for ThresholdsShape {
            fn default() -> Self {
                Thresholds::default().into()
            }
        }

        impl From<Thresholds> for ThresholdsShape {
            fn from(thresholds: Thresholds) -> Self {
                let Thresholds { $($field,)+ } = thresholds;
                Self { $($field,)+ }
            }
        }

        impl From<ThresholdsShape> for Thresholds {
            fn from(shape: ThresholdsShape) -> Self {
                let ThresholdsShape { $($field,)+ } = shape;
                Self { $($field,)+ }
            }
        }
    };
}

thresholds_shape! {
    window_days: u16,
    min_scored_sessions: u16,
    min_scored_trials: u16,
    min_wobble_windows: u32,
    event_sessions: u16,
    agreeing_verdicts: u16,
    wobble_lower_mm: f64,
    wobble_upper_mm: f64,
    inside_probability: f64,
    share_over: f64,
    easy_difficulty: f64,
    little_wobble_difficulty: f64,
    difficulty_rise: f64,
    step_back_probability: f64,
    offset_tolerance_mm: f64,
    offset_probability: f64,
    next_in_reach_probability: f64,
    pain_rise: f64,
    pain_ceiling: f64,
}

impl From<&PlannedCondition> for ConditionShape {
    fn from(planned: &PlannedCondition) -> Self {
        Self {
            condition: planned.condition.to_string(),
            holds: planned.dose.holds,
            hold_s: planned.dose.hold_s,
            rest_s: planned.dose.rest_s,
            release: planned.release.key().to_owned(),
        }
    }
}

/// What a plan says a person is guided by; left out, it is the usual.
pub(super) fn guided_by(text: Option<&str>) -> Result<GuidedBy, UnknownKey> {
    text.map_or(Ok(GuidedBy::Sound), str::parse)
}

/// The key of what a person is guided by, if it is not the usual.
pub(super) fn unusual(guided_by: GuidedBy) -> Option<String> {
    (guided_by != GuidedBy::Sound).then(|| guided_by.key().to_owned())
}

/// The conditions of a plan, of which each must be one.
pub(super) fn planned(shapes: Vec<ConditionShape>) -> Result<Vec<PlannedCondition>, UnknownKey> {
    let planned = |shape: ConditionShape| {
        Ok(PlannedCondition {
            condition: shape.condition.parse()?,
            dose: Dose { holds: shape.holds, hold_s: shape.hold_s, rest_s: shape.rest_s },
            release: shape.release.parse()?,
        })
    };
    shapes.into_iter().map(planned).collect()
}

impl From<&Plan> for PlanShape {
    fn from(plan: &Plan) -> Self {
        Self {
            id: plan.id.clone(),
            person: plan.person.to_string(),
            version: plan.version,
            author: plan.author.clone(),
            made: plan.made.to_string(),
            sessions_per_day: plan.sessions_per_day,
            settle_s: plan.settle_s,
            guided_by: unusual(plan.guided_by),
            finds_stance_at_home: plan.finds_stance_at_home,
            conditions: plan.conditions.iter().map(ConditionShape::from).collect(),
            thresholds: plan.thresholds.into(),
        }
    }
}

impl TryFrom<PlanShape> for Plan {
    type Error = BadPersonFile;

    fn try_from(shape: PlanShape) -> Result<Self, Self::Error> {
        let plan = Self {
            id: shape.id,
            person: shape.person.parse()?,
            version: shape.version,
            author: shape.author,
            made: shape.made.parse()?,
            conditions: planned(shape.conditions)?,
            sessions_per_day: shape.sessions_per_day,
            settle_s: shape.settle_s,
            guided_by: guided_by(shape.guided_by.as_deref())?,
            finds_stance_at_home: shape.finds_stance_at_home,
            thresholds: shape.thresholds.into(),
        };
        plan.check()?;
        Ok(plan)
    }
}

/// The plan as JSON on one line.
pub(super) fn write(plan: &Plan) -> String {
    serde_json::to_string(&PlanShape::from(plan)).expect("text, finite numbers and lists of them")
}

/// The plan in JSON text that [`write`] made.
pub(super) fn read(text: &str) -> Result<Plan, BadPersonFile> {
    serde_json::from_str::<PlanShape>(text)?.try_into()
}
