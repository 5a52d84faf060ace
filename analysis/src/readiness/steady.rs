//! Rule 4c: no worsening beyond what days differ by anyway.

use super::criterion::{Criterion, Finding, Settle, Threshold, Which};
use super::day::{Day, DayAnswer};
use super::posterior::Posterior;
use super::situation::{RECENT, Situation, velocity_posterior_of};
use super::thresholds::Origin;

/// How the last scored session compares with the one two before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Comparison {
    /// Wobble, later over earlier.
    pub(crate) ratio: f64,
    /// Ratio that days differ by anyway: the between-day minimal detectable change, 95 %.
    pub(crate) detectable_ratio: f64,
    /// Velocity, events or felt difficulty agree that it got worse.
    pub(crate) others_agree: bool,
    /// Pain at the start differs by the amount that matters: sway is not read as balance.
    pub(crate) pain_differs: bool,
}

impl Comparison {
    pub(crate) fn is_wider(&self) -> bool {
        self.detectable_ratio < self.ratio
    }
}

/// Compares the first and the last of the last three scored sessions; `None` with fewer.
pub(crate) fn compare(situation: &Situation<'_>) -> Option<Comparison> {
    let days = situation.scored_days();
    let [.., first, _, last] = days.as_slice() else { return None };
    debug_assert_eq!(RECENT, 3, "the pattern above takes the last three");
    let wobble = situation.posterior.as_ref()?;
    let (change, detectable) = change(wobble, &first.log_wobbles(), &last.log_wobbles());
    let pain_rise = situation.limits.pain_rise;
    let pain_differs = pain_change(first, last).is_some_and(|rise| pain_rise <= rise.abs());
    let others_agree = detectable < change && others_agree(situation, first, last);
    Some(Comparison {
        ratio: change.exp(),
        detectable_ratio: detectable.exp(),
        others_agree,
        pain_differs,
    })
}

/// Rise in pain at the start from the first day to the last, points; `None` if one is not known.
pub(crate) fn pain_change(first: &Day, last: &Day) -> Option<f64> {
    match (first.pain_at_start, last.pain_at_start) {
        (DayAnswer::Known(before), DayAnswer::Known(after)) => Some(after.rise_from(before)),
        _ => None,
    }
}

/// Change of the mean logarithm, and the change that is detectable between two days.
///
/// # Source
/// MDC95 = 1.96 sqrt(2) SEM; here the error of each session's mean is that of a new session about
/// the person's level, days and trials together.
fn change(level: &Posterior, before: &[f64], after: &[f64]) -> (f64, f64) {
    let mean = |logs: &[f64]| logs.iter().sum::<f64>() / logs.len() as f64;
    let variance =
        level.session_mean_variance(before.len()) + level.session_mean_variance(after.len());
    (mean(after) - mean(before), 1.96 * variance.sqrt())
}

fn others_agree(situation: &Situation<'_>, first: &Day, last: &Day) -> bool {
    let faster = velocity_posterior_of(&situation.evidence, situation.place.current)
        .map(|level| change(&level, &first.log_velocities(), &last.log_velocities()))
        .is_some_and(|(change, detectable)| detectable < change);
    let more_events = last.event == DayAnswer::Known(true) && first.event != DayAnswer::Known(true);
    let harder = match (first.difficulty, last.difficulty) {
        (DayAnswer::Known(before), DayAnswer::Known(after)) => {
            situation.limits.difficulty_rise <= after.rise_from(before)
        }
        _ => false,
    };
    faster || more_events || harder
}

pub(crate) fn criterion(situation: &Situation<'_>) -> Criterion {
    let days = situation.scored_days();
    let compared = days.iter().skip(days.len().saturating_sub(RECENT)).map(|day| day.day);
    let Some(comparison) = compare(situation) else {
        return Criterion::new(Which::Steady, Finding::NotKnown)
            .on_days(compared)
            .settled_by(Settle::SteadySession);
    };
    let worse = comparison.is_wider() && comparison.others_agree;
    let (finding, settle) = match (worse, comparison.pain_differs) {
        (false, _) => (Finding::Met, Settle::SteadySession),
        (true, false) => (Finding::NotMet, Settle::SteadySession),
        (true, true) => (Finding::NotJudged, Settle::SimilarPain),
    };
    // The limit rests on the belief about days, which is this project's own choice.
    let limit = Threshold { value: comparison.detectable_ratio, origin: Origin::OwnChoice };
    Criterion::new(Which::Steady, finding)
        .with_value(Some(comparison.ratio), limit)
        .on_days(compared)
        .settled_by(settle)
}
