//! What a person reads when a trial file was not opened.

use std::io;
use std::path::Path;

use acquisition::trial_file::apart::ApartError;
use acquisition::trial_file::{DigestError, OpenTrialError, ReadTrialError};

use crate::strings::message::{Message, with_causes};

/// The message for a trial file that was not opened. The path comes last: it may be long.
pub(crate) fn open_trial(path: &Path, error: &OpenTrialError) -> Message {
    let (what, why, what_to_do) = match error {
        OpenTrialError::Missing => (
            "The file is not there.",
            "Nothing has this name.".to_owned(),
            "Check the name, or open the folder that holds your trials.",
        ),
        OpenTrialError::NotAFile => (
            "This is not a file.",
            "A trial is one file ending in .h5.".to_owned(),
            "Open a trial file, or a folder of them.",
        ),
        OpenTrialError::Unreadable(_) => (
            "The file is there but cannot be read.",
            with_causes(error),
            "Check that you may read it and that its disk is connected, then open it again.",
        ),
        OpenTrialError::TooLarge { n_bytes, limit_bytes } => (
            "The file is too large to be a trial.",
            format!("It has {n_bytes} bytes; a trial has at most {limit_bytes}."),
            "Open another file. To read another plate's recording, use: footing import --help",
        ),
        OpenTrialError::Digest(error) => digest(error),
        OpenTrialError::Content(error) => content(error),
        OpenTrialError::Apart(error) => apart(error),
    };
    Message {
        what: what.to_owned(),
        why: format!("{why} File: {}", path.display()),
        what_to_do: what_to_do.to_owned(),
    }
}

/// The message for a folder that cannot be read.
pub(crate) fn open_folder(folder: &Path, error: &io::Error) -> Message {
    Message {
        what: "The folder cannot be read.".to_owned(),
        why: format!("{}. Folder: {}", with_causes(error), folder.display()),
        what_to_do: "Check that you may read it and that its disk is connected.".to_owned(),
    }
}

/// The message for a folder without trial files.
pub(crate) fn empty_folder(folder: &Path) -> Message {
    Message {
        what: "There are no trials in this folder.".to_owned(),
        why: format!("No file directly in it ends in .h5. Folder: {}", folder.display()),
        what_to_do: "Open the folder that holds your trials, or record one first.".to_owned(),
    }
}

fn digest(error: &DigestError) -> (&'static str, String, &'static str) {
    match error {
        DigestError::NotATrialFile => (
            "This is not a trial file.",
            "It does not begin as one.".to_owned(),
            "Open a file that this program recorded. To read another plate's recording, use: \
             footing import --help",
        ),
        DigestError::Truncated { n_bytes, sealed_bytes } => (
            "The file is cut short.",
            format!("Of {sealed_bytes} bytes only {n_bytes} are there."),
            "Copy it again from where it was recorded. A part is not shown, because its numbers \
             would be wrong.",
        ),
        DigestError::Damaged => (
            "The file is damaged.",
            "Its content is not what was sealed.".to_owned(),
            "Copy it again from where it was recorded, or from a backup. Its numbers cannot be \
             trusted, so none is shown.",
        ),
        DigestError::Read(_) => (
            "The file cannot be read to its end.",
            with_causes(error),
            "Check that its disk is connected, then open it again.",
        ),
    }
}

fn content(error: &ReadTrialError) -> (&'static str, String, &'static str) {
    match error {
        ReadTrialError::Newer { version, known } => (
            "The file was written by a later version of this program.",
            format!("It is of format {version}; this program reads up to {known}."),
            "Open it with the version that recorded it, or a later one.",
        ),
        ReadTrialError::OtherContent => (
            "The file holds something else than a trial.",
            "It is whole, but of another kind.".to_owned(),
            "Open a file that this program recorded.",
        ),
        ReadTrialError::Library { .. }
        | ReadTrialError::Form { .. }
        | ReadTrialError::UnknownWord(_)
        | ReadTrialError::Person(_)
        | ReadTrialError::Started(_)
        | ReadTrialError::Inconsistent(_)
        | ReadTrialError::Told { .. } => (
            "The file is whole, but this program cannot use it.",
            format!("{}.", with_causes(error)),
            "Open it with the program that wrote it. Please report this with the file.",
        ),
    }
}

fn apart(error: &ApartError) -> (&'static str, String, &'static str) {
    let why = format!("{}.", with_causes(error));
    match error {
        ApartError::NotStarted(_) => (
            "The file was not opened.",
            why,
            "Close other programs and try again; if that does not help, install this program anew.",
        ),
        ApartError::Died { .. } | ApartError::TooLong { .. } | ApartError::Garbled => (
            "The file could not be read without harm, so it was not opened.",
            why,
            "Nothing else was touched. Do not use this file; ask whoever gave it to you for another \
             copy.",
        ),
    }
}
