//! Sealing: files become one package that only its receiver can open.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, BufWriter, Seek as _, SeekFrom, Write};
use std::iter;
use std::path::{Path, PathBuf};

use age::Encryptor;
use thiserror::Error;

use super::archive::ArchiveWriter;
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
    /// A file changed its length while it was read.
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
/// beside its place, for its owner alone, synced and only then named. The archive is packed once
/// into an unnamed file before, because its digest stands in front of it; memory does not grow with
/// the contents.
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
    let (mut archive, payload, members) = pack(&contents.members, folder)?;
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
    let refused = |step| move |source| SealPackageError::Folder { step, source };
    let mut file = tempfile::Builder::new()
        .prefix(".sealing-")
        .tempfile_in(folder)
        .map_err(refused("create"))?;
    archive.seek(SeekFrom::Start(0)).map_err(refused("write"))?;
    let n_bytes = write(file.as_file_mut(), &head, &mut archive, to).map_err(refused("write"))?;
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

fn pack(
    members: &[Member],
    folder: &Path,
) -> Result<(File, Payload, Vec<MemberEntry>), SealPackageError> {
    let refused = |step| move |source| SealPackageError::Folder { step, source };
    let file = tempfile::tempfile_in(folder).map_err(refused("create"))?;
    let output = Hashing::new(BufWriter::new(file));
    let mut archive = ArchiveWriter::new(output).map_err(refused("pack"))?;
    let mut entries = Vec::with_capacity(members.len());
    let mut total_bytes: u64 = 0;
    for Member { name, source } in members {
        let unreadable = |source| SealPackageError::Source { name: name.clone(), source };
        let entry = match source {
            MemberSource::Bytes(bytes) => {
                total_bytes = within_limit(total_bytes, bytes.len() as u64)?;
                archive
                    .append(name, bytes.len() as u64, bytes.as_slice())
                    .map_err(refused("pack"))?
            }
            MemberSource::File(path) => {
                let mut file = File::open(path).map_err(unreadable)?;
                let about = file.metadata().map_err(unreadable)?;
                if !about.is_file() {
                    return Err(unreadable(io::ErrorKind::InvalidInput.into()));
                }
                total_bytes = within_limit(total_bytes, about.len())?;
                let entry = archive.append(name, about.len(), &mut file).map_err(unreadable)?;
                let grown = file.metadata().map_err(unreadable)?.len() != about.len();
                entry.filter(|_| !grown)
            }
        };
        entries.push(entry.ok_or_else(|| SealPackageError::Changed { name: name.clone() })?);
    }
    let (output, digest, n_bytes) = archive.finish().map_err(refused("pack"))?.finish();
    let file = output.into_inner().map_err(|error| refused("pack")(error.into_error()))?;
    Ok((file, Payload { n_bytes, digest }, entries))
}

fn within_limit(total_bytes: u64, more_bytes: u64) -> Result<u64, SealPackageError> {
    let (n_bytes, limit_bytes) = (total_bytes.saturating_add(more_bytes), MAX_TOTAL_BYTES);
    if limit_bytes < n_bytes {
        return Err(SealPackageError::TooLarge { n_bytes, limit_bytes });
    }
    Ok(n_bytes)
}

/// Writes the whole file and gives its length; the first line comes last, when it is known.
fn write(file: &mut File, head: &[u8], archive: &mut File, to: &Pairing) -> io::Result<u64> {
    let line_bytes = envelope::LINE_BYTES as u64;
    file.seek(SeekFrom::Start(line_bytes))?;
    let recipient = to.other().recipient();
    let encryptor = Encryptor::with_recipients(iter::once(recipient as &dyn age::Recipient))
        .map_err(io::Error::other)?;
    let mut writer = encryptor.wrap_output(Hashing::new(BufWriter::new(&mut *file)))?;
    writer.write_all(head)?;
    io::copy(archive, &mut writer)?;
    let (mut buffered, digest, n_bytes) = writer.finish()?.finish();
    buffered.flush()?;
    drop(buffered);
    file.seek(SeekFrom::Start(0))?;
    file.write_all(envelope::line(n_bytes, digest).as_bytes())?;
    file.sync_all()?;
    Ok(line_bytes + n_bytes)
}
