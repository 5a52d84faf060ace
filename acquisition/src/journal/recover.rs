//! From journals to sealed trials: at the end of a trial, and at the next start after a crash.

use std::fs::{self, File, TryLockError};
use std::io::{self, BufReader};
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::contents::{Contents, ReadJournalError};
use super::folder::sync_folder;
use super::{DAMAGED_EXTENSION, EXTENSION, UNBORN_EXTENSION};
use crate::stored_trial::StoredTrial;
use crate::trial_file::{self, SealError};

/// An unreadable rest longer than this is more than the last moments of a crash: 0.2 s at 1000
/// frames a second are 7 kB.
const LAST_MOMENTS_BYTES: u64 = 64 * 1024;

/// A journal that could be read, held so that nobody else seals it meanwhile.
#[derive(Debug)]
pub struct Recovered {
    /// The trial, computed from the journal alone.
    pub trial: StoredTrial,
    /// Whether the journal had been brought to its end, so that nothing is missing.
    pub complete: bool,
    /// Bytes after the last whole block, which could not be used.
    pub n_lost_bytes: u64,
    path: PathBuf,
    file: File,
}

/// What became of a journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealedJournal {
    /// The trial file; `None` if the journal held not a single frame.
    pub trial_file: Option<PathBuf>,
    /// The journal, if it was kept because more than its last moments could not be read.
    pub kept_journal: Option<PathBuf>,
}

