//! A played four-channel converter whose answers come one exchange late.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::convert::Infallible;
use std::rc::Rc;

use board_firmware::converters::Simultaneous;
use board_firmware::{Bridge as _, BridgeFault, Input};
use board_wire::{Counts, FrameRate};
use embedded_hal::spi::{self, Operation, SpiDevice};

const RESET_FLAG: u16 = 1 << 10;

#[derive(Debug)]
struct Chip {
    registers: [u16; 64],
    has_reset: bool,
    /// The first word of the next exchange.
    answer: u16,
    /// Conversions that wait: two at most, the older goes first.
    waiting: VecDeque<[i32; 4]>,
    /// What was given last, given again if nothing waits.
    last: [i32; 4],
    n_conversions: i32,
    missing: bool,
    damage_next: bool,
}

impl Chip {
    fn new() -> Self {
        let mut chip = Self {
            registers: [0; 64],
            has_reset: false,
            answer: 0,
            waiting: VecDeque::new(),
            last: [0; 4],
            n_conversions: 0,
            missing: false,
            damage_next: false,
        };
        chip.power_up();
        chip
    }

    fn power_up(&mut self) {
        self.registers = [0; 64];
        self.registers[2] = 0x0510;
        self.registers[3] = 0x0F0E;
        self.has_reset = true;
        self.answer = self.status();
    }

    fn status(&self) -> u16 {
        0x010F | if self.has_reset { RESET_FLAG } else { 0 }
    }

    /// A conversion is complete.
    fn convert(&mut self) {
        let k = self.n_conversions;
        self.n_conversions += 1;
        let channel = |i: i32, register: usize| {
            if self.registers[register] & 0b11 == 1 { i } else { 100_000 * (i + 1) + k }
        };
        let values = [channel(0, 0x09), channel(1, 0x0E), channel(2, 0x13), channel(3, 0x18)];
        self.waiting.push_back(values);
        if 2 < self.waiting.len() {
            self.waiting.pop_front();
        }
    }

    fn exchange(&mut self, bytes: &mut [u8]) {
        assert_eq!(bytes.len(), 18, "an exchange is six words of three bytes");
        if self.missing {
            bytes.fill(0xFF);
            return;
        }
        let command = u16::from_be_bytes([bytes[0], bytes[1]]);
        let argument = u16::from_be_bytes([bytes[3], bytes[4]]);
        if let Some(values) = self.waiting.pop_front() {
            self.last = values;
        }
        bytes[..3].copy_from_slice(&[
            self.answer.to_be_bytes()[0],
            self.answer.to_be_bytes()[1],
            0,
        ]);
        for (place, value) in bytes[3..15].chunks_exact_mut(3).zip(self.last) {
            place.copy_from_slice(&value.to_be_bytes()[1..]);
        }
        let mut crc = 0xFFFF_u16;
        for byte in &bytes[..15] {
            crc ^= u16::from(*byte) << 8;
            for _bit in 0..8 {
                crc = if crc & 0x8000 == 0 { crc << 1 } else { (crc << 1) ^ 0x1021 };
            }
        }
        bytes[15..].copy_from_slice(&[crc.to_be_bytes()[0], crc.to_be_bytes()[1], 0]);
        if std::mem::take(&mut self.damage_next) {
            bytes[7] ^= 0x04;
        }

        let register = usize::from((command >> 7) & 0x3F);
        self.answer = match command >> 13 {
            0b000 => self.status(),
            0b101 => self.registers[register],
            0b011 => {
                assert_eq!(command & 0x7F, 0, "one register at a time");
                self.registers[register] = argument;
                if register == 2 && argument & RESET_FLAG == 0 {
                    self.has_reset = false;
                }
                0x4000 | command & 0x1F80
            }
            _ => panic!("unknown command {command:#06x}"),
        };
    }
}

#[derive(Debug, Clone)]
struct Played(Rc<RefCell<Chip>>);

impl spi::ErrorType for Played {
    type Error = Infallible;
}

impl SpiDevice for Played {
    fn transaction(&mut self, operations: &mut [Operation<'_, u8>]) -> Result<(), Infallible> {
        match operations {
            [Operation::TransferInPlace(bytes)] => self.0.borrow_mut().exchange(bytes),
            other => panic!("not used by the driver: {other:?}"),
        }
        Ok(())
    }
}

fn bench() -> (Rc<RefCell<Chip>>, Simultaneous<Played>) {
    let chip = Rc::new(RefCell::new(Chip::new()));
    (Rc::clone(&chip), Simultaneous::new(Played(chip)))
}

fn values(bridge: &mut Simultaneous<Played>) -> Result<[i32; 4], BridgeFault> {
    bridge.read().map(|conversion| conversion.counts.map(Counts::value))
}

#[test]
fn it_is_set_to_gain_128_and_the_rate_asked_for() {
    // CLOCK: oversampling code in bits 2 to 4; 8.192 MHz / 2 / 16384 is 250 per second.
    for (wanted, taken, code) in [(250, 250, 7), (80, 250, 7), (500, 500, 6), (1000, 1000, 5)] {
        let (chip, mut bridge) = bench();
        let rate = bridge.start(FrameRate::new(wanted).unwrap()).unwrap();
        assert_eq!(rate.frames_per_s(), taken);
        let chip = chip.borrow();
        assert_eq!((chip.registers[3] >> 2) & 0b111, code);
        assert_eq!((chip.registers[3] >> 8, chip.registers[4]), (0x0F, 0x7777));
    }
}

#[test]
fn each_conversion_is_read_once_and_in_order() {
    let (chip, mut bridge) = bench();
    bridge.start(FrameRate::DEFAULT).unwrap();
    for k in 0..100 {
        chip.borrow_mut().convert();
        assert_eq!(values(&mut bridge), Ok([100_000 + k, 200_000 + k, 300_000 + k, 400_000 + k]));
    }
}

/// Two conversions from before the switch wait inside; the first one read must not be one of them.
#[test]
fn after_a_switch_of_inputs_no_old_conversion_is_left() {
    let (chip, mut bridge) = bench();
    bridge.start(FrameRate::DEFAULT).unwrap();
    chip.borrow_mut().convert();
    chip.borrow_mut().convert();
    bridge.connect(Input::Shorted).unwrap();
    chip.borrow_mut().convert();
    assert_eq!(values(&mut bridge), Ok([0, 1, 2, 3]));
}

#[test]
fn damage_on_the_bus_is_noticed() {
    let (chip, mut bridge) = bench();
    bridge.start(FrameRate::DEFAULT).unwrap();
    chip.borrow_mut().convert();
    chip.borrow_mut().damage_next = true;
    assert_eq!(values(&mut bridge), Err(BridgeFault::Damaged));
}

#[test]
fn a_converter_that_was_reset_says_so_until_it_is_set_up() {
    let (chip, mut bridge) = bench();
    bridge.start(FrameRate::DEFAULT).unwrap();
    chip.borrow_mut().power_up();
    assert_eq!(values(&mut bridge), Err(BridgeFault::SettingsLost));
    bridge.start(FrameRate::DEFAULT).unwrap();
    chip.borrow_mut().convert();
    assert!(values(&mut bridge).is_ok());
}

#[test]
fn a_missing_converter_is_silent() {
    let (chip, mut bridge) = bench();
    chip.borrow_mut().missing = true;
    assert_eq!(bridge.start(FrameRate::DEFAULT), Err(BridgeFault::Silent));
}
