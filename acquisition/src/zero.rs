//! What the empty board reads, before a load and after it.

/// Mean counts of the unloaded board, pad on, taken shortly before a person steps on or some time
/// after they have stepped off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zero {
    /// Mean of each channel, in counts.
    pub counts: [f64; 4],
    /// Board time of the middle of the mean, in microseconds on the unwrapped clock.
    pub board_time_us: u64,
}

/// The zero while a load is on: the straight line between the empty board before and after.
///
/// Nothing is ever learnt about the zero while something is on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZeroLine {
    /// The empty board before.
    pub before: Zero,
    /// The empty board after; without it the zero before holds throughout.
    pub after: Option<Zero>,
}

impl ZeroLine {
    /// The zero at a board time, on the line within the two and not beyond them.
    pub fn at(&self, board_time_us: u64) -> Zero {
        let Some(after) = self.after else { return Zero { board_time_us, ..self.before } };
        let span_us = after.board_time_us.saturating_sub(self.before.board_time_us);
        let into_us = board_time_us.saturating_sub(self.before.board_time_us).min(span_us);
        let share = if span_us == 0 { 0.0 } else { into_us as f64 / span_us as f64 };
        let on_line = |channel: usize| {
            let before = self.before.counts[channel];
            before + share * (after.counts[channel] - before)
        };
        Zero { counts: std::array::from_fn(on_line), board_time_us }
    }

    /// How far each cell's zero has moved from before to after, in newtons; `None` without the
    /// zero after.
    pub fn moved_newtons(&self, newtons_per_count: &[f64; 4]) -> Option<[f64; 4]> {
        let after = self.after?;
        Some(std::array::from_fn(|channel| {
            (after.counts[channel] - self.before.counts[channel]) * newtons_per_count[channel]
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zero(counts: f64, board_time_us: u64) -> Zero {
        Zero { counts: [counts, -counts, 0.0, 1.0], board_time_us }
    }

    #[test]
    fn between_two_zeros_the_line_is_straight_and_beyond_them_it_is_flat() {
        let line = ZeroLine { before: zero(100.0, 1_000), after: Some(zero(200.0, 2_000)) };
        for (board_time_us, wanted) in
            [(0, 100.0), (1_000, 100.0), (1_250, 125.0), (2_000, 200.0), (9_000, 200.0)]
        {
            let got = line.at(board_time_us);
            assert_eq!(got, zero(wanted, board_time_us));
        }
        assert_eq!(line.moved_newtons(&[0.01; 4]), Some([1.0, -1.0, 0.0, 0.0]));
    }

    #[test]
    fn without_a_zero_after_the_one_before_holds() {
        let line = ZeroLine { before: zero(100.0, 1_000), after: None };
        assert_eq!(line.at(5_000), zero(100.0, 5_000));
        assert_eq!(line.moved_newtons(&[0.01; 4]), None);
    }

    #[test]
    fn two_zeros_at_the_same_time_do_not_divide_by_nothing() {
        let line = ZeroLine { before: zero(100.0, 1_000), after: Some(zero(200.0, 1_000)) };
        assert_eq!(line.at(1_500), zero(100.0, 1_500));
    }
}
