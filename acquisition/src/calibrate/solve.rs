//! Weighted linear least squares with prior knowledge as rows.

use nalgebra::{DMatrix, DVector};

/// Rows of the form: coefficients times unknowns = wanted, each divided by its standard deviation.
pub(super) struct Rows {
    n_unknowns: usize,
    coefficients: Vec<f64>,
    wanted: Vec<f64>,
}

/// The least-squares solution of some rows.
pub(super) struct Solution {
    /// The unknowns.
    pub(super) unknowns: DVector<f64>,
    /// Their covariance, given that the standard deviations of the rows are true.
    pub(super) covariance: DMatrix<f64>,
    /// Wanted minus found of each row, in its standard deviations, in the order they were added.
    pub(super) residuals: DVector<f64>,
    /// Share of each row's own standard deviation left in its residual, 0 to 1: the square root of
    /// one minus the leverage.
    pub(super) residual_sd: DVector<f64>,
}

impl Rows {
    pub(super) fn new(n_unknowns: usize) -> Self {
        Self { n_unknowns, coefficients: Vec::new(), wanted: Vec::new() }
    }

    /// Adds one row from pairs of unknown and coefficient.
    pub(super) fn add(&mut self, pairs: &[(usize, f64)], wanted: f64, standard_deviation: f64) {
        let start = self.coefficients.len();
        self.coefficients.resize(start + self.n_unknowns, 0.0);
        for &(unknown, coefficient) in pairs {
            self.coefficients[start + unknown] += coefficient / standard_deviation;
        }
        self.wanted.push(wanted / standard_deviation);
    }

    /// Solves the rows; `None` if they leave an unknown undetermined or hold a number that is none.
    pub(super) fn solve(&self) -> Option<Solution> {
        let n_rows = self.wanted.len();
        let a = DMatrix::from_row_slice(n_rows, self.n_unknowns, &self.coefficients);
        let b = DVector::from_column_slice(&self.wanted);
        if a.iter().chain(b.iter()).any(|value| !value.is_finite()) || n_rows < self.n_unknowns {
            return None;
        }
        let qr = a.clone().qr();
        let r = qr.r();
        let unknowns = r.solve_upper_triangular(&(qr.q().transpose() * &b))?;
        let inverse_r = r.solve_upper_triangular(&DMatrix::identity(r.nrows(), r.ncols()))?;
        if inverse_r.iter().any(|value| !value.is_finite()) {
            return None;
        }
        let residuals = &b - &a * &unknowns;
        let residual_sd = DVector::from_iterator(
            n_rows,
            qr.q().row_iter().map(|row| (1.0 - row.norm_squared()).max(0.0).sqrt()),
        );
        let covariance = &inverse_r * inverse_r.transpose();
        Some(Solution { unknowns, covariance, residuals, residual_sd })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weighted_mean_is_the_textbook_one() {
        // 10 known to 1 and 13 known to 2: mean (10 + 13 / 4) / (1 + 1 / 4), variance 1 / 1.25.
        // Source: the inverse-variance weighted mean of any statistics text.
        let mut rows = Rows::new(1);
        rows.add(&[(0, 1.0)], 10.0, 1.0);
        rows.add(&[(0, 1.0)], 13.0, 2.0);
        let solution = rows.solve().unwrap();
        assert!((solution.unknowns[0] - 10.6).abs() < 1e-12);
        assert!((solution.covariance[(0, 0)] - 0.8).abs() < 1e-12);
        // Residual 0.6 to each side of 3, with variances 1 - 0.8 and 4 - 0.8.
        assert!((solution.residuals[0] + 0.6).abs() < 1e-12);
        assert!((solution.residual_sd[0] - 0.2_f64.sqrt()).abs() < 1e-12);
        assert!((solution.residual_sd[1] - (3.2_f64 / 4.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn an_unknown_that_no_row_speaks_of_has_no_solution() {
        let mut rows = Rows::new(2);
        rows.add(&[(0, 1.0)], 1.0, 1.0);
        rows.add(&[(0, 1.0)], 2.0, 1.0);
        assert!(rows.solve().is_none());
    }
}
