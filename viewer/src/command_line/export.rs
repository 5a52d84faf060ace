//! `footing export`: trials for other programs.

use std::path::{Path, PathBuf};
use std::time::Instant;

use acquisition::StoredTrial;
use acquisition::export::{ResearchSet, facts_json, fhir_bundle, write_samples_csv};
use acquisition::results::{measure_file, measure_with_samples};
use acquisition::trial_file::TrialReader;

use super::data_folder::DataFolder;
use super::interchange_arguments::ExportArguments;
use super::measure_files::{measure_files, measure_in_order};
use super::output::{self, Talk};
use super::problem::Problem;
use super::trial_paths::trial_paths;
use crate::strings::decimals;

pub(crate) fn run(
    arguments: &ExportArguments,
    data: &DataFolder,
    talk: Talk,
) -> Result<(), Problem> {
    let paths = trial_paths(&arguments.trials)?;
    match &arguments.parquet {
        Some(folder) if paths.is_empty() => {
            research_set(&trial_paths(&[data.trials()])?, folder, data.reader(), arguments, talk)
        }
        Some(folder) => research_set(&paths, folder, data.reader(), arguments, talk),
        None if paths.is_empty() => {
            Err(Problem::NoTrials { place: "an empty command: no trial was named".to_owned() })
        }
        None if arguments.fhir => fhir(&paths, data.reader(), arguments, talk),
        None if arguments.facts => facts(&paths, data.reader()),
        None => samples(&paths, data.reader()),
    }
}

fn open(path: &Path, reader: &TrialReader) -> Result<StoredTrial, Problem> {
    reader
        .open(path)
        .map_err(|source| Problem::OpenTrial { path: path.to_owned(), source: Box::new(source) })
}

/// The samples of the one trial; those of two would not tell which is whose.
fn samples(paths: &[PathBuf], reader: &TrialReader) -> Result<(), Problem> {
    let [path] = paths else { return Err(Problem::OneTrial { n_trials: paths.len() }) };
    let stored = open(path, reader)?;
    output::stream(|writer| write_samples_csv(&stored.samples, writer)).map_err(Problem::Print)
}

/// Every trial is opened before anything is printed: a broken one leaves no half list.
fn facts(paths: &[PathBuf], reader: &TrialReader) -> Result<(), Problem> {
    let lines: Vec<String> = paths
        .iter()
        .map(|path| Ok(facts_json(&open(path, reader)?).lines().map(str::trim).collect()))
        .collect::<Result<_, Problem>>()?;
    output::stream(|writer| lines.iter().try_for_each(|line| writeln!(writer, "{line}")))
        .map_err(Problem::Print)
}

fn fhir(
    paths: &[PathBuf],
    reader: &TrialReader,
    arguments: &ExportArguments,
    talk: Talk,
) -> Result<(), Problem> {
    let (files, n_left_out) =
        measure_files(paths, reader, measure_file, arguments.processing, arguments.jobs, talk)?;
    if 0 < n_left_out {
        return Err(Problem::SomeNotOpened { n_files: n_left_out });
    }
    output::result(&fhir_bundle(&files));
    Ok(())
}

fn research_set(
    paths: &[PathBuf],
    folder: &Path,
    reader: &TrialReader,
    arguments: &ExportArguments,
    talk: Talk,
) -> Result<(), Problem> {
    let begun = Instant::now();
    let processing = arguments.processing;
    let mut set = ResearchSet::create(folder, processing, arguments.samples)?;
    let n_left_out = measure_in_order(
        paths,
        reader,
        measure_with_samples,
        processing,
        arguments.jobs,
        talk,
        |(file, samples)| Ok(set.push(&file, &samples)?),
    )?;
    let report = set.finish()?;
    let samples = match report.n_samples {
        0 => String::new(),
        n_samples => format!(" with {n_samples} samples"),
    };
    let files = if report.n_files == 1 { "file" } else { "files" };
    output::result(&format!(
        "{} trials{samples} in {} Parquet {files} in {}, {} s",
        report.n_trials,
        report.n_files,
        folder.display(),
        decimals(begun.elapsed().as_secs_f64(), 2),
    ));
    match n_left_out {
        0 => Ok(()),
        n_files => Err(Problem::SomeNotOpened { n_files }),
    }
}
