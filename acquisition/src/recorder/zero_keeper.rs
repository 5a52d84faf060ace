//! A zero that stays fresh while nobody is on the board.

use std::collections::VecDeque;

use super::policy::{LOADED_ZERO_NEWTONS, ZERO_S, ZERO_UNREST_NEWTONS};
use crate::board_session::BoardFrame;
use crate::calibration::Calibration;
use crate::zero::Zero;

const BIN_US: u64 = 1_000_000;

/// A second with fewer frames than this says nothing of the zero: the slowest board sends 80.
const FEWEST_FRAMES: u64 = 40;

/// Why the board's readings make no zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ZeroTrouble {
    /// Something is on the board.
    Loaded {
        /// How much more than the empty board of the design, in newtons.
        load_newtons: f64,
    },
    /// The readings move: somebody touches the board, or its electronics are still warming up.
    Unrest {
        /// Which corner moved most, from 0.
        corner: usize,
        /// Between its highest and lowest one-second mean, in newtons.
        range_newtons: f64,
    },
}

/// Means of whole seconds of the unloaded board; the newest five that agree are the zero.
///
/// The second under way never counts, so a foot that comes down slowly is in no accepted zero.
#[derive(Debug, Default)]
pub(crate) struct ZeroKeeper {
    under_way: Option<Bin>,
    means: VecDeque<(u64, [f64; 4])>,
    zero: Option<Zero>,
    trouble: Option<ZeroTrouble>,
}

#[derive(Debug)]
struct Bin {
    begun_us: u64,
    n_frames: u64,
    sums: [f64; 4],
}

impl ZeroKeeper {
    /// The newest zero, if there was one.
    pub(crate) fn zero(&self) -> Option<Zero> {
        self.zero
    }

    /// What kept the newest five seconds from being a zero.
    pub(crate) fn trouble(&self) -> Option<ZeroTrouble> {
        self.trouble
    }

    /// Forgets the seconds under way: somebody is on the board.
    pub(crate) fn interrupt(&mut self) {
        self.under_way = None;
        self.means.clear();
        self.trouble = None;
    }

    /// Takes a frame of the board that is taken to be empty.
    pub(crate) fn push(&mut self, frame: &BoardFrame, calibration: &Calibration) {
        let full = |bin: &Bin| bin.begun_us + BIN_US <= frame.time_us;
        if let Some(bin) = self.under_way.take_if(|bin| full(bin)) {
            let gap = bin.begun_us + 2 * BIN_US <= frame.time_us;
            self.close(&bin, gap, calibration);
        }
        let empty = || Bin { begun_us: frame.time_us, n_frames: 0, sums: [0.0; 4] };
        let bin = self.under_way.get_or_insert_with(empty);
        bin.n_frames += 1;
        for (sum, &counts) in bin.sums.iter_mut().zip(&frame.counts) {
            *sum += f64::from(counts);
        }
    }

    fn close(&mut self, bin: &Bin, gap: bool, calibration: &Calibration) {
        if gap || bin.n_frames < FEWEST_FRAMES {
            self.means.clear();
            return;
        }
        let mean = bin.sums.map(|sum| sum / bin.n_frames as f64);
        self.means.push_back((bin.begun_us, mean));
        while self.means.len() as u64 > ZERO_S {
            self.means.pop_front();
        }
        if (self.means.len() as u64) < ZERO_S {
            return;
        }
        self.trouble = self.find_trouble(calibration);
        if self.trouble.is_none() {
            let n_means = self.means.len() as f64;
            let sum = |corner: usize| self.means.iter().map(|(_, mean)| mean[corner]).sum::<f64>();
            let first_us = self.means.front().map_or(bin.begun_us, |(begun_us, _)| *begun_us);
            self.zero = Some(Zero {
                counts: std::array::from_fn(|corner| sum(corner) / n_means),
                board_time_us: first_us.midpoint(bin.begun_us + BIN_US),
            });
        }
    }

    fn find_trouble(&self, calibration: &Calibration) -> Option<ZeroTrouble> {
        let range_newtons = |corner: usize| {
            let means = self.means.iter().map(|(_, mean)| mean[corner]);
            let (low, high) = means
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), mean| {
                    (low.min(mean), high.max(mean))
                });
            ((high - low) * calibration.newtons_per_count[corner]).abs()
        };
        let worst = (0..4).max_by(|&a, &b| range_newtons(a).total_cmp(&range_newtons(b)))?;
        if ZERO_UNREST_NEWTONS < range_newtons(worst) {
            let range_newtons = range_newtons(worst);
            return Some(ZeroTrouble::Unrest { corner: worst, range_newtons });
        }
        let (_, newest) = self.means.back()?;
        let load_newtons: f64 =
            newest.iter().zip(&calibration.newtons_per_count).map(|(mean, gain)| mean * gain).sum();
        (LOADED_ZERO_NEWTONS < load_newtons).then_some(ZeroTrouble::Loaded { load_newtons })
    }
}
