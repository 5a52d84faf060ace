//! Appending to a journal.

use std::fs::OpenOptions;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use thiserror::Error;

use super::block::{BlockKind, Chain, FRONT, FramesBlock, MAX_FRAMES};
use super::durable_file::{DurableFile, SyncedFile};
use super::head::{JournalEnd, JournalHead, end_to_json};
use super::{EXTENSION, UNBORN_EXTENSION};
use crate::board_session::BoardFrame;

/// Longest time frames wait before they are written and a sync is asked for, by the board's clock
/// or the computer's, whichever is first. A tenth of a second, so that a crash of the program loses
/// no more than that, and a power cut at most 0.2 s on a disk that syncs within a tenth.
const WRITE_EVERY: Duration = Duration::from_millis(100);

/// As disks are sold.
const MEGABYTE: u64 = 1_000_000;

/// A journal that could not be written. What was written before stays and is found at the next
/// start.
#[derive(Debug, Error)]
pub enum WriteJournalError {
    /// The file could not be made.
    #[error("the trial cannot be recorded: no file can be made in {folder:?}")]
    Create {
        /// Where.
        folder: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// There is too little room for a trial of this length.
    #[error(
        "the trial needs {} MB of disk space, {} MB are free in {folder:?}",
        needed_bytes.div_ceil(MEGABYTE),
        free_bytes / MEGABYTE
    )]
    NoRoom {
        /// Where.
        folder: PathBuf,
        /// What the trial may take.
        needed_bytes: u64,
        /// What is free.
        free_bytes: u64,
    },
    /// The facts could not be put into words.
    #[error("the facts of the trial cannot be written")]
    Head {
        /// What was wrong with them.
        source: serde_json::Error,
    },
    /// Frames could not be written or synced, as when the disk is full.
    #[error(
        "recording stopped after {n_written_frames} frames, which are kept: {path:?} cannot be written"
    )]
    Write {
        /// The journal.
        path: PathBuf,
        /// Frames that were written before.
        n_written_frames: u64,
        /// What the system said.
        source: io::Error,
    },
}

/// A journal under way. It holds the lock on its file until it is dropped.
pub(crate) struct Journal {
    path: PathBuf,
    file: Box<dyn DurableFile>,
    chain: Chain,
    waiting: FramesBlock,
    waiting_since: Option<Instant>,
    n_written_frames: u64,
}

impl Journal {
    /// Makes `<trial id>.journal` in `folder` with its head.
    pub(crate) fn create(folder: &Path, head: &JournalHead) -> Result<Self, WriteJournalError> {
        let path = folder.join(&head.facts.id).with_extension(EXTENSION);
        let (bytes, chain) = opening(head)?;
        let file = create_file(&path, &bytes)
            .map_err(|source| WriteJournalError::Create { folder: folder.to_owned(), source })?;
        Ok(Self::over(Box::new(file), path, chain))
    }

    /// Goes on after the [`opening`], which is in `file` already.
    pub(super) fn over(file: Box<dyn DurableFile>, path: PathBuf, chain: Chain) -> Self {
        Self {
            path,
            file,
            chain,
            waiting: FramesBlock::default(),
            waiting_since: None,
            n_written_frames: 0,
        }
    }

    /// Takes a frame; writes when a tenth of a second of them is waiting.
    pub(crate) fn push(
        &mut self,
        frame: BoardFrame,
        now: Instant,
    ) -> Result<(), WriteJournalError> {
        let first_us = self.waiting.frames.first().map_or(frame.time_us, |first| first.time_us);
        self.waiting.frames.push(frame);
        self.waiting_since.get_or_insert(now);
        let waiting = Duration::from_micros(frame.time_us.saturating_sub(first_us));
        if WRITE_EVERY <= waiting || MAX_FRAMES <= self.waiting.frames.len() {
            return self.write_frames();
        }
        self.write_if_due(now)
    }

    /// Counts a damaged frame.
    pub(crate) fn note_damaged(&mut self) {
        self.waiting.n_damaged = self.waiting.n_damaged.saturating_add(1);
    }

    /// Counts a repeated frame.
    pub(crate) fn note_repeated(&mut self) {
        self.waiting.n_repeated = self.waiting.n_repeated.saturating_add(1);
    }

    /// When frames that wait must be written at the latest; `None` if none wait.
    pub(crate) fn due(&self) -> Option<Instant> {
        self.waiting_since.map(|since| since + WRITE_EVERY)
    }

    /// Writes what has waited long enough by the computer's clock.
    pub(crate) fn write_if_due(&mut self, now: Instant) -> Result<(), WriteJournalError> {
        match self.due() {
            Some(due) if due <= now => self.write_frames(),
            _ => Ok(()),
        }
    }

    /// Writes what is left and lets go of the journal without an end; gives where it is.
    pub(super) fn leave(mut self) -> Result<PathBuf, WriteJournalError> {
        self.write_frames()?;
        Ok(self.path)
    }

    /// Writes what is left and why the record ends; returns once all of it is on the disk.
    pub(crate) fn finish(
        mut self,
        end: impl Into<JournalEnd>,
    ) -> Result<PathBuf, WriteJournalError> {
        self.write_frames()?;
        let json = end_to_json(&end.into()).map_err(|source| WriteJournalError::Head { source })?;
        self.write(BlockKind::End, &json)?;
        Ok(self.path)
    }

    fn write_frames(&mut self) -> Result<(), WriteJournalError> {
        if self.waiting.frames.is_empty() {
            return Ok(());
        }
        let payload = self.waiting.encode();
        self.write(BlockKind::Frames, &payload)?;
        self.n_written_frames += self.waiting.frames.len() as u64;
        self.waiting.frames.clear();
        self.waiting_since = None;
        Ok(())
    }

    fn write(&mut self, kind: BlockKind, payload: &[u8]) -> Result<(), WriteJournalError> {
        let mut bytes = Vec::new();
        self.chain.append(kind, payload, &mut bytes);
        let written = self.file.append(&bytes).and_then(|()| match kind {
            BlockKind::End => self.file.finish(),
            BlockKind::Head | BlockKind::Frames => self.file.sync_soon(),
        });
        written.map_err(|source| WriteJournalError::Write {
            path: self.path.clone(),
            n_written_frames: self.n_written_frames,
            source,
        })
    }
}

/// The bytes a journal begins with, and the check its first frames continue from.
pub(super) fn opening(head: &JournalHead) -> Result<(Vec<u8>, Chain), WriteJournalError> {
    let json = head.to_json().map_err(|source| WriteJournalError::Head { source })?;
    let mut bytes = FRONT.to_vec();
    let mut chain = Chain::begin();
    chain.append(BlockKind::Head, &json, &mut bytes);
    Ok((bytes, chain))
}

/// Makes the file under a name that says that nothing of it need be on the disk yet, locks it and
/// puts its head in; it gets its own name once a sync has brought the head to safety.
fn create_file(path: &Path, bytes: &[u8]) -> io::Result<SyncedFile> {
    if path.try_exists()? {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    let unborn = path.with_extension(UNBORN_EXTENSION);
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    // A person's data are for the owner's eyes alone.
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(&unborn)?;
    file.try_lock()?;
    file.write_all(bytes)?;
    SyncedFile::new(file, unborn, path.to_owned())
}
