//! The board in English.

use acquisition::{BoardLost, CommandError, ConnectError};

use crate::strings::board::BoardWords;
use crate::strings::message::{Message, with_causes};
use crate::strings::number::decimals;

pub(crate) const BOARD: BoardWords = BoardWords {
    tab: "Board",
    title: "Does the board feel every corner?",
    address_label: "Where is the board?",
    address_hint: "/dev/ttyACM0",
    address_about: "The serial port of a board, or tcp:HOST:PORT. A simulated board tells its port \
                    when it starts: board-simulator --help",
    connect: "Connect",
    connecting: "Looking for the board",
    let_go: "Disconnect",
    zero_button: "The board is empty",
    zero_about: "Press it with nothing on the board; then press on each corner in turn. For \
                 looking only: a recording finds its own zero.",
    no_zero: "not zeroed",
    total: "Load on the board",
    weight: "weight",
    front: "front",
    plate_about: "The board from above",
    corners: acquisition::CORNER_NAMES,
    newtons: |newtons| format!("{} N", decimals(newtons, 1)),
    celsius: |celsius| format!("{} °C", decimals(celsius, 1)),
    counts: |counts| format!("{} counts", decimals(f64::from(counts), 0)),
    id: "board",
    firmware: "firmware",
    rate: "frames a second, as set",
    temperature: "temperature at the converter",
    frames: "frames since the start",
};

/// The message for a board that was not connected.
pub(crate) fn not_connected(error: &ConnectError) -> Message {
    let (what, what_to_do) = match error {
        ConnectError::Open { .. } => (
            "The board cannot be reached.",
            "Plug the board in, check the name, and close any other program that uses it.",
        ),
        ConnectError::InUse { .. } => {
            ("Another program uses the board.", "Close that program, then choose Connect again.")
        }
        ConnectError::Silent { .. } => (
            "Nothing answers there.",
            "Plug the board out and in again, and check that this is its port.",
        ),
        ConnectError::NotABoard { .. } => {
            ("Something else than a board is there.", "Check which port the board has.")
        }
        ConnectError::OtherVersion { .. } => (
            "The board and this program do not speak the same version.",
            "Bring the board's firmware and this program to versions that belong together.",
        ),
        ConnectError::Lost { .. } => (
            "The board went away while it was being asked.",
            "Check its cable, then choose Connect again.",
        ),
    };
    Message {
        what: what.to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: what_to_do.to_owned(),
    }
}

/// The message for a board that did not begin to send.
pub(crate) fn not_started(error: &CommandError) -> Message {
    let what_to_do = match error {
        CommandError::Lost(_) | CommandError::NoAnswer { .. } => {
            "Plug the board out and in again, then choose Connect again."
        }
        CommandError::Refused { .. } | CommandError::Rate { .. } => {
            "Bring the board's firmware and this program to versions that belong together."
        }
    };
    Message {
        what: "The board is there but does not begin to measure.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: what_to_do.to_owned(),
    }
}

/// The message for a board that was connected and is gone.
pub(crate) fn lost(lost: &BoardLost) -> Message {
    let what_to_do = match lost {
        BoardLost::Unplugged { .. } => "Plug the board in, then choose Connect again.",
        BoardLost::Silent { .. } => "Check the board's power, then choose Connect again.",
        BoardLost::Closed { .. } => "Choose Connect again.",
        BoardLost::Restarted { .. } => {
            "Check the board's power supply and cable, then choose Connect again."
        }
    };
    Message {
        what: "The board is gone.".to_owned(),
        why: format!("{}.", with_causes(lost)),
        what_to_do: what_to_do.to_owned(),
    }
}
