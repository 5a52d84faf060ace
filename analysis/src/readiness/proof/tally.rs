//! A counted rate and its Monte-Carlo error.

use statrs::distribution::{Beta, ContinuousCDF as _};

/// So many of so many independent courses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Courses in which it happened.
    pub hits: u64,
    /// Courses in all.
    pub of: u64,
}

impl Tally {
    /// Share of courses, 0 to 1; NaN without courses.
    pub fn rate(self) -> f64 {
        self.hits as f64 / self.of as f64
    }

    /// The exact 95 % interval of the rate.
    ///
    /// # Source
    /// Clopper & Pearson 1934, Biometrika 26:404, by quantiles of the beta distribution.
    pub fn interval(self) -> (f64, f64) {
        let (hits, misses) = (self.hits as f64, (self.of - self.hits) as f64);
        let quantile = |a: f64, b: f64, p: f64| Beta::new(a, b).map(|beta| beta.inverse_cdf(p));
        let lower = quantile(hits, misses + 1.0, 0.025).unwrap_or(0.0);
        let upper = quantile(hits + 1.0, misses, 0.975).unwrap_or(1.0);
        (lower, upper)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1: `scipy.stats.binomtest(k, n).proportion_ci(0.95, "exact")`.
    #[test]
    fn the_interval_is_the_exact_one() {
        for (hits, of, lower, upper) in INTERVALS {
            let found = Tally { hits, of }.interval();
            assert!((found.0 - lower).abs() < 1e-6, "{hits}/{of}: {found:?}");
            assert!((found.1 - upper).abs() < 1e-6, "{hits}/{of}: {found:?}");
        }
    }

    const INTERVALS: [(u64, u64, f64, f64); 4] = [
        (0, 20, 0.000_000_000, 0.168_433_471),
        (1, 20, 0.001_265_089, 0.248_732_763),
        (33, 1000, 0.022_822_383, 0.046_033_982),
        (500, 500, 0.992_649_390, 1.000_000_000),
    ];
}
