//! Names, limits and version of a trial file's content; each name stands here once.

/// Version of the content's layout. A file of a higher version is refused.
pub const FORMAT_VERSION: u32 = 1;

/// Largest trial file that is opened: 512 MiB, our own limit. An hour at 1,000 samples a second
/// takes less, even if nothing can be compressed.
pub const MAX_FILE_BYTES: u64 = 512 * 1024 * 1024;

/// Most samples a trial may hold: over an hour at 1,000 a second, our own limit.
pub const MAX_SAMPLES: usize = 4_000_000;

/// Longest text in an attribute, in bytes of UTF-8; texts have a fixed length in the file, because
/// the library guards those of variable length by no checksum.
pub const MAX_TEXT_BYTES: usize = 256;

/// Longest column map kept with an import, in bytes.
pub(super) const MAX_COLUMN_MAP_BYTES: usize = 64 * 1024;

/// Samples in one compressed chunk of a dataset.
pub(super) const CHUNK_SAMPLES: usize = 4_096;

/// The value of the root's `format` attribute.
pub(super) const FORMAT: &str = "footing-trial";

/// What the axes mean, for whoever reads the file without this program.
pub(super) const FRAME: &str = "ml: medio-lateral, positive to the standing person's right; \
     ap: antero-posterior, positive forward; origin: centre of the board";

pub(super) mod group {
    pub(crate) const RAW: &str = "raw";
    pub(crate) const BOARD: &str = "board";
    pub(crate) const CALIBRATION: &str = "calibration";
    pub(crate) const ZERO: &str = "zero";
    pub(crate) const ZERO_AFTER: &str = "zero_after";
    pub(crate) const ORIGINAL: &str = "original";
    pub(crate) const IMPORT: &str = "import";
}

pub(super) mod dataset {
    pub(crate) const COUNTS: &str = "counts";
    pub(crate) const TIME: &str = "time_us";
    pub(crate) const SEQUENCE: &str = "sequence";
    pub(crate) const STATUS: &str = "status";
    pub(crate) const FORCE: &str = "force";
    pub(crate) const COP: &str = "cop";
    pub(crate) const GAINS: &str = "newtons_per_count";
    pub(crate) const POSITIONS: &str = "positions";
    pub(crate) const COVARIANCE: &str = "covariance";
    pub(crate) const COLUMN_MAP: &str = "column_map";
}
