//! Results: trial files measured, and the JSON and CSV in which measures leave the program.

mod comparison;
mod csv;
mod json;
mod measured_file;

pub use comparison::{ComparedMeasure, compare_all, comparison_csv, comparison_json};
pub use csv::results_csv;
pub use json::results_json;
pub use measured_file::{
    Found, MeasuredFile, measure_file, measure_with_samples, measure_with_trace,
};

/// Name and version of what computes and writes; stored with every result.
pub const PROGRAM: &str = concat!("footing ", env!("CARGO_PKG_VERSION"));

/// Stands in everything that is written for a machine to read on.
pub const CAUTION: &str =
    "a measurement, not a diagnosis; local rules and licensed practice come first";
