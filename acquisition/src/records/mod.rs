//! Records: people, plans, sessions, trials with their measures, decisions, in one SQLite file.
//!
//! What trial files hold can be read from them again. The rest (people, plans, answers, decisions)
//! is also written to one plain JSON file a person at each change, so that nothing rests on the
//! database alone: [`Records::verify`] compares the two sides, [`rebuild`] makes the database anew.

mod amend;
mod backup;
mod catch_up;
mod clinic_only;
mod columns;
mod course;
mod database;
mod decision;
mod erasure;
mod exercise;
mod forbidden;
mod history;
mod migrations;
mod person;
mod person_file;
mod plan;
mod plan_draft;
mod plan_file;
mod practice;
mod rebuild;
mod reference;
mod session;
mod shared;
#[cfg(test)]
mod tests;
mod trial_record;
mod trial_row;
mod verify;

pub use backup::{BackupError, BackupReport};
pub(crate) use catch_up::known_trials;
pub use catch_up::{CatchUpError, CaughtUp};
pub use course::{OutsideTrial, PersonCourse, WhyOutside};
pub use database::{OpenRecordsError, Records, RecordsError};
pub use decision::DecisionRecord;
pub use erasure::{EraseError, ErasureRecord};
pub use exercise::{ExerciseAnswers, Reference};
pub(crate) use forbidden::not_released;
pub use forbidden::{Forbidden, Whereabouts};
pub use history::History;
pub use migrations::MigrateError;
pub use person::{AffectedSide, PersonRecord};
pub use person_file::BadPersonFile;
pub use plan::{BadPlan, Dose, GuidedBy, Plan, PlannedCondition, Release};
pub use plan_draft::{BadPlanDraft, PlanChange, PlanDraft};
pub use practice::{Practice, PracticeFlag, PractisedSession};
pub use rebuild::{RebuildError, RebuildReport, rebuild};
pub use session::{Place, SessionRecord};
pub use shared::{SharedPart, TakeSharedError, TakenPlan, TakenSessions};
pub use trial_record::{IndexTrialError, Measurement, TrialRecord};
pub use verify::{Finding, VerifyReport};
