//! Delimited text of a force plate into a trial.

use std::io;
use std::path::Path;

use analysis::Cop;
use thiserror::Error;

use super::cells::{number, settled, split};
use super::column::{Column, ColumnName, ColumnUnit};
use super::column_map::{BadColumnMap, ColumnMap, Delimiter, Measured, TimeSource};
use super::text_lines::TextLines;
use crate::calibration::CornerPosition;
use crate::forces::{LEAST_LOAD_NEWTONS, cop_from_forces};
use crate::stored_trial::{ImportOrigin, Origin, Samples, StoredTrial, TrialFacts};
use crate::trial_file::MAX_SAMPLES;

/// Why a file was not imported.
#[derive(Debug, Error)]
pub enum ImportError {
    /// There is none.
    #[error("there is no such file")]
    Missing,
    /// There is something else.
    #[error("it is not a file")]
    NotAFile,
    /// The system refuses, or what should be gzip is not.
    #[error("it cannot be read")]
    Unreadable(#[source] io::Error),
    /// More than is ever read.
    #[error("it is larger, unpacked, than the limit of {limit_bytes} bytes")]
    TooLarge {
        /// How many bytes it may have.
        limit_bytes: u64,
    },
    /// More samples than a trial can hold.
    #[error("it holds more than the limit of {limit} samples")]
    TooManySamples {
        /// How many there may be.
        limit: usize,
    },
    /// A line longer than any table's.
    #[error("line {line} is longer than the limit of {limit_bytes} bytes")]
    LineTooLong {
        /// The line, from 1.
        line: usize,
        /// How many bytes it may have.
        limit_bytes: usize,
    },
    /// Not UTF-8, or with zero bytes.
    #[error("line {line} is not text in UTF-8")]
    NotText {
        /// The line, from 1.
        line: usize,
    },
    /// Nothing in it.
    #[error("it is empty")]
    Empty,
    /// It ends before the columns' names.
    #[error("its {n_lines} lines end before line {header_line}, which should name the columns")]
    NoHeader {
        /// The line that should have the names.
        header_line: usize,
        /// How many lines there are.
        n_lines: usize,
    },
    /// A column that is not there.
    #[error("there is no column {column:?}; there are: {there}")]
    UnknownColumn {
        /// The column sought.
        column: String,
        /// The columns there are, at most 40 of them.
        there: String,
    },
    /// A name that several columns have.
    #[error("{n_columns} columns are named {column:?}; give the one meant by its number, as in #3")]
    AmbiguousColumn {
        /// The name.
        column: String,
        /// How many have it.
        n_columns: usize,
    },
    /// The name itself states another unit.
    #[error("the column {column:?} is said to be in {mapped}, but its own name says {named}")]
    UnitDiffers {
        /// The column.
        column: String,
        /// The unit of the column map.
        mapped: &'static str,
        /// The unit in the column's name.
        named: &'static str,
    },
    /// A line that ends too early.
    #[error("line {line} has no cell for column {column:?}")]
    MissingCell {
        /// The line, from 1.
        line: usize,
        /// The column.
        column: String,
    },
    /// A cell that is no number.
    #[error("line {line}, column {column:?}: {found:?} is not a number")]
    NotANumber {
        /// The line, from 1.
        line: usize,
        /// The column.
        column: String,
        /// The cell, at most 40 characters of it.
        found: String,
    },
    /// A number that is none, or too large for one.
    #[error("line {line}, column {column:?}: {found:?} is not a finite number")]
    NotFinite {
        /// The line, from 1.
        line: usize,
        /// The column.
        column: String,
        /// The cell, at most 40 characters of it.
        found: String,
    },
    /// A time before the last one.
    #[error("line {line}: the time {time_s} s is before that of the sample above it")]
    TimeBackwards {
        /// The line, from 1.
        line: usize,
        /// The time found, in seconds.
        time_s: f64,
    },
    /// The last time again, to the microsecond.
    #[error("line {line}: the time {time_s} s is that of the sample above it")]
    TimeRepeated {
        /// The line, from 1.
        line: usize,
        /// The time found, in seconds.
        time_s: f64,
    },
    /// A time no record reaches.
    #[error("line {line}: a time of {time_s} s is out of range")]
    TimeOutOfRange {
        /// The line, from 1.
        line: usize,
        /// The time found, in seconds.
        time_s: f64,
    },
    /// Too little to call it a record.
    #[error("it holds {n_samples} samples, at least 2 are needed")]
    TooFewSamples {
        /// How many there are.
        n_samples: usize,
    },
    /// The column map cannot be used.
    #[error("the column map cannot be used")]
    Map(#[from] BadColumnMap),
}

/// Reads a recording of delimited text, packed with gzip or not, as `map` says.
///
/// Each sample's centre of pressure is given, or computed from the forces; with less load than
/// [`LEAST_LOAD_NEWTONS`] it is undefined. `facts` are taken over as they are: a file of numbers
/// does not know who stood.
///
/// # Errors
/// [`ImportError`], with the line and column it is about; nothing is ever repaired or left out.
pub fn read_delimited(
    path: &Path,
    map: &ColumnMap,
    facts: TrialFacts,
) -> Result<StoredTrial, ImportError> {
    let column_map = map.to_toml()?;
    let mut lines = TextLines::open(path)?;
    let samples = read_samples(&mut lines, map)?;
    let file_name = path.file_name().map(|name| name.to_string_lossy().into_owned());
    let origin = Origin::Imported(ImportOrigin {
        file_name: file_name.unwrap_or_default(),
        sha256: lines.into_digest()?.to_string(),
        column_map,
    });
    Ok(StoredTrial { facts, origin, samples })
}

/// The samples of a file, without its digest: for the tests that damage files.
#[cfg(any(test, fuzzing))]
pub(super) fn samples_of_file(path: &Path, map: &ColumnMap) -> Result<Samples, ImportError> {
    map.check()?;
    read_samples(&mut TextLines::open(path)?, map)
}

fn read_samples(lines: &mut TextLines, map: &ColumnMap) -> Result<Samples, ImportError> {
    let form = &map.form;
    let first_data_line = form.first_data_line.unwrap_or(form.header_line + 1);
    let is_comment =
        |line: &str| form.comment.as_ref().is_some_and(|mark| line.starts_with(mark.as_str()));
    let mut header = None;
    let mut table: Option<Table<'_>> = None;
    let mut n_lines = 0;
    while let Some((line, text)) = lines.next_line()? {
        n_lines = line;
        if line == form.header_line {
            header = Some(text.to_owned());
        }
        if line < first_data_line || text.trim().is_empty() || is_comment(text) {
            continue;
        }
        let table = match &mut table {
            Some(table) => table,
            none => none.insert(Table::new(map, header.as_deref(), text)?),
        };
        table.push(line, text)?;
    }
    match table {
        Some(table) => table.finish(),
        None if n_lines == 0 => Err(ImportError::Empty),
        None if n_lines < form.header_line => {
            Err(ImportError::NoHeader { header_line: form.header_line, n_lines })
        }
        None => {
            // The columns are looked for all the same: a wrong name is told before missing numbers.
            Table::new(map, header.as_deref(), "")?;
            Err(ImportError::TooFewSamples { n_samples: 0 })
        }
    }
}

/// The samples read so far, and where in a line the next one is found.
struct Table<'m> {
    map: &'m ColumnMap,
    delimiter: Delimiter,
    columns: Vec<Place<'m>>,
    /// Time of the first sample, in microseconds.
    start_us: Option<i64>,
    values: Vec<f64>,
    samples: Samples,
}

/// A column and its place in the line, from 0.
struct Place<'m> {
    column: &'m Column,
    index: usize,
}

