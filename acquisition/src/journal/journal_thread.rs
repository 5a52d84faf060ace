//! A journal on a thread of its own: the disk may take seconds, live numbers may not.

use std::path::{Path, PathBuf};
use std::thread::{self, JoinHandle};
use std::time::Instant;

use crossbeam_channel::{Receiver, RecvTimeoutError, Sender, bounded};

use super::head::{JournalEnd, JournalHead};
use super::writer::{Journal, WriteJournalError};
use crate::board_session::BoardFrame;

/// How many entries may wait for the disk: more than a minute of handfuls. Beyond it the recorder
/// waits, and then the port.
const ENTRIES_WAITING: usize = 4_096;

/// Frames are handed over by the handful, so as not to wake a thread for each: 20 ms of board time,
/// which a crash loses on top of what the journal itself holds back.
const HANDFUL_US: u64 = 20_000;

/// What goes into a journal.
#[derive(Debug)]
enum Entry {
    Frames(Vec<BoardFrame>),
    Damaged,
    Repeated,
    End(JournalEnd),
}

/// The recorder's end of a journal under way.
///
/// Dropping it without an end leaves a journal that is recovered at the next start.
pub(crate) struct JournalThread {
    /// `None` once nothing more will be sent.
    entries: Option<Sender<Entry>>,
    handful: Vec<BoardFrame>,
    thread: Option<JoinHandle<Result<PathBuf, WriteJournalError>>>,
}

impl JournalThread {
    /// Makes the journal, on its own thread: if that fails, the next entry is refused.
    pub(crate) fn begin(folder: &Path, head: JournalHead) -> Result<Self, WriteJournalError> {
        let (entries, received) = bounded(ENTRIES_WAITING);
        let journal_folder = folder.to_owned();
        let thread = thread::Builder::new()
            .name("journal".to_owned())
            .spawn(move || write_entries(Journal::create(&journal_folder, &head)?, &received))
            .map_err(|source| WriteJournalError::Create { folder: folder.to_owned(), source })?;
        Ok(Self { entries: Some(entries), handful: Vec::new(), thread: Some(thread) })
    }

    /// Takes a frame of the record.
    ///
    /// # Errors
    /// What kept the journal from being written.
    pub(crate) fn push(&mut self, frame: BoardFrame) -> Result<(), WriteJournalError> {
        self.handful.push(frame);
        let first_us = self.handful.first().map_or(frame.time_us, |first| first.time_us);
        if HANDFUL_US <= frame.time_us - first_us { self.hand_over() } else { Ok(()) }
    }

    /// Hands over what is in hand: no frame has come for a while.
    ///
    /// # Errors
    /// What kept the journal from being written.
    pub(crate) fn hand_over(&mut self) -> Result<(), WriteJournalError> {
        match std::mem::take(&mut self.handful) {
            frames if frames.is_empty() => Ok(()),
            frames => self.send(Entry::Frames(frames)),
        }
    }

    /// Counts a damaged frame that was discarded.
    ///
    /// # Errors
    /// What kept the journal from being written.
    pub(crate) fn note_damaged(&mut self) -> Result<(), WriteJournalError> {
        self.send(Entry::Damaged)
    }

    /// Counts a repeated frame that was discarded.
    ///
    /// # Errors
    /// What kept the journal from being written.
    pub(crate) fn note_repeated(&mut self) -> Result<(), WriteJournalError> {
        self.send(Entry::Repeated)
    }

    fn send(&mut self, entry: Entry) -> Result<(), WriteJournalError> {
        let taken = self.entries.as_ref().is_some_and(|entries| entries.send(entry).is_ok());
        if taken { Ok(()) } else { self.join().map(drop) }
    }

    /// Waits until everything is on the disk, the end included.
    ///
    /// # Errors
    /// What kept the journal from being written.
    pub(crate) fn end(mut self, end: JournalEnd) -> Result<PathBuf, WriteJournalError> {
        self.hand_over()?;
        self.send(Entry::End(end))?;
        self.join()
    }

    /// Waits for the thread; gives where the journal is.
    ///
    /// # Panics
    /// If that thread panicked, or was waited for twice: mistakes in this program.
    fn join(&mut self) -> Result<PathBuf, WriteJournalError> {
        self.entries = None;
        let thread = self.thread.take().expect("the journal is waited for once");
        thread.join().expect("the journal's thread does not panic")
    }
}

impl Drop for JournalThread {
    /// What was handed over is written before the journal is let go of.
    fn drop(&mut self) {
        if self.entries.is_some() {
            // Whoever drops it without an end has an error to tell already.
            self.hand_over().ok();
        }
        self.entries = None;
        if let Some(thread) = self.thread.take() {
            drop(thread.join());
        }
    }
}

/// Writes entries until the end, or until nobody sends any more.
fn write_entries(
    mut journal: Journal,
    entries: &Receiver<Entry>,
) -> Result<PathBuf, WriteJournalError> {
    loop {
        let entry = match journal.due() {
            Some(due) => entries.recv_deadline(due),
            None => entries.recv().map_err(|_closed| RecvTimeoutError::Disconnected),
        };
        match entry {
            Ok(Entry::Frames(frames)) => {
                let now = Instant::now();
                frames.into_iter().try_for_each(|frame| journal.push(frame, now))?;
            }
            Ok(Entry::Damaged) => journal.note_damaged(),
            Ok(Entry::Repeated) => journal.note_repeated(),
            Ok(Entry::End(end)) => return journal.finish(end),
            Err(RecvTimeoutError::Timeout) => journal.write_if_due(Instant::now())?,
            Err(RecvTimeoutError::Disconnected) => return journal.leave(),
        }
    }
}
