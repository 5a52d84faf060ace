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

/// Trials that are measured before the results of them are given on: bounds what waits.
const AT_ONCE: usize = 256;

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
    let mut measured = Vec::with_capacity(paths.len());
    let keep = |file| {
        measured.push(file);
        Ok(())
    };
    let n_left_out = measure_in_order(paths, reader, measure, processing, jobs, talk, keep)?;
    Ok((measured, n_left_out))
}

/// As [`measure_files`], but each result is given to `take` in its turn and not kept; how many files
/// could not be opened comes back.
pub(crate) fn measure_in_order<T: Send>(
    paths: &[PathBuf],
    reader: &TrialReader,
    measure: MeasureOne<T>,
    processing: Processing,
    jobs: Option<u16>,
    talk: Talk,
    mut take: impl FnMut(T) -> Result<(), Problem>,
) -> Result<usize, Problem> {
    let threads = ThreadPoolBuilder::new().num_threads(jobs.map_or(0, usize::from)).build()?;
    let bar = output::bar(talk, paths.len() as u64, "Measuring");
    let mut refused = Vec::new();
    for some in paths.chunks(AT_ONCE) {
        let results: Vec<Result<T, OpenTrialError>> = threads.install(|| {
            some.par_iter()
                .map_init(Analyser::new, |analyser, path| {
                    let measured = measure(path, reader, analyser, processing);
                    bar.inc(1);
                    measured
                })
                .collect()
        });
        for (path, result) in some.iter().zip(results) {
            match result {
                Ok(file) => take(file)?,
                Err(source) => {
                    let source = Box::new(source);
                    refused.push(Problem::OpenTrial { path: path.clone(), source });
                }
            }
        }
    }
    bar.finish_and_clear();
    refused.iter().for_each(output::say);
    Ok(refused.len())
}
