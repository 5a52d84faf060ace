//! Four played bridge converters that share a clock and a START line.

use std::cell::RefCell;
use std::convert::Infallible;
use std::rc::Rc;

use board_firmware::converters::FourBridges;
use board_firmware::{Bridge as _, BridgeFault, Input};
use board_wire::{Counts, FrameRate};
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{self, OutputPin};
use embedded_hal::spi::{self, Operation, SpiDevice};

/// Clock of all four converters.
const CLOCK_KHZ: u64 = 2560;

/// Rates of the data sheet at 4.096 MHz, by code, in tenths of a hertz.
const SHEET_RATES_TENTH_HZ: [u64; 14] =
    [25, 50, 100, 166, 200, 500, 600, 1000, 2000, 4000, 8000, 10_000, 20_000, 40_000];

/// A byte takes 4 us at 2 MHz.
const BYTE_NS: u64 = 4000;

/// What all four converters share.
#[derive(Debug, Default)]
struct World {
    ns: u64,
    /// When START rose; `None` while it is low.
    started_ns: Option<u64>,
}

#[derive(Debug, Clone)]
struct PlayedConverter(Rc<RefCell<Chip>>);

#[derive(Debug)]
struct Chip {
    world: Rc<RefCell<World>>,
    number: i32,
    registers: [u8; 18],
    /// When the last reset came.
    reset_ns: u64,
    missing: bool,
    open: bool,
    damage_next: bool,
}

impl Chip {
    fn power_up(&mut self) {
        self.registers = [0; 18];
        // As after power-up: the flag for it, gain 1, internal clock at 20/s, no status or CRC.
        self.registers[1] = 0x80;
        self.registers[4] = 0x14;
        self.registers[9] = 0x10;
    }

    fn period_ns(&self) -> u64 {
        let setting = self.registers[4];
        assert_ne!(setting & 0x40, 0, "a converter on its own clock drifts away from the others");
        let tenth_hz = SHEET_RATES_TENTH_HZ[usize::from(setting & 0x0F)];
        10_000_000_000 * 4096 / (tenth_hz * CLOCK_KHZ)
    }

    /// How many conversions are complete; the first takes three periods (sinc3).
    fn n_complete(&self, ns: u64) -> u64 {
        let Some(started_ns) = self.world.borrow().started_ns else { return 0 };
        ((ns - started_ns) / self.period_ns()).saturating_sub(2)
    }

    fn value(&self, conversion: u64) -> i32 {
        match self.registers[9] >> 5 {
            0 => 100_000 * (self.number + 1) + i32::try_from(conversion).expect("few"),
            0b001 => self.number,
            0b110 if self.open => 0x7F_FFFF,
            0b110 => 100_000,
            other => panic!("monitor {other} is not one the driver should choose"),
        }
    }

    /// The reading that is ready: status, three bytes, CRC; wrong if the next one arrives meanwhile.
    fn reading(&mut self) -> Vec<u8> {
        assert_eq!(self.registers[9] & 0b11, 0b11, "status and CRC were not asked for");
        assert_eq!(self.registers[3] & 0b1111, 0b1111, "the amplifier is not on at 128");
        assert_eq!(self.registers[2], 0x01, "the inputs are not the bridge's");
        let begun_ns = self.world.borrow().ns;
        let n_complete = self.n_complete(begun_ns);
        assert!(0 < n_complete, "there is no reading yet");
        let value = self.value(n_complete - 1).to_be_bytes();
        let mut bytes = vec![self.registers[1], value[1], value[2], value[3]];
        let mut crc = 0xFF_u8;
        for byte in &bytes {
            crc ^= byte;
            for _bit in 0..8 {
                crc = if crc & 0x80 == 0 { crc << 1 } else { (crc << 1) ^ 0x07 };
            }
        }
        bytes.push(crc);
        let overrun = self.n_complete(begun_ns + 5 * BYTE_NS) != n_complete;
        if std::mem::take(&mut self.damage_next) || overrun {
            bytes[2] ^= 0x10;
        }
        bytes
    }

