//! `footing answer`: a decision, the plan's next version if there is one, sealed for the home.

use std::fs;

use acquisition::exchange::KeyRing;
use acquisition::records::{DecisionRecord, PlanDraft};
use acquisition::{WallTime, new_record_id};
use analysis::readiness::{NotInPlan, Verdict, next_step};

use super::arguments::AnswerArguments;
use super::send::seal;
use crate::command_line::course::known;
use crate::command_line::data_folder::DataFolder;
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::strings::ENGLISH;

pub(super) fn run(arguments: &AnswerArguments, data: &DataFolder) -> Result<(), Problem> {
    super::only_in_clinic(data)?;
    let mut records = data.records()?;
    let person = &arguments.person;
    // Before anything is recorded: an answer that cannot be sealed is none.
    let keys = KeyRing::open(data.library())?;
    keys.own()?;
    keys.pairing(person)?;
    let draft = match &arguments.plan {
        None => None,
        Some(path) => {
            let text = fs::read_to_string(path)
                .map_err(|source| Problem::ReadPlan { path: path.clone(), source })?;
            Some(PlanDraft::from_toml(&text).map_err(|source| Problem::PlanDraft {
                path: path.clone(),
                source: Box::new(source),
            })?)
        }
    };
    known(&records, person)?;
    let before = records.current_plan(person)?;
    let conditions = draft.as_ref().map(|draft| &draft.conditions);
    let conditions = conditions.or(before.as_ref().map(|before| &before.conditions));
    let conditions = conditions.ok_or_else(|| Problem::NoPlan { person: person.clone() })?;
    if !conditions.iter().any(|planned| planned.condition == arguments.condition) {
        return Err(NotInPlan::Condition { condition: arguments.condition }.into());
    }
    let made = arguments.made.unwrap_or_else(WallTime::now);
    let course = records.course(person)?;
    let course = if arguments.made.is_some() { course.until(made) } else { course }.course;
    let advised = match &before {
        Some(before) => Some(next_step(&course, &before.step_plan(), made.moment())?.verdict),
        None => None,
    };
    if let Some(draft) = draft {
        records.put_next_plan(person, draft, &arguments.author, made)?;
    }
    records.put_decision(&DecisionRecord {
        id: new_record_id(),
        person: person.clone(),
        made,
        author: arguments.author.clone(),
        condition: arguments.condition,
        advice: advised,
        note: arguments.note.clone(),
    })?;
    output::remark(&format!(
        "Recorded: {person} goes on with {}, decided by {}. The advice was: {}.",
        (ENGLISH.condition)(&arguments.condition),
        arguments.author,
        advised.map_or("not asked, there was no plan", Verdict::key),
    ));
    let everything = WallTime { unix_us: i64::MIN, ..made };
    seal(&records, person, everything, false, WallTime::now(), &arguments.into)
}
