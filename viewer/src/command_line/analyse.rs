//! `footing analyse`: every measure of trials.

use acquisition::results::{MeasuredFile, measure_file, results_csv, results_json};
use analysis::{MEASURES, MeasureDef, Measures, Processing};

use super::arguments::AnalyseArguments;
use super::data_folder::DataFolder;
use super::measure_files::measure_files;
use super::output::{self, Talk};
use super::problem::Problem;
use super::text_table::{Side, text_table};
use super::trial_paths::trial_paths;
use crate::strings::{ENGLISH, significant};

pub(crate) fn run(
    arguments: &AnalyseArguments,
    data: &DataFolder,
    talk: Talk,
) -> Result<(), Problem> {
    let given = if arguments.trials.is_empty() {
        let trials = data.trials();
        if !trials.is_dir() {
            return Err(Problem::NoTrials { place: trials.display().to_string() });
        }
        vec![trials]
    } else {
        arguments.trials.clone()
    };
    let paths = trial_paths(&given)?;
    let processing = arguments.result.processing;
    let (files, n_left_out) =
        measure_files(&paths, data.reader(), measure_file, processing, arguments.jobs, talk)?;
    if !files.is_empty() {
        output::result(&if arguments.result.json {
            results_json(&files, processing)
        } else if arguments.result.csv {
            results_csv(&files, processing)
        } else {
            headlines(&files, processing)
        });
    }
    match (n_left_out, paths.len()) {
        (0, _) => Ok(()),
        (_, 1) => Err(Problem::Said),
        (n_files, _) => Err(Problem::SomeNotOpened { n_files }),
    }
}

/// The leading measures, a block a trial.
fn headlines(files: &[MeasuredFile], processing: Processing) -> String {
    let blocks: Vec<String> = files.iter().map(block).collect();
    format!(
        "{}\nProcessing: {processing}. All measures: --csv or --json. \
         A measurement, not a diagnosis.\n",
        blocks.join("\n")
    )
}

fn block(file: &MeasuredFile) -> String {
    let facts = &file.facts;
    let condition = (ENGLISH.condition)(&facts.condition);
    let kind = (ENGLISH.kind)(facts.kind);
    let values = match &file.found {
        Err(reason) => format!("  not available: {reason}\n"),
        Ok(found) => leading_values(&found.measured.measures),
    };
    format!("{}  {}  {condition}  {kind}\n{values}", facts.person, facts.started.date())
}

fn leading_values(measures: &Measures) -> String {
    let row = |measure: &MeasureDef| {
        let name = (ENGLISH.measure)(measure.key).unwrap_or(measure.key);
        let (value, unit) = match (measure.value)(measures) {
            Ok(value) => (significant(value, 3), measure.unit.key().to_owned()),
            Err(reason) => ("–".to_owned(), format!("not available: {reason}")),
        };
        vec![format!("  {name}"), value, unit]
    };
    let rows: Vec<Vec<String>> =
        MEASURES.iter().filter(|measure| measure.headline).map(row).collect();
    text_table(&[Side::Left, Side::Right, Side::Left], &rows)
}
