//! What a person at home reads when the board or the records do not do what is asked, in German.

use acquisition::FindBoardError;
use acquisition::exchange::KeyRingError;
use acquisition::home::HomeStandError;

use super::cause::{self, technical};
use super::{board, records, standing};
use crate::command_line::Problem;
use crate::strings::message::Message;

/// The message for a problem in the middle of a session; `None` if it was said already.
pub(super) fn trouble(problem: &Problem) -> Option<Message> {
    let message = match problem {
        Problem::Said => return None,
        Problem::Connect(error) => board::not_connected(error),
        Problem::FindBoard(error) => not_found(error),
        Problem::Record(error) | Problem::HomeStand(HomeStandError::Record(error)) => {
            standing::not_recorded(error)
        }
        Problem::HomeStand(error) => stand(error),
        Problem::OpenRecords(error) => (records::MESSAGES.not_opened)(error),
        Problem::Records(error) => (records::MESSAGES.refused)(error),
        Problem::WhoPractises => Message {
            what: "Es ist nicht klar, wer übt.".to_owned(),
            why: "Dieses Zuhause ist für niemanden oder für mehr als eine Person eingerichtet."
                .to_owned(),
            what_to_do: "Nennen Sie das Kürzel der Person; `footing pair show` sagt, für wen es \
                         eingerichtet ist."
                .to_owned(),
        },
        Problem::Keys(error) => keys(error),
        Problem::HomeSettings(error) => Message {
            what: "Die Einstellungen dieses Computers sind so nicht zu gebrauchen.".to_owned(),
            why: technical(error),
            what_to_do: "Stellen Sie sie mit `footing home-settings` neu ein, oder rufen Sie Ihre \
                         Praxis an."
                .to_owned(),
        },
        // None of these comes up while somebody practises; their own words are English.
        other => Message {
            what: "Das hat nicht geklappt.".to_owned(),
            why: crate::command_line::message(other).map_or_else(
                || technical(other),
                |english| {
                    format!("Technische Meldung (englisch): {} {}", english.what, english.why)
                },
            ),
            what_to_do: "Starten Sie das Programm neu; bleibt es so, rufen Sie Ihre Praxis an."
                .to_owned(),
        },
    };
    Some(message)
}

fn not_found(error: &FindBoardError) -> Message {
    let what_to_do = match error {
        FindBoardError::List(_) | FindBoardError::NoPort | FindBoardError::NoBoard { .. } => {
            "Schließen Sie das Board an, und schließen Sie jedes andere Programm, das es benutzt."
        }
        FindBoardError::Several { .. } => "Ziehen Sie alle Boards ab bis auf Ihres.",
        FindBoardError::NotBack { .. } => {
            "Es wurde nichts aufgezeichnet. Prüfen Sie das Kabel, schließen Sie das Board an, und \
             beginnen Sie noch einmal."
        }
    };
    Message {
        what: "Das Board ist nicht zu finden.".to_owned(),
        why: cause::not_found(error),
        what_to_do: what_to_do.to_owned(),
    }
}

fn stand(error: &HomeStandError) -> Message {
    let what = match error {
        HomeStandError::Seal(_) | HomeStandError::Index(_) => {
            "Der Stand ist gespeichert, aber noch nicht in den Unterlagen."
        }
        HomeStandError::Record(_)
        | HomeStandError::OtherBoard { .. }
        | HomeStandError::Board(_)
        | HomeStandError::Recover(_)
        | HomeStandError::Records(_) => "Der Stand wurde nicht aufgezeichnet.",
    };
    let why = match error {
        HomeStandError::OtherBoard { found, expected } => {
            format!("Das ist das Board {found}; die Praxis hat Ihnen {expected} gegeben.")
        }
        HomeStandError::Record(error) => cause::not_recorded(error),
        HomeStandError::Board(_)
        | HomeStandError::Recover(_)
        | HomeStandError::Seal(_)
        | HomeStandError::Index(_)
        | HomeStandError::Records(_) => technical(error),
    };
    let what_to_do = match error {
        HomeStandError::OtherBoard { .. } => {
            "Schließen Sie das Board an, das Ihre Praxis Ihnen gegeben hat, oder bitten Sie sie, \
             dieses zuzuordnen."
        }
        HomeStandError::Seal(_) | HomeStandError::Index(_) | HomeStandError::Recover(_) => {
            "Nichts ist verloren: Beim nächsten Start dieses Programms wird er übernommen."
        }
        HomeStandError::Record(_) | HomeStandError::Board(_) | HomeStandError::Records(_) => {
            "Prüfen Sie, ob das Laufwerk nicht voll ist, und beginnen Sie noch einmal."
        }
    };
    Message { what: what.to_owned(), why, what_to_do: what_to_do.to_owned() }
}

fn keys(error: &KeyRingError) -> Message {
    let (what, why, what_to_do) = match error {
        KeyRingError::NoKeys | KeyRingError::NotPaired { .. } => (
            "Dieser Computer ist noch nicht mit einer Praxis verbunden.",
            "Es gibt hier keine Schlüssel oder niemanden, für den sie gelten.".to_owned(),
            "Verbinden Sie ihn erst mit der Praxis: `footing pair --help` sagt, wie.",
        ),
        KeyRingError::OtherRole { .. } => (
            "Das ist der Computer einer Praxis, kein Zuhause.",
            "Dieser Datenordner hat die Schlüssel einer Praxis.".to_owned(),
            "Üben Sie an dem Computer, der für zu Hause eingerichtet ist.",
        ),
        KeyRingError::Folder(_)
        | KeyRingError::Own(_)
        | KeyRingError::Save(_)
        | KeyRingError::Pairing { .. }
        | KeyRingError::PairedOtherwise { .. }
        | KeyRingError::Taken(_)
        | KeyRingError::Sent(_)
        | KeyRingError::SentShape => (
            "Die Schlüssel sind so nicht zu gebrauchen.",
            technical(error),
            "Nichts wurde geändert. Rufen Sie Ihre Praxis an.",
        ),
    };
    Message { what: what.to_owned(), why, what_to_do: what_to_do.to_owned() }
}
