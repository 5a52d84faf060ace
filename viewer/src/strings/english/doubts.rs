//! Doubts about a recording in English.

use acquisition::results::MeasuredFile;
use acquisition::{Ending, Origin};

use crate::strings::number::decimals;

/// Doubts about a recording, each in a few words; none for a sound one.
pub(crate) fn doubts(file: &MeasuredFile) -> Vec<String> {
    let mut doubts = Vec::new();
    match &file.found {
        Err(reason) => doubts.push(format!("not measured, {reason}")),
        Ok(found) => {
            let whole = found.continuity;
            if 0 < whole.n_lost {
                doubts.push(format!(
                    "{} of {} samples missing, at most {} ms in one stretch",
                    whole.n_lost,
                    whole.n_expected,
                    decimals(whole.longest_gap_ms, 0)
                ));
            }
            if 0 < whole.n_splits {
                doubts.push("only the longest stretch is measured".to_owned());
            }
            if found.measured.measures.body_height_assumed {
                doubts.push("body height not known, so wobble is a rough estimate".to_owned());
            }
        }
    }
    if let Origin::Board(board) = &file.origin {
        doubts.extend(ending(board.ended).map(ToOwned::to_owned));
    }
    doubts
}

/// What the end of a record says against it.
const fn ending(ending: Ending) -> Option<&'static str> {
    match ending {
        Ending::HoldReached => None,
        Ending::StepOff => Some("ended by stepping off"),
        Ending::Stopped => Some("stopped before its end"),
        Ending::StoppedByRule => Some("stopped by a rule of the plan"),
        Ending::BoardLost => Some("ended because the board was lost"),
        Ending::Recovered => Some("recovered after the program stopped"),
    }
}
