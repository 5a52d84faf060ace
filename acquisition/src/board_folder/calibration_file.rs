//! A calibration as a JSON file: our own shapes, by name, with a version.

use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::versioned_file::bounded;
use crate::calibrate::{CalibrationRecord, HoldOutCheck, Jig, Purpose, Spot, SpotRecord};
use crate::calibration::BadCalibration;
use crate::calibration_shape::CalibrationShape;

const FORMAT: &str = "footing-calibration";
const FORMAT_VERSION: u32 = 1;

/// A file that holds no calibration this program can use.
#[derive(Debug, Error)]
pub enum BadCalibrationFile {
    /// The system could not read it.
    #[error("it cannot be read")]
    Unreadable(#[from] io::Error),
    /// Not JSON of the shape expected.
    #[error("it is not a calibration")]
    Json(#[from] serde_json::Error),
    /// Of another format or a later version.
    #[error(
        "it is {format:?} of version {version}; this program reads {FORMAT:?} up to version {FORMAT_VERSION}"
    )]
    Format {
        /// The format found.
        format: String,
        /// The version found.
        version: u32,
    },
    /// A word or a number that means nothing.
    #[error("its {what} cannot be {found}")]
    Value {
        /// Which field.
        what: &'static str,
        /// What stands there.
        found: String,
    },
    /// Numbers no board can have.
    #[error(transparent)]
    Calibration(#[from] BadCalibration),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FileShape {
    format: String,
    format_version: u32,
    made: String,
    program: String,
    temperature_c: Option<f64>,
    mass_kg: f64,
    jig: String,
    chi_square: f64,
    degrees_of_freedom: usize,
    corner_load_spread: f64,
    largest_uncertainty_mm: f64,
    hold_out: Option<HoldOutShape>,
    calibration: CalibrationShape,
    spots: Vec<SpotShape>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct HoldOutShape {
    n_spots: usize,
    radial_rms_mm: f64,
    largest_mm: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SpotShape {
    purpose: String,
    ml_mm: f64,
    ap_mm: f64,
    counts: [f64; 4],
    left_newtons: f64,
    left_ml_mm: f64,
    left_ap_mm: f64,
}

/// Only what the file says it is, read before anything else is believed.
#[derive(Deserialize)]
struct KindShape {
    format: String,
    format_version: u32,
}

pub(super) fn to_json(record: &CalibrationRecord) -> Result<Vec<u8>, serde_json::Error> {
    serde_json::to_vec_pretty(&FileShape {
        format: FORMAT.to_owned(),
        format_version: FORMAT_VERSION,
        made: record.made.to_string(),
        program: record.program.clone(),
        temperature_c: record.temperature_c,
        mass_kg: record.mass_kg,
        jig: record.jig.key().to_owned(),
        chi_square: record.chi_square,
        degrees_of_freedom: record.degrees_of_freedom,
        corner_load_spread: record.corner_load_spread,
        largest_uncertainty_mm: record.largest_uncertainty_mm,
        hold_out: record.hold_out.map(|check| HoldOutShape {
            n_spots: check.n_spots,
            radial_rms_mm: check.radial_rms_mm,
            largest_mm: check.largest_mm,
        }),
        calibration: CalibrationShape::from_calibration(&record.calibration),
        spots: record.spots.iter().map(spot_shape).collect(),
    })
}

fn spot_shape(found: &SpotRecord) -> SpotShape {
    SpotShape {
        purpose: found.spot.purpose.key().to_owned(),
        ml_mm: found.spot.ml_mm,
        ap_mm: found.spot.ap_mm,
        counts: found.counts,
        left_newtons: found.left_newtons,
        left_ml_mm: found.left_ml_mm,
        left_ap_mm: found.left_ap_mm,
    }
}

/// The calibration in a file, checked.
///
/// # Errors
/// [`BadCalibrationFile`].
pub fn read_calibration(path: &Path) -> Result<CalibrationRecord, BadCalibrationFile> {
    from_json(&bounded(path)?)
}

fn from_json(bytes: &[u8]) -> Result<CalibrationRecord, BadCalibrationFile> {
    let kind: KindShape = serde_json::from_slice(bytes)?;
    if kind.format != FORMAT || FORMAT_VERSION < kind.format_version {
        let format = kind.format.chars().take(40).collect();
        return Err(BadCalibrationFile::Format { format, version: kind.format_version });
    }
    let shape: FileShape = serde_json::from_slice(bytes)?;
    let calibration = shape.calibration.into_calibration();
    calibration.check()?;
    let jig = Jig::ALL.iter().copied().find(|jig| jig.key() == shape.jig);
    let positive = |value: f64| value.is_finite() && 0.0 < value;
    for (what, value) in [("mass", shape.mass_kg), ("uncertainty", shape.largest_uncertainty_mm)] {
        if !positive(value) {
            return Err(BadCalibrationFile::Value { what, found: value.to_string() });
        }
    }
    Ok(CalibrationRecord {
        calibration,
        made: shape.made.parse().map_err(|_bad| value("date", &shape.made))?,
        program: shape.program,
        temperature_c: shape.temperature_c,
        mass_kg: shape.mass_kg,
        jig: jig.ok_or_else(|| value("jig", &shape.jig))?,
        spots: shape.spots.iter().map(spot).collect::<Result<_, _>>()?,
        chi_square: shape.chi_square,
        degrees_of_freedom: shape.degrees_of_freedom,
        corner_load_spread: shape.corner_load_spread,
        hold_out: shape.hold_out.map(|check| HoldOutCheck {
            n_spots: check.n_spots,
            radial_rms_mm: check.radial_rms_mm,
            largest_mm: check.largest_mm,
        }),
        largest_uncertainty_mm: shape.largest_uncertainty_mm,
    })
}

fn spot(shape: &SpotShape) -> Result<SpotRecord, BadCalibrationFile> {
    let purpose = Purpose::ALL.iter().copied().find(|purpose| purpose.key() == shape.purpose);
    Ok(SpotRecord {
        spot: Spot {
            ml_mm: shape.ml_mm,
            ap_mm: shape.ap_mm,
            purpose: purpose.ok_or_else(|| value("purpose of a spot", &shape.purpose))?,
        },
        counts: shape.counts,
        left_newtons: shape.left_newtons,
        left_ml_mm: shape.left_ml_mm,
        left_ap_mm: shape.left_ap_mm,
    })
}

fn value(what: &'static str, found: &str) -> BadCalibrationFile {
    BadCalibrationFile::Value {
        what,
        found: format!("{:?}", found.chars().take(40).collect::<String>()),
    }
}
