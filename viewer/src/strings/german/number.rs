//! Numbers as a German reader reads them: with a decimal comma.

use crate::strings::number;

/// A number with so many significant digits: `0,0123`, `4,57`, `1234`.
pub(super) fn significant(value: f64, digits: usize) -> String {
    with_comma(&number::significant(value, digits))
}

/// A number with so many digits after the decimal comma.
pub(super) fn decimals(value: f64, digits: usize) -> String {
    with_comma(&number::decimals(value, digits))
}

/// A number with no more digits than it has.
pub(super) fn shortest(value: f64) -> String {
    with_comma(&value.to_string())
}

fn with_comma(text: &str) -> String {
    text.replace('.', ",")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_decimal_sign_is_a_comma() {
        assert_eq!(decimals(1234.56, 1), "1234,6");
        assert_eq!(shortest(1.7), "1,7");
        assert_eq!(significant(-0.5, 3), "\u{2212}0,500");
    }
}
