//! Everything the rules look at, gathered once for one moment.

use super::course::{Course, Moment, Sway};
use super::day::Day;
use super::evidence::{Evidence, Gather, JudgedSetup};
use super::next_condition::{self, Expectation};
use super::plan::{Place, StepPlan};
use super::posterior::{BoardSpread, Posterior};
use super::prior::ModelPriors;
use super::thresholds::Thresholds;
use crate::condition::Condition;

/// How many sessions "of late" are.
pub(crate) const RECENT: usize = 3;

/// The evidence and what follows from it, as of one moment.
pub(crate) struct Situation<'a> {
    pub(crate) course: &'a Course,
    pub(crate) limits: &'a Thresholds,
    pub(crate) place: Place,
    pub(crate) until: Moment,
    /// Reports later than this are not known yet: unlimited for the question of today, so that a
    /// clock that runs ahead never hides a warning.
    pub(crate) known_until_us: i64,
    pub(crate) evidence: Evidence,
    pub(crate) posterior: Option<Posterior>,
    pub(crate) level: Option<Level>,
}

/// What the belief says of the window.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Level {
    pub(crate) median_mm: f64,
    pub(crate) at_most_upper: f64,
    pub(crate) at_most_lower: f64,
}

impl Level {
    fn of(posterior: &Posterior, limits: &Thresholds) -> Self {
        Self {
            median_mm: posterior.quantile(0.5).exp(),
            at_most_upper: posterior.probability_at_most(limits.wobble_upper_mm.ln()),
            at_most_lower: posterior.probability_at_most(limits.wobble_lower_mm.ln()),
        }
    }
}

impl<'a> Situation<'a> {
    /// As of today.
    pub(crate) fn today(
        course: &'a Course,
        plan: &'a StepPlan,
        place: Place,
        until: Moment,
    ) -> Self {
        Self::at(course, &plan.thresholds, place, until, i64::MAX, JudgedSetup::MostDays)
    }

    /// As it was at the end of an earlier day at the condition, with the same setup judged.
    pub(crate) fn as_of(&self, day: i32) -> Self {
        let ends = self.course.sessions.iter().filter(|session| session.day == day);
        let end_us = ends.map(|session| session.ended_us).max().unwrap_or(self.until.at_us);
        let at_us = end_us.min(self.until.at_us);
        let until = Moment { day, at_us };
        let setup =
            self.evidence.measured.as_ref().map_or(JudgedSetup::MostDays, JudgedSetup::Exactly);
        Self::at(self.course, self.limits, self.place, until, at_us, setup)
    }

    fn at(
        course: &'a Course,
        limits: &'a Thresholds,
        place: Place,
        until: Moment,
        known_until_us: i64,
        setup: JudgedSetup<'_>,
    ) -> Self {
        let condition = place.current;
        let since_us = place.since_us;
        let ask =
            Gather { condition, until, since_us, setup, windowed: true, with_learning: false };
        let evidence = Evidence::gather(course, limits, ask);
        let posterior = posterior_of(&evidence, condition);
        let level = posterior.as_ref().map(|posterior| Level::of(posterior, limits));
        Self { course, limits, place, until, known_until_us, evidence, posterior, level }
    }

    /// The last sessions at the condition, at most three, scored or not.
    pub(crate) fn recent(&self) -> &[Day] {
        self.evidence.recent(RECENT)
    }

    pub(crate) fn n_scored_sessions(&self) -> usize {
        self.evidence.scored().count()
    }

    /// Whether there are enough scored sessions and trials to judge sway.
    pub(crate) fn has_enough(&self) -> bool {
        usize::from(self.limits.min_scored_sessions) <= self.n_scored_sessions()
            && usize::from(self.limits.min_scored_trials) <= self.evidence.n_trials()
    }

    pub(crate) fn expected_next(&self) -> Option<Expectation> {
        let current = (self.place.current, &self.evidence, self.posterior.as_ref());
        next_condition::expect(self.course, self.limits, self.until, current, self.place.harder?)
    }

    /// Scored days, in order.
    pub(crate) fn scored_days(&self) -> Vec<&Day> {
        self.evidence.scored().collect()
    }
}

/// The belief about the level of wobble at a condition, or `None` without a scored trial.
pub(crate) fn posterior_of(evidence: &Evidence, condition: Condition) -> Option<Posterior> {
    let length = evidence.measured.as_ref()?.length;
    let logs: Vec<Vec<f64>> = evidence.scored().map(Day::log_wobbles).collect();
    Posterior::of(&logs, ModelPriors::wobble(condition, length), board_spread(evidence))
}

/// The belief about the level of velocity.
pub(crate) fn velocity_posterior_of(
    evidence: &Evidence,
    condition: Condition,
) -> Option<Posterior> {
    let length = evidence.measured.as_ref()?.length;
    let logs: Vec<Vec<f64>> = evidence.scored().map(Day::log_velocities).collect();
    Posterior::of(&logs, ModelPriors::velocity(condition, length), board_spread(evidence))
}

/// The largest spread the board had over the scored trials: it changes only from one check of the
/// board to the next.
fn board_spread(evidence: &Evidence) -> BoardSpread {
    let largest = |of: fn(&Sway) -> f64| {
        let sways = evidence.days.iter().flat_map(|day| &day.trials);
        sways.map(|(_, sway)| of(sway)).fold(0.0, f64::max)
    };
    BoardSpread {
        noise_log_sd: largest(|sway| sway.board_noise_log_sd),
        calibration_log_sd: largest(|sway| sway.calibration_log_sd),
    }
}
