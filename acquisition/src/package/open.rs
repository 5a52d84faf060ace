//! Opening: a package is judged from the outside inwards, and taken whole or not at all.

use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom};
use std::iter;
use std::path::{Path, PathBuf};

use age::{DecryptError, Decryptor};

use super::archive::{self, CopyError, copy};
use super::envelope;
use super::hashing::{Hashing, digest_of};
use super::imported::{ImportedPackages, Receipt};
use super::manifest::{Manifest, PackageKind, Payload};
use super::open_error::OpenPackageError;
use super::package_id::PackageId;
use super::signed_part::{self, decrypting};
use super::staging::Staging;
use crate::keys::{KeyPair, MAX_HEADER_BYTES, Pairing, header_is_bounded};
use crate::trial_file::Digest;

/// The side that opens a package: what it is, whom it trusts and what it has seen.
#[derive(Clone, Copy)]
pub struct Receiver<'a> {
    /// Its own keys.
    pub own: &'a KeyPair,
    /// Everyone whose packages it takes, each for one person, board and clinic.
    pub pairings: &'a [Pairing],
    /// What it imported before.
    pub imported: &'a dyn ImportedPackages,
}

/// A package that may be taken.
#[derive(Debug)]
pub enum Opened {
    /// It was not imported before; here it is, verified.
    New(Box<VerifiedPackage>),
    /// The very same package was imported before: there is nothing to do.
    NothingNew {
        /// Its id.
        id: PackageId,
    },
}

/// A package of which every byte is as it was signed, by a paired sender, for this side.
///
/// Its files lie in a folder for their owner alone, which vanishes with this value.
#[derive(Debug)]
pub struct VerifiedPackage {
    manifest: Manifest,
    content: Digest,
    members: Vec<VerifiedMember>,
    _staging: Staging,
}

/// One file of a verified package.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifiedMember {
    /// Its name.
    pub name: super::MemberName,
    /// How many bytes it has.
    pub n_bytes: u64,
    /// Where it lies, as long as the package is kept.
    pub path: PathBuf,
}

impl VerifiedPackage {
    /// What it says about itself.
    pub fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// Its files, in the sender's order.
    pub fn members(&self) -> &[VerifiedMember] {
        &self.members
    }

    /// What to record once its content has been imported.
    pub fn receipt(&self) -> Receipt {
        Receipt {
            id: self.manifest.id,
            content: self.content,
            kind: self.manifest.kind,
            serial: self.manifest.serial,
            from: self.manifest.from,
            person: self.manifest.assignment.person.clone(),
        }
    }
}

/// Opens the package at `path`, unpacking into a folder of its own inside `staging`.
///
/// In this order, each step only after the one before: length and damage check; decryption with
/// the receiver's key; signature of a paired sender; manifest; receiver, direction, person, clinic
/// and board; earlier imports; size and digest of the archive; name, size and digest of each file.
/// `staging` is a folder on this computer's own disk, for decrypted files lie in it.
/// Until the signature is checked nothing is parsed but fixed lines and the age header, and nothing
/// is written before the manifest is accepted.
///
/// # Errors
/// [`OpenPackageError`]; nothing is left in `staging` then.
pub fn open_package(
    path: &Path,
    receiver: Receiver<'_>,
    staging: &Path,
) -> Result<Opened, OpenPackageError> {
    let file = File::open(path).map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => OpenPackageError::Missing,
        _ => OpenPackageError::Unreadable(source),
    })?;
    if !file.metadata().map_err(OpenPackageError::Unreadable)?.is_file() {
        return Err(OpenPackageError::NotAFile);
    }
    open_sealed(BufReader::new(file), receiver, staging)
}

/// As [`open_package`], from the package's bytes.
pub(super) fn open_sealed(
    mut sealed: BufReader<impl Read + Seek>,
    receiver: Receiver<'_>,
    staging: &Path,
) -> Result<Opened, OpenPackageError> {
    envelope::check(&mut sealed)?;
    open_content(decrypt(sealed, receiver.own)?, receiver, staging)
}

/// As [`open_package`], from what is encrypted in it.
pub(super) fn open_content(
    mut content: impl Read,
    receiver: Receiver<'_>,
    staging: &Path,
) -> Result<Opened, OpenPackageError> {
    let (manifest, bytes, pairings) = signed_part::read(&mut content, receiver.pairings)?;
    check_parties(&manifest, &pairings, receiver.own)?;
    let digest = digest_of(&bytes);
    if check_imported(&manifest, digest, receiver.imported)? {
        return Ok(Opened::NothingNew { id: manifest.id });
    }
    let staging = Staging::new(staging)
        .map_err(|source| OpenPackageError::Staging { step: "make", source })?;
    let archive = keep_archive(content, manifest.payload, &staging)?;
    archive::unpack(BufReader::new(archive), &manifest, &staging.members_folder())?;
    staging
        .remove_archive()
        .map_err(|source| OpenPackageError::Staging { step: "tidy", source })?;
    let folder = staging.members_folder();
    let member = |entry: &super::MemberEntry| VerifiedMember {
        path: folder.join(entry.name.as_str()),
        name: entry.name.clone(),
        n_bytes: entry.n_bytes,
    };
    let members = manifest.members.iter().map(member).collect();
    let package = VerifiedPackage { manifest, content: digest, members, _staging: staging };
    Ok(Opened::New(Box::new(package)))
}