    /// What comes back while `sent` goes out, in one stretch with the chip selected.
    fn talk(&mut self, sent: &[u8]) -> Vec<u8> {
        let begun_ns = self.world.borrow().ns;
        let mut back = vec![0; sent.len()];
        if self.missing {
            back.fill(0xFF);
        } else {
            let since_reset_ns = begun_ns - self.reset_ns;
            assert!(
                4096 * 1_000_000 / CLOCK_KHZ <= since_reset_ns,
                "spoken to {since_reset_ns} ns after a reset"
            );
            match sent {
                [0x06] => {
                    self.power_up();
                    self.registers[1] = 0;
                    self.reset_ns = begun_ns + BYTE_NS;
                }
                [0, 0, 0, 0, 0] => back = self.reading(),
                [command, n_minus_one, rest @ ..] => {
                    let first = usize::from(command & 0x1F);
                    let range = first..=first + usize::from(*n_minus_one);
                    match command & 0xE0 {
                        0x20 => back[2..].copy_from_slice(&self.registers[range]),
                        0x40 => {
                            let held = self.world.borrow().started_ns.is_none();
                            assert!(held, "a setting written while converting restarts one alone");
                            self.registers[range].copy_from_slice(rest);
                        }
                        _ => panic!("unknown command {command:#04x}"),
                    }
                }
                other => panic!("unknown message {other:?}"),
            }
        }
        self.world.borrow_mut().ns += BYTE_NS * sent.len() as u64;
        back
    }
}

impl spi::ErrorType for PlayedConverter {
    type Error = Infallible;
}

impl SpiDevice for PlayedConverter {
    fn transaction(&mut self, operations: &mut [Operation<'_, u8>]) -> Result<(), Infallible> {
        let mut sent = Vec::new();
        for operation in operations.iter() {
            match operation {
                Operation::Read(bytes) => sent.extend(std::iter::repeat_n(0, bytes.len())),
                Operation::Write(bytes) => sent.extend_from_slice(bytes),
                Operation::TransferInPlace(bytes) => sent.extend_from_slice(bytes),
                other => panic!("not used by the driver: {other:?}"),
            }
        }
        let back = self.0.borrow_mut().talk(&sent);
        let mut back = back.into_iter();
        for operation in operations {
            match operation {
                Operation::Read(bytes) | Operation::TransferInPlace(bytes) => {
                    bytes.iter_mut().for_each(|byte| *byte = back.next().expect("one for one"));
                }
                Operation::Write(bytes) => drop(back.by_ref().take(bytes.len()).count()),
                other => panic!("not used by the driver: {other:?}"),
            }
        }
        Ok(())
    }
}

struct StartLine(Rc<RefCell<World>>);

impl digital::ErrorType for StartLine {
    type Error = Infallible;
}

impl OutputPin for StartLine {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.0.borrow_mut().started_ns = None;
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        let mut world = self.0.borrow_mut();
        let now_ns = world.ns;
        world.started_ns.get_or_insert(now_ns);
        Ok(())
    }
}

struct Delay(Rc<RefCell<World>>);

impl DelayNs for Delay {
    fn delay_ns(&mut self, ns: u32) {
        self.0.borrow_mut().ns += u64::from(ns);
    }
}

struct Bench {
    world: Rc<RefCell<World>>,
    chips: [Rc<RefCell<Chip>>; 4],
    bridge: FourBridges<PlayedConverter, StartLine, Delay>,
}

impl Bench {
    fn new() -> Self {
        // Powered up long ago.
        let world = Rc::new(RefCell::new(World { ns: 1_000_000_000, started_ns: None }));
        let chips = [0, 1, 2, 3].map(|number| {
            let mut chip = Chip {
                world: Rc::clone(&world),
                number,
                registers: [0; 18],
                reset_ns: 0,
                missing: false,
                open: false,
                damage_next: false,
            };
            chip.power_up();
            Rc::new(RefCell::new(chip))
        });
        let converters = [0, 1, 2, 3].map(|i: usize| PlayedConverter(Rc::clone(&chips[i])));
        let delay = Delay(Rc::clone(&world));
        let bridge = FourBridges::new(converters, StartLine(Rc::clone(&world)), delay);
        Self { world, chips, bridge }
    }

