//! First serial port of the MPS2 machine: the APB UART of Arm's CMSDK (DDI 0479, section 4.3).

const DATA: *mut u32 = 0x4000_4000 as *mut u32;
const STATE: *mut u32 = 0x4000_4004 as *mut u32;
const CONTROL: *mut u32 = 0x4000_4008 as *mut u32;
const BAUD_DIVIDER: *mut u32 = 0x4000_4010 as *mut u32;

const SEND_FULL: u32 = 1 << 0;
const RECEIVE_FULL: u32 = 1 << 1;
const BOTH_ON: u32 = 0b11;

/// The machine's clock.
pub(crate) const CLOCK_HZ: u32 = 25_000_000;

/// The port; there is one.
pub(crate) struct Uart(());

impl Uart {
    pub(crate) fn new() -> Self {
        // SAFETY: the machine's manual places the port here, and nothing else uses it.
        unsafe {
            // 16 is the smallest divider it accepts; an emulator does not care about speed.
            BAUD_DIVIDER.write_volatile(16);
            CONTROL.write_volatile(BOTH_ON);
        }
        Self(())
    }

    /// A byte that has arrived.
    pub(crate) fn read(&mut self) -> Option<u8> {
        // SAFETY: as above.
        let word = unsafe {
            if STATE.read_volatile() & RECEIVE_FULL == 0 {
                return None;
            }
            DATA.read_volatile()
        };
        let [byte, ..] = word.to_le_bytes();
        Some(byte)
    }

    /// Sends a byte if there is room; says whether there was.
    pub(crate) fn write(&mut self, byte: u8) -> bool {
        // SAFETY: as above.
        unsafe {
            if STATE.read_volatile() & SEND_FULL != 0 {
                return false;
            }
            DATA.write_volatile(u32::from(byte));
        }
        true
    }
}
