//! From the bytes of a journal to the trial in it.

use std::io::{self, Read};

use thiserror::Error;

use super::block::{BlockKind, BlockReader, FramesBlock, NoBlock};
use super::head::{BadHead, JournalEnd, JournalHead, end_from_json};
use crate::board_session::BoardFrame;
use crate::forces::computed;
use crate::stored_trial::{Ending, LinkCounts, Origin, RawSamples, Samples, StoredTrial};
use crate::zero::ZeroLine;

/// Most frames one journal may hold: two hours at 1000 frames a second.
const MAX_FRAMES_IN_ALL: usize = 7_200_000;

/// A journal of which nothing can be used.
#[derive(Debug, Error)]
pub enum ReadJournalError {
    /// The system could not read it.
    #[error("the journal could not be read")]
    Io(#[from] io::Error),
    /// It does not begin as a journal of this version does.
    #[error("this is no journal of this version")]
    NotAJournal,
    /// Its first block is damaged, so nothing is known of the trial.
    #[error("the journal's first block is damaged")]
    HeadDamaged,
    /// Its first block is whole but says something impossible.
    #[error("the journal's first block cannot be used")]
    Head(#[from] BadHead),
}

/// What could be read of a journal.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Contents {
    pub(super) head: JournalHead,
    pub(super) frames: Vec<BoardFrame>,
    pub(super) n_damaged: u32,
    pub(super) n_repeated: u32,
    /// `None` without a last block: whoever wrote the journal was interrupted.
    pub(super) ended: Option<JournalEnd>,
    /// Bytes up to the end of the last whole block.
    pub(super) n_good_bytes: u64,
}

impl Contents {
    /// Reads whole blocks up to the first that does not check.
    pub(super) fn read(input: impl Read) -> Result<Self, ReadJournalError> {
        let mut blocks = BlockReader::new(input).map_err(|none| match none {
            NoBlock::Io(error) => error.into(),
            NoBlock::AtEnd | NoBlock::Damaged => ReadJournalError::NotAJournal,
        })?;
        let head = match blocks.next() {
            Ok((BlockKind::Head, payload)) => JournalHead::from_json(&payload)?,
            Err(NoBlock::Io(error)) => return Err(error.into()),
            Ok(_) | Err(NoBlock::AtEnd | NoBlock::Damaged) => {
                return Err(ReadJournalError::HeadDamaged);
            }
        };
        let mut contents = Self {
            head,
            frames: Vec::new(),
            n_damaged: 0,
            n_repeated: 0,
            ended: None,
            n_good_bytes: blocks.n_good_bytes(),
        };
        while contents.ended.is_none() {
            let taken = match blocks.next() {
                Ok((kind, payload)) => contents.take(kind, &payload),
                // The disk may be unreadable in one place: what came before is kept all the same.
                Err(NoBlock::AtEnd | NoBlock::Damaged | NoBlock::Io(_)) => None,
            };
            if taken.is_none() {
                break;
            }
            contents.n_good_bytes = blocks.n_good_bytes();
        }
        Ok(contents)
    }

    /// Takes a whole block; `None` if it cannot follow what is there already.
    fn take(&mut self, kind: BlockKind, payload: &[u8]) -> Option<()> {
        match kind {
            BlockKind::Head => None,
            BlockKind::End => {
                self.ended = Some(end_from_json(payload)?);
                Some(())
            }
            BlockKind::Frames => {
                let block = FramesBlock::decode(payload)?;
                let before = self.frames.last();
                let in_order = before
                    .into_iter()
                    .chain(&block.frames)
                    .is_sorted_by(|a, b| a.time_us < b.time_us && a.sequence < b.sequence);
                if !in_order || MAX_FRAMES_IN_ALL < self.frames.len() + block.frames.len() {
                    return None;
                }
                self.n_damaged = block.n_damaged;
                self.n_repeated = block.n_repeated;
                self.frames.extend(block.frames);
                Some(())
            }
        }
    }

    /// The trial, with forces and centres of pressure computed from what was kept.
    pub(super) fn into_trial(self) -> StoredTrial {
        let JournalHead { facts, board } = self.head;
        let end = self.ended.unwrap_or(Ending::Recovered.into());
        let time_us: Vec<u64> = self.frames.iter().map(|frame| frame.time_us).collect();
        let counts: Vec<[i32; 4]> = self.frames.iter().map(|frame| frame.counts).collect();
        let zero = ZeroLine { before: board.zero, after: end.zero_after };
        let (forces, cop) = computed(&time_us, &counts, &zero, &board.calibration);
        let link = LinkCounts {
            lost_frames: n_lost(&self.frames),
            damaged_frames: u64::from(self.n_damaged),
            repeated_frames: u64::from(self.n_repeated),
        };
        StoredTrial {
            facts,
            origin: Origin::Board(Box::new(board.into_origin(link, end))),
            samples: Samples {
                time_us,
                sequence: self.frames.iter().map(|frame| frame.sequence).collect(),
                raw: Some(RawSamples {
                    counts,
                    status: self.frames.iter().map(|frame| frame.status).collect(),
                }),
                forces_newtons: Some(forces),
                cop,
            },
        }
    }
}

/// Frames missing between the first and the last, by their numbers.
fn n_lost(frames: &[BoardFrame]) -> u64 {
    match frames {
        [first, .., last] => last.sequence - first.sequence + 1 - frames.len() as u64,
        _ => 0,
    }
}
