//! `footing decide` and `footing decisions`: what the clinician decided, beside what was advised.

use acquisition::records::{DecisionRecord, Records};
use acquisition::{WallTime, new_record_id};
use analysis::readiness::{Verdict, next_step};
use serde_json::{Value, json};

use super::arguments::{DecideArguments, DecisionsArguments};
use super::known;
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::command_line::text_table::{Side, text_table};
use crate::strings::ENGLISH;

pub(super) fn run(arguments: &DecideArguments, records: &mut Records) -> Result<(), Problem> {
    known(records, &arguments.person)?;
    let plan = records
        .current_plan(&arguments.person)?
        .ok_or_else(|| Problem::NoPlan { person: arguments.person.clone() })?;
    let made = arguments.made.unwrap_or_else(WallTime::now);
    if !plan.conditions.iter().any(|planned| planned.condition == arguments.condition) {
        let condition = arguments.condition;
        return Err(analysis::readiness::NotInPlan::Condition { condition }.into());
    }
    let known = records.course(&arguments.person)?;
    let course = if arguments.made.is_some() { known.until(made) } else { known }.course;
    let advised = next_step(&course, &plan.step_plan(), made.moment())?.verdict;
    let decision = DecisionRecord {
        id: new_record_id(),
        person: arguments.person.clone(),
        made,
        author: arguments.author.clone(),
        condition: arguments.condition,
        advice: Some(advised),
        note: arguments.note.clone(),
    };
    records.put_decision(&decision)?;
    output::result(&format!(
        "Recorded: {} goes on with {}, decided by {}. The advice was: {advised}.",
        arguments.person,
        (ENGLISH.condition)(&arguments.condition),
        arguments.author,
    ));
    Ok(())
}

pub(super) fn list(arguments: &DecisionsArguments, records: &Records) -> Result<(), Problem> {
    known(records, &arguments.person)?;
    let decisions = records.decisions(&arguments.person)?;
    output::result(&if arguments.json {
        Value::Array(decisions.iter().map(shape).collect()).to_string()
    } else if decisions.is_empty() {
        format!("Nothing is decided about {} yet.", arguments.person)
    } else {
        table(&decisions)
    });
    Ok(())
}

fn table(decisions: &[DecisionRecord]) -> String {
    let head = ["date", "by", "goes on with", "advice was", "note"].map(str::to_owned).to_vec();
    let rows = decisions.iter().map(|decision| {
        vec![
            decision.made.date(),
            decision.author.clone(),
            (ENGLISH.condition)(&decision.condition),
            decision.advice.map_or("not asked", Verdict::key).to_owned(),
            decision.note.clone(),
        ]
    });
    let rows: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
    text_table(&[Side::Left; 5], &rows)
}

fn shape(decision: &DecisionRecord) -> Value {
    json!({
        "id": decision.id,
        "made": decision.made.to_string(),
        "author": decision.author,
        "condition": decision.condition.to_string(),
        "advice": decision.advice.map(Verdict::key),
        "note": decision.note,
    })
}
