//! All keys and pairings in one file that a passphrase opens.

use std::io::{self, BufReader, Read as _, Write as _};
use std::iter;
use std::path::Path;

use age::secrecy::{ExposeSecret as _, SecretSlice, SecretString};
use age::{DecryptError, Decryptor, Encryptor, scrypt};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::age_header::header_is_bounded;
use super::key_file::KeyFile;
use super::key_pair::KeyPair;
use super::owner_file::{ReadOwnerFileError, create_owned, read_anyones};
use super::pairing::Pairing;
use super::pairing_file::PairingFile;

/// Fewest characters of a passphrase, our own choice: four or five words.
pub(super) const LEAST_PASSPHRASE_CHARACTERS: usize = 16;

/// Most bytes of a backup file, our own choice.
const MAX_FILE_BYTES: u64 = 256 * 1024 * 1024;

/// Memory and time that one try of a passphrase costs: scrypt with N = 2^18, r = 8, so 256 MiB and
/// about a second. Fixed, so that a backup made on a slow computer is as strong as any.
const WORK_FACTOR_LOG2: u8 = 18;

/// What a backup holds.
#[derive(Debug, PartialEq, Eq)]
pub struct Backup {
    /// Keys of this side; more than one if it changed them.
    pub keys: Vec<KeyPair>,
    /// Everyone it is paired with.
    pub pairings: Vec<Pairing>,
    /// Whatever else was given, such as the imported packages or the settings.
    pub extra: Vec<u8>,
}

/// The head of what is encrypted: one line of JSON, after which the extra bytes follow as they are.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BackupHead {
    footing_backup: u32,
    keys: Vec<KeyFile>,
    pairings: Vec<PairingFile>,
}

const VERSION: u32 = 1;

