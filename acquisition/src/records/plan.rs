//! Plans: what a person is to stand on, in which order, for how long, within which limits.

use analysis::readiness::{BadThreshold, StepPlan, Thresholds};
use analysis::{Condition, PersonCode, keyed_enum};
use rusqlite::{Connection, OptionalExtension as _, params};
use thiserror::Error;
use uuid::Uuid;

use super::database::{Records, RecordsError};
use super::{person, plan_file};
use crate::wall_time::WallTime;

/// Most conditions of one plan: more than there are steps from two feet on the floor to one on foam.
const MAX_CONDITIONS: usize = 64;

/// One version of a person's plan. A version is never changed; a change is the next version.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Unique id of this version, a UUID.
    pub id: String,
    /// Whose plan it is.
    pub person: PersonCode,
    /// 1 for the first, one more for each that replaces it.
    pub version: u32,
    /// Who made it.
    pub author: String,
    /// When it was made.
    pub made: WallTime,
    /// From the easiest to the hardest, each once.
    pub conditions: Vec<PlannedCondition>,
    /// Sessions a day that are asked for.
    pub sessions_per_day: u8,
    /// How long the person stands still before a record begins, in seconds; `None` for the
    /// program's own time.
    pub settle_s: Option<f64>,
    /// What the person is guided by at home.
    pub guided_by: GuidedBy,
    /// Whether the stance may be found at home: short stands from easy to hard among the conditions
    /// released there.
    pub finds_stance_at_home: bool,
    /// Limits, the wobble window among them.
    pub thresholds: Thresholds,
}

/// A condition of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedCondition {
    /// What to stand on and how.
    pub condition: Condition,
    /// How often and how long.
    pub dose: Dose,
    /// Where it may be done.
    pub release: Release,
}

/// How often and how long a condition is held in one session.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dose {
    /// How many holds.
    pub holds: u16,
    /// How long each, in seconds.
    pub hold_s: f64,
    /// How long to rest between two, in seconds.
    pub rest_s: f64,
}

keyed_enum! {
    /// Where a condition may be done.
    pub enum Release ("release") {
        /// In the clinic only.
        Clinic = "clinic",
        /// At home with a second person.
        Accompanied = "accompanied",
        /// At home alone.
        Alone = "alone",
    }
}

keyed_enum! {
    /// What guides a person through a stand.
    pub enum GuidedBy ("guided by") {
        /// Sounds and words; closed eyes are possible.
        Sound = "sound",
        /// Large marks on the screen, for impaired hearing: no sound is counted on, and the eyes
        /// stay open.
        Sight = "sight",
    }
}

/// Why a plan cannot be followed.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BadPlan {
    /// An id that is none.
    #[error("{found:?} is not a plan's id: a UUID in small letters")]
    Id {
        /// What was offered, at most 60 characters of it.
        found: String,
    },
    /// Nobody made it, or a name too long.
    #[error("a plan's author has 1 to 200 characters")]
    Author,
    /// Versions begin with 1.
    #[error("a plan's version is at least 1")]
    Version,
    /// Nothing to stand on, or too much.
    #[error("a plan has 1 to {limit} conditions, not {n_conditions}")]
    Conditions {
        /// How many it has.
        n_conditions: usize,
        /// How many it may have.
        limit: usize,
    },
    /// The same condition twice: then nobody could say which one the person is at.
    #[error("the condition {condition} is in the plan twice")]
    Repeated {
        /// The condition.
        condition: Condition,
    },
    /// A dose nobody can stand.
    #[error("the plan asks for {value} {what} at {condition}; {allowed} are possible")]
    Dose {
        /// The condition.
        condition: Condition,
        /// Holds, seconds of a hold or seconds of rest.
        what: &'static str,
        /// How many are asked for.
        value: f64,
        /// How many may be asked for.
        allowed: &'static str,
    },
    /// No session, or more than fit into a day.
    #[error("a plan asks for 1 to 10 sessions a day, not {sessions}")]
    SessionsPerDay {
        /// How many are asked for.
        sessions: u8,
    },
    /// A time to settle that nobody keeps.
    #[error("a plan asks for 0 to 120 seconds of standing before a record, not {settle_s}")]
    Settle {
        /// How many are asked for.
        settle_s: f64,
    },
    /// A limit the rule cannot work with.
    #[error(transparent)]
    Threshold(#[from] BadThreshold),
}

