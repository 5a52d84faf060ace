//! A session at home out of the records.

use std::collections::BTreeSet;

use analysis::readiness::next_step;
use analysis::{PersonCode, TrialKind};
use thiserror::Error;

use super::ask::Part;
use super::board::{WOBBLE, shown};
use super::search::FIND_STAND_S;
use super::session::{HomeSession, Known, StandDone};
use super::settings::{BadHomeSettings, HomeSettings};
use super::today::REFERENCE_STAND_S;
use crate::records::{ExerciseAnswers, Plan, Records, RecordsError};
use crate::stored_trial::{Ending, TrialFacts};
use crate::trial_id::new_record_id;
use crate::wall_time::WallTime;

/// Why no session can be begun.
#[derive(Debug, Error)]
pub enum OpenHomeError {
    /// The settings cannot be read.
    #[error(transparent)]
    Settings(#[from] BadHomeSettings),
    /// The records refuse.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

/// The session of `person` that begins, or goes on, at `now`.
///
/// # Errors
/// [`OpenHomeError`].
pub fn open(
    records: &Records,
    person: &PersonCode,
    now: WallTime,
) -> Result<HomeSession, OpenHomeError> {
    let settings = HomeSettings::load(records.library().folder())?;
    let plan = records.current_plan(person)?;
    let cut_off = records.open_session(person, now)?;
    let history = records.history(person, &[WOBBLE])?;
    let mut course = records.course(person)?.course;
    let step = plan.as_ref().map(|plan| next_step(&course, &plan.step_plan(), now.moment()));
    let place = step.and_then(Result::ok).map(|step| step.condition);
    if let Some(open) = &cut_off {
        course.sessions.retain(|session| session.id != open.id);
    }
    let exercises = || history.sessions.iter().flat_map(|session| &session.exercises);
    let references: BTreeSet<&str> = exercises()
        .filter_map(|asked| asked.reference.as_ref())
        .map(|reference| reference.trial.as_str())
        .collect();
    let stands_of = |id: &str| {
        let of_session = history.trials.iter().filter(|t| t.facts.session.as_deref() == Some(id));
        let stand = of_session.map(|trial| StandDone {
            condition: trial.facts.condition,
            part: part(&trial.facts, &references, plan.as_ref()),
            ended: trial.ended.unwrap_or(Ending::Stopped),
            shown: shown(trial),
        });
        stand.collect::<Vec<_>>()
    };
    let told = |asked: &ExerciseAnswers| Some((asked.condition, asked.reference.as_ref()?.pull?));
    // The last one told comes first.
    let pulls = exercises().rev().filter_map(told).collect();
    let today = now.local_day();
    let ended = history.sessions.iter().filter(|session| session.ended_unix_us.is_some());
    let n_ended_today = ended.clone().filter(|done| done.started.local_day() == today).count();
    // Who did not exercise has no morning after it.
    let stood = ended.filter(|session| !stands_of(&session.id).is_empty());
    let last = stood.max_by_key(|session| session.started.unix_us).map(|session| {
        let is_known = session.answers.next_morning.is_some();
        (session.id.clone(), session.started.local_day(), is_known)
    });
    let earlier = history.sessions.iter().filter(|session| session.started.local_day() != today);
    let first_day_here = place.is_some_and(|place| {
        !earlier.into_iter().any(|s| stands_of(&s.id).iter().any(|stand| stand.condition == place))
    });
    let cut_off = cut_off.map(|session| {
        let stands = stands_of(&session.id);
        (session, stands)
    });
    let known = Known {
        person: person.clone(),
        settings,
        plan,
        course,
        place,
        last,
        n_ended_today,
        first_day_here,
        cut_off,
        pulls,
        new_id: new_record_id(),
    };
    Ok(HomeSession::new(known, now))
}

/// What a stand of a session that was cut off was for. Records tell a reference by the session's
/// answers, and one that was cut off itself by its length, which no practice stand has; a stand that
/// found the stance is told by its length where no hold of the plan has it.
fn part(facts: &TrialFacts, references: &BTreeSet<&str>, plan: Option<&Plan>) -> Part {
    let holds = plan.into_iter().flat_map(|plan| &plan.conditions);
    let mut held = holds.filter(|planned| planned.condition == facts.condition);
    let is_a_hold = held.any(|planned| planned.dose.hold_s.to_bits() == facts.asked_s.to_bits());
    match facts.kind {
        TrialKind::Practice
            if references.contains(facts.id.as_str())
                || facts.asked_s.to_bits() == REFERENCE_STAND_S.to_bits() =>
        {
            Part::Reference
        }
        TrialKind::Practice => Part::Practice,
        TrialKind::Measured => Part::Measured,
        TrialKind::Guided if !is_a_hold && facts.asked_s.to_bits() == FIND_STAND_S.to_bits() => {
            Part::Find
        }
        TrialKind::Guided => Part::Guided,
    }
}
