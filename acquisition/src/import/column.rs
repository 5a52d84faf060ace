//! One column of a foreign recording: which it is, its unit and its sign, as one short text.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

/// Most characters a column's name may have.
const MAX_NAME_CHARS: usize = 200;

/// A column by name or number, with its unit and its sense.
///
/// As text: `COPx:cm`, `-COPx:cm` if it counts the other way, `#3:mm` for the third column,
/// `"-odd:name":N m` with quotes around a name that would be read otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Which column it is.
    pub name: ColumnName,
    /// The unit of its numbers.
    pub unit: ColumnUnit,
    /// Whether its numbers are to be taken with the opposite sign.
    pub reversed: bool,
}

/// How a column is found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColumnName {
    /// By the text above it; a unit in brackets at the end of that text may be left out.
    Named(String),
    /// By its place, from 1 on the left.
    Numbered(usize),
}

/// Without quotes: for messages.
impl fmt::Display for ColumnName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Named(name) => f.write_str(name),
            Self::Numbered(number) => write!(f, "#{number}"),
        }
    }
}

/// A unit a column can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ColumnUnit {
    /// Metres.
    Metre,
    /// Centimetres.
    Centimetre,
    /// Millimetres.
    Millimetre,
    /// Seconds.
    Second,
    /// Milliseconds.
    Millisecond,
    /// Microseconds.
    Microsecond,
    /// Newtons.
    Newton,
    /// Kilonewtons.
    Kilonewton,
    /// Newton metres.
    NewtonMetre,
    /// Newton millimetres.
    NewtonMillimetre,
}

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Dimension {
    /// In millimetres.
    Length,
    /// In seconds.
    Time,
    /// In newtons.
    Force,
    /// In newton millimetres.
    Moment,
}

impl ColumnUnit {
    /// Every unit.
    pub const ALL: &'static [Self] = &[
        Self::Metre,
        Self::Centimetre,
        Self::Millimetre,
        Self::Second,
        Self::Millisecond,
        Self::Microsecond,
        Self::Newton,
        Self::Kilonewton,
        Self::NewtonMetre,
        Self::NewtonMillimetre,
    ];

    /// The usual symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Metre => "m",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
            Self::Second => "s",
            Self::Millisecond => "ms",
            Self::Microsecond => "us",
            Self::Newton => "N",
            Self::Kilonewton => "kN",
            Self::NewtonMetre => "N m",
            Self::NewtonMillimetre => "N mm",
        }
    }

    /// What the unit measures.
    pub(super) const fn dimension(self) -> Dimension {
        match self {
            Self::Metre | Self::Centimetre | Self::Millimetre => Dimension::Length,
            Self::Second | Self::Millisecond | Self::Microsecond => Dimension::Time,
            Self::Newton | Self::Kilonewton => Dimension::Force,
            Self::NewtonMetre | Self::NewtonMillimetre => Dimension::Moment,
        }
    }

    /// A value of this unit in millimetres, seconds, newtons or newton millimetres.
    ///
    /// Multiplied or divided by a whole number, so that the product is rounded once.
    pub(super) fn base_from(self, value: f64) -> f64 {
        match self {
            Self::Metre | Self::Kilonewton | Self::NewtonMetre => value * 1000.0,
            Self::Centimetre => value * 10.0,
            Self::Millisecond => value / 1000.0,
            Self::Microsecond => value / 1e6,
            Self::Millimetre | Self::Second | Self::Newton | Self::NewtonMillimetre => value,
        }
    }

    /// Reads a symbol; the blank, or a dot, within one may be left out or set.
    pub(super) fn from_symbol(text: &str) -> Option<Self> {
        let bare = |text: &str| text.replace([' ', '.', '·', '*'], "").replace('\u{b5}', "u");
        Self::ALL.iter().copied().find(|unit| bare(unit.symbol()) == bare(text))
    }
}

impl fmt::Display for ColumnUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

/// Why a text names no column.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BadColumn {
    /// No unit, or none that is known.
    #[error("{found:?} names no unit; write a column as NAME:UNIT, with one of: {units}")]
    Unit {
        /// The text offered, at most 80 characters of it.
        found: String,
        /// The units there are.
        units: String,
    },
    /// No name, a number below 1, or a name too long or of unprintable characters.
    #[error("{found:?} names no column; write NAME:UNIT, or #3:UNIT for the third one")]
    Name {
        /// The text offered, at most 80 characters of it.
        found: String,
    },
}

