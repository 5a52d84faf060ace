//! What a person reads of the cause of a fault.

use std::error::Error;

use acquisition::journal::WriteJournalError;
use acquisition::{BoardLost, CommandError, ConnectError, FindBoardError, RecordError, Refusal};

use super::board::CORNERS;
use super::number::decimals;
use crate::strings::message::with_causes;

/// A cause that only the libraries and the operating system have words for; these are English.
pub(super) fn technical(error: &dyn Error) -> String {
    format!("Technische Meldung (englisch): {}.", with_causes(error).trim_end_matches('.'))
}

/// Why a board was not connected.
pub(super) fn not_connected(error: &ConnectError) -> String {
    match error {
        ConnectError::Open { port, source } => {
            format!("{port:?} lässt sich nicht öffnen. {}", technical(source))
        }
        ConnectError::InUse { port, holder } => match holder {
            Some(holder) => format!(
                "{port:?} wird von {} (Prozess {}) benutzt.",
                holder.program, holder.process_id
            ),
            None => format!("{port:?} wird von einem anderen Programm benutzt."),
        },
        ConnectError::Silent { port, waited } => {
            format!("An {port:?} kam {} s lang keine Antwort.", decimals(waited.as_secs_f64(), 1))
        }
        ConnectError::NotABoard { port, n_bytes } => {
            format!("An {port:?} kamen {n_bytes} Bytes, aber nicht von einem Board.")
        }
        ConnectError::OtherVersion { port, found, expected } => format!(
            "Das Board an {port:?} spricht Version {found} des Protokolls, nicht {expected}."
        ),
        ConnectError::Lost { port, source } => {
            format!("Das Board an {port:?} war plötzlich weg. {}", technical(source))
        }
    }
}

/// Why it is not clear which board to use.
pub(super) fn not_found(error: &FindBoardError) -> String {
    match error {
        FindBoardError::List(source) => {
            format!("Die Anschlüsse lassen sich nicht auflisten. {}", technical(source))
        }
        FindBoardError::NoPort => {
            "Es gibt keinen Anschluss, an dem ein Board sein könnte.".to_owned()
        }
        FindBoardError::NoBoard { refused } => {
            let each: Vec<String> = refused.iter().map(not_connected).collect();
            format!("An keinem Anschluss ist ein brauchbares Board. {}", each.join(" "))
        }
        FindBoardError::Several { boards } => {
            format!("Es sind {} Boards angeschlossen.", boards.len())
        }
        FindBoardError::NotBack { board_id, waited } => format!(
            "Das Board {board_id} kam innerhalb von {} s nicht zurück.",
            decimals(waited.as_secs_f64(), 0)
        ),
    }
}

/// Why a board is gone.
pub(super) fn lost(lost: &BoardLost) -> String {
    match lost {
        BoardLost::Unplugged { port, .. } => format!("Das Board an {port:?} wurde abgezogen."),
        BoardLost::Silent { port, silent } => format!(
            "Das Board an {port:?} hat {} s lang nichts gesendet.",
            decimals(silent.as_secs_f64(), 1)
        ),
        BoardLost::Closed { port } => format!("Das Board an {port:?} meldet nicht mehr hierher."),
        BoardLost::Restarted { port } => {
            format!("Das Board an {port:?} ist von selbst neu gestartet.")
        }
    }
}

/// Why a board did not do what it was told.
pub(super) fn not_done(error: &CommandError) -> String {
    match error {
        CommandError::Lost(source) => lost(source),
        CommandError::NoAnswer { port, .. } => format!("Das Board an {port:?} antwortet nicht."),
        CommandError::Refused { .. } => technical(error),
        CommandError::Rate { frames_per_s } => {
            format!("{frames_per_s} Bilder je Sekunde liegen nicht zwischen 80 und 1000.")
        }
    }
}

/// Why a trial was not recorded.
pub(super) fn not_recorded(error: &RecordError) -> String {
    match error {
        RecordError::Refused(refusal) => refused(refusal),
        RecordError::StoppedBefore => "Der Stand wurde vor seinem Beginn abgebrochen.".to_owned(),
        RecordError::LostBefore(source) => lost(source),
        RecordError::Start(source) => not_done(source),
        RecordError::Journal(WriteJournalError::NoRoom { needed_bytes, free_bytes, folder }) => {
            format!(
                "Der Stand braucht {} MB Platz, in {} sind {} MB frei.",
                needed_bytes.div_ceil(MEGABYTE),
                folder.display(),
                free_bytes / MEGABYTE
            )
        }
        RecordError::Journal(source) => technical(source),
    }
}

const MEGABYTE: u64 = 1_000_000;

fn refused(refusal: &Refusal) -> String {
    match *refusal {
        Refusal::Loaded { load_newtons } => {
            format!("Das Board ist nicht leer: es trägt {} N.", decimals(load_newtons, 0))
        }
        Refusal::Unrest { corner, range_newtons } => format!(
            "Die Ecke {} des leeren Boards bewegte sich beim Nullen um {} N.",
            corner_name(corner),
            decimals(range_newtons, 2)
        ),
        Refusal::TooFewFrames => {
            "Das Board hat zu wenig gesendet, um seinen Nullpunkt zu finden.".to_owned()
        }
        Refusal::DeadCorner { corner } => {
            format!("Die Messzelle der Ecke {} ist nicht verbunden.", corner_name(corner))
        }
        Refusal::Forbidden { reason } => {
            let mut letters = reason.trim_end_matches('.').chars();
            let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
            format!("{first}{}.", letters.as_str())
        }
        Refusal::Overload { load_newtons, rated_newtons } => format!(
            "{} N sind mehr, als das Board trägt ({} N).",
            decimals(load_newtons, 0),
            decimals(rated_newtons, 0)
        ),
        Refusal::OtherPerson { measured_kg, recorded_kg } => format!(
            "Das Board trägt {} kg, als Gewicht der Person sind {} kg eingetragen.",
            decimals(measured_kg, 1),
            decimals(recorded_kg, 1)
        ),
    }
}

fn corner_name(corner: usize) -> &'static str {
    CORNERS.get(corner).copied().unwrap_or("unbekannt")
}
