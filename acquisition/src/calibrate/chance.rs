//! How much disagreement is still chance.

use statrs::distribution::{ChiSquared, ContinuousCDF as _};

/// The chi-square that is exceeded with probability `chance` if nothing is wrong.
///
/// `degrees_of_freedom` is at least one, or the answer is not a number.
pub(crate) fn chi_square_limit(degrees_of_freedom: usize, chance: f64) -> f64 {
    ChiSquared::new(degrees_of_freedom as f64)
        .map_or(f64::NAN, |distribution| distribution.inverse_cdf(1.0 - chance))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles of any statistics text: 26.296 and 34.267 for 16, 55.476 for 27 (0.1 %).
    #[test]
    fn limits_are_those_of_the_tables() {
        for (degrees_of_freedom, chance, wanted) in
            [(16, 0.05, 26.296), (16, 0.005, 34.267), (27, 0.001, 55.476)]
        {
            let got = chi_square_limit(degrees_of_freedom, chance);
            assert!((got - wanted).abs() < 1e-3, "{degrees_of_freedom} {chance}: {got}");
        }
    }
}
