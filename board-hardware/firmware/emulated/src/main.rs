//! The station on an emulated machine.
//!
//! The converter is played, and time is that of its conversions: the bytes depend on the commands
//! alone, so they can be compared with those of the same station on the host. The machine's tick
//! only keeps the pace.
#![no_std]
#![no_main]

#[cfg_attr(feature = "microbit", path = "uart_microbit.rs")]
#[cfg_attr(not(feature = "microbit"), path = "uart_mps2.rs")]
mod uart;

use board_firmware::{Edge, Identity, ResetCause, ScriptedBridge, Station};
use board_wire::{BoardId, Ticks, UniqueId};
use cortex_m::peripheral::syst::SystClkSource;
use cortex_m_rt::entry;

use crate::uart::{CLOCK_HZ, Uart};

/// "EMU", so that an emulated board can never be taken for a real one.
const IDENTITY: Identity =
    Identity { board: BoardId(3), unique_id: UniqueId(*b"EMU\0\0\0\0\0\0\0\0\x01") };

#[entry]
fn main() -> ! {
    let mut uart = Uart::new();
    let mut station = Station::new(ScriptedBridge::new(), IDENTITY, ResetCause::PowerOn);
    let mut tick = cortex_m::Peripherals::take().expect("taken once").SYST;
    tick.set_clock_source(SystClkSource::Core);
    tick.set_reload(CLOCK_HZ / 1000 - 1);
    tick.clear_current();
    tick.enable_counter();

    let mut time_us = 0_u32;
    let mut n_ms = 0;
    loop {
        while let Some(byte) = uart.read() {
            station.receive(&[byte], Ticks::from_us(time_us));
        }
        if tick.has_wrapped() {
            n_ms += 1;
        }
        let interval_us = 1_000_000 / u32::from(station.rate().frames_per_s());
        if interval_us / 1000 <= n_ms {
            n_ms = 0;
            if station.is_converting() {
                time_us = time_us.wrapping_add(interval_us);
                station.data_ready(Edge { time: Ticks::from_us(time_us), n_missed: 0 });
            }
        }
        while let Some(&byte) = station.to_send().first() {
            if !uart.write(byte) {
                break;
            }
            station.sent(1);
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
