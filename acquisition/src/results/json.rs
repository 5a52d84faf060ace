//! Results as JSON.

use std::collections::BTreeMap;

use analysis::{MEASURES, MeasureDef, Measures, Plane, Processing};
use serde::Serialize;

use super::measured_file::{Found, MeasuredFile};
use crate::stored_trial::Origin;

/// Version of this shape; it grows when a name goes or changes its meaning.
const FORMAT_VERSION: u32 = 1;

#[derive(Serialize)]
struct ResultsShape<'a> {
    format: &'static str,
    format_version: u32,
    program: &'static str,
    processing: &'static str,
    caution: &'static str,
    trials: Vec<TrialShape<'a>>,
}

#[derive(Serialize)]
struct TrialShape<'a> {
    file: String,
    id: &'a str,
    person: &'a str,
    condition: String,
    kind: &'static str,
    started: String,
    board: &'a str,
    sole_height_mm: Option<f64>,
    body_height_m: Option<f64>,
    body_height_assumed: Option<bool>,
    plane: Option<&'static str>,
    recorded_by: &'a str,
    lost_on_the_link: Option<LinkShape>,
    continuity: Option<ContinuityShape>,
    quality: Option<Vec<&'static str>>,
    not_available: Option<String>,
    mean_cop: Option<PlaceShape>,
    measures: BTreeMap<&'static str, ValueShape>,
}

#[derive(Serialize)]
struct LinkShape {
    lost_frames: u64,
    damaged_frames: u64,
    repeated_frames: u64,
    ended: &'static str,
}

#[derive(Serialize)]
struct ContinuityShape {
    true_rate_hz: f64,
    expected_samples: usize,
    lost_samples: usize,
    unloaded_samples: usize,
    bridged_gaps: usize,
    splits: usize,
    longest_gap_ms: f64,
    jitter_ms: f64,
}

#[derive(Serialize)]
struct PlaceShape {
    ml_mm: f64,
    ap_mm: f64,
}

#[derive(Serialize)]
#[serde(untagged)]
enum ValueShape {
    Value { value: f64, unit: &'static str },
    NotAvailable { not_available: String, unit: &'static str },
}

/// Measures of trials as JSON text, with units, settings and the program's version.
///
/// Numbers are written so that they read back to the same bits.
///
/// # Panics
/// Never: text, finite numbers and lists of them can always be written.
pub fn results_json(files: &[MeasuredFile], processing: Processing) -> String {
    let shape = ResultsShape {
        format: "footing results",
        format_version: FORMAT_VERSION,
        program: super::PROGRAM,
        processing: processing.key(),
        caution: super::CAUTION,
        trials: files.iter().map(trial_shape).collect(),
    };
    serde_json::to_string_pretty(&shape).expect("text, finite numbers and lists of them")
}

fn trial_shape(file: &MeasuredFile) -> TrialShape<'_> {
    let facts = &file.facts;
    let found = file.found.as_ref().ok();
    let measures = found.map(|found| &found.measured.measures);
    TrialShape {
        file: file.path.display().to_string(),
        id: &facts.id,
        person: facts.person.as_str(),
        condition: facts.condition.to_string(),
        kind: facts.kind.key(),
        started: facts.started.to_string(),
        board: &facts.setup.board,
        sole_height_mm: facts.setup.sole_height_mm,
        body_height_m: facts.body_height_m,
        body_height_assumed: measures.map(|measures| measures.body_height_assumed),
        plane: measures.map(|measures| plane_key(measures.plane)),
        recorded_by: &facts.program,
        lost_on_the_link: link_shape(&file.origin),
        continuity: found.map(continuity_shape),
        quality: file.flags().map(|flags| flags.iter().map(|flag| flag.key()).collect()),
        not_available: file.found.as_ref().err().map(ToString::to_string),
        mean_cop: measures
            .and_then(|measures| measures.mean_cop.ok())
            .map(|cop| PlaceShape { ml_mm: cop.ml_mm, ap_mm: cop.ap_mm }),
        measures: measures.map(values).unwrap_or_default(),
    }
}

fn plane_key(plane: Plane) -> &'static str {
    match plane {
        Plane::Plate => "plate",
        Plane::Sole => "sole",
    }
}

fn link_shape(origin: &Origin) -> Option<LinkShape> {
    match origin {
        Origin::Board(board) => Some(LinkShape {
            lost_frames: board.link.lost_frames,
            damaged_frames: board.link.damaged_frames,
            repeated_frames: board.link.repeated_frames,
            ended: board.ended.key(),
        }),
        Origin::Imported(_) => None,
    }
}

fn continuity_shape(found: &Found) -> ContinuityShape {
    let continuity = &found.continuity;
    ContinuityShape {
        true_rate_hz: continuity.true_rate.hz(),
        expected_samples: continuity.n_expected,
        lost_samples: continuity.n_lost,
        unloaded_samples: continuity.n_unloaded,
        bridged_gaps: continuity.n_bridged,
        splits: continuity.n_splits,
        longest_gap_ms: continuity.longest_gap_ms,
        jitter_ms: continuity.jitter_ms,
    }
}

fn values(measures: &Measures) -> BTreeMap<&'static str, ValueShape> {
    let shape = |measure: &MeasureDef| {
        let unit = measure.unit.key();
        match (measure.value)(measures) {
            Ok(value) => ValueShape::Value { value, unit },
            Err(reason) => ValueShape::NotAvailable { not_available: reason.to_string(), unit },
        }
    };
    MEASURES.iter().map(|measure| (measure.key, shape(measure))).collect()
}
