//! Repeats of one condition as one value with its interval.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

use crate::compare::comparison::{Interval, IntervalBasis, Scale, mean, scale_of, values};
use crate::compare::repeatability::{TWO_SIDED_95, repeatability};
use crate::compare::same_conditions::{MeasuredTrial, NotComparable, check_comparable};
use crate::measure_table::MeasureDef;

/// One measure of repeats at one condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// The measure's name in files.
    pub measure_key: &'static str,
    /// How the trials were averaged.
    pub scale: Scale,
    /// Geometric mean on a ratio scale, mean on a difference scale, in the unit of the measure.
    pub mean: f64,
    /// Trials it is the mean of.
    pub n_trials: usize,
    /// 95 % interval of the mean, in the unit of the measure; `None` with too few trials and no
    /// table to help. A share stays within 0 and 1.
    ///
    /// Trials of one day say nothing of how days differ: between days the interval is wider.
    pub interval: Option<Interval>,
}

/// Summarises a measure over repeats at one condition.
///
/// With three trials or more the interval is Student's t of the trials themselves, on logarithms for
/// a ratio scale; with fewer it comes from how well the people of the open tables repeat
/// themselves, where the tables reach.
///
/// # Errors
/// [`NotComparable`] with the one reason why the trials must not be put into one value.
pub fn summarise(trials: &[&MeasuredTrial], measure_key: &str) -> Result<Summary, NotComparable> {
    let measure = MeasureDef::with_key(measure_key).ok_or_else(|| {
        NotComparable::UnknownMeasure { key: measure_key.chars().take(40).collect() }
    })?;
    check_comparable(trials, trials)?;
    let scale = scale_of(measure)?;
    let values = values(trials, measure, scale)?;
    let middle = mean(&values);
    let shown = |value: f64| match scale {
        Scale::Ratio => value.exp(),
        Scale::Difference => value.clamp(0.0, 1.0),
    };
    let half_width = match half_width_of_repeats(&values, middle) {
        Some(width) => Some((width, IntervalBasis::Repeats)),
        None => repeatability(measure.key, &trials[0].condition)
            .filter(|_| scale == Scale::Ratio)
            .map(|table| TWO_SIDED_95 * table.standard_error_log / (values.len() as f64).sqrt())
            .map(|width| (width, IntervalBasis::OpenTable)),
    };
    Ok(Summary {
        measure_key: measure.key,
        scale,
        mean: shown(middle),
        n_trials: trials.len(),
        interval: half_width.map(|(width, basis)| Interval {
            low: shown(middle - width),
            high: shown(middle + width),
            basis,
        }),
    })
}

/// Half the 95 % interval of a mean by Student's t. `None` below two degrees of freedom, where the
/// interval says nothing (t is 12.7 at one).
fn half_width_of_repeats(values: &[f64], mean: f64) -> Option<f64> {
    const LEAST_FREEDOM: usize = 2;
    let freedom = values.len().checked_sub(1).filter(|freedom| LEAST_FREEDOM <= *freedom)?;
    let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    let error = (squares / freedom as f64 / values.len() as f64).sqrt();
    let t = StudentsT::new(0.0, 1.0, freedom as f64).ok()?.inverse_cdf(0.975);
    Some(t * error)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::analyser::measure;
    use crate::cop::{Cop, Plane};
    use crate::sample_rate::SampleRate;
    use crate::settings::Settings;
    use crate::trace::Trace;
    use crate::trial::{Facing, Setup, TrialKind};

    /// 30 s on a circle of this radius, one turn in two seconds.
    fn trial(condition: &str, radius_mm: f64) -> MeasuredTrial {
        let circle = |i: i32| {
            let (sin, cos) = (TAU * f64::from(i) / 200.0).sin_cos();
            Cop::new(radius_mm * cos, radius_mm * sin)
        };
        let points = (0..3000).map(circle).collect();
        let trace = Trace::new(SampleRate::STANDARD, Plane::Plate, points).unwrap();
        MeasuredTrial {
            person: "P-01".parse().unwrap(),
            condition: condition.parse().unwrap(),
            kind: TrialKind::Measured,
            setup: Setup {
                board: "board-a".to_owned(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            measures: measure(&trace, &Settings::as_recorded(Some(1.7))),
        }
    }

    fn summary(condition: &str, radii_mm: &[f64], key: &str) -> Result<Summary, NotComparable> {
        let trials: Vec<_> = radii_mm.iter().map(|radius| trial(condition, *radius)).collect();
        summarise(&trials.iter().collect::<Vec<_>>(), key)
    }

    /// Logarithms 0.1 apart: spread 0.1, two degrees of freedom, t = 4.303 (any printed table).
    #[test]
    fn three_repeats_have_a_t_interval_about_their_geometric_mean() {
        let step = 0.1_f64.exp();
        let found =
            summary("foam/hip-width/open", &[10.0 / step, 10.0, 10.0 * step], "path_length");
        let found = found.unwrap();
        let middle = summary("foam/hip-width/open", &[10.0], "path_length").unwrap().mean;
        let half = 4.303 * 0.1 / 3.0_f64.sqrt();
        let interval = found.interval.unwrap();
        assert!((found.mean / middle - 1.0).abs() < 1e-9, "{found:?}");
        assert!((interval.low.ln() - (middle.ln() - half)).abs() < 1e-4, "{found:?}");
        assert!((interval.high.ln() - (middle.ln() + half)).abs() < 1e-4, "{found:?}");
        assert_eq!((interval.basis, found.n_trials), (IntervalBasis::Repeats, 3));
    }

    /// Published single-trial detectable change of mean velocity on foam, eyes open: x1.28, which is
    /// exp(1.96 sqrt(2) SEM); one trial's own interval is exp(1.96 SEM).
    #[test]
    fn a_single_trial_takes_its_interval_from_the_table_or_has_none() {
        let found = summary("foam/hip-width/open", &[10.0], "mean_velocity").unwrap();
        let interval = found.interval.unwrap();
        let factor = 1.28_f64.powf(1.0 / 2.0_f64.sqrt());
        assert!((interval.high / found.mean - factor).abs() < 1e-9, "{found:?}");
        assert_eq!(interval.basis, IntervalBasis::OpenTable);
        let towels = summary("towels/hip-width/open", &[10.0], "mean_velocity").unwrap();
        assert_eq!(towels.interval, None);
    }

    #[test]
    fn a_share_stays_a_share() {
        let found = summary("foam/hip-width/open", &[2.0, 2.0, 30.0], "share_under").unwrap();
        let interval = found.interval.unwrap();
        assert!((found.mean - 2.0 / 3.0).abs() < 1e-12, "{found:?}");
        assert_eq!(
            (interval.low.to_bits(), interval.high.to_bits()),
            (0.0_f64.to_bits(), 1.0_f64.to_bits())
        );
    }

    #[test]
    fn what_is_no_repeat_is_refused() {
        let two = [trial("foam/hip-width/open", 10.0), trial("firm/hip-width/open", 10.0)];
        let refused = summarise(&[&two[0], &two[1]], "mean_velocity");
        assert!(matches!(refused, Err(NotComparable::MixedConditions { .. })), "{refused:?}");
        assert_eq!(summarise(&[], "mean_velocity"), Err(NotComparable::NoTrials));
        assert!(summary("foam/hip-width/open", &[10.0], "wobble_windows").is_err());
    }
}
