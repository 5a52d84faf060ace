//! The members as one compressed archive: tar (ustar) in zstd.

use std::fs::File;
use std::io::{self, BufReader, Read, Write};
use std::path::Path;

use thiserror::Error;

use super::hashing::Hashing;
use super::manifest::{Manifest, MemberEntry};
use super::member_name::MemberName;
use super::open_error::OpenPackageError;
use super::staging;

const COMPRESSION_LEVEL: i32 = 3;

/// The window of level 3 is 2^21 bytes; an archive that asks for more memory is refused.
const WINDOW_LOG2: u32 = 21;

const BLOCK_BYTES: u64 = 512;

/// Packs members one after the other.
pub(super) struct ArchiveWriter<Output: Write> {
    tar: tar::Builder<zstd::Encoder<'static, Output>>,
}

impl<Output: Write> ArchiveWriter<Output> {
    pub(super) fn new(output: Output) -> io::Result<Self> {
        let mut compressed = zstd::Encoder::new(output, COMPRESSION_LEVEL)?;
        compressed.window_log(WINDOW_LOG2)?;
        Ok(Self { tar: tar::Builder::new(compressed) })
    }

    /// Packs exactly `n_bytes` of `content`, the first if it has more; gives `None` if it has fewer.
    pub(super) fn append(
        &mut self,
        name: &MemberName,
        n_bytes: u64,
        content: impl Read,
    ) -> Result<Option<MemberEntry>, CopyError> {
        // No owner, no time: an archive tells nothing about the computer that made it.
        let mut header = tar::Header::new_ustar();
        header.set_path(name.as_str()).map_err(CopyError::Write)?;
        header.set_mode(0o600);
        header.set_mtime(0);
        header.set_size(n_bytes);
        header.set_cksum();
        let mut content = Watched { inner: Hashing::new(content.take(n_bytes)), failed: false };
        let appended = self.tar.append(&header, &mut content);
        appended.map_err(if content.failed { CopyError::Read } else { CopyError::Write })?;
        let (_, digest, n_packed) = content.inner.finish();
        let entry = MemberEntry { name: name.clone(), n_bytes, digest };
        Ok((n_packed == n_bytes).then_some(entry))
    }

    pub(super) fn finish(self) -> io::Result<Output> {
        self.tar.into_inner()?.finish()
    }
}

/// Tells afterwards whether it was the reading that failed.
struct Watched<Inner> {
    inner: Inner,
    failed: bool,
}

impl<Inner: Read> Read for Watched<Inner> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.inner.read(buffer);
        self.failed = read.is_err();
        read
    }
}

/// Unpacks the members of `manifest` from `archive` into `folder`, each into a file of its name.
///
/// The archive must hold exactly the declared members, in order, as plain files, and nothing after
/// them. An entry that differs is found before a byte of it is written.
pub(super) fn unpack(
    archive: impl Read,
    manifest: &Manifest,
    folder: &Path,
) -> Result<(), OpenPackageError> {
    let declared_bytes = archive_bytes(manifest);
    let mut unpacked = zstd::Decoder::new(archive).map_err(OpenPackageError::Archive)?;
    unpacked.window_log_max(WINDOW_LOG2).map_err(OpenPackageError::Archive)?;
    let refused = |error| refusal(error, declared_bytes);
    let bounded = Bounded { inner: BufReader::new(unpacked), left_bytes: declared_bytes };
    let mut tar = tar::Archive::new(bounded);
    let mut declared = manifest.members.iter();
    // Raw entries: long names, links and other extensions come as entries, and are refused as such.
    for entry in tar.entries().map_err(refused)?.raw(true) {
        let entry = entry.map_err(refused)?;
        let Some(member) = declared.next() else {
            return Err(undeclared(&entry, manifest));
        };
        unpack_entry(entry, member, manifest, folder, declared_bytes)?;
    }
    if let Some(member) = declared.next() {
        return Err(OpenPackageError::MissingMember { name: member.name.clone() });
    }
    let mut rest = tar.into_inner();
    io::copy(&mut rest, &mut io::sink()).map_err(refused)?;
    if rest.left_bytes != 0 {
        return Err(OpenPackageError::Archive(io::ErrorKind::UnexpectedEof.into()));
    }
    Ok(())
}

