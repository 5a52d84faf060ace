//! What is said when keys, packages or safe copies did not work: what, why, what to do.

use std::path::Path;

use acquisition::exchange::{BringBackError, KeepSafeError, KeyRingError, SendError, TakeError};
use acquisition::keys::{BackUpError, PairError, RestoreError};
use acquisition::package::OpenPackageError;
use acquisition::records::TakeSharedError;

use crate::strings::with_causes;

/// What, why, what to do.
pub(in crate::command_line) type Said = (String, String, &'static str);

pub(in crate::command_line) fn keys(error: &KeyRingError) -> Said {
    let advice = match error {
        KeyRingError::NoKeys => "Make them with `footing pair make --as clinic` or `--as home`.",
        KeyRingError::OtherRole { .. } => {
            "Use another data folder (--data) for the other side: one folder is one side."
        }
        KeyRingError::NotPaired { .. } => {
            "Pair first with `footing pair with`; `footing pair show` lists who is paired."
        }
        KeyRingError::PairedOtherwise { .. } => {
            "If the other side has a new computer or board, end the old pairing with `footing pair \
             end CODE`, then pair again."
        }
        KeyRingError::Folder(_)
        | KeyRingError::Own(_)
        | KeyRingError::Save(_)
        | KeyRingError::Pairing { .. }
        | KeyRingError::Taken(_)
        | KeyRingError::Sent(_)
        | KeyRingError::SentShape => {
            "Nothing was changed. Bring the keys back from a safe copy, or ask whoever looks after \
             this computer."
        }
    };
    ("The keys cannot be used for this.".to_owned(), with_causes(error), advice)
}

pub(in crate::command_line) fn pair(error: &PairError) -> Said {
    let advice = match error {
        PairError::SameSide { .. } => "Take the file that came from the other side.",
        PairError::OtherCode { .. } => {
            "Compare the code once more, by telephone. If it still differs, these are not their \
             keys: do not use them, and have them sent again."
        }
    };
    ("The two sides were not paired.".to_owned(), with_causes(error), advice)
}

pub(in crate::command_line) fn send(error: &SendError) -> Said {
    let advice = match error {
        SendError::Keys(source) => return keys(source),
        SendError::Records(_) | SendError::Name(_) => {
            "Check the person's code, and the records with `footing verify`."
        }
        SendError::NoPlan { .. } => "Make a plan first with `footing plan set`.",
        SendError::NoSession { .. } => "Practise first, or name more days with --days.",
        SendError::Seal(_) => "Name a folder you may write to, with enough room, with --into.",
    };
    ("No package was sealed.".to_owned(), with_causes(error), advice)
}

pub(in crate::command_line) fn take(path: &Path, error: &TakeError) -> Said {
    let advice = match error {
        TakeError::Keys(source) => return keys(source),
        TakeError::Package(source) => package_advice(source),
        TakeError::Document(_)
        | TakeError::StrayMember { .. }
        | TakeError::Trial { .. }
        | TakeError::OtherBoard { .. } => {
            "Nothing was changed. Ask the other side to seal it again with this program."
        }
        TakeError::Content(source) => content_advice(source),
        TakeError::Receipt(_) => {
            "Make room on the disk and take it again: what is there already does no harm."
        }
    };
    let what = match error {
        TakeError::Receipt(_) => format!("{} was taken, but not noted.", path.display()),
        _ => format!("{} was not taken. Nothing was changed.", path.display()),
    };
    (what, with_causes(error), advice)
}

fn package_advice(error: &OpenPackageError) -> &'static str {
    match error {
        OpenPackageError::Missing | OpenPackageError::NotAFile => "Check the name of the file.",
        OpenPackageError::Unreadable(_)
        | OpenPackageError::Imported(_)
        | OpenPackageError::Staging { .. } => {
            "Check that the file can be read and that there is room on the disk, then do it again."
        }
        OpenPackageError::NotAPackage => {
            "Name a file that `footing send` made; its name ends in .footing."
        }
        OpenPackageError::NewerFormat { .. } => "Bring this program to the newest version.",
        OpenPackageError::OlderFormat { .. } => {
            "Ask the other side to bring their program to the newest version and seal it again."
        }
        OpenPackageError::Truncated { .. } | OpenPackageError::Damaged => {
            "It was damaged on its way. Have it copied or sent again."
        }
        OpenPackageError::WrongKey => {
            "It is sealed for another computer, or for keys you no longer have. Pair again if yours \
             are new, and have it sealed again."
        }
        OpenPackageError::UnknownSigner { .. } => {
            "Take packages only from those you have paired with. If the other side has new keys, \
             pair again."
        }
        OpenPackageError::OtherReceiver { .. }
        | OpenPackageError::OtherPerson { .. }
        | OpenPackageError::OtherClinic { .. }
        | OpenPackageError::OtherBoard { .. }
        | OpenPackageError::WrongDirection { .. } => {
            "It belongs to somebody else. Give it back to whoever gave it to you, or delete it."
        }
        OpenPackageError::Superseded { .. } => {
            "A newer plan is in force already. Keep that one; delete this file."
        }
        OpenPackageError::FileTooLarge { .. }
        | OpenPackageError::DeclaredTooLarge { .. }
        | OpenPackageError::TooManyMembers { .. }
        | OpenPackageError::Altered
        | OpenPackageError::Layout
        | OpenPackageError::BadSignature
        | OpenPackageError::OtherSender { .. }
        | OpenPackageError::ManifestSyntax(_)
        | OpenPackageError::ManifestField { .. }
        | OpenPackageError::UnsafeName(_)
        | OpenPackageError::DuplicateMember { .. }
        | OpenPackageError::SameIdOtherContent { .. }
        | OpenPackageError::OtherPayload
        | OpenPackageError::Archive(_)
        | OpenPackageError::Overflowing { .. }
        | OpenPackageError::UndeclaredMember
        | OpenPackageError::MissingMember { .. }
        | OpenPackageError::OtherMember { .. } => {
            "No sound package looks like this. Do not use it; ask the other side by telephone what \
             they sent."
        }
    }
}

