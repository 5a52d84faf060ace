//! Sizes of paper.

use std::str::FromStr;

use thiserror::Error;

/// What the pages are printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 mm x 297 mm.
    #[default]
    A4,
    /// 8.5 in x 11 in.
    Letter,
}

/// A word that is no size of paper.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a size of paper; it is one of: a4, letter")]
pub struct UnknownPaper {
    /// What was offered, at most 40 characters of it.
    pub found: String,
}

impl Paper {
    /// Width and height in points of 1/72 inch.
    ///
    /// # Source
    /// ISO 216 (A4, in millimetres) and ANSI/ASME Y14.1 size A (Letter, in inches).
    pub(super) const fn size(self) -> [f32; 2] {
        match self {
            Self::A4 => [210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0],
            Self::Letter => [8.5 * 72.0, 11.0 * 72.0],
        }
    }
}

impl FromStr for Paper {
    type Err = UnknownPaper;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text {
            "a4" => Ok(Self::A4),
            "letter" => Ok(Self::Letter),
            _ => Err(UnknownPaper { found: text.chars().take(40).collect() }),
        }
    }
}
