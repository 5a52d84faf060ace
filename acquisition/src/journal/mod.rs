//! The journal: what a trial is written to while it is recorded.
//!
//! One append-only file a trial, `<trial id>.journal`. Sixteen bytes stand in front: the mark
//! `FOOTJRNL`, the version as a little-endian `u32`, and four zero bytes. Blocks follow:
//!
//! | field | type | meaning |
//! |---|---|---|
//! | length | u32 | bytes of the payload, 1 to 262,144 |
//! | kind | u8 | 1 head, 2 frames, 3 end |
//! | payload | | |
//! | check | u32 | CRC-32C of length, kind and payload, continued from the block before |
//!
//! All numbers are little endian. The first block's check continues from the CRC-32C of the sixteen
//! bytes; the chain ties each block to its place and its file, so that nothing left on a disk from
//! another file can pass for a block of this one.
//!
//! The **head** comes first and holds every fact of the trial, as JSON with its own version. A
//! **frames** payload holds two `u32`, the damaged and the repeated frames since the trial began,
//! then 34 bytes a frame: board time in microseconds (u64), sequence (u64), four counts (i32 each),
//! status (u16). The **end**, as JSON, says why the record ends where it does.
//!
//! A block is written every tenth of a second and synced by a thread of its own, so that a slow disk
//! delays nothing else.
//!
//! A reader takes blocks up to the first that does not check. The file is locked while it is
//! written or sealed, and a journal that somebody holds is left alone.

mod block;
mod contents;
mod durable_file;
mod folder;
mod head;
mod journal_thread;
mod recover;
#[cfg(test)]
mod tests;
mod writer;

pub use contents::ReadJournalError;
pub use head::BadHead;
pub use recover::{
    RecoverError, Recovered, SealJournalError, SealedJournal, recover, recover_all, seal,
};
pub use writer::WriteJournalError;

pub(crate) use folder::prepare_folder;
pub(crate) use head::{BoardFacts, JournalEnd, JournalHead};
pub(crate) use journal_thread::JournalThread;

/// Ending of a journal's name.
const EXTENSION: &str = "journal";

/// Ending of a journal of which nothing need be on the disk yet: if its head is not, it never began.
const UNBORN_EXTENSION: &str = "journal-new";

/// Ending of a journal kept because more than its last moments could not be read.
const DAMAGED_EXTENSION: &str = "journal-damaged";
