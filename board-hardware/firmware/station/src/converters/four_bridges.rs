//! Four low-noise bridge converters on one external clock, started together.
//!
//! Written for the ADS124S06/S08 family: each converter has its own chip select, all four share
//! the clock input (2.56 MHz, from one crystal oscillator) and the START line, so they convert in
//! step; the data-ready line of the first stands for all. Registers, commands and timing are from
//! the maker's data sheet as remembered; compare them with the sheet before a board is built.

use board_wire::{Converter, FrameRate, Gain};
use crc::{Algorithm, Crc};
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::OutputPin;
use embedded_hal::spi::SpiDevice;

use super::simultaneous::counts;
use crate::bridge::{Bridge, BridgeFault, Conversion, Input, nearest_rate};

/// Commands.
const RESET: u8 = 0x06;
const READ_REGISTERS: u8 = 0x20;
const WRITE_REGISTERS: u8 = 0x40;

/// Registers.
const STATUS: u8 = 0x01;
const INPUTS: u8 = 0x02;
const SYSTEM: u8 = 0x09;

/// In STATUS: the supply came up since this was last cleared; not ready.
const POWERED_UP: u8 = 1 << 7;
const NOT_READY: u8 = 1 << 6;

/// INPUTS: the bridge's signal wires on the first two inputs.
const INPUTS_0_1: u8 = 0x01;
/// The register after it: amplifier on, gain 128.
const GAIN_128: u8 = 0b0000_1111;
/// The register after that: external clock, continuous, sinc3; the rate code is bits 0 to 3.
const EXTERNAL_CLOCK: u8 = 1 << 6;
/// The register after that: reference is the bridge's own excitation, both buffers on.
const REFERENCE_IS_EXCITATION: u8 = 0b0000_0000;

/// SYSTEM: a status byte before and a CRC after each reading; what the inputs see is bits 5 to 7.
const WITH_STATUS_AND_CRC: u8 = 0b0001_0011;
const MONITOR_SHORT: u8 = 0b001 << 5;
const MONITOR_BURN_OUT_1_UA: u8 = 0b110 << 5;

/// Frames per second and the code that gives them with a clock of 2.56 MHz, which makes every
/// rate of the data sheet 0.625 times as fast.
const RATES: [(u16, u8); 4] = [(125, 8), (250, 9), (500, 10), (625, 11)];

/// Time from a reset to the next command: 4096 periods of the clock.
const RESET_US: u32 = 1_600;

/// CRC-8 of the converter's readings: polynomial 0x07, start 0xFF, not reflected.
const CRC: Crc<u8> = Crc::<u8>::new(&Algorithm {
    width: 8,
    poly: 0x07,
    init: 0xFF,
    refin: false,
    refout: false,
    xorout: 0x00,
    check: 0xFB,
    residue: 0x00,
});

/// Four converters behind four chip selects (SPI mode 1) and one START line.
#[derive(Debug)]
pub struct FourBridges<S, P, D> {
    converters: [S; 4],
    start: P,
    delay: D,
}

impl<S: SpiDevice, P: OutputPin, D: DelayNs> FourBridges<S, P, D> {
    /// The four converters in the order of the corners; nothing is sent yet.
    pub const fn new(converters: [S; 4], start: P, delay: D) -> Self {
        Self { converters, start, delay }
    }

    fn hold(&mut self) -> Result<(), BridgeFault> {
        self.start.set_low().map_err(|_pin| BridgeFault::Silent)
    }

    fn release(&mut self) -> Result<(), BridgeFault> {
        self.start.set_high().map_err(|_pin| BridgeFault::Silent)
    }
}

impl<S: SpiDevice, P: OutputPin, D: DelayNs> Bridge for FourBridges<S, P, D> {
    const CONVERTER: Converter = Converter::FourBridges;
    const GAIN: Gain = Gain(128);

