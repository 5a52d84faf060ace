//! Sealing: a trial becomes a file that is never changed again.

use std::fs::{self, File, TryLockError};
use std::io::{self, Seek as _, SeekFrom, Write as _};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;
use thiserror::Error;

use super::consistency::{self, Inconsistent};
use super::digest::{self, BLOCK_BYTES};
use super::open::{self, OpenTrialError};
use super::write::write;
use crate::stored_trial::StoredTrial;

/// How names of files begin while they are being sealed.
const UNFINISHED_PREFIX: &str = ".sealing-";

/// Why a trial could not be sealed. Whatever was recorded is still where it was.
#[derive(Debug, Error)]
pub enum SealError {
    /// The trial contradicts itself.
    #[error("the trial cannot be sealed")]
    Inconsistent(#[from] Inconsistent),
    /// A text that is too long or holds a zero byte.
    #[error("the text of {what} must have no zero byte and at most {limit} bytes")]
    Text {
        /// Which text.
        what: &'static str,
        /// How many bytes it may have.
        limit: usize,
    },
    /// The trial is in the folder already; sealing again after a crash may treat this as done.
    #[error("the trial is sealed already: {}", path.display())]
    AlreadySealed {
        /// The file that holds it.
        path: PathBuf,
    },
    /// The HDF5 library could not write a part.
    #[error("cannot write {what}")]
    Write {
        /// Which part.
        what: &'static str,
        /// What the library said.
        source: hdf5::Error,
    },
    /// The file system refused.
    #[error("cannot {step} the trial file in {}", folder.display())]
    Folder {
        /// What was being done.
        step: &'static str,
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The written file could not be read back.
    #[error("the trial file cannot be read back")]
    ReadBack(#[from] Box<OpenTrialError>),
    /// The written file read back as something else.
    #[error("the trial file reads back differently")]
    Different,
}

/// The name of a trial's file: its id, which sorts by time.
pub fn file_name(id: &str) -> String {
    format!("{id}.h5")
}

/// Seals `trial` into `folder`, which must exist, and gives the path of the file.
///
/// The file is written beside its place under a name that begins with a dot, copied with its digest,
/// synced to disk, read back and compared, and only then renamed; the folder is synced last. Only
/// the owner may read it. Nothing is ever overwritten, and an error leaves nothing behind.
///
/// # Errors
/// [`SealError`]; `AlreadySealed` if the folder holds the trial's file.
pub fn seal(trial: &StoredTrial, folder: &Path) -> Result<PathBuf, SealError> {
    consistency::check(trial)?;
    let path = folder.join(file_name(&trial.facts.id));
    if path.symlink_metadata().is_ok() {
        return Err(SealError::AlreadySealed { path });
    }
    let refused = |step| {
        let folder = folder.to_owned();
        move |source| SealError::Folder { step, folder, source }
    };
    // Held until this returns, so that no start of another program takes the file for a left-over.
    let held = File::open(folder).map_err(refused("create"))?;
    held.lock_shared().map_err(refused("create"))?;
    let mut sealed = unfinished(folder).map_err(refused("create"))?;
    {
        // Two files: the library locks the one it writes, and a process that starts meanwhile
        // inherits it with its lock, for as long as it lives.
        let written = unfinished(folder).map_err(refused("create"))?;
        write_hdf5(written.path(), trial)?;
        complete(written.path(), sealed.as_file_mut()).map_err(refused("complete"))?;
    }
    let read_back = open::open(sealed.path()).map_err(Box::new)?;
    if !same(&read_back, trial) {
        return Err(SealError::Different);
    }
    sealed.persist_noclobber(&path).map_err(|failed| match failed.error.kind() {
        io::ErrorKind::AlreadyExists => SealError::AlreadySealed { path: path.clone() },
        _ => refused("name")(failed.error),
    })?;
    held.sync_all().map_err(refused("sync"))?;
    Ok(path)
}

/// A file with permissions for the owner alone, that removes itself unless it is given its name.
fn unfinished(folder: &Path) -> io::Result<NamedTempFile> {
    tempfile::Builder::new().prefix(UNFINISHED_PREFIX).suffix(".h5").tempfile_in(folder)
}

/// Removes what a kill or a power cut left half sealed in `folder`, unless somebody is sealing there.
pub(crate) fn remove_unfinished(folder: &Path) -> io::Result<()> {
    if files_with_prefix(folder, UNFINISHED_PREFIX)?.is_empty() {
        return Ok(());
    }
    let alone = File::open(folder)?;
    match alone.try_lock() {
        Ok(()) => {
            files_with_prefix(folder, UNFINISHED_PREFIX)?.into_iter().try_for_each(fs::remove_file)
        }
        Err(TryLockError::WouldBlock) => Ok(()),
        Err(TryLockError::Error(error)) => Err(error),
    }
}

/// Files of a folder whose names begin with `prefix`.
pub(crate) fn files_with_prefix(folder: &Path, prefix: &str) -> io::Result<Vec<PathBuf>> {
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        if entry.file_name().as_encoded_bytes().starts_with(prefix.as_bytes()) {
            paths.push(entry.path());
        }
    }
    Ok(paths)
}

fn write_hdf5(path: &Path, trial: &StoredTrial) -> Result<(), SealError> {
    let library = |source| SealError::Write { what: "the file", source };
    let file = hdf5::File::with_options()
        .with_fapl(|access| access.libver_v110())
        .with_fcpl(|create| create.userblock(BLOCK_BYTES as u64).obj_track_times(false))
        .create(path)
        .map_err(library)?;
    write(&file, trial)?;
    file.flush().and_then(|()| file.close()).map_err(library)
}

/// Copies the file at `written` with its digest in front, and has everything on disk before it returns.
pub(super) fn complete(written: &Path, sealed: &mut File) -> io::Result<()> {
    let mut content = File::open(written)?;
    content.seek(SeekFrom::Start(BLOCK_BYTES as u64))?;
    sealed.write_all(&[0; BLOCK_BYTES])?;
    let (digest, n_bytes) = digest::copy(content, &mut *sealed)?;
    sealed.seek(SeekFrom::Start(0))?;
    sealed.write_all(&digest::block(digest, n_bytes))?;
    sealed.sync_all()
}

/// Equal bit for bit; forces may hold values that are not numbers, which never equal themselves.
fn same(a: &StoredTrial, b: &StoredTrial) -> bool {
    let bits = |trial: &StoredTrial| -> Option<Vec<[u64; 4]>> {
        let forces = trial.samples.forces_newtons.as_ref()?;
        Some(forces.iter().map(|corners| corners.map(f64::to_bits)).collect())
    };
    a.facts == b.facts
        && a.origin == b.origin
        && a.samples.time_us == b.samples.time_us
        && a.samples.sequence == b.samples.sequence
        && a.samples.raw == b.samples.raw
        && a.samples.cop == b.samples.cop
        && bits(a) == bits(b)
}
