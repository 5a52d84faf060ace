//! The other side's public keys, once two people have compared their code.

use thiserror::Error;

use super::assignment::Assignment;
use super::public_keys::PublicKeys;
use super::role::Role;
use super::spoken_code::SpokenCode;

/// One side's trust in the other: whose keys they are, and for which person, board and clinic.
///
/// It can only be made with the code that was heard, or read from a file written from one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pairing {
    other: PublicKeys,
    assignment: Assignment,
}

/// Why two sides were not paired.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PairError {
    /// A clinic with a clinic, or a home with a home.
    #[error("these are public keys of a {role}, and this is a {role} too")]
    SameSide {
        /// Which side both are.
        role: Role,
    },
    /// The keys that came are not those whose code was read aloud.
    #[error("the code heard is {heard}, the keys that came have {came}")]
    OtherCode {
        /// What was heard.
        heard: SpokenCode,
        /// The code of the keys that came.
        came: SpokenCode,
    },
}

impl Pairing {
    /// Trusts `other` for `assignment`, if `heard` is the code its owner read aloud.
    ///
    /// `heard` must come from the other person's mouth (or from paper they handed over), never from
    /// where the keys came: it is the one thing that shows that the keys are theirs.
    ///
    /// # Errors
    /// [`PairError`].
    pub fn new(
        own: Role,
        other: PublicKeys,
        heard: SpokenCode,
        assignment: Assignment,
    ) -> Result<Self, PairError> {
        if other.role() == own {
            return Err(PairError::SameSide { role: own });
        }
        let came = other.spoken_code();
        if came != heard {
            return Err(PairError::OtherCode { heard, came });
        }
        Ok(Self { other, assignment })
    }

    pub(super) fn from_file(other: PublicKeys, assignment: Assignment) -> Self {
        Self { other, assignment }
    }

    /// The other side's public keys.
    pub fn other(&self) -> &PublicKeys {
        &self.other
    }

    /// Which person, board and clinic it is for.
    pub fn assignment(&self) -> &Assignment {
        &self.assignment
    }
}
