//! Results: trial files measured, and the JSON and CSV in which measures leave the program.

mod csv;
mod json;
mod measured_file;

pub use csv::results_csv;
pub use json::results_json;
pub use measured_file::{Found, MeasuredFile, measure_file};

/// Name and version of what computes and writes; stored with every result.
pub const PROGRAM: &str = concat!("footing ", env!("CARGO_PKG_VERSION"));
