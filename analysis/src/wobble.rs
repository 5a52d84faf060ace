//! Wobble: how far the body centre strays within 5 s.

use crate::extent::{Directions, Extent};
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

/// Directions in which the reach of each second is kept.
const N_DIRECTIONS: usize = 8;

/// Finds the wobble of every window, keeping the room it works in.
pub(crate) struct WobbleFinder {
    directions: Directions<N_DIRECTIONS>,
    seconds: Vec<Second>,
    far: FarPoints,
    windows_mm: Vec<f64>,
    sorted_mm: Vec<f64>,
}

/// One second of a path: its samples and how far they reach.
struct Second {
    from: usize,
    to: usize,
    extent: Extent<N_DIRECTIONS>,
}

/// Points that reach far in one direction and against it.
#[derive(Default)]
struct FarPoints {
    ahead: Vec<Point>,
    behind: Vec<Point>,
    hull: Vec<Point>,
}

impl Default for WobbleFinder {
    fn default() -> Self {
        Self {
            directions: Directions::new(),
            seconds: Vec::new(),
            far: FarPoints::default(),
            windows_mm: Vec::new(),
            sorted_mm: Vec::new(),
        }
    }
}

impl WobbleFinder {
    /// The wobble of every complete window of `body` at `rate_hz`, in millimetres, in order of time.
    pub(crate) fn windows_mm(&mut self, body: &[Point], rate_hz: f64) -> &[f64] {
        self.seconds.clear();
        for second in 0.. {
            let (from, to) = (sample_at(second, rate_hz), sample_at(second + 1, rate_hz));
            let Some(samples) = body.get(from..to) else { break };
            let extent = Extent::of(&self.directions, samples);
            self.seconds.push(Second { from, to, extent });
        }
        self.windows_mm.clear();
        for window in self.seconds.windows(WINDOW_S) {
            self.windows_mm.push(largest_distance(body, window, &self.directions, &mut self.far));
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

/// Largest distance between any two points of a window.
///
/// The farthest two points lie within half a step of one of the directions, along which they are
/// then at least cos(half step) of their distance apart. So a direction in which the window is
/// narrower than that share of a distance already found holds no greater one, and in the others
/// only the points near both ends need to be looked at.
fn largest_distance(
    body: &[Point],
    window: &[Second],
    directions: &Directions<N_DIRECTIONS>,
    far: &mut FarPoints,
) -> f64 {
    let extent = window.iter().fold(Extent::NOTHING, |extent, second| extent.with(&second.extent));
    let widest = (0..N_DIRECTIONS)
        .max_by(|&a, &b| extent.width(a).total_cmp(&extent.width(b)))
        .expect("there are directions");
    // Each width is a lower bound; the share is rounded down so that nothing is missed.
    let mut found = extent.width(widest) * (1.0 - 1e-12);
    let share = (0.5 * std::f64::consts::PI / N_DIRECTIONS as f64).cos() * (1.0 - 1e-12);
    if found <= 0.0 {
        return 0.0;
    }
    for step in 0..N_DIRECTIONS {
        let k = (widest + step) % N_DIRECTIONS;
        let least = found * share;
        if extent.width(k) < least {
            continue;
        }
        far.ahead.clear();
        far.behind.clear();
        let (ahead, behind) = (extent.low[k] + least, extent.high[k] - least);
        for second in window {
            let points = &body[second.from..second.to];
            if ahead <= second.extent.high[k] {
                far.ahead.extend(points.iter().filter(|p| ahead <= directions.reach(k, **p)));
            }
            if second.extent.low[k] <= behind {
                far.behind.extend(points.iter().filter(|p| directions.reach(k, **p) <= behind));
            }
        }
        found = found.max(far.largest_distance());
    }
    found
}

impl FarPoints {
    /// Largest distance from one point ahead to one behind.
    fn largest_distance(&mut self) -> f64 {
        /// Above this many pairs the hull is quicker.
        const MOST_PAIRS: usize = 4096;
        if MOST_PAIRS < self.ahead.len() * self.behind.len() {
            self.ahead.append(&mut self.behind);
            hull::convex_hull(&mut self.ahead, &mut self.hull);
            return hull::diameter(&self.hull);
        }
        let mut largest = 0.0;
        for ahead in &self.ahead {
            for behind in &self.behind {
                let square = (ahead - behind).norm_sqr();
                largest = if largest < square { square } else { largest };
            }
        }
        largest.sqrt()
    }
}
