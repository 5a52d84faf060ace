//! What the window asks the records for, and how they answer.

use std::io;

use acquisition::library::Library;
use acquisition::records::{
    CatchUpError, CaughtUp, DecisionRecord, PersonRecord, PlanDraft, Records, RecordsError,
};
use acquisition::trial_file::TrialReader;
use acquisition::{WallTime, new_record_id};
use analysis::readiness::next_step;
use analysis::{BadPersonCode, Condition, PersonCode};

use crate::strings::{Language, Message};
use crate::window::clinic::desk::{Desk, SessionChange};
use crate::window::course::CourseView;
use crate::window::loader::{Loader, Outlet};
use crate::window::people::Standing;

/// What the window wants of the records.
#[derive(Debug)]
pub(crate) enum Request {
    /// Everybody.
    People,
    /// How one person stands.
    Standing(PersonCode),
    /// Record somebody under this code.
    Add(String),
    /// One person's course.
    Course(PersonCode),
    /// One person's plans and session.
    Desk(PersonCode),
    /// Store a decision.
    Decide(Box<NewDecision>),
    /// Change a person's session, or begin one.
    Session(PersonCode, Box<SessionChange>),
    /// Store the next version of a plan.
    StorePlan { person: PersonCode, draft: Box<PlanDraft>, author: String },
    /// Make the virtual person ready.
    Rehearse,
}

/// A decision as it was typed.
#[derive(Debug)]
pub(crate) struct NewDecision {
    /// Code of the person.
    pub(crate) person: String,
    /// The condition they go on with.
    pub(crate) condition: Condition,
    /// Who decided.
    pub(crate) author: String,
    /// In their own words; may be empty.
    pub(crate) note: String,
}

/// What the records answer.
#[derive(Debug)]
pub(crate) enum Answer {
    /// Everybody, and the number that differs once another program has changed the records.
    People(Vec<PersonRecord>, i64),
    Standing(PersonCode, Standing),
    Added,
    Course(Box<CourseView>),
    Desk(Box<Desk>),
    /// A session or plan of this person.
    Changed(PersonCode),
    Rehearsing(PersonCode),
    Decided(PersonCode),
    Refused(Message),
}

/// Starts the thread that reads the records of a data folder.
///
/// # Errors
/// If the system gives no thread.
pub(crate) fn start(
    ctx: &egui::Context,
    words: &'static Language,
    library: Library,
    reader: TrialReader,
) -> io::Result<Loader<Request, Answer>> {
    let mut open: Option<Records> = None;
    Loader::start(ctx, move |request, outlet: &Outlet<Answer>| {
        let opened = open.take().map_or_else(
            || {
                Records::open_up_to_date(&library, &reader).map(|(records, caught_up)| {
                    if let Some(message) = not_caught_up(words, caught_up) {
                        outlet.give(Answer::Refused(message));
                    }
                    records
                })
            },
            Ok,
        );
        let records = match opened {
            Ok(records) => open.insert(records),
            Err(error) => {
                outlet.give(Answer::Refused((words.clinic.not_opened)(&error)));
                return;
            }
        };
        let answer = match request {
            Request::People => people(records),
            Request::Standing(person) => standing(records, person),
            Request::Add(code) => add(words, records, &code),
            Request::Course(person) => course(words, records, &person),
            Request::Desk(person) => desk(words, records, &person),
            Request::Decide(decision) => decide(words, records, *decision),
            Request::Session(person, change) => {
                change.make(records, &person).map(|()| Answer::Changed(person))
            }
            Request::StorePlan { person, draft, author } => records
                .put_next_plan(&person, *draft, &author, WallTime::now())
                .map(|_| Answer::Changed(person)),
            Request::Rehearse => rehearse(words, records),
        };
        outlet.give(answer.unwrap_or_else(|error| Answer::Refused((words.clinic.refused)(&error))));
    })
}

/// What kept the records from being up to date.
fn not_caught_up(words: &Language, caught_up: Result<CaughtUp, CatchUpError>) -> Option<Message> {
    match caught_up {
        Ok(caught_up) => {
            let (path, error) = caught_up.refused.first()?;
            Some((words.clinic.not_taken_in)(path, error, caught_up.refused.len() - 1))
        }
        Err(error) => Some((words.clinic.not_up_to_date)(&error)),
    }
}

