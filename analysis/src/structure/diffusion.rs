//! Stabilogram diffusion: how far the centre of pressure gets in a given time.

use crate::not_available::NotAvailable;
use crate::point::Point;
use crate::structure::fluctuation::slope;

/// Times of the short-term line, from the first lag, and of the long-term line, in seconds. Collins
/// & De Luca drew them by eye around a bend near 1 s; these fixed ones are our own choice.
const SHORT_TERM_S: f64 = 0.6;
const LONG_TERM_S: std::ops::RangeInclusive<f64> = 2.0..=10.0;

/// Two straight lines through the mean squared distance over time, of both axes together.
///
/// # Source
/// Collins & De Luca 1993, Exp Brain Res 95:308: the slopes are twice the diffusion coefficients.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diffusion {
    /// Slope of the mean squared distance up to 0.6 s, in square millimetres per second.
    pub short_slope_mm2_per_s: f64,
    /// Slope from 2 to 10 s, in square millimetres per second.
    pub long_slope_mm2_per_s: f64,
    /// Time at which the two lines cross.
    pub critical_time_s: Result<f64, NotAvailable>,
    /// Mean squared distance at which the two lines cross, in square millimetres.
    pub critical_distance_mm2: Result<f64, NotAvailable>,
}

/// Diffusion of a path at `rate_hz`, which must be longer than the longest lag.
pub(super) fn diffusion(points: &[Point], rate_hz: f64) -> Result<Diffusion, NotAvailable> {
    let lag_s = |lag: usize| lag as f64 / rate_hz;
    // Half a lag of grace, so that rounding does not take the last one away.
    let lags_up_to = |s: f64| (1..).take_while(move |&lag| lag_s(lag) <= s + 0.5 / rate_hz);
    let longest = lags_up_to(*LONG_TERM_S.end()).last().unwrap_or(1);
    if points.len() <= 2 * longest {
        return Err(NotAvailable::TooShort {
            duration_s: lag_s(points.len()),
            needed_s: lag_s(2 * longest),
        });
    }
    let at = |lag: usize| (lag_s(lag), mean_squared_distance(points, lag));
    let short: Vec<(f64, f64)> = lags_up_to(SHORT_TERM_S).map(at).collect();
    let first_long = lags_up_to(*LONG_TERM_S.start()).last().unwrap_or(1);
    let long: Vec<(f64, f64)> = (first_long..=longest).map(at).collect();
    let (short, long) = (Line::through(&short), Line::through(&long));
    let crossing_s = (long.level - short.level) / (short.slope - long.slope);
    let critical_time_s = if crossing_s.is_finite() && 0.0 < crossing_s {
        Ok(crossing_s)
    } else {
        Err(NotAvailable::NoCrossing)
    };
    Ok(Diffusion {
        short_slope_mm2_per_s: short.slope,
        long_slope_mm2_per_s: long.slope,
        critical_time_s,
        critical_distance_mm2: critical_time_s.map(|s| short.level + short.slope * s),
    })
}

fn mean_squared_distance(points: &[Point], lag: usize) -> f64 {
    let pairs = points.iter().zip(&points[lag..]);
    pairs.map(|(from, to)| (to - from).norm_sqr()).sum::<f64>() / (points.len() - lag) as f64
}

struct Line {
    level: f64,
    slope: f64,
}

impl Line {
    fn through(points: &[(f64, f64)]) -> Self {
        let n = points.len() as f64;
        let slope = slope(points);
        let mean_x = points.iter().map(|p| p.0).sum::<f64>() / n;
        let mean_y = points.iter().map(|p| p.1).sum::<f64>() / n;
        Self { level: mean_y - slope * mean_x, slope }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::test_paths::scattered;

    #[test]
    fn a_random_walk_spreads_at_one_rate() {
        // Steps uniform in +-30 and +-20 mm at 25 Hz: variance 300 + 133.3 a step.
        let mut place = Point::default();
        let walk: Vec<Point> = scattered(11, 100_000)
            .into_iter()
            .map(|step| {
                place += step;
                place
            })
            .collect();
        let got = diffusion(&walk, 25.0).unwrap();
        let wanted = 25.0 * (300.0 + 400.0 / 3.0);
        assert!((got.short_slope_mm2_per_s / wanted - 1.0).abs() < 0.02, "{got:?}");
        assert!((got.long_slope_mm2_per_s / wanted - 1.0).abs() < 0.1, "{got:?}");
    }

    #[test]
    fn a_straight_march_squares_its_time() {
        // 3 mm/s: (3 t)^2; the least-squares slope of 9 t^2 over evenly spaced t is 9 (first + last).
        let march: Vec<Point> = (0..2000).map(|i| Point::new(0.12 * f64::from(i), 0.0)).collect();
        let got = diffusion(&march, 25.0).unwrap();
        assert!((got.short_slope_mm2_per_s - 9.0 * 0.64).abs() < 1e-9, "{got:?}");
        assert!((got.long_slope_mm2_per_s - 9.0 * 12.0).abs() < 1e-9, "{got:?}");
    }

    #[test]
    fn too_short_and_still_paths_say_why() {
        assert!(matches!(
            diffusion(&[Point::default(); 500], 25.0),
            Err(NotAvailable::TooShort { .. })
        ));
        let still = diffusion(&[Point::default(); 600], 25.0).unwrap();
        assert_eq!(still.critical_time_s, Err(NotAvailable::NoCrossing));
    }
}
