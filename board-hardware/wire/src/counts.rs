//! Raw converter counts, and the order of the four corners.

/// A corner of the board, in the order in which a frame carries them.
///
/// Left, right, front and rear are those of a person who stands on the board and faces its marked
/// front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Corner {
    /// In front, on the left: negative ML, positive AP.
    FrontLeft,
    /// In front, on the right: positive ML, positive AP.
    FrontRight,
    /// Behind, on the left: negative ML, negative AP.
    RearLeft,
    /// Behind, on the right: positive ML, negative AP.
    RearRight,
}

impl Corner {
    /// All four, in the order of [`Frame::counts`](crate::Frame::counts).
    pub const ALL: [Self; 4] = [Self::FrontLeft, Self::FrontRight, Self::RearLeft, Self::RearRight];

    /// Place in [`Corner::ALL`], from 0.
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// One raw reading of one corner: a signed 24-bit number, straight from the converter.
///
/// No zero, gain or filter has touched it; counts become newtons on the host, by calibration.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Counts(i32);

impl Counts {
    /// The most negative reading, -8,388,608; a converter that gives it is saturated.
    pub const MIN: Self = Self(-0x80_0000);
    /// The largest reading, 8,388,607; a converter that gives it is saturated.
    pub const MAX: Self = Self(0x7F_FFFF);

    /// A reading, or `None` if `value` does not fit in 24 bits.
    pub const fn new(value: i32) -> Option<Self> {
        if Self::MIN.0 <= value && value <= Self::MAX.0 { Some(Self(value)) } else { None }
    }

    /// A reading held at the ends of the range, as a converter holds it.
    pub const fn saturating(value: i32) -> Self {
        if value < Self::MIN.0 {
            Self::MIN
        } else if Self::MAX.0 < value {
            Self::MAX
        } else {
            Self(value)
        }
    }

    /// The number itself.
    pub const fn value(self) -> i32 {
        self.0
    }

    /// Whether the reading sits at an end of the range and so says only "at least this much".
    pub const fn is_saturated(self) -> bool {
        self.0 == Self::MIN.0 || self.0 == Self::MAX.0
    }

    /// Three bytes, two's complement, least significant first.
    pub(crate) const fn to_bytes(self) -> [u8; 3] {
        let [low, middle, high, _] = self.0.to_le_bytes();
        [low, middle, high]
    }

    /// The reading in three bytes; every pattern is one.
    pub(crate) const fn from_bytes([low, middle, high]: [u8; 3]) -> Self {
        // Loaded at the top and shifted down, so that the sign bit spreads.
        Self(i32::from_le_bytes([0, low, middle, high]) >> 8)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_bytes_hold_the_sign() {
        for (value, bytes) in [
            (0, [0, 0, 0]),
            (1, [1, 0, 0]),
            (-1, [0xFF, 0xFF, 0xFF]),
            (0x12_3456, [0x56, 0x34, 0x12]),
            (-0x80_0000, [0, 0, 0x80]),
            (0x7F_FFFF, [0xFF, 0xFF, 0x7F]),
        ] {
            let counts = Counts::new(value).unwrap();
            assert_eq!(counts.to_bytes(), bytes);
            assert_eq!(Counts::from_bytes(bytes), counts);
        }
    }

    #[test]
    fn nothing_beyond_24_bits_exists() {
        assert_eq!(Counts::new(0x80_0000), None);
        assert_eq!(Counts::new(-0x80_0001), None);
        assert_eq!(Counts::saturating(i32::MAX), Counts::MAX);
        assert_eq!(Counts::saturating(i32::MIN), Counts::MIN);
        assert!(Counts::MAX.is_saturated() && Counts::MIN.is_saturated());
        assert!(!Counts::saturating(0x7F_FFFE).is_saturated());
    }
}
