//! A session at home out of the records.

use std::collections::BTreeSet;

use analysis::readiness::next_step;
use analysis::{PersonCode, TrialKind, WOBBLE};
use thiserror::Error;

use super::ask::Part;
use super::board::shown;
use super::session::{HomeSession, Known, StandDone};
use super::settings::{BadHomeSettings, HomeSettings};
use super::today::REFERENCE_STAND_S;
use crate::records::{ExerciseAnswers, Records, RecordsError};
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
        let parts = parts(of_session.clone().map(|trial| &trial.facts), &references);
        let stand = of_session.zip(parts).map(|(trial, part)| StandDone {
            condition: trial.facts.condition,
            part,
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
    let stood_earlier = earlier.flat_map(|session| stands_of(&session.id));
    let stood_before: BTreeSet<_> = stood_earlier.map(|stand| stand.condition).collect();
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
        stood_before,
        cut_off,
        pulls,
        new_id: new_record_id(),
    };
    Ok(HomeSession::new(known, now))
}

/// What each stand of a session, in their order, was for. Records tell a reference by the session's
/// answers, and one that was cut off itself by its length, which no practice stand has. Lengths do not
/// tell stands that find the stance from holds, which may be as short; their place does: a stance is
/// found before anything else is stood, and guided holds come last.
fn parts<'a>(
    stands: impl Iterator<Item = &'a TrialFacts>,
    references: &BTreeSet<&str>,
) -> Vec<Part> {
    let mut finds_stance = true;
    let part = |facts: &TrialFacts| {
        finds_stance &= facts.kind == TrialKind::Guided;
        match facts.kind {
            TrialKind::Practice
                if references.contains(facts.id.as_str())
                    || facts.asked_s.to_bits() == REFERENCE_STAND_S.to_bits() =>
            {
                Part::Reference
            }
            TrialKind::Practice => Part::Practice,
            TrialKind::Measured => Part::Measured,
            TrialKind::Guided if finds_stance => Part::Find,
            TrialKind::Guided => Part::Guided,
        }
    };
    stands.map(part).collect()
}

#[cfg(test)]
mod tests {
    use analysis::{Facing, Setup};

    use super::*;

    fn stood(kind: TrialKind, asked_s: f64) -> TrialFacts {
        TrialFacts {
            id: new_record_id(),
            person: "P-01".parse().unwrap(),
            session: None,
            plan: None,
            condition: "foam/hip-width/open".parse().unwrap(),
            kind,
            setup: Setup { board: String::new(), sole_height_mm: None, facing: Facing::Front },
            body_height_m: None,
            body_mass_kg: None,
            started: WallTime { unix_us: 0, offset_s: 0 },
            settled_s: 0.0,
            asked_s,
            program: String::new(),
        }
    }

    /// A plan may ask for holds as long as the stands that find the stance.
    #[test]
    fn what_found_the_stance_is_told_from_the_holds_whatever_their_length() {
        use Part::{Find, Guided, Measured, Practice, Reference};
        let session = [
            (TrialKind::Guided, 15.0, Find),
            (TrialKind::Guided, 15.0, Find),
            (TrialKind::Practice, 15.0, Reference),
            (TrialKind::Practice, 35.0, Practice),
            (TrialKind::Measured, 35.0, Measured),
            (TrialKind::Guided, 15.0, Guided),
            (TrialKind::Guided, 15.0, Guided),
        ];
        let stands: Vec<_> = session.iter().map(|&(kind, s, _)| stood(kind, s)).collect();
        let wanted: Vec<_> = session.iter().map(|&(_, _, part)| part).collect();
        assert_eq!(parts(stands.iter(), &BTreeSet::new()), wanted);
    }
}
