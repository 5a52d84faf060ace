//! What of a person's records goes from a clinic to a home, and from a home to a clinic.
//!
//! Both ways it is the text of a person's plain file with only those parts in it that travel: plans
//! and decisions one way, sessions the other. What is there already is never overwritten.

use analysis::PersonCode;
use analysis::readiness::Answers;
use rusqlite::TransactionBehavior;
use thiserror::Error;

use super::database::{Records, RecordsError};
use super::exercise::ExerciseAnswers;
use super::person_file::{self, BadPersonFile, PersonFile};
use super::session::SessionRecord;
use super::trial_record::TrialRecord;
use super::{decision, person, plan, session, trial_record};
use crate::wall_time::WallTime;

/// Which part of the records goes to the other side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SharedPart {
    /// Every version of the plan and every decision, to the home.
    Plan,
    /// Every session that began at this time or later, to the clinic.
    SessionsSince(WallTime),
}

/// What a plan from the clinic brought.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TakenPlan {
    /// Version of the plan that is in force.
    pub version: u32,
    /// How many versions were not known before.
    pub n_plans: usize,
    /// How many decisions were not known before.
    pub n_decisions: usize,
}

/// What sessions from a home brought.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TakenSessions {
    /// Sessions that were not known before.
    pub n_sessions: usize,
    /// Known sessions that have answers now which they had not.
    pub n_completed: usize,
    /// Trials that were not known before.
    pub n_trials: usize,
    /// Answers that contradict what is recorded here, which stays: one line a contradiction, by
    /// session and question.
    pub kept_ours: Vec<(String, &'static str)>,
}

