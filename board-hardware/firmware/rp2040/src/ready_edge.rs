//! The data-ready edge: stamped in the interrupt, read in the loop.

use core::cell::RefCell;

use board_firmware::{Edge, ReadyLatch};
use board_wire::Ticks;
use critical_section::Mutex;
use rp2040_hal::gpio::{DynPinId, FunctionSioInput, Interrupt, Pin, PullNone};
use rp2040_hal::pac::{self, interrupt};

type ReadyPin = Pin<DynPinId, FunctionSioInput, PullNone>;

static LATCH: Mutex<RefCell<ReadyLatch>> = Mutex::new(RefCell::new(ReadyLatch::new()));
static PIN: Mutex<RefCell<Option<ReadyPin>>> = Mutex::new(RefCell::new(None));

/// Hands the pin over to the interrupt, which is on from here on.
pub(crate) fn begin(pin: ReadyPin) {
    critical_section::with(|lock| PIN.borrow_ref_mut(lock).replace(pin));
    // SAFETY: what the interrupt needs is in place, and the loop shares it through locks only.
    unsafe { pac::NVIC::unmask(pac::Interrupt::IO_IRQ_BANK0) };
}

/// The newest edge, if one came since the last call.
pub(crate) fn take() -> Option<Edge> {
    critical_section::with(|lock| LATCH.borrow_ref_mut(lock).take())
}

#[interrupt]
fn IO_IRQ_BANK0() {
    // SAFETY: reading the low word of the timer changes nothing.
    let us = unsafe { (*pac::TIMER::ptr()).timerawl().read().bits() };
    critical_section::with(|lock| {
        if let Some(pin) = PIN.borrow_ref_mut(lock).as_mut() {
            pin.clear_interrupt(Interrupt::EdgeLow);
        }
        LATCH.borrow_ref_mut(lock).set(Ticks::from_us(us));
    });
}
