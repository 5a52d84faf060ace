//! How far and how fast the centre of pressure moves.

use std::f64::consts::TAU;

use crate::ellipse::Scatter;
use crate::hull;
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
    sorted: Vec<Point>,
    hull: Vec<Point>,
}

/// The smallest number of samples that make a path.
const NEEDED: usize = 2;

impl DisplacementMeter {
    /// Displacement of `points` at `rate_hz` about their mean `centre`, and their scatter about it.
    pub(crate) fn run(
        &mut self,
        points: &[Point],
        centre: Point,
        rate_hz: f64,
    ) -> (Result<Displacement, NotAvailable>, Scatter) {
        let mut scatter = Scatter::default();
        let mut distance = 0.0;
        for point in points {
            let d = point - centre;
            scatter.ml_ml += d.re * d.re;
            scatter.ap_ap += d.im * d.im;
            scatter.ml_ap += d.re * d.im;
            distance += d.norm_sqr().sqrt();
        }
        let n_samples = points.len();
        if n_samples < NEEDED {
            return (Err(NotAvailable::TooFewSamples { n_samples, needed: NEEDED }), scatter);
        }
        let (mut path, mut path_ml, mut path_ap, mut swept) = (0.0, 0.0, 0.0, 0.0);
        for pair in points.windows(2) {
            let step = pair[1] - pair[0];
            path += step.norm_sqr().sqrt();
            path_ml += step.re.abs();
            path_ap += step.im.abs();
            let from = pair[0] - centre;
            swept += (step.re * from.im - from.re * step.im).abs();
        }
        let (mut low, mut high) = (points[0], points[0]);
        for point in points {
            low = Point::new(low.re.min(point.re), low.im.min(point.im));
            high = Point::new(high.re.max(point.re), high.im.max(point.im));
        }
        self.sorted.clear();
        self.sorted.extend_from_slice(points);
        hull::convex_hull(&mut self.sorted, &mut self.hull);

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
            range_ml_mm: high.re - low.re,
            range_ap_mm: high.im - low.im,
            range_max_mm: hull::diameter(&self.hull),
            hull_area_mm2: hull::area(&self.hull),
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