    fn start(&mut self, rate: FrameRate) -> Result<FrameRate, BridgeFault> {
        let rate = nearest_rate(rate, &RATES.map(|(rate, _)| rate)).ok_or(BridgeFault::Silent)?;
        let code = RATES.iter().find(|(offered, _)| *offered == rate.frames_per_s());
        let (_, code) = code.ok_or(BridgeFault::Silent)?;
        self.hold()?;
        for converter in &mut self.converters {
            converter.write(&[RESET]).map_err(|_bus| BridgeFault::Silent)?;
        }
        self.delay.delay_us(RESET_US);
        for converter in &mut self.converters {
            let [status] = read_registers(converter, STATUS)?;
            if status & NOT_READY != 0 {
                return Err(BridgeFault::Silent);
            }
            let settings = [INPUTS_0_1, GAIN_128, EXTERNAL_CLOCK | code, REFERENCE_IS_EXCITATION];
            write_registers(converter, INPUTS, settings)?;
            write_registers(converter, SYSTEM, [WITH_STATUS_AND_CRC])?;
            // Taken down, so that the next time it is up the supply really dipped.
            write_registers(converter, STATUS, [0])?;
        }
        self.release()?;
        Ok(rate)
    }

    fn connect(&mut self, input: Input) -> Result<(), BridgeFault> {
        let monitor = match input {
            Input::Cells => 0,
            Input::Shorted => MONITOR_SHORT,
            Input::BurnOut => MONITOR_BURN_OUT_1_UA,
        };
        // Writing a setting restarts a converter by itself: held, they all start together again.
        self.hold()?;
        for converter in &mut self.converters {
            write_registers(converter, SYSTEM, [WITH_STATUS_AND_CRC | monitor])?;
        }
        self.release()
    }

    fn read(&mut self) -> Result<Conversion, BridgeFault> {
        let [front_left, front_right, rear_left, rear_right] = &mut self.converters;
        Ok(Conversion {
            counts: [
                read_counts(front_left)?,
                read_counts(front_right)?,
                read_counts(rear_left)?,
                read_counts(rear_right)?,
            ],
        })
    }
}

/// The reading that is ready: status, three bytes, CRC. No command is needed while data-ready is
/// low; the zeros sent are no command either.
fn read_counts(converter: &mut impl SpiDevice) -> Result<board_wire::Counts, BridgeFault> {
    let mut bytes = [0; 5];
    converter.transfer_in_place(&mut bytes).map_err(|_bus| BridgeFault::Silent)?;
    let [status, high, middle, low, crc] = bytes;
    if CRC.checksum(&[status, high, middle, low]) != crc {
        return Err(BridgeFault::Damaged);
    }
    if status & POWERED_UP != 0 {
        return Err(BridgeFault::SettingsLost);
    }
    Ok(counts([high, middle, low]))
}

fn read_registers<const N: usize>(
    converter: &mut impl SpiDevice,
    first: u8,
) -> Result<[u8; N], BridgeFault> {
    let mut values = [0; N];
    let mut command = [READ_REGISTERS | first, n_minus_one(N)];
    converter
        .transaction(&mut [
            embedded_hal::spi::Operation::TransferInPlace(&mut command),
            embedded_hal::spi::Operation::Read(&mut values),
        ])
        .map_err(|_bus| BridgeFault::Silent)?;
    Ok(values)
}

/// Writes registers side by side and reads them back.
fn write_registers<const N: usize>(
    converter: &mut impl SpiDevice,
    first: u8,
    values: [u8; N],
) -> Result<(), BridgeFault> {
    converter
        .transaction(&mut [
            embedded_hal::spi::Operation::Write(&[WRITE_REGISTERS | first, n_minus_one(N)]),
            embedded_hal::spi::Operation::Write(&values),
        ])
        .map_err(|_bus| BridgeFault::Silent)?;
    let kept: [u8; N] = read_registers(converter, first)?;
    if kept == values { Ok(()) } else { Err(BridgeFault::Silent) }
}

fn n_minus_one(n: usize) -> u8 {
    u8::try_from(n.saturating_sub(1)).unwrap_or(u8::MAX)
}

#[cfg(test)]
mod tests {
    /// The polynomial division typed out, over the nine digits that catalogues use.
    #[test]
    fn the_crc_is_the_polynomial_division_it_should_be() {
        let mut remainder = 0xFF_u8;
        for byte in b"123456789" {
            remainder ^= byte;
            for _bit in 0..8 {
                let carry = remainder & 0x80 != 0;
                remainder <<= 1;
                if carry {
                    remainder ^= 0x07;
                }
            }
        }
        assert_eq!(super::CRC.checksum(b"123456789"), remainder);
        assert_eq!(remainder, 0xFB);
    }
}
