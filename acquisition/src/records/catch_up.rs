//! What opening the records does first: what a kill or a power cut left undone is done.

use std::collections::HashSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use analysis::Analyser;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use thiserror::Error;
use uuid::Uuid;

use super::database::{
    BUSY_TIMEOUT, DATABASE_NAME, OpenRecordsError, PEOPLE_NAME, Records, RecordsError,
    UNFINISHED_PREFIX,
};
use super::trial_record::{IndexTrialError, TrialRecord};
use crate::library::{Library, LibraryError};
use crate::trial_file::{self, TrialReader};

/// What a start found to do.
#[derive(Debug, Default)]
pub struct CaughtUp {
    /// Sealed trials that the records did not know and now do.
    pub indexed: Vec<TrialRecord>,
    /// Files named as trials that the records do not know and cannot take; they are left alone.
    pub refused: Vec<(PathBuf, IndexTrialError)>,
}

/// Why the records could not be brought up to date; trying again at the next start is harmless.
#[derive(Debug, Error)]
pub enum CatchUpError {
    /// The records refuse.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The trial files cannot be listed.
    #[error(transparent)]
    Library(#[from] LibraryError),
    /// Files that were never finished cannot be removed.
    #[error("cannot remove what was left unfinished in {}", folder.display())]
    Unfinished {
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl Records {
    /// Opens the records of a library and brings them up to date with its trial files.
    ///
    /// Whoever only reads trial files need not: it looks at every file's name. Should it not work
    /// this time, the records open all the same, and what was in the way comes back beside them; the
    /// next start tries again.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn open_up_to_date(
        library: &Library,
        reader: &TrialReader,
    ) -> Result<(Self, Result<CaughtUp, CatchUpError>), OpenRecordsError> {
        let mut records = Self::open(library)?;
        let caught_up = records.catch_up(reader, &mut Analyser::new());
        Ok((records, caught_up))
    }

    /// Takes in sealed trials that the records do not know, and removes files that a kill or a power
    /// cut left half written.
    ///
    /// Names of files are compared with known ids; only files of unknown names are opened. They may
    /// be anybody's, so `reader` has a child read them. Nothing that another program is writing at this moment is touched.
    ///
    /// # Errors
    /// [`CatchUpError`]. A file that cannot be taken is no error: it is among those refused.
    pub fn catch_up(
        &mut self,
        reader: &TrialReader,
        analyser: &mut Analyser,
    ) -> Result<CaughtUp, CatchUpError> {
        let strangers = reader.distrusting();
        self.remove_unfinished()?;
        let known = self.known_ids()?;
        let mut caught_up = CaughtUp::default();
        for path in self.library.trial_files()? {
            let id = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
            // Another name is that of a copy, not of a trial that was just sealed.
            let Some(id) = id.filter(|id| Uuid::try_parse(id).is_ok()) else { continue };
            if known.contains(&id) {
                continue;
            }
            match self.index_read(&path, &strangers, analyser) {
                Ok(trial) => caught_up.indexed.push(trial),
                Err(error) => caught_up.refused.push((path, error)),
            }
        }
        Ok(caught_up)
    }

    fn known_ids(&self) -> Result<HashSet<String>, RecordsError> {
        Ok(ids(&self.connection)?)
    }

    fn remove_unfinished(&mut self) -> Result<(), CatchUpError> {
        let failed = |folder: &Path| {
            let folder = folder.to_owned();
            move |source| CatchUpError::Unfinished { folder, source }
        };
        let trials = self.library.trials_folder();
        trial_file::remove_unfinished(&trials).map_err(failed(&trials))?;
        let people = self.library.folder().join(PEOPLE_NAME);
        let unfinished =
            trial_file::files_with_prefix(&people, UNFINISHED_PREFIX).map_err(failed(&people))?;
        if unfinished.is_empty() {
            return Ok(());
        }
        // Plain files are written only by whoever holds this lock.
        let alone = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(RecordsError::from)?;
        for path in unfinished {
            match fs::remove_file(&path) {
                // Finished, and renamed, before the lock was ours.
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                removed => removed.map_err(failed(&people))?,
            }
        }
        Ok(alone.rollback().map_err(RecordsError::from)?)
    }
}

/// Ids of the trials that the records of a library know; none where there are no records, or they
/// cannot be read. Nothing is made or changed.
pub(crate) fn known_trials(library: &Library) -> HashSet<String> {
    let path = library.folder().join(DATABASE_NAME);
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Connection::open_with_flags(path, flags)
        .and_then(|connection| {
            connection.busy_timeout(BUSY_TIMEOUT)?;
            ids(&connection)
        })
        .unwrap_or_default()
}

fn ids(connection: &Connection) -> rusqlite::Result<HashSet<String>> {
    let mut query = connection.prepare("SELECT id FROM trials")?;
    query.query_map([], |row| row.get(0))?.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::new_trial_id;
    use crate::trial_file::tests::board_trial;

    #[test]
    fn a_start_takes_in_sealed_trials_and_leaves_nothing_half_written() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::open(folder.path()).unwrap();
        let mut records = Records::open(&library).unwrap();
        let mut analyser = Analyser::new();
        let mut trial = board_trial(50);
        let sealed: Vec<PathBuf> = (0..3)
            .map(|_| {
                trial.facts.id = new_trial_id();
                trial_file::seal(&trial, &library.trials_folder()).unwrap()
            })
            .collect();
        records.index_trial(&sealed[0], &mut analyser).unwrap();
        let people = folder.path().join(PEOPLE_NAME);
        let half = [
            library.trials_folder().join(".sealing-abc.h5"),
            people.join(format!("{UNFINISHED_PREFIX}abc")),
        ];
        for path in &half {
            fs::write(path, "half").unwrap();
        }
        let damaged = library.trial_path(&new_trial_id());
        fs::write(&damaged, "no trial").unwrap();
        fs::copy(&sealed[0], library.trials_folder().join("my copy.h5")).unwrap();

        let caught_up = records.catch_up(&TrialReader::here(), &mut analyser).unwrap();
        assert_eq!(caught_up.indexed.len(), 2);
        let [(refused, _)] = &caught_up.refused[..] else { panic!("{caught_up:?}") };
        assert_eq!(*refused, damaged);
        assert!(half.iter().all(|path| !path.exists()));
        assert_eq!(records.n_trials().unwrap(), 3);
        assert!(records.catch_up(&TrialReader::here(), &mut analyser).unwrap().indexed.is_empty());
    }

    #[test]
    fn what_somebody_is_writing_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::open(folder.path()).unwrap();
        let mut records = Records::open(&library).unwrap();
        let sealing = library.trials_folder().join(".sealing-abc.h5");
        fs::write(&sealing, "half").unwrap();
        let held = fs::File::open(library.trials_folder()).unwrap();
        held.lock_shared().unwrap();
        records.catch_up(&TrialReader::here(), &mut Analyser::new()).unwrap();
        assert!(sealing.exists());
        drop(held);
        records.catch_up(&TrialReader::here(), &mut Analyser::new()).unwrap();
        assert!(!sealing.exists());
    }
}
