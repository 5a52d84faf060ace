//! From the bytes of a message to the bytes on the cable, and back.
//!
//! Payload: kind and version, fields, CRC. Packet: the payload as a COBS block, then a zero.

use crc::{CRC_16_IBM_SDLC, Crc};

/// Version of every message in this crate; the low half of a payload's first byte.
pub const VERSION: u8 = 1;

/// Longest payload, CRC included, in bytes.
pub const MAX_PAYLOAD_BYTES: usize = 36;

/// Longest packet, delimiter included, in bytes: a payload under 255 bytes grows by one in COBS.
pub const MAX_PACKET_BYTES: usize = MAX_PAYLOAD_BYTES + 2;

/// The byte that ends a packet and occurs nowhere inside one.
pub(crate) const DELIMITER: u8 = 0;

/// CRC-16 of ITU-T X.25 and V.42: finds every error of up to three bits in a message this short.
const CRC: Crc<u16> = Crc::<u16>::new(&CRC_16_IBM_SDLC);

/// What a message is; the high half of a payload's first byte.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Kind {
    Frame = 0,
    Header = 1,
    Answer = 2,
    SelfTest = 3,
    Command = 8,
}

impl Kind {
    pub(crate) const fn first_byte(self) -> u8 {
        (self as u8) << 4 | VERSION
    }
}

/// A message ready to be sent: a COBS block and its delimiter.
#[derive(Debug, Clone, Copy)]
pub struct Packet {
    bytes: [u8; MAX_PACKET_BYTES],
    n_bytes: usize,
}

impl Packet {
    /// The bytes to send, delimiter included.
    pub fn as_bytes(&self) -> &[u8] {
        self.bytes.get(..self.n_bytes).unwrap_or_default()
    }
}

/// Collects the fields of a payload in order.
pub(crate) struct PayloadWriter {
    bytes: [u8; MAX_PAYLOAD_BYTES],
    n_bytes: usize,
}

impl PayloadWriter {
    pub(crate) fn new(kind: Kind) -> Self {
        Self { bytes: [0; MAX_PAYLOAD_BYTES], n_bytes: 0 }.put(&[kind.first_byte()])
    }

    /// Appends a field.
    ///
    /// # Panics
    /// If the message outgrows [`MAX_PAYLOAD_BYTES`]: a fixed layout, so a mistake in this crate
    /// that the first test of the message meets.
    pub(crate) fn put(mut self, field: &[u8]) -> Self {
        let end = self.n_bytes + field.len();
        let place = self.bytes.get_mut(self.n_bytes..end).expect("payload layout fits its buffer");
        place.copy_from_slice(field);
        self.n_bytes = end;
        self
    }

    /// Adds the CRC and wraps the payload for the cable.
    pub(crate) fn seal(self) -> Packet {
        let crc = CRC.checksum(self.written());
        let whole = self.put(&crc.to_le_bytes());
        let mut bytes = [DELIMITER; MAX_PACKET_BYTES];
        let n_bytes = cobs::encode(whole.written(), &mut bytes);
        // The buffer is zero already, so the byte after the block is its delimiter.
        Packet { bytes, n_bytes: n_bytes + 1 }
    }

    fn written(&self) -> &[u8] {
        self.bytes.get(..self.n_bytes).unwrap_or_default()
    }
}

/// Why a block of bytes between two delimiters is not a payload.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BadBlock {
    Cobs,
    Crc,
}

/// Unwraps a COBS block in place (without its delimiter) and checks the CRC; gives the payload
/// without its CRC.
pub(crate) fn payload_from_block(block: &mut [u8]) -> Result<&[u8], BadBlock> {
    let n_bytes = cobs::decode_in_place(block).map_err(|_cobs_detail| BadBlock::Cobs)?;
    let payload = block.get(..n_bytes).ok_or(BadBlock::Cobs)?;
    let (fields, crc) = payload.split_last_chunk::<2>().ok_or(BadBlock::Crc)?;
    if CRC.checksum(fields) == u16::from_le_bytes(*crc) { Ok(fields) } else { Err(BadBlock::Crc) }
}

/// Takes the fields of a payload in order; `None` once the bytes run out.
pub(crate) struct PayloadReader<'a> {
    rest: &'a [u8],
}

impl<'a> PayloadReader<'a> {
    /// A reader behind the first byte, if that byte says `kind` in this version.
    pub(crate) fn new(payload: &'a [u8], kind: Kind) -> Option<Self> {
        let (first, rest) = payload.split_first()?;
        (*first == kind.first_byte()).then_some(Self { rest })
    }

    pub(crate) fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (field, rest) = self.rest.split_first_chunk::<N>()?;
        self.rest = rest;
        Some(*field)
    }

    pub(crate) fn u8(&mut self) -> Option<u8> {
        self.take::<1>().map(|[byte]| byte)
    }

    pub(crate) fn u16(&mut self) -> Option<u16> {
        self.take().map(u16::from_le_bytes)
    }

    pub(crate) fn u32(&mut self) -> Option<u32> {
        self.take().map(u32::from_le_bytes)
    }

    /// `Some` only if every byte was taken: a longer message is another message.
    pub(crate) fn end(&self) -> Option<()> {
        self.rest.is_empty().then_some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check value of CRC-16/IBM-SDLC (ISO/IEC 13239, ITU-T V.42) in the published catalogue of
    /// parametrised CRC algorithms: 0x906E over the nine digits.
    #[test]
    fn the_crc_is_the_catalogue_s() {
        assert_eq!(CRC.checksum(b"123456789"), 0x906E);
    }

    #[test]
    fn a_block_without_room_for_a_crc_is_no_payload() {
        assert_eq!(payload_from_block(&mut [2, 7]), Err(BadBlock::Crc));
        assert_eq!(payload_from_block(&mut [9, 7]), Err(BadBlock::Cobs));
    }
}
