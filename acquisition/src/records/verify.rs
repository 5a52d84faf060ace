//! Whether the database and the files beside it say the same.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use analysis::PersonCode;

use super::database::{Records, RecordsError};
use super::person_file;
use crate::library::LibraryError;
use crate::trial_file::{self, Digest, OpenTrialError, TrialOutline, TrialReader};

/// What was compared, and every difference.
#[derive(Debug, Default)]
pub struct VerifyReport {
    /// Trials in the records.
    pub n_trials: usize,
    /// Trial files in the library.
    pub n_files: usize,
    /// People in the records.
    pub n_people: usize,
    /// What does not agree; empty if all is well.
    pub findings: Vec<Finding>,
}

/// One difference between the database and the files.
#[derive(Debug)]
pub enum Finding {
    /// The database itself is damaged; what SQLite says of it.
    Database(String),
    /// The folder of trial files cannot be read.
    Library(LibraryError),
    /// The records know a trial that has no file.
    FileMissing {
        /// The trial.
        id: String,
    },
    /// A trial's file cannot be opened.
    FileRefused {
        /// The file.
        path: PathBuf,
        /// Why.
        error: OpenTrialError,
    },
    /// A trial's file is whole, but not the one that was recorded.
    OtherDigest {
        /// The trial.
        id: String,
        /// The digest in the records.
        recorded: Digest,
        /// The digest of the file.
        found: Digest,
    },
    /// The records say something else of a trial than its file.
    OtherFacts {
        /// The trial.
        id: String,
    },
    /// There is a trial file that the records do not know.
    NotRecorded {
        /// The file.
        path: PathBuf,
    },
    /// A person's plain file is missing, or not what the records say.
    PersonFile {
        /// The person.
        person: PersonCode,
    },
}

impl Records {
    /// Compares the database with the trial files and the plain files, both ways.
    ///
    /// Each trial file is read whole; nothing is changed.
    ///
    /// # Errors
    /// [`RecordsError`] if the database cannot be read at all.
    pub fn verify(&self) -> Result<VerifyReport, RecordsError> {
        self.verify_watched(&TrialReader::here(), &mut |_, _| {})
    }

    /// As [`verify`](Self::verify), told after each file how many were read and how many there are. A
    /// file whose digest is not the one recorded is a stranger to `reader`, whatever its name.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn verify_watched(
        &self,
        reader: &TrialReader,
        watch: &mut dyn FnMut(usize, usize),
    ) -> Result<VerifyReport, RecordsError> {
        let mut report = VerifyReport::default();
        self.check_database(&mut report)?;
        let mut recorded = self.recorded_digests()?;
        report.n_trials = recorded.len();
        let files = self.library.trial_files().unwrap_or_else(|error| {
            report.findings.push(Finding::Library(error));
            Vec::new()
        });
        report.n_files = files.len();
        let strangers = reader.distrusting();
        for (n_read, path) in files.into_iter().enumerate() {
            watch(n_read + 1, report.n_files);
            let outline = match outline(&path, &recorded, &strangers) {
                Ok(outline) => outline,
                Err(error) => {
                    // Known by its name, so that it is not told again as missing.
                    recorded.remove(&name(&path));
                    report.findings.push(Finding::FileRefused { path, error });
                    continue;
                }
            };
            let id = outline.facts.id.clone();
            match recorded.remove(&id) {
                None => report.findings.push(Finding::NotRecorded { path }),
                Some(digest) if digest != outline.digest => {
                    let (recorded, found) = (digest, outline.digest);
                    report.findings.push(Finding::OtherDigest { id, recorded, found });
                }
                Some(_) => {
                    let trial = self.trial(&id)?;
                    if trial.is_none_or(|trial| {
                        (trial.facts, trial.n_samples) != (outline.facts, outline.n_samples)
                    }) {
                        report.findings.push(Finding::OtherFacts { id });
                    }
                }
            }
        }
        report.findings.extend(recorded.into_keys().map(|id| Finding::FileMissing { id }));
        self.check_person_files(&mut report)?;
        Ok(report)
    }

    fn check_database(&self, report: &mut VerifyReport) -> Result<(), RecordsError> {
        let mut query = self.connection.prepare("PRAGMA integrity_check(20)")?;
        let lines = query.query_map([], |row| row.get::<_, String>(0))?;
        for line in lines {
            let line = line?;
            if line != "ok" {
                report.findings.push(Finding::Database(line));
            }
        }
        let mut query = self.connection.prepare("PRAGMA foreign_key_check")?;
        let tables = query.query_map([], |row| row.get::<_, String>(0))?;
        for table in tables {
            let line = format!("a row of {} refers to one that is not there", table?);
            report.findings.push(Finding::Database(line));
        }
        Ok(())
    }

    fn recorded_digests(&self) -> Result<BTreeMap<String, Digest>, RecordsError> {
        let mut query = self.connection.prepare("SELECT id, digest FROM trials")?;
        let rows =
            query.query_map([], |row| Ok((row.get(0)?, super::columns::parsed(row, "digest")?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn check_person_files(&self, report: &mut VerifyReport) -> Result<(), RecordsError> {
        for person in self.people()? {
            report.n_people += 1;
            let wanted = person_file::compose(&self.connection, &person.code)?;
            let found = std::fs::read_to_string(self.person_file(&person.code)).ok();
            if found.as_ref() != Some(&wanted) {
                report.findings.push(Finding::PersonFile { person: person.code });
            }
        }
        Ok(())
    }
}

/// What the file says: read here if its bytes are those recorded under its name, by a child if not.
fn outline(
    path: &Path,
    recorded: &BTreeMap<String, Digest>,
    strangers: &TrialReader,
) -> Result<TrialOutline, OpenTrialError> {
    if recorded.get(&name(path)) == Some(&trial_file::digest_alone(path)?) {
        trial_file::outline(path)
    } else {
        strangers.outline(path)
    }
}

/// The id that a trial file is named after.
fn name(path: &Path) -> String {
    path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
}
