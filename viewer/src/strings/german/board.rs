//! The board in German.

use acquisition::{BoardLost, CommandError, ConnectError};

use super::cause;
use super::number::decimals;
use crate::strings::board::BoardWords;
use crate::strings::message::Message;

/// Front left, front right, rear left, rear right.
pub(super) const CORNERS: [&str; 4] =
    ["vorn links", "vorn rechts", "hinten links", "hinten rechts"];

pub(super) const BOARD: BoardWords = BoardWords {
    tab: "Board",
    title: "Spürt das Board jede Ecke?",
    address_label: "Wo ist das Board?",
    address_hint: "/dev/ttyACM0",
    address_about: "Der serielle Anschluss eines Boards oder tcp:HOST:PORT. Ein simuliertes Board \
                    nennt seinen Anschluss beim Start: board-simulator --help",
    connect: "Verbinden",
    connecting: "Das Board wird gesucht",
    let_go: "Trennen",
    zero_button: "Das Board ist leer",
    zero_about: "Drücken, wenn nichts auf dem Board liegt; dann nacheinander auf jede Ecke drücken. \
                 Nur zum Ansehen: Eine Aufzeichnung findet ihren eigenen Nullpunkt.",
    no_zero: "nicht genullt",
    total: "Last auf dem Board",
    weight: "Gewicht",
    front: "vorn",
    plate_about: "Das Board von oben",
    corners: CORNERS,
    newtons: |newtons| format!("{} N", decimals(newtons, 1)),
    celsius: |celsius| format!("{} °C", decimals(celsius, 1)),
    counts: |counts| format!("{} Zählschritte", decimals(f64::from(counts), 0)),
    id: "Board",
    firmware: "Firmware",
    rate: "Messungen je Sekunde, eingestellt",
    temperature: "Temperatur am Wandler",
    frames: "Messungen seit dem Start",
};

/// The message for a board that was not connected.
pub(super) fn not_connected(error: &ConnectError) -> Message {
    let (what, what_to_do) = match error {
        ConnectError::Open { .. } => (
            "Das Board ist nicht erreichbar.",
            "Schließen Sie das Board an, prüfen Sie den Namen, und schließen Sie jedes andere \
             Programm, das es benutzt.",
        ),
        ConnectError::InUse { .. } => (
            "Ein anderes Programm benutzt das Board.",
            "Schließen Sie dieses Programm, und wählen Sie dann noch einmal „Verbinden“.",
        ),
        ConnectError::Silent { .. } => (
            "Dort antwortet nichts.",
            "Stecken Sie das Board aus und wieder ein, und prüfen Sie, ob das sein Anschluss ist.",
        ),
        ConnectError::NotABoard { .. } => (
            "Dort ist etwas anderes als ein Board.",
            "Prüfen Sie, welchen Anschluss das Board hat.",
        ),
        ConnectError::OtherVersion { .. } => (
            "Das Board und dieses Programm sprechen nicht dieselbe Version.",
            "Bringen Sie Firmware und Programm auf Versionen, die zusammengehören.",
        ),
        ConnectError::Lost { .. } => (
            "Das Board war plötzlich weg, während es gefragt wurde.",
            "Prüfen Sie das Kabel, und wählen Sie dann noch einmal „Verbinden“.",
        ),
    };
    Message {
        what: what.to_owned(),
        why: cause::not_connected(error),
        what_to_do: what_to_do.to_owned(),
    }
}

/// The message for a board that did not begin to send.
pub(super) fn not_started(error: &CommandError) -> Message {
    let what_to_do = match error {
        CommandError::Lost(_) | CommandError::NoAnswer { .. } => {
            "Stecken Sie das Board aus und wieder ein, und wählen Sie dann noch einmal „Verbinden“."
        }
        CommandError::Refused { .. } | CommandError::Rate { .. } => {
            "Bringen Sie Firmware und Programm auf Versionen, die zusammengehören."
        }
    };
    Message {
        what: "Das Board ist da, beginnt aber nicht zu messen.".to_owned(),
        why: cause::not_done(error),
        what_to_do: what_to_do.to_owned(),
    }
}

/// The message for a board that was connected and is gone.
pub(super) fn lost(lost: &BoardLost) -> Message {
    let what_to_do = match lost {
        BoardLost::Unplugged { .. } => {
            "Schließen Sie das Board an, und wählen Sie dann noch einmal „Verbinden“."
        }
        BoardLost::Silent { .. } => {
            "Prüfen Sie die Stromversorgung des Boards, und wählen Sie dann noch einmal „Verbinden“."
        }
        BoardLost::Closed { .. } => "Wählen Sie noch einmal „Verbinden“.",
        BoardLost::Restarted { .. } => {
            "Prüfen Sie Stromversorgung und Kabel des Boards, und wählen Sie dann noch einmal \
             „Verbinden“."
        }
    };
    Message {
        what: "Das Board ist weg.".to_owned(),
        why: cause::lost(lost),
        what_to_do: what_to_do.to_owned(),
    }
}
