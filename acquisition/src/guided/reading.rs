//! One load at rest.

use crate::board_session::BoardFrame;
use crate::zero::{Zero, ZeroLine};

/// What the board said of one load, with the zeros around it.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Which station it belongs to, from 0.
    pub station: usize,
    /// Every frame of it, in order.
    pub frames: Vec<BoardFrame>,
    /// When each had arrived by the computer's steady clock, in microseconds.
    pub arrived_us: Vec<u64>,
    /// The empty board before and, once it was read, after.
    pub zero: ZeroLine,
}

impl Reading {
    /// Mean counts of the four channels, the zero at the middle of the reading taken off.
    pub fn net_counts(&self) -> [f64; 4] {
        let zero = self.zero.at(self.middle_us());
        std::array::from_fn(|channel| {
            let sum: f64 = self.frames.iter().map(|frame| f64::from(frame.counts[channel])).sum();
            sum / self.frames.len().max(1) as f64 - zero.counts[channel]
        })
    }

    /// Board time of its middle, in microseconds.
    pub fn middle_us(&self) -> u64 {
        match (self.frames.first(), self.frames.last()) {
            (Some(first), Some(last)) => first.time_us.midpoint(last.time_us),
            _ => 0,
        }
    }

    pub(super) fn zeroed_after(&mut self, after: Zero) {
        self.zero.after = Some(after);
    }
}
