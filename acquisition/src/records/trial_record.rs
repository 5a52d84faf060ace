//! Trials in the records: what their files say, and what was measured in them.

use std::path::Path;

use analysis::{Analyser, MEASURES, MeanPosition, PersonCode, Processing, QualityFlag};
use rusqlite::{Connection, OptionalExtension as _, Transaction, TransactionBehavior, params};
use thiserror::Error;

use super::database::{Records, RecordsError};
use super::trial_row::{from_row, measurement_key, select};
use super::{person, person_file, session};
use crate::calibration::CalibrationKind;
use crate::results::{self, MeasuredFile};
use crate::stored_trial::{Ending, Origin, TrialFacts};
use crate::trial_file::{Digest, OpenTrialError, TrialReader};

/// A trial as the records know it.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialRecord {
    /// What is known of the trial.
    pub facts: TrialFacts,
    /// Digest of its file.
    pub digest: Digest,
    /// How many samples it has.
    pub n_samples: usize,
    /// Why its record ends; `None` for an import.
    pub ended: Option<Ending>,
    /// How its forces were computed; `None` for an import, or if nobody has looked.
    pub calibration: Option<CalibrationKind>,
    /// What was measured in it.
    pub measurement: Measurement,
}

/// Values made together, with the settings and the program that made them.
#[derive(Debug, Clone, PartialEq)]
pub struct Measurement {
    /// What was done to the recording first.
    pub processing: Processing,
    /// Name and version of the program.
    pub program: String,
    /// Whether the body height was assumed, not known.
    pub body_height_assumed: bool,
    /// What has to be said of the recording; `None` if that is not known.
    pub flags: Option<Vec<QualityFlag>>,
    /// Why there is no value at all; `None` if there are some.
    pub not_available: Option<String>,
    /// Key and value of each measure that has one.
    pub values: Vec<(String, f64)>,
    /// Where the body centre stood; `None` if that is not known.
    pub position: Option<MeanPosition>,
}

/// Why a trial file was not taken into the records.
#[derive(Debug, Error)]
pub enum IndexTrialError {
    /// The file cannot be opened as a trial.
    #[error("the trial file cannot be used")]
    File(#[from] OpenTrialError),
    /// The records cannot take it.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

impl TrialRecord {
    /// Opens and measures the trial file at `path` with the standard processing.
    ///
    /// # Errors
    /// [`OpenTrialError`]. A trial too poor to be measured is no error: its record says why.
    pub fn measure(
        path: &Path,
        reader: &TrialReader,
        analyser: &mut Analyser,
    ) -> Result<Self, OpenTrialError> {
        Self::measure_with_file(path, reader, analyser).map(|(trial, _)| trial)
    }

    /// As [`measure`](Self::measure), with all that was found in the file.
    ///
    /// # Errors
    /// As [`measure`](Self::measure).
    pub fn measure_with_file(
        path: &Path,
        reader: &TrialReader,
        analyser: &mut Analyser,
    ) -> Result<(Self, MeasuredFile), OpenTrialError> {
        let file = results::measure_file(path, reader, analyser, Processing::Standard)?;
        Ok((Self::of(&file), file))
    }

    fn of(file: &MeasuredFile) -> Self {
        let board = match &file.origin {
            Origin::Board(board) => Some(board),
            Origin::Imported(_) => None,
        };
        let (ended, calibration) =
            (board.map(|board| board.ended), board.map(|board| board.calibration.kind));
        Self {
            measurement: Measurement::of(file),
            facts: file.facts.clone(),
            digest: file.digest,
            n_samples: file.n_samples,
            ended,
            calibration,
        }
    }
}

impl Measurement {
    fn of(file: &MeasuredFile) -> Self {
        let measures = file.found.as_ref().map(|found| &found.measured.measures);
        let values = measures.map(|measures| {
            let value = |measure: &analysis::MeasureDef| {
                Some((measure.key.to_owned(), (measure.value)(measures).ok()?))
            };
            MEASURES.iter().filter_map(value).collect()
        });
        Self {
            processing: Processing::Standard,
            program: results::PROGRAM.to_owned(),
            body_height_assumed: measures.is_ok_and(|measures| measures.body_height_assumed),
            flags: file.flags().map(<[QualityFlag]>::to_vec),
            not_available: file.found.as_ref().err().map(ToString::to_string),
            values: values.unwrap_or_default(),
            position: measures.ok().and_then(|measures| MeanPosition::of(measures).ok()),
        }
    }
}

impl Records {
    /// Takes the trial file at `path`, which this program has just sealed, into the records, measured
    /// with the standard processing.
    ///
    /// A trial that is known already is measured anew. Its person and session are recorded by code
    /// and id if they are not known yet.
    ///
    /// # Errors
    /// [`IndexTrialError`]; then nothing has changed.
    pub fn index_trial(
        &mut self,
        path: &Path,
        analyser: &mut Analyser,
    ) -> Result<TrialRecord, IndexTrialError> {
        self.index_read(path, &TrialReader::here(), analyser)
    }

    /// As [`index_trial`](Self::index_trial), for a file that `reader` reads.
    pub(super) fn index_read(
        &mut self,
        path: &Path,
        reader: &TrialReader,
        analyser: &mut Analyser,
    ) -> Result<TrialRecord, IndexTrialError> {
        let trial = TrialRecord::measure(path, reader, analyser)?;
        self.put_trials(std::slice::from_ref(&trial))?;
        Ok(trial)
    }

    /// Takes trials into the records, all or none of them.
    ///
    /// # Errors
    /// [`RecordsError`]; `OtherPerson` for a trial of one person in a session of another.
    pub fn put_trials(&mut self, trials: &[TrialRecord]) -> Result<(), RecordsError> {
        let library = self.library.clone();
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut changed: Vec<&PersonCode> = Vec::new();
        for trial in trials {
            if put(&transaction, trial)? {
                changed.push(&trial.facts.person);
            }
        }
        changed.sort();
        changed.dedup();
        for person in changed {
            let path = person_file::path(&library, person);
            let text = person_file::compose(&transaction, person)?;
            person_file::write(&path, &text)
                .map_err(|source| RecordsError::Export { path, source })?;
        }
        Ok(transaction.commit()?)
    }

    /// One trial by its id; `None` if the records do not know it.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn trial(&self, id: &str) -> Result<Option<TrialRecord>, RecordsError> {
        let mut query = self.connection.prepare_cached(&select("trials.id = ?1", 0))?;
        let found =
            query.query_row([id], |row| Ok((measurement_key(row)?, from_row(row)?))).optional()?;
        let Some((key, mut trial)) = found else { return Ok(None) };
        trial.measurement.values = values(&self.connection, key)?;
        Ok(Some(trial))
    }

    /// How many trials there are.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn n_trials(&self) -> Result<usize, RecordsError> {
        let count = "SELECT count(*) FROM trials";
        Ok(self.connection.query_row(count, [], |row| row.get::<_, u32>(0))? as usize)
    }
}

