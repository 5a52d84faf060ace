//! What the empty board reads.

/// Mean counts of the unloaded board, pad on, taken shortly before a person steps on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zero {
    /// Mean of each channel, in counts.
    pub counts: [f64; 4],
    /// Board time of the middle of the mean, in microseconds on the unwrapped clock.
    pub board_time_us: u64,
}
