//! Recordings of other force plates, read into the same trials.

mod c3d;
mod cells;
mod column;
mod column_map;
mod column_map_file;
#[cfg(test)]
mod damage_tests;
mod delimited;
#[cfg(any(test, fuzzing))]
pub mod fuzz_entry;
mod guess;
#[cfg(test)]
mod tests;
mod text_lines;

pub use c3d::{C3dChoice, C3dError, RoomAxis, UnknownAxis, read_c3d};
pub use column::{BadColumn, Column, ColumnName, ColumnUnit, parse_column};
pub use column_map::{
    BadColumnMap, ColumnMap, CornerColumn, DecimalMark, Delimiter, Measured, TextForm, TimeSource,
};
pub use delimited::{ImportError, read_delimited};
pub use guess::{Guess, GuessDoubt, GuessError, guess_columns};
pub use text_lines::{MAX_LINE_BYTES, MAX_TEXT_FILE_BYTES};
