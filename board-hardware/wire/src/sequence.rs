//! The number of a frame, and what is missing between two of them.

/// Number of a frame since the last start command, from 0; wraps after 198 days at 250 frames/s.
///
/// It counts conversions, so a frame that could not be sent leaves a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Sequence(pub u32);

impl Sequence {
    /// The number after this one.
    #[must_use]
    pub const fn next(self) -> Self {
        Self(self.0.wrapping_add(1))
    }
}

/// How a frame follows the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SequenceStep {
    /// The first frame seen.
    First,
    /// The one that was due.
    Due,
    /// Later than due.
    Skipped {
        /// How many frames are missing before this one, at least 1.
        n_lost: u32,
    },
    /// A number that was already passed: a frame sent twice, or a board that started again.
    NotNew,
}

/// Compares each frame's number with the one before.
#[derive(Debug, Clone, Copy, Default)]
pub struct SequenceTracker {
    last: Option<Sequence>,
}

impl SequenceTracker {
    /// Ready for any first frame.
    pub const fn new() -> Self {
        Self { last: None }
    }

    /// Takes the number of the next frame in order of arrival.
    ///
    /// After [`SequenceStep::NotNew`] the tracker still waits for the frame after the newest one;
    /// whoever decides that the board has started again makes a fresh tracker.
    pub fn step(&mut self, sequence: Sequence) -> SequenceStep {
        let Some(last) = self.last else {
            self.last = Some(sequence);
            return SequenceStep::First;
        };
        let ahead = sequence.0.wrapping_sub(last.next().0);
        if ahead >= 1 << 31 {
            return SequenceStep::NotNew;
        }
        self.last = Some(sequence);
        if ahead == 0 { SequenceStep::Due } else { SequenceStep::Skipped { n_lost: ahead } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holes_repeats_and_the_wrap_are_told_apart() {
        let mut tracker = SequenceTracker::new();
        for (number, step) in [
            (u32::MAX - 2, SequenceStep::First),
            (u32::MAX - 1, SequenceStep::Due),
            (1, SequenceStep::Skipped { n_lost: 2 }),
            (1, SequenceStep::NotNew),
            (u32::MAX, SequenceStep::NotNew),
            (2, SequenceStep::Due),
            (13, SequenceStep::Skipped { n_lost: 10 }),
        ] {
            assert_eq!(tracker.step(Sequence(number)), step, "{number}");
        }
    }
}
