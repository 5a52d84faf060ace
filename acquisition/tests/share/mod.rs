//! A share of many tries with its exact interval.

use statrs::distribution::{Beta, ContinuousCDF as _};

/// Exact 95 % interval of a share.
///
/// # Source
/// Clopper and Pearson 1934, Biometrika 26:404, by quantiles of the beta distribution.
pub(crate) fn interval(successes: usize, of: usize) -> (f64, f64) {
    let (k, n) = (successes as f64, of as f64);
    let quantile = |a: f64, b: f64, p: f64| {
        Beta::new(a, b).expect("both parameters are above zero").inverse_cdf(p)
    };
    let low = if successes == 0 { 0.0 } else { quantile(k, n - k + 1.0, 0.025) };
    let high = if successes == of { 1.0 } else { quantile(k + 1.0, n - k, 0.975) };
    (low, high)
}
