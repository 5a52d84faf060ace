//! Which trials count: the window, the days, one setup, and what is left out with its reason.

use std::collections::BTreeSet;

use super::course::{Course, Moment, Session, Sway, TrialEvidence, WhereMeasured};
use super::day::{Day, days};
use super::thresholds::Thresholds;
use crate::condition::Condition;
use crate::trial::TrialKind;

/// Why a session or a trial at the condition is not scored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WhyLeftOut {
    /// An id that was seen before: the same session or trial imported twice.
    SameIdTwice,
    /// Older than the window of evidence.
    BeforeWindow,
    /// Older than the last decision that changed the condition.
    BeforeDecision,
    /// Dated after the day of the question.
    AfterToday,
    /// The first session at a condition is learning.
    Learning,
    /// Guided: feedback changes the sway it shows.
    Guided,
    /// Practice.
    Practice,
    /// The person stepped off.
    SteppedOff,
    /// Support was used that the condition does not plan.
    UnplannedSupport,
    /// The recording was rejected for measures.
    NoMeasures,
    /// A measure is not a number in its range.
    NotANumber,
    /// Too few wobble windows.
    FewWindows,
    /// Another length, board, pad or plane than the trials judged.
    OtherSetup,
}

/// A session (`trial` is `None`) or a trial that was left out.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct LeftOut {
    /// Id of the session.
    pub session: String,
    /// Id of the trial, or `None` for the session as a whole.
    pub trial: Option<String>,
    /// The reason.
    pub why: WhyLeftOut,
}

/// What was scored.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Used {
    /// Days with scored trials, in order.
    pub days: Vec<i32>,
    /// Ids of the sessions of those days.
    pub sessions: Vec<String>,
    /// Ids of the scored trials.
    pub trials: Vec<String>,
}

/// The evidence at one condition.
#[derive(Debug, Clone)]
pub(crate) struct Evidence {
    /// Days at the condition, in order; learning days and days without scored trials too.
    pub(crate) days: Vec<Day>,
    /// The setup judged.
    pub(crate) measured: Option<WhereMeasured>,
    pub(crate) left_out: Vec<LeftOut>,
}

/// What to gather.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gather<'a> {
    pub(crate) condition: Condition,
    /// Last day that counts.
    pub(crate) until: Moment,
    /// Sessions must end after this; `None` for no such limit.
    pub(crate) since_us: Option<i64>,
    /// Which setup to judge.
    pub(crate) setup: JudgedSetup<'a>,
    /// Whether the window of days applies.
    pub(crate) windowed: bool,
    /// Whether the first session counts too.
    pub(crate) with_learning: bool,
}

/// Which of several setups is judged.
#[derive(Debug, Clone, Copy)]
pub(crate) enum JudgedSetup<'a> {
    /// The one with scored trials on the most days; of equals, the latest.
    MostDays,
    /// This one.
    Exactly(&'a WhereMeasured),
    /// The one with the most days of those with the same board and length.
    SameBoardAndLength(&'a WhereMeasured),
}

impl Evidence {
    pub(crate) fn gather(course: &Course, limits: &Thresholds, ask: Gather<'_>) -> Self {
        let mut left_out = Vec::new();
        let sessions = once_each(course, ask.condition, &mut left_out);
        let learning_day = sessions.first().map(|session| session.day);
        let sessions: Vec<&Session> = sessions
            .into_iter()
            .filter(|session| {
                let why = outside(session, limits, ask);
                left_out.extend(why.map(|why| whole(session, why)));
                why.is_none()
            })
            .collect();
        let mut seen = BTreeSet::new();
        let mut candidates = Vec::new();
        for session in &sessions {
            for (trial, why) in judged_trials(session, limits, ask.condition, &mut seen) {
                let learning = !ask.with_learning && Some(session.day) == learning_day;
                let why = why.or(learning.then_some(WhyLeftOut::Learning));
                match why {
                    None => candidates.push((*session, trial)),
                    Some(why) => left_out.push(one(session, trial, why)),
                }
            }
        }
        let measured = match ask.setup {
            JudgedSetup::Exactly(setup) => Some(setup.clone()),
            JudgedSetup::MostDays => most_days(candidates.iter()),
            JudgedSetup::SameBoardAndLength(like) => {
                most_days(candidates.iter().filter(|(_, trial)| {
                    let setup = &trial.measured;
                    setup.length == like.length && setup.setup.board == like.setup.board
                }))
            }
        };
        candidates.retain(|(session, trial)| {
            let same = measured.as_ref() == Some(&trial.measured);
            if !same {
                left_out.push(one(session, trial, WhyLeftOut::OtherSetup));
            }
            same
        });
        let days = days(&sessions, &candidates, limits, ask.condition);
        left_out.sort();
        Self { days, measured, left_out }
    }

    /// Days with scored trials, in order.
    pub(crate) fn scored(&self) -> impl DoubleEndedIterator<Item = &Day> {
        self.days.iter().filter(|day| !day.trials.is_empty())
    }

    /// The last `n` days at the condition, in order, scored or not.
    pub(crate) fn recent(&self, n: usize) -> &[Day] {
        &self.days[self.days.len().saturating_sub(n)..]
    }

    pub(crate) fn n_trials(&self) -> usize {
        self.days.iter().map(|day| day.trials.len()).sum()
    }

    pub(crate) fn used(&self) -> Used {
        Used {
            days: self.scored().map(|day| day.day).collect(),
            sessions: self.scored().flat_map(|day| day.sessions.clone()).collect(),
            trials: self.scored().flat_map(|day| day.trials.iter().map(|t| t.0.clone())).collect(),
        }
    }
}

/// The sessions that hold the condition, in order of time, each id once.
fn once_each<'a>(
    course: &'a Course,
    condition: Condition,
    left_out: &mut Vec<LeftOut>,
) -> Vec<&'a Session> {
    let mut sessions: Vec<&Session> = course
        .sessions
        .iter()
        .filter(|session| session.exercises.iter().any(|done| done.condition == condition))
        .collect();
    sessions.sort_by(|a, b| (a.day, a.ended_us, &a.id).cmp(&(b.day, b.ended_us, &b.id)));
    let mut seen = BTreeSet::new();
    sessions.retain(|session| {
        let first = seen.insert(session.id.as_str());
        if !first {
            left_out.push(whole(session, WhyLeftOut::SameIdTwice));
        }
        first
    });
    sessions
}