/// Records one trial, and whether its person or session had to be recorded with it.
pub(super) fn put(
    transaction: &Transaction<'_>,
    trial: &TrialRecord,
) -> Result<bool, RecordsError> {
    let facts = &trial.facts;
    let mut is_new_to_person = person::ensure(transaction, &facts.person)?;
    if let Some(id) = &facts.session {
        is_new_to_person |= session::ensure(transaction, id, &facts.person, facts.started)?;
    }
    transaction.prepare_cached("DELETE FROM trials WHERE id = ?1")?.execute([&facts.id])?;
    let mut insert = transaction.prepare_cached(
        "INSERT INTO trials VALUES (NULL, ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13,
             ?14, ?15, ?16, ?17, ?18, ?19, ?20)",
    )?;
    let key = insert.insert(params![
        facts.id,
        trial.digest.to_string(),
        facts.person.as_str(),
        facts.session,
        facts.plan,
        facts.condition.to_string(),
        facts.kind.key(),
        facts.setup.board,
        facts.setup.sole_height_mm,
        facts.setup.facing.key(),
        facts.body_height_m,
        facts.body_mass_kg,
        facts.started.unix_us,
        facts.started.offset_s,
        facts.settled_s,
        facts.asked_s,
        facts.program,
        i64::try_from(trial.n_samples).unwrap_or(i64::MAX),
        trial.ended.map(Ending::key),
        trial.calibration.map(CalibrationKind::key),
    ])?;
    put_measurement(transaction, key, &trial.measurement)?;
    Ok(is_new_to_person)
}

fn put_measurement(
    connection: &Connection,
    trial_key: i64,
    measurement: &Measurement,
) -> rusqlite::Result<()> {
    let mut insert = connection.prepare_cached(
        "INSERT INTO measurements VALUES (NULL, ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
    )?;
    let position = measurement.position.as_ref();
    let key = insert.insert(params![
        trial_key,
        measurement.processing.key(),
        measurement.program,
        measurement.body_height_assumed,
        measurement.not_available,
        measurement.flags.as_deref().map(flag_words),
        position.map(|position| position.mean.ml_mm),
        position.map(|position| position.mean.ap_mm),
        position.map(|position| position.uncertainty.ml_mm),
        position.map(|position| position.uncertainty.ap_mm),
    ])?;
    let mut insert = connection.prepare_cached("INSERT INTO measures VALUES (?1, ?2, ?3)")?;
    measurement
        .values
        .iter()
        .try_for_each(|(measure, value)| insert.execute(params![key, measure, value]).map(drop))
}

fn flag_words(flags: &[QualityFlag]) -> String {
    flags.iter().map(|flag| flag.key()).collect::<Vec<_>>().join(" ")
}

/// The values of one measurement, in the order of their keys.
pub(super) fn values(
    connection: &Connection,
    measurement_key: i64,
) -> rusqlite::Result<Vec<(String, f64)>> {
    let mut query = connection.prepare_cached(
        "SELECT measure, value FROM measures WHERE measurement = ?1 ORDER BY measure",
    )?;
    let rows = query.query_map([measurement_key], |row| Ok((row.get(0)?, row.get(1)?)))?;
    rows.collect()
}
