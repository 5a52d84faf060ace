//! What a person reads when a stand was not recorded, or not kept, in German.

use acquisition::journal::WriteJournalError;
use acquisition::{FindBoardError, RecordError, Refusal};

use super::cause::{self, technical};
use super::{board, records};
use crate::standing::{SimulatorError, StandError};
use crate::strings::message::Message;

/// The message for a stand that did not come to its end.
pub(super) fn failed(error: &StandError) -> Message {
    let what = "Der Stand wurde nicht aufgezeichnet.";
    let (what, what_to_do) = match error {
        StandError::Record(error) => return not_recorded(error),
        StandError::Connect(error) => return board::not_connected(error),
        StandError::OpenRecords(error) => return (records::MESSAGES.not_opened)(error),
        StandError::Records(error) => return (records::MESSAGES.refused)(error),
        StandError::FindBoard(error) => {
            return Message {
                what: what.to_owned(),
                why: cause::not_found(error),
                what_to_do: find_advice(error).to_owned(),
            };
        }
        StandError::Simulator(error) => {
            ("Das simulierte Board startete nicht.", simulator_advice(error))
        }
        StandError::BoardFolder(_) => (
            what,
            "Prüfen Sie, ob der Datenordner da ist und sein Laufwerk nicht voll ist; ersetzen Sie \
             eine beschädigte Datei des Boards aus einem Backup, oder kalibrieren Sie neu.",
        ),
        StandError::Seal(_) => (
            "Der Stand wurde aufgezeichnet, liegt aber noch nicht in seiner Versuchsdatei.",
            "Nichts ist verloren. Schaffen Sie Platz auf dem Laufwerk; beim nächsten Start wird \
             er übernommen.",
        ),
        StandError::Index(_) => (
            "Der Stand liegt in seiner Datei, aber noch nicht in den Unterlagen.",
            "Nichts ist verloren: Beim nächsten Start dieses Programms kommt er in die Unterlagen.",
        ),
        StandError::Gone => (
            "Die Aufzeichnung brach vorzeitig ab.",
            "Was bis dahin aufgezeichnet wurde, ist gespeichert: Schließen Sie dieses Fenster, und \
             öffnen Sie es wieder.",
        ),
    };
    Message { what: what.to_owned(), why: technical(error), what_to_do: what_to_do.to_owned() }
}

/// The message for a trial that the recorder did not bring to its end.
pub(super) fn not_recorded(error: &RecordError) -> Message {
    Message {
        what: record_words(error).to_owned(),
        why: cause::not_recorded(error),
        what_to_do: record_advice(error).to_owned(),
    }
}

/// The message for a stand that the system gives no thread for.
pub(super) fn no_thread(error: &std::io::Error) -> Message {
    Message {
        what: "Der Stand wurde nicht begonnen.".to_owned(),
        why: technical(error),
        what_to_do: "Schließen Sie andere Programme, und beginnen Sie noch einmal.".to_owned(),
    }
}

/// The message for what must wait until nobody stands.
pub(super) fn somebody_stands() -> Message {
    Message {
        what: "Nicht, solange jemand steht.".to_owned(),
        why: "Was nach dem Stand beantwortet wird, gehört zu der Person, die jetzt gewählt ist."
            .to_owned(),
        what_to_do: "Beenden Sie erst den Stand, und tun Sie es dann noch einmal.".to_owned(),
    }
}

const fn find_advice(error: &FindBoardError) -> &'static str {
    match error {
        FindBoardError::List(_) | FindBoardError::Several { .. } => {
            "Sagen Sie, welches Board gemeint ist: Geben Sie seinen Anschluss in das Feld dafür ein."
        }
        FindBoardError::NoPort | FindBoardError::NoBoard { .. } => {
            "Schließen Sie das Board an, schließen Sie jedes andere Programm, das es benutzt, und \
             beginnen Sie noch einmal."
        }
        FindBoardError::NotBack { .. } => {
            "Prüfen Sie das Kabel, schließen Sie das Board an, und beginnen Sie noch einmal."
        }
    }
}

const fn simulator_advice(error: &SimulatorError) -> &'static str {
    match error {
        SimulatorError::Missing { .. } | SimulatorError::Start { .. } => {
            "Legen Sie das Programm board-simulator in den Ordner dieses Programms, wie der Bau es \
             macht."
        }
        SimulatorError::Silent { .. } => {
            "Beginnen Sie noch einmal; starten Sie den Computer neu, wenn es stumm bleibt."
        }
    }
}

fn record_words(error: &RecordError) -> &'static str {
    match error {
        RecordError::Journal(WriteJournalError::NoRoom { .. }) => {
            "Der Stand wurde nicht begonnen: Das Laufwerk ist fast voll."
        }
        RecordError::Journal(WriteJournalError::Write { .. }) => {
            "Die Aufzeichnung brach vorzeitig ab. Was bis dahin aufgezeichnet wurde, ist gespeichert."
        }
        RecordError::Journal(WriteJournalError::Create { .. } | WriteJournalError::Head { .. })
        | RecordError::Refused(_)
        | RecordError::StoppedBefore
        | RecordError::LostBefore(_)
        | RecordError::Start(_) => "Der Stand wurde nicht aufgezeichnet.",
    }
}

fn record_advice(error: &RecordError) -> &'static str {
    match error {
        RecordError::Refused(Refusal::Loaded { .. }) => {
            "Räumen Sie das Board frei, und beginnen Sie noch einmal."
        }
        RecordError::Refused(Refusal::Unrest { .. }) => {
            "Lassen Sie das Board eine Viertelstunde ruhig stehen und warm werden, und beginnen Sie \
             noch einmal."
        }
        RecordError::Refused(Refusal::DeadCorner { .. }) => {
            "Benutzen Sie das Board nicht, bis seine Messzelle und seine Drähte geprüft sind; \
             siehe board-hardware/ASSEMBLY.md."
        }
        RecordError::Refused(Refusal::Forbidden { .. }) => {
            "Klären Sie das zuerst, und beginnen Sie dann noch einmal."
        }
        RecordError::Refused(Refusal::TooFewFrames) => {
            "Stecken Sie das Board neu ein, und beginnen Sie noch einmal."
        }
        RecordError::Refused(Refusal::Overload { .. }) => {
            "Stellen Sie sich nicht auf dieses Board: Es ist für diese Last nicht gebaut."
        }
        RecordError::Refused(Refusal::OtherPerson { .. }) => {
            "Prüfen Sie, wer hier steht, berichtigen Sie nötigenfalls das Gewicht der Person, und \
             beginnen Sie noch einmal."
        }
        RecordError::StoppedBefore => "Beginnen Sie noch einmal, wenn Sie bereit sind.",
        RecordError::LostBefore(_) | RecordError::Start(_) => {
            "Prüfen Sie das Kabel, stecken Sie das Board neu ein, und beginnen Sie noch einmal."
        }
        RecordError::Journal(WriteJournalError::NoRoom { .. }) => {
            "Schaffen Sie Platz auf dem Laufwerk, oder nennen Sie mit --data einen Ordner auf einem \
             anderen; beginnen Sie dann noch einmal."
        }
        RecordError::Journal(WriteJournalError::Write { .. }) => {
            "Schaffen Sie Platz auf dem Laufwerk; beim nächsten Start wird übernommen, was \
             gespeichert ist."
        }
        RecordError::Journal(WriteJournalError::Create { .. } | WriteJournalError::Head { .. }) => {
            "Nennen Sie mit --data ORDNER einen Ordner, in den Sie schreiben dürfen, und beginnen \
             Sie noch einmal."
        }
    }
}
