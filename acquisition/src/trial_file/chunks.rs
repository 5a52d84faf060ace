//! The samples of a dataset, out of the file's bytes and without the HDF5 library.
//!
//! The library works for one thread at a time, so that a batch on many cores would wait for it. It
//! only tells where the chunks of a dataset lie; they are unpacked here, each thread its own.
//! How chunks are stored: HDF5 File Format Specification 3.0, III.E and IV.A.2.l (filter pipeline).

use std::io::Read as _;
use std::marker::PhantomData;

use flate2::read::ZlibDecoder;
use hdf5::dataset::{ChunkInfo, ChunkInfoRef};
use hdf5::datatype::ByteOrder;
use hdf5::filters::Filter;
use hdf5::{Dataset, H5Type};

use super::read::{ReadTrialError, form};

/// A number as it is stored: least significant byte first.
pub(super) trait Stored: H5Type + Copy {
    /// Element `index` of `n` whose bytes lie apart: all first bytes, then all second ones, ..
    fn from_planes(planes: &[u8], index: usize, n: usize) -> Self;
    /// Element `index`, its bytes side by side.
    fn from_bytes(bytes: &[u8], index: usize) -> Self;
}

macro_rules! stored {
    ($($number:ty)*) => {$(
        impl Stored for $number {
            fn from_planes(planes: &[u8], index: usize, n: usize) -> Self {
                Self::from_le_bytes(std::array::from_fn(|byte| planes[byte * n + index]))
            }

            fn from_bytes(bytes: &[u8], index: usize) -> Self {
                const N: usize = size_of::<$number>();
                Self::from_le_bytes(std::array::from_fn(|byte| bytes[index * N + byte]))
            }
        }
    )*};
}

stored!(u16 i32 u64 f64);

/// Where the rows of `M` numbers of one dataset lie in the file.
pub(super) struct Chunks<T, const M: usize> {
    name: &'static str,
    n_rows: usize,
    chunk_rows: usize,
    places: Vec<ChunkInfo>,
    filters: Vec<Filter>,
    number: PhantomData<T>,
}

impl<T: Stored, const M: usize> Chunks<T, M> {
    /// Asks the library where the chunks of `source` lie. Its rows are those of a list (`M` is 1) or
    /// of a table of `M` columns, at most `limit` of them.
    ///
    /// Only chunks within the file are followed, with filters that need no plug-in: a dataset may
    /// otherwise name other files to read from, or code to load.
    pub(super) fn of(
        source: &Dataset,
        name: &'static str,
        limit: usize,
    ) -> Result<Self, ReadTrialError> {
        let n_rows = match source.shape()[..] {
            [n] if n <= limit && M == 1 => n,
            [n, m] if n <= limit && m == M => n,
            _ if M == 1 => return Err(form(name, &format!("a list of at most {limit}"))),
            _ => {
                let expected = format!("a table of {M} columns and at most {limit} rows");
                return Err(form(name, &expected));
            }
        };
        let filters = source.filters();
        let chunk_rows = match source.chunk().as_deref() {
            Some(&[rows]) if M == 1 => rows,
            Some(&[rows, columns]) if columns == M => rows,
            _ => return Err(not_plain(name)),
        };
        if chunk_rows == 0 || limit < chunk_rows || !filters.iter().all(can_be_undone) {
            return Err(not_plain(name));
        }
        ensure_type::<T>(source, name)?;
        let places = places(source, n_rows.div_ceil(chunk_rows), name)?;
        Ok(Self { name, n_rows, chunk_rows, places, filters, number: PhantomData })
    }

    /// The rows, out of the bytes of the whole file.
    pub(super) fn rows(&self, file: &[u8]) -> Result<Vec<[T; M]>, ReadTrialError> {
        let mut rows = Vec::with_capacity(self.n_rows);
        for place in &self.places {
            let first = u64::try_from(rows.len()).ok();
            let in_order = place.offset.first().copied() == first;
            let chunk = in_order.then(|| self.unpack(place, file)).flatten();
            let chunk = chunk.ok_or_else(|| form(self.name, "whole"))?;
            let n_here = self.chunk_rows.min(self.n_rows - rows.len());
            rows.extend((0..n_here).map(|row| self.row(&chunk, row)));
        }
        Ok(rows)
    }

