//! Opening and measuring many trial files on all cores.

use std::path::PathBuf;

use acquisition::results::{MeasuredFile, measure_file};
use acquisition::trial_file::OpenTrialError;
use analysis::{Analyser, Processing};
use rayon::prelude::*;

use super::output::{self, Talk};
use super::problem::Problem;

/// Measures trial files in the order given. Files that cannot be opened are named on the way and
/// left out; the number left out comes back beside the rest.
pub(crate) fn measure_files(
    paths: &[PathBuf],
    processing: Processing,
    talk: Talk,
) -> (Vec<MeasuredFile>, usize) {
    let bar = output::bar(talk, paths.len() as u64, "Measuring");
    let results: Vec<Result<MeasuredFile, OpenTrialError>> = paths
        .par_iter()
        .map_init(Analyser::new, |analyser, path| {
            let measured = measure_file(path, analyser, processing);
            bar.inc(1);
            measured
        })
        .collect();
    bar.finish_and_clear();
    let n_files = results.len();
    let mut measured = Vec::with_capacity(n_files);
    for (path, result) in paths.iter().zip(results) {
        match result {
            Ok(file) => measured.push(file),
            Err(source) => {
                output::say(&Problem::OpenTrial { path: path.clone(), source: Box::new(source) });
            }
        }
    }
    let n_left_out = n_files - measured.len();
    (measured, n_left_out)
}
