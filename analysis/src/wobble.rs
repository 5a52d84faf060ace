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

/// Millimetres in an inch, exactly.
///
/// # Source
/// The international inch of 1959; ISO 80000-3.
pub const MM_PER_INCH: f64 = 25.4;

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

/// One second of a path: how far its samples reach, and those of each quarter of it.
struct Second {
    extent: Extent<N_DIRECTIONS>,
    quarters: [Quarter; 4],
}

struct Quarter {
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
            if body.len() < to {
                break;
            }
            let quarters = [0, 1, 2, 3].map(|quarter| {
                let part = |quarter: usize| from + (to - from) * quarter / 4;
                let (from, to) = (part(quarter), part(quarter + 1));
                Quarter { from, to, extent: Extent::of(&self.directions, &body[from..to]) }
            });
            let extent = quarters.iter().fold(Extent::NOTHING, |all, part| all.with(&part.extent));
            self.seconds.push(Second { extent, quarters });
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
        for quarter in window.iter().flat_map(|second| &second.quarters) {
            let points = &body[quarter.from..quarter.to];
            if ahead <= quarter.extent.high[k] {
                far.ahead.extend(points.iter().filter(|p| ahead <= directions.reach(k, **p)));
            }
            if quarter.extent.low[k] <= behind {
                far.behind.extend(points.iter().filter(|p| directions.reach(k, **p) <= behind));
            }
        }
        found = far.largest_distance(found);
    }
    found
}

impl FarPoints {
    /// The larger of `found` and the largest distance from one point ahead to one behind.
    fn largest_distance(&mut self, found: f64) -> f64 {
        /// Above this many pairs the hull is quicker.
        const MOST_PAIRS: usize = 10_000;
        if MOST_PAIRS < self.ahead.len() * self.behind.len() {
            self.ahead.append(&mut self.behind);
            hull::convex_hull(&mut self.ahead, &mut self.hull);
            return found.max(hull::diameter(&self.hull));
        }
        let (low, high) = corners_of_box(&self.behind);
        let mut largest = found * found;
        for ahead in &self.ahead {
            // No point behind is farther away than the farthest corner of their box.
            let (from_low, from_high) = (ahead - low, ahead - high);
            let bound = (from_low.re * from_low.re).max(from_high.re * from_high.re)
                + (from_low.im * from_low.im).max(from_high.im * from_high.im);
            if bound <= largest {
                continue;
            }
            for behind in &self.behind {
                let square = (ahead - behind).norm_sqr();
                largest = if largest < square { square } else { largest };
            }
        }
        largest.sqrt()
    }
}

/// The corner nearest to minus infinity and the one nearest to infinity.
fn corners_of_box(points: &[Point]) -> (Point, Point) {
    let infinity = Point::new(f64::INFINITY, f64::INFINITY);
    let (mut low, mut high) = (infinity, -infinity);
    for point in points {
        low.re = if point.re < low.re { point.re } else { low.re };
        low.im = if point.im < low.im { point.im } else { low.im };
        high.re = if high.re < point.re { point.re } else { high.re };
        high.im = if high.im < point.im { point.im } else { high.im };
    }
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::test_paths::{scattered, wandering};

    /// The definition: all pairs of the samples j fs .. j fs + 5 fs - 1.
    fn windows_of_all_pairs(points: &[Point], rate: usize) -> Vec<f64> {
        let largest = |window: &[Point]| {
            let pairs = window.iter().flat_map(|a| window.iter().map(move |b| (a - b).norm()));
            pairs.fold(0.0, f64::max)
        };
        points.windows(5 * rate).step_by(rate).map(largest).collect()
    }

    fn check(points: &[Point], rate: usize) {
        let mut finder = WobbleFinder::default();
        let got = finder.windows_mm(points, rate as f64);
        let wanted = windows_of_all_pairs(points, rate);
        assert_eq!(got.len(), wanted.len(), "{} at {rate}", points.len());
        for (got, wanted) in got.iter().zip(&wanted) {
            assert!((got - wanted).abs() <= 1e-10 * wanted.max(1.0), "{rate}: {got} {wanted}");
        }
    }

    #[test]
    fn every_window_is_that_of_all_pairs() {
        for n in 0..300 {
            check(&scattered(n as u64, n), 10);
            check(&wandering(n as u64, n), 7);
        }
        check(&wandering(3, 2000), 100);
        check(&scattered(4, 1200), 100);
        let circle = |i: i32| Point::from_polar(10.0, 0.02 * f64::from(i));
        check(&(0..1500).map(circle).collect::<Vec<_>>(), 100);
        // Two places with hundreds of samples each, and one place only.
        let two_places = |i: i32| Point::new(f64::from(i / 50 % 2), 0.0);
        check(&(0..1500).map(two_places).collect::<Vec<_>>(), 100);
        check(&[Point::new(5.0, 5.0); 700], 100);
    }

    #[test]
    fn windows_are_shared_out_with_the_ends_inside() {
        // A point that jumps once a window by just the width wanted: 6 s make two windows.
        let jumping = |width_mm: f64| {
            let place = move |i: i32| Point::new(if i % 2 == 0 { 0.0 } else { width_mm }, 0.0);
            let points: Vec<Point> = (0..60).map(place).collect();
            WobbleFinder::default().run(&points, 10.0).unwrap()
        };
        for (width_mm, wanted) in [
            (6.34, [1.0, 0.0, 0.0]),
            (6.35, [0.0, 1.0, 0.0]),
            (25.4, [0.0, 1.0, 0.0]),
            (25.41, [0.0, 0.0, 1.0]),
        ] {
            let wobble = jumping(width_mm);
            assert_eq!(wobble.n_windows, 2);
            assert!((wobble.median_mm - width_mm).abs() < 1e-12);
            let shares = [wobble.share_under, wobble.share_inside, wobble.share_over];
            assert_eq!(shares.map(f64::to_bits), wanted.map(f64::to_bits), "{width_mm}");
        }
    }

    #[test]
    fn less_than_a_window_says_how_much_is_needed() {
        let reason = WobbleFinder::default().run(&[Point::default(); 499], 100.0).unwrap_err();
        assert_eq!(reason.to_string(), "4.99 s is too short, more than 5.00 s are needed");
    }
}