    fn row(&self, chunk: &Unpacked, row: usize) -> [T; M] {
        let n = self.chunk_rows * M;
        std::array::from_fn(|column| {
            let index = row * M + column;
            if chunk.in_planes {
                T::from_planes(&chunk.bytes, index, n)
            } else {
                T::from_bytes(&chunk.bytes, index)
            }
        })
    }

    /// Undoes the filters, the last one first; `None` if the bytes are not what they made.
    fn unpack(&self, place: &ChunkInfo, file: &[u8]) -> Option<Unpacked> {
        let n_bytes = self.chunk_rows.checked_mul(M * size_of::<T>())?;
        let start = usize::try_from(place.addr).ok()?;
        let end = start.checked_add(usize::try_from(place.size).ok()?)?;
        let mut chunk = Unpacked { bytes: file.get(start..end)?.to_vec(), in_planes: false };
        for (index, filter) in self.filters.iter().enumerate().rev() {
            if place.disabled_filters().contains(&index) {
                continue;
            }
            match filter {
                Filter::Fletcher32 => {
                    let (content, sum) = chunk.bytes.split_last_chunk()?;
                    if fletcher_32(content) != u32::from_le_bytes(*sum) {
                        return None;
                    }
                    chunk.bytes.truncate(content.len());
                }
                Filter::Deflate(_) => chunk.bytes = inflate(&chunk.bytes, n_bytes + CHECKSUM)?,
                // Only as the innermost filter: anything else would shuffle packed bytes.
                Filter::Shuffle if index == 0 => chunk.in_planes = true,
                _ => return None,
            }
        }
        (chunk.bytes.len() == n_bytes).then_some(chunk)
    }
}

/// Bytes that Fletcher-32 adds.
const CHECKSUM: usize = 4;

struct Unpacked {
    bytes: Vec<u8>,
    /// Whether the bytes of each number lie apart, as the shuffle filter leaves them.
    in_planes: bool,
}

/// The places of all `n` chunks in order. A chunk that was never written has none: the library would
/// make up zeros for it.
fn places(
    source: &Dataset,
    n: usize,
    name: &'static str,
) -> Result<Vec<ChunkInfo>, ReadTrialError> {
    let mut places = Vec::new();
    let visit = |place: ChunkInfoRef<'_>| {
        places.push(ChunkInfo::from(place));
        i32::from(n < places.len())
    };
    source.chunks_visit(visit).map_err(|source| ReadTrialError::Library { what: name, source })?;
    places.sort_by(|a, b| a.offset.cmp(&b.offset));
    if places.len() == n { Ok(places) } else { Err(form(name, "whole")) }
}

fn can_be_undone(filter: &Filter) -> bool {
    matches!(filter, Filter::Shuffle | Filter::Deflate(_) | Filter::Fletcher32)
}

fn ensure_type<T: H5Type>(source: &Dataset, name: &'static str) -> Result<(), ReadTrialError> {
    let failed = |source| ReadTrialError::Library { what: name, source };
    let expected = T::type_descriptor();
    let stored = source.dtype().map_err(failed)?;
    let little = stored.byte_order() == ByteOrder::LittleEndian;
    if little && stored.to_descriptor().map_err(failed)? == expected {
        Ok(())
    } else {
        Err(form(name, &format!("of type {expected}")))
    }
}

/// At most `limit` bytes out of a zlib stream, whose own checksum is checked.
fn inflate(packed: &[u8], limit: usize) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(limit);
    let mut stream = ZlibDecoder::new(packed).take(limit as u64 + 1);
    stream.read_to_end(&mut bytes).ok()?;
    (bytes.len() <= limit).then_some(bytes)
}

/// Fletcher's checksum as HDF5 computes it: words of two bytes, the first byte the higher one, sums
/// modulo 65,535 in which 65,535 stands for 0 (`H5_checksum_fletcher32`).
fn fletcher_32(bytes: &[u8]) -> u32 {
    let fold = |sum: u32| (sum & 0xffff) + (sum >> 16);
    let (mut first, mut second) = (0, 0);
    // 360 words are the most that cannot overflow 32 bits.
    for block in bytes.chunks(720) {
        for word in block.chunks(2) {
            first += (u32::from(word[0]) << 8) | u32::from(word.get(1).copied().unwrap_or(0));
            second += first;
        }
        (first, second) = (fold(first), fold(second));
    }
    (fold(second) << 16) | fold(first)
}

fn not_plain(name: &'static str) -> ReadTrialError {
    form(name, "stored in plain chunks")
}
