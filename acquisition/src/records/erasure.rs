//! One person's data erased as a whole, with a record that it was done.

use std::fs;
use std::io;
use std::path::PathBuf;

use analysis::PersonCode;
use rusqlite::{Connection, TransactionBehavior, params};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::columns::{parsed, wall_time};
use super::database::{Records, RecordsError, write_whole};
use crate::library::{Library, LibraryError, TrialFilter};
use crate::trial_file::TrialReader;
use crate::wall_time::WallTime;

/// Name of the plain file that keeps the record of erasures beside the database.
const ERASURES_NAME: &str = "erasures.json";

/// That a person's data were erased. The code stays; what it stood for does not.
#[derive(Debug, Clone, PartialEq)]
pub struct ErasureRecord {
    /// Whose data.
    pub person: PersonCode,
    /// Who erased them.
    pub author: String,
    /// When it was begun.
    pub begun: WallTime,
    /// How many trial files there were.
    pub n_trials: usize,
    /// Whether all of it is gone; false after an interruption, until it is done again.
    pub finished: bool,
}

/// Why a person's data are not, or not wholly, erased; doing it again goes on where it stopped.
#[derive(Debug, Error)]
pub enum EraseError {
    /// The records refuse.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The trial files cannot be listed.
    #[error(transparent)]
    Library(#[from] LibraryError),
    /// A file cannot be removed.
    #[error("cannot remove {}", path.display())]
    Remove {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A trial file that cannot be read may be this person's; nobody can tell.
    #[error("{} cannot be read, so nobody can tell whose it is; move it away first", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
    },
}

impl Records {
    /// Erases everything of one person: trial files, the plain file, and all rows of the database.
    ///
    /// Rows are overwritten with zeros, the log is emptied and the file compacted. What backups,
    /// packages sent out and the disk itself still hold is beyond this program.
    ///
    /// # Errors
    /// [`EraseError`]. The record of the erasure is made first, in the database and in its plain file,
    /// and says whether it was finished. A crash between the two leaves the plain file ahead: it says
    /// begun where nothing was removed yet, or finished where all but the rows is gone, which erasing
    /// again, or [`rebuild`](super::rebuild) without the person's files, makes true.
    pub fn erase(
        &mut self,
        person: &PersonCode,
        author: &str,
        reader: &TrialReader,
        now: WallTime,
    ) -> Result<ErasureRecord, EraseError> {
        let filter = TrialFilter { person: Some(person.clone()), condition: None };
        let listing = self.library.list(&filter, reader)?;
        if let Some((path, _)) = listing.refused.into_iter().next() {
            return Err(EraseError::Unreadable { path });
        }
        let n_trials = listing.trials.len();
        let record = ErasureRecord {
            person: person.clone(),
            author: author.to_owned(),
            begun: now,
            n_trials,
            finished: false,
        };
        self.begin_erasure(&record)?;
        let files = listing.trials.into_iter().map(|trial| trial.path);
        for path in files.chain([self.person_file(person)]) {
            remove(path)?;
        }
        // Or a power cut could bring back a file whose trial the records have forgotten.
        let trials = self.library.trials_folder();
        fs::File::open(&trials)
            .and_then(|folder| folder.sync_all())
            .map_err(|source| EraseError::Remove { path: trials, source })?;
        self.erase_rows(person)?;
        Ok(ErasureRecord { finished: true, ..record })
    }

    /// Every erasure that was begun, the earliest first.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn erasures(&self) -> Result<Vec<ErasureRecord>, RecordsError> {
        all(&self.connection)
    }

    /// Records that an erasure has begun, before anything is removed.
    fn begin_erasure(&mut self, record: &ErasureRecord) -> Result<(), RecordsError> {
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        insert(&transaction, record)?;
        write_erasures(&transaction, &self.library)?;
        Ok(transaction.commit()?)
    }

    fn erase_rows(&mut self, person: &PersonCode) -> Result<(), RecordsError> {
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction.execute("DELETE FROM people WHERE code = ?1", [person.as_str()])?;
        // Those of earlier attempts too: what they began is finished.
        transaction
            .execute("UPDATE erasures SET finished = 1 WHERE person = ?1", [person.as_str()])?;
        write_erasures(&transaction, &self.library)?;
        transaction.commit()?;
        Ok(self.connection.execute_batch("VACUUM; PRAGMA wal_checkpoint(TRUNCATE);")?)
    }
}

/// Writes the plain file of erasures, just before the commit of what it says: as with a person's
/// plain file, either both are there after a crash or the file alone is ahead.
fn write_erasures(connection: &Connection, library: &Library) -> Result<(), RecordsError> {
    let path = library.folder().join(ERASURES_NAME);
    let shapes: Vec<ErasureShape> = all(connection)?.into_iter().map(ErasureShape::from).collect();
    let text = serde_json::to_string_pretty(&shapes).expect("text and numbers");
    write_whole(&path, text.as_bytes()).map_err(|source| RecordsError::Export { path, source })
}

fn all(connection: &Connection) -> Result<Vec<ErasureRecord>, RecordsError> {
    let mut query = connection.prepare_cached("SELECT * FROM erasures ORDER BY key")?;
    let rows = query.query_map([], |row| {
        Ok(ErasureRecord {
            person: parsed(row, "person")?,
            author: row.get("author")?,
            begun: wall_time(row, "begun")?,
            n_trials: row.get::<_, u32>("n_trials")? as usize,
            finished: row.get("finished")?,
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn insert(connection: &Connection, record: &ErasureRecord) -> rusqlite::Result<()> {
    connection.execute(
        "INSERT INTO erasures VALUES (NULL, ?1, ?2, ?3, ?4, ?5, ?6)",
        params![
            record.person.as_str(),
            record.author,
            record.begun.unix_us,
            record.begun.offset_s,
            i64::try_from(record.n_trials).unwrap_or(i64::MAX),
            record.finished,
        ],
    )?;
    Ok(())
}

fn remove(path: PathBuf) -> Result<(), EraseError> {
    match fs::remove_file(&path) {
        Err(source) if source.kind() != io::ErrorKind::NotFound => {
            Err(EraseError::Remove { path, source })
        }
        _ => Ok(()),
    }
}

/// Reads the plain file of erasures back into a database that knows none; a file that cannot be
/// used is left as it is.
pub(super) fn restore(records: &Records) -> Result<(), RecordsError> {
    let path = records.library.folder().join(ERASURES_NAME);
    let Ok(text) = fs::read_to_string(&path) else { return Ok(()) };
    let Ok(shapes) = serde_json::from_str::<Vec<ErasureShape>>(&text) else { return Ok(()) };
    for shape in shapes {
        if let Some(record) = shape.into_record() {
            insert(&records.connection, &record)?;
        }
    }
    Ok(())
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ErasureShape {
    person: String,
    author: String,
    begun: String,
    trials: usize,
    finished: bool,
}

impl From<ErasureRecord> for ErasureShape {
    fn from(record: ErasureRecord) -> Self {
        Self {
            person: record.person.to_string(),
            author: record.author,
            begun: record.begun.to_string(),
            trials: record.n_trials,
            finished: record.finished,
        }
    }
}

impl ErasureShape {
    fn into_record(self) -> Option<ErasureRecord> {
        Some(ErasureRecord {
            person: self.person.parse().ok()?,
            author: self.author,
            begun: self.begun.parse().ok()?,
            n_trials: self.trials,
            finished: self.finished,
        })
    }
}
