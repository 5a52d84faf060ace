//! Recordings of other force plates, read into the same trials.

mod cells;
mod column;
mod column_map;
mod column_map_file;
mod delimited;
#[cfg(test)]
mod tests;
mod text_lines;

pub use column::{BadColumn, Column, ColumnName, ColumnUnit, parse_column};
pub use column_map::{
    BadColumnMap, ColumnMap, CornerColumn, DecimalMark, Delimiter, Measured, TextForm, TimeSource,
};
pub use delimited::{ImportError, read_delimited};
pub use text_lines::{MAX_LINE_BYTES, MAX_TEXT_FILE_BYTES};
