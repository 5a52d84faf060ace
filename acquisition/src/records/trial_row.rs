//! A trial as it is read: each column by its name, its place found when the program is compiled, for
//! a list of people reads every trial there is.

use analysis::{Cop, MeanPosition};
use rusqlite::Row;

use super::columns::{parsed, parsed_option, wall_time_at, words_option};
use super::trial_record::{Measurement, TrialRecord};
use crate::stored_trial::TrialFacts;

/// Columns of a trial and of its measurement, in the order in which they are selected.
const COLUMNS: [&str; 30] = [
    "measurements.key",
    "trials.id",
    "trials.digest",
    "trials.person",
    "trials.session",
    "trials.plan",
    "trials.condition",
    "trials.kind",
    "trials.board",
    "trials.sole_height_mm",
    "trials.facing",
    "trials.body_height_m",
    "trials.body_mass_kg",
    "trials.started_unix_us",
    "trials.started_offset_s",
    "trials.settled_s",
    "trials.asked_s",
    "trials.program",
    "trials.n_samples",
    "trials.ended",
    "trials.calibration",
    "measurements.processing",
    "measurements.program",
    "measurements.body_height_assumed",
    "measurements.not_available",
    "measurements.flags",
    "measurements.mean_ml_mm",
    "measurements.mean_ap_mm",
    "measurements.mean_ml_uncertainty_mm",
    "measurements.mean_ap_uncertainty_mm",
];

/// The place of a column; a name that is none does not compile.
macro_rules! column {
    ($name:literal) => {
        const { place($name) }
    };
}

const fn place(name: &str) -> usize {
    let mut at = 0;
    while at < COLUMNS.len() {
        if is_same(COLUMNS[at].as_bytes(), name.as_bytes()) {
            return at;
        }
        at += 1;
    }
    panic!("no such column")
}

const fn is_same(one: &[u8], other: &[u8]) -> bool {
    if one.len() != other.len() {
        return false;
    }
    let mut at = 0;
    while at < one.len() {
        if one[at] != other[at] {
            return false;
        }
        at += 1;
    }
    true
}

/// Trials with their measurement of the standard processing; `?1` is for `which` to use.
///
/// The values of so many measures, whose keys are `?2` and those after it, come behind the columns;
/// see [`value`].
pub(super) fn select(which: &str, n_measures: usize) -> String {
    let values = (2..n_measures + 2).map(|parameter| {
        format!(
            "(SELECT value FROM measures
                 WHERE measurement = measurements.key AND measure = ?{parameter})"
        )
    });
    let columns: Vec<String> = COLUMNS.iter().map(ToString::to_string).chain(values).collect();
    format!(
        "SELECT {} FROM trials JOIN measurements ON measurements.trial = trials.key
             AND measurements.processing = 'standard'
         WHERE {which}",
        columns.join(", ")
    )
}

/// Key of the measurement in a row of [`select`].
pub(super) fn measurement_key(row: &Row<'_>) -> rusqlite::Result<i64> {
    row.get(column!("measurements.key"))
}

/// Value of the n-th measure that was asked for in a row of [`select`]; `None` if it has none.
pub(super) fn value(row: &Row<'_>, index: usize) -> rusqlite::Result<Option<f64>> {
    row.get(COLUMNS.len() + index)
}

/// A row of [`select`], still without the measures' values.
pub(super) fn from_row(row: &Row<'_>) -> rusqlite::Result<TrialRecord> {
    let started = [column!("trials.started_unix_us"), column!("trials.started_offset_s")];
    Ok(TrialRecord {
        facts: TrialFacts {
            id: row.get(column!("trials.id"))?,
            person: parsed(row, column!("trials.person"))?,
            session: row.get(column!("trials.session"))?,
            plan: row.get(column!("trials.plan"))?,
            condition: parsed(row, column!("trials.condition"))?,
            kind: parsed(row, column!("trials.kind"))?,
            setup: analysis::Setup {
                board: row.get(column!("trials.board"))?,
                sole_height_mm: row.get(column!("trials.sole_height_mm"))?,
                facing: parsed(row, column!("trials.facing"))?,
            },
            body_height_m: row.get(column!("trials.body_height_m"))?,
            body_mass_kg: row.get(column!("trials.body_mass_kg"))?,
            started: wall_time_at(row, started)?,
            settled_s: row.get(column!("trials.settled_s"))?,
            asked_s: row.get(column!("trials.asked_s"))?,
            program: row.get(column!("trials.program"))?,
        },
        digest: parsed(row, column!("trials.digest"))?,
        n_samples: row.get::<_, u32>(column!("trials.n_samples"))? as usize,
        ended: parsed_option(row, column!("trials.ended"))?,
        calibration: parsed_option(row, column!("trials.calibration"))?,
        measurement: Measurement {
            processing: parsed(row, column!("measurements.processing"))?,
            program: row.get(column!("measurements.program"))?,
            body_height_assumed: row.get(column!("measurements.body_height_assumed"))?,
            flags: words_option(row, column!("measurements.flags"))?,
            not_available: row.get(column!("measurements.not_available"))?,
            values: Vec::new(),
            position: position(row)?,
        },
    })
}

fn position(row: &Row<'_>) -> rusqlite::Result<Option<MeanPosition>> {
    let along = |[ml_mm, ap_mm]: [usize; 2]| -> rusqlite::Result<Option<Cop>> {
        let (ml_mm, ap_mm): (Option<f64>, Option<f64>) = (row.get(ml_mm)?, row.get(ap_mm)?);
        Ok(ml_mm.zip(ap_mm).map(|(ml_mm, ap_mm)| Cop::new(ml_mm, ap_mm)))
    };
    let mean = along([column!("measurements.mean_ml_mm"), column!("measurements.mean_ap_mm")])?;
    let uncertainty = along([
        column!("measurements.mean_ml_uncertainty_mm"),
        column!("measurements.mean_ap_uncertainty_mm"),
    ])?;
    Ok(mean.zip(uncertainty).map(|(mean, uncertainty)| MeanPosition { mean, uncertainty }))
}
