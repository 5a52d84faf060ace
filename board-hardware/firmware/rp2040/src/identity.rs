//! Which board this is.

use board_firmware::Identity;
use board_wire::{BoardId, UniqueId};
use embedded_hal::digital::InputPin;

/// Bytes of the number that the maker of the flash chip gave it. Winbond's chips, which the common
/// boards carry, have eight; chips of some other makers have none, or a longer one whose first
/// eight bytes need not be unique (documentation of `rp2040-flash`).
const FLASH_NUMBER_BYTES: usize = 8;

/// The identity of this board: the number of its flash chip, filled up with zeros, and the number
/// set by its jumpers.
///
/// To be called before the interrupts are on: the flash chip cannot be read while it tells its number.
pub(crate) fn identity(jumpers: (impl InputPin, impl InputPin)) -> Identity {
    let mut unique_id = [0; 12];
    let (number, _) = unique_id.split_at_mut(FLASH_NUMBER_BYTES);
    // SAFETY: the second core was never started and no interrupt is on yet, so that nothing is run
    // from the flash chip meanwhile.
    unsafe { rp2040_flash::flash::flash_unique_id(number, true) };
    Identity { board: BoardId(set_number(jumpers)), unique_id: UniqueId(unique_id) }
}

/// 1 to 4, by two jumpers to ground.
fn set_number((mut low, mut high): (impl InputPin, impl InputPin)) -> u8 {
    let closed = |level: Result<bool, _>| u8::from(matches!(level, Ok(true)));
    1 + closed(low.is_low().map_err(|_pin| ())) + 2 * closed(high.is_low().map_err(|_pin| ()))
}

/// Twenty-four hexadecimal digits, for the USB serial number.
pub(crate) fn digits(UniqueId(bytes): UniqueId) -> [u8; 24] {
    let mut digits = [0; 24];
    for (pair, byte) in digits.chunks_exact_mut(2).zip(bytes) {
        for (digit, value) in pair.iter_mut().zip([byte >> 4, byte & 0x0F]) {
            *digit = if value < 10 { b'0' + value } else { b'a' + value - 10 };
        }
    }
    digits
}
