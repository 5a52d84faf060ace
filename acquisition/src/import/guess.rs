//! A proposal of a column map from a recording's header and first rows.
//!
//! A guess is shown and saved, never used unseen: which of two columns is forward cannot be known
//! from a name alone.

use std::path::Path;

use thiserror::Error;

use super::cells::{number, split};
use super::column::{Column, ColumnName, ColumnUnit, Dimension};
use super::column_map::{ColumnMap, DecimalMark, Delimiter, Measured, TextForm, TimeSource};
use super::delimited::{ImportError, name_and_unit};
use super::text_lines::TextLines;

/// Lines that are looked at: headers of recordings are shorter.
const MAX_LINES: usize = 120;

/// Rows shown.
const PREVIEW_ROWS: usize = 5;

/// Rows of numbers that make a table.
const LEAST_ROWS: usize = 3;

/// Most columns looked at.
const MAX_COLUMNS: usize = 1000;

/// A proposed map, and what of it to look at twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Guess {
    /// The map.
    pub map: ColumnMap,
    /// The columns' names as they stand in the file; numbers in their place if it names none.
    pub names: Vec<String>,
    /// The first rows, cell by cell.
    pub rows: Vec<Vec<String>>,
    /// What could not be known.
    pub doubts: Vec<GuessDoubt>,
}

/// What a guess rests on that the file does not say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum GuessDoubt {
    /// The file does not name the unit; this one was taken by the size of the numbers.
    Unit {
        /// The column.
        column: String,
        /// The unit taken.
        unit: &'static str,
    },
    /// Which axis is to the right and which forward is the plate's choice: x was taken for right.
    Axes,
    /// No column of times: 100 samples a second were taken.
    Rate,
}

