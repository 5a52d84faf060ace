//! The two sides at work: keys on the disk, a plan or sessions sealed, a package taken, a backup.
//!
//! [`KeyRing`] is what a data folder knows of its own keys, of those it is paired with, and of what
//! was sent and taken. [`send`] and [`take`] move a person's records through a package;
//! [`keep_safe`] and [`bring_back`] carry everything to another computer.

mod key_ring;
mod safe_copy;
mod send;
mod take;

pub use key_ring::{KeyRing, KeyRingError};
pub use safe_copy::{BringBackError, BroughtBack, KeepSafeError, KeptSafe, bring_back, keep_safe};
pub use send::{SendError, Sent, send};
pub use take::{TakeError, Taken, TakenContent, take};

/// The document in a package that holds the person's records.
const DOCUMENT_NAME: &str = "person.json";

/// Most bytes of that document: as many as of a person's file.
const MAX_DOCUMENT_BYTES: u64 = 32 * 1024 * 1024;
