//! Records of many trials that nobody stood, for timing: no trial files, and nothing is concluded
//! from their numbers.

use acquisition::library::Library;
use acquisition::records::{Measurement, PlanDraft, Records, TrialRecord};
use acquisition::{TrialFacts, WallTime};
use analysis::{Condition, Facing, MEASURES, PersonCode, Processing, Setup, TrialKind};
use anyhow::Result;

pub(crate) const TRIALS_PER_PERSON: usize = 200;
const TRIALS_PER_SESSION: usize = 8;
const BATCH: usize = 5_000;

/// 2023-11-14, 22:13 UTC.
const FIRST_START_US: i64 = 1_700_000_000_000_000;

pub(crate) fn code(person: usize) -> Result<PersonCode> {
    Ok(format!("P-{person:05}").parse()?)
}

/// So many trials, 200 for each person, and a plan for each.
pub(crate) fn generate(library: &Library, n_trials: usize) -> Result<()> {
    let mut records = Records::open(library)?;
    let indices: Vec<usize> = (0..n_trials).collect();
    for batch in indices.chunks(BATCH) {
        let trials: Result<Vec<TrialRecord>> = batch.iter().map(|&index| trial(index)).collect();
        records.put_trials(&trials?)?;
    }
    let made = WallTime::new(FIRST_START_US, 0)?;
    for person in 0..n_trials.div_ceil(TRIALS_PER_PERSON) {
        let draft = PlanDraft::to_begin_with();
        records.put_next_plan(&code(person)?, draft, "generated", made)?;
    }
    Ok(())
}

/// A trial as if it had been recorded; its numbers only have to be of the usual size.
fn trial(index: usize) -> Result<TrialRecord> {
    let number = index as f64;
    let person = index / TRIALS_PER_PERSON;
    let session = index / TRIALS_PER_SESSION;
    // A session a day, a trial a minute.
    let day = i64::try_from(index % TRIALS_PER_PERSON / TRIALS_PER_SESSION)?;
    let minute = i64::try_from(index % TRIALS_PER_SESSION)?;
    let started_us = FIRST_START_US + day * 86_400_000_000 + minute * 60_000_000;
    let value = |place: usize| 1.0 + ((number + 1.0) * (place as f64 + 1.0)).sin().abs() * 40.0;
    let condition: Condition =
        if index.is_multiple_of(2) { "foam/together/open" } else { "foam/together/closed" }
            .parse()?;
    Ok(TrialRecord {
        facts: TrialFacts {
            id: format!("018f4e2a-7c00-7123-8abc-{index:012x}"),
            person: code(person)?,
            session: Some(format!("018f4e2a-7c00-7123-9abc-{session:012x}")),
            plan: None,
            condition,
            kind: TrialKind::Measured,
            setup: Setup {
                board: "0123456789abcdef01234567".to_owned(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            body_height_m: Some(1.7),
            body_mass_kg: Some(70.0),
            started: WallTime::new(started_us, 0)?,
            settled_s: 12.0,
            asked_s: 35.0,
            program: "footing 0.1.0".to_owned(),
        },
        digest: format!("{index:064x}").parse()?,
        n_samples: 35_000,
        ended: Some(acquisition::Ending::HoldReached),
        calibration: Some(acquisition::CalibrationKind::Fitted),
        measurement: Measurement {
            processing: Processing::Standard,
            program: "footing 0.1.0".to_owned(),
            body_height_assumed: false,
            flags: Some(Vec::new()),
            not_available: None,
            values: MEASURES
                .iter()
                .enumerate()
                .map(|(place, measure)| (measure.key.to_owned(), value(place)))
                .collect(),
            position: None,
        },
    })
}
