//! A calibration as JSON: in the journal's first block, and in a board's folder.

use serde::{Deserialize, Serialize};

use crate::calibration::{Calibration, CalibrationKind, CornerPosition};

/// The fields of a calibration by name; read values are checked by whoever takes them.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CalibrationShape {
    id: String,
    version: u32,
    made_at_unix_us: i64,
    board_id: String,
    fitted: bool,
    newtons_per_count: [f64; 4],
    corners_ml_ap_mm: [[f64; 2]; 4],
    covariance: Option<[[f64; 12]; 12]>,
}

impl CalibrationShape {
    pub(crate) fn from_calibration(calibration: &Calibration) -> Self {
        Self {
            id: calibration.id.clone(),
            version: calibration.version,
            made_at_unix_us: calibration.made_at_unix_us,
            board_id: calibration.board_id.clone(),
            fitted: calibration.kind == CalibrationKind::Fitted,
            newtons_per_count: calibration.newtons_per_count,
            corners_ml_ap_mm: calibration.corners.map(|corner| [corner.ml_mm, corner.ap_mm]),
            covariance: calibration.covariance.as_deref().copied(),
        }
    }

    pub(crate) fn into_calibration(self) -> Calibration {
        Calibration {
            id: self.id,
            version: self.version,
            made_at_unix_us: self.made_at_unix_us,
            board_id: self.board_id,
            kind: if self.fitted { CalibrationKind::Fitted } else { CalibrationKind::Nominal },
            newtons_per_count: self.newtons_per_count,
            corners: self.corners_ml_ap_mm.map(|[ml_mm, ap_mm]| CornerPosition { ml_mm, ap_mm }),
            covariance: self.covariance.map(Box::new),
        }
    }
}
