//! What is said when a board could not be calibrated or checked: what, why, and what to do.

use std::path::Path;

use acquisition::board_folder::BoardFolderError;
use acquisition::calibrate::{BoardFault, CalibrationRefused, CaptureFault, FitError};
use acquisition::guided::{GuidedError, Stuck};
use acquisition::recompute::RecomputeError;

use crate::strings::with_causes;

type Words = (String, String, &'static str);

pub(super) fn folder(error: &BoardFolderError) -> Words {
    let (what, advice) = match error {
        BoardFolderError::BoardId { .. } => (
            "Nothing can be kept of this board.",
            "Give the board a number of its own, as board-hardware/ASSEMBLY.md tells.",
        ),
        BoardFolderError::File { .. } => (
            "The board's folder cannot be used.",
            "Make room on the disk, or name a folder you may write to with --data FOLDER.",
        ),
        BoardFolderError::Exists { .. } => (
            "Nothing was kept of the board.",
            "Another program kept something of it at the same moment. Do it once more.",
        ),
        BoardFolderError::Calibration { .. } => (
            "The board's calibration cannot be used.",
            "Take the file from a backup, name another with --calibration FILE, or calibrate again.",
        ),
        BoardFolderError::DeadWeight { .. } => (
            "The board's dead-weight check cannot be used.",
            "Do it again: `footing board-test --test noise`.",
        ),
        BoardFolderError::OtherBoard { .. } => (
            "This calibration is not for this board.",
            "Name a calibration of this board, or leave --calibration out to use its newest.",
        ),
        BoardFolderError::Json(_) => {
            ("Nothing was kept of the board.", "Ask whoever looks after this program.")
        }
    };
    (what.to_owned(), with_causes(error), advice)
}

pub(super) fn recompute(path: &Path, error: &RecomputeError) -> Words {
    let advice = match error {
        RecomputeError::Open(_) => "Take the file from a backup; it was left as it is.",
        RecomputeError::Imported => "Only trials recorded from a board can be computed anew.",
        RecomputeError::OtherBoard { .. } => "Name a calibration of the board of this trial.",
        RecomputeError::SameCalibration => "There is nothing to do for this trial.",
        RecomputeError::NotAnOriginal { .. } => "Name the original instead.",
        RecomputeError::Seal(_) => "Make room on the disk, or name another folder with --into.",
    };
    (format!("{} was not computed anew.", path.display()), with_causes(error), advice)
}

pub(super) fn guided(error: &GuidedError) -> Words {
    let advice = match error {
        GuidedError::Start(_) | GuidedError::Lost(_) => {
            "Check the cable, plug the board in again, then start again."
        }
        GuidedError::Stopped => "Start again when you are ready.",
        GuidedError::Stuck(Stuck::Waited { .. }) => {
            "Have the masses at hand, then start again; everything is asked for in turn."
        }
        GuidedError::Stuck(Stuck::ZeroMoved { .. }) => {
            "Let the board warm up for a quarter of an hour, see that nothing touches the plate, \
             then start again."
        }
        GuidedError::Stuck(Stuck::Disturbed { source, .. }) => match source {
            CaptureFault::NotAMass { .. } => "Use a weight that rests; a person never does.",
            CaptureFault::Moved { .. } => "Put the weight where it cannot roll or slide.",
            CaptureFault::NothingThere { .. } => "Leave the weight on until it was read.",
            CaptureFault::TooShort { .. } => "Frames are missing: plug the board in again.",
        },
    };
    ("The loads were not read to the end.".to_owned(), with_causes(error), advice)
}

pub(super) fn calibration(error: &CalibrationRefused) -> Words {
    let advice = match error {
        CalibrationRefused::Board(fault) => match fault {
            BoardFault::CellDead { .. } => "Check that corner's plug and its four wires.",
            BoardFault::CellBackwards { .. } => "Exchange the two signal wires of that corner.",
            BoardFault::CellsExchanged { .. } => "Exchange the plugs of these two corners.",
            BoardFault::MassTypedWrong { .. } => "Weigh the mass and give it with --mass-kg.",
        },
        CalibrationRefused::Fit(fault) => match fault {
            FitError::PlacementOff { .. } => {
                "Put the mass on its mark more carefully there, then calibrate again."
            }
            FitError::WeightOff { .. } | FitError::CornerTouches { .. } => {
                "See that only the four balls carry the plate: look at stops, cable and pad."
            }
            FitError::GainOff { .. } => {
                "See whether that cell is of the right kind, and whether anything carries the plate \
                 beside it."
            }
            FitError::TooFew { .. }
            | FitError::CornerMissing { .. }
            | FitError::Undetermined
            | FitError::Disagreement { .. } => {
                "Let the board warm up, check that it stands level on a hard floor, then calibrate \
                 again."
            }
        },
        CalibrationRefused::HoldOut { .. } => {
            "Check the marks against the drawing with a ruler, then calibrate again."
        }
        CalibrationRefused::Incomplete { .. } => "Calibrate again.",
    };
    ("The board was not calibrated; nothing was changed.".to_owned(), with_causes(error), advice)
}