/// A journal that could not be recovered. It is left as it is.
#[derive(Debug, Error)]
pub enum RecoverError {
    /// Somebody is writing or sealing it.
    #[error("the journal {path:?} is in use")]
    InUse {
        /// The journal.
        path: PathBuf,
    },
    /// It could not be opened.
    #[error("the journal {path:?} cannot be opened")]
    Open {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Nothing of it can be used.
    #[error("nothing of the journal {path:?} can be used")]
    Read {
        /// The journal.
        path: PathBuf,
        /// Why.
        source: ReadJournalError,
    },
}

/// A recovered trial that could not be sealed. Its journal is left as it is.
#[derive(Debug, Error)]
pub enum SealJournalError {
    /// The journal could not be recovered.
    #[error(transparent)]
    Recover(#[from] RecoverError),
    /// The trial file could not be written.
    #[error("the trial in {path:?} cannot be sealed")]
    Seal {
        /// The journal.
        path: PathBuf,
        /// Why.
        source: SealError,
    },
    /// The trial is sealed, but its journal could not be put away; sealing again is harmless.
    #[error("the trial is sealed, but its journal {path:?} cannot be removed")]
    Remove {
        /// The journal.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// Reads every journal in `folder`, in order of their names; removes what never became one.
///
/// # Errors
/// The system's error if the folder cannot be listed. A folder that does not exist holds none.
pub fn recover_all(folder: &Path) -> io::Result<Vec<Result<Recovered, RecoverError>>> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut paths = entries.map(|entry| Ok(entry?.path())).collect::<io::Result<Vec<_>>>()?;
    paths.sort();
    let mut recovered = Vec::new();
    for path in paths {
        let has_extension = |wanted| path.extension().is_some_and(|found| found == wanted);
        if has_extension(EXTENSION) {
            recovered.push(recover(&path));
        } else if has_extension(UNBORN_EXTENSION) {
            recovered.extend(recover_unborn(&path)?);
        }
    }
    Ok(recovered)
}

/// Reads one journal up to its first block that does not check, and holds it.
///
/// # Errors
/// [`RecoverError`] if it is in use, cannot be opened, or does not say whose trial it is.
pub fn recover(path: &Path) -> Result<Recovered, RecoverError> {
    let open = |source| RecoverError::Open { path: path.to_owned(), source };
    let file = File::open(path).map_err(open)?;
    file.try_lock().map_err(|error| match error {
        TryLockError::WouldBlock => RecoverError::InUse { path: path.to_owned() },
        TryLockError::Error(source) => open(source),
    })?;
    // Between opening and locking another program may have sealed and removed it.
    if !path.try_exists().map_err(open)? {
        return Err(open(io::ErrorKind::NotFound.into()));
    }
    let n_bytes = file.metadata().map_err(open)?.len();
    let contents = Contents::read(BufReader::new(&file))
        .map_err(|source| RecoverError::Read { path: path.to_owned(), source })?;
    Ok(Recovered {
        complete: contents.ended.is_some(),
        n_lost_bytes: n_bytes.saturating_sub(contents.n_good_bytes),
        trial: contents.into_trial(),
        path: path.to_owned(),
        file,
    })
}

/// Recovers one journal and seals it in `folder`: what follows a trial that has just ended.
///
/// # Errors
/// [`SealJournalError`]; the journal is still there then, and sealing again is harmless.
pub fn seal(path: &Path, folder: &Path) -> Result<SealedJournal, SealJournalError> {
    recover(path)?.seal(folder)
}

impl Recovered {
    /// The journal.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes the trial into its own file in `folder`, and only then removes the journal.
    ///
    /// # Errors
    /// [`SealJournalError`]; the journal is still there then, and sealing again is harmless.
    pub fn seal(self, folder: &Path) -> Result<SealedJournal, SealJournalError> {
        let Self { trial, n_lost_bytes, path, file, .. } = self;
        let trial_file = seal_once(&trial, folder)
            .map_err(|source| SealJournalError::Seal { path: path.clone(), source })?;
        let kept_journal = put_away(&path, n_lost_bytes)
            .map_err(|source| SealJournalError::Remove { path, source })?;
        drop(file);
        Ok(SealedJournal { trial_file, kept_journal })
    }
}

/// Seals the trial, unless a crash came between sealing it and removing its journal.
fn seal_once(trial: &StoredTrial, folder: &Path) -> Result<Option<PathBuf>, SealError> {
    if trial.samples.n_samples() == 0 {
        return Ok(None);
    }
    match trial_file::seal(trial, folder) {
        Ok(path) => Ok(Some(path)),
        Err(SealError::AlreadySealed { path }) => {
            let sealed = trial_file::open(&path).map_err(Box::new)?;
            let same = sealed.facts == trial.facts
                && sealed.samples.sequence == trial.samples.sequence
                && sealed.samples.raw == trial.samples.raw;
            if same { Ok(Some(path)) } else { Err(SealError::AlreadySealed { path }) }
        }
        Err(error) => Err(error),
    }
}

fn put_away(path: &Path, n_lost_bytes: u64) -> io::Result<Option<PathBuf>> {
    let kept = if n_lost_bytes <= LAST_MOMENTS_BYTES {
        fs::remove_file(path)?;
        None
    } else {
        let kept = path.with_extension(DAMAGED_EXTENSION);
        fs::rename(path, &kept)?;
        Some(kept)
    };
    sync_folder(path.parent().unwrap_or(Path::new(".")))?;
    Ok(kept)
}

/// Reads a journal that had not got its name. After a kill all of it is there; after a power cut
/// perhaps nothing, and then it is removed.
fn recover_unborn(path: &Path) -> io::Result<Option<Result<Recovered, RecoverError>>> {
    match recover(path) {
        Err(RecoverError::Read {
            source: ReadJournalError::NotAJournal | ReadJournalError::HeadDamaged,
            ..
        }) => remove_unborn(path).map(|()| None),
        // It has just got its name: somebody is recording.
        Err(RecoverError::Open { source, .. }) if source.kind() == io::ErrorKind::NotFound => {
            Ok(None)
        }
        outcome => Ok(Some(outcome)),
    }
}

/// Removes a file that never became a journal, unless somebody is just making it one.
fn remove_unborn(path: &Path) -> io::Result<()> {
    match File::open(path) {
        Ok(file) if file.try_lock().is_ok() => fs::remove_file(path),
        Ok(_) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(error),
    }
}
