//! Two sets of trials side by side.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

use crate::compare::repeatability::{Repeatability, TWO_SIDED_95, repeatability};
use crate::compare::same_conditions::{MeasuredTrial, NotComparable, check_comparable};
use crate::keyed::keyed_enum;
use crate::measure_table::{MeasureDef, Unit};

keyed_enum! {
    /// How a measure changes.
    pub enum Scale ("scale") {
        /// By a factor: spread grows with size, so that trials are summarised by their geometric
        /// mean and a change is a ratio.
        Ratio = "ratio",
        /// By an amount: shares, which may be 0. Trials are summarised by their mean.
        Difference = "difference",
    }
}

keyed_enum! {
    /// Where the width of an interval comes from.
    pub enum IntervalBasis ("basis of an interval") {
        /// The spread of the trials compared.
        Repeats = "repeats",
        /// How well the people of the open tables repeat themselves, for want of enough trials.
        OpenTable = "open-table",
    }
}

/// One side of a comparison.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Geometric mean on a ratio scale, mean on a difference scale, in the unit of the measure.
    pub mean: f64,
    /// Trials it is the mean of.
    pub n_trials: usize,
}

/// A 95 % interval of a change, on the scale of the change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Where its width comes from.
    pub basis: IntervalBasis,
}

/// The smallest change that repeats of one session seldom reach by themselves (5 %).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DetectableChange {
    /// As a ratio above 1; a fall is detectable from 1/ratio.
    pub ratio: f64,
    /// Whether the change is larger, upward or downward.
    pub exceeded: bool,
    /// People whose repeats it comes from.
    pub n_people: usize,
}

/// How a measure differs between two sets of trials.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// The measure's name in files.
    pub measure_key: &'static str,
    /// Whether `change` is a ratio or a difference.
    pub scale: Scale,
    /// The set that is compared with.
    pub before: Side,
    /// The set that is compared.
    pub after: Side,
    /// `after` over `before` or `after` minus `before`.
    pub change: f64,
    /// 95 % interval of the change; `None` with too few trials and no table to help.
    ///
    /// Trials of one session say nothing of how days differ, and neither does the table: between
    /// days the interval is wider.
    pub interval: Option<Interval>,
    /// What would be more than chance; `None` where no table reaches. A lower bound between days.
    pub detectable: Option<DetectableChange>,
}

/// Compares a measure between two sets of trials, each of repeats at one condition.
///
/// # Errors
/// [`NotComparable`] with the one reason why the values must not stand side by side.
pub fn compare(
    before: &[&MeasuredTrial],
    after: &[&MeasuredTrial],
    measure_key: &str,
) -> Result<Comparison, NotComparable> {
    let measure = MeasureDef::with_key(measure_key).ok_or_else(|| {
        NotComparable::UnknownMeasure { key: measure_key.chars().take(40).collect() }
    })?;
    check_comparable(before, after)?;
    let scale = scale_of(measure)?;
    let before_values = values(before, measure, scale)?;
    let after_values = values(after, measure, scale)?;
    let tables = [before[0], after[0]].map(|trial| repeatability(measure.key, &trial.condition));
    let (before_mean, after_mean) = (mean(&before_values), mean(&after_values));
    let difference = after_mean - before_mean;
    let half_width = match half_width_of_repeats(&before_values, &after_values) {
        Some(width) => Some((width, IntervalBasis::Repeats)),
        None => table_half_width(tables, before.len(), after.len())
            .filter(|_| scale == Scale::Ratio)
            .map(|width| (width, IntervalBasis::OpenTable)),
    };
    let shown = |value: f64| if scale == Scale::Ratio { value.exp() } else { value };
    Ok(Comparison {
        measure_key: measure.key,
        scale,
        before: Side { mean: shown(before_mean), n_trials: before.len() },
        after: Side { mean: shown(after_mean), n_trials: after.len() },
        change: shown(difference),
        interval: half_width.map(|(width, basis)| Interval {
            low: shown(difference - width),
            high: shown(difference + width),
            basis,
        }),
        detectable: table_half_width(tables, before.len(), after.len()).map(|width| {
            DetectableChange {
                ratio: width.exp(),
                exceeded: width < difference.abs(),
                n_people: tables.into_iter().flatten().map(|t| t.n_people).min().unwrap_or(0),
            }
        }),
    })
}

pub(super) fn scale_of(measure: &MeasureDef) -> Result<Scale, NotComparable> {
    match measure.unit {
        Unit::Share => Ok(Scale::Difference),
        // An angle has no zero and a count of windows follows from the length of the trial.
        Unit::Degrees | Unit::Count => Err(NotComparable::NotAMagnitude { key: measure.key }),
        Unit::Seconds
        | Unit::Millimetres
        | Unit::SquareMillimetres
        | Unit::MillimetresPerSecond
        | Unit::SquareMillimetresPerSecond
        | Unit::Hertz
        | Unit::One => Ok(Scale::Ratio),
    }
}

