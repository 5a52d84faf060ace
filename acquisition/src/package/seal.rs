//! Sealing: files become one package that only its receiver can open.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, BufWriter, Seek as _, SeekFrom, Write};
use std::iter;
use std::path::{Path, PathBuf};

use age::Encryptor;
use thiserror::Error;

use super::archive::{ArchiveWriter, CopyError};
use super::envelope;
use super::hashing::Hashing;
use super::limits::{
    MAX_MANIFEST_BYTES, MAX_MEMBERS, MAX_NAME_CHARACTERS, MAX_PACKAGE_BYTES, MAX_TOTAL_BYTES,
};
use super::manifest::{Manifest, MemberEntry, PackageKind, Payload, is_personal_name};
use super::member_name::MemberName;
use super::package_id::PackageId;
use super::signed_part;
use crate::keys::{KeyPair, Pairing, Role};
use crate::wall_time::WallTime;

/// What a package is to carry.
#[derive(Debug)]
pub struct Contents {
    /// What the files are.
    pub kind: PackageKind,
    /// This side's running number of packages of this kind for this person, from 1. A home refuses
    /// a plan whose number is not above all it imported, so the number must never go back.
    pub serial: u64,
    /// The time it is sealed.
    pub created: WallTime,
    /// The person's name; `None` unless somebody asked that it be sent.
    pub personal_name: Option<String>,
    /// The files.
    pub members: Vec<Member>,
}

/// One file to be packed.
#[derive(Debug)]
pub struct Member {
    /// Its name in the package.
    pub name: MemberName,
    /// Where its bytes come from.
    pub source: MemberSource,
}

/// Where the bytes of a member come from.
#[derive(Debug)]
pub enum MemberSource {
    /// From a file, read when the package is sealed; it must not change meanwhile.
    File(PathBuf),
    /// From memory, as for a document.
    Bytes(Vec<u8>),
}

/// A package that was sealed.
#[derive(Debug)]
pub struct Sealed {
    /// The file.
    pub path: PathBuf,
    /// How many bytes it has.
    pub n_bytes: u64,
    /// What it says about itself.
    pub manifest: Manifest,
}

/// Why a package was not sealed. Nothing is left behind.
#[derive(Debug, Error)]
pub enum SealPackageError {
    /// A home cannot send plans, nor a clinic sessions.
    #[error("{kind} cannot be sent by a {role}")]
    WrongDirection {
        /// What was to be sent.
        kind: PackageKind,
        /// The side that was to send it.
        role: Role,
    },
    /// The pairing is with the same side.
    #[error("a {role} cannot send packages to a {role}")]
    SameSide {
        /// The side both are.
        role: Role,
    },
    /// Nothing to send.
    #[error("there is no file to pack")]
    NoMembers,
    /// More files than a package may hold.
    #[error("there are {n_members} files to pack, the limit is {MAX_MEMBERS}")]
    TooManyMembers {
        /// How many.
        n_members: usize,
    },
    /// Two files of one name, or of names that differ only in capitals.
    #[error("two files to pack have the name {name}")]
    DuplicateMember {
        /// The name.
        name: MemberName,
    },
    /// More bytes than a package may hold.
    #[error("there are {n_bytes} bytes to pack, the limit is {limit_bytes}")]
    TooLarge {
        /// How many.
        n_bytes: u64,
        /// How many there may be.
        limit_bytes: u64,
    },
    /// A name that no screen could show.
    #[error("a name must have 1 to {MAX_NAME_CHARACTERS} characters and no control character")]
    PersonalName,
    /// A file cannot be read, or is no file.
    #[error("cannot read the file to be packed as {name}")]
    Source {
        /// Its name in the package.
        name: MemberName,
        /// What the system said.
        source: io::Error,
    },
    /// A file changed while it was read.
    #[error("the file to be packed as {name} changed while it was read")]
    Changed {
        /// Its name in the package.
        name: MemberName,
    },
    /// The file system refused.
    #[error("cannot {step} the package")]
    Folder {
        /// What was being done.
        step: &'static str,
        /// What the system said.
        source: io::Error,
    },
}

/// Seals `contents` for the other side of `to`, signed by `signed_by`, as a file in `folder`.
///
/// The file's name holds the kind and the package's id, nothing about the person. It is written
/// beside its place, for its owner alone, synced and only then named. The members are packed twice:
/// once for the digest that stands in front, once into the encryption. So nothing unencrypted
/// touches `folder`, which may be a stick, and memory does not grow with the contents.
///
/// # Errors
/// [`SealPackageError`].
pub fn seal_package(
    contents: &Contents,
    to: &Pairing,
    signed_by: &KeyPair,
    folder: &Path,
) -> Result<Sealed, SealPackageError> {
    check(contents, to, signed_by)?;
    let (_, payload, members) = pack(&contents.members, io::sink())?;
    let manifest = Manifest {
        id: PackageId::unique(),
        kind: contents.kind,
        serial: contents.serial,
        created: contents.created,
        from: signed_by.public().fingerprint(),
        to: to.other().fingerprint(),
        assignment: to.assignment().clone(),
        personal_name: contents.personal_name.clone(),
        payload,
        members,
    };
    let bytes = manifest.to_bytes();
    if MAX_MANIFEST_BYTES < bytes.len() as u64 {
        let (n_bytes, limit_bytes) = (bytes.len() as u64, MAX_MANIFEST_BYTES);
        return Err(SealPackageError::TooLarge { n_bytes, limit_bytes });
    }
    let head = signed_part::to_bytes(&bytes, signed_by);
    let mut file = tempfile::Builder::new()
        .prefix(".sealing-")
        .tempfile_in(folder)
        .map_err(refused("create"))?;
    let n_bytes = write(file.as_file_mut(), &head, &manifest, &contents.members, to)?;
    if MAX_PACKAGE_BYTES < n_bytes {
        let limit_bytes = MAX_PACKAGE_BYTES;
        return Err(SealPackageError::TooLarge { n_bytes, limit_bytes });
    }
    let path = folder.join(format!("{}-{}.footing", manifest.kind, manifest.id));
    file.persist_noclobber(&path).map_err(|failed| refused("name")(failed.error))?;
    if cfg!(unix) {
        File::open(folder).and_then(|folder| folder.sync_all()).map_err(refused("sync"))?;
    }
    Ok(Sealed { path, n_bytes, manifest })
}

