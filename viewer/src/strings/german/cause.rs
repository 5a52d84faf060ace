//! What a person reads of the cause of a fault.

use std::error::Error;

use acquisition::journal::WriteJournalError;
use acquisition::{BoardLost, CommandError, ConnectError, FindBoardError, RecordError, Refusal};

use super::board::CORNERS;
use super::number::decimals;
use super::quoted;
use crate::strings::message::with_causes;

/// A cause that only the libraries and the operating system have words for; these are English.
pub(super) fn technical(error: &dyn Error) -> String {
    format!("Technische Meldung (englisch): {}.", with_causes(error).trim_end_matches('.'))
}

/// Why a board was not connected.
pub(super) fn not_connected(error: &ConnectError) -> String {
    match error {
        ConnectError::Open { port, source } => {
            format!("{} lässt sich nicht öffnen. {}", quoted(port), technical(source))
        }
        ConnectError::InUse { port, holder } => match holder {
            Some(holder) => format!(
                "{} wird von {} (Prozess {}) benutzt.",
                quoted(port),
                holder.program,
                holder.process_id
            ),
            None => format!("{} wird von einem anderen Programm benutzt.", quoted(port)),
        },
        ConnectError::Silent { port, waited } => {
            let waited_s = decimals(waited.as_secs_f64(), 1);
            format!("An {} kam {waited_s} s lang keine Antwort.", quoted(port))
        }
        ConnectError::NotABoard { port, n_bytes } => {
            format!("An {} kamen {n_bytes} Bytes, aber nicht von einem Board.", quoted(port))
        }
        ConnectError::OtherVersion { port, found, expected } => format!(
            "Das Board an {} spricht Version {found} des Protokolls, nicht {expected}.",
            quoted(port)
        ),
        ConnectError::Lost { port, source } => {
            format!("Das Board an {} war plötzlich weg. {}", quoted(port), technical(source))
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
        BoardLost::Unplugged { port, .. } => {
            format!("Das Board an {} wurde abgezogen.", quoted(port))
        }
        BoardLost::Silent { port, silent } => format!(
            "Das Board an {} hat {} s lang nichts gesendet.",
            quoted(port),
            decimals(silent.as_secs_f64(), 1)
        ),
        BoardLost::Closed { port } => {
            format!("Das Board an {} meldet nicht mehr hierher.", quoted(port))
        }
        BoardLost::Restarted { port } => {
            format!("Das Board an {} ist von selbst neu gestartet.", quoted(port))
        }
    }
}

/// Why a board did not do what it was told.
pub(super) fn not_done(error: &CommandError) -> String {
    match error {
        CommandError::Lost(source) => lost(source),
        CommandError::NoAnswer { port, .. } => {
            format!("Das Board an {} antwortet nicht.", quoted(port))
        }
        CommandError::Refused { .. } => technical(error),
        CommandError::Rate { frames_per_s } => {
            format!("{frames_per_s} Messungen je Sekunde liegen nicht zwischen 80 und 1000.")
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
            format!("Das Board ist nicht leer: Es trägt {} N.", decimals(load_newtons, 0))
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
