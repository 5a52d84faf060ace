//! `footing import`: a recording of another plate into a sealed trial file.

use std::fs;
use std::path::Path;

use acquisition::import::{ColumnMap, Measured, TextForm, TimeSource, read_delimited};
use acquisition::trial_file;
use analysis::{Analyser, SampleRate};
use serde_json::json;

use super::arguments::ImportArguments;
use super::data_folder::DataFolder;
use super::output;
use super::problem::Problem;
use super::record::SECONDS;
use super::stand_facts::{complete, known_session, stand_facts, within};

pub(crate) fn run(arguments: &ImportArguments, data: &DataFolder) -> Result<(), Problem> {
    let map = column_map(arguments)?;
    within("hold asked for in seconds", arguments.asked, SECONDS)?;
    let mut records = data.records()?;
    let mut facts = stand_facts(&arguments.stand, &arguments.plate)?;
    complete(&mut facts, &records)?;
    facts.started = arguments.started.unwrap_or(facts.started);
    facts.asked_s = arguments.asked.unwrap_or(facts.asked_s);
    if let Some(id) = &arguments.session {
        let session = known_session(&records, &facts.person, id)?;
        (facts.session, facts.plan) = (Some(session.id), session.plan);
    }
    let stored = read_delimited(&arguments.file, &map, facts).map_err(|source| {
        Problem::Import { path: arguments.file.clone(), source: Box::new(source) }
    })?;
    let file = trial_file::seal(&stored, &data.trials())?;
    records.index_trial(&file, &mut Analyser::new())?;
    if arguments.json {
        let shape = json!({
            "file": file,
            "id": stored.facts.id,
            "samples": stored.samples.n_samples(),
        });
        output::result(&shape.to_string());
    } else {
        output::result(&format!(
            "Imported {} samples of {} into {}",
            stored.samples.n_samples(),
            stored.facts.person,
            file.display(),
        ));
    }
    Ok(())
}

fn column_map(arguments: &ImportArguments) -> Result<ColumnMap, Problem> {
    if let Some(path) = &arguments.map {
        return Ok(ColumnMap::from_toml(&read_map(path)?)?);
    }
    let time = match (&arguments.time, arguments.rate) {
        (Some(column), _) => TimeSource::Column(column.clone()),
        (None, Some(hz)) => TimeSource::Rate(
            SampleRate::from_hz(hz).map_err(acquisition::import::BadColumnMap::from)?,
        ),
        (None, None) => return Err(Problem::MapMissing),
    };
    let (Some(ml), Some(ap)) = (arguments.ml.clone(), arguments.ap.clone()) else {
        return Err(Problem::MapMissing);
    };
    Ok(ColumnMap { form: TextForm::default(), time, measured: Measured::Cop { ml, ap } })
}

fn read_map(path: &Path) -> Result<String, Problem> {
    fs::read_to_string(path).map_err(|source| Problem::ReadMap { path: path.to_owned(), source })
}