/// Why nothing could be proposed.
#[derive(Debug, Error)]
pub enum GuessError {
    /// The file cannot be read.
    #[error(transparent)]
    File(#[from] ImportError),
    /// No rows of numbers near its beginning.
    #[error("no table of numbers was found in its first {n_lines} lines")]
    NoTable {
        /// Lines looked at.
        n_lines: usize,
    },
    /// Numbers, but none that are known by their names.
    #[error("no column is known by its name; there are: {names}")]
    NoColumns {
        /// The names, at most 40 of them.
        names: String,
    },
}

/// The table as it was found.
struct Found {
    form: TextForm,
    names: Vec<(String, Option<ColumnUnit>)>,
    rows: Vec<Vec<String>>,
}

/// Proposes a map for the file at `path`.
///
/// # Errors
/// [`GuessError`] if there is nothing to propose.
pub fn guess_columns(path: &Path) -> Result<Guess, GuessError> {
    let mut lines = TextLines::open(path)?;
    let mut texts = Vec::new();
    while let Some((_, text)) = lines.next_line()? {
        texts.push(text.to_owned());
        if texts.len() == MAX_LINES {
            break;
        }
    }
    let found = table(&texts).ok_or(GuessError::NoTable { n_lines: texts.len() })?;
    let mut doubts = Vec::new();
    let measured = measured(&found, &mut doubts).ok_or_else(|| GuessError::NoColumns {
        names: found
            .names
            .iter()
            .take(40)
            .map(|(name, _)| shortened(name))
            .collect::<Vec<_>>()
            .join(", "),
    })?;
    let time = time(&found, &mut doubts);
    let names = found
        .names
        .iter()
        .enumerate()
        .map(
            |(index, (name, _))| {
                if name.is_empty() { format!("#{}", index + 1) } else { name.clone() }
            },
        )
        .collect();
    let map = ColumnMap { form: found.form, time, measured };
    // What a strange header would make of it is no map: then nothing is proposed.
    map.check().map_err(ImportError::from)?;
    Ok(Guess { map, names, rows: found.rows.into_iter().take(PREVIEW_ROWS).collect(), doubts })
}

fn shortened(name: &str) -> String {
    name.chars().take(40).collect()
}

/// The widest table of numbers, the earliest of equals, under every way to cut lines into cells.
fn table(lines: &[String]) -> Option<Found> {
    let mut best: Option<(usize, usize, DecimalMark, Delimiter)> = None;
    for decimal in [DecimalMark::Point, DecimalMark::Comma] {
        for delimiter in [
            Delimiter::Character('\t'),
            Delimiter::Character(';'),
            Delimiter::Character(','),
            Delimiter::Blanks,
        ] {
            if decimal == DecimalMark::Comma && delimiter == Delimiter::Character(',') {
                continue;
            }
            let Some((line, n_columns)) = first_rows(lines, decimal, delimiter) else { continue };
            if best.is_none_or(|(_, widest, ..)| widest < n_columns) {
                best = Some((line, n_columns, decimal, delimiter));
            }
        }
    }
    let (line, n_columns, decimal, delimiter) = best?;
    let cells = |text: &String| -> Vec<String> {
        split(text, delimiter).take(MAX_COLUMNS).map(str::to_owned).collect()
    };
    let (header_line, names) = header(lines, line, n_columns, delimiter);
    let rows = lines[line..].iter().take(PREVIEW_ROWS).map(cells).collect();
    let form = TextForm {
        delimiter,
        decimal,
        comment: None,
        header_line,
        first_data_line: (line != header_line).then_some(line + 1),
    };
    Some(Found { form, names, rows })
}

/// The first line of numbers, from 0, and how many columns it has.
fn first_rows(
    lines: &[String],
    decimal: DecimalMark,
    delimiter: Delimiter,
) -> Option<(usize, usize)> {
    let width = |line: &String| {
        let cells: Vec<&str> = split(line, delimiter).take(MAX_COLUMNS).collect();
        let filled = cells.iter().filter(|cell| !cell.is_empty()).count();
        let all = cells.iter().all(|cell| cell.is_empty() || number(cell, decimal).is_some());
        (all && 2 <= filled).then_some(cells.len())
    };
    let widths: Vec<Option<usize>> = lines.iter().map(width).collect();
    let starts = widths
        .windows(LEAST_ROWS)
        .position(|some| some[0].is_some() && some.iter().all(|width| *width == some[0]))?;
    Some((starts, widths[starts]?))
}

/// The line with the names above `first`, from 1 (0 if there is none), and the names with their
/// units: in brackets behind a name, or in a line of their own below.
fn header(
    lines: &[String],
    first: usize,
    n_columns: usize,
    delimiter: Delimiter,
) -> (usize, Vec<(String, Option<ColumnUnit>)>) {
    let cells = |line: usize| -> Vec<String> {
        split(&lines[line], delimiter).take(MAX_COLUMNS).map(str::to_owned).collect()
    };
    let is_header =
        |line: &usize| cells(*line).len() == n_columns && !lines[*line].trim().is_empty();
    let mut above = (0..first).rev().filter(is_header);
    let Some(nearest) = above.next() else {
        return (0, vec![(String::new(), None); n_columns]);
    };
    let units: Vec<Option<ColumnUnit>> = cells(nearest)
        .iter()
        .map(|cell| ColumnUnit::from_symbol(cell.trim_matches(['[', ']', '(', ')'])))
        .collect();
    let of_names = |line: usize, units: Option<Vec<Option<ColumnUnit>>>| {
        let names = cells(line).into_iter().enumerate().map(|(index, name)| {
            let own = name_and_unit(&name).1;
            let below = units.as_ref().and_then(|units| units.get(index).copied().flatten());
            (name, own.or(below))
        });
        (line + 1, names.collect())
    };
    if units.iter().flatten().count() * 2 > n_columns
        && let Some(names) = above.next()
    {
        return of_names(names, Some(units));
    }
    of_names(nearest, None)
}

/// Letters and digits of a name without its unit, small.
fn bare(name: &str) -> String {
    let name = name_and_unit(name).0;
    name.chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_ascii_lowercase()
}

impl Found {
    /// The first column whose bare name is one of these.
    fn named(&self, wanted: &[&str]) -> Option<usize> {
        let is_one = |name: &str| wanted.contains(&bare(name).as_str());
        self.names.iter().position(|(name, _)| is_one(name))
    }

    fn values(&self, index: usize) -> Vec<f64> {
        let cell = |row: &Vec<String>| number(row.get(index)?, self.form.decimal);
        self.rows.iter().filter_map(cell).filter(|value| value.is_finite()).collect()
    }

