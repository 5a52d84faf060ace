//! Opening a trial file: its bytes are judged before the HDF5 library sees them.

use std::fs::{self, File};
use std::io::{self, BufReader, Read};
use std::path::Path;

use thiserror::Error;

use super::apart::ApartError;
use super::digest::{self, Digest, DigestError};
use super::layout::MAX_FILE_BYTES;
use super::read::{self, ReadTrialError};
use crate::stored_trial::{StoredTrial, TrialFacts};

/// Why a trial file was not opened.
#[derive(Debug, Error)]
pub enum OpenTrialError {
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
    TooLarge {
        /// How many bytes it has.
        n_bytes: u64,
        /// How many it may have.
        limit_bytes: u64,
    },
    /// Its bytes are not those that were sealed, or it is no trial file.
    #[error(transparent)]
    Digest(#[from] DigestError),
    /// Its content is whole, but not a trial this program can use.
    #[error(transparent)]
    Content(#[from] ReadTrialError),
    /// It was read in a process of its own, which did not come back with a trial.
    #[error(transparent)]
    Apart(#[from] ApartError),
}

impl OpenTrialError {
    /// Whether the file got as far as the HDF5 library.
    pub(super) const fn is_of_content(&self) -> bool {
        matches!(self, Self::Content(_))
    }
}

/// What can be told of a trial file without reading its samples.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialOutline {
    /// What is known of the trial.
    pub facts: TrialFacts,
    /// How many samples it has.
    pub n_samples: usize,
    /// Digest of the file's content.
    pub digest: Digest,
}

/// Reads a whole trial file.
///
/// # Errors
/// [`OpenTrialError`]: a file that is missing, too large, damaged, cut short, of a newer version or
/// no trial file. A trial is given only if every byte is as it was sealed.
pub fn open(path: &Path) -> Result<StoredTrial, OpenTrialError> {
    open_with_digest(path).map(|(trial, _)| trial)
}

/// Reads a whole trial file, and gives its digest beside it.
///
/// # Errors
/// As [`open`].
pub fn open_with_digest(path: &Path) -> Result<(StoredTrial, Digest), OpenTrialError> {
    let (file, n_bytes) = whole(path)?;
    let mut bytes = Vec::with_capacity(usize::try_from(n_bytes).unwrap_or(0));
    file.take(n_bytes).read_to_end(&mut bytes).map_err(OpenTrialError::Unreadable)?;
    let digest = digest::verify(&bytes[..])?;
    Ok((read::trial(path, &bytes)?, digest))
}

/// Reads a trial file's facts, its length and its digest, which is checked.
///
/// # Errors
/// As [`open`].
pub fn outline(path: &Path) -> Result<TrialOutline, OpenTrialError> {
    let digest = digest::verify(BufReader::new(whole(path)?.0))?;
    let (facts, n_samples) = read::outline(path)?;
    Ok(TrialOutline { facts, n_samples, digest })
}

/// The digest of the trial file at `path`, which is checked; the HDF5 library sees nothing of it.
///
/// # Errors
/// [`OpenTrialError`], but none of content.
pub(crate) fn digest_alone(path: &Path) -> Result<Digest, OpenTrialError> {
    Ok(digest::verify(BufReader::new(whole(path)?.0))?)
}

/// How many bytes the file at `path` has: not more than the limit.
pub(super) fn size(path: &Path) -> Result<u64, OpenTrialError> {
    // Asked before it is opened: a pipe by this name would be waited for.
    let about = fs::metadata(path).map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => OpenTrialError::Missing,
        _ => OpenTrialError::Unreadable(source),
    })?;
    if !about.is_file() {
        return Err(OpenTrialError::NotAFile);
    }
    if MAX_FILE_BYTES < about.len() {
        let (n_bytes, limit_bytes) = (about.len(), MAX_FILE_BYTES);
        return Err(OpenTrialError::TooLarge { n_bytes, limit_bytes });
    }
    Ok(about.len())
}

/// The file at `path`, and how many bytes it has: not more than the limit.
fn whole(path: &Path) -> Result<(File, u64), OpenTrialError> {
    let n_bytes = size(path)?;
    Ok((File::open(path).map_err(OpenTrialError::Unreadable)?, n_bytes))
}
