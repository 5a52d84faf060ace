//! How well people repeat themselves, from open tables.

use crate::condition::{Condition, Stance, Support, Surface, Vision};
use crate::measure_table::WOBBLE;

/// How far one person's repeats of one session lie apart.
///
/// A lower bound for what separates two days: nobody in these tables came back on another day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeatability {
    /// Standard error of measurement of one trial, on the natural logarithm.
    pub standard_error_log: f64,
    /// People whose repeats it comes from.
    pub n_people: usize,
}

impl Repeatability {
    /// The smallest ratio of two means that repeats alone seldom reach (5 %), each mean being of so
    /// many trials: exp(1.96 SEM sqrt(1/before + 1/after)). `None` where a side has no trials.
    pub fn detectable_ratio(&self, n_before: usize, n_after: usize) -> Option<f64> {
        if n_before == 0 || n_after == 0 {
            return None;
        }
        let spread = (1.0 / n_before as f64 + 1.0 / n_after as f64).sqrt();
        Some((TWO_SIDED_95 * self.standard_error_log * spread).exp())
    }
}

/// 97.5th percentile of the normal distribution.
pub(crate) const TWO_SIDED_95: f64 = 1.96;

/// Single-trial minimal detectable changes as ratios, firm open, firm closed, foam open, foam
/// closed: Santos & Duarte 2016, `PeerJ` 4:e2648, published table of 163 people with 3 repeats of
/// 60 s, two-way consistency error on the logarithm.
const DETECTABLE_RATIOS: [(&str, [f64; 4]); 3] = [
    ("mean_velocity", [1.46, 1.46, 1.28, 1.29]),
    ("ellipse_area", [2.57, 2.75, 1.80, 1.67]),
    ("mean_frequency_full_band", [1.88, 1.86, 1.46, 1.38]),
];
const N_PEOPLE: usize = 163;

/// Standard errors of one 60 s trial's median wobble on the logarithm, firm and foam, eyes open and
/// closed together: recordings of 17 people of the same set.
const WOBBLE_STANDARD_ERRORS: [f64; 2] = [0.18, 0.11];
const N_PEOPLE_WOBBLE: usize = 17;

/// How well the people of the open tables repeat a measure at a condition.
///
/// `None` where the tables do not reach: only standing unaided on both feet side by side, at their
/// natural width or near it, on a firm plate or on foam; only the measures of the tables.
pub fn repeatability(measure_key: &str, condition: &Condition) -> Option<Repeatability> {
    let surface = match condition.surface {
        Surface::Firm => 0,
        Surface::Foam => 1,
        Surface::Towels | Surface::Cushions => return None,
    };
    let natural = matches!(condition.stance, Stance::Wide | Stance::HipWidth);
    if !natural || condition.support != Support::None {
        return None;
    }
    if measure_key == WOBBLE {
        return Some(Repeatability {
            standard_error_log: WOBBLE_STANDARD_ERRORS[surface],
            n_people: N_PEOPLE_WOBBLE,
        });
    }
    let vision = match condition.vision {
        Vision::Open => 0,
        Vision::Closed => 1,
    };
    let (_, ratios) = DETECTABLE_RATIOS.iter().find(|(key, _)| *key == measure_key)?;
    Some(Repeatability {
        standard_error_log: ratios[2 * surface + vision].ln() / (TWO_SIDED_95 * 2.0_f64.sqrt()),
        n_people: N_PEOPLE,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Means of three trials on foam, eyes open and closed, from the same published table.
    #[test]
    fn means_of_three_trials_detect_what_the_table_says() {
        for (key, vision, wanted) in [
            ("mean_velocity", Vision::Open, 1.15),
            ("mean_velocity", Vision::Closed, 1.16),
            ("ellipse_area", Vision::Open, 1.41),
            ("ellipse_area", Vision::Closed, 1.35),
        ] {
            let condition = Condition::unaided(Surface::Foam, Stance::HipWidth, vision);
            let got = repeatability(key, &condition).unwrap().detectable_ratio(3, 3).unwrap();
            // Both are printed with two decimals: 0.005 of the result and 0.0023 through the input.
            assert!((got - wanted).abs() < 0.0073, "{key} {vision}: {got}");
        }
    }

    #[test]
    fn where_the_tables_do_not_reach_there_is_none() {
        let one_leg = Condition::unaided(Surface::Foam, Stance::OneLegLeft, Vision::Open);
        assert_eq!(repeatability("mean_velocity", &one_leg), None);
        let towels = Condition::unaided(Surface::Towels, Stance::Wide, Vision::Open);
        assert_eq!(repeatability("mean_velocity", &towels), None);
        let foam = Condition::unaided(Surface::Foam, Stance::Wide, Vision::Open);
        assert_eq!(repeatability("range_max", &foam), None);
        assert_eq!(repeatability("mean_velocity", &foam).unwrap().detectable_ratio(0, 3), None);
    }
}