fn outside(session: &Session, limits: &Thresholds, ask: Gather<'_>) -> Option<WhyLeftOut> {
    let too_late = ask.until.day < session.day || ask.until.at_us < session.ended_us;
    if too_late {
        return Some(WhyLeftOut::AfterToday);
    }
    if ask.since_us.is_some_and(|since_us| session.ended_us <= since_us) {
        return Some(WhyLeftOut::BeforeDecision);
    }
    let age_days = i64::from(ask.until.day) - i64::from(session.day);
    let too_old = ask.windowed && i64::from(limits.window_days) <= age_days;
    too_old.then_some(WhyLeftOut::BeforeWindow)
}

/// Every trial of the session at the condition, with what speaks against scoring it.
fn judged_trials<'a>(
    session: &'a Session,
    limits: &Thresholds,
    condition: Condition,
    seen: &mut BTreeSet<&'a str>,
) -> Vec<(&'a TrialEvidence, Option<WhyLeftOut>)> {
    let mut trials = Vec::new();
    for exercise in session.exercises.iter().filter(|done| done.condition == condition) {
        let flagged = exercise.trials.iter().any(|trial| trial.unplanned_support);
        // A touch was admitted, but nobody knows in which trial.
        let somewhere = exercise.touched_something == Some(true) && !flagged;
        for trial in &exercise.trials {
            let again = !seen.insert(trial.id.as_str());
            let why = if again { Some(WhyLeftOut::SameIdTwice) } else { unfit(trial, limits) };
            let touched = somewhere.then_some(WhyLeftOut::UnplannedSupport);
            trials.push((trial, why.or(touched)));
        }
    }
    trials
}

fn unfit(trial: &TrialEvidence, limits: &Thresholds) -> Option<WhyLeftOut> {
    match trial.kind {
        TrialKind::Guided => return Some(WhyLeftOut::Guided),
        TrialKind::Practice => return Some(WhyLeftOut::Practice),
        TrialKind::Measured => {}
    }
    if trial.stepped_off {
        return Some(WhyLeftOut::SteppedOff);
    }
    if trial.unplanned_support {
        return Some(WhyLeftOut::UnplannedSupport);
    }
    let Some(sway) = trial.sway else { return Some(WhyLeftOut::NoMeasures) };
    if !is_sound(&sway) {
        return Some(WhyLeftOut::NotANumber);
    }
    (sway.n_wobble_windows < limits.min_wobble_windows).then_some(WhyLeftOut::FewWindows)
}

/// Whether every number lies where a stand on a board can bring it.
fn is_sound(sway: &Sway) -> bool {
    let length = 1e-3..=1e4;
    let spread = 0.0..=1.0;
    length.contains(&sway.wobble_median_mm)
        && length.contains(&sway.mean_velocity_mm_per_s)
        && (0.0..=1.0).contains(&sway.share_over)
        && spread.contains(&sway.board_noise_log_sd)
        && spread.contains(&sway.calibration_log_sd)
}

fn whole(session: &Session, why: WhyLeftOut) -> LeftOut {
    LeftOut { session: session.id.clone(), trial: None, why }
}

fn one(session: &Session, trial: &TrialEvidence, why: WhyLeftOut) -> LeftOut {
    LeftOut { session: session.id.clone(), trial: Some(trial.id.clone()), why }
}

/// The setup with trials on the most days; of equals, the one used last.
fn most_days<'a>(
    candidates: impl Iterator<Item = &'a (&'a Session, &'a TrialEvidence)>,
) -> Option<WhereMeasured> {
    let mut setups: Vec<(&WhereMeasured, BTreeSet<i32>, i64)> = Vec::new();
    for (session, trial) in candidates {
        if let Some(known) = setups.iter_mut().find(|(setup, ..)| *setup == &trial.measured) {
            known.1.insert(session.day);
            known.2 = session.ended_us;
        } else {
            setups.push((&trial.measured, BTreeSet::from([session.day]), session.ended_us));
        }
    }
    let best = setups.iter().max_by_key(|(_, days, last_us)| (days.len(), *last_us));
    best.map(|(setup, ..)| (*setup).clone())
}
