//! `footing export`: the samples of one trial as CSV.

use acquisition::export::write_samples_csv;

use super::arguments::ExportArguments;
use super::data_folder::DataFolder;
use super::output;
use super::problem::Problem;

pub(crate) fn run(arguments: &ExportArguments, data: &DataFolder) -> Result<(), Problem> {
    let path = &arguments.file;
    let stored = data
        .reader()
        .open(path)
        .map_err(|source| Problem::OpenTrial { path: path.clone(), source: Box::new(source) })?;
    output::stream(|writer| write_samples_csv(&stored.samples, writer)).map_err(Problem::Print)
}
