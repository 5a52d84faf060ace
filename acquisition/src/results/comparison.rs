//! A comparison of two sets over all measures, and its JSON and CSV.

use analysis::{
    Comparison, MEASURES, MeasureDef, MeasuredTrial, NotComparable, check_comparable, compare,
};
use serde::Serialize;

const FORMAT_VERSION: u32 = 1;

/// One measure of a comparison: the change, or why there is none.
pub type ComparedMeasure = (&'static MeasureDef, Result<Comparison, NotComparable>);

/// Compares every measure of two sets, in the order of the table.
///
/// # Errors
/// [`NotComparable`] if the two sets must not be compared at all; what only one measure lacks
/// stands in its own row.
pub fn compare_all(
    before: &[&MeasuredTrial],
    after: &[&MeasuredTrial],
) -> Result<Vec<ComparedMeasure>, NotComparable> {
    check_comparable(before, after)?;
    Ok(MEASURES.iter().map(|measure| (measure, compare(before, after, measure.key))).collect())
}

#[derive(Serialize)]
struct ComparisonShape<'a> {
    format: &'static str,
    format_version: u32,
    program: &'static str,
    processing: &'a str,
    caution: &'static str,
    measures: Vec<RowShape>,
}

#[derive(Serialize)]
struct RowShape {
    measure: &'static str,
    unit: &'static str,
    scale: Option<&'static str>,
    mean_a: Option<f64>,
    mean_b: Option<f64>,
    trials_a: Option<usize>,
    trials_b: Option<usize>,
    change: Option<f64>,
    interval_low: Option<f64>,
    interval_high: Option<f64>,
    interval_basis: Option<&'static str>,
    detectable_ratio: Option<f64>,
    exceeds_detectable: Option<bool>,
    not_available: Option<String>,
}

fn row_shape((measure, row): &ComparedMeasure) -> RowShape {
    let found = row.as_ref().ok();
    let interval = found.and_then(|c| c.interval);
    let detectable = found.and_then(|c| c.detectable);
    RowShape {
        measure: measure.key,
        unit: measure.unit.key(),
        scale: found.map(|c| c.scale.key()),
        mean_a: found.map(|c| c.before.mean),
        mean_b: found.map(|c| c.after.mean),
        trials_a: found.map(|c| c.before.n_trials),
        trials_b: found.map(|c| c.after.n_trials),
        change: found.map(|c| c.change),
        interval_low: interval.map(|i| i.low),
        interval_high: interval.map(|i| i.high),
        interval_basis: interval.map(|i| i.basis.key()),
        detectable_ratio: detectable.map(|d| d.ratio),
        exceeds_detectable: detectable.map(|d| d.exceeded),
        not_available: row.as_ref().err().map(ToString::to_string),
    }
}

/// A comparison as JSON text; `processing` is that of the measures.
///
/// # Panics
/// Never: text, finite numbers and lists of them can always be written.
pub fn comparison_json(rows: &[ComparedMeasure], processing: &str) -> String {
    let shape = ComparisonShape {
        format: "footing comparison",
        format_version: FORMAT_VERSION,
        program: super::PROGRAM,
        processing,
        caution: super::CAUTION,
        measures: rows.iter().map(row_shape).collect(),
    };
    serde_json::to_string_pretty(&shape).expect("text, finite numbers and lists of them")
}

/// A comparison as CSV text, one row a measure; a cell without a value is empty.
///
/// # Panics
/// Never: rows of one length written to memory cannot be refused.
pub fn comparison_csv(rows: &[ComparedMeasure]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let in_memory = "rows of one length written to memory";
    for row in rows {
        writer.serialize(row_shape(row)).expect(in_memory);
    }
    String::from_utf8(writer.into_inner().expect(in_memory)).expect("made of text")
}
