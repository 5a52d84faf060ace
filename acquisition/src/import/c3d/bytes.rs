//! Numbers of a C3D file, in the byte order of the computer it was made on.

/// Kinds of computer whose numbers a file may hold, by the sign in its fourth parameter byte.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Processor {
    /// Least byte first, floats of IEEE 754.
    Intel,
    /// Least byte first, floats of the VAX.
    Dec,
    /// Greatest byte first, floats of IEEE 754.
    Mips,
}

impl Processor {
    pub(super) const fn from_sign(sign: u8) -> Option<Self> {
        match sign {
            84 => Some(Self::Intel),
            85 => Some(Self::Dec),
            86 => Some(Self::Mips),
            _ => None,
        }
    }

    /// The 16-bit number at `at`; `None` beyond the end.
    pub(super) fn u16_at(self, bytes: &[u8], at: usize) -> Option<u16> {
        let two: [u8; 2] = bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(match self {
            Self::Intel | Self::Dec => u16::from_le_bytes(two),
            Self::Mips => u16::from_be_bytes(two),
        })
    }

    pub(super) fn i16_at(self, bytes: &[u8], at: usize) -> Option<i16> {
        self.u16_at(bytes, at).map(u16::cast_signed)
    }

    /// The 32-bit float at `at`; `None` beyond the end. May be infinite or "not a number".
    pub(super) fn f32_at(self, bytes: &[u8], at: usize) -> Option<f32> {
        let four: [u8; 4] = bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(match self {
            Self::Intel => f32::from_le_bytes(four),
            Self::Mips => f32::from_be_bytes(four),
            // A VAX stores the two halves the other way round, and its exponent is larger by two.
            Self::Dec => f32::from_le_bytes([four[2], four[3], four[0], four[1]]) / 4.0,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1.0 and -2.5 by the published layouts: IEEE 754 and the VAX's `F_floating`.
    #[test]
    fn floats_of_three_computers() {
        for (processor, bytes, wanted) in [
            (Processor::Intel, [0x00, 0x00, 0x80, 0x3f], 1.0_f32),
            (Processor::Mips, [0xc0, 0x20, 0x00, 0x00], -2.5),
            (Processor::Dec, [0x80, 0x40, 0x00, 0x00], 1.0),
            (Processor::Dec, [0x20, 0xc1, 0x00, 0x00], -2.5),
        ] {
            let found = processor.f32_at(&bytes, 0).unwrap();
            assert_eq!(found.to_bits(), wanted.to_bits(), "{processor:?} {bytes:?}");
        }
        assert_eq!(Processor::Intel.f32_at(&[0; 3], 0), None);
        assert_eq!(Processor::Mips.u16_at(&[0x01, 0x02], 0), Some(0x0102));
        assert_eq!(Processor::Intel.i16_at(&[0xff, 0xff, 1], usize::MAX), None);
    }
}
