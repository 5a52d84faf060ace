//! The 95 % prediction ellipse.

use std::f64::consts::{PI, TAU};

use crate::cop::Cop;
use crate::not_available::{NotAvailable, Reading};
use crate::point::{Point, STILL_MM, cop_from_point};

/// An ellipse expected to hold the next sample with probability 95 %.
///
/// Not the ellipse of the mean, which shrinks as samples are added and says nothing of sway.
///
/// # Source
/// Schubert & Kirchner 2014, Gait & Posture 39:518: sample covariance (divided by N - 1), scaled by
/// k = 2 F(0.95; 2, N - 2) (N - 1)/(N - 2) (N + 1)/N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwayEllipse {
    /// Mean position of the centre of pressure.
    pub centre: Cop,
    /// Half the major axis, in millimetres.
    pub semi_major_mm: f64,
    /// Half the minor axis, in millimetres.
    pub semi_minor_mm: f64,
    /// Angle of the major axis from the direction to the right, in [0, 180) degrees; 0 where the
    /// ellipse is a circle.
    pub angle_deg: f64,
    /// Area, in square millimetres.
    pub area_mm2: f64,
}

impl SwayEllipse {
    /// Angle of the major axis in degrees, as [`angle_deg`](Self::angle_deg), where there is one.
    ///
    /// # Errors
    /// [`NotAvailable::NoDirection`] where both axes are equally long but for rounding.
    pub fn direction_deg(&self) -> Reading {
        if self.semi_minor_mm + STILL_MM < self.semi_major_mm {
            Ok(self.angle_deg)
        } else {
            Err(NotAvailable::NoDirection)
        }
    }

    /// The outline as `n_points` points, counter-clockwise from one end of the major axis, the
    /// first not repeated at the end.
    pub fn outline(&self, n_points: usize) -> Vec<Cop> {
        let (sin, cos) = self.angle_deg.to_radians().sin_cos();
        let point = |i: usize| {
            let (across, along) = (TAU * i as f64 / n_points as f64).sin_cos();
            let (major, minor) = (along * self.semi_major_mm, across * self.semi_minor_mm);
            Cop::new(
                self.centre.ml_mm + major * cos - minor * sin,
                self.centre.ap_mm + major * sin + minor * cos,
            )
        };
        (0..n_points).map(point).collect()
    }
}

/// Sums of squares and products about the mean.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Scatter {
    pub(crate) ml_ml: f64,
    pub(crate) ap_ap: f64,
    pub(crate) ml_ap: f64,
}

/// The ellipse of `n_samples` samples about `centre`.
pub(crate) fn sway_ellipse(
    centre: Point,
    scatter: Scatter,
    n_samples: usize,
) -> Result<SwayEllipse, NotAvailable> {
    const NEEDED: usize = 3;
    if n_samples < NEEDED {
        return Err(NotAvailable::TooFewSamples { n_samples, needed: NEEDED });
    }
    let n = n_samples as f64;
    let (ml, ap) = (scatter.ml_ml / (n - 1.0), scatter.ap_ap / (n - 1.0));
    let covariance = scatter.ml_ap / (n - 1.0);
    let half_sum = f64::midpoint(ml, ap);
    let half_gap = (0.5 * (ml - ap)).hypot(covariance);
    let major = half_sum + half_gap;
    // The product of the two eigenvalues is the determinant; dividing keeps the digits that
    // half_sum - half_gap would lose.
    let determinant = ml.mul_add(ap, -(covariance * covariance)).max(0.0);
    let minor = if 0.0 < major { determinant / major } else { 0.0 };
    let scale = prediction_scale(n);
    let mut angle_deg = (0.5 * (2.0 * covariance).atan2(ml - ap)).to_degrees();
    if angle_deg < 0.0 {
        angle_deg += 180.0;
        // A hair below 0 rounds to 180, which is 0.
        angle_deg = if angle_deg < 180.0 { angle_deg } else { 0.0 };
    }
    Ok(SwayEllipse {
        centre: cop_from_point(centre),
        semi_major_mm: (scale * major).sqrt(),
        semi_minor_mm: (scale * minor).sqrt(),
        angle_deg,
        area_mm2: PI * scale * determinant.sqrt(),
    })
}

/// The factor k from covariance to squared semi-axes.
fn prediction_scale(n: f64) -> f64 {
    2.0 * f_quantile_2(0.95, n - 2.0) * (n - 1.0) / (n - 2.0) * (n + 1.0) / n
}

/// Quantile of the F distribution with 2 and `m` degrees of freedom, which has a closed form:
/// m/2 ((1 - p)^(-2/m) - 1), from the distribution 1 - (1 + 2x/m)^(-m/2).
fn f_quantile_2(p: f64, m: f64) -> f64 {
    0.5 * m * (-2.0 / m * (1.0 - p).ln()).exp_m1()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables of the F distribution, 5 % in the upper tail, 2 and m degrees of freedom, as printed
    /// in the NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.3.
    #[test]
    fn the_quantile_agrees_with_the_printed_table() {
        for (m, wanted) in
            [(1.0, 199.500), (2.0, 19.000), (5.0, 5.786), (10.0, 4.103), (100.0, 3.087)]
        {
            let got = f_quantile_2(0.95, m);
            assert!((got - wanted).abs() < 6e-4, "{m}: {got}");
        }
    }

    #[test]
    fn a_cloud_along_one_axis_gives_that_axis() {
        // Four points (+-3, 0) and (0, +-1): scatter 18 and 2.
        let scatter = Scatter { ml_ml: 18.0, ap_ap: 2.0, ml_ap: 0.0 };
        let ellipse = sway_ellipse(Point::new(5.0, 7.0), scatter, 4).unwrap();
        // k = 2 * 19 * 3/2 * 5/4 = 71.25
        assert!((ellipse.semi_major_mm - (71.25_f64 * 6.0).sqrt()).abs() < 1e-9);
        assert!((ellipse.semi_minor_mm - (71.25_f64 * 2.0 / 3.0).sqrt()).abs() < 1e-9);
        assert!(ellipse.angle_deg.abs() < 1e-12);
        assert!((ellipse.area_mm2 - PI * 71.25 * 2.0).abs() < 1e-9);
        let turned = Scatter { ml_ml: 2.0, ap_ap: 18.0, ml_ap: 0.0 };
        let turned = sway_ellipse(Point::default(), turned, 4).unwrap();
        assert!((turned.angle_deg - 90.0).abs() < 1e-12);
    }

    #[test]
    fn the_outline_lies_on_the_ellipse() {
        let ellipse = SwayEllipse {
            centre: Cop::new(1.0, -2.0),
            semi_major_mm: 5.0,
            semi_minor_mm: 2.0,
            angle_deg: 90.0,
            area_mm2: PI * 10.0,
        };
        let outline = ellipse.outline(4);
        let wanted = [(1.0, 3.0), (-1.0, -2.0), (1.0, -7.0), (3.0, -2.0)];
        for (point, (ml_mm, ap_mm)) in outline.iter().zip(wanted) {
            assert!((point.ml_mm - ml_mm).hypot(point.ap_mm - ap_mm) < 1e-12, "{point:?}");
        }
        assert!(ellipse.outline(0).is_empty());
    }
}
