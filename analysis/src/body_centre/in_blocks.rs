//! The body centre of a long record, block by block, so that the work of a sample does not grow
//! with the record.

use std::sync::Arc;

use rustfft::{Fft, FftDirection};

use crate::body_centre::Gain;
use crate::plans::plan;
use crate::point::Point;

/// Samples of a block at least: its transform stays in a processor's cache.
const LEAST_BLOCK: usize = 1 << 16;

/// Blocks are at least this many margins long, so that most of each is kept.
const MARGINS_IN_A_BLOCK: usize = 16;

/// A sample is felt for this many 1/w0: exp(-36) is 2e-16.
const REACH_IN_TIME_CONSTANTS: f64 = 36.0;

/// Filters long records (overlap-save), keeping plans and room to work in.
///
/// Each block is filtered as if it went on in a circle, and the margin at either end, which feels
/// that, is thrown away. How far a sample is felt has two parts: exp(-w0 t), gone in the margin; and
/// the kink of the gain at half the sample rate, which falls off as 1/n^2 with alternating sign. Of
/// white noise the second leaves less than 1e-9 of its standard deviation at the margins of 4096
/// samples or more, of a path without content at half the rate nothing.
///
/// # Source
/// Overlap-save: Oppenheim & Schafer, Discrete-Time Signal Processing, block convolution.
#[derive(Default)]
pub(super) struct InBlocks {
    plan: Option<Plan>,
    block: Vec<Point>,
    scratch: Vec<Point>,
}

struct Plan {
    gain: Gain,
    forward: Arc<dyn Fft<f64>>,
    inverse: Arc<dyn Fft<f64>>,
    /// The gain per bin, with the factor that the inverse transform leaves.
    kept: Vec<f64>,
}

impl Gain {
    /// Samples of a block for this gain; records up to this long are filtered in one piece.
    pub(super) fn block_length(self) -> usize {
        let time_constant_s = self.pendulum_rate_per_s2.sqrt().recip();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "rates and pendulums are bounded, and so not negative and small"
        )]
        let margin = (REACH_IN_TIME_CONSTANTS * time_constant_s * self.rate_hz).ceil() as usize;
        (MARGINS_IN_A_BLOCK * margin).next_power_of_two().max(LEAST_BLOCK)
    }
}

impl Plan {
    fn new(gain: Gain) -> Self {
        let length = gain.block_length();
        let kept = |k: usize| gain.at(k.min(length - k), length) / length as f64;
        Self {
            gain,
            forward: plan(length, FftDirection::Forward),
            inverse: plan(length, FftDirection::Inverse),
            kept: (0..length).map(kept).collect(),
        }
    }
}

impl InBlocks {
    /// Adds the body centre under `cop`, which is longer than a block, to `body`; `centre` is its
    /// mean.
    pub(super) fn run(&mut self, cop: &[Point], centre: Point, gain: Gain, body: &mut Vec<Point>) {
        let plan = match self.plan.take() {
            Some(plan) if plan.gain == gain => plan,
            _ => Plan::new(gain),
        };
        let length = plan.forward.len();
        let margin = length / MARGINS_IN_A_BLOCK;
        let n_kept = length - 2 * margin;
        let scratch_length =
            plan.forward.get_inplace_scratch_len().max(plan.inverse.get_inplace_scratch_len());
        self.scratch.resize(scratch_length, Point::default());
        for start in (0..cop.len()).step_by(n_kept) {
            let from = start.cast_signed() - margin.cast_signed();
            self.block.clear();
            self.block.extend((from..).take(length).map(|i| mirrored(cop, i) - centre));
            plan.forward.process_with_scratch(&mut self.block, &mut self.scratch);
            for (value, kept) in self.block.iter_mut().zip(&plan.kept) {
                *value *= kept;
            }
            plan.inverse.process_with_scratch(&mut self.block, &mut self.scratch);
            let kept = self.block[margin..].iter().take(n_kept.min(cop.len() - start));
            body.extend(kept.map(|value| value + centre));
        }
        self.plan = Some(plan);
    }
}

/// A sample of the path, or of its mirror image before its first or after its last.
fn mirrored(cop: &[Point], i: isize) -> Point {
    let before = (-1 - i).max(0).unsigned_abs();
    if i < 0 {
        return cop[before];
    }
    let i = i.unsigned_abs();
    if i < cop.len() { cop[i] } else { cop[2 * cop.len() - 1 - i] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body_centre::InOnePiece;
    use crate::point::mean;
    use crate::point::test_paths::{scattered, wandering};

    fn both_ways(cop: &[Point], gain: Gain) -> (Vec<Point>, Vec<Point>) {
        let (mut blocks, mut piece) = (Vec::new(), Vec::new());
        InBlocks::default().run(cop, mean(cop), gain, &mut blocks);
        InOnePiece::default().run(cop, mean(cop), gain, &mut piece);
        (blocks, piece)
    }

    fn largest_distance(a: &[Point], b: &[Point]) -> f64 {
        assert_eq!(a.len(), b.len());
        a.iter().zip(b).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max)
    }

    #[test]
    fn blocks_give_what_one_piece_gives() {
        for (rate_hz, pendulum_rate_per_s2) in [(100.0, 8.7), (100.0, 29.0), (40.0, 5.8)] {
            let gain = Gain { rate_hz, pendulum_rate_per_s2 };
            let length = gain.block_length();
            let n_kept = length - 2 * length / MARGINS_IN_A_BLOCK;
            for n in [length + 1, 2 * n_kept, 2 * n_kept + 1, 150_001] {
                // White noise of up to 30 mm, as no person sways; then a path as people make it.
                let (blocks, piece) = both_ways(&scattered(n as u64, n), gain);
                assert!(largest_distance(&blocks, &piece) < 1e-9 * 17.3, "{n} {gain:?}");
                let (blocks, piece) = both_ways(&wandering(n as u64, n), gain);
                let largest = piece.iter().map(|p| p.norm()).fold(0.0, f64::max);
                assert!(largest_distance(&blocks, &piece) < 1e-11 * largest, "{n} {gain:?}");
            }
        }
    }

    #[test]
    fn the_margin_grows_with_the_rate() {
        let fast = Gain { rate_hz: 1000.0, pendulum_rate_per_s2: 8.7 };
        assert_eq!(fast.block_length(), 1 << 18);
        let n = fast.block_length() + 70_000;
        let (blocks, piece) = both_ways(&wandering(3, n), fast);
        let largest = piece.iter().map(|p| p.norm()).fold(0.0, f64::max);
        assert!(largest_distance(&blocks, &piece) < 1e-11 * largest);
    }
}
