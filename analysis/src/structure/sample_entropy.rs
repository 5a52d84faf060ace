//! Sample entropy of a series.

use crate::not_available::{NotAvailable, Reading};

/// Length of the patterns compared.
const PATTERN: usize = 2;
/// Patterns match when no value differs by more than this share of the standard deviation.
const TOLERANCE_SHARE: f64 = 0.2;

/// Sample entropy: minus the logarithm of the chance that patterns of two samples that match go on
/// matching for a third. 0 for a series that repeats itself, larger the less it does.
///
/// Patterns start at the first N - 2 samples; a pattern is not compared with itself; values match
/// within 0.2 of the standard deviation (divided by N), ends included (largest difference).
///
/// # Source
/// Richman & Moorman 2000, Am J Physiol Heart Circ Physiol 278:H2039.
pub(super) fn sample_entropy(series: &[f64]) -> Reading {
    let (n_two, n_three) = matches(series, tolerance(series)?);
    if n_three == 0 {
        return Err(NotAvailable::NoRepeats);
    }
    Ok((n_two as f64 / n_three as f64).ln())
}

fn tolerance(series: &[f64]) -> Reading {
    const NEEDED: usize = PATTERN + 2;
    let n_samples = series.len();
    if n_samples < NEEDED {
        return Err(NotAvailable::TooFewSamples { n_samples, needed: NEEDED });
    }
    let n = n_samples as f64;
    let mean = series.iter().sum::<f64>() / n;
    let deviation = (series.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / n).sqrt();
    if deviation <= crate::point::STILL_MM {
        Err(NotAvailable::NoMovement)
    } else {
        Ok(TOLERANCE_SHARE * deviation)
    }
}

/// Pairs of patterns of two samples that match, and those that still match with a third.
///
/// In order of their first value only neighbours can match, which leaves a tenth of all pairs.
fn matches(series: &[f64], tolerance: f64) -> (u64, u64) {
    let mut order: Vec<usize> = (0..series.len() - PATTERN).collect();
    order.sort_unstable_by(|&a, &b| series[a].total_cmp(&series[b]));
    let (mut n_two, mut n_three) = (0, 0);
    for (place, &i) in order.iter().enumerate() {
        for &j in &order[place + 1..] {
            if tolerance < series[j] - series[i] {
                break;
            }
            let near = |k: usize| (series[j + k] - series[i + k]).abs() <= tolerance;
            if near(1) {
                n_two += 1;
                n_three += u64::from(near(2));
            }
        }
    }
    (n_two, n_three)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::test_paths::noise;

    fn matches_of_all_pairs(series: &[f64], tolerance: f64) -> (u64, u64) {
        let (mut n_two, mut n_three) = (0, 0);
        for i in 0..series.len() - 2 {
            for j in i + 1..series.len() - 2 {
                let near = |k: usize| (series[i + k] - series[j + k]).abs() <= tolerance;
                n_two += u64::from(near(0) && near(1));
                n_three += u64::from(near(0) && near(1) && near(2));
            }
        }
        (n_two, n_three)
    }

    #[test]
    fn the_sorted_search_finds_the_pairs_of_the_definition() {
        for n in 4..200 {
            let series: Vec<f64> = noise(n as u64).take(n).collect();
            for tolerance in [0.0, 0.1, 0.5, 3.0] {
                assert_eq!(matches(&series, tolerance), matches_of_all_pairs(&series, tolerance));
            }
        }
    }

    #[test]
    fn a_series_worked_by_hand() {
        // 0 0 1 0 0 1 0 0: patterns of two start at 0 to 5: 00 01 10 00 01 10, three equal pairs,
        // each followed by the same value.
        let series = [0.0, 0.0, 1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
        assert_eq!(matches(&series, 0.1), (3, 3));
        assert!(sample_entropy(&series).unwrap().abs() < 1e-15);
    }

    #[test]
    fn what_has_no_entropy_says_why() {
        assert!(matches!(sample_entropy(&[1.0; 3]), Err(NotAvailable::TooFewSamples { .. })));
        assert_eq!(sample_entropy(&[1.0; 50]), Err(NotAvailable::NoMovement));
        assert_eq!(sample_entropy(&[0.0, 9.0, 1.0, 7.0, 3.0]), Err(NotAvailable::NoRepeats));
    }
}
