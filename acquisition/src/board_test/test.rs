//! The tests by name.

/// One acceptance test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum BoardTest {
    /// A dead weight in the middle: electronics, mains, building.
    Noise,
    /// One mass over each corner reads the same.
    CornerLoad,
    /// Spots that were not used in the calibration.
    HoldOut,
    /// The same spot again and again.
    Repeatability,
    /// Weights on and off in steps.
    UpAndDown,
    /// A small mass moved on a large one.
    SmallSwing,
    /// A mass left for ten minutes.
    Creep,
    /// The empty board warming up.
    Drift,
    /// The board's clock against the computer's; frames that are missing.
    Clock,
    /// The four channels at the same moment.
    Skew,
    /// A horizontal pull: how deep the plate rests.
    ContactPlane,
    /// A tap: how stiff it is.
    Resonance,
    /// The heaviest load over one corner.
    Overload,
    /// The program itself, on made-up counts.
    Software,
}

impl BoardTest {
    /// All, in order.
    pub const ALL: &'static [Self] = &[
        Self::Noise,
        Self::CornerLoad,
        Self::HoldOut,
        Self::Repeatability,
        Self::UpAndDown,
        Self::SmallSwing,
        Self::Creep,
        Self::Drift,
        Self::Clock,
        Self::Skew,
        Self::ContactPlane,
        Self::Resonance,
        Self::Overload,
        Self::Software,
    ];

    /// The word for it in files and on the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Noise => "noise",
            Self::CornerLoad => "corner-load",
            Self::HoldOut => "hold-out",
            Self::Repeatability => "repeatability",
            Self::UpAndDown => "up-and-down",
            Self::SmallSwing => "small-swing",
            Self::Creep => "creep",
            Self::Drift => "drift",
            Self::Clock => "clock",
            Self::Skew => "skew",
            Self::ContactPlane => "contact-plane",
            Self::Resonance => "resonance",
            Self::Overload => "overload",
            Self::Software => "software",
        }
    }

    /// Its number in the list of tests, from 1.
    pub fn number(self) -> usize {
        1 + Self::ALL.iter().position(|test| *test == self).unwrap_or(0)
    }
}
