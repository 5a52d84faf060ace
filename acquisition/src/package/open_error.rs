//! Every reason for which a package is not taken.

use std::io;

use analysis::PersonCode;
use thiserror::Error;

use super::limits::{FORMAT_VERSION, MAX_MEMBERS, OLDEST_FORMAT_VERSION};
use super::manifest::PackageKind;
use super::member_name::{BadMemberName, MemberName};
use super::package_id::PackageId;
use crate::keys::{BoardId, ClinicCode, Fingerprint};

/// Why a package was not taken. Nothing of it was kept, and nothing else was changed.
#[derive(Debug, Error)]
pub enum OpenPackageError {
    /// There is none.
    #[error("there is no such file")]
    Missing,
    /// There is something else.
    #[error("it is not a file")]
    NotAFile,
    /// The system refuses.
    #[error("it cannot be read")]
    Unreadable(#[source] io::Error),
    /// More than is ever read.
    #[error("it has {n_bytes} bytes, the limit is {limit_bytes}")]
    FileTooLarge {
        /// How many bytes it has.
        n_bytes: u64,
        /// How many it may have.
        limit_bytes: u64,
    },
    /// It does not begin as a package does.
    #[error("it is not a package")]
    NotAPackage,
    /// A format this program no longer reads.
    #[error("it is of format {found}, the oldest this program reads is {OLDEST_FORMAT_VERSION}")]
    OlderFormat {
        /// The format found.
        found: u64,
    },
    /// A format this program does not know yet.
    #[error("it is of format {found}, the newest this program reads is {FORMAT_VERSION}")]
    NewerFormat {
        /// The format found.
        found: u64,
    },
    /// It ends too early.
    #[error("it is cut short: {n_bytes} bytes of {sealed_bytes}")]
    Truncated {
        /// How many bytes there are.
        n_bytes: u64,
        /// How many were sealed; at least those of its first line.
        sealed_bytes: u64,
    },
    /// Bytes were changed on the way, by accident as far as can be told.
    #[error("it is damaged: its content does not match its first line")]
    Damaged,
    /// It was encrypted for somebody else.
    #[error("no key of this side opens it")]
    WrongKey,
    /// Bytes were changed by somebody who also corrected the first line.
    #[error("it was altered after it was encrypted")]
    Altered,
    /// What was encrypted is not laid out as a package is.
    #[error("what it holds is not laid out as a package is")]
    Layout,
    /// Nobody this side is paired with.
    #[error("it is signed by {signer}, with whom this side is not paired")]
    UnknownSigner {
        /// Who it says signed it.
        signer: String,
    },
    /// The signature is not over this content.
    #[error("its signature does not belong to its content")]
    BadSignature,
    /// It was signed for somebody else and encrypted again for this side.
    #[error("it was sealed for {to}, and encrypted for this side by somebody else")]
    OtherReceiver {
        /// For whom it was sealed.
        to: Fingerprint,
    },
    /// What was signed names another sender than the one who signed.
    #[error("it says that it is from {from}, which is not who signed it")]
    OtherSender {
        /// From whom it says it is.
        from: Fingerprint,
    },
    /// A plan from a home, or sessions from a clinic.
    #[error("{kind} cannot come from the side that signed it")]
    WrongDirection {
        /// What it carries.
        kind: PackageKind,
    },
    /// It is about somebody else.
    #[error("it is for person {found}, and its sender is not paired for that person")]
    OtherPerson {
        /// Whom it is about.
        found: PersonCode,
    },
    /// It comes from another clinic.
    #[error("it is for clinic {found}, and its sender is paired for {expected}")]
    OtherClinic {
        /// The clinic it names.
        found: ClinicCode,
        /// The clinic of the pairing.
        expected: ClinicCode,
    },
    /// It is for another board.
    #[error("it is for board {found}, and its sender is paired for {expected}")]
    OtherBoard {
        /// The board it names.
        found: BoardId,
        /// The board of the pairing.
        expected: BoardId,
    },
    /// The manifest is no JSON of the right shape.
    #[error("its manifest cannot be read")]
    ManifestSyntax(#[source] serde_json::Error),
    /// A field of the manifest holds no usable value.
    #[error("the field {what:?} of its manifest holds no usable value")]
    ManifestField {
        /// Which field.
        what: &'static str,
    },
    /// More files than a package may hold.
    #[error("it declares {n_members} files, the limit is {MAX_MEMBERS}")]
    TooManyMembers {
        /// How many.
        n_members: usize,
    },
    /// It would unpack to more than is ever taken.
    #[error("it declares {n_bytes} bytes, the limit is {limit_bytes}")]
    DeclaredTooLarge {
        /// How many bytes it declares.
        n_bytes: u64,
        /// How many it may.
        limit_bytes: u64,
    },
    /// A name that is no safe file name.
    #[error(transparent)]
    UnsafeName(#[from] BadMemberName),
    /// Two files of one name, or of names that differ only in capitals.
    #[error("it holds two files of the name {name}")]
    DuplicateMember {
        /// The name.
        name: MemberName,
    },
    /// Another package of this id was imported.
    #[error("package {id} was imported before with other content")]
    SameIdOtherContent {
        /// The id.
        id: PackageId,
    },
    /// A newer plan was imported already.
    #[error("it is plan number {serial}, and number {latest} was imported already")]
    Superseded {
        /// Its number.
        serial: u64,
        /// The highest number imported.
        latest: u64,
    },
    /// What is known of earlier imports cannot be read.
    #[error("the list of imported packages cannot be read")]
    Imported(#[source] io::Error),
    /// The archive is not the one that was signed.
    #[error("its archive is not the one its manifest names")]
    OtherPayload,
    /// The archive cannot be unpacked.
    #[error("its archive cannot be unpacked")]
    Archive(#[source] io::Error),
    /// The archive unpacks to more than the manifest declares.
    #[error("its archive unpacks to more than the {declared_bytes} bytes declared")]
    Overflowing {
        /// How many bytes of archive the declared files need.
        declared_bytes: u64,
    },
    /// The archive holds something that was not declared, or is no file.
    #[error("its archive holds an entry that its manifest does not name")]
    UndeclaredMember,
    /// A declared file is not in the archive.
    #[error("the file {name} is missing from its archive")]
    MissingMember {
        /// Its name.
        name: MemberName,
    },
    /// A file is not as declared.
    #[error("the file {name} is not as its manifest declares it")]
    OtherMember {
        /// Its name.
        name: MemberName,
    },
    /// The folder for unpacking refuses.
    #[error("cannot {step} the folder in which it is unpacked")]
    Staging {
        /// What was being done.
        step: &'static str,
        /// What the system said.
        source: io::Error,
    },
}
