//! A pairing as a file for its owner alone.

use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::assignment::Assignment;
use super::owner_file::{ReadOwnerFileError, read_owned, replace_owned};
use super::pairing::Pairing;

const VERSION: u32 = 1;
const MAX_FILE_BYTES: u64 = 4096;

/// The file's own shape.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PairingFile {
    footing_pairing: u32,
    clinic: String,
    person: String,
    board: String,
    public_keys: String,
}

impl PairingFile {
    pub(super) fn from_pairing(pairing: &Pairing) -> Self {
        let assignment = pairing.assignment();
        Self {
            footing_pairing: VERSION,
            clinic: assignment.clinic.to_string(),
            person: assignment.person.to_string(),
            board: assignment.board.to_string(),
            public_keys: pairing.other().to_string(),
        }
    }

    fn to_text(&self) -> String {
        toml::to_string(self).expect("five plain fields are TOML")
    }

    pub(super) fn into_pairing(self) -> Option<Pairing> {
        if self.footing_pairing != VERSION {
            return None;
        }
        let assignment = Assignment {
            clinic: self.clinic.parse().ok()?,
            person: self.person.parse().ok()?,
            board: self.board.parse().ok()?,
        };
        Some(Pairing::from_file(self.public_keys.parse().ok()?, assignment))
    }
}

/// Why a pairing was not loaded.
#[derive(Debug, Error)]
pub enum LoadPairingError {
    /// The file cannot be read, or others can.
    #[error("the file of the pairing cannot be used")]
    File(#[from] ReadOwnerFileError),
    /// It holds no pairing of this version.
    #[error("the file holds no pairing of version {VERSION}")]
    NotAPairing,
}

/// Writes `pairing` to a file only its owner may read, in place of an earlier one.
///
/// # Errors
/// What the file system said; the earlier file is then still there.
pub fn save_pairing(pairing: &Pairing, path: &Path) -> io::Result<()> {
    replace_owned(path, PairingFile::from_pairing(pairing).to_text().as_bytes())
}

/// Reads a pairing. Whoever can change this file can have their own packages accepted, so on Unix it
/// is read only if no one but its owner can.
///
/// # Errors
/// [`LoadPairingError`].
pub fn load_pairing(path: &Path) -> Result<Pairing, LoadPairingError> {
    let bytes = read_owned(path, MAX_FILE_BYTES)?;
    let file: PairingFile = toml::from_slice(&bytes).ok().ok_or(LoadPairingError::NotAPairing)?;
    file.into_pairing().ok_or(LoadPairingError::NotAPairing)
}