fn unpack_entry(
    entry: tar::Entry<'_, impl Read>,
    member: &MemberEntry,
    manifest: &Manifest,
    folder: &Path,
    declared_bytes: u64,
) -> Result<(), OpenPackageError> {
    let header = entry.header();
    if entry.path_bytes() != member.name.as_str().as_bytes() {
        return Err(missing_or_undeclared(&entry, member, manifest));
    }
    if header.entry_type() != tar::EntryType::Regular {
        return Err(OpenPackageError::UndeclaredMember);
    }
    let other = || OpenPackageError::OtherMember { name: member.name.clone() };
    if header.entry_size().ok() != Some(member.n_bytes) {
        return Err(other());
    }
    let staging = |step| move |source| OpenPackageError::Staging { step, source };
    let path = folder.join(member.name.as_str());
    let mut file = staging::create(&path).map_err(staging("write"))?;
    let mut content = Hashing::new(entry);
    copy(&mut content, &mut file).map_err(|error| match error {
        CopyError::Read(source) => refusal(source, declared_bytes),
        CopyError::Write(source) => staging("write")(source),
    })?;
    let (_, digest, n_bytes) = content.finish();
    if (n_bytes, digest) == (member.n_bytes, member.digest) { Ok(()) } else { Err(other()) }
}

/// An entry after the last declared one.
fn undeclared(entry: &tar::Entry<'_, impl Read>, manifest: &Manifest) -> OpenPackageError {
    match named(entry, manifest) {
        Some(member) => OpenPackageError::DuplicateMember { name: member.name.clone() },
        None => OpenPackageError::UndeclaredMember,
    }
}

/// An entry of another name than the next declared one.
fn missing_or_undeclared(
    entry: &tar::Entry<'_, impl Read>,
    expected: &MemberEntry,
    manifest: &Manifest,
) -> OpenPackageError {
    let position = |member: &MemberEntry| manifest.members.iter().position(|m| m == member);
    match named(entry, manifest) {
        None => OpenPackageError::UndeclaredMember,
        Some(member) if position(member) < position(expected) => {
            OpenPackageError::DuplicateMember { name: member.name.clone() }
        }
        Some(_) => OpenPackageError::MissingMember { name: expected.name.clone() },
    }
}

fn named<'a>(entry: &tar::Entry<'_, impl Read>, manifest: &'a Manifest) -> Option<&'a MemberEntry> {
    let path = entry.path_bytes();
    manifest.members.iter().find(|member| member.name.as_str().as_bytes() == &*path)
}

/// What the declared members take as an archive: a block each for header and end, data in blocks.
fn archive_bytes(manifest: &Manifest) -> u64 {
    let blocks = |n_bytes: u64| BLOCK_BYTES + n_bytes.div_ceil(BLOCK_BYTES) * BLOCK_BYTES;
    manifest.members.iter().map(|member| blocks(member.n_bytes)).sum::<u64>() + 2 * BLOCK_BYTES
}

/// Lets no more than `left_bytes` pass; what comes after them is an error, not an end.
struct Bounded<Inner> {
    inner: Inner,
    left_bytes: u64,
}

#[derive(Debug, Error)]
#[error("the archive goes on after its declared end")]
struct GoesOn;

impl<Inner: Read> Read for Bounded<Inner> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if buffer.is_empty() {
            return Ok(0);
        }
        if self.left_bytes == 0 {
            return match self.inner.read(&mut [0])? {
                0 => Ok(0),
                _ => Err(io::Error::other(GoesOn)),
            };
        }
        let n_wanted =
            usize::try_from(self.left_bytes).map_or(buffer.len(), |n| n.min(buffer.len()));
        let n_read = self.inner.read(&mut buffer[..n_wanted])?;
        self.left_bytes -= n_read as u64;
        Ok(n_read)
    }
}

fn refusal(error: io::Error, declared_bytes: u64) -> OpenPackageError {
    if error.get_ref().and_then(|inner| inner.downcast_ref::<GoesOn>()).is_some() {
        OpenPackageError::Overflowing { declared_bytes }
    } else {
        OpenPackageError::Archive(error)
    }
}

/// Which end of a copy failed.
#[derive(Debug)]
pub(super) enum CopyError {
    /// What it was read from.
    Read(io::Error),
    /// What it was written to.
    Write(io::Error),
}

/// Copies all that is left, telling which end failed.
pub(super) fn copy(from: &mut impl Read, to: &mut File) -> Result<u64, CopyError> {
    let mut buffer = vec![0; 64 * 1024];
    let mut n_bytes = 0;
    loop {
        match from.read(&mut buffer) {
            Ok(0) => return Ok(n_bytes),
            Ok(n_read) => {
                to.write_all(&buffer[..n_read]).map_err(CopyError::Write)?;
                n_bytes += n_read as u64;
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(CopyError::Read(error)),
        }
    }
}
