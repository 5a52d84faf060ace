//! `footing export`: the samples of one trial as CSV.

use acquisition::export::write_samples_csv;
use acquisition::trial_file;

use super::arguments::ExportArguments;
use super::output;
use super::problem::Problem;

pub(crate) fn run(arguments: &ExportArguments) -> Result<(), Problem> {
    let path = &arguments.file;
    let stored = trial_file::open(path)
        .map_err(|source| Problem::OpenTrial { path: path.clone(), source: Box::new(source) })?;
    output::stream(|writer| write_samples_csv(&stored.samples, writer)).map_err(Problem::Print)
}
