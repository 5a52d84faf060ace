//! One side's own keys, of which the secret halves never leave it but in a backup.

use std::fmt;

use age::secrecy::SecretString;
use age::x25519::Identity;
use ed25519_dalek::{Signer as _, SigningKey};

use super::hex::{bytes_from_hex, hex};
use super::public_keys::PublicKeys;
use super::role::Role;

/// The keys of one side: X25519 for what is encrypted to it, Ed25519 for what it signs.
///
/// Kept in memory that is overwritten when let go; prints without its secrets.
pub struct KeyPair {
    role: Role,
    encryption: Identity,
    signing: SigningKey,
}

/// Makes the keys of a clinic or a home.
///
/// # Panics
/// If the operating system gives no random bytes; nothing can be kept secret then.
pub fn generate(role: Role) -> KeyPair {
    let mut seed = [0; 32];
    getrandom::fill(&mut seed).expect("the operating system gives random bytes");
    KeyPair { role, encryption: Identity::generate(), signing: SigningKey::from_bytes(&seed) }
}

impl KeyPair {
    /// Which side they belong to.
    pub fn role(&self) -> Role {
        self.role
    }

    /// The half that is given away.
    pub fn public(&self) -> PublicKeys {
        PublicKeys::new(self.role, self.encryption.to_public(), self.signing.verifying_key())
    }

    pub(crate) fn identity(&self) -> &Identity {
        &self.encryption
    }

    pub(crate) fn sign(&self, message: &[u8]) -> [u8; 64] {
        self.signing.sign(message).to_bytes()
    }

    pub(super) fn secret_encryption(&self) -> SecretString {
        self.encryption.to_string()
    }

    pub(super) fn secret_signing(&self) -> SecretString {
        hex(self.signing.as_bytes()).into()
    }

    /// The keys from their secret halves as text; `None` if a text is none.
    pub(crate) fn from_secrets(role: Role, encryption: &str, signing: &str) -> Option<Self> {
        let signing = SigningKey::from_bytes(&bytes_from_hex(signing)?);
        Some(Self { role, encryption: encryption.parse().ok()?, signing })
    }
}

impl fmt::Debug for KeyPair {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "KeyPair({:?})", self.public())
    }
}

/// Equal if the secrets are.
impl PartialEq for KeyPair {
    fn eq(&self, other: &Self) -> bool {
        self.public() == other.public()
    }
}

impl Eq for KeyPair {}
