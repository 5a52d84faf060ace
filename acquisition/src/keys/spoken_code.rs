//! The digits two people read to each other.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

const N_DIGITS: usize = 25;
const N_IN_GROUP: usize = 5;

/// Five groups of five digits that stand for one side's public keys.
///
/// The code belongs to one half, not to both together. Somebody who puts keys of their own in the
/// place of a home's must find some with the same code, about 10^25 (2^83) tries. A code over both
/// halves would let them vary two keys at once and need only the root of that.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SpokenCode(u128);

impl SpokenCode {
    /// The code of a digest: its first 16 bytes, the highest first, modulo 10^25.
    pub(super) fn of_digest(digest: &[u8; 32]) -> Self {
        let (first, _) = digest.split_first_chunk().expect("16 of 32 bytes are there");
        Self(u128::from_be_bytes(*first) % 10_u128.pow(25))
    }
}

/// As it is read aloud: `01234 56789 01234 56789 01234`.
impl fmt::Display for SpokenCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = format!("{:0N_DIGITS$}", self.0);
        for (position, digit) in digits.chars().enumerate() {
            if position != 0 && position % N_IN_GROUP == 0 {
                f.write_str(" ")?;
            }
            write!(f, "{digit}")?;
        }
        Ok(())
    }
}

/// Reads 25 digits; spaces and hyphens anywhere between them do not matter.
impl FromStr for SpokenCode {
    type Err = BadSpokenCode;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = || BadSpokenCode { n_digits: text.chars().filter(char::is_ascii_digit).count() };
        let digits = text.bytes().filter(|byte| !b" -\t\r\n".contains(byte));
        let mut code = (0_u128, 0_usize);
        for byte in digits {
            if !byte.is_ascii_digit() || code.1 == N_DIGITS {
                return Err(bad());
            }
            code = (10 * code.0 + u128::from(byte - b'0'), code.1 + 1);
        }
        if code.1 == N_DIGITS { Ok(Self(code.0)) } else { Err(bad()) }
    }
}

/// Text that is no code to compare.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("the code has five groups of five digits; {n_digits} digits were given")]
pub struct BadSpokenCode {
    /// How many digits there are in the text.
    pub n_digits: usize,
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_code_is_the_head_of_the_digest_as_a_decimal_number() {
        // 2^64 = 18446744073709551616, a known number, as the sixteen bytes 0..0 1 0..0.
        let mut digest = [0xff; 32];
        digest[..16].copy_from_slice(&[0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0]);
        let code = SpokenCode::of_digest(&digest);
        assert_eq!(code.to_string(), "00000 18446 74407 37095 51616");
        // 2^128 - 1 = 340282366920938463463374607431768211455: its last 25 digits.
        let largest = SpokenCode::of_digest(&[0xff; 32]);
        assert_eq!(largest.to_string(), "84634 63374 60743 17682 11455");
    }

    #[test]
    fn what_is_no_code_says_how_many_digits_it_has() {
        for (bad, n_digits) in [
            ("", 0),
            ("01234 56789 01234 56789 0123", 24),
            ("01234 56789 01234 56789 01234 5", 26),
            ("01234 56789 o1234 56789 01234", 24),
            ("01234.56789.01234.56789.01234", 25),
        ] {
            assert_eq!(bad.parse::<SpokenCode>(), Err(BadSpokenCode { n_digits }), "{bad:?}");
        }
    }

    proptest! {
        #[test]
        fn every_code_is_read_as_it_is_spoken(digest: [u8; 32]) {
            let code = SpokenCode::of_digest(&digest);
            prop_assert_eq!(code.to_string().parse(), Ok(code));
            prop_assert_eq!(code.to_string().replace(' ', "-").parse(), Ok(code));
            prop_assert_eq!(code.to_string().len(), 29);
        }
    }
}
