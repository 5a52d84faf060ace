//! A trial: one recorded stand, and what must agree before two are compared.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

use crate::condition::Condition;
use crate::keyed::keyed_enum;
use crate::trace::Trace;

keyed_enum! {
    /// What a trial is for; only measured trials are compared or judged.
    pub enum TrialKind ("kind of trial") {
        /// Nothing shown or sounded but start and end.
        Measured = "measured",
        /// A training hold with live cues; feedback changes the sway it shows.
        Guided = "guided",
        /// Unscored, to get used to the condition.
        Practice = "practice",
    }
}

keyed_enum! {
    /// Which side of the board the person faces; the front of the board is marked.
    pub enum Facing ("way of facing") {
        /// Towards the board's marked front.
        Front = "front",
        /// Towards the side opposite the mark.
        Back = "back",
        /// Towards the board's left side.
        Left = "left",
        /// Towards the board's right side.
        Right = "right",
    }
}

/// A person, known by a code: 1 to 32 letters, digits, hyphens or underscores.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PersonCode(String);

impl PersonCode {
    /// The code as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for PersonCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for PersonCode {
    type Err = BadPersonCode;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let allowed = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        if (1..=32).contains(&text.len()) && text.chars().all(allowed) {
            Ok(Self(text.to_owned()))
        } else {
            Err(BadPersonCode { found: text.chars().take(40).collect() })
        }
    }
}

/// Text that cannot be a person's code.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a person's code: use 1 to 32 letters, digits, hyphens or underscores")]
pub struct BadPersonCode {
    /// What was offered, at most 40 characters of it.
    pub found: String,
}

/// What besides the condition must agree before two trials are compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Which board, by its own unique id, or the plate's name for an imported recording.
    pub board: String,
    /// Height of the sole above the plane in which the plate hands its force on, in millimetres:
    /// the loaded pad counts. `None` if nobody measured it.
    pub sole_height_mm: Option<f64>,
    /// Which side of the board the person faces.
    pub facing: Facing,
}

/// One recorded stand, as the measures see it.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// Unique id of the trial.
    pub id: String,
    /// Who stood.
    pub person: PersonCode,
    /// What they stood on and how.
    pub condition: Condition,
    /// What the trial is for.
    pub kind: TrialKind,
    /// Board, pad and direction.
    pub setup: Setup,
    /// Height of the person in metres, for the body-centre model; `None` if not known.
    pub body_height_m: Option<f64>,
    /// Path of the centre of pressure in the plate's plane.
    pub trace: Trace,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_hold_nothing_that_could_be_a_path_or_a_sentence() {
        assert_eq!("P-07_b".parse::<PersonCode>().unwrap().as_str(), "P-07_b");
        for bad in ["", "../x", "two words", "é", &"x".repeat(33)] {
            assert!(bad.parse::<PersonCode>().is_err(), "{bad:?}");
        }
    }
}
