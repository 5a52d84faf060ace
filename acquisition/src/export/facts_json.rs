//! What is known of a trial besides its samples, as JSON.

use serde::Serialize;

use crate::calibration::{Calibration, CalibrationKind};
use crate::stored_trial::{Origin, StoredTrial};

/// Version of this shape; it grows when a name goes or changes its meaning.
const FORMAT_VERSION: u32 = 1;

#[derive(Serialize)]
struct FactsShape<'a> {
    format: &'static str,
    format_version: u32,
    id: &'a str,
    person: &'a str,
    session: Option<&'a str>,
    plan: Option<&'a str>,
    surface: &'static str,
    stance: &'static str,
    vision: &'static str,
    support: &'static str,
    band: &'static str,
    kind: &'static str,
    board: &'a str,
    sole_height_mm: Option<f64>,
    facing: &'static str,
    body_height_m: Option<f64>,
    body_mass_kg: Option<f64>,
    started: String,
    settled_s: f64,
    asked_s: f64,
    program: &'a str,
    samples: usize,
    duration_s: f64,
    recorded: Option<RecordedShape<'a>>,
    imported: Option<ImportedShape<'a>>,
}

#[derive(Serialize)]
struct RecordedShape<'a> {
    board_id: &'a str,
    firmware: &'a str,
    frames_per_s: f64,
    temperature_c: Option<f64>,
    lost_frames: u64,
    damaged_frames: u64,
    repeated_frames: u64,
    ended: &'static str,
    zero_counts: [f64; 4],
    zero_board_time_us: u64,
    zero_after_counts: Option<[f64; 4]>,
    zero_after_board_time_us: Option<u64>,
    original_id: Option<&'a str>,
    original_digest: Option<&'a str>,
    calibration: CalibrationShape<'a>,
}

#[derive(Serialize)]
struct CalibrationShape<'a> {
    id: &'a str,
    version: u32,
    made_at_unix_us: i64,
    board_id: &'a str,
    kind: &'static str,
    newtons_per_count: [f64; 4],
    corners: [PlaceShape; 4],
    covariance: Option<Vec<Vec<f64>>>,
}

#[derive(Serialize)]
struct PlaceShape {
    ml_mm: f64,
    ap_mm: f64,
}

#[derive(Serialize)]
struct ImportedShape<'a> {
    file_name: &'a str,
    sha256: &'a str,
    column_map: &'a str,
}

/// The facts and the origin of `trial` as JSON text; either `recorded` or `imported` is null.
///
/// # Panics
/// Never: text, finite numbers and lists of them can always be written.
pub fn facts_json(trial: &StoredTrial) -> String {
    serde_json::to_string_pretty(&shape(trial)).expect("text, numbers and lists of them")
}

fn shape(trial: &StoredTrial) -> FactsShape<'_> {
    let facts = &trial.facts;
    let times = &trial.samples.time_us;
    let (recorded, imported) = match &trial.origin {
        Origin::Board(board) => (
            Some(RecordedShape {
                board_id: &board.board_id,
                firmware: &board.firmware,
                frames_per_s: board.frames_per_s,
                temperature_c: board.temperature_c,
                lost_frames: board.link.lost_frames,
                damaged_frames: board.link.damaged_frames,
                repeated_frames: board.link.repeated_frames,
                ended: board.ended.key(),
                zero_counts: board.zero.counts,
                zero_board_time_us: board.zero.board_time_us,
                zero_after_counts: board.zero_after.map(|zero| zero.counts),
                zero_after_board_time_us: board.zero_after.map(|zero| zero.board_time_us),
                original_id: board.recomputed.as_ref().map(|of| of.original_id.as_str()),
                original_digest: board.recomputed.as_ref().map(|of| of.original_digest.as_str()),
                calibration: calibration_shape(&board.calibration),
            }),
            None,
        ),
        Origin::Imported(import) => {
            let (file_name, sha256) = (&import.file_name, &import.sha256);
            (None, Some(ImportedShape { file_name, sha256, column_map: &import.column_map }))
        }
    };
    FactsShape {
        format: "footing trial facts",
        format_version: FORMAT_VERSION,
        id: &facts.id,
        person: facts.person.as_str(),
        session: facts.session.as_deref(),
        plan: facts.plan.as_deref(),
        surface: facts.condition.surface.key(),
        stance: facts.condition.stance.key(),
        vision: facts.condition.vision.key(),
        support: facts.condition.support.key(),
        band: facts.condition.band.key(),
        kind: facts.kind.key(),
        board: &facts.setup.board,
        sole_height_mm: facts.setup.sole_height_mm,
        facing: facts.setup.facing.key(),
        body_height_m: facts.body_height_m,
        body_mass_kg: facts.body_mass_kg,
        started: facts.started.to_string(),
        settled_s: facts.settled_s,
        asked_s: facts.asked_s,
        program: &facts.program,
        samples: trial.samples.n_samples(),
        duration_s: duration_s(times),
        recorded,
        imported,
    }
}

/// From the first sample to the last, by the clock of the samples; 0 for fewer than two.
fn duration_s(times_us: &[u64]) -> f64 {
    match times_us {
        [first, .., last] => last.saturating_sub(*first) as f64 / 1e6,
        _ => 0.0,
    }
}

fn calibration_shape(calibration: &Calibration) -> CalibrationShape<'_> {
    CalibrationShape {
        id: &calibration.id,
        version: calibration.version,
        made_at_unix_us: calibration.made_at_unix_us,
        board_id: &calibration.board_id,
        kind: match calibration.kind {
            CalibrationKind::Nominal => "nominal",
            CalibrationKind::Fitted => "fitted",
        },
        newtons_per_count: calibration.newtons_per_count,
        corners: calibration
            .corners
            .map(|place| PlaceShape { ml_mm: place.ml_mm, ap_mm: place.ap_mm }),
        covariance: calibration
            .covariance
            .as_ref()
            .map(|rows| rows.iter().map(|row| row.to_vec()).collect()),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;
    use crate::trial_file::tests::{ID, board_trial, imported_trial};

    fn read(trial: &StoredTrial) -> Value {
        serde_json::from_str(&facts_json(trial)).unwrap()
    }

    #[test]
    fn a_boards_trial_tells_how_it_was_recorded() {
        let facts = read(&board_trial(1001));
        assert_eq!(facts["id"], ID);
        assert_eq!(facts["started"], "2026-03-01T09:44:05.123456+01:00");
        assert_eq!((&facts["samples"], &facts["duration_s"]), (&json!(1001), &json!(1.0)));
        assert_eq!(facts["recorded"]["ended"], "step-off");
        assert_eq!(facts["recorded"]["calibration"]["corners"][1]["ml_mm"], 200.0);
        assert_eq!(facts["body_mass_kg"], Value::Null);
        assert_eq!(facts["imported"], Value::Null);
    }

    #[test]
    fn an_import_tells_from_what() {
        let facts = read(&imported_trial(2));
        assert_eq!(facts["imported"]["file_name"], "stand 7, première.txt");
        assert_eq!(facts["recorded"], Value::Null);
        assert_eq!(facts["band"], "upper-trunk");
    }
}
