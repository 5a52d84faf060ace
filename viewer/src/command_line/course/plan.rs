//! `footing plan`: a person's plan, shown and replaced.

use std::fs;

use acquisition::WallTime;
use acquisition::records::{Plan, PlanDraft, Records};
use analysis::PersonCode;

use super::arguments::{PlanAction, PlanArguments, SetPlanArguments, ShowPlanArguments};
use super::{known, plan_words};
use crate::command_line::output;
use crate::command_line::problem::Problem;

pub(super) fn run(arguments: &PlanArguments, records: &mut Records) -> Result<(), Problem> {
    match &arguments.action {
        PlanAction::Show(arguments) => show(arguments, records),
        PlanAction::Set(arguments) => set(arguments, records),
    }
}

fn show(arguments: &ShowPlanArguments, records: &Records) -> Result<(), Problem> {
    known(records, &arguments.person)?;
    let plans = records.plans(&arguments.person)?;
    let text = match (plans.last(), arguments.toml) {
        (Some(plan), true) => PlanDraft::to_toml(plan),
        (None, true) => PlanDraft::to_toml(&first_plan(&arguments.person)),
        (Some(_), false) => plan_words::versions(&plans),
        (None, false) => return Err(Problem::NoPlan { person: arguments.person.clone() }),
    };
    output::result(&text);
    Ok(())
}

fn set(arguments: &SetPlanArguments, records: &mut Records) -> Result<(), Problem> {
    known(records, &arguments.person)?;
    let path = &arguments.file;
    let text = fs::read_to_string(path)
        .map_err(|source| Problem::ReadPlan { path: path.clone(), source })?;
    let draft = PlanDraft::from_toml(&text)
        .map_err(|source| Problem::PlanDraft { path: path.clone(), source: Box::new(source) })?;
    let before = records.current_plan(&arguments.person)?;
    let plan =
        records.put_next_plan(&arguments.person, draft, &arguments.author, WallTime::now())?;
    output::result(&plan_words::recorded(&plan, before.as_ref()));
    Ok(())
}

/// A plan to begin with, as it is written to be edited.
fn first_plan(person: &PersonCode) -> Plan {
    let draft = PlanDraft::to_begin_with();
    Plan {
        id: String::new(),
        person: person.clone(),
        version: 1,
        author: String::new(),
        made: WallTime::now(),
        conditions: draft.conditions,
        settle_s: draft.settle_s,
        guided_by: draft.guided_by,
        finds_stance_at_home: draft.finds_stance_at_home,
        sessions_per_day: draft.sessions_per_day,
        thresholds: draft.thresholds,
    }
}
