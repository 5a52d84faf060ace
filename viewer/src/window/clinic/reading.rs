//! What the window asks the records for, and how they answer.

use std::io;

use acquisition::home::{BadHomeSettings, HomeSettings, LanguageKey};
use acquisition::library::Library;
use acquisition::records::{
    CatchUpError, CaughtUp, DecisionRecord, PersonRecord, PlanDraft, Records, RecordsError,
};
use acquisition::trial_file::TrialReader;
use acquisition::{WallTime, new_record_id};
use analysis::readiness::next_step;
use analysis::{Analyser, BadPersonCode, Condition, PersonCode};

use crate::strings::{Language, Message};
use crate::window::clinic::desk::{Desk, SessionChange};
use crate::window::course::CourseView;
use crate::window::loader::{Loader, Outlet};
use crate::window::people::Standing;
use crate::window::words_in_use::WordsInUse;

/// What the window wants of the records.
#[derive(Debug)]
pub(crate) enum Request {
    /// Everybody, and how so many of them stand, who are the first in the order of codes.
    People { n_first: usize },
    /// How these people stand.
    Standings(Vec<PersonCode>),
    /// Take in what the records do not know yet.
    CatchUp,
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
    /// Remember the language for the next start.
    KeepLanguage(LanguageKey),
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
    /// Everybody, the number that differs once another program has changed the records, and how the
    /// first of them stand.
    People(Vec<PersonRecord>, i64, Vec<(PersonCode, Standing)>),
    Standings(Vec<(PersonCode, Standing)>),
    /// Trials were taken in that the records did not know, or none was.
    CaughtUp {
        found: bool,
    },
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
    words: WordsInUse,
    library: Library,
    reader: TrialReader,
) -> io::Result<Loader<Request, Answer>> {
    let mut open: Option<Records> = None;
    Loader::start(ctx, move |request, outlet: &Outlet<Answer>| {
        let words = words.now();
        if let Request::KeepLanguage(key) = request {
            if let Err(error) = keep_language(&library, key) {
                outlet.give(Answer::Refused((words.settings_not_kept)(&error)));
            }
            return;
        }
        let opened = open.take().map_or_else(|| Records::open(&library), Ok);
        let records = match opened {
            Ok(records) => open.insert(records),
            Err(error) => {
                outlet.give(Answer::Refused((words.clinic.not_opened)(&error)));
                return;
            }
        };
        let answer = match request {
            Request::People { n_first } => people(words, records, n_first, outlet),
            Request::Standings(people) => {
                Ok(Answer::Standings(standings(words, records, people, outlet)))
            }
            Request::CatchUp => Ok(catch_up(words, records, &reader, outlet)),
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
            // Above: it needs no records.
            Request::KeepLanguage(_) => return,
        };
        outlet.give(answer.unwrap_or_else(|error| Answer::Refused((words.clinic.refused)(&error))));
    })
}

fn keep_language(library: &Library, key: LanguageKey) -> Result<(), BadHomeSettings> {
    let mut settings = HomeSettings::load(library.folder())?;
    settings.language = Some(key);
    settings.save(library.folder())
}

/// Takes in trials that a kill or a power cut kept out of the records. It looks at every trial's name,
/// so the window asks for it once people show.
fn catch_up(
    words: &Language,
    records: &mut Records,
    reader: &TrialReader,
    outlet: &Outlet<Answer>,
) -> Answer {
    let caught_up = records.catch_up(reader, &mut Analyser::new());
    let found = caught_up.as_ref().is_ok_and(|caught_up| !caught_up.indexed.is_empty());
    if let Some(message) = not_caught_up(words, caught_up) {
        outlet.give(Answer::Refused(message));
    }
    Answer::CaughtUp { found }
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

fn people(
    words: &Language,
    records: &Records,
    n_first: usize,
    outlet: &Outlet<Answer>,
) -> Result<Answer, RecordsError> {
    // The number first: a change between the two is read again at the next visit.
    let changes = records.changes_elsewhere()?;
    let people = records.people()?;
    let first = people.iter().take(n_first).map(|person| person.code.clone()).collect();
    let first = standings(words, records, first, outlet);
    Ok(Answer::People(people, changes, first))
}

/// How people stand; whoever cannot be read is told, and does not keep the others from being read.
fn standings(
    words: &Language,
    records: &Records,
    people: Vec<PersonCode>,
    outlet: &Outlet<Answer>,
) -> Vec<(PersonCode, Standing)> {
    let now = WallTime::now().moment();
    let standing = |person: &PersonCode| {
        let known = records.course(person)?;
        let plan = records.current_plan(person)?;
        Ok(Standing::of(&known, plan.as_ref(), now))
    };
    let mut found = Vec::with_capacity(people.len());
    for person in people {
        let read: Result<Standing, RecordsError> = standing(&person);
        match read {
            Ok(standing) => found.push((person, standing)),
            Err(error) => outlet.give(Answer::Refused((words.clinic.refused)(&error))),
        }
    }
    found
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
