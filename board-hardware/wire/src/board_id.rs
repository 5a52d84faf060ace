//! Which board is speaking.

/// A number, set on the board, that tells two boards on one host apart.
///
/// Calibration is kept under [`UniqueId`], never under this.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct BoardId(pub u8);

/// The microcontroller's own 96-bit number: no two boards share it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct UniqueId(pub [u8; 12]);

/// Twenty-four lower-case hexadecimal digits, first byte first.
impl core::fmt::Display for UniqueId {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::string::ToString as _;

    use super::*;

    #[test]
    fn a_unique_id_prints_every_digit() {
        let id = UniqueId([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 0xAB, 0xFF]);
        assert_eq!(id.to_string(), "00010203040506070809abff");
    }
}