impl Plan {
    /// Refuses a plan nobody can follow. The limits on doses are our own choice, far outside what is
    /// done.
    ///
    /// # Errors
    /// [`BadPlan`] names the first thing that cannot be.
    pub fn check(&self) -> Result<(), BadPlan> {
        let id = Uuid::try_parse(&self.id).ok().map(|id| id.to_string());
        if id.as_ref() != Some(&self.id) {
            return Err(BadPlan::Id { found: self.id.chars().take(60).collect() });
        }
        if !(1..=200).contains(&self.author.chars().count()) {
            return Err(BadPlan::Author);
        }
        if self.version == 0 {
            return Err(BadPlan::Version);
        }
        let n_conditions = self.conditions.len();
        if !(1..=MAX_CONDITIONS).contains(&n_conditions) {
            return Err(BadPlan::Conditions { n_conditions, limit: MAX_CONDITIONS });
        }
        for (index, planned) in self.conditions.iter().enumerate() {
            let condition = planned.condition;
            if self.conditions[..index].iter().any(|earlier| earlier.condition == condition) {
                return Err(BadPlan::Repeated { condition });
            }
            planned.dose.check(condition)?;
        }
        if !(1..=10).contains(&self.sessions_per_day) {
            return Err(BadPlan::SessionsPerDay { sessions: self.sessions_per_day });
        }
        if let Some(settle_s) = self.settle_s
            && !(0.0..=120.0).contains(&settle_s)
        {
            return Err(BadPlan::Settle { settle_s });
        }
        Ok(self.thresholds.check()?)
    }

    /// The part of the plan that the next step is judged by.
    pub fn step_plan(&self) -> StepPlan {
        StepPlan {
            conditions: self.conditions.iter().map(|planned| planned.condition).collect(),
            thresholds: self.thresholds,
        }
    }
}

impl Dose {
    fn check(&self, condition: Condition) -> Result<(), BadPlan> {
        for (what, value, possible, allowed) in [
            ("holds", f64::from(self.holds), 1.0..=100.0, "1 to 100"),
            ("seconds of a hold", self.hold_s, 1.0..=3600.0, "1 to 3600"),
            ("seconds of rest", self.rest_s, 0.0..=3600.0, "0 to 3600"),
        ] {
            if !possible.contains(&value) {
                return Err(BadPlan::Dose { condition, what, value, allowed });
            }
        }
        Ok(())
    }
}

impl Records {
    /// Records a version of a plan. The same version again, word for word, changes nothing.
    ///
    /// # Errors
    /// [`RecordsError`]: a plan that cannot be followed, or a version that does not come next;
    /// `ClinicOnly` at home.
    pub fn put_plan(&mut self, plan: &Plan) -> Result<(), RecordsError> {
        self.only_the_clinic()?;
        self.change(&plan.person, |connection| put(connection, plan))
    }

    /// Every version of a person's plan, the first one first.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn plans(&self, person: &PersonCode) -> Result<Vec<Plan>, RecordsError> {
        all(&self.connection, person)
    }

    /// The version in force; `None` before the first.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn current_plan(&self, person: &PersonCode) -> Result<Option<Plan>, RecordsError> {
        let mut query = self.connection.prepare_cached(
            "SELECT content FROM plans WHERE person = ?1 ORDER BY version DESC LIMIT 1",
        )?;
        let content = query.query_row([person.as_str()], |row| row.get::<_, String>(0));
        Ok(content.optional()?.map(|content| plan_file::read(&content)).transpose()?)
    }

    /// The version that was in force at `until`: the last one made by then, or the first one for a
    /// time before it, as for recordings that are older than the records; `None` without a plan.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn plan_as_of(
        &self,
        person: &PersonCode,
        until: WallTime,
    ) -> Result<Option<Plan>, RecordsError> {
        Ok(in_force(&self.plans(person)?, until.unix_us).cloned())
    }
}

/// Of all versions, the earliest first, the one in force at `at_us`: the last one made by then, or
/// the first one for a time before it.
pub(super) fn in_force(plans: &[Plan], at_us: i64) -> Option<&Plan> {
    plans.iter().rfind(|plan| plan.made.unix_us <= at_us).or(plans.first())
}

pub(super) fn put(connection: &Connection, plan: &Plan) -> Result<(), RecordsError> {
    plan.check()?;
    let content = plan_file::write(plan);
    let known: Option<String> = connection
        .query_row("SELECT content FROM plans WHERE id = ?1", [&plan.id], |row| row.get(0))
        .optional()?;
    if known.as_ref() == Some(&content) {
        return Ok(());
    }
    person::ensure(connection, &plan.person)?;
    let last: u32 = connection.query_row(
        "SELECT coalesce(max(version), 0) FROM plans WHERE person = ?1",
        [plan.person.as_str()],
        |row| row.get(0),
    )?;
    let expected = last.saturating_add(1);
    if plan.version != expected {
        return Err(RecordsError::PlanVersion { version: plan.version, expected });
    }
    connection.execute(
        "INSERT INTO plans VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            plan.id,
            plan.person.as_str(),
            plan.version,
            plan.author,
            plan.made.unix_us,
            plan.made.offset_s,
            content
        ],
    )?;
    Ok(())
}

pub(super) fn all(connection: &Connection, person: &PersonCode) -> Result<Vec<Plan>, RecordsError> {
    let mut query = connection
        .prepare_cached("SELECT content FROM plans WHERE person = ?1 ORDER BY version")?;
    let contents = query.query_map([person.as_str()], |row| row.get::<_, String>(0))?;
    contents.map(|content| Ok(plan_file::read(&content?)?)).collect()
}
