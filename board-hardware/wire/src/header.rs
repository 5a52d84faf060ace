//! Who the board is and how it is set.

use crate::board_id::{BoardId, UniqueId};
use crate::frame_rate::FrameRate;
use crate::packet::{Kind, Packet, PayloadReader, PayloadWriter};
use crate::status::Status;
use crate::ticks::Ticks;

/// Version of the program on the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FirmwareVersion {
    /// Raised when the protocol changes.
    pub major: u8,
    /// Raised when the board does something more.
    pub minor: u8,
    /// Raised when the board does the same better.
    pub patch: u16,
}

/// As in `1.2.3`.
impl core::fmt::Display for FirmwareVersion {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}.{}.{}", self.major, self.minor, self.patch)
    }
}

/// Which converter turns the four bridges into counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Converter {
    /// Four low-noise bridge converters on one external clock, started together.
    FourBridges,
    /// One four-channel converter that samples all inputs at the same moment.
    Simultaneous,
    /// No converter: a program plays the board.
    Simulated,
    /// A converter this version does not know, by its number.
    Unknown(u8),
}

impl Converter {
    const fn code(self) -> u8 {
        match self {
            Self::FourBridges => 1,
            Self::Simultaneous => 2,
            Self::Simulated => 3,
            Self::Unknown(code) => code,
        }
    }

    const fn from_code(code: u8) -> Self {
        match code {
            1 => Self::FourBridges,
            2 => Self::Simultaneous,
            3 => Self::Simulated,
            other => Self::Unknown(other),
        }
    }
}

/// Gain ahead of the converter, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Gain(pub u8);

impl Gain {
    /// The gain of the nominal scale.
    pub const DEFAULT: Self = Self(128);
}

/// Identity and settings, sent on request and every 10 s while frames are sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Header {
    /// Which board on this host.
    pub board: BoardId,
    /// Which board in the world.
    pub unique_id: UniqueId,
    /// Version of the program on the board.
    pub firmware: FirmwareVersion,
    /// Which converter is fitted.
    pub converter: Converter,
    /// Gain ahead of the converter.
    pub gain: Gain,
    /// Frames per second asked of the converter.
    pub rate: FrameRate,
    /// Temperature beside the converter, in hundredths of a degree Celsius.
    pub temperature_centidegrees: i16,
    /// Board time when the header was made.
    pub time: Ticks,
    /// Seconds since power came on or the board restarted.
    pub uptime_s: u32,
    /// Flags raised since the header before this one.
    pub status: Status,
}

impl Header {
    /// Length of a header on the cable, delimiter included, in bytes.
    pub const PACKET_BYTES: usize = 38;

    /// The header as sent.
    pub fn encode(&self) -> Packet {
        PayloadWriter::new(Kind::Header)
            .put(&[self.board.0])
            .put(&self.unique_id.0)
            .put(&[self.firmware.major, self.firmware.minor])
            .put(&self.firmware.patch.to_le_bytes())
            .put(&[self.converter.code(), self.gain.0])
            .put(&self.rate.frames_per_s().to_le_bytes())
            .put(&self.temperature_centidegrees.to_le_bytes())
            .put(&self.time.us().to_le_bytes())
            .put(&self.uptime_s.to_le_bytes())
            .put(&self.status.bits().to_le_bytes())
            .seal()
    }

    pub(crate) fn from_payload(payload: &[u8]) -> Option<Self> {
        let mut fields = PayloadReader::new(payload, Kind::Header)?;
        let header = Self {
            board: BoardId(fields.u8()?),
            unique_id: UniqueId(fields.take()?),
            firmware: FirmwareVersion {
                major: fields.u8()?,
                minor: fields.u8()?,
                patch: fields.u16()?,
            },
            converter: Converter::from_code(fields.u8()?),
            gain: Gain(fields.u8()?),
            rate: FrameRate::new(fields.u16()?)?,
            temperature_centidegrees: i16::from_le_bytes(fields.take()?),
            time: Ticks::from_us(fields.u32()?),
            uptime_s: fields.u32()?,
            status: Status::from_bits(fields.u16()?),
        };
        fields.end()?;
        Some(header)
    }
}
