//! What a person reads when a trial file was not opened, in German.

use std::io;
use std::path::Path;

use acquisition::trial_file::apart::ApartError;
use acquisition::trial_file::{DigestError, OpenTrialError, ReadTrialError};

use super::cause::technical;
use crate::strings::message::Message;

/// The message for a trial file that was not opened. The path comes last: it may be long.
pub(super) fn open_trial(path: &Path, error: &OpenTrialError) -> Message {
    let (what, why, what_to_do) = match error {
        OpenTrialError::Missing => (
            "Die Datei ist nicht da.",
            "Nichts hat diesen Namen.".to_owned(),
            "Prüfen Sie den Namen, oder öffnen Sie den Ordner mit Ihren Versuchen.",
        ),
        OpenTrialError::NotAFile => (
            "Das ist keine Datei.",
            "Ein Versuch ist eine Datei, die auf .h5 endet.".to_owned(),
            "Öffnen Sie eine Versuchsdatei oder einen Ordner davon.",
        ),
        OpenTrialError::Unreadable(_) => (
            "Die Datei ist da, lässt sich aber nicht lesen.",
            technical(error),
            "Prüfen Sie, ob Sie sie lesen dürfen und ihr Laufwerk verbunden ist; öffnen Sie sie dann \
             noch einmal.",
        ),
        OpenTrialError::TooLarge { n_bytes, limit_bytes } => (
            "Die Datei ist zu groß für einen Versuch.",
            format!("Sie hat {n_bytes} Bytes; ein Versuch hat höchstens {limit_bytes}."),
            "Öffnen Sie eine andere Datei. Die Aufzeichnung einer anderen Platte liest: footing \
             import --help",
        ),
        OpenTrialError::Digest(error) => digest(error),
        OpenTrialError::Content(error) => content(error),
        OpenTrialError::Apart(error) => apart(error),
    };
    Message {
        what: what.to_owned(),
        why: format!("{why} Datei: {}", path.display()),
        what_to_do: what_to_do.to_owned(),
    }
}

/// The message for a folder that cannot be read.
pub(super) fn open_folder(folder: &Path, error: &io::Error) -> Message {
    Message {
        what: "Der Ordner lässt sich nicht lesen.".to_owned(),
        why: format!("{} Ordner: {}", technical(error), folder.display()),
        what_to_do: "Prüfen Sie, ob Sie ihn lesen dürfen und sein Laufwerk verbunden ist."
            .to_owned(),
    }
}

/// The message for a folder without trial files.
pub(super) fn empty_folder(folder: &Path) -> Message {
    Message {
        what: "In diesem Ordner sind keine Versuche.".to_owned(),
        why: format!("Keine Datei direkt darin endet auf .h5. Ordner: {}", folder.display()),
        what_to_do: "Öffnen Sie den Ordner mit Ihren Versuchen, oder zeichnen Sie erst einen auf."
            .to_owned(),
    }
}

fn digest(error: &DigestError) -> (&'static str, String, &'static str) {
    match error {
        DigestError::NotATrialFile => (
            "Das ist keine Versuchsdatei.",
            "Sie beginnt nicht wie eine.".to_owned(),
            "Öffnen Sie eine Datei, die dieses Programm aufgezeichnet hat. Die Aufzeichnung einer \
             anderen Platte liest: footing import --help",
        ),
        DigestError::Truncated { n_bytes, sealed_bytes } => (
            "Die Datei ist abgeschnitten.",
            format!("Von {sealed_bytes} Bytes sind nur {n_bytes} da."),
            "Kopieren Sie sie noch einmal von dort, wo sie aufgezeichnet wurde. Ein Teil wird nicht \
             gezeigt, weil seine Zahlen falsch wären.",
        ),
        DigestError::Damaged => (
            "Die Datei ist beschädigt.",
            "Ihr Inhalt ist nicht der, der versiegelt wurde.".to_owned(),
            "Kopieren Sie sie noch einmal von dort, wo sie aufgezeichnet wurde, oder aus einem \
             Backup. Auf ihre Zahlen ist kein Verlass, deshalb wird keine gezeigt.",
        ),
        DigestError::Read(_) => (
            "Die Datei lässt sich nicht zu Ende lesen.",
            technical(error),
            "Prüfen Sie, ob ihr Laufwerk verbunden ist; öffnen Sie sie dann noch einmal.",
        ),
    }
}

fn content(error: &ReadTrialError) -> (&'static str, String, &'static str) {
    match error {
        ReadTrialError::Newer { version, known } => (
            "Die Datei wurde von einer späteren Version dieses Programms geschrieben.",
            format!("Sie hat Format {version}; dieses Programm liest bis {known}."),
            "Öffnen Sie sie mit der Version, die sie aufgezeichnet hat, oder einer späteren.",
        ),
        ReadTrialError::OtherContent => (
            "Die Datei enthält etwas anderes als einen Versuch.",
            "Sie ist ganz, aber von anderer Art.".to_owned(),
            "Öffnen Sie eine Datei, die dieses Programm aufgezeichnet hat.",
        ),
        ReadTrialError::Library { .. }
        | ReadTrialError::Form { .. }
        | ReadTrialError::UnknownWord(_)
        | ReadTrialError::Person(_)
        | ReadTrialError::Started(_)
        | ReadTrialError::Inconsistent(_)
        | ReadTrialError::Told { .. } => (
            "Die Datei ist ganz, aber dieses Programm kann sie nicht verwenden.",
            technical(error),
            "Öffnen Sie sie mit dem Programm, das sie geschrieben hat. Bitte melden Sie das zusammen \
             mit der Datei.",
        ),
    }
}

fn apart(error: &ApartError) -> (&'static str, String, &'static str) {
    let why = technical(error);
    match error {
        ApartError::NotStarted(_) => (
            "Die Datei wurde nicht geöffnet.",
            why,
            "Schließen Sie andere Programme, und versuchen Sie es noch einmal; hilft das nicht, \
             installieren Sie dieses Programm neu.",
        ),
        ApartError::Died { .. } | ApartError::TooLong { .. } | ApartError::Garbled => (
            "Die Datei ließ sich nicht ohne Schaden lesen und wurde deshalb nicht geöffnet.",
            why,
            "Sonst wurde nichts berührt. Verwenden Sie diese Datei nicht; bitten Sie um eine neue \
             Kopie, wer sie Ihnen gegeben hat.",
        ),
    }
}
