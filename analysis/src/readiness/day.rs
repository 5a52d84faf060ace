//! All sessions of one day at a condition, as one.

use super::course::{Answers, Exercise, NeutralOffset, Rating, Session, Sway, TrialEvidence};
use super::thresholds::Thresholds;
use crate::condition::Condition;

/// An answer over the sessions of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum DayAnswer<T> {
    Known(T),
    Missing,
}

/// All sessions of one day at the condition, as one.
#[derive(Debug, Clone)]
#[expect(clippy::struct_field_names, reason = "a day's number is called day everywhere")]
pub(crate) struct Day {
    pub(crate) day: i32,
    pub(crate) sessions: Vec<String>,
    pub(crate) trials: Vec<(String, Sway)>,
    pub(crate) offsets: Vec<NeutralOffset>,
    pub(crate) difficulty: DayAnswer<Rating>,
    /// A step-off or an unplanned touch, in any trial; missing if nobody asked about touching.
    pub(crate) event: DayAnswer<bool>,
    pub(crate) pain_at_start: DayAnswer<Rating>,
    /// Pain rose by the amount that matters, from start to during, after or next morning.
    pub(crate) pain_rose: bool,
    /// Start, during and after, and the warning questions, all answered in each session.
    pub(crate) answered: bool,
    /// The next morning's pain is known.
    pub(crate) next_morning_known: bool,
}

impl Day {
    pub(crate) fn log_wobbles(&self) -> Vec<f64> {
        self.trials.iter().map(|(_, sway)| sway.wobble_median_mm.ln()).collect()
    }

    pub(crate) fn log_velocities(&self) -> Vec<f64> {
        self.trials.iter().map(|(_, sway)| sway.mean_velocity_mm_per_s.ln()).collect()
    }
}

/// The days of `sessions`, which stand in order of time, with their `scored` trials.
pub(crate) fn days(
    sessions: &[&Session],
    scored: &[(&Session, &TrialEvidence)],
    limits: &Thresholds,
    condition: Condition,
) -> Vec<Day> {
    sessions
        .chunk_by(|a, b| a.day == b.day)
        .map(|of_day| {
            let day = of_day[0].day;
            let trials = scored.iter().filter(|(session, _)| session.day == day);
            let exercises: Vec<&Exercise> = of_day
                .iter()
                .flat_map(|session| &session.exercises)
                .filter(|done| done.condition == condition)
                .collect();
            let answers = || of_day.iter().map(|session| &session.answers);
            Day {
                day,
                sessions: of_day.iter().map(|session| session.id.clone()).collect(),
                trials: trials
                    .clone()
                    .filter_map(|(_, trial)| Some((trial.id.clone(), trial.sway?)))
                    .collect(),
                offsets: trials.filter_map(|(_, trial)| trial.neutral_offset).collect(),
                difficulty: highest(exercises.iter().map(|done| done.difficulty)),
                event: event(&exercises),
                pain_at_start: highest(answers().map(|given| given.pain_at_start)),
                pain_rose: answers()
                    .any(|given| given.pain_rise().is_some_and(|rise| limits.pain_rise <= rise)),
                answered: answers().all(Answers::are_complete),
                next_morning_known: answers().any(|given| given.next_morning.is_some()),
            }
        })
        .collect()
}

/// The highest rating of the day; missing if any of them is.
fn highest(ratings: impl Iterator<Item = Option<Rating>>) -> DayAnswer<Rating> {
    let known: Option<Vec<Rating>> = ratings.collect();
    known.and_then(|ratings| ratings.into_iter().max()).map_or(DayAnswer::Missing, DayAnswer::Known)
}

fn event(exercises: &[&Exercise]) -> DayAnswer<bool> {
    let seen = exercises.iter().any(|done| {
        let trial_event =
            done.trials.iter().any(|trial| trial.stepped_off || trial.unplanned_support);
        trial_event || done.touched_something == Some(true)
    });
    let asked = exercises.iter().all(|done| done.touched_something.is_some());
    if seen || asked { DayAnswer::Known(seen) } else { DayAnswer::Missing }
}