    /// The column at `index`, in the unit its name says or else in the one its numbers suggest.
    fn column(
        &self,
        index: usize,
        dimension: Dimension,
        reversed: bool,
        doubts: &mut Vec<GuessDoubt>,
    ) -> Column {
        let (name, said) = &self.names[index];
        let said = said.filter(|unit| unit.dimension() == dimension);
        let unit = said.unwrap_or_else(|| {
            let unit = self.likely_unit(index, dimension);
            doubts.push(GuessDoubt::Unit { column: shortened(name), unit: unit.symbol() });
            unit
        });
        let twice = self.names.iter().filter(|(other, _)| other == name).count() != 1;
        let unprintable = name.is_empty() || name.chars().any(char::is_control);
        let name = if twice || unprintable || 200 < name.chars().count() {
            ColumnName::Numbered(index + 1)
        } else {
            ColumnName::Named(name.clone())
        };
        Column { name, unit, reversed }
    }

    fn likely_unit(&self, index: usize, dimension: Dimension) -> ColumnUnit {
        let values = self.values(index);
        let largest = values.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        let step = values.windows(2).map(|two| (two[1] - two[0]).abs()).fold(0.0, f64::max);
        match dimension {
            // A plate is some decimetres wide: numbers under half are metres.
            Dimension::Length if largest < 0.5 => ColumnUnit::Metre,
            Dimension::Length => ColumnUnit::Millimetre,
            // Plates send 10 to 10,000 samples a second.
            Dimension::Time if step < 0.5 => ColumnUnit::Second,
            Dimension::Time if step < 500.0 => ColumnUnit::Millisecond,
            Dimension::Time => ColumnUnit::Microsecond,
            Dimension::Force => ColumnUnit::Newton,
            // A person's weight times a decimetre is some 100 N m.
            Dimension::Moment if largest < 1000.0 => ColumnUnit::NewtonMetre,
            Dimension::Moment => ColumnUnit::NewtonMillimetre,
        }
    }
}

fn measured(found: &Found, doubts: &mut Vec<GuessDoubt>) -> Option<Measured> {
    let ml = found.named(&["copml", "ml", "cpml", "mediolateral"]);
    let ap = found.named(&["copap", "ap", "cpap", "anteroposterior"]);
    if let (Some(ml), Some(ap)) = (ml, ap) {
        return Some(cop(found, ml, ap, doubts));
    }
    let x = found.named(&["copx", "cpx", "xcop", "x", "copnetx"]);
    let y = found.named(&["copy", "cpy", "ycop", "y", "copnety"]);
    if let (Some(x), Some(y)) = (x, y) {
        doubts.push(GuessDoubt::Axes);
        return Some(cop(found, x, y, doubts));
    }
    let force = found.named(&["fz", "forcez"]);
    let moments = [found.named(&["mx", "momentx"]), found.named(&["my", "momenty"])];
    let (Some(fz), [Some(mx), Some(my)]) = (force, moments) else { return None };
    doubts.push(GuessDoubt::Axes);
    // With x to the right, y forward and z up: ml = -My / Fz, ap = Mx / Fz.
    Some(Measured::Moments {
        fz: found.column(fz, Dimension::Force, false, doubts),
        ml: found.column(my, Dimension::Moment, true, doubts),
        ap: found.column(mx, Dimension::Moment, false, doubts),
    })
}

fn cop(found: &Found, ml: usize, ap: usize, doubts: &mut Vec<GuessDoubt>) -> Measured {
    Measured::Cop {
        ml: found.column(ml, Dimension::Length, false, doubts),
        ap: found.column(ap, Dimension::Length, false, doubts),
    }
}

fn time(found: &Found, doubts: &mut Vec<GuessDoubt>) -> TimeSource {
    let by_name = found.named(&["time", "t", "timestamp", "seconds", "sec", "zeit"]);
    if let Some(index) = by_name {
        return TimeSource::Column(found.column(index, Dimension::Time, false, doubts));
    }
    doubts.push(GuessDoubt::Rate);
    TimeSource::Rate(analysis::SampleRate::STANDARD)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::import::read_delimited;
    use crate::trial_file::tests::imported_trial;

    fn guess(text: &str) -> Result<Guess, GuessError> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("stand.txt");
        fs::write(&path, text).unwrap();
        let guess = guess_columns(&path)?;
        // What is proposed can be saved, and reads the file it was proposed for.
        let map = ColumnMap::from_toml(&guess.map.to_toml().unwrap()).unwrap();
        assert_eq!(map, guess.map);
        let trial = read_delimited(&path, &map, imported_trial(2).facts).unwrap();
        assert!(LEAST_ROWS <= trial.samples.n_samples());
        Ok(guess)
    }

