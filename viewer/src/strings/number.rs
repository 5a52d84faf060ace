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

/// A number as a person typed it, in any language: one comma or point is the decimal sign.
///
/// `None` for text that is no number; groups of thousands are not taken apart, so that `1,500` is
/// one and a half everywhere.
pub fn typed(text: &str) -> Option<f64> {
    let plain = text.trim().replace(',', ".").replace('\u{2212}', "-");
    plain.parse().ok().filter(|value: &f64| value.is_finite())
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
    fn a_typed_number_may_have_a_comma_or_a_point() {
        for (text, value) in [
            ("1.7", Some(1.7)),
            (" 1,7 ", Some(1.7)),
            ("\u{2212}3", Some(-3.0)),
            ("1,500", Some(1.5)),
            ("1.500,5", None),
            ("inf", None),
            ("", None),
        ] {
            assert_eq!(typed(text), value, "{text:?}");
        }
    }

    #[test]
    fn a_rounded_zero_has_no_sign() {
        assert_eq!(decimals(-0.001, 1), "0.0");
        assert_eq!(decimals(-0.06, 1), "\u{2212}0.1");
    }
}
