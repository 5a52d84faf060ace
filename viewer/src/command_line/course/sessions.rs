//! `footing sessions`: begin, answer, end, list.

use acquisition::records::{Records, Reference, SessionRecord};
use acquisition::{TrialFacts, WallTime, new_record_id};
use analysis::readiness::{NextMorning, Rating};
use analysis::{Band, PersonCode, Pull};
use serde_json::json;

use super::answers::{AnswerArguments, exercise};
use super::arguments::{
    BeginArguments, EndArguments, ListSessionsArguments, NextMorningArguments, ReferenceArguments,
    SessionsAction, SessionsArguments,
};
use super::known;
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::command_line::text_table::{Side, text_table};
use crate::strings::ENGLISH;

pub(super) fn run(arguments: &SessionsArguments, records: &mut Records) -> Result<(), Problem> {
    match &arguments.action {
        SessionsAction::Begin(arguments) => begin(arguments, records),
        SessionsAction::Answer(arguments) => {
            let id = asked_for(records, &arguments.person, arguments.session.as_deref())?.id;
            amend(records, &arguments.person, &id, |session| {
                arguments.answers.put_into(session);
                arguments.exercise.put_into(session);
            })?;
            output::result("Answers recorded.");
            warn(&arguments.answers);
            Ok(())
        }
        SessionsAction::End(arguments) => end(arguments, records),
        SessionsAction::NextMorning(arguments) => next_morning(arguments, records),
        SessionsAction::Reference(arguments) => reference(arguments, records),
        SessionsAction::List(arguments) => list(arguments, records),
    }
}

fn begin(arguments: &BeginArguments, records: &mut Records) -> Result<(), Problem> {
    let person = &arguments.person;
    known(records, person)?;
    let started = arguments.started.unwrap_or_else(WallTime::now);
    let mut session = SessionRecord {
        id: new_record_id(),
        person: person.clone(),
        plan: records.current_plan(person)?.map(|plan| plan.id),
        place: arguments.place,
        started,
        ended_unix_us: None,
        answers: analysis::readiness::Answers::default(),
        exercises: Vec::new(),
    };
    arguments.answers.put_into(&mut session);
    if let Some(open) = records.begin_session(&session)? {
        return Err(Problem::SessionOpen { person: person.clone(), started: open.started });
    }
    output::result(&session.id);
    output::aside(&format!(
        "Session of {person} begun. Stands of {person} recorded from now on belong to it, until \
         `footing sessions end {person}`."
    ));
    warn(&arguments.answers);
    Ok(())
}

fn end(arguments: &EndArguments, records: &mut Records) -> Result<(), Problem> {
    let id = asked_for(records, &arguments.person, arguments.session.as_deref())?.id;
    let session = amend(records, &arguments.person, &id, |session| {
        arguments.answers.put_into(session);
        session.ended_unix_us = Some(arguments.ended.unwrap_or_else(WallTime::now).unix_us);
    })?;
    output::result("Session ended.");
    let unanswered = unanswered(&session);
    if !unanswered.is_empty() {
        output::remark(&format!(
            "Not answered: {}. Without these answers nobody is advised to go on; \
             `footing sessions answer` adds them.",
            unanswered.join(", ")
        ));
    }
    warn(&arguments.answers);
    Ok(())
}

fn next_morning(arguments: &NextMorningArguments, records: &mut Records) -> Result<(), Problem> {
    let last = records.sessions(&arguments.person)?.pop().map(|session| session.id);
    let id = arguments.session.clone().or(last);
    let id = id.ok_or_else(|| Problem::NoSession { person: arguments.person.clone() })?;
    let answered_us = arguments.answered.unwrap_or_else(WallTime::now).unix_us;
    let session = amend(records, &arguments.person, &id, |session| {
        session.answers.next_morning = Some(NextMorning { pain: arguments.pain, answered_us });
    })?;
    output::result(&format!("Recorded for the session of {}.", session.started.date()));
    Ok(())
}

fn reference(arguments: &ReferenceArguments, records: &mut Records) -> Result<(), Problem> {
    let person = &arguments.person;
    let session = asked_for(records, person, arguments.session.as_deref())?;
    let mut trials = records.history(person, &[])?.trials.into_iter().map(|trial| trial.facts);
    let is_meant = |stand: &TrialFacts| {
        stand.session.as_ref() == Some(&session.id)
            && arguments.trial.as_ref().is_none_or(|id| *id == stand.id)
    };
    let stood =
        trials.rfind(is_meant).ok_or_else(|| Problem::NoStand { person: person.clone() })?;
    if stood.condition.band == Band::None {
        return Err(Problem::NoBand { condition: stood.condition });
    }
    amend(records, person, &session.id, |session| {
        exercise(session, stood.condition).reference =
            Some(Reference { trial: stood.id.clone(), pull: Some(arguments.pull) });
    })?;
    output::result(&format!(
        "Reference taken at {}, pull {}: where the weight is in later stands of this session is told \
         against it. Keep the feet where they are.",
        (ENGLISH.condition)(&stood.condition),
        arguments.pull,
    ));
    Ok(())
}

