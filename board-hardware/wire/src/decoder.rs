//! From a stream of bytes, cut anywhere, to messages.

use crate::answer::Answer;
use crate::command::{Command, CommandCode};
use crate::frame::Frame;
use crate::header::Header;
use crate::packet::{BadBlock, DELIMITER, MAX_PACKET_BYTES, VERSION, payload_from_block};
use crate::self_test::SelfTestReport;

/// What the host found in the board's bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// One conversion.
    Frame(Frame),
    /// Identity and settings.
    Header(Header),
    /// What became of a command.
    Answer(Answer),
    /// What a self-test found.
    SelfTest(SelfTestReport),
    /// Bytes that are no message.
    Damage(Damage),
}

/// What the board found in the host's bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CommandEvent {
    /// A command to carry out.
    Command(Command),
    /// A command that arrived whole but cannot be met: to be answered so.
    NotUnderstood(CommandCode),
    /// Bytes that are no command.
    Damage(Damage),
}

/// Bytes that had to be thrown away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Damage {
    /// How many bytes, delimiter included.
    pub n_bytes: usize,
    /// Why.
    pub cause: DamageCause,
}

/// Why bytes are no message.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DamageCause {
    /// No delimiter where one was due: a hit delimiter, or another protocol.
    TooLong,
    /// Not a COBS block: bytes missing, or a block joined in the middle.
    Framing,
    /// The CRC does not match.
    Crc,
    /// Arrived whole, but of a version this program does not know.
    OtherVersion {
        /// The version found.
        version: u8,
    },
    /// Arrived whole, but of a kind or layout this program does not know.
    UnknownKind {
        /// The payload's first byte.
        first_byte: u8,
    },
}

/// The host's end: bytes from the board in, [`Event`]s out.
///
/// It never reads, waits or allocates. Bytes may arrive in pieces of any size; the events do not
/// depend on how the stream was cut. Every byte is accounted for: it belongs to a message, to a
/// [`Damage`], is a delimiter with nothing before it, or waits for the rest.
#[derive(Debug, Clone, Default)]
pub struct Decoder {
    blocks: Blocks,
}

impl Decoder {
    /// Ready to join a stream anywhere.
    pub const fn new() -> Self {
        Self { blocks: Blocks::new() }
    }

    /// Takes the next bytes and hands over each event they complete, in order.
    pub fn push(&mut self, bytes: &[u8], mut on_event: impl FnMut(Event)) {
        self.blocks.push(bytes, |block| {
            on_event(match block {
                Ok((payload, n_bytes)) => event_from_payload(payload, n_bytes),
                Err(damage) => Event::Damage(damage),
            });
        });
    }
}

fn event_from_payload(payload: &[u8], n_bytes: usize) -> Event {
    Frame::from_payload(payload)
        .map(Event::Frame)
        .or_else(|| Header::from_payload(payload).map(Event::Header))
        .or_else(|| Answer::from_payload(payload).map(Event::Answer))
        .or_else(|| SelfTestReport::from_payload(payload).map(Event::SelfTest))
        .unwrap_or_else(|| Event::Damage(Damage { n_bytes, cause: strange(payload) }))
}

/// The board's end: bytes from the host in, [`CommandEvent`]s out; otherwise as [`Decoder`].
#[derive(Debug, Clone, Default)]
pub struct CommandDecoder {
    blocks: Blocks,
}

impl CommandDecoder {
    /// Ready to join a stream anywhere.
    pub const fn new() -> Self {
        Self { blocks: Blocks::new() }
    }

    /// Takes the next bytes and hands over each event they complete, in order.
    pub fn push(&mut self, bytes: &[u8], mut on_event: impl FnMut(CommandEvent)) {
        self.blocks.push(bytes, |block| {
            on_event(match block {
                Ok((payload, n_bytes)) => match Command::from_payload(payload) {
                    Some(Ok(command)) => CommandEvent::Command(command),
                    Some(Err(code)) => CommandEvent::NotUnderstood(code),
                    None => CommandEvent::Damage(Damage { n_bytes, cause: strange(payload) }),
                },
                Err(damage) => CommandEvent::Damage(damage),
            });
        });
    }
}

/// Why a payload with a good CRC is no message: told apart so that a person can be told to update.
fn strange(payload: &[u8]) -> DamageCause {
    let first_byte = payload.first().copied().unwrap_or_default();
    let version = first_byte & 0x0F;
    if version == VERSION {
        DamageCause::UnknownKind { first_byte }
    } else {
        DamageCause::OtherVersion { version }
    }
}

/// Collects bytes up to a delimiter in a buffer of one packet.
#[derive(Debug, Clone)]
struct Blocks {
    bytes: [u8; MAX_PACKET_BYTES],
    n_bytes: usize,
    /// Whether the block under way has already proved too long.
    skipping: bool,
}

impl Default for Blocks {
    fn default() -> Self {
        Self::new()
    }
}

impl Blocks {
    const fn new() -> Self {
        Self { bytes: [0; MAX_PACKET_BYTES], n_bytes: 0, skipping: false }
    }

    /// Hands over each payload, with the length of its packet, or the damage in its place.
    fn push(&mut self, bytes: &[u8], mut on_block: impl FnMut(Result<(&[u8], usize), Damage>)) {
        for &byte in bytes {
            if byte == DELIMITER {
                self.end_block(&mut on_block);
            } else if let Some(place) = self.bytes.get_mut(self.n_bytes) {
                *place = byte;
                self.n_bytes += 1;
            } else {
                // Reported at once, not at the next delimiter: another device may never send one.
                on_block(Err(Damage { n_bytes: self.n_bytes, cause: DamageCause::TooLong }));
                self.skipping = true;
                self.n_bytes = 1;
            }
        }
    }

    fn end_block(&mut self, on_block: &mut impl FnMut(Result<(&[u8], usize), Damage>)) {
        let n_bytes = self.n_bytes + 1;
        let was_skipping = core::mem::take(&mut self.skipping);
        let block = self.bytes.get_mut(..self.n_bytes).unwrap_or_default();
        self.n_bytes = 0;
        if was_skipping {
            return on_block(Err(Damage { n_bytes, cause: DamageCause::TooLong }));
        }
        if block.is_empty() {
            // Two delimiters in a row: a sender may send one ahead to end whatever came before.
            return;
        }
        on_block(match payload_from_block(block) {
            Ok(payload) => Ok((payload, n_bytes)),
            Err(BadBlock::Cobs) => Err(Damage { n_bytes, cause: DamageCause::Framing }),
            Err(BadBlock::Crc) => Err(Damage { n_bytes, cause: DamageCause::Crc }),
        });
    }
}
