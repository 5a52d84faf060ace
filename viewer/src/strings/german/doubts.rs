//! Doubts about a recording in German.

use acquisition::results::MeasuredFile;
use acquisition::{Ending, Origin};

use super::not_available::not_available;
use super::number::decimals;

/// Doubts about a recording, each in a few words; none for a sound one.
pub(super) fn doubts(file: &MeasuredFile) -> Vec<String> {
    let mut doubts = Vec::new();
    match &file.found {
        Err(reason) => doubts.push(format!("nicht gemessen, {}", not_available(reason))),
        Ok(found) => {
            let whole = found.continuity;
            if 0 < whole.n_lost {
                doubts.push(format!(
                    "fehlende Werte: {} von {}, höchstens {} ms am Stück",
                    whole.n_lost,
                    whole.n_expected,
                    decimals(whole.longest_gap_ms, 0)
                ));
            }
            if 0 < whole.n_splits {
                doubts.push("nur das längste Stück ist gemessen".to_owned());
            }
            if found.measured.measures.body_height_assumed {
                doubts.push(
                    "Körpergröße nicht bekannt, das Wackeln ist nur grob geschätzt".to_owned(),
                );
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
        Ending::StepOff => Some("durch Absteigen beendet"),
        Ending::Stopped => Some("vor dem Ende abgebrochen"),
        Ending::StoppedByRule => Some("durch eine Regel des Plans abgebrochen"),
        Ending::BoardLost => Some("beendet, weil das Board weg war"),
        Ending::Recovered => Some("gerettet, nachdem das Programm abgebrochen war"),
    }
}