fn content_advice(error: &TakeSharedError) -> &'static str {
    match error {
        TakeSharedError::OtherTrial { .. } => {
            "A stand is never overwritten. Ask the other side by telephone which one is right."
        }
        TakeSharedError::Records(_) => {
            "Check that the person is in the records and that the disk is not full, then take it \
             again."
        }
        TakeSharedError::Content(_)
        | TakeSharedError::OtherPerson { .. }
        | TakeSharedError::WrongPart { .. }
        | TakeSharedError::NoPlan
        | TakeSharedError::LooseTrial { .. } => {
            "Ask the other side to seal it again with the newest version of this program."
        }
    }
}

pub(in crate::command_line) fn keep_safe(error: &KeepSafeError) -> Said {
    let advice = match error {
        KeepSafeError::Keys(source) => return keys(source),
        KeepSafeError::Read(_) => "Check the data folder with `footing verify`, then do it again.",
        KeepSafeError::Write(BackUpError::ShortPassphrase { .. }) => {
            "Choose four or five words that do not belong together."
        }
        KeepSafeError::Write(BackUpError::TooLarge { .. }) => {
            "Copy the stands with `footing backup` to an encrypted disk instead."
        }
        KeepSafeError::Write(BackUpError::AlreadyThere) => "Name a file that is not there yet.",
        KeepSafeError::Write(
            BackUpError::Write(_) | BackUpError::ReadBack(_) | BackUpError::Different,
        ) => "Name a file on a disk with enough room, then do it again.",
    };
    ("No safe copy was made.".to_owned(), with_causes(error), advice)
}

pub(in crate::command_line) fn bring_back(error: &BringBackError) -> Said {
    let advice = match error {
        BringBackError::NotEmpty => {
            "Nothing was changed. Name an empty folder with --data, or move the present one away."
        }
        BringBackError::Open(RestoreError::WrongPassphrase) => {
            "Type the passphrase once more; capitals and blanks count."
        }
        BringBackError::Open(
            RestoreError::File(_)
            | RestoreError::NotABackup
            | RestoreError::TooMuchWork
            | RestoreError::Damaged
            | RestoreError::OtherContent,
        )
        | BringBackError::Stray { .. }
        | BringBackError::NoKeys => {
            "Nothing was changed. Name a file that `footing keep-safe` made, or use another copy."
        }
        BringBackError::Library(_)
        | BringBackError::Write(_)
        | BringBackError::Keys(_)
        | BringBackError::Records(_) => {
            "Make room on the disk, empty the data folder, then do it again."
        }
    };
    ("The safe copy was not brought back.".to_owned(), with_causes(error), advice)
}
