//! A quick look at what lies on the board.

use crate::board_session::BoardFrame;

/// Length of the means by which a change is noticed, in microseconds.
const GLANCE_US: u64 = 500_000;

/// The mean of the last whole half second.
#[derive(Debug, Default)]
pub(super) struct Glance {
    begun_us: u64,
    n_frames: u64,
    sums: [f64; 4],
}

impl Glance {
    /// Takes a frame; gives the mean of the half second that has just ended, if one has.
    pub(super) fn push(&mut self, frame: &BoardFrame) -> Option<[f64; 4]> {
        let ended = self.n_frames > 0 && self.begun_us + GLANCE_US <= frame.time_us;
        let mean = ended.then(|| self.sums.map(|sum| sum / self.n_frames as f64));
        if ended || self.n_frames == 0 {
            *self = Self { begun_us: frame.time_us, ..Self::default() };
        }
        self.n_frames += 1;
        for (sum, &count) in self.sums.iter_mut().zip(&frame.counts) {
            *sum += f64::from(count);
        }
        mean
    }
}
