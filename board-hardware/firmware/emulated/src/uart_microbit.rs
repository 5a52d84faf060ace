//! Serial port of the nRF51 (reference manual, chapter 29).

const BASE: usize = 0x4000_2000;
const START_RECEIVING: *mut u32 = BASE as *mut u32;
const START_SENDING: *mut u32 = (BASE + 0x008) as *mut u32;
const RECEIVED: *mut u32 = (BASE + 0x108) as *mut u32;
const SENT: *mut u32 = (BASE + 0x11C) as *mut u32;
const ENABLE: *mut u32 = (BASE + 0x500) as *mut u32;
const RECEIVE_DATA: *mut u32 = (BASE + 0x518) as *mut u32;
const SEND_DATA: *mut u32 = (BASE + 0x51C) as *mut u32;

const ON: u32 = 4;

/// The machine's clock.
pub(crate) const CLOCK_HZ: u32 = 16_000_000;

/// The port; there is one.
pub(crate) struct Uart {
    /// Whether the byte before is still on its way.
    sending: bool,
}

impl Uart {
    pub(crate) fn new() -> Self {
        // SAFETY: the reference manual places the port here, and nothing else uses it.
        unsafe {
            ENABLE.write_volatile(ON);
            START_RECEIVING.write_volatile(1);
            START_SENDING.write_volatile(1);
        }
        Self { sending: false }
    }

    /// A byte that has arrived.
    pub(crate) fn read(&mut self) -> Option<u8> {
        // SAFETY: as above.
        let word = unsafe {
            if RECEIVED.read_volatile() == 0 {
                return None;
            }
            RECEIVED.write_volatile(0);
            RECEIVE_DATA.read_volatile()
        };
        let [byte, ..] = word.to_le_bytes();
        Some(byte)
    }

    /// Sends a byte if there is room; says whether there was.
    pub(crate) fn write(&mut self, byte: u8) -> bool {
        // SAFETY: as above.
        unsafe {
            if self.sending && SENT.read_volatile() == 0 {
                return false;
            }
            SENT.write_volatile(0);
            SEND_DATA.write_volatile(u32::from(byte));
        }
        self.sending = true;
        true
    }
}
