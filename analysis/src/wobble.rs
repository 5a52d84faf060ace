//! Wobble: how far the body centre strays within 5 s.

use crate::hull;
use crate::not_available::NotAvailable;
use crate::percentile::percentile;
use crate::point::Point;

/// Length of a window, in whole seconds; windows start one second apart.
pub(crate) const WINDOW_S: usize = 5;

/// The wobble window, in millimetres: a quarter to one inch. Common practice in the trade, no
/// published source.
pub const WOBBLE_WINDOW_MM: std::ops::RangeInclusive<f64> = 6.35..=25.4;

/// Wobble over the 5 s windows of a trial.
///
/// The wobble of a window is the largest distance between any two positions of the body centre in
/// it. Windows start one second apart; incomplete ones are dropped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wobble {
    /// Median over the windows, in millimetres.
    pub median_mm: f64,
    /// 95th percentile over the windows, in millimetres.
    pub p95_mm: f64,
    /// Number of complete windows.
    pub n_windows: usize,
    /// Share of windows under [`WOBBLE_WINDOW_MM`].
    pub share_under: f64,
    /// Share of windows inside [`WOBBLE_WINDOW_MM`], its ends included.
    pub share_inside: f64,
    /// Share of windows over [`WOBBLE_WINDOW_MM`].
    pub share_over: f64,
}

/// Finds the wobble of every window, keeping the room it works in.
#[derive(Default)]
pub(crate) struct WobbleFinder {
    block: Vec<Point>,
    hull: Vec<Point>,
    /// Corners of the hull of each second, one after the other, and where each ends.
    corners: Vec<Point>,
    ends: Vec<usize>,
    windows_mm: Vec<f64>,
    sorted_mm: Vec<f64>,
}

impl WobbleFinder {
    /// The wobble of every complete window of `body` at `rate_hz`, in millimetres, in order of time.
    ///
    /// The farthest two points of a window are corners of its hull, and those are corners of the
    /// hulls of its seconds: each second is looked at once, and windows merge what is left of it.
    pub(crate) fn windows_mm(&mut self, body: &[Point], rate_hz: f64) -> &[f64] {
        self.corners.clear();
        self.ends.clear();
        self.windows_mm.clear();
        for second in 0.. {
            let (from, to) = (sample_at(second, rate_hz), sample_at(second + 1, rate_hz));
            let Some(samples) = body.get(from..to) else { break };
            self.block.clear();
            self.block.extend_from_slice(samples);
            hull::convex_hull(&mut self.block, &mut self.hull);
            self.corners.extend_from_slice(&self.hull);
            self.ends.push(self.corners.len());
        }
        for last in WINDOW_S..=self.ends.len() {
            let first = last - WINDOW_S;
            let from = if first == 0 { 0 } else { self.ends[first - 1] };
            self.block.clear();
            self.block.extend_from_slice(&self.corners[from..self.ends[last - 1]]);
            hull::convex_hull(&mut self.block, &mut self.hull);
            self.windows_mm.push(hull::diameter(&self.hull));
        }
        &self.windows_mm
    }

    /// The wobble of a trial from its body centre.
    pub(crate) fn run(&mut self, body: &[Point], rate_hz: f64) -> Result<Wobble, NotAvailable> {
        self.windows_mm(body, rate_hz);
        self.sorted_mm.clone_from(&self.windows_mm);
        self.sorted_mm.sort_unstable_by(f64::total_cmp);
        let sorted = &self.sorted_mm;
        let (Some(median_mm), Some(p95_mm)) = (percentile(sorted, 0.5), percentile(sorted, 0.95))
        else {
            return Err(NotAvailable::TooShort {
                duration_s: body.len() as f64 / rate_hz,
                needed_s: WINDOW_S as f64,
            });
        };
        let n_windows = sorted.len();
        let n_under = sorted.partition_point(|wobble| wobble < WOBBLE_WINDOW_MM.start());
        let n_within = sorted.partition_point(|wobble| wobble <= WOBBLE_WINDOW_MM.end());
        let share = |count: usize| count as f64 / n_windows as f64;
        Ok(Wobble {
            median_mm,
            p95_mm,
            n_windows,
            share_under: share(n_under),
            share_inside: share(n_within - n_under),
            share_over: share(n_windows - n_within),
        })
    }
}

/// The first sample of a second.
fn sample_at(second: usize, rate_hz: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and a float beyond usize saturates past the end of any record"
    )]
    let sample = (second as f64 * rate_hz).round() as usize;
    sample
}