fn refused(step: &'static str) -> impl Fn(io::Error) -> SealPackageError {
    move |source| SealPackageError::Folder { step, source }
}

fn check(contents: &Contents, to: &Pairing, signed_by: &KeyPair) -> Result<(), SealPackageError> {
    let (kind, role) = (contents.kind, signed_by.role());
    if kind.sender() != role {
        return Err(SealPackageError::WrongDirection { kind, role });
    }
    if to.other().role() == role {
        return Err(SealPackageError::SameSide { role });
    }
    let n_members = contents.members.len();
    if n_members == 0 {
        return Err(SealPackageError::NoMembers);
    }
    if MAX_MEMBERS < n_members {
        return Err(SealPackageError::TooManyMembers { n_members });
    }
    let mut taken = BTreeSet::new();
    let twice = contents.members.iter().find(|member| !taken.insert(member.name.folded()));
    if let Some(member) = twice {
        return Err(SealPackageError::DuplicateMember { name: member.name.clone() });
    }
    match &contents.personal_name {
        Some(name) if !is_personal_name(name) => Err(SealPackageError::PersonalName),
        _ => Ok(()),
    }
}

/// Packs the members into `output`, and gives it back with what the manifest says of them.
fn pack<Output: Write>(
    members: &[Member],
    output: Output,
) -> Result<(Output, Payload, Vec<MemberEntry>), SealPackageError> {
    let mut archive = ArchiveWriter::new(Hashing::new(output)).map_err(refused("pack"))?;
    let mut entries = Vec::with_capacity(members.len());
    let mut total_bytes: u64 = 0;
    for Member { name, source } in members {
        let unreadable = |source| SealPackageError::Source { name: name.clone(), source };
        let appending = |error| match error {
            CopyError::Read(source) => unreadable(source),
            CopyError::Write(source) => refused("write")(source),
        };
        let entry = match source {
            MemberSource::Bytes(bytes) => {
                let n_bytes = bytes.len() as u64;
                total_bytes = within_limit(total_bytes, n_bytes)?;
                archive.append(name, n_bytes, bytes.as_slice()).map_err(appending)?
            }
            MemberSource::File(path) => {
                let (file, n_bytes) = open_source(path).map_err(unreadable)?;
                total_bytes = within_limit(total_bytes, n_bytes)?;
                archive.append(name, n_bytes, file).map_err(appending)?
            }
        };
        entries.push(entry.ok_or_else(|| SealPackageError::Changed { name: name.clone() })?);
    }
    let (output, digest, n_bytes) = archive.finish().map_err(refused("pack"))?.finish();
    Ok((output, Payload { n_bytes, digest }, entries))
}

fn open_source(path: &Path) -> io::Result<(File, u64)> {
    let file = File::open(path)?;
    let about = file.metadata()?;
    if about.is_file() { Ok((file, about.len())) } else { Err(io::ErrorKind::InvalidInput.into()) }
}

fn within_limit(total_bytes: u64, more_bytes: u64) -> Result<u64, SealPackageError> {
    let (n_bytes, limit_bytes) = (total_bytes.saturating_add(more_bytes), MAX_TOTAL_BYTES);
    if limit_bytes < n_bytes {
        return Err(SealPackageError::TooLarge { n_bytes, limit_bytes });
    }
    Ok(n_bytes)
}

/// Writes the whole file and gives its length; the first line comes last, when it is known.
fn write(
    file: &mut File,
    head: &[u8],
    manifest: &Manifest,
    members: &[Member],
    to: &Pairing,
) -> Result<u64, SealPackageError> {
    let line_bytes = envelope::LINE_BYTES as u64;
    file.seek(SeekFrom::Start(line_bytes)).map_err(refused("write"))?;
    let recipient = to.other().recipient();
    let encryptor = Encryptor::with_recipients(iter::once(recipient as &dyn age::Recipient))
        .map_err(|error| refused("encrypt")(io::Error::other(error)))?;
    let output = Hashing::new(BufWriter::new(&mut *file));
    let mut encrypted = encryptor.wrap_output(output).map_err(refused("write"))?;
    encrypted.write_all(head).map_err(refused("write"))?;
    let (encrypted, payload, entries) = pack(members, encrypted)?;
    if let Some((changed, _)) =
        entries.iter().zip(&manifest.members).find(|(now, then)| now != then)
    {
        return Err(SealPackageError::Changed { name: changed.name.clone() });
    }
    assert_eq!(payload, manifest.payload, "the same members pack to the same archive");
    let output = encrypted.finish().map_err(refused("write"))?;
    let (buffered, digest, n_bytes) = output.finish();
    buffered.into_inner().map_err(|error| refused("write")(error.into_error()))?;
    let line = envelope::line(n_bytes, digest);
    file.seek(SeekFrom::Start(0)).map_err(refused("write"))?;
    file.write_all(line.as_bytes()).map_err(refused("write"))?;
    file.sync_all().map_err(refused("sync"))?;
    Ok(line_bytes + n_bytes)
}