/// The values of one side, as logarithms on a ratio scale.
pub(super) fn values(
    trials: &[&MeasuredTrial],
    measure: &MeasureDef,
    scale: Scale,
) -> Result<Vec<f64>, NotComparable> {
    let value = |trial: &&MeasuredTrial| {
        let value = (measure.value)(&trial.measures)
            .map_err(|source| NotComparable::NoValue { key: measure.key, source })?;
        match scale {
            Scale::Difference => Ok(value),
            Scale::Ratio if 0.0 < value => Ok(value.ln()),
            Scale::Ratio => Err(NotComparable::NotPositive { key: measure.key }),
        }
    };
    trials.iter().map(value).collect()
}

pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Half the 95 % interval of a difference of means, by Student's t with the pooled spread of both
/// sides. `None` below two degrees of freedom, where the interval says nothing (t is 12.7 at one).
fn half_width_of_repeats(before: &[f64], after: &[f64]) -> Option<f64> {
    const LEAST_FREEDOM: usize = 2;
    let freedom = (before.len() + after.len()).checked_sub(2)?;
    if freedom < LEAST_FREEDOM {
        return None;
    }
    let squares = |values: &[f64]| {
        let mean = mean(values);
        values.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>()
    };
    let variance = (squares(before) + squares(after)) / freedom as f64;
    let spread = (variance * (1.0 / before.len() as f64 + 1.0 / after.len() as f64)).sqrt();
    let t = StudentsT::new(0.0, 1.0, freedom as f64).ok()?.inverse_cdf(0.975);
    Some(t * spread)
}

