//! The body centre, estimated from the centre of pressure.

mod in_blocks;
mod in_one_piece;

use std::f64::consts::TAU;

use crate::body_centre::in_blocks::InBlocks;
use crate::body_centre::in_one_piece::InOnePiece;
use crate::cop::Cop;
use crate::not_available::NotAvailable;
use crate::point::{Point, cop_from_point, mean};

/// Acceleration of free fall, in metres per second squared: the value of the measures' definition.
const GRAVITY_M_PER_S2: f64 = 9.81;

/// Length of the pendulum that sways like a person, as a share of body height. Pendulum theory
/// gives about 0.657; the measured horizontal force of 200 open recordings (Santos & Duarte 2016)
/// gave a median of 0.663.
const PENDULUM_SHARE_OF_HEIGHT: f64 = 0.66;

/// Body heights that are taken for a person's, in metres: our own choice.
const BODY_HEIGHTS_M: std::ops::RangeInclusive<f64> = 0.5..=2.6;

/// Sway of the estimated body centre, and of the centre of pressure about it.
///
/// The body centre is the point over which the body's mass stands. It is an estimate: the centre of
/// pressure through 1/(1 + (2 pi f)^2/w0^2), w0^2 = g/(0.66 body height), which holds for a body
/// that sways as one pendulum. Trust it least on one leg, in tandem and when the hips work.
///
/// # Source
/// Pendulum: Winter et al. 1998, J Neurophysiol 80:1211. Low-pass form: Caron et al. 1997, J Biomech
/// 30:1169.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodySway {
    /// Mean position of the body centre over the board; the filter keeps that of the centre of
    /// pressure.
    pub mean: Cop,
    /// Medio-lateral standard deviation of the body centre (divided by N), in millimetres.
    pub rms_ml_mm: f64,
    /// Antero-posterior standard deviation of the body centre (divided by N), in millimetres.
    pub rms_ap_mm: f64,
    /// Medio-lateral standard deviation of centre of pressure minus body centre, in millimetres.
    pub cop_rms_ml_mm: f64,
    /// Antero-posterior standard deviation of centre of pressure minus body centre, in millimetres.
    pub cop_rms_ap_mm: f64,
}

impl BodySway {
    /// Where the body stands now against where it stood in the reference of the same session at the
    /// same condition, band included, in millimetres. It shows where the weight is, not the shape
    /// of the spine.
    ///
    /// # Errors
    /// [`NotAvailable::NoReference`] without a reference.
    pub fn neutral_offset(&self, reference: Option<&Self>) -> Result<Cop, NotAvailable> {
        let reference = reference.ok_or(NotAvailable::NoReference)?;
        Ok(Cop::new(self.mean.ml_mm - reference.mean.ml_mm, self.mean.ap_mm - reference.mean.ap_mm))
    }
}

/// Length of the pendulum that sways like a person of this height, in metres.
pub(crate) fn pendulum_length_m(body_height_m: f64) -> f64 {
    PENDULUM_SHARE_OF_HEIGHT * body_height_m
}

/// The square of the pendulum's frequency, w0^2 = g / length, in 1/s^2.
pub(crate) fn pendulum_rate_per_s2(body_height_m: f64) -> Result<f64, NotAvailable> {
    if BODY_HEIGHTS_M.contains(&body_height_m) {
        Ok(GRAVITY_M_PER_S2 / pendulum_length_m(body_height_m))
    } else {
        Err(NotAvailable::BodyHeightOutOfRange {
            height_m: body_height_m,
            lowest_m: *BODY_HEIGHTS_M.start(),
            highest_m: *BODY_HEIGHTS_M.end(),
        })
    }
}

/// Turns a centre-of-pressure path into the body centre's, keeping plans and room to work in.
#[derive(Default)]
pub(crate) struct BodyCentreFilter {
    in_one_piece: InOnePiece,
    in_blocks: InBlocks,
    body: Vec<Point>,
}

impl BodyCentreFilter {
    /// The body centre under `cop` sampled at `rate_hz`; one point for each, none for none.
    ///
    /// The path is continued as its own mirror image, end samples repeated, and its spectrum on
    /// that doubled length is multiplied by the gain. A long record is worked on in blocks, which
    /// gives the same to 1e-9 of the path's own noise (see [`InBlocks`]).
    pub(crate) fn run(
        &mut self,
        cop: &[Point],
        rate_hz: f64,
        pendulum_rate_per_s2: f64,
    ) -> &[Point] {
        self.body.clear();
        if cop.is_empty() {
            return &self.body;
        }
        let gain = Gain { rate_hz, pendulum_rate_per_s2 };
        let centre = mean(cop);
        if gain.block_length() < cop.len() {
            self.in_blocks.run(cop, centre, gain, &mut self.body);
        } else {
            self.in_one_piece.run(cop, centre, gain, &mut self.body);
        }
        &self.body
    }
}

/// What the body centre keeps of the centre of pressure: 1/(1 + (2 pi f)^2/w0^2).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Gain {
    rate_hz: f64,
    pendulum_rate_per_s2: f64,
}