impl<'m> Table<'m> {
    fn new(map: &'m ColumnMap, header: Option<&str>, first: &str) -> Result<Self, ImportError> {
        let delimiter = settled(map.form.delimiter, map.form.decimal, header.unwrap_or(first));
        let names: Vec<&str> =
            header.map(|header| split(header, delimiter).collect()).unwrap_or_default();
        let columns: Result<_, _> =
            map.columns().into_iter().map(|(column, _)| find(column, &names)).collect();
        let mut samples = Samples::default();
        if let Measured::Corners(_) = map.measured {
            samples.forces_newtons = Some(Vec::new());
        }
        Ok(Self { map, delimiter, columns: columns?, start_us: None, values: Vec::new(), samples })
    }

    fn push(&mut self, line: usize, text: &str) -> Result<(), ImportError> {
        let index = self.samples.n_samples();
        if MAX_SAMPLES <= index {
            return Err(ImportError::TooManySamples { limit: MAX_SAMPLES });
        }
        self.read_values(line, text)?;
        let (time_us, values) = match &self.map.time {
            TimeSource::Rate(rate) => (nth_time_us(index, rate.hz()), &self.values[..]),
            TimeSource::Column(_) => {
                let (&time_s, rest) = self.values.split_first().expect("time is the first column");
                let last_us = self.samples.time_us.last().copied();
                (time_from(line, time_s, &mut self.start_us, last_us)?, rest)
            }
        };
        self.samples.time_us.push(time_us);
        self.samples.sequence.push(index as u64);
        match (&self.map.measured, values) {
            (Measured::Cop { .. }, &[ml_mm, ap_mm]) => {
                self.samples.cop.push(Some(Cop { ml_mm, ap_mm }));
            }
            (Measured::Moments { .. }, &[fz_newtons, ml_nmm, ap_nmm]) => {
                self.samples.cop.push(cop_from_moments(fz_newtons, ml_nmm, ap_nmm));
            }
            (Measured::Corners(corners), &[a, b, c, d]) => {
                let forces = [a, b, c, d];
                let place =
                    |i: usize| CornerPosition { ml_mm: corners[i].ml_mm, ap_mm: corners[i].ap_mm };
                let cop = cop_from_forces(forces, &[0, 1, 2, 3].map(place));
                self.samples.cop.push(cop);
                self.samples.forces_newtons.get_or_insert_default().push(forces);
            }
            _ => unreachable!("a value was read for each column of the map"),
        }
        Ok(())
    }

