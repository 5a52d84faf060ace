//! Whose, from which clinic and on which board: what a pairing and every package are for.

use std::fmt;
use std::str::FromStr;

use analysis::PersonCode;
use thiserror::Error;

use super::hex::bytes_from_hex;

/// What one pairing, and each package under it, is about.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Assignment {
    /// The clinic that sets the plan.
    pub clinic: ClinicCode,
    /// Who stands on the board.
    pub person: PersonCode,
    /// The board in that person's home.
    pub board: BoardId,
}

/// A clinic, known by a code it chose: 1 to 32 letters, digits, hyphens or underscores.
///
/// It outlives the clinic's keys, which change with a new computer.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ClinicCode(String);

impl fmt::Display for ClinicCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for ClinicCode {
    type Err = BadClinicCode;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let allowed = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        if (1..=32).contains(&text.len()) && text.chars().all(allowed) {
            Ok(Self(text.to_owned()))
        } else {
            Err(BadClinicCode { found: text.chars().take(40).collect() })
        }
    }
}

/// Text that cannot be a clinic's code.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a clinic's code: use 1 to 32 letters, digits, hyphens or underscores")]
pub struct BadClinicCode {
    /// What was offered, at most 40 characters of it.
    pub found: String,
}

/// A board's own 96-bit id: 24 hexadecimal digits in small letters, as its header gives it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoardId(String);

impl fmt::Display for BoardId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for BoardId {
    type Err = BadBoardId;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match bytes_from_hex::<12>(text) {
            Some(_) => Ok(Self(text.to_owned())),
            None => Err(BadBoardId { found: text.chars().take(40).collect() }),
        }
    }
}

/// Text that cannot be a board's id.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a board's id of 24 hexadecimal digits in small letters")]
pub struct BadBoardId {
    /// What was offered, at most 40 characters of it.
    pub found: String,
}