fn people(records: &Records) -> Result<Answer, RecordsError> {
    // The number first: a change between the two is read again at the next visit.
    let changes = records.changes_elsewhere()?;
    Ok(Answer::People(records.people()?, changes))
}

fn standing(records: &Records, person: PersonCode) -> Result<Answer, RecordsError> {
    let known = records.course(&person)?;
    let plan = records.current_plan(&person)?;
    let standing = Standing::of(&known, plan.as_ref(), WallTime::now().moment());
    Ok(Answer::Standing(person, standing))
}

fn add(words: &Language, records: &mut Records, code: &str) -> Result<Answer, RecordsError> {
    let code: PersonCode = match code.parse() {
        Ok(code) => code,
        Err(error) => {
            let error: BadPersonCode = error;
            return Ok(Answer::Refused((words.clinic.bad_code)(&error)));
        }
    };
    if records.person(&code)?.is_some() {
        return Ok(Answer::Refused((words.clinic.taken)(&code)));
    }
    records.put_person(&PersonRecord::new(code))?;
    Ok(Answer::Added)
}

fn course(words: &Language, records: &Records, code: &PersonCode) -> Result<Answer, RecordsError> {
    let Some(person) = records.person(code)? else {
        return Ok(Answer::Refused((words.clinic.gone)(code)));
    };
    let view = CourseView::new(
        words,
        &person,
        &records.course(code)?,
        records.current_plan(code)?.as_ref(),
        &records.decisions(code)?,
        WallTime::now().moment(),
    );
    Ok(Answer::Course(Box::new(view)))
}

fn desk(words: &Language, records: &Records, code: &PersonCode) -> Result<Answer, RecordsError> {
    let desk = Desk::read(records, code)?;
    let gone = || Answer::Refused((words.clinic.gone)(code));
    Ok(desk.map_or_else(gone, |desk| Answer::Desk(Box::new(desk))))
}

/// Code, height and mass of the virtual person; invented.
const VIRTUAL: (&str, f64, f64) = ("SIM-1", 1.70, 70.0);

fn rehearse(words: &Language, records: &mut Records) -> Result<Answer, RecordsError> {
    let (code, height_m, mass_kg) = VIRTUAL;
    let code: PersonCode = match code.parse() {
        Ok(code) => code,
        Err(error) => return Ok(Answer::Refused((words.clinic.bad_code)(&error))),
    };
    if records.person(&code)?.is_none() {
        let person = PersonRecord::new(code.clone());
        let (height_m, mass_kg) = (Some(height_m), Some(mass_kg));
        records.put_person(&PersonRecord { height_m, mass_kg, ..person })?;
    }
    if records.current_plan(&code)?.is_none() {
        let draft = PlanDraft::to_begin_with();
        records.put_next_plan(&code, draft, words.common.program, WallTime::now())?;
    }
    Ok(Answer::Rehearsing(code))
}

fn decide(
    words: &Language,
    records: &mut Records,
    decision: NewDecision,
) -> Result<Answer, RecordsError> {
    let NewDecision { person, condition, author, note } = decision;
    let person: PersonCode = match person.parse() {
        Ok(person) => person,
        Err(error) => return Ok(Answer::Refused((words.clinic.bad_code)(&error))),
    };
    let Some(plan) = records.current_plan(&person)? else {
        return Ok(Answer::Refused((words.clinic.needs_plan)(&person)));
    };
    if !plan.conditions.iter().any(|planned| planned.condition == condition) {
        let error = analysis::readiness::NotInPlan::Condition { condition };
        return Ok(Answer::Refused((words.clinic.not_in_plan)(&error)));
    }
    let made = WallTime::now();
    let course = records.course(&person)?.course;
    // A plan that no longer holds the last decision gives no advice; this decision mends that.
    let advised = next_step(&course, &plan.step_plan(), made.moment()).ok();
    records.put_decision(&DecisionRecord {
        id: new_record_id(),
        person: person.clone(),
        made,
        author,
        condition,
        advice: advised.map(|step| step.verdict),
        note,
    })?;
    Ok(Answer::Decided(person))
}