fn decrypt<Sealed: Read + Seek>(
    mut sealed: BufReader<Sealed>,
    own: &KeyPair,
) -> Result<impl Read, OpenPackageError> {
    let mut start = Vec::new();
    let read = sealed.by_ref().take(MAX_HEADER_BYTES as u64).read_to_end(&mut start);
    let n_read = read.map_err(OpenPackageError::Unreadable)?;
    if !header_is_bounded(&start) {
        return Err(OpenPackageError::Layout);
    }
    let back = i64::try_from(n_read).expect("a few thousand bytes");
    sealed.seek(SeekFrom::Current(-back)).map_err(OpenPackageError::Unreadable)?;
    let refused = |error| match error {
        DecryptError::Io(source) => decrypting(source),
        DecryptError::InvalidMac | DecryptError::DecryptionFailed => OpenPackageError::Altered,
        DecryptError::InvalidHeader | DecryptError::UnknownFormat => OpenPackageError::Layout,
        // No stanza is for this key; the library's other reasons belong to passphrases and plugins.
        _ => OpenPackageError::WrongKey,
    };
    let decryptor = Decryptor::new_buffered(sealed).map_err(refused)?;
    decryptor.decrypt(iter::once(own.identity() as &dyn age::Identity)).map_err(refused)
}

/// `pairings`: those of the signer, at least one.
fn check_parties(
    manifest: &Manifest,
    pairings: &[&Pairing],
    own: &KeyPair,
) -> Result<(), OpenPackageError> {
    let Manifest { kind, from, to, assignment, .. } = manifest;
    if *to != own.public().fingerprint() {
        return Err(OpenPackageError::OtherReceiver { to: *to });
    }
    if !pairings.iter().any(|pairing| pairing.other().fingerprint() == *from) {
        return Err(OpenPackageError::OtherSender { from: *from });
    }
    let role = kind.sender();
    if own.role() == role || !pairings.iter().any(|pairing| pairing.other().role() == role) {
        return Err(OpenPackageError::WrongDirection { kind: *kind });
    }
    if pairings.iter().any(|pairing| pairing.assignment() == assignment) {
        return Ok(());
    }
    let same_person = |pairing: &&&Pairing| pairing.assignment().person == assignment.person;
    let Some(pairing) = pairings.iter().find(same_person) else {
        return Err(OpenPackageError::OtherPerson { found: assignment.person.clone() });
    };
    let expected = pairing.assignment();
    if expected.clinic != assignment.clinic {
        let (found, expected) = (assignment.clinic.clone(), expected.clinic.clone());
        return Err(OpenPackageError::OtherClinic { found, expected });
    }
    let (found, expected) = (assignment.board.clone(), expected.board.clone());
    Err(OpenPackageError::OtherBoard { found, expected })
}

/// Whether the very same package was imported before.
fn check_imported(
    manifest: &Manifest,
    content: Digest,
    imported: &dyn ImportedPackages,
) -> Result<bool, OpenPackageError> {
    let Manifest { id, kind, serial, from, .. } = *manifest;
    if let Some(known) = imported.find(id).map_err(OpenPackageError::Imported)? {
        return if known.content == content {
            Ok(true)
        } else {
            Err(OpenPackageError::SameIdOtherContent { id })
        };
    }
    // Sessions add to each other in any order; a plan takes the place of the one before it.
    if kind == PackageKind::Plan {
        let latest = imported.latest_serial(from, kind, &manifest.assignment.person);
        if let Some(latest) = latest.map_err(OpenPackageError::Imported)?.filter(|l| serial <= *l) {
            return Err(OpenPackageError::Superseded { serial, latest });
        }
    }
    Ok(false)
}

/// Decrypts the archive to a file, never a byte more than the manifest says, and checks its digest.
fn keep_archive(
    content: impl Read,
    payload: Payload,
    staging: &Staging,
) -> Result<File, OpenPackageError> {
    let refused = |source| OpenPackageError::Staging { step: "write", source };
    let mut file = staging.create_archive().map_err(refused)?;
    let mut content = Hashing::new(content.take(payload.n_bytes));
    copy(&mut content, &mut file).map_err(|error| match error {
        CopyError::Read(source) => decrypting(source),
        CopyError::Write(source) => refused(source),
    })?;
    let (content, digest, n_bytes) = content.finish();
    // Reading on to the end is what shows that no encrypted piece was cut off or added.
    let n_more = content.into_inner().read(&mut [0]).map_err(decrypting)?;
    if n_more != 0 || (n_bytes, digest) != (payload.n_bytes, payload.digest) {
        return Err(OpenPackageError::OtherPayload);
    }
    file.seek(SeekFrom::Start(0)).map_err(refused)?;
    Ok(file)
}
