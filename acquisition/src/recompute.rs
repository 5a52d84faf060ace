//! A trial computed anew with another calibration, beside the original.

use std::fs::DirBuilder;
use std::io;
use std::os::unix::fs::DirBuilderExt as _;
use std::path::{Path, PathBuf};

use thiserror::Error;

use crate::calibration::Calibration;
use crate::forces::computed;
use crate::stored_trial::{Origin, Recomputed, StoredTrial};
use crate::trial_file::{self, OpenTrialError, SealError, TrialReader};

/// Why a trial was not computed anew. The original is never touched.
#[derive(Debug, Error)]
pub enum RecomputeError {
    /// The original cannot be opened.
    #[error("the trial cannot be opened")]
    Open(#[from] OpenTrialError),
    /// There are no counts to compute from.
    #[error("an imported trial holds no counts of a board")]
    Imported,
    /// The calibration is another board's.
    #[error("the trial is of board {trial_board}, the calibration of board {calibration_board}")]
    OtherBoard {
        /// The board that recorded the trial.
        trial_board: String,
        /// The board the calibration was made for.
        calibration_board: String,
    },
    /// Nothing would change.
    #[error("the trial was computed with this calibration already")]
    SameCalibration,
    /// The trial was itself computed anew: its original is what to start from.
    #[error("the trial was itself computed anew from {original_id}")]
    NotAnOriginal {
        /// The original.
        original_id: String,
    },
    /// The new trial could not be sealed.
    #[error("the new trial file cannot be written")]
    Seal(#[from] SealError),
}

/// Seals, in `folder`, the trial at `path` computed with `calibration`; gives the new file.
///
/// Counts, times, zeros and facts are those of the original. The new trial has an id of its own and
/// names the original by id and digest.
///
/// # Errors
/// [`RecomputeError`].
pub fn recompute(
    path: &Path,
    reader: &TrialReader,
    calibration: &Calibration,
    folder: &Path,
) -> Result<PathBuf, RecomputeError> {
    let (trial, digest) = reader.open_with_digest(path)?;
    let anew = computed_anew(trial, &digest.to_string(), calibration)?;
    Ok(trial_file::seal(&anew, folder)?)
}

/// Makes the folder that new trials go to, for the owner alone.
///
/// # Errors
/// The system's error.
pub fn make_folder(folder: &Path) -> io::Result<()> {
    DirBuilder::new().recursive(true).mode(0o700).create(folder)
}

fn computed_anew(
    mut trial: StoredTrial,
    digest: &str,
    calibration: &Calibration,
) -> Result<StoredTrial, RecomputeError> {
    let (Origin::Board(board), Some(raw)) = (&mut trial.origin, &trial.samples.raw) else {
        return Err(RecomputeError::Imported);
    };
    if let Some(Recomputed { original_id, .. }) = &board.recomputed {
        return Err(RecomputeError::NotAnOriginal { original_id: original_id.clone() });
    }
    if board.board_id != calibration.board_id {
        return Err(RecomputeError::OtherBoard {
            trial_board: board.board_id.clone(),
            calibration_board: calibration.board_id.clone(),
        });
    }
    if board.calibration.id == calibration.id {
        return Err(RecomputeError::SameCalibration);
    }
    let (forces, cop) =
        computed(&trial.samples.time_us, &raw.counts, &board.zero_line(), calibration);
    board.calibration = calibration.clone();
    board.recomputed = Some(Recomputed {
        original_id: std::mem::replace(&mut trial.facts.id, crate::new_trial_id()),
        original_digest: digest.to_owned(),
    });
    crate::results::PROGRAM.clone_into(&mut trial.facts.program);
    trial.samples.forces_newtons = Some(forces);
    trial.samples.cop = cop;
    Ok(trial)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial_file::tests::{board_trial, imported_trial};

    /// An original: 0.25 kg of counts more on the right than on the left.
    fn original() -> StoredTrial {
        let mut trial = board_trial(50);
        if let (Origin::Board(board), Some(raw)) = (&mut trial.origin, &mut trial.samples.raw) {
            board.recomputed = None;
            board.zero.counts = [0.0; 4];
            board.zero_after = None;
            raw.counts.fill([100_000, 150_000, 100_000, 150_000]);
        }
        trial
    }

    fn doubled() -> Calibration {
        let mut calibration = crate::calibration::tests::square_board();
        "doubled".clone_into(&mut calibration.id);
        calibration.version = 2;
        calibration.newtons_per_count = [0.002; 4];
        calibration.corners[1].ml_mm = 210.0;
        calibration.corners[3].ml_mm = 210.0;
        calibration
    }

    #[test]
    fn the_new_trial_follows_the_calibration_and_names_its_original() {
        let data = tempfile::tempdir().unwrap();
        let path = trial_file::seal(&original(), data.path()).unwrap();
        let before = std::fs::read(&path).unwrap();
        let new = recompute(&path, &TrialReader::here(), &doubled(), data.path()).unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), before, "the original is as it was");
        let anew = trial_file::open(&new).unwrap();
        // 200 + 300 + 200 + 300 N; (600 x 210 - 400 x 200) / 1000 = 46 mm.
        let forces = anew.samples.forces_newtons.as_ref().unwrap()[7];
        assert!((forces.iter().sum::<f64>() - 1_000.0).abs() < 1e-9, "{forces:?}");
        assert!((anew.samples.cop[7].unwrap().ml_mm - 46.0).abs() < 1e-9);
        let Origin::Board(board) = &anew.origin else { panic!("a board's trial") };
        let link = board.recomputed.as_ref().unwrap();
        assert_eq!(link.original_id, original().facts.id);
        assert_eq!(link.original_digest, trial_file::outline(&path).unwrap().digest.to_string());
        assert_ne!(anew.facts.id, original().facts.id);
        assert_eq!(board.calibration, doubled());
        let again = recompute(&new, &TrialReader::here(), &original_calibration(), data.path())
            .unwrap_err();
        assert!(matches!(again, RecomputeError::NotAnOriginal { .. }), "{again}");
    }

    fn original_calibration() -> Calibration {
        crate::calibration::tests::square_board()
    }

    #[test]
    fn what_cannot_be_computed_anew_is_refused() {
        let data = tempfile::tempdir().unwrap();
        let board = trial_file::seal(&original(), data.path()).unwrap();
        let imported = {
            let mut trial = imported_trial(5);
            trial.facts.id = crate::new_trial_id();
            trial_file::seal(&trial, data.path()).unwrap()
        };
        let other = Calibration { board_id: "f".repeat(24), ..doubled() };
        for (path, calibration, wanted) in [
            (&imported, &doubled(), "an imported trial holds no counts"),
            (&board, &other, "the calibration of board ffff"),
            (&board, &original_calibration(), "with this calibration already"),
        ] {
            let refused = recompute(path, &TrialReader::here(), calibration, data.path())
                .unwrap_err()
                .to_string();
            assert!(refused.contains(wanted), "{refused}");
        }
        let n_files = std::fs::read_dir(data.path()).unwrap().count();
        assert_eq!(n_files, 2, "nothing was made");
    }
}
