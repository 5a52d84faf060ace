//! A trial for the paced board.

use acquisition::{Calibration, RecordRequest, TrialFacts, WallTime};
use analysis::{Condition, Facing, Setup, Stance, Surface, TrialKind, Vision};

/// Recorded as soon as somebody stands still.
pub(crate) fn request() -> RecordRequest {
    RecordRequest {
        facts: TrialFacts {
            id: "01936d6c-7a10-7b3c-9d4e-0123456789ab".to_owned(),
            person: "P-01".parse().expect("a person's code"),
            session: None,
            plan: None,
            condition: Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open),
            kind: TrialKind::Measured,
            setup: Setup { board: String::new(), sole_height_mm: None, facing: Facing::Front },
            body_height_m: Some(1.7),
            body_mass_kg: None,
            started: WallTime { unix_us: 0, offset_s: 0 },
            settled_s: 0.0,
            asked_s: 0.0,
            program: "paced board".to_owned(),
        },
        calibration: Calibration::nominal("paced", 128),
        settle_s: 0.0,
        record_s: 60.0,
        forbidden: None,
    }
}
