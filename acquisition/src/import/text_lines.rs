//! Lines of a text file that may be compressed, one at a time, with a bound on everything.

use std::fs::File;
use std::io::{self, BufRead as _, BufReader, Read};
use std::path::Path;

use flate2::bufread::MultiGzDecoder;
use sha2::{Digest as _, Sha256};

use super::delimited::ImportError;
use crate::trial_file::Digest;

/// Largest text that is read, unpacked: 256 MiB, our own limit. Half an hour of thirty columns at
/// 1,000 samples a second takes less.
pub const MAX_TEXT_FILE_BYTES: u64 = 256 * 1024 * 1024;

/// Longest line, in bytes: our own limit.
pub const MAX_LINE_BYTES: usize = 64 * 1024;

/// A text file, read line by line and digested on the way.
pub(super) struct TextLines {
    source: BufReader<Source>,
    line: Vec<u8>,
    n_lines: usize,
    n_bytes: u64,
}

/// The file's bytes as they lie on disk, with their digest, and unpacked if they are packed.
enum Source {
    Plain(Digested),
    Gzip(Box<MultiGzDecoder<BufReader<Digested>>>),
}

struct Digested {
    file: io::Chain<io::Cursor<Vec<u8>>, File>,
    digest: Sha256,
}

impl Read for Digested {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let n_read = self.file.read(buffer)?;
        self.digest.update(&buffer[..n_read]);
        Ok(n_read)
    }
}

impl Read for Source {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        match self {
            Self::Plain(file) => file.read(buffer),
            Self::Gzip(unpacked) => unpacked.read(buffer),
        }
    }
}

impl TextLines {
    /// Opens the file at `path`; whether it is packed is seen from its first two bytes.
    pub(super) fn open(path: &Path) -> Result<Self, ImportError> {
        let mut file = File::open(path).map_err(|source| match source.kind() {
            io::ErrorKind::NotFound => ImportError::Missing,
            _ => ImportError::Unreadable(source),
        })?;
        if !file.metadata().map_err(ImportError::Unreadable)?.is_file() {
            return Err(ImportError::NotAFile);
        }
        let mut start = Vec::new();
        file.by_ref().take(2).read_to_end(&mut start).map_err(ImportError::Unreadable)?;
        // RFC 1952, section 2.3.1: the two bytes every gzip member begins with.
        let packed = start == [0x1f, 0x8b];
        let digested = Digested { file: io::Cursor::new(start).chain(file), digest: Sha256::new() };
        let source = if packed {
            Source::Gzip(Box::new(MultiGzDecoder::new(BufReader::new(digested))))
        } else {
            Source::Plain(digested)
        };
        let source = BufReader::with_capacity(64 * 1024, source);
        Ok(Self { source, line: Vec::new(), n_lines: 0, n_bytes: 0 })
    }

    /// The next line without its end, with its number from 1; `None` after the last.
    pub(super) fn next_line(&mut self) -> Result<Option<(usize, &str)>, ImportError> {
        self.line.clear();
        let most = MAX_LINE_BYTES as u64 + 2;
        let n_read = (&mut self.source)
            .take(most)
            .read_until(b'\n', &mut self.line)
            .map_err(ImportError::Unreadable)?;
        if n_read == 0 {
            return Ok(None);
        }
        self.n_lines += 1;
        self.n_bytes += n_read as u64;
        if MAX_TEXT_FILE_BYTES < self.n_bytes {
            return Err(ImportError::TooLarge { limit_bytes: MAX_TEXT_FILE_BYTES });
        }
        let mut line = self.line.as_slice();
        line = line.strip_suffix(b"\n").unwrap_or(line);
        line = line.strip_suffix(b"\r").unwrap_or(line);
        if MAX_LINE_BYTES < line.len() {
            return Err(ImportError::LineTooLong {
                line: self.n_lines,
                limit_bytes: MAX_LINE_BYTES,
            });
        }
        if self.n_lines == 1 {
            line = line.strip_prefix("\u{feff}".as_bytes()).unwrap_or(line);
        }
        // A zero byte is valid UTF-8, but stands in no text: it is a table of another kind, or text
        // of two bytes a character.
        match std::str::from_utf8(line) {
            Ok(text) if !text.contains('\0') => Ok(Some((self.n_lines, text))),
            _ => Err(ImportError::NotText { line: self.n_lines }),
        }
    }

    /// Digest of the file's bytes on disk; reads what is left of them.
    pub(super) fn into_digest(self) -> Result<Digest, ImportError> {
        let mut file = match self.source.into_inner() {
            Source::Plain(file) => file,
            Source::Gzip(unpacked) => unpacked.into_inner().into_inner(),
        };
        let most = MAX_TEXT_FILE_BYTES;
        io::copy(&mut file.by_ref().take(most), &mut io::sink())
            .map_err(ImportError::Unreadable)?;
        Ok(file.digest.into())
    }
}
