//! Opening and measuring many trial files on all cores.

use std::path::{Path, PathBuf};

use acquisition::trial_file::{OpenTrialError, TrialReader};
use analysis::{Analyser, Processing};
use rayon::ThreadPoolBuilder;
use rayon::prelude::*;

use super::output::{self, Talk};
use super::problem::Problem;

/// What one trial file comes to; `analyser` is kept from file to file.
pub(crate) type MeasureOne<T> =
    fn(&Path, &TrialReader, &mut Analyser, Processing) -> Result<T, OpenTrialError>;

/// Measures trial files in the order given, `jobs` at once (one a core if `None`). Files that cannot
/// be opened are named and left out; the number left out comes back beside the rest.
pub(crate) fn measure_files<T: Send>(
    paths: &[PathBuf],
    reader: &TrialReader,
    measure: MeasureOne<T>,
    processing: Processing,
    jobs: Option<u16>,
    talk: Talk,
) -> Result<(Vec<T>, usize), Problem> {
    let threads = ThreadPoolBuilder::new().num_threads(jobs.map_or(0, usize::from)).build()?;
    let bar = output::bar(talk, paths.len() as u64, "Measuring");
    let results: Vec<Result<T, OpenTrialError>> = threads.install(|| {
        paths
            .par_iter()
            .map_init(Analyser::new, |analyser, path| {
                let measured = measure(path, reader, analyser, processing);
                bar.inc(1);
                measured
            })
            .collect()
    });
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
    Ok((measured, n_left_out))
}
