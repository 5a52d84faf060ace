//! Bytes as hexadecimal digits, in the one spelling that is read back.

use std::fmt::Write as _;

/// `bytes` as hexadecimal digits in small letters.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(2 * bytes.len()), |mut text, byte| {
        write!(text, "{byte:02x}").expect("writing to a string cannot fail");
        text
    })
}

/// `N` bytes from exactly `2 * N` hexadecimal digits in small letters; `None` for anything else.
///
/// Capitals are refused so that every value has one spelling, and texts can be compared.
pub(crate) fn bytes_from_hex<const N: usize>(text: &str) -> Option<[u8; N]> {
    if text.len() != 2 * N {
        return None;
    }
    let mut bytes = [0; N];
    for (byte, digits) in bytes.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
        *byte = 16 * digit(digits[0])? + digit(digits[1])?;
    }
    Some(bytes)
}

fn digit(letter: u8) -> Option<u8> {
    match letter {
        b'0'..=b'9' => Some(letter - b'0'),
        b'a'..=b'f' => Some(letter - b'a' + 10),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_test_vectors_of_rfc_4648() {
        // RFC 4648, section 10, BASE16; there in capitals.
        assert_eq!(hex(b"foobar"), "666f6f626172");
        assert_eq!(bytes_from_hex(""), Some([]));
        assert_eq!(bytes_from_hex("666f6f"), Some(*b"foo"));
        for bad in ["666F6f", "666f6", "666f6f62", "66 f6f", "66fg6f", "+6f6f6"] {
            assert_eq!(bytes_from_hex::<3>(bad), None, "{bad:?}");
        }
    }

    proptest! {
        #[test]
        fn only_what_is_written_is_read(bytes: [u8; 8], text in "\\PC{0,20}") {
            prop_assert_eq!(bytes_from_hex(&hex(&bytes)), Some(bytes));
            if let Some(read) = bytes_from_hex::<8>(&text) {
                prop_assert_eq!(hex(&read), text);
            }
        }
    }
}
