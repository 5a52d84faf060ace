//! `footing trials`: a person's stands with their leading measures.

use acquisition::records::{Records, TrialRecord};
use analysis::{MEASURES, MeasureDef, PersonCode, QualityFlag};
use serde_json::json;

use super::arguments::TrialsArguments;
use super::known;
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::command_line::text_table::{Side, text_table};
use crate::strings::{ENGLISH, significant};

pub(super) fn run(arguments: &TrialsArguments, records: &Records) -> Result<(), Problem> {
    known(records, &arguments.person)?;
    let leading: Vec<&MeasureDef> = MEASURES.iter().filter(|measure| measure.headline).collect();
    let keys: Vec<&str> = leading.iter().map(|measure| measure.key).collect();
    let trials = records.history(&arguments.person, &keys)?.trials;
    output::result(&if arguments.json {
        serde_json::Value::Array(trials.iter().map(shape).collect()).to_string()
    } else if trials.is_empty() {
        nothing(&arguments.person)
    } else {
        table(&trials, &leading)
    });
    Ok(())
}

fn nothing(person: &PersonCode) -> String {
    format!("No stand of {person} is recorded yet.")
}

fn table(trials: &[TrialRecord], leading: &[&MeasureDef]) -> String {
    let mut head: Vec<String> =
        ["date", "condition", "kind", "quality"].map(str::to_owned).to_vec();
    head.extend(leading.iter().map(|measure| {
        let name = (ENGLISH.measure)(measure.key).unwrap_or(measure.key);
        format!("{name} [{}]", measure.unit)
    }));
    let mut rows = vec![head];
    rows.extend(trials.iter().map(|trial| row(trial, leading)));
    let mut sides = vec![Side::Left; 4];
    sides.resize(4 + leading.len(), Side::Right);
    text_table(&sides, &rows)
}

fn row(trial: &TrialRecord, leading: &[&MeasureDef]) -> Vec<String> {
    let value = |measure: &MeasureDef| {
        let values = &trial.measurement.values;
        let found = values.iter().find(|(key, _)| key == measure.key);
        found.map_or_else(|| "–".to_owned(), |&(_, value)| significant(value, 3))
    };
    let mut cells = vec![
        trial.facts.started.date(),
        (ENGLISH.condition)(&trial.facts.condition),
        (ENGLISH.kind)(trial.facts.kind).to_owned(),
        quality(trial),
    ];
    cells.extend(leading.iter().map(|measure| value(measure)));
    cells
}

fn quality(trial: &TrialRecord) -> String {
    match trial.measurement.flags.as_deref() {
        None => "not known".to_owned(),
        Some([]) => "nothing to note".to_owned(),
        Some(flags) => keys(flags).join(", "),
    }
}

fn keys(flags: &[QualityFlag]) -> Vec<&'static str> {
    flags.iter().map(|flag| flag.key()).collect()
}

fn shape(trial: &TrialRecord) -> serde_json::Value {
    let facts = &trial.facts;
    let values = trial.measurement.values.iter();
    let values: serde_json::Map<String, serde_json::Value> =
        values.map(|(key, value)| (key.clone(), json!(value))).collect();
    json!({
        "id": facts.id,
        "session": facts.session,
        "started": facts.started.to_string(),
        "condition": facts.condition.to_string(),
        "kind": facts.kind.key(),
        "asked_s": facts.asked_s,
        "board": facts.setup.board,
        "quality": trial.measurement.flags.as_deref().map(keys),
        "not_available": trial.measurement.not_available,
        "measured_by": trial.measurement.program,
        "measures": values,
    })
}