/// Why nothing of the other side's records was taken.
#[derive(Debug, Error)]
pub enum TakeSharedError {
    /// The text is no person's file.
    #[error("what it holds about the person cannot be used")]
    Content(#[from] BadPersonFile),
    /// It is about somebody else than the package says.
    #[error("it is sealed for {sealed}, but speaks of {found}")]
    OtherPerson {
        /// Whom the package names.
        sealed: PersonCode,
        /// Whom the text names.
        found: PersonCode,
    },
    /// It holds something that does not travel that way.
    #[error("it holds {what}, which only the other side may send")]
    WrongPart {
        /// What it holds.
        what: &'static str,
    },
    /// A plan package without a plan.
    #[error("it holds no plan")]
    NoPlan,
    /// A trial whose session is not in the same package.
    #[error("the stand {trial} belongs to no session in it")]
    LooseTrial {
        /// The trial's id.
        trial: String,
    },
    /// A trial that is known with another content.
    #[error("the stand {trial} is recorded here with another content")]
    OtherTrial {
        /// The trial's id.
        trial: String,
    },
    /// The records refuse.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

impl Records {
    /// The text of the part that goes to the other side, and the ids of the sessions in it.
    ///
    /// A name is in it only if `with_name`.
    ///
    /// # Errors
    /// [`RecordsError`]; `UnknownPerson` for somebody who is not recorded.
    pub fn shared_part(
        &self,
        code: &PersonCode,
        part: SharedPart,
        with_name: bool,
    ) -> Result<(String, Vec<String>), RecordsError> {
        let unknown = || RecordsError::UnknownPerson { person: code.clone() };
        let mut person = person::get(&self.connection, code)?.ok_or_else(unknown)?;
        if !with_name {
            person.name = None;
        }
        let mut file =
            PersonFile { person, plans: Vec::new(), sessions: Vec::new(), decisions: Vec::new() };
        match part {
            SharedPart::Plan => {
                file.plans = plan::all(&self.connection, code)?;
                file.decisions = decision::all(&self.connection, code)?;
            }
            SharedPart::SessionsSince(since) => {
                file.sessions = session::all(&self.connection, code)?;
                file.sessions.retain(|session| since.unix_us <= session.started.unix_us);
            }
        }
        let ids = file.sessions.iter().map(|session| session.id.clone()).collect();
        Ok((person_file::text(file)?, ids))
    }

    /// Takes plan and decisions from the clinic, all or none of them.
    ///
    /// # Errors
    /// [`TakeSharedError`]; then nothing has changed.
    pub fn take_plan(
        &mut self,
        text: &str,
        sealed: &PersonCode,
    ) -> Result<TakenPlan, TakeSharedError> {
        let file = about(text, sealed)?;
        if !file.sessions.is_empty() {
            return Err(TakeSharedError::WrongPart { what: "sessions" });
        }
        let Some(version) = file.plans.iter().map(|plan| plan.version).max() else {
            return Err(TakeSharedError::NoPlan);
        };
        let taken = self.change(sealed, |connection| {
            let n_before =
                (plan::all(connection, sealed)?.len(), decision::all(connection, sealed)?.len());
            let known = person::get(connection, sealed)?;
            let mut person = file.person.clone();
            // A name stays where it is known; the clinic need not send it each time.
            person.name = person.name.or(known.and_then(|known| known.name));
            person::put(connection, &person)?;
            file.plans.iter().try_for_each(|plan| plan::put(connection, plan))?;
            file.decisions.iter().try_for_each(|made| decision::put(connection, made))?;
            Ok(TakenPlan {
                version,
                n_plans: plan::all(connection, sealed)?.len() - n_before.0,
                n_decisions: decision::all(connection, sealed)?.len() - n_before.1,
            })
        })?;
        Ok(taken)
    }

    /// Takes sessions with their trials from a home, all or none of them.
    ///
    /// `place` is called once everything is accepted and before anything is final, with the trials
    /// that are new; it puts their files where they belong. An answer that is recorded here stays
    /// what it is; one that was missing is filled in.
    ///
    /// # Errors
    /// [`TakeSharedError`]; then nothing has changed in the records.
    pub fn take_sessions(
        &mut self,
        text: &str,
        sealed: &PersonCode,
        trials: &[TrialRecord],
        place: impl FnOnce(&[TrialRecord]) -> Result<(), RecordsError>,
    ) -> Result<TakenSessions, TakeSharedError> {
        let file = about(text, sealed)?;
        if !file.plans.is_empty() || !file.decisions.is_empty() {
            return Err(TakeSharedError::WrongPart { what: "a plan or a decision" });
        }
        for trial in trials {
            let of = |session: &SessionRecord| trial.facts.session.as_ref() == Some(&session.id);
            if trial.facts.person != *sealed || !file.sessions.iter().any(of) {
                return Err(TakeSharedError::LooseTrial { trial: trial.facts.id.clone() });
            }
        }
        let mut fresh = Vec::new();
        for trial in trials {
            match self.trial(&trial.facts.id)? {
                None => fresh.push(trial.clone()),
                Some(known) if known.digest == trial.digest => {}
                Some(_) => {
                    return Err(TakeSharedError::OtherTrial { trial: trial.facts.id.clone() });
                }
            }
        }
        let path = self.person_file(sealed);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(RecordsError::from)?;
        if person::get(&transaction, sealed)?.is_none() {
            return Err(RecordsError::UnknownPerson { person: sealed.clone() }.into());
        }
        let mut taken = TakenSessions { n_trials: fresh.len(), ..TakenSessions::default() };
        let known = session::all(&transaction, sealed)?;
        for offered in file.sessions {
            match known.iter().find(|session| session.id == offered.id) {
                None => {
                    session::put(&transaction, &offered)?;
                    taken.n_sessions += 1;
                }
                Some(ours) => {
                    let completed = completed(ours, &offered, &mut taken.kept_ours);
                    if completed != *ours {
                        session::put(&transaction, &completed)?;
                        taken.n_completed += 1;
                    }
                }
            }
        }
        for trial in &fresh {
            trial_record::put(&transaction, trial)?;
        }
        place(&fresh)?;
        let text = person_file::compose(&transaction, sealed)?;
        person_file::write(&path, &text).map_err(|source| RecordsError::Export { path, source })?;
        transaction.commit().map_err(RecordsError::from)?;
        Ok(taken)
    }
}

fn about(text: &str, sealed: &PersonCode) -> Result<PersonFile, TakeSharedError> {
    let file = person_file::parse(text)?;
    if file.person.code != *sealed {
        let (sealed, found) = (sealed.clone(), file.person.code);
        return Err(TakeSharedError::OtherPerson { sealed, found });
    }
    Ok(file)
}

/// Our session with what only the other side knows filled in; contradictions go to `kept_ours`.
fn completed(
    ours: &SessionRecord,
    theirs: &SessionRecord,
    kept_ours: &mut Vec<(String, &'static str)>,
) -> SessionRecord {
    let mut whole = ours.clone();
    let mut fill = Filling { session: &ours.id, kept_ours };
    fill.one("end", &mut whole.ended_unix_us, theirs.ended_unix_us);
    fill_answers(&mut fill, &mut whole.answers, &theirs.answers);
    for offered in &theirs.exercises {
        let same = |asked: &&mut ExerciseAnswers| asked.condition == offered.condition;
        match whole.exercises.iter_mut().find(same) {
            None => whole.exercises.push(offered.clone()),
            Some(asked) => {
                fill.one("difficulty", &mut asked.difficulty, offered.difficulty);
                fill.one("touched", &mut asked.touched_something, offered.touched_something);
                fill.one("pad", &mut asked.pad, offered.pad.clone());
                fill.one("reference", &mut asked.reference, offered.reference.clone());
                for trial in &offered.sound_lost {
                    if !asked.sound_lost.contains(trial) {
                        asked.sound_lost.push(trial.clone());
                    }
                }
            }
        }
    }
    whole
}

fn fill_answers(fill: &mut Filling<'_>, ours: &mut Answers, theirs: &Answers) {
    fill.one("pain at start", &mut ours.pain_at_start, theirs.pain_at_start);
    fill.one("worst pain", &mut ours.worst_pain_during, theirs.worst_pain_during);
    fill.one("pain after", &mut ours.pain_after, theirs.pain_after);
    fill.one("pain next morning", &mut ours.next_morning, theirs.next_morning);
    fill.one("fall", &mut ours.fall, theirs.fall);
    fill.one("warning sign", &mut ours.warning_sign, theirs.warning_sign);
    fill.one("leg pain", &mut ours.leg_pain_further_down, theirs.leg_pain_further_down);
    fill.one("numbness", &mut ours.numbness_or_weakness, theirs.numbness_or_weakness);
}

struct Filling<'a> {
    session: &'a str,
    kept_ours: &'a mut Vec<(String, &'static str)>,
}

impl Filling<'_> {
    fn one<T: PartialEq>(&mut self, what: &'static str, ours: &mut Option<T>, theirs: Option<T>) {
        match (&ours, &theirs) {
            (None, Some(_)) => *ours = theirs,
            (Some(known), Some(offered)) if known != offered => {
                self.kept_ours.push((self.session.to_owned(), what));
            }
            _ => {}
        }
    }
}
