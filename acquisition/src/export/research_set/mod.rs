//! A research set: many trials as Parquet files, which any columnar engine reads.
//!
//! ```text
//! FOLDER/columns.csv                                   what each column is, with unit and source
//! FOLDER/trials/surface=foam/vision=open/part-0.parquet    one row a trial
//! FOLDER/samples/surface=foam/vision=open/part-0.parquet   one row a sample, if asked for
//! ```
//!
//! Folders are named by the convention that query engines know as partitions, so that a question
//! about foam reads nothing else.

mod partition;
mod sample_columns;
mod trial_columns;

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use analysis::{Condition, Processing, Surface, Vision};
use parquet::errors::ParquetError;
use thiserror::Error;

use crate::results::MeasuredFile;
use crate::stored_trial::Samples;
use partition::{Cells, Partition, TableHead};

/// Version of the set's layout; it grows when a column goes or changes its meaning.
const FORMAT_VERSION: u32 = 1;

/// Rows that are gathered before they are written: what bounds the memory taken, for at most eight
/// partitions of each table are open.
const TRIALS_AT_ONCE: usize = 20_000;
const SAMPLES_AT_ONCE: usize = 100_000;

/// Why a research set was not written. Nothing is left of one that was not finished.
#[derive(Debug, Error)]
pub enum ResearchSetError {
    /// Sets do not overwrite.
    #[error("{} is there already; a research set needs a new folder", folder.display())]
    Exists {
        /// The folder.
        folder: PathBuf,
    },
    /// The system refuses.
    #[error("cannot {step} {}", path.display())]
    Write {
        /// What was being done.
        step: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What it said.
        source: io::Error,
    },
    /// A table cannot be written.
    #[error("the table cannot be written")]
    Table(#[from] ParquetError),
}

/// What was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ResearchSetReport {
    /// Trials.
    pub n_trials: usize,
    /// Samples; 0 if they were not asked for.
    pub n_samples: usize,
    /// Parquet files.
    pub n_files: usize,
}

/// A set being written, in a folder beside its place that takes its name at the end.
#[derive(Debug)]
pub struct ResearchSet {
    folder: PathBuf,
    unfinished: tempfile::TempDir,
    trials: Table,
    samples: Option<Table>,
    report: ResearchSetReport,
}

#[derive(Debug)]
struct Table {
    head: TableHead,
    rows_at_once: usize,
    partitions: BTreeMap<(Surface, Vision), Partition>,
}

impl ResearchSet {
    /// A new set that will be `folder`; the samples go in too if `with_samples`.
    ///
    /// # Errors
    /// [`ResearchSetError::Exists`], or `Write` if its parent folder cannot be written to.
    pub fn create(
        folder: &Path,
        processing: Processing,
        with_samples: bool,
    ) -> Result<Self, ResearchSetError> {
        if folder.symlink_metadata().is_ok() {
            return Err(ResearchSetError::Exists { folder: folder.to_owned() });
        }
        let parent = folder.parent().filter(|parent| !parent.as_os_str().is_empty());
        let parent = parent.unwrap_or(Path::new("."));
        let unfinished = tempfile::Builder::new()
            .prefix(".research-set-")
            .tempdir_in(parent)
            .map_err(write("make a folder in", parent))?;
        let trials = Table {
            head: trial_columns::head(processing),
            rows_at_once: TRIALS_AT_ONCE,
            partitions: BTreeMap::new(),
        };
        let samples = with_samples.then(|| Table {
            head: sample_columns::head(processing),
            rows_at_once: SAMPLES_AT_ONCE,
            partitions: BTreeMap::new(),
        });
        let report = ResearchSetReport::default();
        Ok(Self { folder: folder.to_owned(), unfinished, trials, samples, report })
    }

    /// Adds a trial, with its samples if the set has them.
    ///
    /// # Errors
    /// [`ResearchSetError`].
    pub fn push(&mut self, file: &MeasuredFile, samples: &Samples) -> Result<(), ResearchSetError> {
        let condition = file.facts.condition;
        let root = self.unfinished.path();
        let row = trial_columns::row(file);
        self.trials.push(&root.join("trials"), condition, row)?;
        self.report.n_trials += 1;
        if let Some(table) = &mut self.samples {
            let rows = sample_columns::rows(&file.facts.id, samples);
            table.push(&root.join("samples"), condition, rows)?;
            self.report.n_samples += samples.n_samples();
        }
        Ok(())
    }

    /// Writes what is left and gives the folder its name.
    ///
    /// # Errors
    /// [`ResearchSetError`].
    pub fn finish(mut self) -> Result<ResearchSetReport, ResearchSetError> {
        let columns = self.unfinished.path().join("columns.csv");
        let tables: Vec<(&str, &TableHead)> = [("trials", Some(&self.trials))]
            .into_iter()
            .chain([("samples", self.samples.as_ref())])
            .filter_map(|(name, table)| Some((name, &table?.head)))
            .collect();
        fs::write(&columns, partition::columns_csv(&tables)).map_err(write("write", &columns))?;
        for table in [Some(self.trials), self.samples.take()].into_iter().flatten() {
            for partition in table.partitions.into_values() {
                partition.finish()?;
                self.report.n_files += 1;
            }
        }
        let kept = self.unfinished.keep();
        if let Err(source) = fs::rename(&kept, &self.folder) {
            fs::remove_dir_all(&kept).map_err(write("remove", &kept))?;
            return Err(write("name", &self.folder)(source));
        }
        Ok(self.report)
    }
}

impl Table {
    fn push(
        &mut self,
        folder: &Path,
        condition: Condition,
        rows: Vec<Cells>,
    ) -> Result<(), ResearchSetError> {
        let key = (condition.surface, condition.vision);
        if !self.partitions.contains_key(&key) {
            let surface = format!("surface={}", condition.surface);
            let place = folder.join(surface).join(format!("vision={}", condition.vision));
            fs::create_dir_all(&place).map_err(write("make", &place))?;
            let path = place.join("part-0.parquet");
            self.partitions.insert(key, Partition::create(&path, &self.head)?);
        }
        let partition = self.partitions.get_mut(&key).expect("it was put in if it was not there");
        partition.extend(rows);
        if self.rows_at_once <= partition.n_waiting() { partition.flush() } else { Ok(()) }
    }
}

fn write(step: &'static str, path: &Path) -> impl FnOnce(io::Error) -> ResearchSetError {
    let path = path.to_owned();
    move |source| ResearchSetError::Write { step, path, source }
}
