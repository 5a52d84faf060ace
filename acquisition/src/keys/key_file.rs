//! One side's own keys as a file for its owner alone.

use std::io;
use std::path::Path;

use age::secrecy::{ExposeSecret as _, SecretString};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::key_pair::KeyPair;
use super::owner_file::{ReadOwnerFileError, create_owned, read_owned};

const VERSION: u32 = 1;
const MAX_FILE_BYTES: u64 = 4096;

/// The file's own shape.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KeyFile {
    footing_keys: u32,
    side: String,
    secret_encryption: String,
    secret_signing: String,
}

impl KeyFile {
    pub(super) fn from_keys(keys: &KeyPair) -> Self {
        Self {
            footing_keys: VERSION,
            side: keys.role().key().to_owned(),
            secret_encryption: keys.secret_encryption().expose_secret().to_owned(),
            secret_signing: keys.secret_signing().expose_secret().to_owned(),
        }
    }

    fn to_text(&self) -> SecretString {
        toml::to_string(self).expect("four plain fields are TOML").into()
    }

    pub(super) fn into_keys(self) -> Option<KeyPair> {
        if self.footing_keys != VERSION {
            return None;
        }
        let (encryption, signing) =
            (SecretString::from(self.secret_encryption), SecretString::from(self.secret_signing));
        let role = self.side.parse().ok()?;
        KeyPair::from_secrets(role, encryption.expose_secret(), signing.expose_secret())
    }
}

/// Why keys were not saved.
#[derive(Debug, Error)]
pub enum SaveKeysError {
    /// There are keys already; without them nothing sent to this side can be opened again.
    #[error("there are keys already, and keys are never overwritten")]
    AlreadyThere,
    /// The file system refused.
    #[error("the keys cannot be written")]
    Write(#[source] io::Error),
}

/// Why keys were not loaded.
#[derive(Debug, Error)]
pub enum LoadKeysError {
    /// The file cannot be read, or others can.
    #[error("the file of the keys cannot be used")]
    File(#[from] ReadOwnerFileError),
    /// It holds no keys of this version. What it holds is not told: it may be secret.
    #[error("the file holds no keys of version {VERSION}")]
    NotKeys,
}

/// Writes `keys` to a file only its owner may read; keys that are there are never overwritten.
///
/// # Errors
/// [`SaveKeysError`]; the file is whole or not there.
pub fn save_keys(keys: &KeyPair, path: &Path) -> Result<(), SaveKeysError> {
    let text = KeyFile::from_keys(keys).to_text();
    create_owned(path, text.expose_secret().as_bytes()).map_err(|source| match source.kind() {
        io::ErrorKind::AlreadyExists => SaveKeysError::AlreadyThere,
        _ => SaveKeysError::Write(source),
    })
}

/// Reads keys from a file; on Unix only if no one but its owner may read it.
///
/// # Errors
/// [`LoadKeysError`].
pub fn load_keys(path: &Path) -> Result<KeyPair, LoadKeysError> {
    let bytes = read_owned(path, MAX_FILE_BYTES)?;
    let text = SecretString::from(String::from_utf8(bytes).ok().ok_or(LoadKeysError::NotKeys)?);
    let file: KeyFile = toml::from_str(text.expose_secret()).ok().ok_or(LoadKeysError::NotKeys)?;
    file.into_keys().ok_or(LoadKeysError::NotKeys)
}
