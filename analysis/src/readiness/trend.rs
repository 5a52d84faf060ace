//! How sway changed over a course at one condition.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

use super::course::{Course, Moment, WhereMeasured};
use super::day::Day;
use super::evidence::{Evidence, Gather, JudgedSetup};
use super::posterior::{BoardSpread, Posterior};
use super::prior::ModelPriors;
use super::steady;
use super::thresholds::Thresholds;
use crate::condition::Condition;

/// One day at the condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrendPoint {
    /// Local calendar day.
    pub day: i32,
    /// Geometric mean of the wobble medians, millimetres.
    pub wobble_mm: f64,
    /// Geometric mean of the mean velocities, millimetres per second.
    pub velocity_mm_per_s: f64,
    /// Trials behind them.
    pub n_trials: usize,
    /// The first session at the condition: shown, and in no trend.
    pub learning: bool,
}

/// How one measure changed, learning left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Ratio per week from a straight line through the logarithms of the days.
    pub ratio_per_week: f64,
    /// 95 % interval of that ratio, from the t-distribution of the days about the line.
    pub ratio_per_week_interval: (f64, f64),
    /// The latest sessions over the first, at most three each (geometric means).
    pub ratio: f64,
    /// The ratio beyond which a change is more than days differ by anyway: the minimal detectable
    /// change, 95 %, for means of as many sessions.
    pub detectable_ratio: f64,
    /// Whether `ratio` or its inverse exceeds `detectable_ratio`.
    pub real: bool,
}

/// Wobble and velocity over a course.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseTrend {
    /// The setup these trials share; others are not mixed in.
    pub measured: WhereMeasured,
    /// Every day, in order.
    pub points: Vec<TrendPoint>,
    /// Change of wobble; `None` with fewer than three scored days.
    pub wobble: Option<Change>,
    /// Change of velocity.
    pub velocity: Option<Change>,
    /// Pain at the start differs by the amount that matters between the first and the latest
    /// scored day: a change of sway is not read as a change of balance.
    pub pain_differs: bool,
}

/// The whole course at one condition, on the setup with the most days. `None` without a trial.
///
/// `now` ends the course; no window applies.
pub fn trend(
    course: &Course,
    condition: Condition,
    limits: &Thresholds,
    now: Moment,
) -> Option<CourseTrend> {
    let ask = Gather {
        condition,
        until: now,
        since_us: None,
        setup: JudgedSetup::MostDays,
        windowed: false,
        with_learning: true,
    };
    let all = Evidence::gather(course, limits, ask);
    let measured = all.measured.clone()?;
    let scored = Evidence::gather(
        course,
        limits,
        Gather { setup: JudgedSetup::Exactly(&measured), with_learning: false, ..ask },
    );
    let scored: Vec<&Day> = scored.scored().collect();
    let points: Vec<TrendPoint> = all
        .scored()
        .map(|day| TrendPoint {
            day: day.day,
            wobble_mm: mean(&day.log_wobbles()).exp(),
            velocity_mm_per_s: mean(&day.log_velocities()).exp(),
            n_trials: day.trials.len(),
            learning: scored.iter().all(|other| other.day != day.day),
        })
        .collect();
    let pain_differs = match (scored.first(), scored.last()) {
        (Some(first), Some(last)) => {
            steady::pain_change(first, last).is_some_and(|rise| limits.pain_rise <= rise.abs())
        }
        _ => false,
    };
    let of = |logs: fn(&Day) -> Vec<f64>, priors| {
        let days: Vec<(f64, Vec<f64>)> =
            scored.iter().map(|day| (f64::from(day.day), logs(day))).collect();
        change(&days, priors)
    };
    let length = measured.length;
    Some(CourseTrend {
        wobble: of(Day::log_wobbles, ModelPriors::wobble(condition, length)),
        velocity: of(Day::log_velocities, ModelPriors::velocity(condition, length)),
        measured,
        points,
        pain_differs,
    })
}

/// Change over days, each with the logarithms of its trials; `None` with fewer than three.
fn change(days: &[(f64, Vec<f64>)], priors: ModelPriors) -> Option<Change> {
    let n = days.len();
    if n < 3 {
        return None;
    }
    let means: Vec<f64> = days.iter().map(|(_, logs)| mean(logs)).collect();
    let centre = days.iter().map(|(day, _)| day).sum::<f64>() / n as f64;
    let middle = mean(&means);
    let along: f64 = days.iter().map(|(day, _)| (day - centre).powi(2)).sum();
    let both = days.iter().zip(&means).map(|((day, _), mean)| (day - centre) * (mean - middle));
    let slope = both.sum::<f64>() / along;
    let line = |day: f64| middle + slope * (day - centre);
    let scatter: f64 =
        days.iter().zip(&means).map(|((day, _), mean)| (mean - line(*day)).powi(2)).sum();
    let freedom = n as f64 - 2.0;
    let error = (scatter / freedom / along).sqrt();
    let reach = StudentsT::new(0.0, 1.0, freedom).ok()?.inverse_cdf(0.975) * error;
    let per_week = |slope: f64| (7.0 * slope).exp();

    // What days differ by is read about the line: a trend is not spread.
    let about_line: Vec<Vec<f64>> =
        days.iter().map(|(day, logs)| logs.iter().map(|log| log - line(*day)).collect()).collect();
    let spread = Posterior::of(&about_line, priors, BoardSpread::default())?;
    let k = (n / 2).min(3);
    let variance_of = |of: &[(f64, Vec<f64>)]| {
        let each = of.iter().map(|(_, logs)| spread.session_mean_variance(logs.len()));
        each.sum::<f64>() / (k * k) as f64
    };
    let ratio = (mean(&means[n - k..]) - mean(&means[..k])).exp();
    let variance = variance_of(&days[..k]) + variance_of(&days[n - k..]);
    let detectable_ratio = (1.96 * variance.sqrt()).exp();
    Some(Change {
        ratio_per_week: per_week(slope),
        ratio_per_week_interval: (per_week(slope - reach), per_week(slope + reach)),
        ratio,
        detectable_ratio,
        real: detectable_ratio < ratio.max(1.0 / ratio),
    })
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}
