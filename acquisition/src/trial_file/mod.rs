//! Trial files: one sealed, self-describing HDF5 file a trial.
//!
//! The layout is told, with a reader in another language, in `acquisition/docs/trial-file.md`. A
//! file is written beside its place, read back, synced and only then given its name; it is never
//! changed afterwards. A digest in front finds damage before the HDF5 library sees a byte.

pub mod apart;
mod attributes;
mod chunks;
mod consistency;
mod digest;
mod layout;
mod open;
mod read;
mod samples;
mod seal;
#[cfg(test)]
pub(crate) mod tests;
mod write;

pub use apart::TrialReader;
pub use consistency::Inconsistent;
pub use digest::{BadDigest, Digest, DigestError};
pub use layout::{FORMAT_VERSION, MAX_FILE_BYTES, MAX_SAMPLES, MAX_TEXT_BYTES};
pub(crate) use open::digest_alone;
pub use open::{OpenTrialError, TrialOutline, open, open_with_digest, outline};
pub use read::ReadTrialError;
pub use seal::{SealError, file_name, seal};
pub(crate) use seal::{files_with_prefix, remove_unfinished};
