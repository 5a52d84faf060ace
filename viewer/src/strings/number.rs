//! Numbers as a person reads them.

/// A number with `digits` significant digits, never in powers of ten: `0.0123`, `4.57`, `1234`.
///
/// Digits before the decimal point are never cut off. For showing only; nothing is computed from
/// the text.
pub fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    let plain = format!("{:.*e}", digits.saturating_sub(1), value);
    // The exponent after rounding, so that 9.996 with three digits is 10.0 and not 10.00.
    let exponent: i32 = plain.split_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0);
    let wanted = i32::try_from(digits).unwrap_or(i32::MAX).saturating_sub(1 + exponent);
    decimals(value, usize::try_from(wanted.max(0)).unwrap_or(0).min(12))
}

/// A number with so many digits after the decimal point, and a proper minus sign.
pub fn decimals(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn significant_digits_are_counted_from_the_first_that_is_not_zero() {
        for (value, expected) in [
            (0.0, "0.00"),
            (0.012_345, "0.0123"),
            (1.0, "1.00"),
            (4.5678, "4.57"),
            (9.996, "10.0"),
            (123.4, "123"),
            (1234.5, "1234"),
            (-0.5, "\u{2212}0.500"),
        ] {
            assert_eq!(significant(value, 3), expected, "{value}");
        }
    }

    #[test]
    fn a_rounded_zero_has_no_sign() {
        assert_eq!(decimals(-0.001, 1), "0.0");
        assert_eq!(decimals(-0.06, 1), "\u{2212}0.1");
    }
}
