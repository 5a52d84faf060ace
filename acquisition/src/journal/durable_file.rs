//! A file that says when its bytes are on the disk.

use std::fs::File;
use std::io::{self, Write as _};

/// Bytes appended, and a promise that can be asked for.
pub(crate) trait DurableFile: Send {
    /// Appends all of `bytes`.
    fn append(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Returns once everything appended would survive a power cut.
    fn sync(&mut self) -> io::Result<()>;
}

impl DurableFile for File {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.sync_data()
    }
}
