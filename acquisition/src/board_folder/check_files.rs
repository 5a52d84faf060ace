//! Dead-weight checks and acceptance tests as JSON files.

use analysis::NoiseFloor;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::board_test::{DeadWeight, Finding, Limit};
use crate::wall_time::WallTime;

const DEAD_WEIGHT_FORMAT: &str = "footing-dead-weight";
const TESTS_FORMAT: &str = "footing-board-tests";
const FORMAT_VERSION: u32 = 1;

/// A dead-weight check that cannot be used.
#[derive(Debug, Error)]
pub enum BadDeadWeightFile {
    /// The system could not read it.
    #[error("it cannot be read")]
    Unreadable(#[from] std::io::Error),
    /// It is no JSON of the shape expected, or too long to be one.
    #[error("it is not a dead-weight check")]
    Json(#[from] serde_json::Error),
    /// Of another format or version.
    #[error(
        "it is {format:?} of version {version}, not {DEAD_WEIGHT_FORMAT:?} of {FORMAT_VERSION}"
    )]
    Format {
        /// The format found.
        format: String,
        /// The version found.
        version: u32,
    },
    /// A number that cannot be.
    #[error("its {what} cannot be {value}")]
    Number {
        /// Which.
        what: &'static str,
        /// What stands there.
        value: f64,
    },
}

/// When, on which board and with what something was checked.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckedWith {
    /// The board's 96-bit id.
    pub board_id: String,
    /// When.
    pub at: WallTime,
    /// Id of the calibration that was used.
    pub calibration: String,
    /// Temperature beside the converter, in degrees Celsius, if the board reports it.
    pub temperature_c: Option<f64>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WithShape {
    format: String,
    format_version: u32,
    program: String,
    board_id: String,
    made: String,
    calibration: String,
    temperature_c: Option<f64>,
}

impl WithShape {
    fn new(format: &str, with: &CheckedWith) -> Self {
        Self {
            format: format.to_owned(),
            format_version: FORMAT_VERSION,
            program: crate::results::PROGRAM.to_owned(),
            board_id: with.board_id.clone(),
            made: with.at.to_string(),
            calibration: with.calibration.clone(),
            temperature_c: with.temperature_c,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DeadWeightShape {
    checked: WithShape,
    seconds: f64,
    frames_per_s: f64,
    load_newtons: f64,
    cell_rms_newtons: [f64; 4],
    sd_ml_mm: f64,
    sd_ap_mm: f64,
    path_rate_mm_per_s: f64,
    path_rate_uncertainty_mm_per_s: f64,
    largest_line_mm: f64,
    largest_line_hz: f64,
}

pub(super) fn dead_weight_json(
    shown: &DeadWeight,
    with: &CheckedWith,
) -> Result<Vec<u8>, serde_json::Error> {
    serde_json::to_vec_pretty(&DeadWeightShape {
        checked: WithShape::new(DEAD_WEIGHT_FORMAT, with),
        seconds: shown.seconds,
        frames_per_s: shown.frames_per_s,
        load_newtons: shown.floor.load_newtons,
        cell_rms_newtons: shown.cell_rms_newtons,
        sd_ml_mm: shown.sd_ml_mm,
        sd_ap_mm: shown.sd_ap_mm,
        path_rate_mm_per_s: shown.floor.path_rate_mm_per_s,
        path_rate_uncertainty_mm_per_s: shown.floor.uncertainty_mm_per_s,
        largest_line_mm: shown.largest_line_mm,
        largest_line_hz: shown.largest_line_hz,
    })
}

/// The noise floor in a dead-weight check.
pub(super) fn noise_floor(bytes: &[u8]) -> Result<NoiseFloor, BadDeadWeightFile> {
    let shape: DeadWeightShape = serde_json::from_slice(bytes)?;
    let WithShape { format, format_version, .. } = shape.checked;
    if format != DEAD_WEIGHT_FORMAT || format_version != FORMAT_VERSION {
        let format = format.chars().take(40).collect();
        return Err(BadDeadWeightFile::Format { format, version: format_version });
    }
    let positive = |value: f64| value.is_finite() && 0.0 < value;
    for (what, value, possible) in [
        ("load", shape.load_newtons, positive(shape.load_newtons)),
        ("path", shape.path_rate_mm_per_s, positive(shape.path_rate_mm_per_s)),
        (
            "uncertainty",
            shape.path_rate_uncertainty_mm_per_s,
            0.0 <= shape.path_rate_uncertainty_mm_per_s,
        ),
    ] {
        if !possible {
            return Err(BadDeadWeightFile::Number { what, value });
        }
    }
    Ok(NoiseFloor {
        path_rate_mm_per_s: shape.path_rate_mm_per_s,
        uncertainty_mm_per_s: shape.path_rate_uncertainty_mm_per_s,
        load_newtons: shape.load_newtons,
    })
}

#[derive(Serialize)]
struct TestsShape<'a> {
    checked: WithShape,
    findings: Vec<FindingShape<'a>>,
}

#[derive(Serialize)]
struct FindingShape<'a> {
    test: &'static str,
    quantity: &'a str,
    value: f64,
    unit: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tolerance: Option<f64>,
    within_limit: bool,
}

pub(super) fn tests_json(
    findings: &[Finding],
    with: &CheckedWith,
) -> Result<Vec<u8>, serde_json::Error> {
    serde_json::to_vec_pretty(&TestsShape {
        checked: WithShape::new(TESTS_FORMAT, with),
        findings: findings.iter().map(finding_shape).collect(),
    })
}

fn finding_shape(finding: &Finding) -> FindingShape<'_> {
    let (at_most, at_least, wanted, tolerance) = match finding.limit {
        Limit::AtMost(limit) => (Some(limit), None, None, None),
        Limit::AtLeast(limit) => (None, Some(limit), None, None),
        Limit::Near { wanted, tolerance } => (None, None, Some(wanted), Some(tolerance)),
    };
    FindingShape {
        test: finding.test.key(),
        quantity: finding.quantity,
        value: finding.value,
        unit: finding.unit,
        at_most,
        at_least,
        wanted,
        tolerance,
        within_limit: finding.is_within(),
    }
}

/// The findings as JSON, for whoever reads on.
///
/// # Errors
/// Never for findings made by this program; the JSON library decides.
pub fn findings_json(findings: &[Finding]) -> Result<serde_json::Value, serde_json::Error> {
    serde_json::to_value(findings.iter().map(finding_shape).collect::<Vec<_>>())
}
