//! A file whose bytes are brought to the disk as fast as the disk allows, without waiting for it.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::thread::{self, JoinHandle};

use crossbeam_channel::{Receiver, Sender, TrySendError, bounded};

use super::folder::sync_folder;

/// Bytes appended, and a promise that can be asked for.
pub(crate) trait DurableFile: Send {
    /// Appends all of `bytes`. From then on they survive the end of this process.
    fn append(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Has everything appended so far brought to safety from a power cut, soon.
    fn sync_soon(&mut self) -> io::Result<()>;

    /// Returns once everything appended is safe from a power cut.
    fn finish(&mut self) -> io::Result<()>;
}

/// A file that a thread of its own syncs: a disk may take a second, live numbers may not.
pub(super) struct SyncedFile {
    file: File,
    /// Room for one: a request that waits covers all that is appended until it is taken.
    requests: Option<Sender<()>>,
    syncer: Option<JoinHandle<io::Result<()>>>,
}

impl SyncedFile {
    /// Takes a file that lies at `unborn`. What is in it is made safe first, and only then does it get
    /// its name, `path` in the same folder; appending need not wait for that.
    pub(super) fn new(file: File, unborn: PathBuf, path: PathBuf) -> io::Result<Self> {
        let (requests, requested) = bounded(1);
        let synced = file.try_clone()?;
        let syncer = thread::Builder::new()
            .name("journal sync".to_owned())
            .spawn(move || sync_on_request(&synced, [&unborn, &path], &requested))?;
        Ok(Self { file, requests: Some(requests), syncer: Some(syncer) })
    }

    /// Waits for the syncer; its error, if it had one.
    fn join(&mut self) -> io::Result<()> {
        self.requests = None;
        match self.syncer.take().map(JoinHandle::join) {
            Some(Ok(outcome)) => outcome,
            Some(Err(_panic)) => Err(io::Error::other("the thread that syncs has panicked")),
            None => Ok(()),
        }
    }
}

fn sync_on_request(
    file: &File,
    [unborn, path]: [&Path; 2],
    requested: &Receiver<()>,
) -> io::Result<()> {
    file.sync_all()?;
    fs::rename(unborn, path)?;
    sync_folder(path.parent().unwrap_or(Path::new(".")))?;
    while let Ok(()) = requested.recv() {
        file.sync_data()?;
    }
    Ok(())
}

impl Drop for SyncedFile {
    /// The file stays locked until the syncer has let go of it too.
    fn drop(&mut self) {
        // Whoever drops it unfinished has an error already, or is being unwound.
        self.join().ok();
    }
}

impl DurableFile for SyncedFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.write_all(bytes)
    }

    fn sync_soon(&mut self) -> io::Result<()> {
        match self.requests.as_ref().map(|requests| requests.try_send(())) {
            Some(Ok(()) | Err(TrySendError::Full(()))) => Ok(()),
            // The syncer has ended by itself: it had an error.
            Some(Err(TrySendError::Disconnected(()))) | None => self.join(),
        }
    }

    fn finish(&mut self) -> io::Result<()> {
        self.join()?;
        self.file.sync_data()
    }
}
