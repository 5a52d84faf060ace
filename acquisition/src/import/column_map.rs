//! How a foreign recording is to be read: its form, its time, and what its columns measure.

use analysis::{BadSampleRate, SampleRate};
use thiserror::Error;

use super::column::{Column, Dimension};

/// Highest fixed rate: above it two samples could share a microsecond.
const MAX_RATE_HZ: f64 = 100_000.0;

/// Everything needed to read one kind of delimited text.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnMap {
    /// How lines and cells are told apart.
    pub form: TextForm,
    /// Where the time of each sample comes from.
    pub time: TimeSource,
    /// What the columns measure.
    pub measured: Measured,
}

/// How lines and cells are told apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextForm {
    /// What stands between cells.
    pub delimiter: Delimiter,
    /// What stands between whole numbers and fractions.
    pub decimal: DecimalMark,
    /// Lines that begin with this are skipped; they count as lines all the same.
    pub comment: Option<String>,
    /// The line with the columns' names, from 1; 0 if no line has them. Lines before it are skipped.
    pub header_line: usize,
    /// The first line with numbers; `None` if it follows the header line at once.
    pub first_data_line: Option<usize>,
}

/// A header in the first line, a decimal point, and whatever delimiter the header shows.
impl Default for TextForm {
    fn default() -> Self {
        Self {
            delimiter: Delimiter::Detect,
            decimal: DecimalMark::Point,
            comment: None,
            header_line: 1,
            first_data_line: None,
        }
    }
}

/// What stands between cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delimiter {
    /// The first of tab, semicolon and comma (unless that is the decimal mark) found in the header
    /// line, or else in the first line with numbers; blanks if there is none.
    Detect,
    /// Exactly this character.
    Character(char),
    /// Any run of blanks and tabs.
    Blanks,
}

/// What stands between whole numbers and fractions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalMark {
    /// As in 1.5.
    Point,
    /// As in 1,5.
    Comma,
}

/// Where the time of each sample comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum TimeSource {
    /// A column of times.
    Column(Column),
    /// A fixed number of samples a second.
    Rate(SampleRate),
}

/// What the columns measure.
#[derive(Debug, Clone, PartialEq)]
pub enum Measured {
    /// The centre of pressure itself.
    Cop {
        /// Medio-lateral, positive to the right.
        ml: Column,
        /// Antero-posterior, positive forward.
        ap: Column,
    },
    /// The vertical forces of four corners, from which the centre of pressure is computed.
    Corners(Box<[CornerColumn; 4]>),
    /// A vertical force and two moments: each coordinate is a moment over the force.
    ///
    /// Which moment belongs to which coordinate, and its sign, depends on the plate's axes. With
    /// x to the right, y forward and z up, it is ml = -My / Fz and ap = Mx / Fz.
    Moments {
        /// The vertical force.
        fz: Column,
        /// The moment that over the force gives the medio-lateral coordinate.
        ml: Column,
        /// The moment that over the force gives the antero-posterior coordinate.
        ap: Column,
    },
}

/// The force of one corner and where it acts.
#[derive(Debug, Clone, PartialEq)]
pub struct CornerColumn {
    /// The column of the force.
    pub force: Column,
    /// Medio-lateral place, in millimetres, positive to the right.
    pub ml_mm: f64,
    /// Antero-posterior place, in millimetres, positive forward.
    pub ap_mm: f64,
}