impl Gain {
    /// At bin `k` of a transform of `length` samples, `k` up to half of it.
    fn at(self, k: usize, length: usize) -> f64 {
        let w = TAU * (k as f64 * self.rate_hz / length as f64);
        1.0 / (1.0 + w * w / self.pendulum_rate_per_s2)
    }
}

/// Sway of a body centre and of the centre of pressure about it; `centre` is the mean of both.
pub(crate) fn body_sway(cop: &[Point], body: &[Point], centre: Point) -> BodySway {
    let (mut of_body, mut of_cop) = (Point::default(), Point::default());
    let square = |d: Point| Point::new(d.re * d.re, d.im * d.im);
    for (cop, body) in cop.iter().zip(body) {
        of_body += square(body - centre);
        of_cop += square(cop - body);
    }
    let rms = |sum: f64| (sum / cop.len() as f64).sqrt();
    BodySway {
        mean: cop_from_point(centre),
        rms_ml_mm: rms(of_body.re),
        rms_ap_mm: rms(of_body.im),
        cop_rms_ml_mm: rms(of_cop.re),
        cop_rms_ap_mm: rms(of_cop.im),
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::point::test_paths::scattered;

    /// The definition: the transform of the path and its mirror image, term by term.
    fn by_definition(cop: &[Point], rate_hz: f64, pendulum_rate_per_s2: f64) -> Vec<Point> {
        let n = cop.len();
        let centre = mean(cop);
        let doubled: Vec<Point> = cop.iter().chain(cop.iter().rev()).map(|p| p - centre).collect();
        let turn =
            |k: usize, i: usize| Point::cis(TAU * ((k * i) % (2 * n)) as f64 / (2 * n) as f64);
        let spectrum: Vec<Point> = (0..2 * n)
            .map(|k| {
                let f = k.min(2 * n - k) as f64 * rate_hz / (2 * n) as f64;
                let gain = 1.0 / (1.0 + (TAU * f).powi(2) / pendulum_rate_per_s2);
                (0..2 * n).map(|i| doubled[i] * turn(k, i).conj()).sum::<Point>() * gain
            })
            .collect();
        (0..n)
            .map(|i| {
                let sum: Point = (0..2 * n).map(|k| spectrum[k] * turn(k, i)).sum();
                sum / (2 * n) as f64 + centre
            })
            .collect()
    }

    #[test]
    fn one_transform_of_half_the_length_gives_the_definition() {
        let mut filter = BodyCentreFilter::default();
        for n in 0..80 {
            let cop = scattered(n as u64, n);
            // Two pendulums in turn, so that a table kept too long would show.
            for pendulum in [8.7, 14.0] {
                let got = filter.run(&cop, 100.0, pendulum);
                let wanted = by_definition(&cop, 100.0, pendulum);
                assert_eq!(got.len(), n);
                for (got, wanted) in got.iter().zip(&wanted) {
                    assert!((got - wanted).norm() < 1e-10, "{n}: {got} {wanted}");
                }
            }
        }
    }

    #[test]
    fn a_swing_that_fits_the_record_is_scaled_by_the_gain() {
        // 12 half turns in 600 samples at 100 Hz are 1 Hz.
        let place = |i: usize| (PI * (2 * i + 1) as f64 * 12.0 / 1200.0).cos();
        let cop: Vec<Point> =
            (0..600).map(|i| Point::new(50.0 + 10.0 * place(i), -4.0 * place(i))).collect();
        let pendulum = pendulum_rate_per_s2(1.7).unwrap();
        let gain = 1.0 / (1.0 + TAU * TAU / pendulum);
        let mut filter = BodyCentreFilter::default();
        let body = filter.run(&cop, 100.0, pendulum);
        let sway = body_sway(&cop, body, mean(&cop));
        let root = 2.0_f64.sqrt();
        assert!((sway.rms_ml_mm - 10.0 * gain / root).abs() < 1e-10);
        assert!((sway.rms_ap_mm - 4.0 * gain / root).abs() < 1e-10);
        assert!((sway.cop_rms_ml_mm - 10.0 * (1.0 - gain) / root).abs() < 1e-10);
        assert!((sway.mean.ml_mm - 50.0).abs() < 1e-10);
    }

    #[test]
    fn the_offset_is_against_a_reference_of_the_same_session() {
        let at = |ml_mm: f64, ap_mm: f64| BodySway {
            mean: Cop::new(ml_mm, ap_mm),
            rms_ml_mm: 1.0,
            rms_ap_mm: 1.0,
            cop_rms_ml_mm: 1.0,
            cop_rms_ap_mm: 1.0,
        };
        let now = at(12.0, -3.0);
        assert_eq!(now.neutral_offset(Some(&at(10.0, 5.0))), Ok(Cop::new(2.0, -8.0)));
        assert_eq!(now.neutral_offset(None), Err(NotAvailable::NoReference));
    }

    #[test]
    fn heights_of_nobody_are_refused() {
        for height_m in [0.0, -1.7, 0.49, 170.0, f64::NAN, f64::INFINITY] {
            assert!(pendulum_rate_per_s2(height_m).is_err(), "{height_m}");
        }
    }
}
