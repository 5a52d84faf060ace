//! What every trial must agree on with itself before it is sealed and after it is opened.

use thiserror::Error;
use uuid::Uuid;

use super::layout::MAX_SAMPLES;
use crate::calibration::BadCalibration;
use crate::stored_trial::{Origin, StoredTrial, TrialFacts};

/// How a trial contradicts itself.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Inconsistent {
    /// The id is not what names a trial.
    #[error("{found:?} is not a trial's id: a UUID of version 7 in small letters")]
    Id {
        /// The id found.
        found: String,
    },
    /// Text that should be hexadecimal digits.
    #[error("{what} should be {n_digits} hexadecimal digits in small letters, not {found:?}")]
    NotHex {
        /// What the text is.
        what: &'static str,
        /// How many digits there should be.
        n_digits: usize,
        /// The text found.
        found: String,
    },
    /// A fact that cannot be.
    #[error("{what} cannot be {value}")]
    Number {
        /// What the number is.
        what: &'static str,
        /// The number found.
        value: f64,
    },
    /// There is nothing in it.
    #[error("it holds no sample")]
    NoSamples,
    /// There is more in it than a trial can hold.
    #[error("it holds {n_samples} samples, the limit is {limit}")]
    TooManySamples {
        /// How many there are.
        n_samples: usize,
        /// How many there may be.
        limit: usize,
    },
    /// Two lists that should be equally long.
    #[error("it holds {found} {what} for {n_samples} samples")]
    Length {
        /// What the list holds.
        what: &'static str,
        /// How long it is.
        found: usize,
        /// How long it should be.
        n_samples: usize,
    },
    /// A centre of pressure that is no place.
    #[error("the centre of pressure of sample {index} is not a finite number")]
    Cop {
        /// Position of the sample, from 0.
        index: usize,
    },
    /// Counts without a board, or a board without counts or forces.
    #[error("a trial of a board has counts and forces, an imported one has no counts")]
    OriginWithoutSamples,
    /// A calibration no board can have.
    #[error(transparent)]
    Calibration(#[from] BadCalibration),
}

/// Checks lengths, ids and numbers. Order of time is not checked: what was recorded is kept as it
/// is, and the analysis refuses what it cannot use.
pub(super) fn check(trial: &StoredTrial) -> Result<(), Inconsistent> {
    check_facts(&trial.facts)?;
    check_origin(&trial.origin)?;
    check_samples(trial)
}

/// The facts alone; an id that passes can be a file's name.
pub(super) fn check_facts(facts: &TrialFacts) -> Result<(), Inconsistent> {
    let id = Uuid::try_parse(&facts.id).ok().filter(|id| id.get_version_num() == 7);
    if id.map(|id| id.to_string()).as_ref() != Some(&facts.id) {
        return Err(Inconsistent::Id { found: facts.id.chars().take(60).collect() });
    }
    let positive = |value: f64| value.is_finite() && 0.0 < value;
    let at_least_zero = |value: f64| value.is_finite() && 0.0 <= value;
    for (what, value, possible) in [
        ("the person's height in metres", facts.body_height_m, positive as fn(f64) -> bool),
        ("the person's mass in kilograms", facts.body_mass_kg, positive),
        ("the height of the sole in millimetres", facts.setup.sole_height_mm, at_least_zero),
        ("the time of settling in seconds", Some(facts.settled_s), at_least_zero),
        ("the hold asked for in seconds", Some(facts.asked_s), at_least_zero),
    ] {
        if let Some(value) = value.filter(|&value| !possible(value)) {
            return Err(Inconsistent::Number { what, value });
        }
    }
    Ok(())
}

fn check_origin(origin: &Origin) -> Result<(), Inconsistent> {
    match origin {
        Origin::Board(board) => {
            check_hex("a board's id", 24, &board.board_id)?;
            if !(board.frames_per_s.is_finite() && 0.0 < board.frames_per_s) {
                let (what, value) = ("the number of frames per second", board.frames_per_s);
                return Err(Inconsistent::Number { what, value });
            }
            if let Some(value) = board.temperature_c.filter(|value| !value.is_finite()) {
                return Err(Inconsistent::Number { what: "the temperature", value });
            }
            let zeros =
                board.zero.counts.iter().chain(board.zero_after.iter().flat_map(|z| &z.counts));
            if let Some(&value) = zeros.into_iter().find(|value| !value.is_finite()) {
                return Err(Inconsistent::Number { what: "a zero", value });
            }
            if let Some(original) = &board.recomputed {
                check_hex("the digest of the original", 64, &original.original_digest)?;
            }
            Ok(board.calibration.check()?)
        }
        Origin::Imported(import) => check_hex("the digest of the file", 64, &import.sha256),
    }
}

fn check_samples(trial: &StoredTrial) -> Result<(), Inconsistent> {
    let samples = &trial.samples;
    let n_samples = samples.n_samples();
    if n_samples == 0 {
        return Err(Inconsistent::NoSamples);
    }
    if MAX_SAMPLES < n_samples {
        return Err(Inconsistent::TooManySamples { n_samples, limit: MAX_SAMPLES });
    }
    let complete = match &trial.origin {
        Origin::Board(_) => samples.raw.is_some() && samples.forces_newtons.is_some(),
        Origin::Imported(_) => samples.raw.is_none(),
    };
    if !complete {
        return Err(Inconsistent::OriginWithoutSamples);
    }
    let raw = samples.raw.as_ref();
    for (what, found) in [
        ("sequence numbers", Some(samples.sequence.len())),
        ("sets of counts", raw.map(|raw| raw.counts.len())),
        ("sets of status bits", raw.map(|raw| raw.status.len())),
        ("sets of forces", samples.forces_newtons.as_ref().map(Vec::len)),
        ("centres of pressure", Some(samples.cop.len())),
    ] {
        if let Some(found) = found.filter(|&found| found != n_samples) {
            return Err(Inconsistent::Length { what, found, n_samples });
        }
    }
    let finite = |cop: analysis::Cop| cop.ml_mm.is_finite() && cop.ap_mm.is_finite();
    match samples.cop.iter().position(|cop| cop.is_some_and(|cop| !finite(cop))) {
        Some(index) => Err(Inconsistent::Cop { index }),
        None => Ok(()),
    }
}

fn check_hex(what: &'static str, n_digits: usize, text: &str) -> Result<(), Inconsistent> {
    let digit = |byte: u8| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte);
    if text.len() == n_digits && text.bytes().all(digit) {
        Ok(())
    } else {
        let found = text.chars().take(80).collect();
        Err(Inconsistent::NotHex { what, n_digits, found })
    }
}
