//! `footing recompute`: trials computed anew with a newer calibration, beside their originals.

use std::path::{Path, PathBuf};

use acquisition::Calibration;
use acquisition::board_folder::{BoardFolder, BoardFolderError, read_calibration};
use acquisition::recompute::{RecomputeError, make_folder, recompute};
use serde_json::json;

use super::board_arguments::RecomputeArguments;
use super::data_folder::DataFolder;
use super::output::{self, Talk};
use super::problem::Problem;
use super::trial_paths::trial_paths;

pub(crate) fn run(
    arguments: &RecomputeArguments,
    data: &DataFolder,
    talk: Talk,
) -> Result<(), Problem> {
    let paths = if arguments.trials.is_empty() {
        data.library().trial_files()?
    } else {
        trial_paths(&arguments.trials)?
    };
    let folder =
        arguments.into.clone().unwrap_or_else(|| data.library().folder().join("recomputed"));
    make_folder(&folder).map_err(|source| Problem::MakeFolder { path: folder.clone(), source })?;
    let named = arguments.calibration.as_deref().map(calibration_in).transpose()?;
    let bar = output::bar(talk, paths.len() as u64, "Computing anew");
    let (mut made, mut n_same, mut n_refused) = (Vec::new(), 0_usize, 0_usize);
    for path in &paths {
        match one(path, named.as_ref(), data, &folder) {
            Ok(new) => made.push((path.clone(), new)),
            Err(Problem::Recompute { source, .. })
                if matches!(*source, RecomputeError::SameCalibration) =>
            {
                n_same += 1;
            }
            Err(problem) => {
                n_refused += 1;
                bar.suspend(|| output::say(&problem));
            }
        }
        bar.inc(1);
    }
    bar.finish_and_clear();
    if made.is_empty() && 0 < n_refused {
        return Err(Problem::Said);
    }
    output::result(&if arguments.json {
        let pairs: Vec<_> = made
            .iter()
            .map(|(original, new)| json!({ "original": original, "new": new }))
            .collect();
        json!({ "made": pairs, "same_calibration": n_same, "refused": n_refused }).to_string()
    } else {
        format!(
            "{} trials computed anew into {}; {n_same} had this calibration already.",
            made.len(),
            folder.display()
        )
    });
    if n_refused == 0 { Ok(()) } else { Err(Problem::Said) }
}

fn one(
    path: &Path,
    named: Option<&Calibration>,
    data: &DataFolder,
    folder: &Path,
) -> Result<PathBuf, Problem> {
    let refused = |source| Problem::Recompute { path: path.to_owned(), source: Box::new(source) };
    let calibration = match named {
        Some(calibration) => calibration.clone(),
        None => newest_for(path, data)?,
    };
    recompute(path, data.reader(), &calibration, folder).map_err(refused)
}

/// The newest calibration of the board that recorded a trial.
fn newest_for(path: &Path, data: &DataFolder) -> Result<Calibration, Problem> {
    let outline = data.reader().outline(path).map_err(|source| Problem::Recompute {
        path: path.to_owned(),
        source: Box::new(source.into()),
    })?;
    let board = &outline.facts.setup.board;
    let newest = BoardFolder::new(data.library().folder(), board)
        .and_then(|folder| folder.newest_calibration());
    match newest {
        Ok(Some(record)) => Ok(record.calibration),
        // A plate that was imported has a name that is no board's id.
        Ok(None) | Err(BoardFolderError::BoardId { .. }) => {
            Err(Problem::NothingNewer { path: path.to_owned() })
        }
        Err(error) => Err(error.into()),
    }
}

fn calibration_in(path: &Path) -> Result<Calibration, Problem> {
    let record = read_calibration(path)
        .map_err(|source| BoardFolderError::Calibration { path: path.to_owned(), source })?;
    Ok(record.calibration)
}