    fn columns(guess: &Guess) -> Vec<String> {
        guess.map.columns().iter().map(|(column, _)| column.to_string()).collect()
    }

    #[test]
    fn names_with_units_leave_no_doubt_but_the_axes() {
        let text = "Time[s]\tFz[N]\tCOPx[cm]\tCOPy[cm]\n0.01\t600\t1.5\t-2\n0.02\t601\t1.6\t-2.1\n\
                    0.03\t602\t1.7\t-2.2\n";
        let found = guess(text).unwrap();
        assert_eq!(columns(&found), ["Time[s]:s", "COPx[cm]:cm", "COPy[cm]:cm"]);
        assert_eq!(found.doubts, [GuessDoubt::Axes]);
        assert_eq!(found.names.len(), 4);
        assert_eq!(found.rows[0], ["0.01", "600", "1.5", "-2"]);
    }

    #[test]
    fn units_in_a_line_of_their_own_and_comma_decimals() {
        let text = "a recording\n\nt;ML;AP\ns;m;m\n0,00;0,0015;-0,02\n0,01;0,0016;-0,021\n\
                    0,02;0,0017;-0,022\n";
        let found = guess(text).unwrap();
        assert_eq!(columns(&found), ["t:s", "ML:m", "AP:m"]);
        assert_eq!(found.doubts, []);
        assert_eq!(found.map.form.decimal, DecimalMark::Comma);
        assert_eq!((found.map.form.header_line, found.map.form.first_data_line), (3, Some(5)));
    }

    #[test]
    fn what_the_file_does_not_say_is_a_doubt() {
        let found = guess("x y\n12.5 -3\n13 -3.5\n13.5 -4\n").unwrap();
        assert_eq!(columns(&found), ["x:mm", "y:mm"]);
        let unit = |column: &str| GuessDoubt::Unit { column: column.to_owned(), unit: "mm" };
        assert_eq!(found.doubts, [GuessDoubt::Axes, unit("x"), unit("y"), GuessDoubt::Rate]);
    }

    #[test]
    fn forces_and_moments_are_known_by_name() {
        let text = "Fx,Fy,Fz,Mx,My,Mz\n1,2,700,14,-7,0\n1,2,701,14,-7,0\n1,2,702,14,-7,0\n";
        let found = guess(text).unwrap();
        assert_eq!(columns(&found), ["Fz:N", "-My:N m", "Mx:N m"]);
    }

    /// The project's own samples, as `footing export` writes them, need no second look.
    #[test]
    fn our_own_samples_are_known() {
        let mut text = Vec::new();
        let samples = imported_trial(50).samples;
        let mut samples = samples;
        samples.cop[1] = samples.cop[2];
        crate::export::write_samples_csv(&samples, &mut text).unwrap();
        let found = guess(&String::from_utf8(text).unwrap()).unwrap();
        assert_eq!(columns(&found), ["time [us]:us", "cop_ml [mm]:mm", "cop_ap [mm]:mm"]);
        assert_eq!(found.doubts, []);
    }

    #[test]
    fn what_is_no_table_gives_no_guess() {
        let error = |text: &str| guess(text).unwrap_err().to_string();
        assert_eq!(error(""), "no table of numbers was found in its first 0 lines");
        assert_eq!(error("one\ntwo\n"), "no table of numbers was found in its first 2 lines");
        assert_eq!(
            error("a,b\n1,2\n3,4\n5,6\n"),
            "no column is known by its name; there are: a, b"
        );
    }
}
