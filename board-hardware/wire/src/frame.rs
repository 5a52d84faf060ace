//! One conversion of all four corners.

use crate::board_id::BoardId;
use crate::counts::Counts;
use crate::packet::{Kind, Packet, PayloadReader, PayloadWriter};
use crate::sequence::Sequence;
use crate::status::Status;
use crate::ticks::Ticks;

/// One conversion: four readings taken together, with their number and time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Frame {
    /// Which board on this host.
    pub board: BoardId,
    /// Number since the last start.
    pub sequence: Sequence,
    /// Board time at data-ready.
    pub time: Ticks,
    /// Raw readings in the order of [`Corner::ALL`](crate::Corner::ALL).
    pub counts: [Counts; 4],
    /// What the board knows to be wrong.
    pub status: Status,
}

impl Frame {
    /// Length of a frame on the cable, delimiter included, in bytes.
    pub const PACKET_BYTES: usize = 28;

    /// The frame as sent.
    pub fn encode(&self) -> Packet {
        let [a, b, c, d] = self.counts.map(Counts::to_bytes);
        PayloadWriter::new(Kind::Frame)
            .put(&[self.board.0])
            .put(&self.sequence.0.to_le_bytes())
            .put(&self.time.us().to_le_bytes())
            .put(&a)
            .put(&b)
            .put(&c)
            .put(&d)
            .put(&self.status.bits().to_le_bytes())
            .seal()
    }

    pub(crate) fn from_payload(payload: &[u8]) -> Option<Self> {
        let mut fields = PayloadReader::new(payload, Kind::Frame)?;
        let frame = Self {
            board: BoardId(fields.u8()?),
            sequence: Sequence(fields.u32()?),
            time: Ticks::from_us(fields.u32()?),
            counts: [
                Counts::from_bytes(fields.take()?),
                Counts::from_bytes(fields.take()?),
                Counts::from_bytes(fields.take()?),
                Counts::from_bytes(fields.take()?),
            ],
            status: Status::from_bits(fields.u16()?),
        };
        fields.end()?;
        Some(frame)
    }
}
