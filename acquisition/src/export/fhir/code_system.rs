//! Our own codes: what is observed, how the person stood, and the measures.

use analysis::{MEASURES, Unit};
use serde_json::{Value, json};

use crate::results::PROGRAM;

/// Names our codes in FHIR; drawn once at random, as no standard body names these measures.
pub const CODE_SYSTEM: &str = "urn:uuid:845b025f-5090-4e34-983d-268c4a06abc2";

/// What an Observation is of, before its components.
pub(super) const STANDING_SWAY: &str = "standing-sway";

/// Components that are no measures: code and meaning.
pub(super) const FACTS: [(&str, &str); 8] = [
    ("surface", "What the person stood on"),
    ("stance", "How the feet stood"),
    ("vision", "Whether the eyes were open"),
    ("support", "Planned support of a hand"),
    ("band", "Where a band pulled"),
    ("kind", "What the trial was for: measured, guided or practice"),
    ("processing", "What was done to the recording before it was measured"),
    ("quality", "What has to be said beside every number"),
];

/// Sign of a unit in the Unified Code for Units of Measure, case sensitive form.
///
/// # Source
/// UCUM, <https://ucum.org/ucum>, tables of base and derived units.
pub(super) const fn ucum(unit: Unit) -> &'static str {
    match unit {
        Unit::Seconds => "s",
        Unit::Millimetres => "mm",
        Unit::SquareMillimetres => "mm2",
        Unit::MillimetresPerSecond => "mm/s",
        Unit::SquareMillimetresPerSecond => "mm2/s",
        Unit::Hertz => "Hz",
        Unit::Degrees => "deg",
        Unit::Share | Unit::Count | Unit::One => "1",
    }
}

/// The code system as a FHIR resource: every code the Bundles use, and the other measures.
///
/// # Panics
/// Never: text and lists of it can always be written.
pub fn code_system_json() -> String {
    let fact = |(code, meaning): &(&str, &str)| json!({"code": code, "display": meaning});
    let measure = |measure: &analysis::MeasureDef| {
        json!({
            "code": measure.key,
            "display": measure.key.replace('_', " "),
            "definition": format!(
                "{} [{}]. Source: {}.", measure.definition, ucum(measure.unit), measure.source
            ),
        })
    };
    let sway = json!({
        "code": STANDING_SWAY,
        "display": "Standing sway",
        "definition": "Sway of the centre of pressure of a person who stands still on a plate",
    });
    let concepts: Vec<Value> = std::iter::once(sway)
        .chain(FACTS.iter().map(fact))
        .chain(MEASURES.iter().map(measure))
        .collect();
    let system = json!({
        "resourceType": "CodeSystem",
        "url": CODE_SYSTEM,
        "version": PROGRAM.rsplit(' ').next(),
        "name": "FootingMeasures",
        "title": "Measures of standing sway",
        "status": "active",
        "experimental": false,
        "description": "A measurement, not a diagnosis. Definitions: analysis/docs.",
        "caseSensitive": true,
        "content": "complete",
        "concept": concepts,
    });
    serde_json::to_string_pretty(&system).expect("text and lists of it")
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// The page is what the program says; `acquisition/docs/fhir-codes.json` is made by this text.
    #[test]
    fn the_documented_codes_are_those_in_use() {
        let page = include_str!("../../../docs/fhir-codes.json");
        assert_eq!(page.trim_end(), code_system_json(), "write it anew from code_system_json()");
    }

    #[test]
    fn no_code_means_two_things() {
        let system: Value = serde_json::from_str(&code_system_json()).unwrap();
        let concepts = system["concept"].as_array().unwrap();
        let codes: BTreeSet<&str> =
            concepts.iter().map(|concept| concept["code"].as_str().unwrap()).collect();
        assert_eq!(codes.len(), concepts.len());
        assert_eq!(codes.len(), 1 + FACTS.len() + MEASURES.len());
    }
}
