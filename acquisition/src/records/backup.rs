//! A copy of everything, which can itself be opened.

use std::fs::{self, DirBuilder};
use std::io;
use std::os::unix::fs::{DirBuilderExt as _, PermissionsExt as _};
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::database::{DATABASE_NAME, PEOPLE_NAME, Records, RecordsError};
use crate::library::{Library, LibraryError};

/// What was copied.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BackupReport {
    /// Trial files.
    pub n_trials: usize,
    /// Plain files of people.
    pub n_people: usize,
}

/// Why a backup was not made; what was copied until then is left in its folder.
#[derive(Debug, Error)]
pub enum BackupError {
    /// Backups do not overwrite.
    #[error("{} is there already; a backup needs a new folder", folder.display())]
    Exists {
        /// The folder.
        folder: PathBuf,
    },
    /// The records refuse.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The new folder cannot be made, or the trial files cannot be listed.
    #[error(transparent)]
    Library(#[from] LibraryError),
    /// A file cannot be copied.
    #[error("cannot copy {}", path.display())]
    Copy {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl Records {
    /// Copies the records, the plain files and all trial files into the new folder `to`, which is
    /// then a data folder of its own, for the owner alone.
    ///
    /// The database is copied as it is at one moment, whatever another program changes meanwhile.
    ///
    /// # Errors
    /// [`BackupError`]; nothing is ever overwritten.
    pub fn backup(&self, to: &Path) -> Result<BackupReport, BackupError> {
        if to.symlink_metadata().is_ok() {
            return Err(BackupError::Exists { folder: to.to_owned() });
        }
        let copy = Library::open(to)?;
        let people = to.join(PEOPLE_NAME);
        DirBuilder::new()
            .mode(0o700)
            .create(&people)
            .map_err(|source| BackupError::Copy { path: people.clone(), source })?;
        let mut report = BackupReport::default();
        // The database first: a trial sealed meanwhile is then a file it does not know yet, which
        // does no harm; a trial that it knows and that is not there would.
        self.copy_database(&to.join(DATABASE_NAME))?;
        for path in self.library.trial_files()? {
            copy_into(&path, &copy.trials_folder())?;
            report.n_trials += 1;
        }
        for person in self.people()? {
            copy_into(&self.person_file(&person.code), &people)?;
            report.n_people += 1;
        }
        Ok(report)
    }

    fn copy_database(&self, path: &Path) -> Result<(), BackupError> {
        let text = path.to_string_lossy();
        self.connection.execute("VACUUM INTO ?1", [&text]).map_err(RecordsError::from)?;
        fs::set_permissions(path, fs::Permissions::from_mode(0o600))
            .and_then(|()| fs::File::open(path)?.sync_all())
            .map_err(|source| BackupError::Copy { path: path.to_owned(), source })
    }
}

fn copy_into(path: &Path, folder: &Path) -> Result<(), BackupError> {
    let name = path.file_name().unwrap_or_default();
    let copied = folder.join(name);
    // Permissions are copied with the bytes.
    fs::copy(path, &copied)
        .and_then(|_| fs::File::open(&copied)?.sync_all())
        .map_err(|source| BackupError::Copy { path: path.to_owned(), source })
}
