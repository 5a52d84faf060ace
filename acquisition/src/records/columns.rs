//! Values in columns: the same conversions for every table.

use std::error::Error;
use std::str::FromStr;

use analysis::readiness::Rating;
use rusqlite::types::Type;
use rusqlite::{Row, RowIndex};

use crate::wall_time::WallTime;

/// The word in `column` as the value it stands for.
pub(super) fn parsed<T>(row: &Row<'_>, column: impl RowIndex) -> rusqlite::Result<T>
where
    T: FromStr<Err: Error + Send + Sync + 'static>,
{
    let text: String = row.get(column)?;
    text.parse().map_err(|error| unusable(row, column, error))
}

/// The word in `column`, if there is one, as the value it stands for.
pub(super) fn parsed_option<T>(row: &Row<'_>, column: impl RowIndex) -> rusqlite::Result<Option<T>>
where
    T: FromStr<Err: Error + Send + Sync + 'static>,
{
    let text: Option<String> = row.get(column)?;
    text.map(|text| text.parse().map_err(|error| unusable(row, column, error))).transpose()
}

/// The words in `column`, if it is not NULL, as the values they stand for.
pub(super) fn words_option<T>(
    row: &Row<'_>,
    column: impl RowIndex,
) -> rusqlite::Result<Option<Vec<T>>>
where
    T: FromStr<Err: Error + Send + Sync + 'static>,
{
    let text: Option<String> = row.get(column)?;
    let words = |text: String| text.split_whitespace().map(str::parse).collect::<Result<_, _>>();
    text.map(words).transpose().map_err(|error| unusable(row, column, error))
}

/// The time in the columns `{prefix}_unix_us` and `{prefix}_offset_s`.
pub(super) fn wall_time(row: &Row<'_>, prefix: &str) -> rusqlite::Result<WallTime> {
    let place = |suffix| row.as_ref().column_index(&format!("{prefix}_{suffix}"));
    wall_time_at(row, [place("unix_us")?, place("offset_s")?])
}

/// The time in two columns: microseconds since 1970, and local time minus UTC in seconds.
pub(super) fn wall_time_at(
    row: &Row<'_>,
    [unix_us, offset_s]: [usize; 2],
) -> rusqlite::Result<WallTime> {
    let found = WallTime::new(row.get(unix_us)?, row.get(offset_s)?);
    found.map_err(|error| unusable(row, unix_us, error))
}

/// A rating from 0 to 10, if there is one; the schema admits no other number.
pub(super) fn rating(row: &Row<'_>, column: &str) -> rusqlite::Result<Option<Rating>> {
    Ok(row.get::<_, Option<u8>>(column)?.and_then(Rating::new))
}

/// What stands in the column means nothing here.
pub(super) fn unusable(
    row: &Row<'_>,
    column: impl RowIndex,
    error: impl Error + Send + Sync + 'static,
) -> rusqlite::Error {
    let index = column.idx(row.as_ref()).unwrap_or(0);
    rusqlite::Error::FromSqlConversionFailure(index, Type::Text, Box::new(error))
}
