//! Blocks: length, kind, payload, and a check that continues from the block before.

use std::io::{self, Read};

use crate::board_session::BoardFrame;

/// What stands in front of the blocks.
pub(super) const FRONT: [u8; 16] = *b"FOOTJRNL\x01\0\0\0\0\0\0\0";

/// Longest payload, in bytes; a head is a few kilobytes, a tenth of a second of frames is less.
pub(super) const MAX_PAYLOAD_BYTES: usize = 256 * 1024;

/// Bytes of one frame in a payload.
pub(super) const FRAME_BYTES: usize = 34;

/// Bytes in front of the frames in a payload.
const LINK_BYTES: usize = 8;

/// Most frames in one block.
pub(super) const MAX_FRAMES: usize = (MAX_PAYLOAD_BYTES - LINK_BYTES) / FRAME_BYTES;

/// Bytes of a block around its payload.
const HEADER_BYTES: usize = 5;
const CHECK_BYTES: usize = 4;

/// What a block holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub(super) enum BlockKind {
    /// The facts of the trial.
    Head = 1,
    /// Frames in order.
    Frames = 2,
    /// Why the record ends.
    End = 3,
}

impl BlockKind {
    fn from_code(code: u8) -> Option<Self> {
        match code {
            1 => Some(Self::Head),
            2 => Some(Self::Frames),
            3 => Some(Self::End),
            _ => None,
        }
    }
}

/// The check that the next block continues from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Chain(u32);

impl Chain {
    /// Behind the front of a file.
    pub(super) fn begin() -> Self {
        Self(crc32c::crc32c(&FRONT))
    }

    /// Appends a block to `out`.
    ///
    /// # Panics
    /// If the payload is empty or longer than [`MAX_PAYLOAD_BYTES`]: the writer cuts it to size.
    pub(super) fn append(&mut self, kind: BlockKind, payload: &[u8], out: &mut Vec<u8>) {
        assert!((1..=MAX_PAYLOAD_BYTES).contains(&payload.len()), "payload fits a block");
        let length = u32::try_from(payload.len()).expect("the longest payload fits 32 bits");
        let start = out.len();
        out.extend(length.to_le_bytes());
        out.push(kind as u8);
        out.extend(payload);
        self.0 = crc32c::crc32c_append(self.0, &out[start..]);
        out.extend(self.0.to_le_bytes());
    }
}

/// Why no further block could be read.
#[derive(Debug)]
pub(super) enum NoBlock {
    /// The file ends between two blocks.
    AtEnd,
    /// What follows is no whole block that continues the one before.
    Damaged,
    /// The system could not read on.
    Io(io::Error),
}

/// Reads blocks in order.
#[derive(Debug)]
pub(super) struct BlockReader<R> {
    input: R,
    chain: Chain,
    /// Bytes of the front and of all whole blocks so far.
    n_good_bytes: u64,
}

impl<R: Read> BlockReader<R> {
    /// A reader behind the front, if that is the front of a journal of this version.
    pub(super) fn new(mut input: R) -> Result<Self, NoBlock> {
        let mut front = [0; FRONT.len()];
        match read_up_to(&mut input, &mut front).map_err(NoBlock::Io)? {
            n_bytes if n_bytes == front.len() && front == FRONT => {
                Ok(Self { input, chain: Chain::begin(), n_good_bytes: FRONT.len() as u64 })
            }
            _ => Err(NoBlock::Damaged),
        }
    }

    /// Bytes of the front and of all whole blocks so far.
    pub(super) fn n_good_bytes(&self) -> u64 {
        self.n_good_bytes
    }

    /// The next block. After an error nothing more is worth reading.
    pub(super) fn next(&mut self) -> Result<(BlockKind, Vec<u8>), NoBlock> {
        let mut header = [0; HEADER_BYTES];
        match read_up_to(&mut self.input, &mut header).map_err(NoBlock::Io)? {
            0 => return Err(NoBlock::AtEnd),
            HEADER_BYTES => {}
            _ => return Err(NoBlock::Damaged),
        }
        let [l0, l1, l2, l3, code] = header;
        let length = u32::from_le_bytes([l0, l1, l2, l3]) as usize;
        let kind = BlockKind::from_code(code).ok_or(NoBlock::Damaged)?;
        if !(1..=MAX_PAYLOAD_BYTES).contains(&length) {
            return Err(NoBlock::Damaged);
        }
        let mut rest = vec![0; length + CHECK_BYTES];
        if read_up_to(&mut self.input, &mut rest).map_err(NoBlock::Io)? < rest.len() {
            return Err(NoBlock::Damaged);
        }
        let (payload, check) = rest.split_at(length);
        let sum = crc32c::crc32c_append(crc32c::crc32c_append(self.chain.0, &header), payload);
        if sum.to_le_bytes() != check {
            return Err(NoBlock::Damaged);
        }
        self.chain = Chain(sum);
        self.n_good_bytes += (HEADER_BYTES + rest.len()) as u64;
        rest.truncate(length);
        Ok((kind, rest))
    }
}

/// Fills `buffer` as far as the input goes; gives how far.
fn read_up_to(input: &mut impl Read, buffer: &mut [u8]) -> io::Result<usize> {
    let mut n_bytes = 0;
    while n_bytes < buffer.len() {
        match input.read(&mut buffer[n_bytes..]) {
            Ok(0) => break,
            Ok(n) => n_bytes += n,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(n_bytes)
}

/// Frames and link counts as the payload of a block.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct FramesBlock {
    /// Damaged frames since the trial began.
    pub(super) n_damaged: u32,
    /// Repeated frames since the trial began.
    pub(super) n_repeated: u32,
    /// The frames, in order.
    pub(super) frames: Vec<BoardFrame>,
}

impl FramesBlock {
    /// The payload.
    pub(super) fn encode(&self) -> Vec<u8> {
        let mut payload = Vec::with_capacity(LINK_BYTES + self.frames.len() * FRAME_BYTES);
        payload.extend(self.n_damaged.to_le_bytes());
        payload.extend(self.n_repeated.to_le_bytes());
        for frame in &self.frames {
            payload.extend(frame.time_us.to_le_bytes());
            payload.extend(frame.sequence.to_le_bytes());
            for counts in frame.counts {
                payload.extend(counts.to_le_bytes());
            }
            payload.extend(frame.status.to_le_bytes());
        }
        payload
    }

    /// Reads a payload; `None` if it is no whole number of frames.
    pub(super) fn decode(payload: &[u8]) -> Option<Self> {
        let (n_damaged, rest) = payload.split_first_chunk()?;
        let (n_repeated, rest) = rest.split_first_chunk()?;
        let (frames, []) = rest.as_chunks::<FRAME_BYTES>() else { return None };
        Some(Self {
            n_damaged: u32::from_le_bytes(*n_damaged),
            n_repeated: u32::from_le_bytes(*n_repeated),
            frames: frames.iter().map(frame_from_bytes).collect::<Option<_>>()?,
        })
    }
}

fn frame_from_bytes(bytes: &[u8; FRAME_BYTES]) -> Option<BoardFrame> {
    let (time_us, rest) = bytes.split_first_chunk()?;
    let (sequence, rest) = rest.split_first_chunk()?;
    let (counts, rest) = rest.split_first_chunk::<16>()?;
    let (words, _) = counts.as_chunks::<4>();
    Some(BoardFrame {
        time_us: u64::from_le_bytes(*time_us),
        sequence: u64::from_le_bytes(*sequence),
        counts: std::array::from_fn(|corner| i32::from_le_bytes(words[corner])),
        status: u16::from_le_bytes(rest.try_into().ok()?),
    })
}
