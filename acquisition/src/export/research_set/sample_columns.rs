//! The columns of the table of samples.

use analysis::Processing;
use parquet::data_type::ByteArray;

use super::partition::{Cells, ColumnHead, Kind, TableHead};
use super::trial_columns::told;
use crate::stored_trial::Samples;

const fn column(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    about: &'static str,
) -> ColumnHead {
    ColumnHead { name, kind, unit, about, source: "" }
}

const COLUMNS: [ColumnHead; 9] = [
    column("trial", Kind::Text, "", "id of the trial, as in the table of trials"),
    column("time_us", Kind::Whole, "us", "time by the board's clock, not from the first sample on"),
    column("sequence", Kind::Whole, "count", "number of the frame; a jump is a loss"),
    column("cop_ml_mm", Kind::Real, "mm", "centre of pressure, right; none with too little load"),
    column("cop_ap_mm", Kind::Real, "mm", "centre of pressure, forward; none with too little load"),
    column("corner_1_newtons", Kind::Real, "N", "vertical force; none for imports without forces"),
    column("corner_2_newtons", Kind::Real, "N", "vertical force; none for imports without forces"),
    column("corner_3_newtons", Kind::Real, "N", "vertical force; none for imports without forces"),
    column("corner_4_newtons", Kind::Real, "N", "vertical force; none for imports without forces"),
];

pub(super) fn head(processing: Processing) -> TableHead {
    let columns = COLUMNS.to_vec();
    let told = told("footing research samples", processing, &columns);
    TableHead { columns, told }
}

/// The samples as they were recorded, column by column.
pub(super) fn rows(id: &str, samples: &Samples) -> Vec<Cells> {
    let id = ByteArray::from(id);
    let whole = |numbers: &[u64]| {
        Cells::Whole(numbers.iter().map(|&number| i64::try_from(number).ok()).collect())
    };
    let mut rows = vec![
        Cells::Text(vec![Some(id); samples.n_samples()]),
        whole(&samples.time_us),
        whole(&samples.sequence),
        Cells::Real(samples.cop.iter().map(|cop| cop.map(|cop| cop.ml_mm)).collect()),
        Cells::Real(samples.cop.iter().map(|cop| cop.map(|cop| cop.ap_mm)).collect()),
    ];
    rows.extend((0..4).map(|corner| {
        Cells::Real(match &samples.forces_newtons {
            Some(forces) => forces.iter().map(|forces| Some(forces[corner])).collect(),
            None => vec![None; samples.n_samples()],
        })
    }));
    rows
}
