//! What the host may ask of the board.

use crate::frame_rate::FrameRate;
use crate::packet::{Kind, Packet, PayloadReader, PayloadWriter};

/// A request from the host; each is answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Command {
    /// Send a header; always allowed.
    Identify,
    /// Begin to send frames, numbered from 0.
    Start,
    /// Stop sending frames.
    Stop,
    /// Change the frame rate; refused while frames are sent.
    Rate(FrameRate),
    /// Measure each channel with its input shorted and report; refused while frames are sent.
    SelfTest,
}

/// Number of a command on the cable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CommandCode {
    /// See [`Command::Identify`].
    Identify,
    /// See [`Command::Start`].
    Start,
    /// See [`Command::Stop`].
    Stop,
    /// See [`Command::Rate`].
    Rate,
    /// See [`Command::SelfTest`].
    SelfTest,
    /// A command this version does not know, or one with an argument it does not accept.
    Unknown(u8),
}

impl CommandCode {
    pub(crate) const fn code(self) -> u8 {
        match self {
            Self::Identify => 1,
            Self::Start => 2,
            Self::Stop => 3,
            Self::Rate => 4,
            Self::SelfTest => 5,
            Self::Unknown(code) => code,
        }
    }

    pub(crate) const fn from_code(code: u8) -> Self {
        match code {
            1 => Self::Identify,
            2 => Self::Start,
            3 => Self::Stop,
            4 => Self::Rate,
            5 => Self::SelfTest,
            other => Self::Unknown(other),
        }
    }
}

impl Command {
    /// The command's number, as answers name it.
    pub const fn code(self) -> CommandCode {
        match self {
            Self::Identify => CommandCode::Identify,
            Self::Start => CommandCode::Start,
            Self::Stop => CommandCode::Stop,
            Self::Rate(_) => CommandCode::Rate,
            Self::SelfTest => CommandCode::SelfTest,
        }
    }

    /// The command as sent.
    pub fn encode(self) -> Packet {
        let argument = if let Self::Rate(rate) = self { rate.frames_per_s() } else { 0 };
        PayloadWriter::new(Kind::Command)
            .put(&[self.code().code()])
            .put(&argument.to_le_bytes())
            .seal()
    }

    /// `Err` holds the code of a request that is well formed but cannot be met.
    pub(crate) fn from_payload(payload: &[u8]) -> Option<Result<Self, CommandCode>> {
        let mut fields = PayloadReader::new(payload, Kind::Command)?;
        let code = CommandCode::from_code(fields.u8()?);
        let argument = fields.u16()?;
        fields.end()?;
        let plain = |command| if argument == 0 { Ok(command) } else { Err(code) };
        Some(match code {
            CommandCode::Identify => plain(Self::Identify),
            CommandCode::Start => plain(Self::Start),
            CommandCode::Stop => plain(Self::Stop),
            CommandCode::Rate => FrameRate::new(argument).map(Self::Rate).ok_or(code),
            CommandCode::SelfTest => plain(Self::SelfTest),
            CommandCode::Unknown(_) => Err(code),
        })
    }
}
