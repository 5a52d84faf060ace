//! Rule 1: stop and review, until a clinician's review newer than the report.

use std::collections::BTreeMap;

use super::course::{Answers, Course, Rating, Session};
use super::criterion::{Criterion, Finding, Settle, Which, threshold};
use super::situation::Situation;

/// One reason's state over the course.
struct Reports {
    /// Days of reports that no later review has answered.
    days: Vec<i32>,
    /// Largest value among them.
    worst: Option<f64>,
    /// Whether the latest session answered the question.
    answered_last: bool,
}

/// What one session says about a reason: when it was reported, the number if it is one, and whether
/// it is a reason to stop.
struct Said {
    at_us: i64,
    value: Option<f64>,
    stops: bool,
}

/// The criteria of rule 1. Every session counts, whatever its condition, imported twice or not.
pub(crate) fn criteria(situation: &Situation<'_>) -> Vec<Criterion> {
    let limits = situation.limits;
    let starts = day_starts(situation.course);
    let sign = |answer: fn(&Answers) -> Option<bool>| {
        move |session: &Session| {
            let said = answer(&session.answers)?;
            Some(Said { at_us: session.ended_us, value: None, stops: said })
        }
    };
    let rise = |pain: fn(&Answers) -> Option<Rating>| {
        move |session: &Session| {
            let rise = pain(&session.answers)?.rise_from(session.answers.pain_at_start?);
            let stops = limits.pain_rise <= rise;
            Some(Said { at_us: session.ended_us, value: Some(rise), stops })
        }
    };
    let morning = |session: &Session| {
        let answer = session.answers.next_morning?;
        let rise = answer.pain.rise_from(*starts.get(&session.day)?);
        let stops = limits.pain_rise <= rise;
        Some(Said { at_us: answer.answered_us, value: Some(rise), stops })
    };
    let start = |session: &Session| {
        let points = f64::from(session.answers.pain_at_start?.points());
        let stops = limits.pain_ceiling < points;
        Some(Said { at_us: session.ended_us, value: Some(points), stops })
    };
    let pain_rise = Some(threshold!(limits, pain_rise));
    let pain_ceiling = Some(threshold!(limits, pain_ceiling));
    let reason = |which, threshold, said: &dyn Fn(&Session) -> Option<Said>| {
        criterion(which, threshold, &reports(situation, said))
    };
    vec![
        reason(Which::WarningSign, None, &sign(|given| given.warning_sign)),
        reason(Which::LegPainFurtherDown, None, &sign(|given| given.leg_pain_further_down)),
        reason(Which::NumbnessOrWeakness, None, &sign(|given| given.numbness_or_weakness)),
        reason(Which::Fall, None, &sign(|given| given.fall)),
        reason(Which::PainDuring, pain_rise, &rise(|given| given.worst_pain_during)),
        reason(Which::PainAfter, pain_rise, &rise(|given| given.pain_after)),
        reason(Which::PainNextMorning, pain_rise, &morning),
        reason(Which::PainAtStart, pain_ceiling, &start),
    ]
}

/// Whether a decision newer than `at_us` has been made.
pub(crate) fn reviewed_since(situation: &Situation<'_>, at_us: i64) -> bool {
    let decisions = &situation.course.decisions;
    decisions.iter().any(|made| at_us < made.at_us && made.at_us <= situation.until.at_us)
}

fn reports(situation: &Situation<'_>, said: &dyn Fn(&Session) -> Option<Said>) -> Reports {
    let mut sessions: Vec<&Session> = situation
        .course
        .sessions
        .iter()
        .filter(|session| session.ended_us <= situation.known_until_us)
        .collect();
    sessions.sort_by(|a, b| (a.ended_us, &a.id).cmp(&(b.ended_us, &b.id)));
    let mut found = Reports { days: Vec::new(), worst: None, answered_last: false };
    for session in sessions {
        let Some(said) = said(session).filter(|said| said.at_us <= situation.known_until_us) else {
            found.answered_last = false;
            continue;
        };
        found.answered_last = true;
        if said.stops && !reviewed_since(situation, said.at_us) {
            found.days.push(session.day);
            found.worst = found.worst.into_iter().chain(said.value).max_by(f64::total_cmp);
        }
    }
    found.days.dedup();
    found
}

fn criterion(
    which: Which,
    threshold: Option<super::criterion::Threshold>,
    reports: &Reports,
) -> Criterion {
    let finding = if !reports.days.is_empty() {
        Finding::Met
    } else if reports.answered_last {
        Finding::NotMet
    } else {
        Finding::NotKnown
    };
    let mut criterion = Criterion::new(which, finding).on_days(reports.days.iter().copied());
    criterion.value = reports.worst;
    criterion.threshold = threshold;
    criterion.settle = match finding {
        Finding::Met => Some(Settle::Review),
        Finding::NotKnown => Some(Settle::AnswerQuestions),
        _ => None,
    };
    criterion
}

/// Pain at the first start of each day that has a known one.
fn day_starts(course: &Course) -> BTreeMap<i32, Rating> {
    let mut sessions: Vec<&Session> = course.sessions.iter().collect();
    sessions.sort_by(|a, b| (a.ended_us, &a.id).cmp(&(b.ended_us, &b.id)));
    let mut starts = BTreeMap::new();
    for session in sessions {
        if let Some(pain) = session.answers.pain_at_start {
            starts.entry(session.day).or_insert(pain);
        }
    }
    starts
}