/// Half the 95 % interval of a difference of mean logarithms, from the open tables.
fn table_half_width(
    tables: [Option<Repeatability>; 2],
    n_before: usize,
    n_after: usize,
) -> Option<f64> {
    let [Some(before), Some(after)] = tables else { return None };
    let variance = before.standard_error_log.powi(2) / n_before as f64
        + after.standard_error_log.powi(2) / n_after as f64;
    Some(TWO_SIDED_95 * variance.sqrt())
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::analyser::measure;
    use crate::compare::quotient::{surface_quotient, vision_quotient};
    use crate::condition::{Condition, Stance, Surface, Vision};
    use crate::cop::{Cop, Plane};
    use crate::sample_rate::SampleRate;
    use crate::settings::Settings;
    use crate::trace::Trace;
    use crate::trial::{Facing, Setup, TrialKind};

    const OPEN: Condition = Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open);
    const CLOSED: Condition = Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Closed);
    const FIRM: Condition = Condition::unaided(Surface::Firm, Stance::HipWidth, Vision::Open);

    /// 30 s on a circle of this radius, one turn in two seconds.
    fn trial(condition: Condition, radius_mm: f64) -> MeasuredTrial {
        let circle = |i: i32| {
            let (sin, cos) = (TAU * f64::from(i) / 200.0).sin_cos();
            Cop::new(radius_mm * cos, radius_mm * sin)
        };
        let points = (0..3000).map(circle).collect();
        let trace = Trace::new(SampleRate::STANDARD, Plane::Plate, points).unwrap();
        MeasuredTrial {
            person: "P-01".parse().unwrap(),
            condition,
            kind: TrialKind::Measured,
            setup: Setup {
                board: "board-a".to_owned(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            measures: measure(&trace, &Settings::as_recorded(Some(1.7))),
        }
    }

    fn set(condition: Condition, radii_mm: &[f64]) -> Vec<MeasuredTrial> {
        radii_mm.iter().map(|&radius_mm| trial(condition, radius_mm)).collect()
    }

    fn refs(trials: &[MeasuredTrial]) -> Vec<&MeasuredTrial> {
        trials.iter().collect()
    }

    /// Three trials whose logarithms lie 0.1 apart.
    fn three(condition: Condition, middle_mm: f64) -> Vec<MeasuredTrial> {
        let step = 0.1_f64.exp();
        set(condition, &[middle_mm / step, middle_mm, middle_mm * step])
    }

    #[test]
    fn a_ratio_has_the_t_interval_of_its_repeats() {
        let (before, after) = (three(OPEN, 10.0), three(CLOSED, 20.0));
        let got = compare(&refs(&before), &refs(&after), "mean_velocity").unwrap();
        assert!((got.change - 2.0).abs() < 1e-12);
        assert_eq!((got.before.n_trials, got.after.n_trials), (3, 3));
        // Variance 0.01, four degrees of freedom: t = 2.776 (any printed table of Student's t).
        let half = 2.776 * (0.01_f64 * 2.0 / 3.0).sqrt();
        let interval = got.interval.unwrap();
        assert_eq!(interval.basis, IntervalBasis::Repeats);
        assert!((interval.low / (2.0 / half.exp()) - 1.0).abs() < 1e-4);
        assert!((interval.high / (2.0 * half.exp()) - 1.0).abs() < 1e-4);
        let detectable = got.detectable.unwrap();
        assert!(detectable.exceeded);
        assert!((detectable.ratio - 1.155).abs() < 0.01, "{}", detectable.ratio);
    }

    #[test]
    fn single_trials_lean_on_the_open_table() {
        let (before, after) = (set(OPEN, &[10.0]), set(OPEN, &[12.0]));
        let got = compare(&refs(&before), &refs(&after), "mean_velocity").unwrap();
        let interval = got.interval.unwrap();
        assert_eq!(interval.basis, IntervalBasis::OpenTable);
        assert!((interval.high / (1.2 * 1.28) - 1.0).abs() < 1e-9);
        let detectable = got.detectable.unwrap();
        assert!(!detectable.exceeded);
        assert!((detectable.ratio - 1.28).abs() < 1e-9);
        let unknown = compare(&refs(&before), &refs(&after), "range_max").unwrap();
        assert_eq!((unknown.interval, unknown.detectable), (None, None));
    }

    #[test]
    fn shares_are_compared_by_difference() {
        // Wobble of the body centre of these circles: 4 mm are under the window, 40 mm inside.
        let (before, after) = (set(OPEN, &[4.0]), set(OPEN, &[40.0]));
        let got = compare(&refs(&before), &refs(&after), "share_under").unwrap();
        assert_eq!(got.scale, Scale::Difference);
        assert!((got.change + 1.0).abs() < 1e-12);
        assert_eq!(got.interval, None);
    }

    #[test]
    fn quotients_ask_for_conditions_that_differ_in_one_thing() {
        let (open, closed, mut firm) =
            (set(OPEN, &[10.0]), set(CLOSED, &[13.0]), set(FIRM, &[5.0]));
        let quotient = vision_quotient(&refs(&open), &refs(&closed), "mean_velocity").unwrap();
        assert!((quotient.change - 1.3).abs() < 1e-12);
        let swapped = vision_quotient(&refs(&closed), &refs(&open), "mean_velocity");
        assert_eq!(
            swapped.unwrap_err().to_string(),
            "a vision quotient cannot be made of foam/hip-width/closed/none/none and \
             foam/hip-width/open/none/none"
        );
        firm[0].setup.sole_height_mm = Some(10.0);
        let plate = surface_quotient(&refs(&firm), &refs(&open), "mean_velocity");
        assert!(matches!(plate, Err(NotComparable::DifferentHeights { .. })));
        let at_the_sole = |mut trials: Vec<MeasuredTrial>| {
            for trial in &mut trials {
                trial.measures.plane = Plane::Sole;
            }
            trials
        };
        let (firm, open) = (at_the_sole(firm), at_the_sole(open));
        let sole = surface_quotient(&refs(&firm), &refs(&open), "mean_velocity").unwrap();
        assert!((sole.change - 2.0).abs() < 1e-12);
    }

    #[test]
    fn what_must_agree_is_checked() {
        let check = |change: fn(&mut MeasuredTrial), wanted: &str| {
            let before = trial(OPEN, 10.0);
            let mut after = trial(OPEN, 12.0);
            change(&mut after);
            let got = compare(&[&before], &[&after], "mean_velocity").unwrap_err().to_string();
            assert_eq!(got, wanted);
        };
        check(
            |t| t.kind = TrialKind::Guided,
            "a guided trial is never compared, only measured ones are",
        );
        check(|t| t.person = "P-02".parse().unwrap(), "the trials are of two people");
        check(
            |t| t.setup.board = "board-b".to_owned(),
            "the trials were made on two boards, \"board-a\" and \"board-b\"",
        );
        check(|t| t.measures.plane = Plane::Sole, "the values are of two planes");
        check(
            |t| t.setup.sole_height_mm = Some(90.0),
            "the soles stood 60 mm and 90 mm above the cells; compare at the sole instead",
        );
        check(
            |t| t.setup.sole_height_mm = None,
            "the height of the sole above the cells is not known for every trial",
        );
        check(
            |t| t.measures.settings = Settings::standard(Some(1.7)),
            "one value is as_recorded, the other standard",
        );
        check(
            |t| t.measures.settings.body_height_m = None,
            "the values were made with two body heights",
        );
        check(|t| t.measures.duration_s = 55.0, "the trials last 30.0 s and 55.0 s");
        let one = trial(OPEN, 10.0);
        assert_eq!(compare(&[], &[&one], "mean_velocity"), Err(NotComparable::NoTrials));
        let two = trial(CLOSED, 10.0);
        assert!(matches!(
            compare(&[&one, &two], &[&one], "mean_velocity"),
            Err(NotComparable::MixedConditions { .. })
        ));
        assert!(matches!(
            compare(&[&one], &[&one], "ellipse_angle_deg"),
            Err(NotComparable::NotAMagnitude { .. })
        ));
        let unknown = compare(&[&one], &[&one], "speed").unwrap_err();
        assert_eq!(unknown.to_string(), "\"speed\" is not a measure");
        let still = trial(OPEN, 0.0);
        assert!(matches!(
            compare(&[&one], &[&still], "mean_velocity"),
            Err(NotComparable::NotPositive { .. })
        ));
        assert!(matches!(
            compare(&[&one], &[&still], "rotation_frequency"),
            Err(NotComparable::NoValue { .. })
        ));
    }
}
