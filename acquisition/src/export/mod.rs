//! A trial's samples and facts, and sets of trials, in forms that any program reads.

mod facts_json;
mod fhir;
mod research_set;
mod samples_csv;

pub use facts_json::facts_json;
pub use fhir::{CODE_SYSTEM, code_system_json, fhir_bundle};
pub use research_set::{ResearchSet, ResearchSetError, ResearchSetReport};
pub use samples_csv::write_samples_csv;
