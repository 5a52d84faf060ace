//! A value beside its limit.

use super::test::BoardTest;

/// What a value must keep to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// This or less.
    AtMost(f64),
    /// This or more.
    AtLeast(f64),
    /// No farther than `tolerance` from `wanted`.
    Near {
        /// The value wanted.
        wanted: f64,
        /// How far it may be from that.
        tolerance: f64,
    },
}

/// One value of one test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finding {
    /// Which test.
    pub test: BoardTest,
    /// What was measured.
    pub quantity: &'static str,
    /// Its value, in `unit`; not a number if it could not be measured, which is outside any limit.
    pub value: f64,
    /// What it must keep to, in `unit`.
    pub limit: Limit,
    /// The unit.
    pub unit: &'static str,
}

impl Finding {
    /// Whether the value keeps to its limit.
    pub fn is_within(&self) -> bool {
        match self.limit {
            Limit::AtMost(limit) => self.value <= limit,
            Limit::AtLeast(limit) => limit <= self.value,
            Limit::Near { wanted, tolerance } => (self.value - wanted).abs() <= tolerance,
        }
    }

    pub(super) const fn at_most(
        test: BoardTest,
        quantity: &'static str,
        value: f64,
        limit: f64,
        unit: &'static str,
    ) -> Self {
        Self { test, quantity, value, limit: Limit::AtMost(limit), unit }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_that_could_not_be_measured_is_outside_every_limit() {
        let near = Limit::Near { wanted: 1.0, tolerance: 0.5 };
        for (limit, value, within) in [
            (Limit::AtMost(1.0), 1.0, true),
            (Limit::AtMost(1.0), 1.1, false),
            (Limit::AtMost(1.0), f64::NAN, false),
            (Limit::AtLeast(40.0), 40.0, true),
            (Limit::AtLeast(40.0), 39.0, false),
            (Limit::AtLeast(40.0), f64::NAN, false),
            (near, 0.5, true),
            (near, 1.6, false),
            (near, f64::NAN, false),
        ] {
            let finding = Finding { test: BoardTest::Noise, quantity: "", value, limit, unit: "N" };
            assert_eq!(finding.is_within(), within, "{limit:?} {value}");
        }
    }
}
