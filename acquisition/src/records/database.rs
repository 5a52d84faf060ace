//! Opening the records, and the one way in which they change.

use std::fs::{self, DirBuilder, OpenOptions};
use std::io;
use std::os::unix::fs::{DirBuilderExt as _, OpenOptionsExt as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

use analysis::PersonCode;
use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};
use thiserror::Error;

use super::migrations::{MigrateError, migrate, recognise};
use super::person_file::{self, BadPersonFile};
use super::plan::BadPlan;
use crate::exchange::KeyRingError;
use crate::library::Library;

/// Name of the database in the data folder.
pub(super) const DATABASE_NAME: &str = "records.sqlite";

/// Name of the folder with one plain file a person.
pub(super) const PEOPLE_NAME: &str = "people";

/// How names of plain files begin until they are whole.
pub(super) const UNFINISHED_PREFIX: &str = ".writing-";

/// How long a change waits for another program's, at most; a change takes milliseconds.
pub(super) const BUSY_TIMEOUT: Duration = Duration::from_secs(5);

/// The records of one data folder.
#[derive(Debug)]
pub struct Records {
    pub(super) connection: Connection,
    pub(super) library: Library,
}

/// Why records cannot be opened.
#[derive(Debug, Error)]
pub enum OpenRecordsError {
    /// The file or its folder cannot be made or opened.
    #[error("cannot {step} {}", path.display())]
    File {
        /// What was being done.
        step: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// There are people's plain files, but no database: a new one would overwrite them.
    #[error("there are files of people, but no records; rebuild the records first")]
    RebuildFirst,
    /// The file is not a database, or one that is damaged at its beginning.
    #[error("the records are no database")]
    NotADatabase,
    /// SQLite refuses.
    #[error("the records cannot be opened")]
    Sqlite(#[from] rusqlite::Error),
    /// The schema is not this program's.
    #[error("the records cannot be used")]
    Migrate(#[from] MigrateError),
}

/// Why the records could not be read or changed; a change that fails changes nothing.
#[derive(Debug, Error)]
pub enum RecordsError {
    /// SQLite refuses: a full disk, a damaged file, or a value the schema does not admit.
    #[error("the records refuse")]
    Sqlite(#[from] rusqlite::Error),
    /// There is no such person.
    #[error("there is no person {person}")]
    UnknownPerson {
        /// The code.
        person: PersonCode,
    },
    /// A session of someone else.
    #[error("session {session:?} belongs to another person than {person}")]
    OtherPerson {
        /// The session.
        session: String,
        /// The person it was said to belong to.
        person: PersonCode,
    },
    /// A plan that is no plan.
    #[error(transparent)]
    Plan(#[from] BadPlan),
    /// A version that does not follow the last one.
    #[error("the plan should have version {expected}, not {version}")]
    PlanVersion {
        /// The version offered.
        version: u32,
        /// The version that comes next.
        expected: u32,
    },
    /// A document that is kept cannot be read again.
    #[error(transparent)]
    PersonFile(#[from] BadPersonFile),
    /// This is a home's data folder: plans, decisions and sessions in clinic are the clinic's.
    #[error("this data folder is a home's; plans and decisions come from the clinic")]
    ClinicOnly,
    /// Whether it is a home's cannot be told.
    #[error(transparent)]
    Keys(#[from] Box<KeyRingError>),
    /// The plain file beside the records cannot be written.
    #[error("cannot write {}", path.display())]
    Export {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl Records {
    /// The records in the library's folder; made, for the owner alone, if there are none.
    ///
    /// # Errors
    /// [`OpenRecordsError`]; a database of another program or of a later version is left alone.
    pub fn open(library: &Library) -> Result<Self, OpenRecordsError> {
        let path = library.folder().join(DATABASE_NAME);
        let is_new = fs::metadata(&path).map_or(true, |about| about.len() == 0);
        if is_new && !person_file::list(library).is_ok_and(|paths| paths.is_empty()) {
            return Err(OpenRecordsError::RebuildFirst);
        }
        Self::open_at(library, &path)
    }

    pub(super) fn open_at(library: &Library, path: &Path) -> Result<Self, OpenRecordsError> {
        let failed = |step, path: &Path| {
            let path = path.to_owned();
            move |source| OpenRecordsError::File { step, path, source }
        };
        let people = library.folder().join(PEOPLE_NAME);
        DirBuilder::new()
            .recursive(true)
            .mode(0o700)
            .create(&people)
            .map_err(failed("make", &people))?;
        // Made here and not by SQLite, for its permissions; files beside it take them over.
        OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .mode(0o600)
            .open(path)
            .map_err(failed("open", path))?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut connection = Connection::open_with_flags(path, flags)?;
        connection.busy_timeout(BUSY_TIMEOUT)?;
        // Before anything is settled: settling already writes to the file.
        recognise(&connection).map_err(|error| match error {
            MigrateError::Unreadable(source)
                if source.sqlite_error_code() == Some(ErrorCode::NotADatabase) =>
            {
                OpenRecordsError::NotADatabase
            }
            error => OpenRecordsError::Migrate(error),
        })?;
        settle(&connection)?;
        migrate(&mut connection)?;
        Ok(Self { connection, library: library.clone() })
    }

    /// The library these records belong to.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// Where the plain file of a person lies.
    pub fn person_file(&self, person: &PersonCode) -> PathBuf {
        person_file::path(&self.library, person)
    }

    /// Changes what is recorded of one person, in the database and in the plain file, or not at all.
    ///
    /// The plain file is written last before the commit: should the commit itself fail, the file is
    /// ahead by this one change, which [`verify`](Self::verify) tells.
    pub(super) fn change<T>(
        &mut self,
        person: &PersonCode,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, RecordsError>,
    ) -> Result<T, RecordsError> {
        let path = self.person_file(person);
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let outcome = work(&transaction)?;
        let text = person_file::compose(&transaction, person)?;
        person_file::write(&path, &text).map_err(|source| RecordsError::Export { path, source })?;
        transaction.commit()?;
        Ok(outcome)
    }
}

fn settle(connection: &Connection) -> rusqlite::Result<()> {
    connection.pragma_update(None, "journal_mode", "wal")?;
    // FULL: a change that was confirmed survives a power cut; NORMAL would lose the last ones.
    connection.pragma_update(None, "synchronous", "full")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    // What is deleted is overwritten with zeros, so that erasing a person means it.
    connection.pragma_update(None, "secure_delete", true)?;
    // A database may be a copy that passed through other hands: its schema gets no special trust.
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.pragma_update(None, "cell_size_check", true)
}

/// Writes `bytes` to `path` so that either the old or the new content is there, for the owner alone.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new().prefix(UNFINISHED_PREFIX).tempfile_in(folder)?;
    io::Write::write_all(&mut file, bytes)?;
    file.as_file().sync_all()?;
    file.persist(path).map_err(|failed| failed.error)?;
    fs::File::open(folder)?.sync_all()
}
