//! A trial's samples and facts in forms that any program reads.

mod facts_json;
mod samples_csv;

pub use facts_json::facts_json;
pub use samples_csv::write_samples_csv;
