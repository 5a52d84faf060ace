//! How far and how fast the centre of pressure moves.

use std::f64::consts::TAU;

use crate::ellipse::Scatter;
use crate::hull::{self, HullFinder};
use crate::not_available::NotAvailable;
use crate::point::{Point, STILL_MM};

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

/// Samples that are summed side by side: one addition need not wait for the one before, and the
/// compiler can do several in one instruction.
const STRANDS: usize = 4;

/// Sums over the samples of a path and over its steps, in several strands.
#[derive(Default)]
struct Sums {
    ml_ml: [f64; STRANDS],
    ap_ap: [f64; STRANDS],
    ml_ap: [f64; STRANDS],
    distance: [f64; STRANDS],
    path: [f64; STRANDS],
    path_ml: [f64; STRANDS],
    path_ap: [f64; STRANDS],
    swept: [f64; STRANDS],
}

impl Sums {
    /// Sums over `points`, distances being from `centre`.
    fn of(points: &[Point], centre: Point) -> Self {
        let mut sums = Self::default();
        let mut n_done = 0;
        for five in points.array_windows::<{ STRANDS + 1 }>().step_by(STRANDS) {
            sums.add(
                *five.first_chunk().expect("four of five"),
                *five.last_chunk().expect("four of five"),
                centre,
            );
            n_done += STRANDS;
        }
        // What is left is filled up with the mean, which adds nothing; nor does a step of no length.
        if let (rest @ [.., last], true) = (&points[n_done..], n_done < points.len()) {
            for pair in rest.iter().zip(rest.iter().skip(1).chain([last])) {
                let (mut from, mut to) = ([centre; STRANDS], [centre; STRANDS]);
                (from[0], to[0]) = (*pair.0, *pair.1);
                sums.add(from, to, centre);
            }
        }
        sums
    }

    /// Adds samples `from` and the steps from each to the one in its place in `to`.
    fn add(&mut self, from: [Point; STRANDS], to: [Point; STRANDS], centre: Point) {
        for i in 0..STRANDS {
            let (d, step) = (from[i] - centre, to[i] - from[i]);
            self.ml_ml[i] += d.re * d.re;
            self.ap_ap[i] += d.im * d.im;
            self.ml_ap[i] += d.re * d.im;
            self.distance[i] += d.norm_sqr().sqrt();
            self.path[i] += step.norm_sqr().sqrt();
            self.path_ml[i] += step.re.abs();
            self.path_ap[i] += step.im.abs();
            self.swept[i] += (step.re * d.im - d.re * step.im).abs();
        }
    }
}

fn total(strands: [f64; STRANDS]) -> f64 {
    strands.iter().sum()
}

impl DisplacementMeter {
    /// Displacement of `points` at `rate_hz` about their mean `centre`, and their scatter about it.
    pub(crate) fn run(
        &mut self,
        points: &[Point],
        centre: Point,
        rate_hz: f64,
    ) -> (Result<Displacement, NotAvailable>, Scatter) {
        let sums = Sums::of(points, centre);
        let scatter = Scatter {
            ml_ml: total(sums.ml_ml),
            ap_ap: total(sums.ap_ap),
            ml_ap: total(sums.ml_ap),
        };
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
        let (path, path_ml, path_ap) = (total(sums.path), total(sums.path_ml), total(sums.path_ap));
        let mean_velocity = path / elapsed_s;
        let mean_distance = total(sums.distance) / n;
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
            sway_area_rate_mm2_per_s: 0.5 * total(sums.swept) / elapsed_s,
            rotation_frequency_hz: if STILL_MM < mean_distance {
                Ok(mean_velocity / (TAU * mean_distance))
            } else {
                Err(NotAvailable::NoMovement)
            },
        };
        (Ok(displacement), scatter)
    }
}
