//! Commands about a person's course: people, plans, sessions, trials, the next step, decisions.

mod answers;
pub(crate) mod arguments;
pub(crate) mod as_of;
pub(crate) mod change;
mod decide;
pub(crate) mod next_step;
mod people;
mod plan;
mod plan_words;
mod sessions;
mod trials;

use acquisition::records::{PersonRecord, Records};
use analysis::PersonCode;

use super::data_folder::DataFolder;
use super::problem::Problem;
use arguments::CourseCommand;

/// Does one of these commands.
pub(crate) fn run(command: &CourseCommand, data: &DataFolder) -> Result<(), Problem> {
    let changes_plan = matches!(
        command,
        CourseCommand::Decide(_)
            | CourseCommand::Plan(arguments::PlanArguments {
                action: arguments::PlanAction::Set(_)
            })
    );
    if changes_plan {
        super::two_sides::only_in_clinic(data)?;
    }
    let mut records = data.records()?;
    match command {
        CourseCommand::People(arguments) => people::run(arguments, &mut records),
        CourseCommand::Plan(arguments) => plan::run(arguments, &mut records),
        CourseCommand::Sessions(arguments) => sessions::run(arguments, &mut records),
        CourseCommand::Trials(arguments) => trials::run(arguments, &records),
        CourseCommand::NextStep(arguments) => next_step::run(arguments, &records),
        CourseCommand::Decide(arguments) => decide::run(arguments, &mut records),
        CourseCommand::Decisions(arguments) => decide::list(arguments, &records),
    }
}

/// What is recorded of a person who must be known.
pub(crate) fn known(records: &Records, code: &PersonCode) -> Result<PersonRecord, Problem> {
    records.person(code)?.ok_or_else(|| Problem::NoPerson { person: code.clone() })
}
