//! One Parquet file, filled group of rows by group of rows.

use std::fs::File;
use std::io::BufWriter;
use std::path::Path;
use std::sync::Arc;

use parquet::basic::{LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::{WriterProperties, WriterPropertiesPtr};
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::{Type, TypePtr};

use super::ResearchSetError;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Text,
    Real,
    Whole,
    /// Microseconds since 1970, UTC.
    Instant,
}

/// A column, with what is told of it in `columns.csv`.
#[derive(Debug, Clone, Copy)]
pub(super) struct ColumnHead {
    pub(super) name: &'static str,
    pub(super) kind: Kind,
    /// Sign of the unit; empty for none.
    pub(super) unit: &'static str,
    pub(super) about: &'static str,
    pub(super) source: &'static str,
}

/// The columns of a table, and what stands in each of its files.
#[derive(Debug)]
pub(super) struct TableHead {
    pub(super) columns: Vec<ColumnHead>,
    /// Names and values that each file carries.
    pub(super) told: Vec<(String, String)>,
}

/// The values of one column, one a row.
#[derive(Debug)]
pub(super) enum Cells {
    Text(Vec<Option<ByteArray>>),
    Real(Vec<Option<f64>>),
    Whole(Vec<Option<i64>>),
}

impl Cells {
    pub(super) fn text(text: Option<&str>) -> Self {
        Self::Text(vec![text.map(ByteArray::from)])
    }

    pub(super) fn real(value: Option<f64>) -> Self {
        Self::Real(vec![value])
    }

    pub(super) fn whole(value: Option<i64>) -> Self {
        Self::Whole(vec![value])
    }

    fn none(kind: Kind) -> Self {
        match kind {
            Kind::Text => Self::Text(Vec::new()),
            Kind::Real => Self::Real(Vec::new()),
            Kind::Whole | Kind::Instant => Self::Whole(Vec::new()),
        }
    }

    fn append(&mut self, more: Self) {
        match (self, more) {
            (Self::Text(cells), Self::Text(more)) => cells.extend(more),
            (Self::Real(cells), Self::Real(more)) => cells.extend(more),
            (Self::Whole(cells), Self::Whole(more)) => cells.extend(more),
            (cells, more) => unreachable!("a column of {cells:?} was given {more:?}"),
        }
    }

    fn n_rows(&self) -> usize {
        match self {
            Self::Text(cells) => cells.len(),
            Self::Real(cells) => cells.len(),
            Self::Whole(cells) => cells.len(),
        }
    }
}

/// A file being written, and the rows that wait for the next group.
pub(super) struct Partition {
    writer: SerializedFileWriter<BufWriter<File>>,
    kinds: Vec<Kind>,
    waiting: Vec<Cells>,
}

impl std::fmt::Debug for Partition {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Partition").field("n_waiting", &self.n_waiting()).finish_non_exhaustive()
    }
}

impl Partition {
    pub(super) fn create(path: &Path, head: &TableHead) -> Result<Self, ResearchSetError> {
        let file = File::create(path).map_err(super::write("make", path))?;
        let writer =
            SerializedFileWriter::new(BufWriter::new(file), schema(head)?, properties(head))?;
        let kinds: Vec<Kind> = head.columns.iter().map(|column| column.kind).collect();
        let waiting = kinds.iter().map(|kind| Cells::none(*kind)).collect();
        Ok(Self { writer, kinds, waiting })
    }

    /// Rows that are not written yet.
    pub(super) fn n_waiting(&self) -> usize {
        self.waiting.first().map_or(0, Cells::n_rows)
    }

    /// Adds rows, given column by column.
    pub(super) fn extend(&mut self, rows: Vec<Cells>) {
        assert_eq!(rows.len(), self.waiting.len(), "one piece a column");
        for (cells, more) in self.waiting.iter_mut().zip(rows) {
            cells.append(more);
        }
    }

    /// Writes what waits as one group of rows.
    pub(super) fn flush(&mut self) -> Result<(), ResearchSetError> {
        let empty = self.kinds.iter().map(|kind| Cells::none(*kind)).collect();
        let waiting = std::mem::replace(&mut self.waiting, empty);
        let mut group = self.writer.next_row_group()?;
        for cells in &waiting {
            let mut column = group.next_column()?.expect("a piece was gathered a column");
            write_cells(&mut column, cells)?;
            column.close()?;
        }
        group.close()?;
        Ok(())
    }

    pub(super) fn finish(mut self) -> Result<(), ResearchSetError> {
        if 0 < self.n_waiting() {
            self.flush()?;
        }
        self.writer.close()?;
        Ok(())
    }
}

fn write_cells(column: &mut SerializedColumnWriter<'_>, cells: &Cells) -> Result<(), ParquetError> {
    match cells {
        Cells::Text(cells) => {
            let (present, levels) = present(cells);
            column.typed::<ByteArrayType>().write_batch(&present, Some(&levels), None)?;
        }
        Cells::Real(cells) => {
            let (present, levels) = present(cells);
            column.typed::<DoubleType>().write_batch(&present, Some(&levels), None)?;
        }
        Cells::Whole(cells) => {
            let (present, levels) = present(cells);
            column.typed::<Int64Type>().write_batch(&present, Some(&levels), None)?;
        }
    }
    Ok(())
}

/// The values there are, and for each row whether it has one: how the format leaves out the rest.
fn present<T: Clone>(cells: &[Option<T>]) -> (Vec<T>, Vec<i16>) {
    let levels = cells.iter().map(|cell| i16::from(cell.is_some())).collect();
    (cells.iter().flatten().cloned().collect(), levels)
}

fn schema(head: &TableHead) -> Result<TypePtr, ParquetError> {
    let field = |column: &ColumnHead| {
        let (physical, logical) = match column.kind {
            Kind::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
            Kind::Real => (Physical::DOUBLE, None),
            Kind::Whole => (Physical::INT64, None),
            Kind::Instant => {
                (Physical::INT64, Some(LogicalType::timestamp(true, TimeUnit::MICROS)))
            }
        };
        let built = Type::primitive_type_builder(column.name, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_logical_type(logical)
            .build();
        built.map(Arc::new)
    };
    let fields: Vec<TypePtr> = head.columns.iter().map(field).collect::<Result<_, _>>()?;
    Ok(Arc::new(Type::group_type_builder("footing").with_fields(fields).build()?))
}

fn properties(head: &TableHead) -> WriterPropertiesPtr {
    let told = head.told.iter().map(|(name, value)| KeyValue::new(name.clone(), value.clone()));
    let properties = WriterProperties::builder()
        .set_created_by(crate::results::PROGRAM.to_owned())
        .set_key_value_metadata(Some(told.collect()));
    Arc::new(properties.build())
}

/// What each column of the tables is, as CSV.
pub(super) fn columns_csv(tables: &[(&str, &TableHead)]) -> Vec<u8> {
    let in_memory = "rows of one length written to memory";
    let mut csv = csv::Writer::from_writer(Vec::new());
    csv.write_record(["table", "column", "unit", "definition", "source"]).expect(in_memory);
    for (table, head) in tables {
        for column in &head.columns {
            let row = [table, column.name, column.unit, column.about, column.source];
            csv.write_record(row).expect(in_memory);
        }
    }
    csv.into_inner().expect(in_memory)
}
