//! What the board found when it measured itself.

use crate::board_id::BoardId;
use crate::counts::Counts;
use crate::packet::{Kind, Packet, PayloadReader, PayloadWriter};
use crate::status::Status;
use crate::ticks::Ticks;

/// Each channel measured with its input shorted inside the converter, and the bridges checked.
///
/// It shows the electronics alone: cells, plate and calibration are checked with weights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SelfTestReport {
    /// Which board on this host.
    pub board: BoardId,
    /// Board time when the test ended.
    pub time: Ticks,
    /// Mean reading of each shorted channel: the converter's offset.
    pub shorted_mean: [Counts; 4],
    /// Standard deviation of each shorted channel in counts, rounded, at most 65,535.
    pub shorted_rms_counts: [u16; 4],
    /// Flags raised by the test: open bridges, saturation, a converter that does not answer.
    pub status: Status,
}

impl SelfTestReport {
    /// The report as sent.
    pub fn encode(&self) -> Packet {
        let mut writer = PayloadWriter::new(Kind::SelfTest)
            .put(&[self.board.0])
            .put(&self.time.us().to_le_bytes());
        for mean in self.shorted_mean {
            writer = writer.put(&mean.to_bytes());
        }
        for rms in self.shorted_rms_counts {
            writer = writer.put(&rms.to_le_bytes());
        }
        writer.put(&self.status.bits().to_le_bytes()).seal()
    }

    pub(crate) fn from_payload(payload: &[u8]) -> Option<Self> {
        let mut fields = PayloadReader::new(payload, Kind::SelfTest)?;
        let report = Self {
            board: BoardId(fields.u8()?),
            time: Ticks::from_us(fields.u32()?),
            shorted_mean: [
                Counts::from_bytes(fields.take()?),
                Counts::from_bytes(fields.take()?),
                Counts::from_bytes(fields.take()?),
                Counts::from_bytes(fields.take()?),
            ],
            shorted_rms_counts: [fields.u16()?, fields.u16()?, fields.u16()?, fields.u16()?],
            status: Status::from_bits(fields.u16()?),
        };
        fields.end()?;
        Some(report)
    }
}
