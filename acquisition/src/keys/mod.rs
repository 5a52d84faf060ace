//! Keys of a clinic and of a home, and how each comes to trust the other's.
//!
//! Each side makes one [`KeyPair`], once, and hands its [`PublicKeys`] to the other as a short text.
//! The text may come by any road, so it proves nothing: the two people then read each other the
//! [`SpokenCode`] of their own half, and only a half whose code was heard becomes a [`Pairing`].
//! `acquisition/docs/package.md` tells the layouts and what each step protects against.

mod age_header;
mod assignment;
mod backup;
mod hex;
mod key_file;
mod key_pair;
mod owner_file;
mod pairing;
mod pairing_file;
mod public_keys;
mod role;
mod spoken_code;
#[cfg(test)]
mod tests;

pub(crate) use age_header::{MAX_HEADER_BYTES, header_is_bounded};
pub use assignment::{Assignment, BadBoardId, BadClinicCode, BoardId, ClinicCode};
pub use backup::{BackUpError, Backup, RestoreError, back_up, restore};
pub(crate) use hex::{bytes_from_hex, hex};
pub use key_file::{LoadKeysError, SaveKeysError, load_keys, save_keys};
pub use key_pair::{KeyPair, generate};
pub use owner_file::ReadOwnerFileError;
pub(crate) use owner_file::{read_owned, replace_owned};
pub use pairing::{PairError, Pairing};
pub use pairing_file::{LoadPairingError, load_pairing, save_pairing};
pub use public_keys::{BadFingerprint, Fingerprint, PublicKeys, PublicKeysError};
pub use role::Role;
pub use spoken_code::{BadSpokenCode, SpokenCode};
