//! Transform plans, made once for each length.

use std::sync::Arc;

use rustfft::{Fft, FftDirection, FftPlanner};

/// A transform of this length.
///
/// Always by a planner that has planned nothing before: one that has may put a transform together
/// from parts it knows, and the last bit of a value would depend on what was measured earlier.
pub(crate) fn plan(length: usize, direction: FftDirection) -> Arc<dyn Fft<f64>> {
    FftPlanner::new().plan_fft(length, direction)
}

/// What was made for the last few lengths.
pub(crate) struct ByLength<T> {
    /// The most recent last.
    made: Vec<(usize, T)>,
}

impl<T> Default for ByLength<T> {
    fn default() -> Self {
        Self { made: Vec::new() }
    }
}

impl<T> ByLength<T> {
    /// A trial is measured in two processings and in parts; more lengths seldom come in turn.
    const MOST: usize = 4;

    /// What belongs to this length, made if it is not there.
    pub(crate) fn of(&mut self, length: usize, make: impl FnOnce(usize) -> T) -> &mut T {
        if let Some(place) = self.made.iter().position(|(made, _)| *made == length) {
            self.made[place..].rotate_left(1);
        } else {
            if self.made.len() == Self::MOST {
                self.made.remove(0);
            }
            self.made.push((length, make(length)));
        }
        let last = self.made.len() - 1;
        &mut self.made[last].1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_four_lengths_are_kept() {
        let mut made = Vec::new();
        let mut kept = ByLength::default();
        for length in [1, 2, 3, 4, 1, 5, 1, 2, 3] {
            let value = *kept.of(length, |length| {
                made.push(length);
                10 * length
            });
            assert_eq!(value, 10 * length);
        }
        // 5 pushed out 2, not 1, which had just been used; then 2 pushed out 3.
        assert_eq!(made, [1, 2, 3, 4, 5, 2, 3]);
    }
}