    /// The values of the map's columns in this line, in the base units.
    fn read_values(&mut self, line: usize, text: &str) -> Result<(), ImportError> {
        let cells: Vec<&str> = split(text, self.delimiter).collect();
        self.values.clear();
        for Place { column, index } in &self.columns {
            let name = || column.name.to_string();
            let &cell = cells
                .get(*index)
                .ok_or_else(|| ImportError::MissingCell { line, column: name() })?;
            let found = || cell.chars().take(40).collect::<String>();
            let value = number(cell, self.map.form.decimal)
                .ok_or_else(|| ImportError::NotANumber { line, column: name(), found: found() })?;
            let value = column.unit.base_from(if column.reversed { -value } else { value });
            if !value.is_finite() {
                return Err(ImportError::NotFinite { line, column: name(), found: found() });
            }
            self.values.push(value);
        }
        Ok(())
    }

    fn finish(self) -> Result<Samples, ImportError> {
        match self.samples.n_samples() {
            n_samples @ 0..2 => Err(ImportError::TooFewSamples { n_samples }),
            _ => Ok(self.samples),
        }
    }
}

fn find<'m>(column: &'m Column, names: &[&str]) -> Result<Place<'m>, ImportError> {
    let index = match &column.name {
        // Without a header nobody knows how many columns there are; a line that is too short says.
        ColumnName::Numbered(number) if *number <= names.len() || names.is_empty() => number - 1,
        ColumnName::Numbered(_) => return Err(unknown(column, names)),
        ColumnName::Named(name) => {
            let with_unit = names.iter().filter(|found| **found == name).count();
            let matches = |found: &str| match with_unit {
                0 => name_and_unit(found).0 == name,
                _ => found == name,
            };
            let mut places = (0..names.len()).filter(|&index| matches(names[index]));
            match (places.next(), places.count()) {
                (Some(index), 0) => index,
                (None, _) => return Err(unknown(column, names)),
                (Some(_), others) => {
                    let (column, n_columns) = (name.clone(), others + 1);
                    return Err(ImportError::AmbiguousColumn { column, n_columns });
                }
            }
        }
    };
    let named = names.get(index).and_then(|name| name_and_unit(name).1);
    match named {
        Some(named) if named != column.unit => Err(ImportError::UnitDiffers {
            column: column.name.to_string(),
            mapped: column.unit.symbol(),
            named: named.symbol(),
        }),
        _ => Ok(Place { column, index }),
    }
}

fn unknown(column: &Column, names: &[&str]) -> ImportError {
    let shortened = |name: &&str| name.chars().take(40).collect::<String>();
    let there: Vec<_> = names.iter().take(40).map(shortened).collect();
    ImportError::UnknownColumn { column: column.name.to_string(), there: there.join(", ") }
}

/// A column's name without a unit in brackets at its end, and that unit if it is one.
pub(super) fn name_and_unit(text: &str) -> (&str, Option<ColumnUnit>) {
    for (open, close) in [('[', ']'), ('(', ')')] {
        if let Some((name, unit)) = text.strip_suffix(close).and_then(|rest| rest.rsplit_once(open))
        {
            return (name.trim_end(), ColumnUnit::from_symbol(unit));
        }
    }
    (text, None)
}

/// Time of the sample at `index` at a fixed rate, in microseconds, rounded to the nearest.
pub(super) fn nth_time_us(index: usize, rate_hz: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at least 0; a rate so low that it leaves the range stops at the range's end"
    )]
    let time_us = (index as f64 * 1e6 / rate_hz).round() as u64;
    time_us
}

/// Microseconds since the first sample.
fn time_from(
    line: usize,
    time_s: f64,
    start_us: &mut Option<i64>,
    last_us: Option<u64>,
) -> Result<u64, ImportError> {
    // Up to here every microsecond has its own 64-bit float: 2^53 us are 285 years.
    const LIMIT_US: f64 = 9_007_199_254_740_992.0;
    let us = (time_s * 1e6).round();
    if LIMIT_US < us.abs() {
        return Err(ImportError::TimeOutOfRange { line, time_s });
    }
    #[expect(clippy::cast_possible_truncation, reason = "a whole number below 2^53")]
    let us = us as i64;
    let since_start = us - *start_us.get_or_insert(us);
    match (u64::try_from(since_start), last_us) {
        (Ok(time_us), Some(last_us)) if time_us == last_us => {
            Err(ImportError::TimeRepeated { line, time_s })
        }
        (Ok(time_us), last_us) if last_us.is_none_or(|last_us| last_us < time_us) => Ok(time_us),
        _ => Err(ImportError::TimeBackwards { line, time_s }),
    }
}

/// Moments over force; undefined below [`LEAST_LOAD_NEWTONS`], as from corner forces.
fn cop_from_moments(fz_newtons: f64, ml_nmm: f64, ap_nmm: f64) -> Option<Cop> {
    (LEAST_LOAD_NEWTONS <= fz_newtons)
        .then(|| Cop { ml_mm: ml_nmm / fz_newtons, ap_mm: ap_nmm / fz_newtons })
        .filter(|cop| cop.ml_mm.is_finite() && cop.ap_mm.is_finite())
}
