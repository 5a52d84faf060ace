//! `footing import`: a recording of another plate into a sealed trial file.

use std::fs;
use std::path::Path;

use acquisition::import::{
    C3dChoice, ColumnMap, Measured, TextForm, TimeSource, read_c3d, read_delimited,
};
use acquisition::{StoredTrial, TrialFacts, trial_file};
use analysis::{Analyser, SampleRate};
use serde_json::json;

use super::arguments::ImportArguments;
use super::data_folder::DataFolder;
use super::guess_columns;
use super::output;
use super::problem::Problem;
use super::record::SECONDS;
use super::stand_facts::{complete, known_session, stand_facts, within};

pub(crate) fn run(arguments: &ImportArguments, data: &DataFolder) -> Result<(), Problem> {
    within("hold asked for in seconds", arguments.asked, SECONDS)?;
    let (Some(person), Some(condition)) = (&arguments.person, arguments.condition) else {
        return guess_columns::run(&arguments.file, arguments.save_map.as_deref());
    };
    if arguments.guess {
        return guess_columns::run(&arguments.file, arguments.save_map.as_deref());
    }
    let reader = Reader::of(arguments)?;
    let mut records = data.records()?;
    let mut facts = stand_facts(person, condition, &arguments.details, &arguments.plate)?;
    complete(&mut facts, &records)?;
    facts.started = arguments.started.unwrap_or(facts.started);
    facts.asked_s = arguments.asked.unwrap_or(facts.asked_s);
    if let Some(id) = &arguments.session {
        let session = known_session(&records, &facts.person, id)?;
        (facts.session, facts.plan) = (Some(session.id), session.plan);
    }
    let stored = reader.read(&arguments.file, facts)?;
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

/// How the recording is read, settled before anything else is done.
enum Reader {
    Text(ColumnMap),
    C3d(C3dChoice),
}

impl Reader {
    fn of(arguments: &ImportArguments) -> Result<Self, Problem> {
        let is_c3d =
            arguments.file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("c3d"));
        if is_c3d {
            let (platform, forward) = (arguments.platform, arguments.forward);
            return Ok(Self::C3d(C3dChoice { platform, forward }));
        }
        column_map(arguments).map(Self::Text)
    }

    fn read(&self, path: &Path, facts: TrialFacts) -> Result<StoredTrial, Problem> {
        match self {
            Self::Text(map) => read_delimited(path, map, facts).map_err(|source| Problem::Import {
                path: path.to_owned(),
                source: Box::new(source),
            }),
            Self::C3d(choice) => read_c3d(path, *choice, facts)
                .map_err(|source| Problem::ImportC3d { path: path.to_owned(), source }),
        }
    }
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
