//! One trial as one Observation.

use analysis::{MEASURES, MeasureDef};
use serde::Serialize;

use super::code_system::{CODE_SYSTEM, FACTS, STANDING_SWAY, ucum};
use crate::results::{CAUTION, MeasuredFile, PROGRAM};
use crate::stored_trial::Origin;
use crate::wall_time::WallTime;

const CATEGORIES: &str = "http://terminology.hl7.org/CodeSystem/observation-category";
const ABSENT_REASONS: &str = "http://terminology.hl7.org/CodeSystem/data-absent-reason";
const UCUM: &str = "http://unitsofmeasure.org";

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Observation {
    resource_type: &'static str,
    id: String,
    status: &'static str,
    category: [Concept; 1],
    code: Concept,
    subject: Subject,
    effective_period: Period,
    note: [Note; 1],
    method: Concept,
    device: Named,
    component: Vec<Component>,
}

#[derive(Serialize)]
struct Concept {
    #[serde(skip_serializing_if = "Vec::is_empty")]
    coding: Vec<Coding>,
    text: String,
}

#[derive(Serialize)]
struct Coding {
    system: &'static str,
    code: &'static str,
}

/// By a code that means something where it was given, and by nothing else.
#[derive(Serialize)]
struct Subject {
    identifier: Identifier,
}

#[derive(Serialize)]
struct Identifier {
    value: String,
}

#[derive(Serialize)]
struct Period {
    start: String,
    end: String,
}

#[derive(Serialize)]
struct Note {
    text: String,
}

#[derive(Serialize)]
struct Named {
    display: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Component {
    code: Concept,
    #[serde(skip_serializing_if = "Option::is_none")]
    value_quantity: Option<Quantity>,
    #[serde(skip_serializing_if = "Option::is_none")]
    value_string: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    data_absent_reason: Option<Concept>,
}

#[derive(Serialize)]
struct Quantity {
    value: f64,
    unit: &'static str,
    system: &'static str,
    code: &'static str,
}

pub(super) fn observation(file: &MeasuredFile) -> Observation {
    let facts = &file.facts;
    let firmware = match &file.origin {
        Origin::Board(board) => format!(", firmware {}", board.firmware),
        Origin::Imported(_) => String::new(),
    };
    let mut component = fact_components(file);
    let headlines = MEASURES.iter().filter(|measure| measure.headline);
    component.extend(headlines.map(|measure| measure_component(file, measure)));
    Observation {
        resource_type: "Observation",
        id: facts.id.clone(),
        status: "final",
        category: [Concept {
            coding: vec![Coding { system: CATEGORIES, code: "exam" }],
            text: "Standing on a plate".to_owned(),
        }],
        code: coded(STANDING_SWAY, format!("Standing sway, {}", facts.condition)),
        subject: Subject { identifier: Identifier { value: facts.person.to_string() } },
        effective_period: Period { start: facts.started.to_string(), end: end(file) },
        note: [Note { text: format!("{CAUTION}; computed by {PROGRAM}") }],
        method: Concept {
            coding: Vec::new(),
            text: "centre of pressure in the plane of the plate, by the definitions of the code \
                   system"
                .to_owned(),
        },
        device: Named { display: format!("{}{firmware}; {PROGRAM}", facts.setup.board) },
        component,
    }
}

/// When the record ended, by the samples there should be at the rate there was; its start if
/// nothing could be measured.
fn end(file: &MeasuredFile) -> String {
    let start = file.facts.started;
    let lasted_us = file.found.as_ref().map_or(0.0, |found| {
        let continuity = &found.continuity;
        continuity.n_expected.saturating_sub(1) as f64 * 1e6 / continuity.true_rate.hz()
    });
    #[expect(clippy::cast_possible_truncation, reason = "at most hours, in microseconds")]
    let unix_us = start.unix_us.saturating_add(lasted_us.round() as i64);
    WallTime { unix_us, ..start }.to_string()
}

fn coded(code: &'static str, text: String) -> Concept {
    Concept { coding: vec![Coding { system: CODE_SYSTEM, code }], text }
}

/// How the person stood and what was done to the recording, in the order of the code system.
fn fact_components(file: &MeasuredFile) -> Vec<Component> {
    let condition = &file.facts.condition;
    let settings = file.found.as_ref().ok().map(|found| found.measured.measures.settings);
    let flags = file.flags().map(|flags| {
        let keys: Vec<&str> = flags.iter().map(|flag| flag.key()).collect();
        if keys.is_empty() { "nothing to note".to_owned() } else { keys.join(", ") }
    });
    let values = [
        condition.surface.key().to_owned(),
        condition.stance.key().to_owned(),
        condition.vision.key().to_owned(),
        condition.support.key().to_owned(),
        condition.band.key().to_owned(),
        file.facts.kind.key().to_owned(),
        settings.map_or("not measured", |settings| settings.processing.key()).to_owned(),
        flags.unwrap_or_else(|| "not known".to_owned()),
    ];
    FACTS
        .into_iter()
        .zip(values)
        .map(|((code, meaning), value)| Component {
            code: coded(code, meaning.to_owned()),
            value_quantity: None,
            value_string: Some(value),
            data_absent_reason: None,
        })
        .collect()
}

fn measure_component(file: &MeasuredFile, measure: &MeasureDef) -> Component {
    let found = file.found.as_ref().map_err(|reason| *reason);
    let value = found.and_then(|found| (measure.value)(&found.measured.measures));
    let unit = ucum(measure.unit);
    Component {
        code: coded(measure.key, measure.definition.to_owned()),
        value_quantity: value.ok().map(|value| Quantity { value, unit, system: UCUM, code: unit }),
        value_string: None,
        data_absent_reason: value.err().map(|reason| Concept {
            coding: vec![Coding { system: ABSENT_REASONS, code: "not-performed" }],
            text: reason.to_string(),
        }),
    }
}
