//! What the board made of a command.

use crate::board_id::BoardId;
use crate::command::CommandCode;
use crate::frame_rate::FrameRate;
use crate::packet::{Kind, Packet, PayloadReader, PayloadWriter};
use crate::ticks::Ticks;

/// Whether the board does what it was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Done, or begun.
    Done,
    /// Not while frames are sent.
    Busy,
    /// The command or its argument is not known here.
    NotUnderstood,
    /// The converter does not answer.
    ConverterSilent,
}

impl Outcome {
    const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Busy => 1,
            Self::NotUnderstood => 2,
            Self::ConverterSilent => 3,
        }
    }

    const fn from_code(code: u8) -> Option<Self> {
        match code {
            0 => Some(Self::Done),
            1 => Some(Self::Busy),
            2 => Some(Self::NotUnderstood),
            3 => Some(Self::ConverterSilent),
            _ => None,
        }
    }
}

/// The answer to start, stop, rate, a refused self-test and anything not understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Answer {
    /// Which board on this host.
    pub board: BoardId,
    /// The command that is answered.
    pub command: CommandCode,
    /// What became of it.
    pub outcome: Outcome,
    /// Frames per second in force after the command.
    pub rate: FrameRate,
    /// Board time of the answer.
    pub time: Ticks,
}

impl Answer {
    /// The answer as sent.
    pub fn encode(&self) -> Packet {
        PayloadWriter::new(Kind::Answer)
            .put(&[self.board.0, self.command.code(), self.outcome.code()])
            .put(&self.rate.frames_per_s().to_le_bytes())
            .put(&self.time.us().to_le_bytes())
            .seal()
    }

    pub(crate) fn from_payload(payload: &[u8]) -> Option<Self> {
        let mut fields = PayloadReader::new(payload, Kind::Answer)?;
        let answer = Self {
            board: BoardId(fields.u8()?),
            command: CommandCode::from_code(fields.u8()?),
            outcome: Outcome::from_code(fields.u8()?)?,
            rate: FrameRate::new(fields.u16()?)?,
            time: Ticks::from_us(fields.u32()?),
        };
        fields.end()?;
        Some(answer)
    }
}
