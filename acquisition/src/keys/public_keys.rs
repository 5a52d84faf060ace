//! The half of a pair of keys that is given away, as a short text.

use std::fmt;
use std::str::FromStr;

use age::x25519::Recipient;
use ed25519_dalek::{Signature, VerifyingKey};
use sha2::{Digest as _, Sha256};
use thiserror::Error;

use super::hex::{bytes_from_hex, hex};
use super::role::Role;
use super::spoken_code::SpokenCode;

const TITLE: &str = "Footing public keys, version ";
const VERSION: u32 = 1;

/// Most bytes a text of public keys may have; ours has under 300.
const MAX_TEXT_BYTES: usize = 2048;

/// What others need to encrypt for one side and to check what it signed.
///
/// Prints and reads as four lines of text. Texts with other line ends or blanks around a line, as
/// mail makes them, read the same.
#[derive(Clone, PartialEq, Eq)]
pub struct PublicKeys {
    role: Role,
    encryption: Recipient,
    verifying: VerifyingKey,
}

impl PublicKeys {
    pub(super) fn new(role: Role, encryption: Recipient, verifying: VerifyingKey) -> Self {
        Self { role, encryption, verifying }
    }

    /// Which side they belong to.
    pub fn role(&self) -> Role {
        self.role
    }

    /// The digest that stands for them in packages: SHA-256 of the four lines.
    pub fn fingerprint(&self) -> Fingerprint {
        Fingerprint(Sha256::digest(self.to_string().as_bytes()).into())
    }

    /// The digits the two people compare aloud.
    pub fn spoken_code(&self) -> SpokenCode {
        SpokenCode::of_digest(&self.fingerprint().0)
    }

    pub(crate) fn recipient(&self) -> &Recipient {
        &self.encryption
    }

    pub(crate) fn verifying_bytes(&self) -> [u8; 32] {
        self.verifying.to_bytes()
    }

    /// Whether this side signed `message`; signatures that exist in several forms are refused.
    pub(crate) fn signed(&self, message: &[u8], signature: &[u8; 64]) -> bool {
        self.verifying.verify_strict(message, &Signature::from_bytes(signature)).is_ok()
    }
}

impl fmt::Display for PublicKeys {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{TITLE}{VERSION}")?;
        writeln!(f, "side: {}", self.role)?;
        writeln!(f, "encryption: {}", self.encryption)?;
        writeln!(f, "signing: {}", hex(self.verifying.as_bytes()))
    }
}

impl fmt::Debug for PublicKeys {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "PublicKeys({}, {})", self.role, self.fingerprint())
    }
}

impl FromStr for PublicKeys {
    type Err = PublicKeysError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        if MAX_TEXT_BYTES < text.len() {
            return Err(PublicKeysError::TooLong { n_bytes: text.len() });
        }
        let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
        let title = lines.next().unwrap_or_default();
        let version = title.strip_prefix(TITLE).ok_or(PublicKeysError::NotPublicKeys)?;
        if version != VERSION.to_string() {
            let found = version.chars().take(20).collect();
            return Err(PublicKeysError::OtherVersion { found });
        }
        let mut value = |name: &'static str| {
            let rest = lines.next().and_then(|line| line.strip_prefix(name));
            rest.and_then(|rest| rest.strip_prefix(": ")).ok_or(PublicKeysError::Line { name })
        };
        let bad = |name| PublicKeysError::Line { name };
        let role = value("side")?.parse().ok().ok_or_else(|| bad("side"))?;
        let encryption = value("encryption")?.parse().ok().ok_or_else(|| bad("encryption"))?;
        let verifying = bytes_from_hex(value("signing")?)
            .and_then(|bytes| VerifyingKey::from_bytes(&bytes).ok())
            .filter(|key| !key.is_weak())
            .ok_or_else(|| bad("signing"))?;
        if lines.next().is_some() {
            return Err(PublicKeysError::MoreLines);
        }
        Ok(Self { role, encryption, verifying })
    }
}

/// Text that does not hold one side's public keys.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PublicKeysError {
    /// Far more than four lines.
    #[error("public keys have at most {MAX_TEXT_BYTES} bytes, these have {n_bytes}")]
    TooLong {
        /// How many bytes there are.
        n_bytes: usize,
    },
    /// It begins as something else.
    #[error("the text does not begin with the line {TITLE:?} and a number")]
    NotPublicKeys,
    /// A version this program does not know.
    #[error("the public keys are of version {found:?}, this program reads version {VERSION}")]
    OtherVersion {
        /// The version found, at most 20 characters of it.
        found: String,
    },
    /// A line is missing, out of order, or its value is not usable.
    #[error("the line {name:?} is missing or holds no usable key")]
    Line {
        /// Which line.
        name: &'static str,
    },
    /// There is text after the last line.
    #[error("there is more text after the four lines")]
    MoreLines,
}

/// What stands for one side's public keys in packages: 64 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint([u8; 32]);

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&hex(&self.0))
    }
}

impl FromStr for Fingerprint {
    type Err = BadFingerprint;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = || BadFingerprint { found: text.chars().take(80).collect() };
        bytes_from_hex(text).map(Self).ok_or_else(bad)
    }
}

/// Text that is no fingerprint.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a fingerprint of 64 hexadecimal digits in small letters")]
pub struct BadFingerprint {
    /// What was offered, at most 80 characters of it.
    pub found: String,
}