/// Why a column map cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BadColumnMap {
    /// A unit that cannot measure what the column is for.
    #[error("the column {column:?} should have a unit of {expected}, not {unit}")]
    Unit {
        /// The column.
        column: String,
        /// What it should measure.
        expected: &'static str,
        /// Its unit.
        unit: &'static str,
    },
    /// A rate that is none, or too high for times in microseconds.
    #[error("a fixed rate must be at most {limit_hz} Hz, not {hz}")]
    RateTooHigh {
        /// The rate, in hertz.
        hz: f64,
        /// The highest there may be, in hertz.
        limit_hz: f64,
    },
    /// A rate that is none.
    #[error(transparent)]
    Rate(#[from] BadSampleRate),
    /// A column by name in a file that names none.
    #[error("the column {column:?} is given by name, but the map says that no line has names")]
    NameWithoutHeader {
        /// The column.
        column: String,
    },
    /// Numbers before the names.
    #[error("numbers cannot begin in line {first_data_line} when line {header_line} has the names")]
    DataBeforeHeader {
        /// The line with the columns' names.
        header_line: usize,
        /// The line in which numbers were said to begin.
        first_data_line: usize,
    },
    /// A delimiter that is part of a number.
    #[error("{delimiter:?} cannot stand between cells: it is part of numbers")]
    Delimiter {
        /// The character.
        delimiter: char,
    },
    /// An empty comment mark, which every line begins with.
    #[error("a comment mark must be 1 to 20 characters, none of them a line's end")]
    Comment,
    /// A corner without a place.
    #[error("the corner of column {column:?} is not at a place in millimetres")]
    Corner {
        /// The column of its force.
        column: String,
    },
    /// Not the shape of a column map.
    #[error("it is not a column map: {message}")]
    Shape {
        /// What is wrong and where, over several lines.
        message: String,
    },
    /// Larger than any map.
    #[error("it has {n_bytes} bytes, the limit is {limit}")]
    TooLarge {
        /// How many bytes it has.
        n_bytes: usize,
        /// How many it may have.
        limit: usize,
    },
}

impl ColumnMap {
    /// Refuses a map that no file could be read with.
    ///
    /// # Errors
    /// [`BadColumnMap`] names the first thing that cannot be.
    pub fn check(&self) -> Result<(), BadColumnMap> {
        self.form.check()?;
        if let TimeSource::Rate(rate) = &self.time
            && MAX_RATE_HZ < rate.hz()
        {
            return Err(BadColumnMap::RateTooHigh { hz: rate.hz(), limit_hz: MAX_RATE_HZ });
        }
        for (column, dimension) in self.columns() {
            if column.unit.dimension() != dimension {
                return Err(BadColumnMap::Unit {
                    column: column.name.to_string(),
                    expected: dimension.name(),
                    unit: column.unit.symbol(),
                });
            }
            if self.form.header_line == 0
                && let super::ColumnName::Named(name) = &column.name
            {
                return Err(BadColumnMap::NameWithoutHeader { column: name.clone() });
            }
        }
        if let Measured::Corners(corners) = &self.measured
            && let Some(corner) =
                corners.iter().find(|c| !c.ml_mm.is_finite() || !c.ap_mm.is_finite())
        {
            return Err(BadColumnMap::Corner { column: corner.force.name.to_string() });
        }
        Ok(())
    }

    /// The columns the map names, time first, with what each must measure.
    pub(super) fn columns(&self) -> Vec<(&Column, Dimension)> {
        let mut columns = Vec::new();
        if let TimeSource::Column(time) = &self.time {
            columns.push((time, Dimension::Time));
        }
        match &self.measured {
            Measured::Cop { ml, ap } => {
                columns.extend([(ml, Dimension::Length), (ap, Dimension::Length)]);
            }
            Measured::Corners(corners) => {
                columns.extend(corners.iter().map(|corner| (&corner.force, Dimension::Force)));
            }
            Measured::Moments { fz, ml, ap } => columns.extend([
                (fz, Dimension::Force),
                (ml, Dimension::Moment),
                (ap, Dimension::Moment),
            ]),
        }
        columns
    }
}

impl TextForm {
    fn check(&self) -> Result<(), BadColumnMap> {
        if let Some(first_data_line) = self.first_data_line.filter(|&line| line <= self.header_line)
        {
            let header_line = self.header_line;
            return Err(BadColumnMap::DataBeforeHeader { header_line, first_data_line });
        }
        let breaks_lines = |c: char| c == '\n' || c == '\r';
        if let Some(comment) = &self.comment
            && (!(1..=20).contains(&comment.chars().count()) || comment.contains(breaks_lines))
        {
            return Err(BadColumnMap::Comment);
        }
        if let Delimiter::Character(delimiter) = self.delimiter {
            let in_numbers = match self.decimal {
                DecimalMark::Point => '.',
                DecimalMark::Comma => ',',
            };
            let part_of_numbers = delimiter.is_ascii_alphanumeric() || "+-\"".contains(delimiter);
            if part_of_numbers || delimiter == in_numbers || breaks_lines(delimiter) {
                return Err(BadColumnMap::Delimiter { delimiter });
            }
        }
        Ok(())
    }
}

impl Dimension {
    const fn name(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Time => "time",
            Self::Force => "force",
            Self::Moment => "moment",
        }
    }
}
