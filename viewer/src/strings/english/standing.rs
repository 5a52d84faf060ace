//! What a person reads when a stand was not recorded, or not kept, in English.

use acquisition::journal::WriteJournalError;
use acquisition::{FindBoardError, RecordError, Refusal};

use crate::standing::{SimulatorError, StandError};
use crate::strings::english::{board, records};
use crate::strings::message::{Message, with_causes};

/// The message for a stand that did not come to its end.
pub(crate) fn failed(error: &StandError) -> Message {
    let what = "The stand was not recorded.";
    let (what, what_to_do) = match error {
        StandError::Record(error) => return not_recorded(error),
        StandError::Connect(error) => return board::not_connected(error),
        StandError::OpenRecords(error) => return (records::MESSAGES.not_opened)(error),
        StandError::Records(error) => return (records::MESSAGES.refused)(error),
        StandError::FindBoard(error) => (what, find_advice(error)),
        StandError::Simulator(error) => {
            ("The simulated board did not start.", simulator_advice(error))
        }
        StandError::BoardFolder(_) => (
            what,
            "Check that the data folder is there and that its disk is not full; a damaged file of \
             the board comes from a backup, or calibrate again.",
        ),
        StandError::Seal(_) => (
            "The stand was recorded but not yet put into its trial file.",
            "Nothing is lost. Make room on the disk; the next start brings it in.",
        ),
        StandError::Index(_) => (
            "The stand is kept in its file, but not yet in the records.",
            "Nothing is lost: the next start of this program brings it into the records.",
        ),
        StandError::Gone => (
            "The recording stopped early.",
            "What was recorded until then is kept: close this window and open it again.",
        ),
    };
    let why = format!("{}.", with_causes(error));
    Message { what: what.to_owned(), why, what_to_do: what_to_do.to_owned() }
}

/// The message for a trial that the recorder did not bring to its end.
pub(crate) fn not_recorded(error: &RecordError) -> Message {
    Message {
        what: record_words(error).to_owned(),
        why: with_causes(error),
        what_to_do: record_advice(error).to_owned(),
    }
}

/// The message for a stand that the system gives no thread for.
pub(crate) fn no_thread(error: &std::io::Error) -> Message {
    Message {
        what: "The stand was not begun.".to_owned(),
        why: format!("{error}."),
        what_to_do: "Close other programs, then start again.".to_owned(),
    }
}

/// The message for what must wait until nobody stands.
pub(crate) fn somebody_stands() -> Message {
    Message {
        what: "Not while somebody stands.".to_owned(),
        why: "What is answered after the stand belongs to the person who is chosen now.".to_owned(),
        what_to_do: "End the stand first, then do it again.".to_owned(),
    }
}

const fn find_advice(error: &FindBoardError) -> &'static str {
    match error {
        FindBoardError::List(_) | FindBoardError::Several { .. } => {
            "Say which board to use: type its port in the field for it."
        }
        FindBoardError::NoPort | FindBoardError::NoBoard { .. } => {
            "Plug the board in and close any other program that uses it, then start again."
        }
        FindBoardError::NotBack { .. } => "Check the cable, plug the board in, then start again.",
    }
}

const fn simulator_advice(error: &SimulatorError) -> &'static str {
    match error {
        SimulatorError::Missing { .. } | SimulatorError::Start { .. } => {
            "Put the program board-simulator into the folder of this program, as the build makes it."
        }
        SimulatorError::Silent { .. } => "Start again; restart the computer if it stays silent.",
    }
}

fn record_words(error: &RecordError) -> &'static str {
    match error {
        RecordError::Journal(WriteJournalError::NoRoom { .. }) => {
            "The stand was not begun: the disk is nearly full."
        }
        RecordError::Journal(WriteJournalError::Write { .. }) => {
            "The recording stopped early. What was recorded until then is kept."
        }
        RecordError::Journal(WriteJournalError::Create { .. } | WriteJournalError::Head { .. })
        | RecordError::Refused(_)
        | RecordError::StoppedBefore
        | RecordError::LostBefore(_)
        | RecordError::Start(_) => "The stand was not recorded.",
    }
}

fn record_advice(error: &RecordError) -> &'static str {
    match error {
        RecordError::Refused(Refusal::Loaded { .. }) => "Clear the board, then start again.",
        RecordError::Refused(Refusal::Unrest { .. }) => {
            "Let the board stand still and warm up for a quarter of an hour, then start again."
        }
        RecordError::Refused(Refusal::DeadCorner { .. }) => {
            "Do not use the board until its cell and wires were checked; see board-hardware/ASSEMBLY.md."
        }
        RecordError::Refused(Refusal::Forbidden { .. }) => "Settle that first, then start again.",
        RecordError::Refused(Refusal::TooFewFrames) => "Plug the board in again, then start again.",
        RecordError::Refused(Refusal::Overload { .. }) => {
            "Do not stand on this board: it is not built for this load."
        }
        RecordError::Refused(Refusal::OtherPerson { .. }) => {
            "Check whose stand this is, correct the person's mass if need be, then start again."
        }
        RecordError::StoppedBefore => "Start again when you are ready.",
        RecordError::LostBefore(_) | RecordError::Start(_) => {
            "Check the cable, plug the board in again, then start again."
        }
        RecordError::Journal(WriteJournalError::NoRoom { .. }) => {
            "Make room on the disk, or name a folder on another one with --data, then start again."
        }
        RecordError::Journal(WriteJournalError::Write { .. }) => {
            "Make room on the disk; the next start brings in what is kept."
        }
        RecordError::Journal(WriteJournalError::Create { .. } | WriteJournalError::Head { .. }) => {
            "Name a folder you may write to with --data FOLDER, then start again."
        }
    }
}