/// Why no backup was made.
#[derive(Debug, Error)]
pub enum BackUpError {
    /// The passphrase could be guessed.
    #[error("the passphrase has {n_characters} characters, it needs {LEAST_PASSPHRASE_CHARACTERS}")]
    ShortPassphrase {
        /// How many it has.
        n_characters: usize,
    },
    /// The extra bytes are too many.
    #[error("the backup would have {n_bytes} bytes, the limit is {MAX_FILE_BYTES}")]
    TooLarge {
        /// How many bytes it would have.
        n_bytes: u64,
    },
    /// There is a file of that name already.
    #[error("there is a file of that name already")]
    AlreadyThere,
    /// The file system refused.
    #[error("the backup cannot be written")]
    Write(#[source] io::Error),
    /// The backup was written but could not be restored.
    #[error("the backup cannot be read back")]
    ReadBack(#[from] RestoreError),
    /// The backup was written but holds something else.
    #[error("the backup reads back differently")]
    Different,
}

/// Why a backup was not restored.
#[derive(Debug, Error)]
pub enum RestoreError {
    /// The file cannot be read.
    #[error("the backup cannot be used")]
    File(#[from] ReadOwnerFileError),
    /// It is no file that a passphrase opens.
    #[error("it is not a backup")]
    NotABackup,
    /// The passphrase is another one, or the file's first lines are damaged.
    #[error("the passphrase does not open it")]
    WrongPassphrase,
    /// It asks for more work than any backup of this program.
    #[error("opening it would take more memory than this program allows")]
    TooMuchWork,
    /// Some of its bytes are not those that were written, or its end is missing.
    #[error("it is damaged or cut short")]
    Damaged,
    /// It opens, but holds no backup of this version.
    #[error("it holds no backup of version {VERSION}")]
    OtherContent,
}

/// Writes `backup` to `path`, which must be free, and restores it once to see that it can be.
///
/// # Errors
/// [`BackUpError`]; nothing is left at `path` then.
pub fn back_up(backup: &Backup, passphrase: &SecretString, path: &Path) -> Result<(), BackUpError> {
    let n_characters = passphrase.expose_secret().chars().count();
    if n_characters < LEAST_PASSPHRASE_CHARACTERS {
        return Err(BackUpError::ShortPassphrase { n_characters });
    }
    let sealed = encrypt(&plain(backup), passphrase).map_err(BackUpError::Write)?;
    let n_bytes = sealed.len() as u64;
    if MAX_FILE_BYTES < n_bytes {
        return Err(BackUpError::TooLarge { n_bytes });
    }
    if decrypt(&sealed, passphrase)? != *backup {
        return Err(BackUpError::Different);
    }
    create_owned(path, &sealed).map_err(|source| match source.kind() {
        io::ErrorKind::AlreadyExists => BackUpError::AlreadyThere,
        _ => BackUpError::Write(source),
    })
}

/// Reads a backup. The caller saves what is in it; nothing is written here.
///
/// # Errors
/// [`RestoreError`].
pub fn restore(path: &Path, passphrase: &SecretString) -> Result<Backup, RestoreError> {
    decrypt(&read_anyones(path, MAX_FILE_BYTES)?, passphrase)
}

fn plain(backup: &Backup) -> SecretSlice<u8> {
    let head = BackupHead {
        footing_backup: VERSION,
        keys: backup.keys.iter().map(KeyFile::from_keys).collect(),
        pairings: backup.pairings.iter().map(PairingFile::from_pairing).collect(),
    };
    let mut plain = serde_json::to_vec(&head).expect("lists of plain fields are JSON");
    plain.push(b'\n');
    plain.extend_from_slice(&backup.extra);
    plain.into()
}

fn encrypt(plain: &SecretSlice<u8>, passphrase: &SecretString) -> io::Result<Vec<u8>> {
    let mut recipient = scrypt::Recipient::new(passphrase.clone());
    recipient.set_work_factor(WORK_FACTOR_LOG2);
    let encryptor = Encryptor::with_recipients(iter::once(&recipient as &dyn age::Recipient))
        .map_err(io::Error::other)?;
    let mut writer = encryptor.wrap_output(Vec::new())?;
    writer.write_all(plain.expose_secret())?;
    writer.finish()
}

fn decrypt(sealed: &[u8], passphrase: &SecretString) -> Result<Backup, RestoreError> {
    if !header_is_bounded(sealed) {
        return Err(RestoreError::NotABackup);
    }
    let decryptor =
        Decryptor::new_buffered(BufReader::new(sealed)).ok().ok_or(RestoreError::NotABackup)?;
    if !decryptor.is_scrypt() {
        return Err(RestoreError::NotABackup);
    }
    let mut identity = scrypt::Identity::new(passphrase.clone());
    identity.set_max_work_factor(WORK_FACTOR_LOG2);
    let mut reader = decryptor.decrypt(iter::once(&identity as &dyn age::Identity)).map_err(
        |error| match error {
            DecryptError::ExcessiveWork { .. } => RestoreError::TooMuchWork,
            DecryptError::InvalidMac => RestoreError::Damaged,
            _ => RestoreError::WrongPassphrase,
        },
    )?;
    let mut plain = Vec::new();
    reader.read_to_end(&mut plain).ok().ok_or(RestoreError::Damaged)?;
    backup_from_plain(&plain.into()).ok_or(RestoreError::OtherContent)
}

fn backup_from_plain(plain: &SecretSlice<u8>) -> Option<Backup> {
    let plain = plain.expose_secret();
    let end = plain.iter().position(|&byte| byte == b'\n')?;
    let head: BackupHead = serde_json::from_slice(&plain[..end]).ok()?;
    if head.footing_backup != VERSION {
        return None;
    }
    Some(Backup {
        keys: head.keys.into_iter().map(KeyFile::into_keys).collect::<Option<_>>()?,
        pairings: head
            .pairings
            .into_iter()
            .map(PairingFile::into_pairing)
            .collect::<Option<_>>()?,
        extra: plain[end + 1..].to_vec(),
    })
}
