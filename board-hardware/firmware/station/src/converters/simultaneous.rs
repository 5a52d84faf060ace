//! One four-channel delta-sigma converter that samples all inputs at the same moment.
//!
//! Written for the ADS131M04 family at 8.192 MHz: 24-bit words, six words to an exchange, the
//! answer to a command in the exchange after it, a CRC in every answer. Registers and timing are
//! from the maker's data sheet as remembered; compare them with the sheet before a board is built.

use board_wire::{Converter, Counts, FrameRate, Gain};
use crc::{CRC_16_IBM_3740, Crc};
use embedded_hal::spi::SpiDevice;

use crate::bridge::{Bridge, BridgeFault, Conversion, Input, nearest_rate};

/// Bytes of an exchange: command or status, four channels, CRC; three bytes each.
const EXCHANGE_BYTES: usize = 18;

/// CRC of the converter's answers: polynomial 0x1021, start 0xFFFF, nothing reflected.
const CRC: Crc<u16> = Crc::<u16>::new(&CRC_16_IBM_3740);

/// Commands, in the high two bytes of the first word.
const NULL: u16 = 0x0000;
const READ_REGISTER: u16 = 0xA000;
const WRITE_REGISTER: u16 = 0x6000;

/// Registers.
const MODE: u16 = 0x02;
const CLOCK: u16 = 0x03;
const GAIN: u16 = 0x04;
/// Input multiplexer of each channel, in the low two bits.
const CHANNEL: [u16; 4] = [0x09, 0x0E, 0x13, 0x18];

/// MODE: 24-bit words; the "has been reset" flag, which writing a 0 takes down, is bit 10.
const MODE_24_BIT: u16 = 0x0110;
/// In the status word: the converter has been reset and has lost its settings.
const HAS_RESET: u16 = 1 << 10;
/// GAIN: 128 on each channel.
const GAIN_128: u16 = 0x7777;
/// CLOCK: all four channels on, high-resolution mode; the oversampling ratio is bits 2 to 4.
const CLOCK_ALL_ON: u16 = 0x0F02;

/// Frames per second and the oversampling code that gives them: 8.192 MHz / 2 / ratio.
const RATES: [(u16, u16); 3] = [(250, 7), (500, 6), (1000, 5)];

/// The converter behind its SPI port (mode 1).
#[derive(Debug)]
pub struct Simultaneous<S> {
    spi: S,
}

impl<S: SpiDevice> Simultaneous<S> {
    /// The converter behind `spi`; nothing is sent yet.
    pub const fn new(spi: S) -> Self {
        Self { spi }
    }

    /// One exchange: what the converter said while it heard `command` and `argument`.
    fn exchange(&mut self, command: u16, argument: u16) -> Result<Said, BridgeFault> {
        let [c1, c0] = command.to_be_bytes();
        let [a1, a0] = argument.to_be_bytes();
        let mut bytes = [0; EXCHANGE_BYTES];
        if let Some(words) = bytes.first_chunk_mut() {
            *words = [c1, c0, 0, a1, a0, 0];
        }
        self.spi.transfer_in_place(&mut bytes).map_err(|_bus| BridgeFault::Silent)?;
        Said::from_bytes(bytes)
    }

    fn write(&mut self, register: u16, value: u16) -> Result<(), BridgeFault> {
        self.exchange(WRITE_REGISTER | register << 7, value)?;
        self.exchange(READ_REGISTER | register << 7, 0)?;
        let kept = self.exchange(NULL, 0)?.first_word;
        if kept == value { Ok(()) } else { Err(BridgeFault::Silent) }
    }
}

impl<S: SpiDevice> Bridge for Simultaneous<S> {
    const CONVERTER: Converter = Converter::Simultaneous;
    const GAIN: Gain = Gain(128);

    fn start(&mut self, rate: FrameRate) -> Result<FrameRate, BridgeFault> {
        let rate = nearest_rate(rate, &RATES.map(|(rate, _)| rate)).ok_or(BridgeFault::Silent)?;
        let code = RATES.iter().find(|(offered, _)| *offered == rate.frames_per_s());
        let (_, code) = code.ok_or(BridgeFault::Silent)?;
        self.write(MODE, MODE_24_BIT)?;
        self.write(GAIN, GAIN_128)?;
        self.write(CLOCK, CLOCK_ALL_ON | code << 2)?;
        self.connect(Input::Cells)?;
        Ok(rate)
    }

    /// This converter has no burn-out current: resistors of 10 megohms on the board pull the two
    /// wires of an unconnected input apart instead, always.
    fn connect(&mut self, input: Input) -> Result<(), BridgeFault> {
        let multiplexer = u16::from(input == Input::Shorted);
        for register in CHANNEL {
            self.write(register, multiplexer)?;
        }
        // Two conversions may wait inside; without this the first one read would be old.
        self.exchange(NULL, 0)?;
        self.exchange(NULL, 0)?;
        Ok(())
    }

    fn read(&mut self) -> Result<Conversion, BridgeFault> {
        let said = self.exchange(NULL, 0)?;
        if said.first_word & HAS_RESET == 0 {
            Ok(Conversion { counts: said.channels })
        } else {
            Err(BridgeFault::SettingsLost)
        }
    }
}

/// What the converter says in one exchange.
struct Said {
    /// Status, or the answer to the command before.
    first_word: u16,
    channels: [Counts; 4],
}

impl Said {
    fn from_bytes(bytes: [u8; EXCHANGE_BYTES]) -> Result<Self, BridgeFault> {
        if bytes.iter().all(|&byte| byte == bytes[0]) {
            // A line that is stuck, high or low.
            return Err(BridgeFault::Silent);
        }
        let [
            w1,
            w0,
            _, //
            a2,
            a1,
            a0,
            b2,
            b1,
            b0,
            c2,
            c1,
            c0,
            d2,
            d1,
            d0, //
            crc1,
            crc0,
            _,
        ] = bytes;
        let (covered, _) = bytes.split_at(EXCHANGE_BYTES - 3);
        if CRC.checksum(covered) != u16::from_be_bytes([crc1, crc0]) {
            return Err(BridgeFault::Damaged);
        }
        let channels = [[a2, a1, a0], [b2, b1, b0], [c2, c1, c0], [d2, d1, d0]].map(counts);
        Ok(Self { first_word: u16::from_be_bytes([w1, w0]), channels })
    }
}

/// Three bytes, most significant first.
pub(super) fn counts([high, middle, low]: [u8; 3]) -> Counts {
    Counts::saturating(i32::from_be_bytes([high, middle, low, 0]) >> 8)
}