fn list(arguments: &ListSessionsArguments, records: &Records) -> Result<(), Problem> {
    known(records, &arguments.person)?;
    let sessions = records.sessions(&arguments.person)?;
    if arguments.json {
        let shapes = sessions.iter().map(shape).collect();
        output::result(&serde_json::Value::Array(shapes).to_string());
        return Ok(());
    }
    if sessions.is_empty() {
        return Err(Problem::NoSession { person: arguments.person.clone() });
    }
    let mut rows = vec![
        ["date", "place", "pain before, worst, after, next morning", "anything new", "session"]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend(sessions.iter().map(|session| {
        let answers = &session.answers;
        let morning = answers.next_morning.map(|morning| morning.pain);
        let pains = [answers.pain_at_start, answers.worst_pain_during, answers.pain_after, morning];
        vec![
            session.started.date(),
            session.place.to_string(),
            pains.map(points).join(", "),
            new_words(session).to_owned(),
            session.id.clone(),
        ]
    }));
    output::result(&text_table(&[Side::Left; 5], &rows));
    Ok(())
}

fn points(rating: Option<Rating>) -> String {
    rating.map_or_else(|| "–".to_owned(), |rating| rating.points().to_string())
}

fn new_words(session: &SessionRecord) -> &'static str {
    let answers = &session.answers;
    let signs = [
        answers.warning_sign,
        answers.fall,
        answers.leg_pain_further_down,
        answers.numbness_or_weakness,
    ];
    if signs.contains(&Some(true)) {
        "YES"
    } else if signs.contains(&None) {
        "not all asked"
    } else {
        "no"
    }
}

/// The questions of a session that have no answer, by the option that answers them.
fn unanswered(session: &SessionRecord) -> Vec<&'static str> {
    let answers = &session.answers;
    [
        ("--pain-at-start", answers.pain_at_start.is_none()),
        ("--worst-pain", answers.worst_pain_during.is_none()),
        ("--pain-after", answers.pain_after.is_none()),
        ("--anything-new", answers.warning_sign.is_none()),
        ("--fall", answers.fall.is_none()),
        ("--leg-pain", answers.leg_pain_further_down.is_none()),
        ("--numbness", answers.numbness_or_weakness.is_none()),
    ]
    .into_iter()
    .filter_map(|(option, missing)| missing.then_some(option))
    .collect()
}

/// Says at once what an answer means that no exercise may follow.
fn warn(answers: &AnswerArguments) {
    if answers.calls_for_a_stop() {
        output::remark(
            "STOP. No more exercise until a clinician has looked at this. New trouble passing \
             urine or controlling the bowels, numbness around the seat or inner thighs, or growing \
             weakness of the legs is an emergency: call the local emergency number now.",
        );
    }
}

/// Changes a session that must be this person's.
fn amend(
    records: &mut Records,
    person: &PersonCode,
    id: &str,
    amend: impl FnOnce(&mut SessionRecord),
) -> Result<SessionRecord, Problem> {
    let amended = records.amend_session(person, id, amend)?;
    amended.ok_or_else(|| Problem::UnknownSession { id: id.to_owned() })
}

/// The session in progress, or the one named, which must be that person's.
fn asked_for(
    records: &Records,
    person: &PersonCode,
    id: Option<&str>,
) -> Result<SessionRecord, Problem> {
    let session = match id {
        Some(id) => Some(named(records, id)?).filter(|session| session.person == *person),
        None => records.open_session(person, WallTime::now())?,
    };
    session.ok_or_else(|| Problem::NoSession { person: person.clone() })
}

fn named(records: &Records, id: &str) -> Result<SessionRecord, Problem> {
    records.session(id)?.ok_or_else(|| Problem::UnknownSession { id: id.to_owned() })
}

fn shape(session: &SessionRecord) -> serde_json::Value {
    let answers = &session.answers;
    let points = |rating: Option<Rating>| rating.map(Rating::points);
    let exercises: Vec<serde_json::Value> = session
        .exercises
        .iter()
        .map(|asked| {
            json!({
                "condition": asked.condition.to_string(),
                "difficulty": points(asked.difficulty),
                "touched_something": asked.touched_something,
                "pad": asked.pad,
                "reference": asked.reference.as_ref().map(|reference| {
                    json!({"trial": reference.trial, "pull": reference.pull.map(Pull::key)})
                }),
            })
        })
        .collect();
    json!({
        "id": session.id,
        "place": session.place.key(),
        "started": session.started.to_string(),
        "ended_unix_us": session.ended_unix_us,
        "plan": session.plan,
        "pain_at_start": points(answers.pain_at_start),
        "worst_pain_during": points(answers.worst_pain_during),
        "pain_after": points(answers.pain_after),
        "pain_next_morning": points(answers.next_morning.map(|morning| morning.pain)),
        "anything_new": answers.warning_sign,
        "fall": answers.fall,
        "leg_pain_further_down": answers.leg_pain_further_down,
        "numbness_or_weakness": answers.numbness_or_weakness,
        "exercises": exercises,
    })
}