/// Reads a column as [`Column`] is written: an optional minus, a name or `#` and a number, a colon,
/// a unit.
///
/// # Errors
/// [`BadColumn`] says what is missing.
///
/// # Example
/// ```
/// # use acquisition::import::{ColumnName, ColumnUnit, parse_column};
/// let column = parse_column("-COPx:cm")?;
/// assert_eq!(column.name, ColumnName::Named("COPx".to_owned()));
/// assert_eq!(column.unit, ColumnUnit::Centimetre);
/// assert!(column.reversed);
/// # Ok::<(), acquisition::import::BadColumn>(())
/// ```
pub fn parse_column(text: &str) -> Result<Column, BadColumn> {
    let found = || text.chars().take(80).collect::<String>();
    let no_unit = || BadColumn::Unit {
        found: found(),
        units: ColumnUnit::ALL.iter().map(|unit| unit.symbol()).collect::<Vec<_>>().join(", "),
    };
    let (name, unit) = text.rsplit_once(':').ok_or_else(no_unit)?;
    let unit = ColumnUnit::from_symbol(unit.trim()).ok_or_else(no_unit)?;
    let name = name.trim();
    let (name, reversed) = match name.strip_prefix('-') {
        Some(rest) => (rest.trim_start(), true),
        None => (name, false),
    };
    let name = read_name(name).ok_or_else(|| BadColumn::Name { found: found() })?;
    Ok(Column { name, unit, reversed })
}

fn read_name(text: &str) -> Option<ColumnName> {
    if let Some(number) = text.strip_prefix('#') {
        let number: usize = number.parse().ok()?;
        return (1 <= number).then_some(ColumnName::Numbered(number));
    }
    let inner = text.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(text);
    let name = inner.trim();
    let allowed = !name.is_empty()
        && name.chars().count() <= MAX_NAME_CHARS
        && !name.chars().any(char::is_control);
    allowed.then(|| ColumnName::Named(name.to_owned()))
}

impl FromStr for Column {
    type Err = BadColumn;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        parse_column(text)
    }
}

/// What [`parse_column`] reads.
impl fmt::Display for Column {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.reversed { "-" } else { "" };
        match &self.name {
            ColumnName::Named(name) if name.starts_with(['-', '#', '"']) => {
                write!(f, "{sign}\"{name}\":{}", self.unit)
            }
            name => write!(f, "{sign}{name}:{}", self.unit),
        }
    }
}

#[cfg(test)]
pub(super) mod tests {
    use proptest::prelude::*;

    use super::*;

    fn check(text: &str, name: ColumnName, unit: ColumnUnit, reversed: bool) {
        assert_eq!(parse_column(text), Ok(Column { name, unit, reversed }), "{text}");
    }

    #[test]
    fn columns_are_read_as_people_write_them() {
        let named = |name: &str| ColumnName::Named(name.to_owned());
        check("COPx:cm", named("COPx"), ColumnUnit::Centimetre, false);
        check("-COPx:cm", named("COPx"), ColumnUnit::Centimetre, true);
        check("- COP x : mm", named("COP x"), ColumnUnit::Millimetre, true);
        check("#3:N", ColumnName::Numbered(3), ColumnUnit::Newton, false);
        check("-#12:Nm", ColumnName::Numbered(12), ColumnUnit::NewtonMetre, true);
        check("My:N·m", named("My"), ColumnUnit::NewtonMetre, false);
        check("My:N mm", named("My"), ColumnUnit::NewtonMillimetre, false);
        check("\"-odd:name\":kN", named("-odd:name"), ColumnUnit::Kilonewton, false);
        check("Plate 1: Fz:N", named("Plate 1: Fz"), ColumnUnit::Newton, false);
    }

    #[test]
    fn what_names_no_column_is_told() {
        let message = |text: &str| parse_column(text).unwrap_err().to_string();
        assert_eq!(
            message("COPx"),
            "\"COPx\" names no unit; write a column as NAME:UNIT, with one of: m, cm, mm, s, ms, us, \
             N, kN, N m, N mm"
        );
        assert!(message("COPx:inch").starts_with("\"COPx:inch\" names no unit"));
        for text in [":mm", "-:mm", "#0:mm", "#x:mm", "\"\":mm", "a\u{7}b:mm"] {
            assert!(message(text).contains("names no column"), "{text}");
        }
    }

    /// Any column that can be written down.
    pub(crate) fn any_column(units: &'static [ColumnUnit]) -> impl Strategy<Value = Column> {
        let name = prop_oneof![
            "[-#\":a-zA-Zé0-9_\\[\\]()/.]{1,12}".prop_map(ColumnName::Named),
            (1_usize..500).prop_map(ColumnName::Numbered),
        ];
        (name, prop::sample::select(units), any::<bool>())
            .prop_map(|(name, unit, reversed)| Column { name, unit, reversed })
    }

    proptest! {
        #[test]
        fn every_column_reads_back(column in any_column(ColumnUnit::ALL)) {
            prop_assert_eq!(parse_column(&column.to_string()), Ok(column));
        }

        #[test]
        fn no_text_panics(text in "\\PC{0,40}") {
            if let Ok(column) = parse_column(&text) {
                prop_assert_eq!(parse_column(&column.to_string()), Ok(column));
            }
        }
    }
}
