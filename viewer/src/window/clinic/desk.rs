//! What lies ready about the person who is chosen: who they are, their plans, the session under way.

use acquisition::records::{
    ExerciseAnswers, PersonRecord, Place, Plan, PlanDraft, PlannedCondition, Records, RecordsError,
    Reference, Release, SessionRecord,
};
use acquisition::{WallTime, new_record_id};
use analysis::readiness::{Answers, Rating};
use analysis::{Condition, PersonCode};

/// Person, plans and session.
#[derive(Debug, Clone, PartialEq)]
pub struct Desk {
    /// Who it is.
    pub person: PersonRecord,
    /// Every version of the plan, the one in force last.
    pub plans: Vec<Plan>,
    /// The session under way, if there is one.
    pub session: Option<SessionRecord>,
}

/// A change of a session.
#[derive(Debug, Clone, PartialEq)]
pub enum SessionChange {
    /// It begins, with what was answered and measured first.
    Begin {
        /// The questions asked so far.
        answers: Answers,
        /// Height in metres, if it was given.
        height_m: Option<f64>,
        /// Mass in kilograms, if it was given.
        mass_kg: Option<f64>,
    },
    /// The questions after a stand.
    Exercise {
        /// What was stood.
        condition: Condition,
        /// How hard it felt.
        difficulty: Option<Rating>,
        /// Whether anything was touched.
        touched: Option<bool>,
    },
    /// A stand becomes the reference of its condition.
    Reference {
        /// What was stood.
        condition: Condition,
        /// The stand, and which way the band pulls.
        reference: Reference,
    },
    /// The sound that was counted on went away during a stand.
    SoundLost {
        /// What was stood.
        condition: Condition,
        /// Its trial.
        trial: String,
    },
    /// It ends.
    End {
        /// Worst pain while standing.
        worst_pain: Option<Rating>,
        /// Pain at the end.
        pain_after: Option<Rating>,
    },
}

impl Desk {
    /// The plan in force.
    pub fn plan(&self) -> Option<&Plan> {
        self.plans.last()
    }

    /// The plan with a condition at its start; it is not stored.
    pub(crate) fn plan_beginning_with(&self, condition: Condition) -> PlanDraft {
        let mut draft = self.plan().map_or_else(PlanDraft::to_begin_with, PlanDraft::of);
        let known = draft.conditions.iter().position(|planned| planned.condition == condition);
        let planned = match known {
            Some(known) => Some(draft.conditions.remove(known)),
            // As often and as long as the first one; found in the clinic, so released for it.
            None => draft.conditions.first().map(|first| PlannedCondition {
                condition,
                release: Release::Clinic,
                ..*first
            }),
        };
        draft.conditions.splice(0..0, planned);
        draft
    }

    /// What is known of a person; `None` if there is no such person.
    pub(super) fn read(records: &Records, code: &PersonCode) -> Result<Option<Self>, RecordsError> {
        let Some(person) = records.person(code)? else { return Ok(None) };
        let plans = records.plans(code)?;
        let session = records.open_session(code, WallTime::now())?;
        Ok(Some(Self { person, plans, session }))
    }
}

impl SessionChange {
    /// Makes the change; one of a session that ended meanwhile changes nothing.
    pub(super) fn make(
        self,
        records: &mut Records,
        person: &PersonCode,
    ) -> Result<(), RecordsError> {
        let change = match self {
            Self::Begin { answers, height_m, mass_kg } => {
                if height_m.or(mass_kg).is_some() {
                    records.amend_person(person, |known| {
                        known.height_m = height_m.or(known.height_m);
                        known.mass_kg = mass_kg.or(known.mass_kg);
                    })?;
                }
                return begin(records, person, answers);
            }
            change => change,
        };
        let Some(open) = records.open_session(person, WallTime::now())? else { return Ok(()) };
        records.amend_session(person, &open.id, |session| change.apply(session)).map(drop)
    }

    fn apply(self, session: &mut SessionRecord) {
        match self {
            // Begun above.
            Self::Begin { .. } => {}
            Self::Exercise { condition, difficulty, touched } => {
                let asked = exercise(session, condition);
                asked.difficulty = difficulty.or(asked.difficulty);
                asked.touched_something = touched.or(asked.touched_something);
            }
            Self::Reference { condition, reference } => {
                exercise(session, condition).reference = Some(reference);
            }
            Self::SoundLost { condition, trial } => {
                let known = &mut exercise(session, condition).sound_lost;
                if !known.contains(&trial) {
                    known.push(trial);
                }
            }
            Self::End { worst_pain, pain_after } => {
                let answers = &mut session.answers;
                answers.worst_pain_during = worst_pain.or(answers.worst_pain_during);
                answers.pain_after = pain_after.or(answers.pain_after);
                session.ended_unix_us = Some(WallTime::now().unix_us);
            }
        }
    }
}

fn begin(records: &mut Records, person: &PersonCode, answers: Answers) -> Result<(), RecordsError> {
    let session = SessionRecord {
        id: new_record_id(),
        person: person.clone(),
        plan: records.current_plan(person)?.map(|plan| plan.id),
        place: Place::Clinic,
        started: WallTime::now(),
        ended_unix_us: None,
        answers,
        exercises: Vec::new(),
    };
    // One that another program began meanwhile is the session under way.
    records.begin_session(&session).map(drop)
}

fn exercise(session: &mut SessionRecord, condition: Condition) -> &mut ExerciseAnswers {
    let known = session.exercises.iter().position(|asked| asked.condition == condition);
    let place = known.unwrap_or_else(|| {
        session.exercises.push(ExerciseAnswers::new(condition));
        session.exercises.len() - 1
    });
    &mut session.exercises[place]
}
