//! Frames per second as a checked value.

/// Frames per second the board is asked for: 80 to 1000.
///
/// The true rate comes from the frames' time stamps; this is the nominal one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FrameRate(u16);

impl FrameRate {
    /// The slowest rate a board offers.
    pub const MIN: Self = Self(80);
    /// The rate a board starts with.
    pub const DEFAULT: Self = Self(250);
    /// The fastest rate a board offers.
    pub const MAX: Self = Self(1000);

    /// A rate, or `None` outside 80 to 1000 frames per second.
    pub const fn new(frames_per_s: u16) -> Option<Self> {
        if Self::MIN.0 <= frames_per_s && frames_per_s <= Self::MAX.0 {
            Some(Self(frames_per_s))
        } else {
            None
        }
    }

    /// Frames per second.
    pub const fn frames_per_s(self) -> u16 {
        self.0
    }
}

impl Default for FrameRate {
    fn default() -> Self {
        Self::DEFAULT
    }
}
