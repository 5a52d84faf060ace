//! Headline measures as FHIR Observations (HL7, an open standard), in one Bundle.
//!
//! Only elements that R4 and R5 have in common are used, so that one file is both. The codes are
//! this project's own, told in `acquisition/docs/fhir.md`; units are those of UCUM.

mod code_system;
mod observation;

use serde::Serialize;

use crate::results::MeasuredFile;
pub use code_system::{CODE_SYSTEM, code_system_json};
use observation::{Observation, observation};

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Bundle {
    resource_type: &'static str,
    #[serde(rename = "type")]
    kind: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    entry: Vec<Entry>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Entry {
    full_url: String,
    resource: Observation,
}

/// Measures of trials as the text of a FHIR Bundle of kind "collection", one Observation a trial.
///
/// People are named by their codes alone. A measure without a value says why. The same trials give
/// the same text: no clock is read.
///
/// # Panics
/// Never: text, finite numbers and lists of them can always be written.
pub fn fhir_bundle(files: &[MeasuredFile]) -> String {
    let entry = |file: &MeasuredFile| Entry {
        full_url: format!("urn:uuid:{}", file.facts.id),
        resource: observation(file),
    };
    let bundle = Bundle {
        resource_type: "Bundle",
        kind: "collection",
        entry: files.iter().map(entry).collect(),
    };
    serde_json::to_string_pretty(&bundle).expect("text, finite numbers and lists of them")
}
