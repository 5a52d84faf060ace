//! What the board knows to be wrong with a frame.

use core::ops::{BitOr, BitOrAssign};

use crate::counts::Corner;

/// Sixteen flags that travel with every frame; all clear means nothing to report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Status(u16);

impl Status {
    /// Nothing to report.
    pub const CLEAR: Self = Self(0);
    /// The converter did not answer in time; the counts are those of the conversion before.
    pub const NOT_READY: Self = Self(1 << 8);
    /// At least one conversion before this one was not read in time and is lost.
    pub const MISSED_CONVERSION: Self = Self(1 << 9);
    /// The supply fell below its limit since the last frame.
    pub const BROWN_OUT: Self = Self(1 << 10);
    /// The converter's settings were written since the last frame.
    pub const CONFIG_CHANGED: Self = Self(1 << 11);
    /// The watchdog restarted the board; on the first frame after the restart.
    pub const WATCHDOG_RESTART: Self = Self(1 << 12);

    /// The corner's reading sits at an end of the converter's range.
    pub const fn saturated(corner: Corner) -> Self {
        Self(1 << corner.index())
    }

    /// The corner's cell is not connected, or a wire of it is broken.
    pub const fn open_bridge(corner: Corner) -> Self {
        Self(1 << (4 + corner.index()))
    }

    /// The flags as one number, as they travel.
    pub const fn bits(self) -> u16 {
        self.0
    }

    /// Flags from the number that travels; flags this version does not know are kept.
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits)
    }

    /// Whether every flag of `flags` is up.
    pub const fn contains(self, flags: Self) -> bool {
        self.0 & flags.0 == flags.0
    }

    /// Whether no flag is up.
    pub const fn is_clear(self) -> bool {
        self.0 == 0
    }
}

impl BitOr for Status {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitOrAssign for Status {
    fn bitor_assign(&mut self, other: Self) {
        self.0 |= other.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_flag_has_a_bit_of_its_own() {
        let mut all = Status::CLEAR;
        let general = [
            Status::NOT_READY,
            Status::MISSED_CONVERSION,
            Status::BROWN_OUT,
            Status::CONFIG_CHANGED,
            Status::WATCHDOG_RESTART,
        ];
        let corners =
            Corner::ALL.into_iter().flat_map(|c| [Status::saturated(c), Status::open_bridge(c)]);
        for flag in general.into_iter().chain(corners) {
            assert_eq!(flag.bits().count_ones(), 1);
            assert!(!all.contains(flag));
            all |= flag;
        }
        assert_eq!(all.bits(), 0x1FFF);
        assert!(!all.is_clear() && Status::CLEAR.is_clear());
    }
}
