//! The database made anew from the files beside it.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use analysis::Analyser;
use thiserror::Error;

use super::database::{DATABASE_NAME, OpenRecordsError, PEOPLE_NAME, Records, RecordsError};
use super::erasure;
use super::person_file::{self, BadPersonFile};
use super::trial_record::{IndexTrialError, TrialRecord};
use crate::library::{Library, LibraryError};
use crate::trial_file::TrialReader;
use crate::wall_time::WallTime;

/// Name of the database while it is being made.
const UNFINISHED_NAME: &str = "records.rebuilding.sqlite";

/// Trials that are recorded together: enough that the disk is not waited for after each.
const BATCH: usize = 200;

/// What was found, and what could not be used.
#[derive(Debug, Default)]
pub struct RebuildReport {
    /// People whose plain file was read.
    pub n_people: usize,
    /// Trials whose file was read and measured.
    pub n_trials: usize,
    /// Plain files that could not be used, under the names they were moved to.
    pub refused_people: Vec<(PathBuf, BadPersonFile)>,
    /// Trial files that could not be used.
    pub refused_trials: Vec<(PathBuf, IndexTrialError)>,
    /// Where the database lies that was there before; `None` if there was none.
    pub replaced: Option<PathBuf>,
}

/// Why the database could not be made anew; what was there is still there.
#[derive(Debug, Error)]
pub enum RebuildError {
    /// The unfinished database cannot be made.
    #[error("the records cannot be made anew")]
    Open(#[from] OpenRecordsError),
    /// The unfinished database refuses.
    #[error("the records cannot be made anew")]
    Records(#[from] RecordsError),
    /// The trial files cannot be listed.
    #[error(transparent)]
    Library(#[from] LibraryError),
    /// The file system refuses.
    #[error("cannot {step} {}", path.display())]
    File {
        /// What was being done.
        step: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// Makes the library's records anew from its trial files and plain files.
///
/// The new database is made beside the old one and takes its name at the end; the old one is kept
/// under a name with the time `now`. Since the files may have been put there by anybody, such as with
/// a backup, none counts as own: `reader` has a child read each. No other program may have the records open meanwhile.
///
/// # Errors
/// [`RebuildError`]. A file that cannot be used is no error: it is named in the report.
pub fn rebuild(
    library: &Library,
    reader: &TrialReader,
    now: WallTime,
) -> Result<RebuildReport, RebuildError> {
    let unfinished = library.folder().join(UNFINISHED_NAME);
    remove_database(&unfinished)?;
    let mut report = RebuildReport::default();
    let mut records = Records::open_at(library, &unfinished)?;
    restore_people(&mut records, &mut report, now)?;
    restore_trials(&mut records, &reader.distrusting(), &mut report)?;
    erasure::restore(&records)?;
    // One file again, without a write-ahead log beside it, before it is renamed.
    records.connection.pragma_update(None, "journal_mode", "delete").map_err(RecordsError::from)?;
    drop(records);

    let place = library.folder().join(DATABASE_NAME);
    if place.exists() {
        let kept = library.folder().join(format!("records.replaced-{}.sqlite", now.unix_us));
        // A log left beside the old database belongs to it and must not meet the new one.
        for suffix in ["-wal", "-shm"] {
            let from = with_suffix(&place, suffix);
            if from.exists() {
                rename(&from, &with_suffix(&kept, suffix))?;
            }
        }
        rename(&place, &kept)?;
        report.replaced = Some(kept);
    }
    rename(&unfinished, &place)?;
    let folder = library.folder();
    fs::File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(|source| RebuildError::File { step: "sync", path: folder.to_owned(), source })?;
    Ok(report)
}

/// A file that cannot be used is moved aside: its person's trials alone would otherwise make a new
/// file in its place.
fn restore_people(
    records: &mut Records,
    report: &mut RebuildReport,
    now: WallTime,
) -> Result<(), RebuildError> {
    let folder = records.library.folder().join(PEOPLE_NAME);
    let paths = person_file::list(&records.library).map_err(|source| RebuildError::File {
        step: "read",
        path: folder,
        source,
    })?;
    for path in paths {
        match person_file::read(&path) {
            Ok(file) => {
                let transaction = records.connection.transaction().map_err(RecordsError::from)?;
                file.restore(&transaction)?;
                transaction.commit().map_err(RecordsError::from)?;
                report.n_people += 1;
            }
            Err(error) => {
                let aside = with_suffix(&path, &format!(".refused-{}", now.unix_us));
                rename(&path, &aside)?;
                report.refused_people.push((aside, error));
            }
        }
    }
    Ok(())
}

fn restore_trials(
    records: &mut Records,
    reader: &TrialReader,
    report: &mut RebuildReport,
) -> Result<(), RebuildError> {
    let mut analyser = Analyser::new();
    for paths in records.library.trial_files()?.chunks(BATCH) {
        let mut trials = Vec::with_capacity(paths.len());
        for path in paths {
            match TrialRecord::measure(path, reader, &mut analyser) {
                Ok(trial) => trials.push((path, trial)),
                Err(error) => report.refused_trials.push((path.clone(), error.into())),
            }
        }
        let together: Vec<TrialRecord> = trials.iter().map(|(_, trial)| trial.clone()).collect();
        if records.put_trials(&together).is_ok() {
            report.n_trials += together.len();
            continue;
        }
        // One of them cannot be recorded; the others can.
        for (path, trial) in trials {
            match records.put_trials(&[trial]) {
                Ok(()) => report.n_trials += 1,
                Err(error) => report.refused_trials.push((path.clone(), error.into())),
            }
        }
    }
    Ok(())
}

/// Removes what an interrupted rebuild left behind.
fn remove_database(path: &Path) -> Result<(), RebuildError> {
    for path in [path.to_owned(), with_suffix(path, "-wal"), with_suffix(path, "-shm")] {
        match fs::remove_file(&path) {
            Err(source) if source.kind() != io::ErrorKind::NotFound => {
                return Err(RebuildError::File { step: "remove", path, source });
            }
            _ => {}
        }
    }
    Ok(())
}

fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

fn rename(from: &Path, to: &Path) -> Result<(), RebuildError> {
    fs::rename(from, to).map_err(|source| RebuildError::File {
        step: "rename",
        path: from.to_owned(),
        source,
    })
}
