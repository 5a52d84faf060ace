//! How far and how fast the centre of pressure moves.

use std::f64::consts::TAU;

use crate::ellipse::Scatter;
use crate::hull::{self, HullFinder};
use crate::not_available::NotAvailable;
use crate::point::Point;

/// How far and how fast the centre of pressure moves, about its own mean.
///
/// Noise lengthens the path and so raises the velocity: compare only trials with the same rate and
/// processing.
///
/// # Source
/// Prieto et al. 1996, IEEE Trans Biomed Eng 43:956; the hull is handbook geometry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Displacement {
    /// Length of the path, in millimetres.
    pub path_length_mm: f64,
    /// Sum of the medio-lateral steps, in millimetres.
    pub path_length_ml_mm: f64,
    /// Sum of the antero-posterior steps, in millimetres.
    pub path_length_ap_mm: f64,
    /// Path length over elapsed time, in millimetres per second.
    pub mean_velocity_mm_per_s: f64,
    /// The medio-lateral path over elapsed time, in millimetres per second.
    pub mean_velocity_ml_mm_per_s: f64,
    /// The antero-posterior path over elapsed time, in millimetres per second.
    pub mean_velocity_ap_mm_per_s: f64,
    /// Mean distance from the mean position, in millimetres.
    pub mean_distance_mm: f64,
    /// Root mean square distance from the mean position, in millimetres.
    pub rms_distance_mm: f64,
    /// Medio-lateral standard deviation (divided by N), in millimetres.
    pub rms_ml_mm: f64,
    /// Antero-posterior standard deviation (divided by N), in millimetres.
    pub rms_ap_mm: f64,
    /// Medio-lateral range, in millimetres.
    pub range_ml_mm: f64,
    /// Antero-posterior range, in millimetres.
    pub range_ap_mm: f64,
    /// Largest distance between any two points, in millimetres.
    pub range_max_mm: f64,
    /// Area of the convex hull, in square millimetres.
    pub hull_area_mm2: f64,
    /// Area swept about the mean position per second, in square millimetres per second.
    pub sway_area_rate_mm2_per_s: f64,
    /// Turns a second that a point on a circle of radius `mean_distance` would make at
    /// `mean_velocity`, in hertz.
    pub rotation_frequency_hz: Result<f64, NotAvailable>,
}

/// Measures displacement, keeping the room it works in.
#[derive(Default)]
pub(crate) struct DisplacementMeter {
    hull: HullFinder,
}

/// The smallest number of samples that make a path.
const NEEDED: usize = 2;

/// Sums over the samples of a path and over its steps.
#[derive(Default)]
struct Sums {
    scatter: Scatter,
    distance: f64,
    path: f64,
    path_ml: f64,
    path_ap: f64,
    swept: f64,
}

impl DisplacementMeter {
    /// Displacement of `points` at `rate_hz` about their mean `centre`, and their scatter about it.
    pub(crate) fn run(
        &mut self,
        points: &[Point],
        centre: Point,
        rate_hz: f64,
    ) -> (Result<Displacement, NotAvailable>, Scatter) {
        let Sums { scatter, distance, path, path_ml, path_ap, swept } = sums(points, centre);
        let n_samples = points.len();
        if n_samples < NEEDED {
            return (Err(NotAvailable::TooFewSamples { n_samples, needed: NEEDED }), scatter);
        }
        let hull = self.hull.run(points);
        let range = |axis: fn(&Point) -> f64| {
            let values = hull.iter().map(axis);
            values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
        };
        let n = n_samples as f64;
        let elapsed_s = (n - 1.0) / rate_hz;
        let mean_velocity = path / elapsed_s;
        let mean_distance = distance / n;
        let displacement = Displacement {
            path_length_mm: path,
            path_length_ml_mm: path_ml,
            path_length_ap_mm: path_ap,
            mean_velocity_mm_per_s: mean_velocity,
            mean_velocity_ml_mm_per_s: path_ml / elapsed_s,
            mean_velocity_ap_mm_per_s: path_ap / elapsed_s,
            mean_distance_mm: mean_distance,
            rms_distance_mm: ((scatter.ml_ml + scatter.ap_ap) / n).sqrt(),
            rms_ml_mm: (scatter.ml_ml / n).sqrt(),
            rms_ap_mm: (scatter.ap_ap / n).sqrt(),
            range_ml_mm: range(|point| point.re),
            range_ap_mm: range(|point| point.im),
            range_max_mm: hull::diameter(hull),
            hull_area_mm2: hull::area(hull),
            sway_area_rate_mm2_per_s: 0.5 * swept / elapsed_s,
            rotation_frequency_hz: if 0.0 < mean_distance {
                Ok(mean_velocity / (TAU * mean_distance))
            } else {
                Err(NotAvailable::NoMovement)
            },
        };
        (Ok(displacement), scatter)
    }
}

/// Samples that are summed side by side, so that one addition need not wait for the one before.
const STRANDS: usize = 4;

fn sums(points: &[Point], centre: Point) -> Sums {
    let Some(last) = points.last() else { return Sums::default() };
    let mut strands: [Sums; STRANDS] = Default::default();
    // A step of no length after the last sample makes as many steps as samples.
    let ends = points.iter().skip(1).chain(std::iter::once(last));
    let pairs = points.iter().zip(ends);
    for (i, (from, to)) in pairs.enumerate() {
        let sums = &mut strands[i % STRANDS];
        let d = from - centre;
        let step = to - from;
        sums.scatter.ml_ml += d.re * d.re;
        sums.scatter.ap_ap += d.im * d.im;
        sums.scatter.ml_ap += d.re * d.im;
        sums.distance += d.norm_sqr().sqrt();
        sums.path += step.norm_sqr().sqrt();
        sums.path_ml += step.re.abs();
        sums.path_ap += step.im.abs();
        sums.swept += (step.re * d.im - d.re * step.im).abs();
    }
    strands.into_iter().reduce(Sums::with).unwrap_or_default()
}

impl Sums {
    fn with(self, other: Self) -> Self {
        Self {
            scatter: Scatter {
                ml_ml: self.scatter.ml_ml + other.scatter.ml_ml,
                ap_ap: self.scatter.ap_ap + other.scatter.ap_ap,
                ml_ap: self.scatter.ml_ap + other.scatter.ml_ap,
            },
            distance: self.distance + other.distance,
            path: self.path + other.path,
            path_ml: self.path_ml + other.path_ml,
            path_ap: self.path_ap + other.path_ap,
            swept: self.swept + other.swept,
        }
    }
}
