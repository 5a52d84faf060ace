//! Units and values in German.

use analysis::Unit;

use super::number::{decimals, significant};

/// A unit as it stands beside a number; empty for a pure number.
pub(super) const fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Seconds => "s",
        Unit::Millimetres => "mm",
        Unit::SquareMillimetres => "mm\u{b2}",
        Unit::MillimetresPerSecond => "mm/s",
        Unit::SquareMillimetresPerSecond => "mm\u{b2}/s",
        Unit::Hertz => "Hz",
        Unit::Degrees => "Grad",
        Unit::Share => "% der Zeit",
        Unit::Count | Unit::One => "",
    }
}

/// A value of a unit.
pub(super) fn value(unit: Unit, value: f64) -> String {
    match unit {
        Unit::Share => decimals(100.0 * value, 0),
        Unit::Degrees | Unit::Count => decimals(value, 0),
        Unit::Seconds => decimals(value, 1),
        Unit::Millimetres
        | Unit::SquareMillimetres
        | Unit::MillimetresPerSecond
        | Unit::SquareMillimetresPerSecond
        | Unit::Hertz
        | Unit::One => significant(value, 3),
    }
}

/// A difference of two values of a unit, with its sign.
pub(super) fn difference(unit: Unit, difference: f64) -> String {
    let text = value(unit, difference);
    if 0.0 < difference { format!("+{text}") } else { text }
}
