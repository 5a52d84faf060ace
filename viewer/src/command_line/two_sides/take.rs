//! `footing take`: packages of the other side.

use acquisition::exchange::{KeyRing, Taken, TakenContent, take};
use acquisition::package::PackageId;
use serde_json::json;

use super::arguments::TakeArguments;
use crate::command_line::data_folder::DataFolder;
use crate::command_line::output;
use crate::command_line::problem::Problem;

pub(super) fn run(arguments: &TakeArguments, data: &DataFolder) -> Result<(), Problem> {
    let mut records = data.records()?;
    let keys = KeyRing::open(data.library())?;
    keys.own()?;
    let mut n_refused = 0;
    for path in &arguments.files {
        match take(&mut records, &keys, data.reader(), path) {
            Ok(Ok(taken)) => say(&taken, arguments.json),
            Ok(Err(id)) => say_known(id, arguments.json),
            Err(source) => {
                let problem = Problem::Take { path: path.clone(), source: Box::new(source) };
                if arguments.files.len() == 1 {
                    return Err(problem);
                }
                output::say(&problem);
                n_refused += 1;
            }
        }
    }
    if n_refused == 0 { Ok(()) } else { Err(Problem::Said) }
}

fn say_known(id: PackageId, as_json: bool) {
    output::result(&if as_json {
        json!({"package": id.to_string(), "nothing_new": true}).to_string()
    } else {
        "Nothing new: this package was taken before.".to_owned()
    });
}

fn say(taken: &Taken, as_json: bool) {
    if as_json {
        output::result(&shape(taken).to_string());
        return;
    }
    let person = &taken.person;
    output::result(&match &taken.content {
        TakenContent::Plan(plan) if plan.n_plans == 0 && plan.n_decisions == 0 => {
            format!("{person}: nothing new; plan version {} is in force.", plan.version)
        }
        TakenContent::Plan(plan) => format!(
            "{person}: plan version {} is in force; new: {}, {}.",
            plan.version,
            counted(plan.n_plans, "version", "versions"),
            counted(plan.n_decisions, "decision", "decisions")
        ),
        TakenContent::Sessions(new) => format!(
            "{person}: new: {}, {}. New answers in {} known before.",
            counted(new.n_sessions, "session", "sessions"),
            counted(new.n_trials, "stand", "stands"),
            counted(new.n_completed, "session", "sessions"),
        ),
    });
    if let TakenContent::Sessions(new) = &taken.content {
        for (session, what) in &new.kept_ours {
            output::remark(&format!(
                "The answer to {what:?} of session {session} differs from the one recorded here; \
                 the one here is kept. Ask the person."
            ));
        }
    }
}

fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

fn shape(taken: &Taken) -> serde_json::Value {
    let content = match &taken.content {
        TakenContent::Plan(plan) => json!({
            "plan_version": plan.version,
            "new_plans": plan.n_plans,
            "new_decisions": plan.n_decisions,
        }),
        TakenContent::Sessions(new) => json!({
            "new_sessions": new.n_sessions,
            "completed_sessions": new.n_completed,
            "new_stands": new.n_trials,
            "contradictions": new.kept_ours.len(),
        }),
    };
    json!({
        "person": taken.person.as_str(),
        "sealed": taken.created.to_string(),
        "nothing_new": false,
        "content": content,
    })
}
