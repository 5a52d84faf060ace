//! A column map as a TOML file.
//!
//! ```toml
//! delimiter = "tab"           # or "comma", "semicolon", "blanks", "detect", or one character
//! decimal = "."
//! comment = "%"
//! header_line = 1
//!
//! [time]
//! column = "Time:s"           # or: rate_hz = 100.0
//!
//! [cop]                       # or [moments] with fz, ml, ap; or four [[corner]] tables
//! ml = "COPy:cm"
//! ap = "-COPx:cm"
//! ```

use analysis::SampleRate;
use serde::{Deserialize, Serialize};

use super::column::Column;
use super::column_map::{
    BadColumnMap, ColumnMap, CornerColumn, DecimalMark, Delimiter, Measured, TextForm, TimeSource,
};

/// Longest column map, in bytes; what a trial file can keep.
const MAX_MAP_BYTES: usize = 64 * 1024;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default = "detect")]
    delimiter: String,
    #[serde(default = "point")]
    decimal: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    comment: Option<String>,
    #[serde(default = "first")]
    header_line: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    first_data_line: Option<usize>,
    time: Time,
    #[serde(skip_serializing_if = "Option::is_none")]
    cop: Option<CopTable>,
    #[serde(skip_serializing_if = "Option::is_none")]
    moments: Option<MomentsTable>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    corner: Vec<CornerTable>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Time {
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rate_hz: Option<f64>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CopTable {
    ml: String,
    ap: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MomentsTable {
    fz: String,
    ml: String,
    ap: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CornerTable {
    force: String,
    ml_mm: f64,
    ap_mm: f64,
}

fn detect() -> String {
    "detect".to_owned()
}

fn point() -> String {
    ".".to_owned()
}

const fn first() -> usize {
    1
}

impl ColumnMap {
    /// Reads a map from the text of a TOML file.
    ///
    /// # Errors
    /// [`BadColumnMap`]: text that is no map, or a map that no file could be read with.
    pub fn from_toml(text: &str) -> Result<Self, BadColumnMap> {
        if MAX_MAP_BYTES < text.len() {
            return Err(BadColumnMap::TooLarge { n_bytes: text.len(), limit: MAX_MAP_BYTES });
        }
        let file: File = toml::from_str(text).map_err(|error| shape(error.to_string().trim()))?;
        let map = file.into_map()?;
        map.check()?;
        Ok(map)
    }

    /// The map as the text of a TOML file, which [`from_toml`](Self::from_toml) reads.
    ///
    /// # Errors
    /// As [`check`](Self::check): only a map that can be read again is written.
    pub fn to_toml(&self) -> Result<String, BadColumnMap> {
        self.check()?;
        toml::to_string(&File::from_map(self)).map_err(|error| shape(&error.to_string()))
    }
}

fn shape(message: &str) -> BadColumnMap {
    BadColumnMap::Shape { message: message.to_owned() }
}

fn column(text: &str) -> Result<Column, BadColumnMap> {
    text.parse::<Column>().map_err(|bad| shape(&bad.to_string()))
}

impl File {
    fn into_map(self) -> Result<ColumnMap, BadColumnMap> {
        let time = match (self.time.column, self.time.rate_hz) {
            (Some(time), None) => TimeSource::Column(column(&time)?),
            (None, Some(hz)) => TimeSource::Rate(SampleRate::from_hz(hz)?),
            _ => return Err(shape("[time] needs either column or rate_hz")),
        };
        let measured = match (self.cop, self.moments, self.corner.len()) {
            (Some(cop), None, 0) => Measured::Cop { ml: column(&cop.ml)?, ap: column(&cop.ap)? },
            (None, Some(moments), 0) => Measured::Moments {
                fz: column(&moments.fz)?,
                ml: column(&moments.ml)?,
                ap: column(&moments.ap)?,
            },
            (None, None, 4) => {
                let corners: Result<Vec<_>, _> =
                    self.corner.into_iter().map(CornerTable::into_corner).collect();
                let corners = corners?.try_into().expect("there are four of them");
                Measured::Corners(Box::new(corners))
            }
            _ => return Err(shape("it needs one of: [cop], [moments], four times [[corner]]")),
        };
        let form = TextForm {
            delimiter: delimiter_from(&self.delimiter)?,
            decimal: match self.decimal.as_str() {
                "." => DecimalMark::Point,
                "," => DecimalMark::Comma,
                _ => return Err(shape("decimal is \".\" or \",\"")),
            },
            comment: self.comment,
            header_line: self.header_line,
            first_data_line: self.first_data_line,
        };
        Ok(ColumnMap { form, time, measured })
    }

    fn from_map(map: &ColumnMap) -> Self {
        let (column, rate_hz) = match &map.time {
            TimeSource::Column(time) => (Some(time.to_string()), None),
            TimeSource::Rate(rate) => (None, Some(rate.hz())),
        };
        let mut file = Self {
            delimiter: delimiter_text(map.form.delimiter),
            decimal: match map.form.decimal {
                DecimalMark::Point => ".".to_owned(),
                DecimalMark::Comma => ",".to_owned(),
            },
            comment: map.form.comment.clone(),
            header_line: map.form.header_line,
            first_data_line: map.form.first_data_line,
            time: Time { column, rate_hz },
            cop: None,
            moments: None,
            corner: Vec::new(),
        };
        match &map.measured {
            Measured::Cop { ml, ap } => {
                file.cop = Some(CopTable { ml: ml.to_string(), ap: ap.to_string() });
            }
            Measured::Moments { fz, ml, ap } => {
                let [fz, ml, ap] = [fz, ml, ap].map(ToString::to_string);
                file.moments = Some(MomentsTable { fz, ml, ap });
            }
            Measured::Corners(corners) => {
                file.corner = corners.iter().map(CornerTable::from_corner).collect();
            }
        }
        file
    }
}

impl CornerTable {
    fn into_corner(self) -> Result<CornerColumn, BadColumnMap> {
        let Self { force, ml_mm, ap_mm } = self;
        Ok(CornerColumn { force: column(&force)?, ml_mm, ap_mm })
    }

    fn from_corner(corner: &CornerColumn) -> Self {
        let CornerColumn { force, ml_mm, ap_mm } = corner;
        Self { force: force.to_string(), ml_mm: *ml_mm, ap_mm: *ap_mm }
    }
}

const NAMED_DELIMITERS: &[(&str, Delimiter)] = &[
    ("detect", Delimiter::Detect),
    ("blanks", Delimiter::Blanks),
    ("tab", Delimiter::Character('\t')),
    ("comma", Delimiter::Character(',')),
    ("semicolon", Delimiter::Character(';')),
];

fn delimiter_from(text: &str) -> Result<Delimiter, BadColumnMap> {
    if let Some((_, named)) = NAMED_DELIMITERS.iter().find(|(name, _)| *name == text) {
        return Ok(*named);
    }
    let mut characters = text.chars();
    match (characters.next(), characters.next()) {
        (Some(only), None) => Ok(Delimiter::Character(only)),
        _ => Err(shape("delimiter is detect, blanks, tab, comma, semicolon or one character")),
    }
}

fn delimiter_text(delimiter: Delimiter) -> String {
    let name = NAMED_DELIMITERS.iter().find(|(_, named)| *named == delimiter);
    match (name, delimiter) {
        (Some((name, _)), _) => (*name).to_owned(),
        (None, Delimiter::Character(character)) => character.to_string(),
        (None, Delimiter::Detect | Delimiter::Blanks) => unreachable!("both have a name"),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::import::ColumnUnit;
    use crate::import::column::tests::any_column;

    fn check(text: &str, wanted: &str) {
        let message = ColumnMap::from_toml(text).unwrap_err().to_string();
        assert!(message.contains(wanted), "{message}");
    }

    #[test]
    fn the_three_ways_of_measuring_are_read() {
        let cop = ColumnMap::from_toml(
            "delimiter = \"tab\"\n[time]\ncolumn = \"Time:s\"\n[cop]\nml = \"COPy:cm\"\nap = \
             \"-COPx:cm\"\n",
        )
        .unwrap();
        assert_eq!(cop.form.delimiter, Delimiter::Character('\t'));
        assert!(matches!(cop.measured, Measured::Cop { ap: Column { reversed: true, .. }, .. }));
        let moments = ColumnMap::from_toml(
            "header_line = 0\n[time]\nrate_hz = 1000\n[moments]\nfz = \"#1:N\"\nml = \"-#3:N \
             m\"\nap = \"#2:N mm\"",
        )
        .unwrap();
        assert_eq!(moments.form.delimiter, Delimiter::Detect);
        let corner = |n: u8, ml: i32, ap: i32| {
            format!("[[corner]]\nforce = \"F{n}:N\"\nml_mm = {ml}\nap_mm = {ap}.5\n")
        };
        let corners: String = [(1, 9, 9), (2, -9, 9), (3, -9, -9), (4, 9, -9)]
            .map(|(n, m, a)| corner(n, m, a))
            .concat();
        let corners = ColumnMap::from_toml(&format!("[time]\nrate_hz = 100\n{corners}")).unwrap();
        let Measured::Corners(corners) = corners.measured else { panic!("{corners:?}") };
        assert_eq!((corners[2].ml_mm, corners[2].ap_mm), (-9.0, -9.5));
    }

    #[test]
    fn what_is_no_map_is_told() {
        const COP: &str = "[cop]\nml = \"a:mm\"\nap = \"b:mm\"\n";
        const RATE: &str = "[time]\nrate_hz = 100\n";
        check("", "missing field `time`");
        check("[time", "it is not a column map");
        check(&format!("{RATE}{COP}[extra]"), "unknown field `extra`");
        check(RATE, "it needs one of: [cop], [moments], four times [[corner]]");
        check(&format!("[time]\n{COP}"), "[time] needs either column or rate_hz");
        check(&format!("[time]\nrate_hz = 0\n{COP}"), "finite number above 0 Hz, not 0");
        check(&format!("[time]\nrate_hz = 1e6\n{COP}"), "at most 100000 Hz, not 1000000");
        check(&format!("[time]\nrate_hz = nan\n{COP}"), "finite number above 0 Hz, not NaN");
        check(
            &format!("[time]\ncolumn = \"t:mm\"\n{COP}"),
            "\"t\" should have a unit of time, not mm",
        );
        check(&format!("header_line = 0\n{RATE}{COP}"), "\"a\" is given by name");
        check(&format!("first_data_line = 1\n{RATE}{COP}"), "cannot begin in line 1 when line 1");
        check(&format!("delimiter = \".\"\n{RATE}{COP}"), "'.' cannot stand between cells");
        check(&format!("delimiter = \"ab\"\n{RATE}{COP}"), "or one character");
        check(&format!("comment = \"\"\n{RATE}{COP}"), "a comment mark must be 1 to 20 characters");
        check(&format!("decimal = \"'\"\n{RATE}{COP}"), "decimal is \".\" or \",\"");
        check(&format!("{RATE}{COP}#{}", " ".repeat(65_536)), "the limit is 65536");
    }

    const LENGTHS: &[ColumnUnit] =
        &[ColumnUnit::Metre, ColumnUnit::Centimetre, ColumnUnit::Millimetre];
    const TIMES: &[ColumnUnit] = &[ColumnUnit::Second, ColumnUnit::Millisecond];
    const FORCES: &[ColumnUnit] = &[ColumnUnit::Newton, ColumnUnit::Kilonewton];
    const MOMENTS: &[ColumnUnit] = &[ColumnUnit::NewtonMetre, ColumnUnit::NewtonMillimetre];

    fn any_measured() -> impl Strategy<Value = Measured> {
        let corner = (any_column(FORCES), -500.0..500.0_f64, -500.0..500.0_f64)
            .prop_map(|(force, ml_mm, ap_mm)| CornerColumn { force, ml_mm, ap_mm });
        prop_oneof![
            (any_column(LENGTHS), any_column(LENGTHS))
                .prop_map(|(ml, ap)| Measured::Cop { ml, ap }),
            (any_column(FORCES), any_column(MOMENTS), any_column(MOMENTS))
                .prop_map(|(fz, ml, ap)| Measured::Moments { fz, ml, ap }),
            prop::array::uniform4(corner).prop_map(|corners| Measured::Corners(Box::new(corners))),
        ]
    }

    fn any_form() -> impl Strategy<Value = TextForm> {
        let delimiter = prop_oneof![
            Just(Delimiter::Detect),
            Just(Delimiter::Blanks),
            prop::sample::select(vec!['\t', ';', '|', ' ', '\u{1f}', '§'])
                .prop_map(Delimiter::Character),
        ];
        let decimal = prop::sample::select(vec![DecimalMark::Point, DecimalMark::Comma]);
        (
            delimiter,
            decimal,
            prop::option::of("\\PC{1,20}"),
            1_usize..50,
            prop::option::of(1_usize..9),
        )
            .prop_map(|(delimiter, decimal, comment, header_line, after)| TextForm {
                delimiter,
                decimal,
                comment,
                header_line,
                first_data_line: after.map(|after| header_line + after),
            })
    }

    proptest! {
        #[test]
        fn every_map_reads_back(
            form in any_form(),
            time in prop_oneof![
                any_column(TIMES).prop_map(TimeSource::Column),
                (0.1..100_000.0_f64).prop_map(|hz| TimeSource::Rate(SampleRate::from_hz(hz).unwrap())),
            ],
            measured in any_measured(),
        ) {
            let map = ColumnMap { form, time, measured };
            prop_assert_eq!(ColumnMap::from_toml(&map.to_toml().unwrap()), Ok(map));
        }

        #[test]
        fn no_text_panics(text in "(\\PC|\n){0,200}") {
            prop_assert!(ColumnMap::from_toml(&text).is_err());
        }
    }
}
