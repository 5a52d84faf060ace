//! The station on an emulated machine.
//!
//! The converter is played, and time is that of its conversions: the bytes depend on the commands
//! alone, so they can be compared with those of the same station on the host. The machine's tick
//! only keeps the pace, and times the loop: see [`LONGEST_PASS_TICKS`].
#![no_std]
#![no_main]

#[cfg_attr(feature = "microbit", path = "uart_microbit.rs")]
#[cfg_attr(not(feature = "microbit"), path = "uart_mps2.rs")]
mod uart;

use core::sync::atomic::{AtomicU32, Ordering};

use board_firmware::{Edge, Identity, ResetCause, ScriptedBridge, Station};
use board_wire::{BoardId, Ticks, UniqueId};
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;
use cortex_m_rt::entry;

use crate::uart::{CLOCK_HZ, Uart};

/// "EMU", so that an emulated board can never be taken for a real one.
const IDENTITY: Identity =
    Identity { board: BoardId(3), unique_id: UniqueId(*b"EMU\0\0\0\0\0\0\0\0\x01") };

const TICKS_PER_MS: u32 = CLOCK_HZ / 1000;

/// How late each of the played converter's conversions comes, in parts per million: a converter on
/// a clock of its own never keeps the rate it was asked for.
const LATE_PPM: u32 = if cfg!(feature = "slow-converter") { 400 } else { 0 };

/// The longest pass of the loop so far, in ticks of the machine's clock. Whoever runs the machine
/// reads it out of memory.
// SAFETY: no other symbol has this name.
#[unsafe(no_mangle)]
static LONGEST_PASS_TICKS: AtomicU32 = AtomicU32::new(0);

/// The time of the played conversions.
#[derive(Default)]
struct PlayedTime {
    us: u32,
    /// Nanoseconds beyond the last whole microsecond.
    beyond_ns: u32,
}

impl PlayedTime {
    /// The moment of the next conversion at a rate.
    fn next(&mut self, frames_per_s: u16) -> Ticks {
        let interval_ns = 1_000_000_000 / u32::from(frames_per_s);
        self.beyond_ns += interval_ns + interval_ns / 1_000_000 * LATE_PPM;
        self.us = self.us.wrapping_add(self.beyond_ns / 1000);
        self.beyond_ns %= 1000;
        self.now()
    }

    fn now(&self) -> Ticks {
        Ticks::from_us(self.us)
    }
}

#[entry]
fn main() -> ! {
    let mut uart = Uart::new();
    let mut station = Station::new(ScriptedBridge::new(), IDENTITY, ResetCause::PowerOn);
    let mut tick = cortex_m::Peripherals::take().expect("taken once").SYST;
    tick.set_clock_source(SystClkSource::Core);
    tick.set_reload(TICKS_PER_MS - 1);
    tick.clear_current();
    tick.enable_counter();

    let mut time = PlayedTime::default();
    let mut n_ms = 0;
    let mut began = SYST::get_current();
    loop {
        while let Some(byte) = uart.read() {
            station.receive(&[byte], time.now());
        }
        if tick.has_wrapped() {
            n_ms += 1;
        }
        let frames_per_s = station.rate().frames_per_s();
        if 1000 / u32::from(frames_per_s) <= n_ms {
            n_ms = 0;
            if station.is_converting() {
                station.data_ready(Edge { time: time.next(frames_per_s), n_missed: 0 });
            }
        }
        while let Some(&byte) = station.to_send().first() {
            if !uart.write(byte) {
                break;
            }
            station.sent(1);
        }
        // The tick counts down and begins again every millisecond, which no pass comes near.
        let ended = SYST::get_current();
        let pass = (began + TICKS_PER_MS - ended) % TICKS_PER_MS;
        began = ended;
        if LONGEST_PASS_TICKS.load(Ordering::Relaxed) < pass {
            LONGEST_PASS_TICKS.store(pass, Ordering::Relaxed);
        }
    }
}

/// A panic is a mistake in the program: the board stops, and on hardware the watchdog restarts it.
#[panic_handler]
fn stop(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {
        cortex_m::asm::nop();
    }
}