    /// Lets time pass to just after the n-th data-ready edge since START rose.
    fn wait_for(&self, conversion: u64) {
        let period_ns = self.chips[0].borrow().period_ns();
        let mut world = self.world.borrow_mut();
        let started_ns = world.started_ns.expect("converting");
        let ready_ns = started_ns + (conversion + 3) * period_ns + 1000;
        assert!(world.ns <= ready_ns, "late for conversion {conversion}");
        world.ns = ready_ns;
    }

    fn read(&mut self) -> Result<[i32; 4], BridgeFault> {
        self.bridge.read().map(|conversion| conversion.counts.map(Counts::value))
    }
}

#[test]
fn all_four_convert_in_step_and_none_is_missed() {
    let mut bench = Bench::new();
    assert_eq!(bench.bridge.start(FrameRate::DEFAULT), Ok(FrameRate::DEFAULT));
    assert_eq!(bench.chips[0].borrow().period_ns(), 4_000_000, "250 frames/s");
    for conversion in 0..500_u64 {
        bench.wait_for(conversion);
        let k = i32::try_from(conversion).unwrap();
        let wanted = [100_000, 200_000, 300_000, 400_000].map(|level| level + k);
        assert_eq!(bench.read(), Ok(wanted));
    }
}

#[test]
fn the_nearest_rate_is_taken() {
    for (wanted, taken) in [(80, 125), (200, 250), (400, 500), (1000, 625)] {
        let mut bench = Bench::new();
        let rate = bench.bridge.start(FrameRate::new(wanted).unwrap()).unwrap();
        assert_eq!(rate.frames_per_s(), taken);
        let period_ns = bench.chips[3].borrow().period_ns();
        assert_eq!(period_ns, 1_000_000_000 / u64::from(taken), "{wanted}");
    }
}

#[test]
fn inputs_are_shorted_and_open_wires_found_with_all_four_in_step() {
    let mut bench = Bench::new();
    bench.chips[2].borrow_mut().open = true;
    bench.bridge.start(FrameRate::DEFAULT).unwrap();
    bench.bridge.connect(Input::Shorted).unwrap();
    bench.wait_for(5);
    assert_eq!(bench.read(), Ok([0, 1, 2, 3]));
    bench.bridge.connect(Input::BurnOut).unwrap();
    bench.wait_for(5);
    assert_eq!(bench.read(), Ok([100_000, 100_000, 0x7F_FFFF, 100_000]));
    bench.bridge.connect(Input::Cells).unwrap();
    bench.wait_for(7);
    assert_eq!(bench.read(), Ok([100_007, 200_007, 300_007, 400_007]));
}

#[test]
fn a_reading_that_the_next_conversion_overtakes_is_damaged_not_wrong() {
    let mut bench = Bench::new();
    bench.bridge.start(FrameRate::DEFAULT).unwrap();
    bench.wait_for(0);
    // 10 us before the next edge: five bytes take 20 us.
    bench.world.borrow_mut().ns += 4_000_000 - 1000 - 10_000;
    assert_eq!(bench.read(), Err(BridgeFault::Damaged));
}

#[test]
fn damage_on_the_bus_is_noticed() {
    let mut bench = Bench::new();
    bench.bridge.start(FrameRate::DEFAULT).unwrap();
    bench.wait_for(0);
    bench.chips[1].borrow_mut().damage_next = true;
    assert_eq!(bench.read(), Err(BridgeFault::Damaged));
    bench.wait_for(1);
    assert!(bench.read().is_ok());
}

#[test]
fn a_dip_of_the_supply_is_noticed_and_a_new_start_mends_it() {
    let mut bench = Bench::new();
    bench.bridge.start(FrameRate::DEFAULT).unwrap();
    bench.wait_for(0);
    // Only the flag: a converter that lost its settings too sends no status and fails its CRC.
    bench.chips[3].borrow_mut().registers[1] |= 0x80;
    assert_eq!(bench.read(), Err(BridgeFault::SettingsLost));
    bench.bridge.start(FrameRate::DEFAULT).unwrap();
    bench.wait_for(0);
    assert_eq!(bench.read(), Ok([100_000, 200_000, 300_000, 400_000]));
}

#[test]
fn a_missing_converter_is_silent() {
    for missing in 0..4 {
        let mut bench = Bench::new();
        bench.chips[missing].borrow_mut().missing = true;
        assert_eq!(bench.bridge.start(FrameRate::DEFAULT), Err(BridgeFault::Silent));
    }
}
